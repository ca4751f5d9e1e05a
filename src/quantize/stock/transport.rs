//! The transportation problem: each item's units to colours of limited capacity, at the least cost;
//! exact, in whole numbers.
//!
//! Every item starts at its cheapest colours, as if there were enough, which is optimal but
//! overfills some. Then the excess moves along shortest paths from colour to colour until there is
//! none: successive shortest paths with potentials (R. K. Ahuja, T. L. Magnanti, J. B. Orlin,
//! "Network Flows", 1993). A path consists of colours alone: the edge from one to another is the
//! unit whose move costs least. As each state is the cheapest for its own excess, the last one is
//! optimal; and where all capacities together are too small, the excess left is the shortage that
//! costs least to buy.

use crate::cancel::Cancel;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

/// Cost of a unit, below 2^31.
pub type Cost = u32;

/// Items, colours and what each unit costs.
pub struct Transport<'a> {
    /// Cost of one unit, item by item, a column a colour of the whole table.
    pub costs: &'a [Cost],
    /// Width of the table.
    pub width: usize,
    /// The columns in use.
    pub columns: &'a [usize],
    /// Units of each item.
    pub supply: &'a [u64],
    /// Units that each of `columns` can take.
    pub capacity: &'a [u64],
    /// Most units of an item (first) in a column (second, an index in `columns`), where that is
    /// bounded.
    pub most: &'a BTreeMap<(usize, usize), u64>,
    /// Cancels the work.
    pub cancel: &'a Cancel,
}

/// The colour assigned to each unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Solution {
    /// For each item its columns (indices in `columns`) and units, each column once.
    pub flow: Vec<Vec<(usize, u64)>>,
    /// Units in each column beyond its capacity: zero everywhere, unless there is too little.
    pub over: Vec<u64>,
    /// What a unit more of each column would save.
    pub price: Vec<i64>,
    /// Total cost.
    pub cost: i64,
    /// Edges visited: a measure of the work that is the same on every machine.
    pub work: u64,
}

/// A heap of moves out of a colour into another: what a unit's move costs, and its item.
type Moves = BinaryHeap<Reverse<(i32, u32)>>;

struct Solver<'a> {
    given: &'a Transport<'a>,
    flow: Vec<Vec<(usize, u64)>>,
    load: Vec<u64>,
    /// Items that were put into a column at some time.
    holders: Vec<Vec<u32>>,
    /// For columns that a path has visited: the moves out of it, by where to.
    moves: Vec<Option<Vec<Moves>>>,
    potential: Vec<i64>,
    work: u64,
}

/// The cheapest assignment, or none if bounds on single items leave one of them without a place, or
/// the work is cancelled.
pub fn solve(given: &Transport) -> Option<Solution> {
    let mut solver = Solver::new(given)?;
    while solver.push() {
        if given.cancel.is_over() {
            return None;
        }
    }
    Some(solver.finished())
}

impl<'a> Solver<'a> {
    fn new(given: &'a Transport<'a>) -> Option<Self> {
        let columns = given.columns.len();
        let mut solver = Self {
            given,
            flow: vec![Vec::new(); given.supply.len()],
            load: vec![0; columns],
            holders: vec![Vec::new(); columns],
            moves: (0..columns).map(|_| None).collect(),
            potential: vec![0; columns],
            work: 0,
        };
        for item in 0..given.supply.len() {
            if given.cancel.is_over() {
                return None;
            }
            solver.start(item)?;
        }
        Some(solver)
    }

    fn cost(&self, item: usize, column: usize) -> i64 {
        i64::from(self.given.costs[item * self.given.width + self.given.columns[column]])
    }

    /// What a unit's move costs.
    fn move_cost(&self, item: usize, from: usize, to: usize) -> i32 {
        (self.cost(item, to) - self.cost(item, from)) as i32
    }

    fn most(&self, item: usize, column: usize) -> u64 {
        let bounded = !self.given.most.is_empty();
        let most = || self.given.most.get(&(item, column)).copied();
        bounded.then(most).flatten().unwrap_or(u64::MAX)
    }

    /// Puts an item into its cheapest columns, the first of equals.
    fn start(&mut self, item: usize) -> Option<()> {
        let mut left = self.given.supply[item];
        self.work += self.load.len() as u64;
        while left > 0 {
            let open = (0..self.load.len())
                .filter(|&column| self.amount(item, column) < self.most(item, column));
            let column = open.min_by_key(|&column| self.cost(item, column))?;
            let units = left.min(self.most(item, column));
            self.change(item, column, units, true);
            left -= units;
        }
        Some(())
    }

