//! Groups that stay whole: mirror images and repeats of different sizes use the same colours.
//!
//! Where every group has the same size, capacity for `u` beads is capacity for `u / size` groups,
//! and the transportation problem is all there is. Otherwise a group of four needs four beads of
//! one colour while its neighbour needs one, which is a packing problem as well. Its relaxation,
//! where a group may be split, is the transportation problem of single beads: an exact bound for
//! that, and at its optimum few groups are split. Those are decided by branching: at least so many
//! groups of that item in that colour, or fewer. When the work allowed runs out, the best chart so
//! far stands with its distance from the bound.

use super::costs::CostTable;
use super::transport::{Solution, Transport, solve};
use crate::cancel::Cancel;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

/// Edges visited, all in all: a second or two.
const MOST_WORK: u64 = 200_000_000;
/// States of the search for a chart, at most: about a second for a ring.
pub const MOST_STATES: usize = 20_000;

/// How many groups of each item go to each column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Allocation {
    /// For each item, columns and groups.
    pub groups: Vec<Vec<(usize, u64)>>,
    /// Total cost, bead by bead.
    pub cost: i64,
    /// No assignment costs less.
    pub at_least: i64,
}

/// Why there is no assignment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Shortage {
    /// Too few beads in all: how many more of each column are needed.
    Beads(Vec<u64>),
    /// Enough beads, but no assignment was found that keeps the groups whole.
    Groups,
}

/// The decisions of a branch: at least, and at most, so many groups of an item in a column.
#[derive(Debug, Clone, Default)]
struct Branch {
    least: BTreeMap<(usize, usize), u64>,
    most: BTreeMap<(usize, usize), u64>,
}

/// A branch that waits: its bound, and the order of arrival.
type Waiting = Reverse<(i64, usize)>;

/// The cheapest assignment of every group to one of `columns`, each with so many beads; groups of
/// several sizes are searched in `most_states` at most.
///
/// # Errors
/// If there are too few beads, or no assignment was found that keeps the groups whole.
pub fn assign_groups(
    table: &CostTable,
    columns: &[usize],
    capacity: &[u64],
    most_states: usize,
    cancel: &Cancel,
) -> Result<Allocation, Shortage> {
    match table.one_size() {
        Some(size) => alike(table, columns, capacity, size, cancel),
        None => mixed(table, columns, capacity, most_states, cancel),
    }
}

/// Groups of one size: exact.
fn alike(
    table: &CostTable,
    columns: &[usize],
    capacity: &[u64],
    size: u64,
    cancel: &Cancel,
) -> Result<Allocation, Shortage> {
    let supply: Vec<u64> = table
        .items
        .iter()
        .map(|item| item.groups.len() as u64)
        .collect();
    let groups: Vec<u64> = capacity.iter().map(|capacity| capacity / size).collect();
    let solution = transport(table, columns, &supply, &groups, &BTreeMap::new(), cancel);
    // Without bounds on single items every one has a place.
    let solution = solution.ok_or(Shortage::Groups)?;
    if solution.over.iter().any(|&over| over > 0) {
        return Err(Shortage::Beads(
            solution.over.iter().map(|over| over * size).collect(),
        ));
    }
    let cost = solution.cost * size as i64;
    Ok(Allocation {
        groups: solution.flow,
        cost,
        at_least: cost,
    })
}

fn transport(
    table: &CostTable,
    columns: &[usize],
    supply: &[u64],
    capacity: &[u64],
    most: &BTreeMap<(usize, usize), u64>,
    cancel: &Cancel,
) -> Option<Solution> {
    solve(&Transport {
        costs: &table.costs,
        width: table.width,
        columns,
        supply,
        capacity,
        most,
        cancel,
    })
}

struct Search<'a> {
    table: &'a CostTable,
    columns: &'a [usize],
    capacity: &'a [u64],
    best: Option<Allocation>,
    waiting: BinaryHeap<Waiting>,
    states: Vec<Branch>,
    work: u64,
    cancel: &'a Cancel,
}

