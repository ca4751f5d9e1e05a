//! Which few colours to use when beads of each are counted: a capacitated k-median.
//!
//! The cost of a set is that of its transportation problem. From the set that would be best if
//! there were enough beads, adjusted until it holds all, single colours are exchanged until none
//! helps. Trying all exchanges would solve a problem for each; most are ruled out by a bound: for
//! any prices `p >= 0` of the colours' capacities `u`, no assignment costs less than `Σ supply
//! min_j (c_j + p_j) - Σ p_j u_j`, and the prices of the last solution make it tight. Then the set
//! is shaken by taking out members in turn. Single beads stand for groups of several sizes; the
//! last step keeps those whole.

use super::costs::CostTable;
use super::transport::{Solution, Transport, solve};
use crate::cancel::Cancel;
use std::collections::BTreeMap;

/// Edges visited, all in all.
const MOST_WORK: u64 = 250_000_000;
/// Shakes, at most.
const SHAKES: usize = 40;

/// The problem: what each item costs, the capacity of each colour, how many colours, and which
/// stay.
pub struct CapacitatedMedian<'a> {
    /// Costs of all colours that may be used.
    pub table: &'a CostTable,
    /// Capacity of each of them, in beads.
    pub capacity: &'a [u64],
    /// Number of colours.
    pub count: usize,
    /// Colours that stay.
    pub keep: &'a [usize],
    /// Cancels the work.
    pub cancel: &'a Cancel,
}

/// A set with its solution.
#[derive(Clone)]
struct Set {
    columns: Vec<usize>,
    solution: Solution,
}

