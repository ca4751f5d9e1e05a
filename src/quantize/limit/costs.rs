//! What each colour costs each distinct light of the picture.

use crate::cancel::Cancel;
use crate::colour::{Light, PreparedLab};
use crate::palette::Tone;
use crate::quantize::Problem;
use crate::quantize::assign::{bits, fixed_colour};
use rayon::prelude::*;
use std::collections::HashMap;

/// Most entries in a table of costs: 32 million, 128 MiB.
const MOST_COSTS: usize = 32 << 20;
/// Most distinct items; beyond, near ones are pooled.
const MOST_ITEMS: usize = 16_384;

/// Beads that share a colour, or several such groups that are alike: the light of each bead, and
/// how often.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Distinct lights with the number of beads.
    pub lights: Vec<(Light, f64)>,
}

/// The distinct items of a band. Where there are more than 16,384, or more than 32 million pairs
/// with `colours` colours, near ones are pooled in Oklab, on a grid that is made coarser until they
/// fit: the choice of colours is then approximately that of all beads.
pub fn items(problem: &Problem, colours: usize) -> Vec<Item> {
    let most = MOST_ITEMS.min(MOST_COSTS / colours.max(1)).max(1);
    let groups: Vec<&[u32]> = (0..problem.groups.len())
        .map(|group| problem.groups.beads_of(group))
        .filter(|beads| fixed_colour(problem, beads).is_none())
        .collect();
    let exact = merged(groups.iter().map(|beads| item(problem, beads)), |item| {
        item.lights
            .iter()
            .map(|(light, weight)| (bits(*light), weight.to_bits()))
            .collect::<Vec<_>>()
    });
    if exact.len() <= most {
        return exact;
    }
    let single: Vec<Item> = exact.into_iter().map(averaged).collect();
    let mut steps = 512.0;
    loop {
        let pooled = merged(single.iter().cloned(), |item| {
            let oklab = crate::colour::oklab(item.lights[0].0);
            [oklab.l, oklab.a, oklab.b].map(|value| (value * steps).round() as i64)
        });
        if pooled.len() <= most {
            return pooled.into_iter().map(averaged).collect();
        }
        steps /= 2.0;
    }
}

fn item(problem: &Problem, beads: &[u32]) -> Item {
    let mut lights: Vec<(Light, f64)> = Vec::new();
    for &bead in beads {
        let light = problem.light[bead as usize];
        match lights.iter_mut().find(|(known, _)| *known == light) {
            Some((_, weight)) => *weight += 1.0,
            None => lights.push((light, 1.0)),
        }
    }
    Item { lights }
}

/// Items with equal keys become one, in order of first appearance.
fn merged<K: std::hash::Hash + Eq>(
    items: impl Iterator<Item = Item>,
    key: impl Fn(&Item) -> K,
) -> Vec<Item> {
    let mut place: HashMap<K, usize> = HashMap::new();
    let mut merged: Vec<Item> = Vec::new();
    for item in items {
        let at = *place.entry(key(&item)).or_insert(merged.len());
        match merged.get_mut(at) {
            Some(known) => add(known, item),
            None => merged.push(item),
        }
    }
    merged
}

fn add(known: &mut Item, item: Item) {
    for (light, weight) in item.lights {
        match known.lights.iter_mut().find(|(other, _)| *other == light) {
            Some((_, total)) => *total += weight,
            None => known.lights.push((light, weight)),
        }
    }
}

/// The item's mean light alone.
fn averaged(item: Item) -> Item {
    let total: f64 = item.lights.iter().map(|(_, weight)| weight).sum();
    let mean = item
        .lights
        .iter()
        .fold(Light::new(0.0, 0.0, 0.0), |sum, &(light, weight)| {
            sum + light * (weight / total)
        });
    Item {
        lights: vec![(mean, total)],
    }
}

/// A table of costs: for each colour a row with the cost of each item.
pub struct Costs {
    items: usize,
    colours: usize,
    table: Vec<f32>,
}

impl Costs {
    /// The weighted difference of each item from each of the `free` colours, to within 1e-5 a bead.
    pub fn new(items: &[Item], tones: &[Tone], free: &[usize], cancel: &Cancel) -> Self {
        let lights: Vec<Vec<(PreparedLab, f64)>> = items
            .par_iter()
            .map(|item| {
                let judged = |&(light, weight): &(Light, f64)| {
                    (PreparedLab::new(crate::colour::lab(light)), weight)
                };
                item.lights.iter().map(judged).collect()
            })
            .collect();
        let mut table = vec![0.0; items.len() * free.len()];
        if !items.is_empty() {
            table
                .par_chunks_mut(items.len())
                .zip(free)
                .for_each(|(row, &at)| {
                    if cancel.is_over() {
                        return;
                    }
                    let colour = PreparedLab::new(tones[at].lab);
                    for (cost, lights) in row.iter_mut().zip(&lights) {
                        let sum: f64 = lights
                            .iter()
                            .map(|(light, weight)| weight * light.difference(&colour))
                            .sum();
                        *cost = sum as f32;
                    }
                });
        }
        Self {
            items: items.len(),
            colours: free.len(),
            table,
        }
    }

    /// A table given row by row, a row for each colour.
    pub fn from_rows(rows: &[Vec<f64>]) -> Self {
        Self {
            items: rows.first().map_or(0, Vec::len),
            colours: rows.len(),
            table: rows.iter().flatten().map(|&cost| cost as f32).collect(),
        }
    }

    /// Number of items.
    pub fn items(&self) -> usize {
        self.items
    }

    /// Number of colours.
    pub fn colours(&self) -> usize {
        self.colours
    }

    /// The costs of one colour, item by item.
    pub fn of(&self, colour: usize) -> &[f32] {
        &self.table[colour * self.items..(colour + 1) * self.items]
    }

    /// The most that an item can cost.
    pub fn dearest(&self, item: usize) -> f32 {
        let each = (0..self.colours).map(|colour| self.of(colour)[item]);
        each.fold(0.0, f32::max)
    }

    /// The total cost of a set of colours: each item takes the cheapest.
    pub fn total(&self, set: &[usize]) -> f64 {
        (0..self.items)
            .map(|item| {
                let cheapest = set
                    .iter()
                    .map(|&colour| self.of(colour)[item])
                    .fold(f32::INFINITY, f32::min);
                f64::from(cheapest)
            })
            .sum()
    }
}
