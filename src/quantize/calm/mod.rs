//! Fewer colour changes and no stray beads where the picture has no edge: the error of each bead,
//! and a price on unlike neighbours.

pub mod expansion;
pub mod min_cut;

use super::Problem;
use super::assign::fixed_colour;
use super::measure::{changes, stray};
use crate::cancel::Cancel;
use crate::colour::{Lab, PreparedLab, ciede2000, lab};
use crate::lattice::Lattice;
use crate::palette::Tone;
use expansion::{Costs, expand};

/// What unlike neighbours cost at full calm, in squared differences of a bead.
const DEAREST: f64 = 134.0;
/// How many times that where nothing is searched: the nearest colours have few stray beads to begin
/// with, and none is priced.
pub const PLAIN: f64 = 4.0;
/// What a stray bead costs, in borders of unlike neighbours.
const STRAY: f64 = 3.5;
/// The calm above which a stray bead costs no more: its borders then cost enough, and an expensive
/// stray bead would only look for others of its kind.
const ENOUGH: f64 = 0.5;
/// Difference between neighbours of the picture at which their border costs half.
const EDGE: f64 = 6.0;
/// Colours that a bead may take when it is calmed: those nearest to it, and those offered to other
/// beads.
const OFFERED: usize = 3;

/// Calm counts in so many steps from 0 to 1.
///
/// Each step continues the one before it and is taken only where it has no more colour changes and
/// no more stray beads, so that more calm never gives more of either.
pub const STEPS: u32 = 10;
/// The step of a band that is searched, unless another is asked for.
pub const USUAL: u32 = 4;
/// The step that a search begins with, and chooses its colours for.
pub const FIRST: u32 = 1;
/// Calm of each step of a search, which starts from bands of many stray beads. Ours: the usual one
/// gave the charts that looked best.
const SEARCHED: [f64; STEPS as usize + 1] =
    [0.0, 0.4, 0.6, 0.8, 0.9, 0.93, 0.96, 1.0, 1.05, 1.1, 1.2];

/// The calm of a step of a search.
pub fn searched_calm(step: u32) -> f64 {
    SEARCHED[step.min(STEPS) as usize]
}

/// The nearest step to a calm of 0 to 1.
pub fn step_of(calm: f64) -> u32 {
    (calm.clamp(0.0, 1.0) * f64::from(STEPS)).round() as u32
}

/// The calm of a step.
pub fn calm_of(step: u32) -> f64 {
    f64::from(step) / f64::from(STEPS)
}

/// Whether one band, a colour a bead, has no more colour changes and no more stray beads than
/// another.
pub fn is_as_calm(lattice: &Lattice, one: &[usize], other: &[usize]) -> bool {
    changes(lattice, one) <= changes(lattice, other) && stray(lattice, one) <= stray(lattice, other)
}

/// What unlike neighbours cost, in squared differences, for a calm of 0 to 1 and more.
pub fn price(calm: f64) -> f64 {
    DEAREST * calm * calm * calm * calm
}

/// What a stray bead costs, in squared differences, for a calm of 0 to 1 and more.
pub fn stray_price(calm: f64) -> f64 {
    STRAY * price(calm.min(ENOUGH))
}

/// How much of the price applies between neighbours of these colours in the picture: all where it
/// is flat, less across an edge.
pub fn edge(one: Lab, two: Lab) -> f64 {
    let ratio = ciede2000(one, two) / EDGE;
    1.0 / (1.0 + ratio * ratio)
}

/// What is to be paid beside the squared difference of each bead, in the same unit.
#[derive(Clone, Copy)]
pub struct Prices<'a> {
    /// What two neighbouring beads cost if their colours differ.
    pub unlike: &'a dyn Fn(usize, usize) -> f64,
    /// What each colour of the palette costs each group, group after group; empty if nothing.
    pub intrusion: &'a [f32],
    /// So many times that.
    pub factor: f64,
}