impl CapacitatedMedian<'_> {
    /// The best set found, starting from `start` (which holds what stays); none if no set of so
    /// many colours has enough beads.
    pub fn choose(&self, start: &[usize]) -> Option<Vec<usize>> {
        let mut work = 0;
        let start = self.roomy(start)?;
        let mut best = self.solved(start, &mut work)?;
        self.exchange(&mut best, &mut work);
        let free: Vec<usize> = (0..best.columns.len()).collect();
        let movable = |set: &Set| -> Vec<usize> {
            let stays = |&at: &usize| !self.keep.contains(&set.columns[at]);
            free.iter().copied().filter(stays).collect()
        };
        for shake in 0..SHAKES {
            let places = movable(&best);
            if places.is_empty() || work > MOST_WORK || self.cancel.is_over() {
                break;
            }
            let mut columns = best.columns.clone();
            let leave = 1 + (shake / places.len()) % places.len().min(3);
            for turn in 0..leave {
                let place = places[(shake + turn * 5) % places.len()];
                // Another colour comes in each time: those outside, in turn.
                let outside: Vec<usize> = self.outside(&columns);
                if let Some(&other) = outside.get((shake * 7 + turn * 11) % outside.len().max(1)) {
                    columns[place] = other;
                }
            }
            let Some(columns) = self.roomy(&columns) else {
                continue;
            };
            if let Some(mut set) = self.solved(columns, &mut work) {
                self.exchange(&mut set, &mut work);
                if set.solution.cost < best.solution.cost {
                    best = set;
                }
            }
        }
        best.columns.sort_unstable();
        Some(best.columns)
    }

    fn outside(&self, columns: &[usize]) -> Vec<usize> {
        (0..self.table.width)
            .filter(|at| !columns.contains(at) && self.capacity[*at] > 0)
            .collect()
    }

    /// Capacity of a set, as far as it can be used.
    fn holds(&self, columns: &[usize]) -> u64 {
        let capacity = columns.iter().map(|&at| self.usable(at));
        capacity.fold(0, u64::saturating_add)
    }

    /// Where all groups have one size, what is left beyond whole groups is of no use.
    fn usable(&self, at: usize) -> u64 {
        match self.table.one_size() {
            Some(size) => self.capacity[at] / size * size,
            None => self.capacity[at],
        }
    }

    /// The set with its scarcest colours exchanged for the most plentiful until it holds all.
    fn roomy(&self, start: &[usize]) -> Option<Vec<usize>> {
        let mut columns = start.to_vec();
        let beads = self.table.beads();
        let mut outside = self.outside(&columns);
        outside.sort_by_key(|&at| (std::cmp::Reverse(self.usable(at)), at));
        let mut roomy = outside.into_iter();
        while columns.len() < self.count {
            columns.push(roomy.next()?);
        }
        while self.holds(&columns) < beads {
            let smallest = (0..columns.len())
                .filter(|&place| !self.keep.contains(&columns[place]))
                .min_by_key(|&place| (self.usable(columns[place]), place))?;
            let other = roomy.next()?;
            if self.usable(other) <= self.usable(columns[smallest]) {
                return None;
            }
            columns[smallest] = other;
        }
        Some(columns)
    }

    fn solved(&self, columns: Vec<usize>, work: &mut u64) -> Option<Set> {
        let size = self.table.one_size().unwrap_or(1);
        let supply: Vec<u64> = self
            .table
            .items
            .iter()
            .map(|item| item.beads() / size)
            .collect();
        let capacity: Vec<u64> = columns.iter().map(|&at| self.capacity[at] / size).collect();
        let solution = solve(&Transport {
            costs: &self.table.costs,
            width: self.table.width,
            columns: &columns,
            supply: &supply,
            capacity: &capacity,
            most: &BTreeMap::new(),
            cancel: self.cancel,
        })?;
        *work += solution.work;
        let fits = solution.over.iter().all(|&over| over == 0);
        fits.then_some(Set { columns, solution })
    }

    /// Exchanges one colour for one, the most promising first, until none helps.
    fn exchange(&self, set: &mut Set, work: &mut u64) {
        let beads = self.table.beads();
        'again: while *work < MOST_WORK {
            let mut promising = self.bounds(set);
            *work += (self.table.items.len() * self.table.width) as u64;
            promising.retain(|&(bound, ..)| bound < set.solution.cost);
            promising.sort_unstable();
            for (_, place, column) in promising {
                let mut columns = set.columns.clone();
                columns[place] = column;
                if self.holds(&columns) < beads {
                    continue;
                }
                if let Some(other) = self.solved(columns, work)
                    && other.solution.cost < set.solution.cost
                {
                    *set = other;
                    continue 'again;
                }
                if *work > MOST_WORK || self.cancel.is_over() {
                    return;
                }
            }
            return;
        }
    }

    /// For each exchange of a colour that may go for one outside what it costs at least: (bound,
    /// place, colour).
    fn bounds(&self, set: &Set) -> Vec<(i64, usize, usize)> {
        let size = self.table.one_size().unwrap_or(1);
        let places: Vec<usize> = (0..set.columns.len())
            .filter(|&place| !self.keep.contains(&set.columns[place]))
            .collect();
        let price = &set.solution.price;
        // A price that is not zero means that the colour is used up, so its capacity is no larger
        // than the beads.
        let held = |place: usize| match price[place] {
            0 => 0,
            price => price * (self.capacity[set.columns[place]] / size) as i64,
        };
        let all_held: i64 = (0..price.len()).map(held).sum();
        let near: Vec<(usize, i64, i64)> = (0..self.table.items.len())
            .map(|item| self.nearest_two(set, item))
            .collect();
        let mut bounds = Vec::new();
        for column in self.outside(&set.columns) {
            if self.cancel.is_over() {
                break;
            }
            // With it in and no member out; and what each member's leaving adds.
            let mut total = 0;
            let mut leaving = vec![0; set.columns.len()];
            for (item, &(first, best, next)) in near.iter().enumerate() {
                let units = (self.table.items[item].beads() / size) as i64;
                let own = self.table.cost(item, column);
                total += best.min(own) * units;
                if own > best {
                    leaving[first] += (next.min(own) - best) * units;
                }
            }
            for &place in &places {
                let bound = total + leaving[place] - (all_held - held(place));
                bounds.push((bound, place, column));
            }
        }
        bounds
    }

    /// The member that is cheapest for an item, its price included, its cost, and that of the next.
    fn nearest_two(&self, set: &Set, item: usize) -> (usize, i64, i64) {
        let mut near = (0, i64::MAX, i64::MAX);
        for (place, &column) in set.columns.iter().enumerate() {
            let own = self.table.cost(item, column) + set.solution.price[place];
            if own < near.1 {
                near = (place, own, near.1);
            } else if own < near.2 {
                near.2 = own;
            }
        }
        near
    }
}
