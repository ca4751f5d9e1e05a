//! The search for a cheap set of colours: fill greedily, exchange one for one, then two for two,
//! then shake.

use super::Costs;
use crate::cancel::Cancel;
use rayon::prelude::*;
use std::collections::HashSet;

/// Work that all exchanges of single colours may take, in items times colours.
const MOST_WORK: usize = 400_000_000;
/// Work that shaking may take, in items times colours.
const MOST_SHAKE_WORK: usize = 20_000_000;
/// Shakes, at most.
const SHAKES: usize = 60;
/// Work that is worth handing to another thread, in items times colours.
const LEAST_TASK: usize = 50_000;
/// A gain must be more than rounding, relative to the total.
pub(super) const LEAST_GAIN: f64 = 1e-9;

/// A set of colours in progress.
pub struct Search<'a> {
    pub(super) costs: &'a Costs,
    count: usize,
    /// The set; the first `kept` of it stay.
    pub set: Vec<usize>,
    pub(super) kept: usize,
    pub(super) inside: Vec<bool>,
    pub(super) near: Vec<Near>,
    pub(super) cancel: &'a Cancel,
}

/// The cheapest members of the set for an item: places in the set, and costs.
#[derive(Clone, Copy)]
pub(super) struct Near {
    pub(super) first: usize,
    pub(super) second: usize,
    pub(super) best: f32,
    pub(super) next: f32,
    pub(super) third: f32,
}

const NONE: Near = Near {
    first: usize::MAX,
    second: usize::MAX,
    best: f32::INFINITY,
    next: f32::INFINITY,
    third: f32::INFINITY,
};

impl<'a> Search<'a> {
    /// Starts with the colours to keep; `count` is at most the number of colours.
    pub fn new(costs: &'a Costs, keep: &[usize], count: usize, cancel: &'a Cancel) -> Self {
        let mut search = Self {
            costs,
            count: count.clamp(keep.len(), costs.colours()),
            set: keep.to_vec(),
            kept: keep.len(),
            inside: vec![false; costs.colours()],
            near: vec![NONE; costs.items()],
            cancel,
        };
        search.replace(keep.to_vec());
        search
    }

    pub(super) fn replace(&mut self, set: Vec<usize>) {
        self.set = set;
        self.inside.fill(false);
        self.near.fill(NONE);
        for place in 0..self.set.len() {
            self.add(place);
        }
    }

    fn add(&mut self, place: usize) {
        let colour = self.set[place];
        self.inside[colour] = true;
        for (near, &cost) in self.near.iter_mut().zip(self.costs.of(colour)) {
            if cost < near.best {
                *near = Near {
                    first: place,
                    second: near.first,
                    best: cost,
                    next: near.best,
                    third: near.next,
                };
            } else if cost < near.next {
                *near = Near {
                    second: place,
                    next: cost,
                    third: near.next,
                    ..*near
                };
            } else if cost < near.third {
                near.third = cost;
            }
        }
    }

    pub(super) fn total(&self) -> f64 {
        self.near.iter().map(|near| f64::from(near.best)).sum()
    }

    /// Adds the colour that lowers the total most until the set is full; what a colour can gain
    /// only falls, so old gains bound new ones.
    pub fn fill(&mut self) {
        let gain = |search: &Self, colour: usize| -> f64 {
            let costs = search.costs.of(colour);
            if search.set.is_empty() {
                -costs.iter().map(|&cost| f64::from(cost)).sum::<f64>()
            } else {
                gained(&search.near, costs)
            }
        };
        let mut bounds: Vec<f64> = vec![f64::INFINITY; self.costs.colours()];
        while self.set.len() < self.count {
            if self.set.len() <= 1 {
                // Gains before and after the first colour are different quantities: start afresh.
                let fresh: Vec<f64> = (0..bounds.len())
                    .into_par_iter()
                    .map(|c| {
                        if self.cancel.is_over() {
                            0.0
                        } else {
                            gain(self, c)
                        }
                    })
                    .collect();
                bounds = fresh;
            }
            let mut order: Vec<usize> = (0..bounds.len()).filter(|&c| !self.inside[c]).collect();
            order.sort_by(|&a, &b| bounds[b].total_cmp(&bounds[a]).then(a.cmp(&b)));
            let mut best: Option<(f64, usize)> = None;
            for colour in order {
                if self.cancel.is_over() {
                    return;
                }
                if best.is_some_and(|(most, _)| bounds[colour] < most) {
                    break;
                }
                let own = gain(self, colour);
                bounds[colour] = own;
                if best.is_none_or(|(most, at)| own > most || (own == most && colour < at)) {
                    best = Some((own, colour));
                }
            }
            let Some((_, colour)) = best else { return };
            self.set.push(colour);
            self.add(self.set.len() - 1);
        }
    }

    /// Exchanges the single pair of colours that helps most, until none helps.
    pub fn exchange(&mut self) {
        let work = self.costs.items() * self.costs.colours();
        let most = (MOST_WORK / work.max(1)).max(2);
        for _ in 0..most {
            if self.cancel.is_over() {
                return;
            }
            let least = -self.total() * LEAST_GAIN;
            let losses = self.losses();
            let best = self
                .outside()
                .into_par_iter()
                .with_min_len(self.colours_at_once())
                .filter_map(|colour| self.best_exit(colour, &losses))
                .min_by(Exchange::by_change);
            match best {
                Some(best) if best.change < least => {
                    let mut set = self.set.clone();
                    set[best.place] = best.colour;
                    self.replace(set);
                }
                _ => return,
            }
        }
    }

