//! The best chart that the beads in stock allow.
//!
//! Each colour has so many beads ([`Bounds`]). Giving every bead a colour at the least total
//! difference (CIEDE2000) under these bounds is a transportation problem, solved exactly:
//!
//! | step | does |
//! |---|---|
//! | `costs` | distinct items, how many groups have each, what each colour costs them |
//! | `capacitated_median` | with a limit of colours: which of them |
//! | `transport` | the transportation problem: exact |
//! | `whole_groups` | groups of several sizes stay whole: exact, or near by a proven bound |
//!
//! A fixed bead (the ground) takes from its colour first. A dithered chart is changed as little as
//! the stock allows: the difference counted is that from the dithered colour, and half of that from
//! the picture, which decides which of many equal beads changes.

mod capacitated_median;
mod costs;
pub mod transport;
mod whole_groups;

use super::assign::fixed_colour;
use super::{Problem, Settings};
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::palette::{Bounds, Tone};
use crate::quantize::limit;
use crate::units::grouped;
use crate::warning::Warning;
use capacitated_median::CapacitatedMedian;
use costs::{CostTable, ONE};
use whole_groups::{Allocation, MOST_STATES, Shortage, assign_groups};

/// States of the search for a chart that is searched on: a refined ring asks for 20 of them.
const FEW_STATES: usize = 500;
/// Names that a sentence lists before it says how many more there are.
const LISTED: usize = 4;

/// What is left of the bounds when the fixed beads have theirs.
pub struct Capacity<'a> {
    bounds: &'a Bounds,
    /// Beads of each colour that are still to be given; `u64::MAX` is enough.
    left: Vec<u64>,
    /// Beads to be given a colour.
    beads: u64,
    /// States of the search that keeps groups of several sizes whole.
    most_states: usize,
    cancel: &'a Cancel,
}

impl<'a> Capacity<'a> {
    /// Takes out the fixed beads; `pinned` says whether others than the ground may be among them.
    ///
    /// # Errors
    /// If there are too few beads of a fixed colour.
    pub fn new(
        problem: &Problem,
        tones: &[Tone],
        bounds: &'a Bounds,
        pinned: bool,
        cancel: &'a Cancel,
    ) -> Result<Self> {
        let mut left: Vec<u64> = (0..tones.len()).map(|at| bounds.most(at)).collect();
        let mut counts = vec![0; tones.len()];
        let mut beads = 0;
        for group in 0..problem.groups.len() {
            let own = problem.groups.beads_of(group);
            match fixed_colour(problem, own) {
                Some(colour) => counts[colour] += own.len() as u64,
                None => beads += own.len() as u64,
            }
        }
        for (at, &count) in counts.iter().enumerate() {
            if count > left[at] {
                return Err(if pinned {
                    pinned_short(bounds, at, count)
                } else {
                    ground_short(bounds, at, count)
                });
            }
            if left[at] < u64::MAX {
                left[at] -= count;
            }
        }
        Ok(Self {
            bounds,
            left,
            beads,
            most_states: MOST_STATES,
            cancel,
        })
    }

    /// For a chart that is only searched on, which needs not be the best: found sooner.
    #[must_use]
    pub fn for_search(self) -> Self {
        Self {
            most_states: FEW_STATES,
            ..self
        }
    }

    /// Whether a colour may be used at all.
    pub fn has(&self, colour: usize) -> bool {
        self.left[colour] > 0
    }
}

