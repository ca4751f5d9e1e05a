//! Groups that stay whole: mirror images and repeats of different sizes draw on the same colours.
//!
//! Where every group has the same size, room for `u` beads is room for `u / size` groups, and the transportation problem settles all. Otherwise a group
//! of four needs four beads of one colour while its neighbour needs one, which is a packing problem as well. Its relaxation, where a group may be
//! split, is the transportation problem of single beads: a bound that is exact for that, and at its optimum few groups are split. Those are
//! settled by branching: so many groups of that wish at least in that colour, or fewer. When the work allowed runs out, the best chart so far stands with its
//! distance from the bound.

use super::flow::{Solution, Transport, solve};
use super::table::Table;
use crate::cancel::Cancel;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

/// Edges looked at, all in all: a second or two.
const MOST_WORK: u64 = 200_000_000;
/// States of the search, at most.
const MOST_STATES: usize = 20_000;

/// How many groups of each item go to each column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Whole {
    /// For each item, columns and groups.
    pub groups: Vec<Vec<(usize, u64)>>,
    /// Total cost, bead by bead.
    pub cost: i64,
    /// What no way can cost less than.
    pub at_least: i64,
}

/// Why there is no way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Short {
    /// Too few beads in all: how many of each column would have to be there besides.
    Beads(Vec<u64>),
    /// Enough beads, but no way was found to keep the groups whole.
    Groups,
}

/// What is settled so far: at least, and at most, so many groups of an item in a column.
#[derive(Debug, Clone, Default)]
struct Settled {
    least: BTreeMap<(usize, usize), u64>,
    most: BTreeMap<(usize, usize), u64>,
}

/// A state that waits: its bound, the order of arrival, what is settled.
type Waiting = Reverse<(i64, usize)>;

/// The cheapest way to give every group one of `columns`, which have room for so many beads each.
///
/// # Errors
/// If there are too few beads, or none was found that keeps the groups whole.
pub fn whole(
    table: &Table,
    columns: &[usize],
    room: &[u64],
    cancel: &Cancel,
) -> Result<Whole, Short> {
    match table.one_size() {
        Some(size) => alike(table, columns, room, size, cancel),
        None => mixed(table, columns, room, cancel),
    }
}

/// Groups of one size: exact.
fn alike(
    table: &Table,
    columns: &[usize],
    room: &[u64],
    size: u64,
    cancel: &Cancel,
) -> Result<Whole, Short> {
    let supply: Vec<u64> = table
        .items
        .iter()
        .map(|item| item.groups.len() as u64)
        .collect();
    let groups: Vec<u64> = room.iter().map(|room| room / size).collect();
    let solution = transport(table, columns, &supply, &groups, &BTreeMap::new(), cancel);
    // Without bounds on single items every one has a place.
    let solution = solution.ok_or(Short::Groups)?;
    if solution.over.iter().any(|&over| over > 0) {
        return Err(Short::Beads(
            solution.over.iter().map(|over| over * size).collect(),
        ));
    }
    let cost = solution.cost * size as i64;
    Ok(Whole {
        groups: solution.flow,
        cost,
        at_least: cost,
    })
}

fn transport(
    table: &Table,
    columns: &[usize],
    supply: &[u64],
    room: &[u64],
    most: &BTreeMap<(usize, usize), u64>,
    cancel: &Cancel,
) -> Option<Solution> {
    solve(&Transport {
        costs: &table.costs,
        width: table.width,
        columns,
        supply,
        room,
        most,
        cancel,
    })
}

struct Search<'a> {
    table: &'a Table,
    columns: &'a [usize],
    room: &'a [u64],
    best: Option<Whole>,
    waiting: BinaryHeap<Waiting>,
    states: Vec<Settled>,
    work: u64,
    cancel: &'a Cancel,
}

/// Groups of several sizes: branch and bound, the most promising state first, each followed down to its end.
fn mixed(table: &Table, columns: &[usize], room: &[u64], cancel: &Cancel) -> Result<Whole, Short> {
    let supply: Vec<u64> = table.items.iter().map(|item| item.beads()).collect();
    let relaxed =
        transport(table, columns, &supply, room, &BTreeMap::new(), cancel).ok_or(Short::Groups)?;
    if relaxed.over.iter().any(|&over| over > 0) {
        return Err(Short::Beads(relaxed.over));
    }
    let mut search = Search {
        table,
        columns,
        room,
        best: by_size(table, columns, room, cancel),
        waiting: BinaryHeap::from([Reverse((relaxed.cost, 0))]),
        states: vec![Settled::default()],
        work: relaxed.work,
        cancel,
    };
    let mut at_least = relaxed.cost;
    while let Some(Reverse((bound, state))) = search.waiting.pop() {
        let best = search.best.as_ref().map_or(i64::MAX, |best| best.cost);
        // The most promising state bounds all that wait.
        at_least = bound.min(best);
        let enough = search.work > MOST_WORK || search.states.len() > MOST_STATES;
        if bound >= best || enough || cancel.is_over() {
            break;
        }
        search.follow(state);
        if search.waiting.is_empty() {
            at_least = search.best.as_ref().map_or(at_least, |best| best.cost);
        }
    }
    let best = search.best.ok_or(Short::Groups)?;
    Ok(Whole { at_least, ..best })
}

