//! The search for a cheap set of colours: fill greedily, exchange one for one, then two for two, then shake.

use super::Costs;
use crate::cancel::Cancel;
use rayon::prelude::*;
use std::collections::HashSet;

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
/// By how much sums over all items in different orders may differ, relative to the total.
const ROUNDING: f64 = 1e-9;

/// A set of colours on its way.
pub struct Search<'a> {
    costs: &'a Costs,
    count: usize,
    /// The set; the first `kept` of it stay.
    pub set: Vec<usize>,
    kept: usize,
    inside: Vec<bool>,
    near: Vec<Near>,
    cancel: &'a Cancel,
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
    pub fn new(costs: &'a Costs, keep: &[usize], count: usize, cancel: &'a Cancel) -> Self {
        let mut search = Self {
            costs,
            count: count.clamp(keep.len(), costs.colours()),
            set: keep.to_vec(),
            kept: keep.len(),
            inside: vec![false; costs.colours()],
            near: vec![NOBODY; costs.items()],
            cancel,
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
                false => gained(&search.near, costs),
            }
        };
        let mut bounds: Vec<f64> = vec![f64::INFINITY; self.costs.colours()];
        while self.set.len() < self.count {
            if self.set.len() <= 1 {
                // Gains before and after the first colour are different quantities: start afresh.
                let fresh: Vec<f64> = (0..bounds.len())
                    .into_par_iter()
                    .map(|c| match self.cancel.is_over() {
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
            self.take_in(self.set.len() - 1);
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
        if self.cancel.is_over() {
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
        // Without branches, which nobody could foretell here.
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
            if self.cancel.is_over() {
                return;
            }
            let least = -self.total() * LEAST_GAIN;
            let Some((_, places, colours)) = self.best_pair(least) else {
                return;
            };
            let mut set = self.set.clone();
            set[places.0] = colours.0;
            set[places.1] = colours.1;
            self.settle(set);
            self.exchange();
        }
    }

    /// The exchange of two for two that lowers the total most, if one changes it by less than `least`.
    ///
    /// When two have left, two newcomers gain what each gains alone, less what both would gain of the same items. So no pair gains more than both do alone, and the few items
    /// that both come near to tell how much less.
    fn best_pair(&self, least: f64) -> Option<TwoForTwo> {
        let exits: Vec<(usize, usize)> = (self.kept..self.set.len())
            .flat_map(|low| (low + 1..self.set.len()).map(move |high| (low, high)))
            .collect();
        let third = self.third();
        let losses = self.losses_by_two(&exits, &third);
        let newcomers: Vec<Newcomer> = self
            .outside()
            .into_par_iter()
            .with_min_len(self.colours_at_once())
            .map(|colour| self.newcomer(colour, &exits, &third))
            .collect();
        // Sums over the same items in another order differ by rounding.
        let slack = self.total() * ROUNDING;
        (0..newcomers.len())
            .into_par_iter()
            .map_init(
                || (Tally::new(self.set.len()), least),
                |(tally, best), at| {
                    if self.cancel.is_over() {
                        return None;
                    }
                    let one = &newcomers[at];
                    let mut found: Option<TwoForTwo> = None;
                    for two in &newcomers[at + 1..] {
                        let alone = one.gains.iter().zip(&two.gains).zip(&losses);
                        let hope = alone
                            .map(|((a, b), loss)| loss - a - b)
                            .fold(f64::INFINITY, f64::min);
                        if hope >= *best + slack {
                            continue;
                        }
                        let pair = self.two_for_two(one, two, (&exits, &losses, &third), tally);
                        *best = best.min(pair.0);
                        found = found.into_iter().chain([pair]).min_by(by_change_of_two);
                    }
                    found
                },
            )
            .flatten()
            .min_by(by_change_of_two)
            .filter(|best| best.0 < least)
    }

    /// The cost of each item when its two nearest have left; where nobody is left, whoever comes costs no more than the dearest.
    fn third(&self) -> Vec<f32> {
        let each = self.near.iter().enumerate();
        each.map(|(item, near)| match near.third {
            f32::INFINITY => self.costs.dearest(item),
            third => third,
        })
        .collect()
    }

    /// What the total gains when two members leave and nobody comes.
    fn losses_by_two(&self, exits: &[(usize, usize)], third: &[f32]) -> Vec<f64> {
        let mut tally = Tally::new(self.set.len());
        for (near, &third) in self.near.iter().zip(third) {
            tally.single[near.first] += gap(near.next, near.best);
            *tally.both(near) += gap(third, near.next);
        }
        exits.iter().map(|&exit| tally.of(exit)).collect()
    }

    fn newcomer(&self, colour: usize, exits: &[(usize, usize)], third: &[f32]) -> Newcomer {
        let costs = self.costs.of(colour);
        let mut near = vec![0u64; costs.len().div_ceil(64)];
        let mut tally = Tally::new(self.set.len());
        for (item, (&cost, &third)) in costs.iter().zip(third).enumerate() {
            if cost < third {
                near[item / 64] |= 1 << (item % 64);
                tally.add(&self.near[item], third, cost);
            }
        }
        Newcomer {
            colour,
            gains: exits.iter().map(|&exit| tally.of(exit)).collect(),
            near,
        }
    }

    /// The change when two colours come and the two members leave whose leaving then costs least.
    fn two_for_two(
        &self,
        one: &Newcomer,
        two: &Newcomer,
        (exits, losses, third): (&[(usize, usize)], &[f64], &[f32]),
        tally: &mut Tally,
    ) -> TwoForTwo {
        tally.clear();
        let (a, b) = (self.costs.of(one.colour), self.costs.of(two.colour));
        for (word, (one, two)) in one.near.iter().zip(&two.near).enumerate() {
            let mut shared = one & two;
            while shared != 0 {
                let item = word * 64 + shared.trailing_zeros() as usize;
                tally.add(&self.near[item], third[item], higher(a[item], b[item]));
                shared &= shared - 1;
            }
        }
        let change = |at: usize| losses[at] - one.gains[at] - two.gains[at] + tally.of(exits[at]);
        let mut best = (f64::INFINITY, (0, 0), (one.colour, two.colour));
        for (at, &exit) in exits.iter().enumerate() {
            let change = change(at);
            if change < best.0 {
                best = (change, exit, best.2);
            }
        }
        best
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
            // The turns come round again; the same shake of the same set mends to the same.
            if !tried.insert(gone.clone()) {
                continue;
            }
            self.settle(set);
            self.fill_without(&gone);
            self.exchange();
            let total = self.total();
            if total < best.0 * (1.0 - LEAST_GAIN) {
                best = (total, self.set.clone());
                tried.clear();
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

/// The lower of two costs, which are numbers.
fn lower(a: f32, b: f32) -> f32 {
    if a < b { a } else { b }
}

fn higher(a: f32, b: f32) -> f32 {
    if a > b { a } else { b }
}

/// Sums that are kept side by side, so that none waits for another.
const LANES: usize = 4;

/// What all items gain by a newcomer when nobody leaves.
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

/// A colour outside the set.
struct Newcomer {
    colour: usize,
    /// What it would gain alone, by those that leave.
    gains: Vec<f64>,
    /// Items, a bit each, that would rather have it than their third nearest.
    near: Vec<u64>,
}

/// Gains by who leaves: `always`, with each of the members, and with each pair of them besides.
struct Tally {
    always: f64,
    single: Vec<f64>,
    pairs: Vec<f64>,
}

impl Tally {
    fn new(members: usize) -> Self {
        Self {
            always: 0.0,
            single: vec![0.0; members],
            pairs: vec![0.0; members * members],
        }
    }

    fn clear(&mut self) {
        self.always = 0.0;
        self.single.fill(0.0);
        self.pairs.fill(0.0);
    }

    fn both(&mut self, near: &Near) -> &mut f64 {
        let (low, high) = (near.first.min(near.second), near.first.max(near.second));
        &mut self.pairs[low * self.single.len() + high]
    }

    /// An item that would have something for `cost` in place of its nearest that stays.
    fn add(&mut self, near: &Near, third: f32, cost: f32) {
        let with_all = gap(near.best, lower(near.best, cost));
        let with_one = gap(near.next, lower(near.next, cost));
        self.always += with_all;
        self.single[near.first] += with_one - with_all;
        *self.both(near) += gap(third, cost) - with_one;
    }

    fn of(&self, (low, high): (usize, usize)) -> f64 {
        let both = self.pairs[low * self.single.len() + high];
        self.always + self.single[low] + self.single[high] + both
    }
}

fn by_change_of_two(a: &TwoForTwo, b: &TwoForTwo) -> std::cmp::Ordering {
    a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2))
}

type TwoForTwo = (f64, (usize, usize), (usize, usize));

fn by_change(a: &(f64, usize, usize), b: &(f64, usize, usize)) -> std::cmp::Ordering {
    a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The change that the best exchange of `leave` members brings, all tried.
    fn slowly(costs: &Costs, search: &Search<'_>, leave: usize) -> f64 {
        let before = costs.total(&search.set);
        let outside = search.outside();
        let mut best = f64::INFINITY;
        let places = search.set.len();
        for first in search.kept..places {
            for second in first..places {
                if (first == second) != (leave == 1) {
                    continue;
                }
                for &one in &outside {
                    for &two in &outside {
                        let mut set = search.set.clone();
                        set[first] = one;
                        if leave == 2 {
                            set[second] = two;
                        }
                        best = best.min(costs.total(&set) - before);
                    }
                }
            }
        }
        best
    }

    proptest! {
        /// Bounds and sums side by side find what trying every exchange finds.
        #[test]
        fn the_best_exchange_is_found(
            rows in prop::collection::vec(prop::collection::vec(0.0..40.0f64, 23), 6..12),
            kept in 0..2usize,
            more in 2..4usize,
        ) {
            let costs = Costs::from_rows(&rows);
            let keep: Vec<usize> = (0..kept).collect();
            let cancel = Cancel::default();
            let mut search = Search::new(&costs, &keep, kept + more, &cancel);
            search.fill();
            let losses = search.losses();
            let single = search.outside().into_iter().filter_map(|colour| search.best_exit(colour, &losses)).min_by(by_change);
            prop_assert!((single.expect("an exchange").0 - slowly(&costs, &search, 1)).abs() < 1e-9);
            let slow = slowly(&costs, &search, 2);
            let pair = search.best_pair(f64::INFINITY).expect("an exchange");
            prop_assert!((pair.0 - slow).abs() < 1e-9, "{pair:?} {slow}");
            // Asked for more than there is, it finds none.
            prop_assert!(search.best_pair(slow - 1e-6).is_none());
            let mut set = search.set.clone();
            set[pair.1.0] = pair.2.0;
            set[pair.1.1] = pair.2.1;
            prop_assert!((costs.total(&set) - costs.total(&search.set) - pair.0).abs() < 1e-9);
        }
    }
}
