//! Fewer colour changes and no lone specks where the picture has no edge: what a bead is off, and a price on unlike neighbours.

pub mod expand;
pub mod flow;

use super::Wanted;
use super::assign::settled;
use crate::cancel::Cancel;
use crate::colour::{Judged, Lab, ciede2000, lab};
use crate::palette::Tone;
use expand::{Costs, expand};

/// What unlike neighbours cost at full calm, in squared differences of a bead.
const DEAREST: f64 = 110.0;
/// How many times that where nothing is searched: the nearest colours have few specks to begin with, and no lone bead is priced.
pub const PLAIN: f64 = 4.0;
/// What a bead costs that nothing of its colour touches, in borders of unlike neighbours.
const LONE: f64 = 2.0;
/// The calm above which a lone bead costs no more: its borders then cost enough, and a dear speck only seeks others of its kind.
const ENOUGH: f64 = 0.5;
/// Difference between neighbours of the picture at which their border costs half.
const EDGE: f64 = 6.0;
/// Colours that a bead may take when it is calmed: those nearest to it, and whatever other beads are offered.
const OFFERED: usize = 3;

/// What unlike neighbours cost, in squared differences, for a calm of 0 to 1.
pub fn price(calm: f64) -> f64 {
    DEAREST * calm * calm * calm * calm
}

/// What a bead costs that nothing of its colour touches, in squared differences, for a calm of 0 to 1.
pub fn lone(calm: f64) -> f64 {
    LONE * price(calm.min(ENOUGH))
}

/// How much of the price holds between neighbours of which the picture wants these colours: all where it is flat, less across an edge.
pub fn edge(one: Lab, two: Lab) -> f64 {
    let ratio = ciede2000(one, two) / EDGE;
    1.0 / (1.0 + ratio * ratio)
}

/// The colours, one a group, at the least cost of squared differences, bead by bead, and of unlike neighbours; begins with `chosen`.
pub fn calmed(
    wanted: &Wanted,
    tones: &[Tone],
    allowed: &[usize],
    chosen: &[usize],
    price: f64,
    cancel: &Cancel,
) -> Vec<usize> {
    let labs: Vec<Lab> = wanted.light.iter().map(|&light| lab(light)).collect();
    let fixed: Vec<bool> = (0..chosen.len())
        .map(|group| settled(wanted, wanted.together.beads_of(group)).is_some())
        .collect();
    let (fit, offered) = fits(wanted, tones, allowed, chosen, &labs, cancel);
    let costs = Costs {
        labels: offered.len(),
        fit,
        unlike: borders(wanted, &labs, price),
    };
    let place = |colour: &usize| offered.binary_search(colour).unwrap_or(0);
    let mut labels: Vec<usize> = chosen.iter().map(place).collect();
    expand(&costs, &mut labels, &fixed, cancel);
    labels.into_iter().map(|label| offered[label]).collect()
}

/// What colours, one a group, cost: squared differences, bead by bead, and unlike neighbours.
pub fn cost(wanted: &Wanted, tones: &[Tone], chosen: &[usize], price: f64) -> f64 {
    let labs: Vec<Lab> = wanted.light.iter().map(|&light| lab(light)).collect();
    let off = |(bead, &lab): (usize, &Lab)| {
        let own = tones[chosen[wanted.together.group_of(bead)]].lab;
        let difference = ciede2000(lab, own);
        difference * difference
    };
    let fit: f64 = labs.iter().enumerate().map(off).sum();
    let unlike = |&&(one, two, _): &&(usize, usize, f64)| chosen[one] != chosen[two];
    let borders = borders(wanted, &labs, price);
    fit + borders
        .iter()
        .filter(unlike)
        .map(|border| border.2)
        .sum::<f64>()
}

/// Squared differences of each group in each colour that is offered, and those colours, rising.
fn fits(
    wanted: &Wanted,
    tones: &[Tone],
    allowed: &[usize],
    chosen: &[usize],
    labs: &[Lab],
    cancel: &Cancel,
) -> (Vec<f64>, Vec<usize>) {
    let judged: Vec<Judged> = allowed
        .iter()
        .map(|&at| Judged::new(tones[at].lab))
        .collect();
    let of_group = |group: usize| -> Vec<f64> {
        let mut costs = vec![0.0; allowed.len()];
        if cancel.is_over() {
            return costs;
        }
        for &bead in wanted.together.beads_of(group) {
            let own = Judged::new(labs[bead as usize]);
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
    // A settled bead may have a colour that nobody else may take.
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
fn borders(wanted: &Wanted, labs: &[Lab], price: f64) -> Vec<(usize, usize, f64)> {
    let mut borders = Vec::new();
    for bead in 0..wanted.lattice.len() {
        let own = wanted.together.group_of(bead);
        for neighbour in wanted.lattice.neighbours(bead) {
            let other = wanted.together.group_of(neighbour.index);
            if neighbour.index > bead && other != own {
                let weight = price * edge(labs[bead], labs[neighbour.index]);
                borders.push((own, other, weight));
            }
        }
    }
    borders
}
