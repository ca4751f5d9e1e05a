//! The beads as items of a transportation problem: distinct lights, how many groups have each, and
//! what a bead of each colour costs them.

use super::transport::Cost;
use crate::cancel::Cancel;
use crate::colour::{Lab, Light, ciede2000, lab, oklab};
use crate::palette::Tone;
use crate::quantize::Problem;
use crate::quantize::assign::{bits, fixed_colour};
use rayon::prelude::*;
use std::collections::HashMap;

/// A difference of 1 (CIEDE2000) in the whole numbers of the table.
pub const ONE: f64 = (1 << 20) as f64;
/// Most entries of the table: 32 million, 128 MiB, and twice that for the moves. Beyond, beads of
/// nearly the same light are pooled.
const MOST_COSTS: usize = 32 << 20;
/// Steps of Oklab from which pooling starts.
const FINEST: f64 = 4096.0;

/// Groups of beads of the same light.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// Beads in each group.
    pub size: u64,
    /// The groups, rising.
    pub groups: Vec<u32>,
}

/// What each item costs in each allowed colour.
pub struct CostTable {
    /// Distinct items, in the order of their first group.
    pub items: Vec<Item>,
    /// Mean difference of an item's beads from a colour, times [`ONE`]: item by item.
    pub costs: Vec<Cost>,
    /// Number of colours.
    pub width: usize,
    /// Whether every item stands for exactly equal groups.
    pub exact: bool,
}

/// The light of one bead, and the colour that dithering gave it.
type Wish = ([u64; 3], Option<usize>);

impl CostTable {
    /// The groups of `problem` that are not fixed, against the colours at `allowed`; with
    /// `dithered`, staying near its colours counts more than the picture.
    pub fn new(
        problem: &Problem,
        tones: &[Tone],
        allowed: &[usize],
        dithered: Option<&[usize]>,
        cancel: &Cancel,
    ) -> Self {
        let groups: Vec<usize> = (0..problem.groups.len())
            .filter(|&group| fixed_colour(problem, problem.groups.beads_of(group)).is_none())
            .collect();
        let wishes = |group: usize| -> Vec<Wish> {
            let beads = problem.groups.beads_of(group).iter();
            let mut wishes: Vec<Wish> = beads
                .map(|&bead| {
                    let bead = bead as usize;
                    (bits(problem.light[bead]), dithered.map(|own| own[bead]))
                })
                .collect();
            wishes.sort_unstable();
            wishes
        };
        let most = (MOST_COSTS / allowed.len().max(1)).max(1);
        let mut items = merged(problem, &groups, wishes);
        let exact = items.len() <= most;
        let mut steps = FINEST;
        while items.len() > most {
            items = merged(problem, &groups, |group| {
                let beads = problem.groups.beads_of(group);
                let mean = mean(problem, beads);
                let oklab = oklab(mean);
                let own = dithered.map(|own| own[beads[0] as usize]);
                (
                    [oklab.l, oklab.a, oklab.b].map(|value| (value * steps).round() as i64),
                    own,
                )
            });
            steps /= 2.0;
        }
        let costs = items
            .par_iter()
            .flat_map_iter(|item| {
                if cancel.is_over() {
                    vec![0; allowed.len()]
                } else {
                    costs(problem, tones, allowed, dithered, item)
                }
            })
            .collect();
        Self {
            items,
            costs,
            width: allowed.len(),
            exact,
        }
    }

    /// The cost of a bead of an item in a colour.
    pub fn cost(&self, item: usize, colour: usize) -> i64 {
        i64::from(self.costs[item * self.width + colour])
    }

    /// The size of all groups, if it is the same.
    pub fn one_size(&self) -> Option<u64> {
        let size = self.items.first()?.size;
        self.items
            .iter()
            .all(|item| item.size == size)
            .then_some(size)
    }

    /// Beads of all items.
    pub fn beads(&self) -> u64 {
        let beads = self.items.iter().map(Item::beads);
        beads.sum()
    }
}

impl Item {
    /// Beads of all its groups.
    pub fn beads(&self) -> u64 {
        self.size * self.groups.len() as u64
    }
}

/// Groups with equal keys and sizes become one item, in the order of first appearance.
fn merged<K: std::hash::Hash + Eq>(
    problem: &Problem,
    groups: &[usize],
    key: impl Fn(usize) -> K,
) -> Vec<Item> {
    let mut places: HashMap<(K, u64), usize> = HashMap::new();
    let mut items: Vec<Item> = Vec::new();
    for &group in groups {
        let size = problem.groups.beads_of(group).len() as u64;
        let place = *places.entry((key(group), size)).or_insert(items.len());
        if place == items.len() {
            items.push(Item {
                size,
                groups: Vec::new(),
            });
        }
        items[place].groups.push(group as u32);
    }
    items
}

fn mean(problem: &Problem, beads: &[u32]) -> Light {
    let sum = beads.iter().fold(Light::new(0.0, 0.0, 0.0), |sum, &bead| {
        sum + problem.light[bead as usize]
    });
    sum / beads.len() as f64
}

fn costs(
    problem: &Problem,
    tones: &[Tone],
    allowed: &[usize],
    dithered: Option<&[usize]>,
    item: &Item,
) -> Vec<Cost> {
    // The first group stands for all.
    let beads = problem.groups.beads_of(item.groups[0] as usize);
    let mut wishes: Vec<(Lab, f64, Option<usize>)> = Vec::new();
    for &bead in beads {
        let own = lab(problem.light[bead as usize]);
        let given = dithered.map(|given| given[bead as usize]);
        match wishes
            .iter_mut()
            .find(|(known, _, at)| *known == own && *at == given)
        {
            Some((_, weight, _)) => *weight += 1.0,
            None => wishes.push((own, 1.0, given)),
        }
    }
    let cost = |at: usize| -> f64 {
        let each = wishes.iter().map(|&(own, weight, given)| {
            let from_picture = ciede2000(own, tones[at].lab);
            weight
                * match given {
                    None => from_picture,
                    // Half of what the picture says settles which of the beads changes; staying is
                    // always cheapest.
                    Some(given) => ciede2000(tones[given].lab, tones[at].lab) + from_picture / 2.0,
                }
        });
        each.sum::<f64>() / beads.len() as f64
    };
    let whole = |cost: f64| (cost * ONE).round() as Cost;
    allowed.iter().map(|&at| whole(cost(at))).collect()
}