/// The colours to choose from under a limit of `count`, indices in `tones`, rising.
///
/// # Errors
/// If no so many colours hold enough beads, or the work is cancelled.
pub fn limited_colours(
    problem: &Problem,
    tones: &[Tone],
    free: &[usize],
    settings: &Settings,
    count: usize,
    capacity: &Capacity,
) -> Result<Vec<usize>> {
    let items = limit::items(problem, free.len());
    let start = limit::select(&items, tones, free, &settings.keep, count, capacity.cancel);
    capacity.cancel.check()?;
    let own = |at: &usize| free.binary_search(at).ok();
    let table = CostTable::new(problem, tones, free, None, capacity.cancel);
    let problem = CapacitatedMedian {
        table: &table,
        capacity: &free.iter().map(|&at| capacity.left[at]).collect::<Vec<_>>(),
        count,
        keep: &settings.keep.iter().filter_map(own).collect::<Vec<_>>(),
        cancel: capacity.cancel,
    };
    let start: Vec<usize> = start.iter().filter_map(own).collect();
    let found = problem.choose(&start);
    capacity.cancel.check()?;
    match found {
        Some(chosen) => Ok(chosen.into_iter().map(|own| free[own]).collect()),
        None => Err(colours_short(capacity, free, settings, count)),
    }
}

/// `chosen` with as little changed as the stock asks for; untouched where there is enough.
///
/// With `dithered`, nearness to `chosen` itself counts, not only to the picture.
///
/// # Errors
/// If the colours at `allowed` have too few beads in all, with what is missing, or the work is
/// cancelled.
pub fn fit_to_stock(
    problem: &Problem,
    tones: &[Tone],
    allowed: &[usize],
    capacity: &Capacity,
    chosen: Vec<usize>,
    dithered: bool,
    notes: &mut Vec<Warning>,
) -> Result<Vec<usize>> {
    let counts = |chosen: &[usize]| {
        let mut counts = vec![0u64; tones.len()];
        chosen.iter().for_each(|&at| counts[at] += 1);
        counts
    };
    let before = counts(&chosen);
    if capacity.bounds.allow(&before) {
        return Ok(chosen);
    }
    let cancel = capacity.cancel;
    let dithered = dithered.then_some(&chosen[..]);
    let table = CostTable::new(problem, tones, allowed, dithered, cancel);
    let left: Vec<u64> = allowed.iter().map(|&at| capacity.left[at]).collect();
    let columns: Vec<usize> = (0..allowed.len()).collect();
    let allocation = assign_groups(&table, &columns, &left, capacity.most_states, cancel);
    cancel.check()?;
    let allocation = allocation.map_err(|short| beads_short(capacity, allowed, &table, &short))?;
    let mut given = chosen.clone();
    spread(problem, allowed, &table, &allocation, &mut given);
    let moved = given
        .iter()
        .zip(&chosen)
        .filter(|(one, other)| one != other);
    let after = counts(&given);
    let out = |at: &usize| before[*at] > capacity.bounds.most(*at);
    notes.push(Warning::FromStock {
        beads: moved.count(),
        names: (0..tones.len())
            .filter(out)
            .map(|at| capacity.bounds.all()[at].name.clone())
            .collect(),
    });
    debug_assert!(capacity.bounds.allow(&after));
    let gap = (allocation.cost - allocation.at_least) as f64 / ONE / capacity.beads.max(1) as f64;
    if gap > 0.0 || !table.exact {
        notes.push(Warning::StockGap {
            gap: table.exact.then_some(gap),
        });
    }
    Ok(given)
}

/// Gives the colours to the groups of each item: the first groups to the first columns.
fn spread(
    problem: &Problem,
    allowed: &[usize],
    table: &CostTable,
    allocation: &Allocation,
    given: &mut [usize],
) {
    for (item, shares) in table.items.iter().zip(&allocation.groups) {
        let mut shares = shares.clone();
        shares.sort_unstable();
        let colours = shares
            .iter()
            .flat_map(|&(column, groups)| (0..groups).map(move |_| allowed[column]));
        for (&group, colour) in item.groups.iter().zip(colours) {
            for &bead in problem.groups.beads_of(group as usize) {
                given[bead as usize] = colour;
            }
        }
    }
}

