//! The search for a cheap set of colours: fill greedily, exchange one for one, then two for two, then shake.

use super::Costs;
use crate::patience::Patience;
use rayon::prelude::*;

/// Work that an exchange of pairs may take, in items times pairs of colours.
const MOST_PAIR_WORK: usize = 40_000_000;
/// Work that all exchanges of single colours may take, in items times colours.
const MOST_WORK: usize = 400_000_000;
/// Work that shaking may take, in items times colours.
const MOST_SHAKE_WORK: usize = 20_000_000;
/// Shakes, at most.
const SHAKES: usize = 60;
/// Work that is worth handing to another thread, in items times colours.
const LEAST_TASK: usize = 50_000;
/// A gain must be more than rounding, relative to the total.
const LEAST_GAIN: f64 = 1e-9;

/// A set of colours on its way.
pub struct Search<'a> {
    costs: &'a Costs,
    count: usize,
    /// The set; the first `kept` of it stay.
    pub set: Vec<usize>,
    kept: usize,
    inside: Vec<bool>,
    near: Vec<Near>,
    patience: &'a Patience,
}

/// The cheapest members of the set for an item: places in the set, and costs.
#[derive(Clone, Copy)]
struct Near {
    first: usize,
    second: usize,
    best: f32,
    next: f32,
    third: f32,
}

const NOBODY: Near = Near {
    first: usize::MAX,
    second: usize::MAX,
    best: f32::INFINITY,
    next: f32::INFINITY,
    third: f32::INFINITY,
};

impl<'a> Search<'a> {
    /// Starts with the colours to keep; `count` is at most the number of colours.
    pub fn new(costs: &'a Costs, keep: &[usize], count: usize, patience: &'a Patience) -> Self {
        let mut search = Self {
            costs,
            count: count.clamp(keep.len(), costs.colours()),
            set: keep.to_vec(),
            kept: keep.len(),
            inside: vec![false; costs.colours()],
            near: vec![NOBODY; costs.items()],
            patience,
        };
        search.settle(keep.to_vec());
        search
    }

    fn settle(&mut self, set: Vec<usize>) {
        self.set = set;
        self.inside.fill(false);
        self.near.fill(NOBODY);
        for place in 0..self.set.len() {
            self.take_in(place);
        }
    }