    fn amount(&self, item: usize, column: usize) -> u64 {
        let held = self.flow[item].iter().find(|(at, _)| *at == column);
        held.map_or(0, |(_, units)| *units)
    }

    fn change(&mut self, item: usize, column: usize, units: u64, into: bool) {
        let held = self.flow[item].iter().position(|(at, _)| *at == column);
        match (held, into) {
            (Some(at), true) => self.flow[item][at].1 += units,
            (None, true) => {
                self.flow[item].push((column, units));
                self.holders[column].push(item as u32);
            }
            (Some(at), false) => {
                self.flow[item][at].1 -= units;
                if self.flow[item][at].1 == 0 {
                    self.flow[item].swap_remove(at);
                }
            }
            (None, false) => {}
        }
        if into {
            self.load[column] += units
        } else {
            self.load[column] -= units
        }
    }

    /// The cheapest move from one column to another; moves that no longer exist are dropped on the
    /// way.
    fn cheapest(&mut self, from: usize, to: usize) -> Option<(i64, usize)> {
        loop {
            let Reverse((cost, item)) = *self.moves[from].as_ref()?[to].peek()?;
            let item = item as usize;
            if self.amount(item, from) > 0 && self.amount(item, to) < self.most(item, to) {
                return Some((i64::from(cost), item));
            }
            self.moves[from].as_mut()?[to].pop();
        }
    }

    /// Lists the moves out of a column, the first time that a path visits it.
    fn open(&mut self, column: usize) {
        if self.moves[column].is_some() {
            return;
        }
        let mut held: Vec<u32> = self.holders[column].clone();
        held.sort_unstable();
        held.dedup();
        held.retain(|&item| self.amount(item as usize, column) > 0);
        let heaps = (0..self.load.len()).map(|to| {
            let moves = held.iter().filter(|_| to != column).map(|&item| {
                let item_at = item as usize;
                Reverse((self.move_cost(item_at, column, to), item))
            });
            moves.collect()
        });
        let heaps: Vec<Moves> = heaps.collect();
        self.work += (held.len() * self.load.len()) as u64;
        self.moves[column] = Some(heaps);
    }

    /// The moves of an item out of a column that it has just entered, or out of which it has new
    /// moves.
    fn list(&mut self, item: usize, from: usize, to: usize) {
        let cost = self.move_cost(item, from, to);
        if let Some(heaps) = &mut self.moves[from]
            && from != to
        {
            heaps[to].push(Reverse((cost, item as u32)));
        }
    }

    /// Moves some of the excess along the shortest path to free capacity; false if there is none.
    fn push(&mut self) -> bool {
        let columns = self.load.len();
        let full =
            |solver: &Self, column: usize| solver.load[column] >= solver.given.capacity[column];
        let mut distance = vec![i64::MAX; columns];
        let mut way: Vec<Option<(usize, usize)>> = vec![None; columns];
        let mut done = vec![false; columns];
        for (column, distance) in distance.iter_mut().enumerate() {
            if self.load[column] > self.given.capacity[column] {
                *distance = 0;
            }
        }
        let end = loop {
            let next = (0..columns)
                .filter(|&column| !done[column] && distance[column] < i64::MAX)
                .min_by_key(|&column| (distance[column], full(self, column), column));
            let Some(column) = next else { return false };
            done[column] = true;
            if !full(self, column) {
                break column;
            }
            self.open(column);
            self.work += columns as u64;
            for to in 0..columns {
                if done[to] {
                    continue;
                }
                if let Some((cost, item)) = self.cheapest(column, to) {
                    let own = distance[column] + cost + self.potential[column] - self.potential[to];
                    if own < distance[to] {
                        distance[to] = own;
                        way[to] = Some((column, item));
                    }
                }
            }
        };
        for (potential, &own) in self.potential.iter_mut().zip(&distance) {
            *potential += own.min(distance[end]);
        }
        self.shift(end, &way);
        true
    }

    /// Moves as much as the path allows.
    fn shift(&mut self, end: usize, way: &[Option<(usize, usize)>]) {
        let mut path = Vec::new();
        let mut at = end;
        while let Some((from, item)) = way[at] {
            path.push((from, at, item));
            at = from;
        }
        let mut units = (self.load[at] - self.given.capacity[at])
            .min(self.given.capacity[end] - self.load[end]);
        for &(from, to, item) in &path {
            let open = self.most(item, to) - self.amount(item, to);
            units = units.min(self.amount(item, from)).min(open);
        }
        for &(from, to, item) in &path {
            self.change(item, to, units, true);
            self.change(item, from, units, false);
        }
        for &(from, to, item) in &path {
            for column in 0..self.load.len() {
                self.list(item, to, column);
            }
            // Where its number in a column is bounded, a move back may have become possible.
            if !self.given.most.is_empty() {
                let held: Vec<usize> = self.flow[item].iter().map(|&(at, _)| at).collect();
                held.into_iter().for_each(|at| self.list(item, at, from));
            }
            self.work += self.load.len() as u64;
        }
    }

