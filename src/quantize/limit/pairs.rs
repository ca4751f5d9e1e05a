//! The exchange of two colours of a set for two others.
//!
//! When two members have left, two newcomers gain what each gains alone, less what both would gain
//! of the same items. So no pair gains more than both do alone, and the few items that are near to
//! both say how much less.

use super::search::{LEAST_GAIN, Near, Search, gap, higher, lower};
use rayon::prelude::*;

/// Work that an exchange of pairs may take, in items times pairs of colours.
const MOST_PAIR_WORK: usize = 40_000_000;
/// By how much sums over all items in different orders may differ, relative to the total.
const ROUNDING: f64 = 1e-9;

/// Two members by their place in the set, the lower first.
type Members = [usize; 2];

/// Two members that leave, two colours that come, and the change of the total.
#[derive(Debug, Clone, Copy)]
struct PairExchange {
    change: f64,
    out: Members,
    into: [usize; 2],
}

impl PairExchange {
    /// The better of two, ties in a fixed order.
    fn better(self, other: Self) -> Self {
        let places = || (self.out, self.into).cmp(&(other.out, other.into));
        if self
            .change
            .total_cmp(&other.change)
            .then_with(places)
            .is_le()
        {
            self
        } else {
            other
        }
    }
}

/// Every two members that may leave.
struct Exits {
    members: Vec<Members>,
    /// What the total loses when they leave and nothing comes.
    losses: Vec<f64>,
    /// The cost of each item when its two nearest have left.
    third: Vec<f32>,
}

/// A colour outside the set.
struct Newcomer {
    colour: usize,
    /// What it would gain alone, by the members that leave.
    gains: Vec<f64>,
    /// Items, a bit each, that it is nearer to than their third nearest.
    near: Vec<u64>,
}