    fn take_in(&mut self, place: usize) {
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

    fn total(&self) -> f64 {
        self.near.iter().map(|near| f64::from(near.best)).sum()
    }

    /// Adds the colour that lowers the total most until the set is full; what a colour can gain only falls, so old gains bound new ones.
    pub fn fill(&mut self) {
        let gain = |search: &Self, colour: usize| -> f64 {
            let costs = search.costs.of(colour);
            match search.set.is_empty() {
                true => -costs.iter().map(|&cost| f64::from(cost)).sum::<f64>(),
                false => search
                    .near
                    .iter()
                    .zip(costs)
                    .map(|(near, &cost)| gap(near.best, cost).max(0.0))
                    .sum(),
            }
        };
        let mut bounds: Vec<f64> = vec![f64::INFINITY; self.costs.colours()];
        while self.set.len() < self.count {
            if self.set.len() <= 1 {
                // Gains before and after the first colour are different quantities: start afresh.
                let fresh: Vec<f64> = (0..bounds.len())
                    .into_par_iter()
                    .map(|c| match self.patience.is_over() {
                        true => 0.0,
                        false => gain(self, c),
                    })
                    .collect();
                bounds = fresh;
            }
            let mut order: Vec<usize> = (0..bounds.len()).filter(|&c| !self.inside[c]).collect();
            order.sort_by(|&a, &b| bounds[b].total_cmp(&bounds[a]).then(a.cmp(&b)));
            let mut best: Option<(f64, usize)> = None;
            for colour in order {
                if self.patience.is_over() {
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
            self.take_in(self.set.len() - 1);
        }
    }

    /// Exchanges the single pair of colours that helps most, until none helps.
    pub fn exchange(&mut self) {
        let work = self.costs.items() * self.costs.colours();
        let most = (MOST_WORK / work.max(1)).max(2);
        for _ in 0..most {
            if self.patience.is_over() {
                return;
            }
            let least = -self.total() * LEAST_GAIN;
            let losses = self.losses();
            let best = self
                .outside()
                .into_par_iter()
                .with_min_len(self.colours_at_once())
                .filter_map(|colour| self.best_exit(colour, &losses))
                .min_by(by_change);
            match best {
                Some((change, place, colour)) if change < least => {
                    let mut set = self.set.clone();
                    set[place] = colour;
                    self.settle(set);
                }
                _ => return,
            }
        }
    }

    /// Colours that are worth a task of their own.
    fn colours_at_once(&self) -> usize {
        LEAST_TASK / self.costs.items().max(1) + 1
    }

    fn outside(&self) -> Vec<usize> {
        (0..self.costs.colours())
            .filter(|&c| !self.inside[c])
            .collect()
    }

    /// What the total gains when a member leaves and nobody comes.
    fn losses(&self) -> Vec<f64> {
        let mut losses = vec![0.0; self.set.len()];
        for near in &self.near {
            losses[near.first] += gap(near.next, near.best);
        }
        losses
    }

    /// The change when `colour` comes and the member leaves whose leaving then costs least: (change, place, colour).
    fn best_exit(&self, colour: usize, losses: &[f64]) -> Option<(f64, usize, usize)> {
        if self.patience.is_over() {
            return None;
        }
        if self.set.len() == 1 {
            // Nobody is next nearest: the newcomer takes all.
            let all: f64 = self
                .costs
                .of(colour)
                .iter()
                .map(|&cost| f64::from(cost))
                .sum();
            return (self.kept == 0).then(|| (all - self.total(), 0, colour));
        }
        let mut exits = losses.to_vec();
        let mut coming = 0.0;
        for (near, &cost) in self.near.iter().zip(self.costs.of(colour)) {
            if cost < near.best {
                coming += gap(cost, near.best);
                exits[near.first] -= gap(near.next, near.best);
            } else if cost < near.next {
                exits[near.first] -= gap(near.next, cost);
            }
        }
        let (place, exit) = exits
            .iter()
            .enumerate()
            .skip(self.kept)
            .min_by(|a, b| a.1.total_cmp(b.1))?;
        Some((coming + exit, place, colour))
    }

    /// Exchanges two colours for two, where there are few enough, until none helps; after each, single exchanges again.
    pub fn exchange_pairs(&mut self) {
        let free = self.set.len() - self.kept;
        let outside = self.costs.colours() - self.set.len();
        let work = self.costs.items() * (outside * outside / 2).max(1);
        if free < 2 || outside < 2 || work > MOST_PAIR_WORK {
            return;
        }
        for _ in 0..(MOST_PAIR_WORK / work).clamp(1, 50) {
            if self.patience.is_over() {
                return;
            }
            let least = -self.total() * LEAST_GAIN;
            let outside = self.outside();
            let best = outside
                .par_iter()
                .with_min_len(self.colours_at_once() / outside.len())
                .enumerate()
                .flat_map_iter(|(at, &one)| outside[at + 1..].iter().map(move |&two| (one, two)))
                .filter_map(|(one, two)| self.best_two_exits(one, two))
                .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
            match best {
                Some((change, places, colours)) if change < least => {
                    let mut set = self.set.clone();
                    set[places.0] = colours.0;
                    set[places.1] = colours.1;
                    self.settle(set);
                    self.exchange();
                }
                _ => return,
            }
        }
    }

    /// The change when two colours come and the two members leave whose leaving then costs least.
    fn best_two_exits(&self, one: usize, two: usize) -> Option<TwoForTwo> {
        if self.patience.is_over() {
            return None;
        }
        let members = self.set.len();
        let mut single = vec![0.0f64; members];
        let mut both = vec![0.0f64; members * members];
        let mut coming = 0.0;
        let pairs = self.costs.of(one).iter().zip(self.costs.of(two));
        for (near, (&a, &b)) in self.near.iter().zip(pairs) {
            let cost = a.min(b);
            if cost < near.best {
                coming += gap(cost, near.best);
                continue;
            }
            let without_first = near.next.min(cost);
            single[near.first] += gap(without_first, near.best);
            let without_both = near.third.min(cost);
            if without_both > without_first {
                let (low, high) = (near.first.min(near.second), near.first.max(near.second));
                both[low * members + high] += gap(without_both, without_first);
            }
        }
        let mut best: Option<(f64, (usize, usize))> = None;
        for low in self.kept..members {
            for high in low + 1..members {
                let change = coming + single[low] + single[high] + both[low * members + high];
                if best.is_none_or(|(least, _)| change < least) {
                    best = Some((change, (low, high)));
                }
            }
        }
        best.map(|(change, places)| (change, places, (one, two)))
    }

    /// Takes some members out by turns, fills up again and mends; keeps what is cheaper.
    pub fn shake(&mut self) {
        let free = self.set.len() - self.kept;
        let work = (self.costs.items() * self.costs.colours()).max(1);
        if free == 0 || self.set.len() == self.costs.colours() {
            return;
        }
        let shakes = (MOST_SHAKE_WORK / work / 4).min(SHAKES);
        let mut best = (self.total(), self.set.clone());
        for shake in 0..shakes {
            if self.patience.is_over() {
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
            self.settle(set);
            self.fill_without(&gone);
            self.exchange();
            let total = self.total();
            if total < best.0 * (1.0 - LEAST_GAIN) {
                best = (total, self.set.clone());
            }
        }
        self.settle(best.1);
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

/// The difference in full precision: sums of rounded ones would see gains between equals, and go round in circles.
fn gap(more: f32, less: f32) -> f64 {
    f64::from(more) - f64::from(less)
}

type TwoForTwo = (f64, (usize, usize), (usize, usize));

fn by_change(a: &(f64, usize, usize), b: &(f64, usize, usize)) -> std::cmp::Ordering {
    a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2))
}