    fn finished(self) -> Solution {
        let cost = (0..self.flow.len())
            .flat_map(|item| {
                self.flow[item]
                    .iter()
                    .map(move |&(at, units)| (item, at, units))
            })
            .map(|(item, at, units)| self.cost(item, at) * units as i64)
            .sum();
        let top = self.potential.iter().copied().max().unwrap_or(0);
        let over = self.load.iter().zip(self.given.capacity);
        Solution {
            over: over
                .map(|(load, capacity)| load.saturating_sub(*capacity))
                .collect(),
            price: self.potential.iter().map(|own| top - own).collect(),
            cost,
            work: self.work,
            flow: self.flow,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The cheapest total by trying everything.
    fn by_trying(
        costs: &[Vec<u32>],
        supply: &[u64],
        capacity: &mut [u64],
        item: usize,
    ) -> Option<i64> {
        let Some(&units) = supply.get(item) else {
            return Some(0);
        };
        fn spread(
            costs: &[Vec<u32>],
            supply: &[u64],
            capacity: &mut [u64],
            item: usize,
            column: usize,
            left: u64,
        ) -> Option<i64> {
            if column == capacity.len() {
                return (left == 0).then(|| by_trying(costs, supply, capacity, item + 1))?;
            }
            let most = left.min(capacity[column]);
            (0..=most)
                .filter_map(|units| {
                    capacity[column] -= units;
                    let rest = spread(costs, supply, capacity, item, column + 1, left - units);
                    capacity[column] += units;
                    Some(rest? + i64::from(costs[item][column]) * units as i64)
                })
                .min()
        }
        spread(costs, supply, capacity, item, 0, units)
    }

    fn solved(costs: &[Vec<u32>], supply: &[u64], capacity: &[u64]) -> Solution {
        let columns: Vec<usize> = (0..capacity.len()).collect();
        solve(&Transport {
            costs: &costs.concat(),
            width: capacity.len(),
            columns: &columns,
            supply,
            capacity,
            most: &BTreeMap::new(),
            cancel: &Cancel::default(),
        })
        .unwrap()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]
        #[test]
        fn the_cost_is_that_of_trying_everything(
            costs in prop::collection::vec(prop::collection::vec(0..30u32, 3), 1..5),
            supply in prop::collection::vec(0..4u64, 4),
            capacity in prop::collection::vec(0..6u64, 3),
        ) {
            let supply = &supply[..costs.len()];
            let solution = solved(&costs, supply, &capacity);
            let short = supply.iter().sum::<u64>().saturating_sub(capacity.iter().sum());
            prop_assert_eq!(solution.over.iter().sum::<u64>(), short);
            for (flow, units) in solution.flow.iter().zip(supply) {
                prop_assert_eq!(flow.iter().map(|(_, units)| units).sum::<u64>(), *units);
            }
            if short == 0 {
                let best = by_trying(&costs, supply, &mut capacity.clone(), 0);
                prop_assert_eq!(Some(solution.cost), best);
                // Strong duality: the prices prove the cost.
                let dual: i64 = costs.iter().zip(supply).map(|(costs, units)| {
                    let prices = costs.iter().zip(&solution.price);
                    let least = prices.map(|(c, p)| i64::from(*c) + p).min();
                    least.unwrap() * *units as i64
                }).sum::<i64>();
                let held = solution.price.iter().zip(&capacity);
                let dual = dual - held.map(|(p, r)| p * *r as i64).sum::<i64>();
                prop_assert_eq!(dual, solution.cost);
            }
        }
    }

    #[test]
    fn the_shortage_is_what_costs_least_to_buy() {
        // Two of each needed, capacity for one of each: the third column takes one, and is bad for
        // the first item.
        let costs = [vec![0, 50, 90], vec![50, 0, 10]];
        let solution = solved(&costs, &[2, 2], &[1, 1, 1]);
        assert_eq!(solution.over, [1, 0, 0]);
        assert_eq!(
            solution.flow[1].iter().find(|(at, _)| *at == 2),
            Some(&(2, 1))
        );
    }
}