fn ground_short(bounds: &Bounds, at: usize, count: u64) -> Error {
    let most = bounds.most(at);
    let error = Error::new(format!(
        "the ground takes {} beads of {}, and there are {}",
        grouped(count as usize),
        bounds.all()[at].name,
        grouped(most as usize)
    ));
    let enough = bounds.all().iter().enumerate();
    let enough: Vec<&str> = enough
        .filter(|(place, _)| bounds.most(*place) >= count)
        .map(|(_, bound)| bound.name.as_str())
        .collect();
    if enough.is_empty() {
        error.hint(format!(
            "{} more are needed; no colour has enough for this ground",
            grouped((count - most) as usize)
        ))
    } else {
        error.hint(format!(
            "get {} more, or make the ground {}",
            grouped((count - most) as usize),
            listed(&enough, " or ")
        ))
    }
}

fn pinned_short(bounds: &Bounds, at: usize, count: u64) -> Error {
    let most = bounds.most(at);
    Error::new(format!(
        "the ground and what is pinned take {} beads of {}, and there are {}",
        grouped(count as usize),
        bounds.all()[at].name,
        grouped(most as usize)
    ))
    .hint(format!(
        "get {} more, or pin fewer",
        grouped((count - most) as usize)
    ))
}

fn colours_short(capacity: &Capacity, free: &[usize], settings: &Settings, count: usize) -> Error {
    let (kept, mut others): (Vec<usize>, Vec<usize>) =
        free.iter().partition(|at| settings.keep.contains(at));
    others.sort_by_key(|&at| std::cmp::Reverse(capacity.left[at]));
    let most = kept.into_iter().chain(others).take(count);
    let held = most.fold(0u64, |sum, at| sum.saturating_add(capacity.left[at]));
    let all = free
        .iter()
        .fold(0u64, |sum, &at| sum.saturating_add(capacity.left[at]));
    let error = Error::new(format!(
        "{count} colours in stock have {} beads at most, and {} are needed",
        grouped(held as usize),
        grouped(capacity.beads as usize)
    ));
    if all >= capacity.beads {
        error.hint("allow more colours with [--colours], or make the band smaller")
    } else {
        error.hint(format!(
            "all colours together are {} beads short; get more, or make the band smaller",
            grouped((capacity.beads - all) as usize)
        ))
    }
}

fn beads_short(
    capacity: &Capacity,
    allowed: &[usize],
    table: &CostTable,
    short: &Shortage,
) -> Error {
    let Shortage::Beads(over) = short else {
        return Error::new(
            "there are enough beads in stock, but not for beads that share a colour",
        )
        .hint("leave out [--mirror] or the repeats, or get a few more beads");
    };
    let mut short: Vec<(u64, usize)> = over
        .iter()
        .copied()
        .zip(allowed.iter().copied())
        .filter(|(over, _)| *over > 0)
        .collect();
    short.sort_by_key(|&(over, at)| (std::cmp::Reverse(over), at));
    let missing: u64 = short.iter().map(|(over, _)| over).sum();
    let names: Vec<String> = short
        .iter()
        .map(|&(over, at)| {
            format!(
                "{} of {}",
                grouped(over as usize),
                capacity.bounds.all()[at].name
            )
        })
        .collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let what = match missing {
        1 => "1 is missing".to_string(),
        more => format!("{} are missing", grouped(more as usize)),
    };
    Error::new(format!(
        "there are too few beads: the band takes {}, and {what}",
        grouped(table.beads() as usize)
    ))
    .hint(format!(
        "most needed: {}; get those, or make the band smaller",
        listed(&names, " and ")
    ))
}

/// `a, b and c`, or the first few and how many more.
fn listed(names: &[&str], last: &str) -> String {
    match names {
        [] => String::new(),
        [one] => one.to_string(),
        [.., _] if names.len() > LISTED => format!(
            "{}{last}{} others",
            names[..LISTED - 1].join(", "),
            names.len() - LISTED + 1
        ),
        [first @ .., end] => format!("{}{last}{end}", first.join(", ")),
    }
}