/// Groups of several sizes: branch and bound, the most promising branch first, each followed to its
/// end.
fn mixed(
    table: &CostTable,
    columns: &[usize],
    capacity: &[u64],
    most_states: usize,
    cancel: &Cancel,
) -> Result<Allocation, Shortage> {
    let supply: Vec<u64> = table.items.iter().map(|item| item.beads()).collect();
    let relaxed = transport(table, columns, &supply, capacity, &BTreeMap::new(), cancel)
        .ok_or(Shortage::Groups)?;
    if relaxed.over.iter().any(|&over| over > 0) {
        return Err(Shortage::Beads(relaxed.over));
    }
    let mut search = Search {
        table,
        columns,
        capacity,
        best: by_size(table, columns, capacity, cancel),
        waiting: BinaryHeap::from([Reverse((relaxed.cost, 0))]),
        states: vec![Branch::default()],
        work: relaxed.work,
        cancel,
    };
    let mut at_least = relaxed.cost;
    while let Some(Reverse((bound, state))) = search.waiting.pop() {
        let best = search.best.as_ref().map_or(i64::MAX, |best| best.cost);
        // The most promising branch bounds all that wait.
        at_least = bound.min(best);
        let enough = search.work > MOST_WORK || search.states.len() > most_states;
        if bound >= best || enough || cancel.is_over() {
            break;
        }
        search.follow(state);
        if search.waiting.is_empty() {
            at_least = search.best.as_ref().map_or(at_least, |best| best.cost);
        }
    }
    let best = search.best.ok_or(Shortage::Groups)?;
    Ok(Allocation { at_least, ..best })
}

impl Search<'_> {
    /// Follows a branch to a chart or a dead end; the branches not taken wait.
    fn follow(&mut self, state: usize) {
        let mut branch = std::mem::take(&mut self.states[state]);
        loop {
            let Some((solution, base)) = self.relaxed(&branch) else {
                return;
            };
            let bound = base + solution.cost;
            if self.best.as_ref().is_some_and(|best| bound >= best.cost) {
                return;
            }
            let Some((item, column, whole)) = self.most_split(&solution) else {
                self.best = Some(self.chart(&branch, &solution, bound));
                return;
            };
            let own = branch.least.get(&(item, column)).copied().unwrap_or(0);
            let mut fewer = branch.clone();
            fewer.most.insert((item, column), own + whole);
            self.waiting.push(Reverse((bound, self.states.len())));
            self.states.push(fewer);
            branch.least.insert((item, column), own + whole + 1);
        }
    }

    /// The problem of single beads that is left, none if it has no solution; and the cost of what
    /// is decided.
    fn relaxed(&mut self, branch: &Branch) -> Option<(Solution, i64)> {
        let mut supply: Vec<u64> = self.table.items.iter().map(|item| item.beads()).collect();
        let mut capacity = self.capacity.to_vec();
        let mut base = 0;
        for (&(item, column), &groups) in &branch.least {
            let beads = groups * self.table.items[item].size;
            supply[item] = supply[item].checked_sub(beads)?;
            capacity[column] = capacity[column].checked_sub(beads)?;
            base += self.table.cost(item, self.columns[column]) * beads as i64;
        }
        let mut most = BTreeMap::new();
        for (&(item, column), &groups) in &branch.most {
            let own = branch.least.get(&(item, column)).copied().unwrap_or(0);
            let left = groups.checked_sub(own)?;
            most.insert((item, column), left * self.table.items[item].size);
        }
        let solution = transport(
            self.table,
            self.columns,
            &supply,
            &capacity,
            &most,
            self.cancel,
        )?;
        self.work += solution.work;
        let fits = solution.over.iter().all(|&over| over == 0);
        fits.then_some((solution, base))
    }

    /// The item and column whose number of groups is furthest from whole, and that number rounded
    /// down; the first of equals.
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

    fn chart(&self, branch: &Branch, solution: &Solution, cost: i64) -> Allocation {
        let mut groups: Vec<Vec<(usize, u64)>> = Vec::new();
        for (item, flow) in solution.flow.iter().enumerate() {
            let size = self.table.items[item].size;
            groups.push(
                flow.iter()
                    .map(|&(column, beads)| (column, beads / size))
                    .collect(),
            );
        }
        for (&(item, column), &more) in branch.least.iter().filter(|(_, more)| **more > 0) {
            match groups[item].iter_mut().find(|(at, _)| *at == column) {
                Some((_, groups)) => *groups += more,
                None => groups[item].push((column, more)),
            }
        }
        Allocation {
            groups,
            cost,
            at_least: cost,
        }
    }
}

/// A first chart: size by size, the largest first, each size as good as possible by itself.
fn by_size(
    table: &CostTable,
    columns: &[usize],
    capacity: &[u64],
    cancel: &Cancel,
) -> Option<Allocation> {
    let mut capacity = capacity.to_vec();
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
        let fits: Vec<u64> = capacity.iter().map(|capacity| capacity / size).collect();
        let solution = transport(table, columns, &supply, &fits, &BTreeMap::new(), cancel)?;
        if solution.over.iter().any(|&over| over > 0) {
            return None;
        }
        for (item, flow) in solution.flow.iter().enumerate() {
            for &(column, count) in flow {
                capacity[column] = capacity[column].saturating_sub(count * size);
                groups[item].push((column, count));
            }
        }
        cost += solution.cost * size as i64;
    }
    Some(Allocation {
        groups,
        cost,
        at_least: 0,
    })
}