impl Search<'_> {
    /// Follows a state to a chart or a dead end; the ways not taken wait.
    fn follow(&mut self, state: usize) {
        let mut settled = std::mem::take(&mut self.states[state]);
        loop {
            let Some((solution, base)) = self.relaxed(&settled) else {
                return;
            };
            let bound = base + solution.cost;
            if self.best.as_ref().is_some_and(|best| bound >= best.cost) {
                return;
            }
            let Some((item, column, whole)) = self.most_split(&solution) else {
                self.best = Some(self.chart(&settled, &solution, bound));
                return;
            };
            let own = settled.least.get(&(item, column)).copied().unwrap_or(0);
            let mut fewer = settled.clone();
            fewer.most.insert((item, column), own + whole);
            self.waiting.push(Reverse((bound, self.states.len())));
            self.states.push(fewer);
            settled.least.insert((item, column), own + whole + 1);
        }
    }

    /// The problem of single beads that is left; none if it has no way. And the cost of what is settled.
    fn relaxed(&mut self, settled: &Settled) -> Option<(Solution, i64)> {
        let mut supply: Vec<u64> = self.table.items.iter().map(|item| item.beads()).collect();
        let mut room = self.room.to_vec();
        let mut base = 0;
        for (&(item, column), &groups) in &settled.least {
            let beads = groups * self.table.items[item].size;
            supply[item] = supply[item].checked_sub(beads)?;
            room[column] = room[column].checked_sub(beads)?;
            base += self.table.cost(item, self.columns[column]) * beads as i64;
        }
        let mut most = BTreeMap::new();
        for (&(item, column), &groups) in &settled.most {
            let own = settled.least.get(&(item, column)).copied().unwrap_or(0);
            let left = groups.checked_sub(own)?;
            most.insert((item, column), left * self.table.items[item].size);
        }
        let solution = transport(self.table, self.columns, &supply, &room, &most, self.cancel)?;
        self.work += solution.work;
        let fits = solution.over.iter().all(|&over| over == 0);
        fits.then_some((solution, base))
    }

    /// The item and column whose number of groups is furthest from whole, and that number rounded down; the first of equals.
    fn most_split(&self, solution: &Solution) -> Option<(usize, usize, u64)> {
        let mut found: Option<(u64, usize, usize, u64)> = None;
        for (item, flow) in solution.flow.iter().enumerate() {
            let size = self.table.items[item].size;
            for &(column, beads) in flow {
                let part = beads % size;
                // Large groups first, and the larger part of one.
                let weight = size * size + part;
                if part > 0 && found.is_none_or(|(most, ..)| weight > most) {
                    found = Some((weight, item, column, beads / size));
                }
            }
        }
        found.map(|(_, item, column, whole)| (item, column, whole))
    }

    fn chart(&self, settled: &Settled, solution: &Solution, cost: i64) -> Whole {
        let mut groups: Vec<Vec<(usize, u64)>> = Vec::new();
        for (item, flow) in solution.flow.iter().enumerate() {
            let size = self.table.items[item].size;
            groups.push(
                flow.iter()
                    .map(|&(column, beads)| (column, beads / size))
                    .collect(),
            );
        }
        for (&(item, column), &more) in settled.least.iter().filter(|(_, more)| **more > 0) {
            match groups[item].iter_mut().find(|(at, _)| *at == column) {
                Some((_, groups)) => *groups += more,
                None => groups[item].push((column, more)),
            }
        }
        Whole {
            groups,
            cost,
            at_least: cost,
        }
    }
}

/// A first chart: size by size, the largest first, each size by itself as well as can be.
fn by_size(table: &Table, columns: &[usize], room: &[u64], cancel: &Cancel) -> Option<Whole> {
    let mut room = room.to_vec();
    let mut groups = vec![Vec::new(); table.items.len()];
    let mut cost = 0;
    let mut sizes: Vec<u64> = table.items.iter().map(|item| item.size).collect();
    sizes.sort_unstable_by_key(|&size| Reverse(size));
    sizes.dedup();
    for size in sizes {
        let supply: Vec<u64> = table
            .items
            .iter()
            .map(|item| (item.groups.len() as u64) * u64::from(item.size == size))
            .collect();
        let fits: Vec<u64> = room.iter().map(|room| room / size).collect();
        let solution = transport(table, columns, &supply, &fits, &BTreeMap::new(), cancel)?;
        if solution.over.iter().any(|&over| over > 0) {
            return None;
        }
        for (item, flow) in solution.flow.iter().enumerate() {
            for &(column, count) in flow {
                room[column] = room[column].saturating_sub(count * size);
                groups[item].push((column, count));
            }
        }
        cost += solution.cost * size as i64;
    }
    Some(Whole {
        groups,
        cost,
        at_least: 0,
    })
}