impl Search<'_> {
    /// Exchanges two colours for two, where there are few enough, until none helps; after each,
    /// single exchanges again.
    pub fn exchange_pairs(&mut self) {
        let free = self.set.len() - self.kept;
        let outside = self.costs.colours() - self.set.len();
        // Where every bead's colour is fixed there is no item, and no work.
        let work = (self.costs.items() * (outside * outside / 2)).max(1);
        if free < 2 || outside < 2 || work > MOST_PAIR_WORK {
            return;
        }
        for _ in 0..(MOST_PAIR_WORK / work).clamp(1, 50) {
            if self.cancel.is_over() {
                return;
            }
            let least = -self.total() * LEAST_GAIN;
            let Some(best) = self.best_pair(least) else {
                return;
            };
            let mut set = self.set.clone();
            for (place, colour) in best.out.into_iter().zip(best.into) {
                set[place] = colour;
            }
            self.replace(set);
            self.exchange();
        }
    }

    /// The exchange of two for two that lowers the total most, if one changes it by less than
    /// `least`.
    fn best_pair(&self, least: f64) -> Option<PairExchange> {
        let exits = self.exits();
        let newcomers: Vec<Newcomer> = self
            .outside()
            .into_par_iter()
            .with_min_len(self.colours_at_once())
            .map(|colour| self.newcomer(colour, &exits))
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
                    let mut found: Option<PairExchange> = None;
                    for two in &newcomers[at + 1..] {
                        let alone = one.gains.iter().zip(&two.gains).zip(&exits.losses);
                        let hope = alone
                            .map(|((a, b), loss)| loss - a - b)
                            .fold(f64::INFINITY, f64::min);
                        if hope >= *best + slack {
                            continue;
                        }
                        let pair = self.two_for_two(one, two, &exits, tally);
                        *best = best.min(pair.change);
                        found = found.into_iter().chain([pair]).reduce(PairExchange::better);
                    }
                    found
                },
            )
            .flatten()
            .reduce_with(PairExchange::better)
            .filter(|best| best.change < least)
    }

    fn exits(&self) -> Exits {
        let places = self.kept..self.set.len();
        let members: Vec<Members> = places
            .flat_map(|low| (low + 1..self.set.len()).map(move |high| [low, high]))
            .collect();
        let third = self.third();
        let mut tally = Tally::new(self.set.len());
        for (near, &third) in self.near.iter().zip(&third) {
            tally.single[near.first] += gap(near.next, near.best);
            *tally.both(near) += gap(third, near.next);
        }
        let losses = members.iter().map(|&members| tally.of(members)).collect();
        Exits {
            members,
            losses,
            third,
        }
    }

    /// The cost of each item when its two nearest have left; where none is left, any newcomer costs
    /// no more than the dearest.
    fn third(&self) -> Vec<f32> {
        let each = self.near.iter().enumerate();
        each.map(|(item, near)| match near.third {
            f32::INFINITY => self.costs.dearest(item),
            third => third,
        })
        .collect()
    }

    fn newcomer(&self, colour: usize, exits: &Exits) -> Newcomer {
        let costs = self.costs.of(colour);
        let mut near = vec![0u64; costs.len().div_ceil(64)];
        let mut tally = Tally::new(self.set.len());
        for (item, (&cost, &third)) in costs.iter().zip(&exits.third).enumerate() {
            if cost < third {
                near[item / 64] |= 1 << (item % 64);
                tally.add(&self.near[item], third, cost);
            }
        }
        let members = exits.members.iter();
        Newcomer {
            colour,
            gains: members.map(|&members| tally.of(members)).collect(),
            near,
        }
    }

    /// The change when two colours come and the two members leave whose leaving then costs least.
    fn two_for_two(
        &self,
        one: &Newcomer,
        two: &Newcomer,
        exits: &Exits,
        tally: &mut Tally,
    ) -> PairExchange {
        tally.clear();
        let (a, b) = (self.costs.of(one.colour), self.costs.of(two.colour));
        for (word, (one, two)) in one.near.iter().zip(&two.near).enumerate() {
            let mut shared = one & two;
            while shared != 0 {
                let item = word * 64 + shared.trailing_zeros() as usize;
                let third = exits.third[item];
                tally.add(&self.near[item], third, higher(a[item], b[item]));
                shared &= shared - 1;
            }
        }
        let mut best = PairExchange {
            change: f64::INFINITY,
            out: [0, 0],
            into: [one.colour, two.colour],
        };
        for (at, &out) in exits.members.iter().enumerate() {
            let change = exits.losses[at] - one.gains[at] - two.gains[at] + tally.of(out);
            if change < best.change {
                best = PairExchange {
                    change,
                    out,
                    ..best
                };
            }
        }
        best
    }
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

    fn of(&self, members: Members) -> f64 {
        let [low, high] = members;
        let both = self.pairs[low * self.single.len() + high];
        self.always + self.single[low] + self.single[high] + both
    }
}

#[cfg(test)]
mod tests {
    use super::super::search::Exchange;
    use super::super::{Costs, best_set};
    use super::*;
    use crate::cancel::Cancel;
    use proptest::prelude::*;

    /// The change of the best exchange of `leave` members, by trying all.
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

    #[test]
    fn without_an_item_the_set_is_filled_and_kept() {
        let costs = Costs::new(&[], &[], &[0, 1, 2, 3, 4], &Cancel::default());
        let set = best_set(&costs, &[3], 3, &Cancel::default());
        assert_eq!((set[0], set.len()), (3, 3));
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
            let outside = search.outside().into_iter();
            let exits = outside.filter_map(|colour| search.best_exit(colour, &losses));
            let best = exits.min_by(Exchange::by_change).expect("an exchange");
            prop_assert!((best.change - slowly(&costs, &search, 1)).abs() < 1e-9);
            let slow = slowly(&costs, &search, 2);
            let pair = search.best_pair(f64::INFINITY).expect("an exchange");
            prop_assert!((pair.change - slow).abs() < 1e-9, "{pair:?} {slow}");
            // Asked for more than there is, it finds none.
            prop_assert!(search.best_pair(slow - 1e-6).is_none());
            let mut set = search.set.clone();
            set[pair.out[0]] = pair.into[0];
            set[pair.out[1]] = pair.into[1];
            prop_assert!((costs.total(&set) - costs.total(&search.set) - pair.change).abs() < 1e-9);
        }
    }
}