    /// Colours that are worth a task of their own.
    pub(super) fn colours_at_once(&self) -> usize {
        LEAST_TASK / self.costs.items().max(1) + 1
    }

    pub(super) fn outside(&self) -> Vec<usize> {
        (0..self.costs.colours())
            .filter(|&c| !self.inside[c])
            .collect()
    }

    /// What the total loses when a member leaves and nothing comes.
    pub(super) fn losses(&self) -> Vec<f64> {
        let mut losses = vec![0.0; self.set.len()];
        for near in &self.near {
            losses[near.first] += gap(near.next, near.best);
        }
        losses
    }

    /// The exchange when `colour` comes and the member leaves whose leaving then costs least.
    pub(super) fn best_exit(&self, colour: usize, losses: &[f64]) -> Option<Exchange> {
        if self.cancel.is_over() {
            return None;
        }
        if self.set.len() == 1 {
            // There is no second nearest: the newcomer takes all.
            let all: f64 = self
                .costs
                .of(colour)
                .iter()
                .map(|&cost| f64::from(cost))
                .sum();
            return (self.kept == 0).then(|| Exchange {
                change: all - self.total(),
                place: 0,
                colour,
            });
        }
        let mut exits = losses.to_vec();
        let mut coming = 0.0;
        // Without branches, which no processor could predict here.
        for (near, &cost) in self.near.iter().zip(self.costs.of(colour)) {
            let taken = lower(cost, near.best);
            let held = higher(lower(cost, near.next), near.best);
            coming += gap(taken, near.best);
            exits[near.first] -= gap(near.next, held);
        }
        let (place, exit) = exits
            .iter()
            .enumerate()
            .skip(self.kept)
            .min_by(|a, b| a.1.total_cmp(b.1))?;
        Some(Exchange {
            change: coming + exit,
            place,
            colour,
        })
    }

    /// Takes out some members in turn, fills up again and improves; keeps what is cheaper.
    pub fn shake(&mut self) {
        let free = self.set.len() - self.kept;
        let work = (self.costs.items() * self.costs.colours()).max(1);
        if free == 0 || self.set.len() == self.costs.colours() {
            return;
        }
        let shakes = (MOST_SHAKE_WORK / work / 4).min(SHAKES);
        let mut best = (self.total(), self.set.clone());
        let mut tried = HashSet::new();
        for shake in 0..shakes {
            if self.cancel.is_over() {
                return;
            }
            let leave = 1 + (shake / free) % free.min(4);
            let mut set = best.1.clone();
            for turn in 0..leave.min(set.len() - self.kept) {
                let movable = set.len() - self.kept;
                set.remove(self.kept + (shake * 7 + turn * 3) % movable);
            }
            let gone: Vec<usize> = best
                .1
                .iter()
                .copied()
                .filter(|c| !set.contains(c))
                .collect();
            // The turns repeat: the same shake of the same set has the same result.
            if !tried.insert(gone.clone()) {
                continue;
            }
            self.replace(set);
            self.fill_without(&gone);
            self.exchange();
            let total = self.total();
            if total < best.0 * (1.0 - LEAST_GAIN) {
                best = (total, self.set.clone());
                tried.clear();
            }
        }
        self.replace(best.1);
    }

    /// Fills up, but not with what has just left.
    fn fill_without(&mut self, gone: &[usize]) {
        let enough =
            self.costs.colours() - self.set.len() - gone.len() >= self.count - self.set.len();
        for &colour in gone.iter().filter(|_| enough) {
            self.inside[colour] = true;
        }
        self.fill();
        for &colour in gone {
            self.inside[colour] = self.set.contains(&colour);
        }
    }
}

/// The difference in full precision: rounded sums would see gains between equals, and never end.
pub(super) fn gap(more: f32, less: f32) -> f64 {
    f64::from(more) - f64::from(less)
}

/// The lower of two costs, which are never NaN.
pub(super) fn lower(a: f32, b: f32) -> f32 {
    if a < b { a } else { b }
}

pub(super) fn higher(a: f32, b: f32) -> f32 {
    if a > b { a } else { b }
}

/// Independent sums, so that none waits for another.
const LANES: usize = 4;

/// What all items gain from a newcomer when no member leaves.
fn gained(near: &[Near], costs: &[f32]) -> f64 {
    let gain = |near: &Near, cost: f32| gap(near.best, lower(near.best, cost));
    let (whole, all) = (near.chunks_exact(LANES), costs.chunks_exact(LANES));
    let rest = whole.remainder().iter().zip(all.remainder());
    let rest: f64 = rest.map(|(near, &cost)| gain(near, cost)).sum();
    let mut sums = [0.0; LANES];
    for (near, costs) in whole.zip(all) {
        for at in 0..LANES {
            sums[at] += gain(&near[at], costs[at]);
        }
    }
    sums.iter().sum::<f64>() + rest
}

/// A colour that comes in the place of a member.
#[derive(Debug, Clone, Copy)]
pub(super) struct Exchange {
    /// By how much the total changes; less is better.
    pub(super) change: f64,
    /// The member's place in the set.
    place: usize,
    /// The colour that comes.
    colour: usize,
}

impl Exchange {
    /// The better first; of equals the first place, then the first colour.
    pub(super) fn by_change(one: &Self, other: &Self) -> std::cmp::Ordering {
        let places = one.place.cmp(&other.place);
        let then = places.then(one.colour.cmp(&other.colour));
        one.change.total_cmp(&other.change).then(then)
    }
}