/// The colours, one a group, with the least cost of squared differences and of `prices`; starts
/// from `chosen`.
pub fn calmed(
    problem: &Problem,
    tones: &[Tone],
    allowed: &[usize],
    chosen: &[usize],
    prices: &Prices,
    cancel: &Cancel,
) -> Vec<usize> {
    let fixed: Vec<bool> = (0..chosen.len())
        .map(|group| fixed_colour(problem, problem.groups.beads_of(group)).is_some())
        .collect();
    let (fit, offered) = fits(problem, tones, allowed, chosen, prices, cancel);
    let costs = Costs {
        labels: offered.len(),
        fit,
        unlike: borders(problem, prices),
    };
    let place = |colour: &usize| offered.binary_search(colour).unwrap_or(0);
    let mut labels: Vec<usize> = chosen.iter().map(place).collect();
    expand(&costs, &mut labels, &fixed, cancel);
    labels.into_iter().map(|label| offered[label]).collect()
}

/// What colours, one a group, cost: squared differences, bead by bead, and `prices`.
pub fn cost(problem: &Problem, tones: &[Tone], chosen: &[usize], prices: &Prices) -> f64 {
    let labs: Vec<Lab> = problem.light.iter().map(|&light| lab(light)).collect();
    let off = |(bead, &lab): (usize, &Lab)| {
        let own = tones[chosen[problem.groups.group_of(bead)]].lab;
        let difference = ciede2000(lab, own);
        difference * difference
    };
    let fit: f64 = labs.iter().enumerate().map(off).sum();
    let unlike = |&&(one, two, _): &&(usize, usize, f64)| chosen[one] != chosen[two];
    let intrusion = |(group, &colour): (usize, &usize)| {
        let price = prices.intrusion.get(group * tones.len() + colour);
        price.map_or(0.0, |&price| prices.factor * f64::from(price))
    };
    let intrusion: f64 = chosen.iter().enumerate().map(intrusion).sum();
    let borders = borders(problem, prices);
    fit + intrusion
        + borders
            .iter()
            .filter(unlike)
            .map(|border| border.2)
            .sum::<f64>()
}

/// What each group costs by itself in each colour that is offered, and those colours, rising.
fn fits(
    problem: &Problem,
    tones: &[Tone],
    allowed: &[usize],
    chosen: &[usize],
    prices: &Prices,
    cancel: &Cancel,
) -> (Vec<f64>, Vec<usize>) {
    let labs: Vec<Lab> = problem.light.iter().map(|&light| lab(light)).collect();
    let judged: Vec<PreparedLab> = allowed
        .iter()
        .map(|&at| PreparedLab::new(tones[at].lab))
        .collect();
    let of_group = |group: usize| -> Vec<f64> {
        let mut costs = vec![0.0; allowed.len()];
        if cancel.is_over() {
            return costs;
        }
        if let Some(own) = prices
            .intrusion
            .get(group * tones.len()..(group + 1) * tones.len())
        {
            let own = allowed.iter().map(|&at| prices.factor * f64::from(own[at]));
            costs = own.collect();
        }
        for &bead in problem.groups.beads_of(group) {
            let own = PreparedLab::new(labs[bead as usize]);
            for (cost, colour) in costs.iter_mut().zip(&judged) {
                let difference = own.difference(colour);
                *cost += difference * difference;
            }
        }
        costs
    };
    let all: Vec<Vec<f64>> = (0..chosen.len()).map(of_group).collect();
    let mut offered: Vec<usize> = chosen.to_vec();
    for costs in &all {
        let mut order: Vec<usize> = (0..costs.len()).collect();
        order.sort_by(|&a, &b| costs[a].total_cmp(&costs[b]).then(a.cmp(&b)));
        offered.extend(order.iter().take(OFFERED).map(|&at| allowed[at]));
    }
    offered.sort_unstable();
    offered.dedup();
    // A fixed bead may have a colour that no other bead may take.
    let dear = 1e6;
    let place: Vec<Option<usize>> = offered
        .iter()
        .map(|at| allowed.binary_search(at).ok())
        .collect();
    let fit = all
        .iter()
        .flat_map(|costs| place.iter().map(|at| at.map_or(dear, |at| costs[at])))
        .collect();
    (fit, offered)
}

/// Neighbouring groups and what it costs if they differ.
fn borders(problem: &Problem, prices: &Prices) -> Vec<(usize, usize, f64)> {
    let mut borders = Vec::new();
    for bead in 0..problem.lattice.len() {
        let own = problem.groups.group_of(bead);
        for neighbour in problem.lattice.neighbours(bead) {
            let other = problem.groups.group_of(neighbour.index);
            if neighbour.index > bead && other != own {
                borders.push((own, other, (prices.unlike)(bead, neighbour.index)));
            }
        }
    }
    borders
}
