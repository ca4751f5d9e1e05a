//! The best chart that the drawer has beads for.
//!
//! Each colour has room for so many beads ([`Bounds`]). Giving every bead a colour at the least total difference (CIEDE2000) under these bounds is a
//! transportation problem, solved exactly:
//!
//! | step | does |
//! |---|---|
//! | `table` | distinct wishes, how many groups have each, what each colour costs them |
//! | `few` | with a limit of colours: which of them |
//! | `flow` | the transportation problem: exact |
//! | `whole` | groups of different sizes stay whole: exact, or with a proven distance from the best |
//!
//! A settled bead (the ground) takes from its colour first. A dithered chart is changed as little as the drawer allows: the difference counted is that from the
//! dithered colour, and half of that from the picture, which says which of many equal beads changes.

mod few;
pub mod flow;
mod table;
mod whole;

use super::assign::settled;
use super::{Options, Wanted};
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::palette::{Bounds, Tone};
use crate::quantize::limit;
use crate::units::grouped;
use crate::warning::Warning;
use few::Few;
use table::{ONE, Table};
use whole::{Short, Whole, whole};

/// Names that a sentence lists before it says how many more there are.
const LISTED: usize = 4;

/// What is left of the bounds when the settled beads have theirs.
pub struct Room<'a> {
    bounds: &'a Bounds,
    /// Beads of each colour that are not settled yet; `u64::MAX` is enough.
    left: Vec<u64>,
    /// Beads to be given a colour.
    beads: u64,
    cancel: &'a Cancel,
}

impl<'a> Room<'a> {
    /// Takes out the settled beads; `pinned` says whether others than the ground may be among them.
    ///
    /// # Errors
    /// If there are too few beads of a settled colour.
    pub fn new(
        wanted: &Wanted,
        tones: &[Tone],
        bounds: &'a Bounds,
        pinned: bool,
        cancel: &'a Cancel,
    ) -> Result<Self> {
        let mut left: Vec<u64> = (0..tones.len()).map(|at| bounds.most(at)).collect();
        let mut counts = vec![0; tones.len()];
        let mut beads = 0;
        for group in 0..wanted.together.len() {
            let own = wanted.together.beads_of(group);
            match settled(wanted, own) {
                Some(colour) => counts[colour] += own.len() as u64,
                None => beads += own.len() as u64,
            }
        }
        for (at, &count) in counts.iter().enumerate() {
            if count > left[at] {
                return Err(match pinned {
                    true => pinned_lacking(bounds, at, count),
                    false => ground_lacking(bounds, at, count),
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
            cancel,
        })
    }

    /// Whether a colour may be used at all.
    pub fn has(&self, colour: usize) -> bool {
        self.left[colour] > 0
    }
}

/// The colours to choose from under a limit of `count`, places in `tones`, rising.
///
/// # Errors
/// If no so many colours hold enough beads, or the room's cancel ends.
pub fn few(
    wanted: &Wanted,
    tones: &[Tone],
    free: &[usize],
    options: &Options,
    count: usize,
    room: &Room,
) -> Result<Vec<usize>> {
    let items = limit::items(wanted, free.len());
    let start = limit::choose(&items, tones, free, &options.keep, count, room.cancel);
    room.cancel.check()?;
    let own = |at: &usize| free.binary_search(at).ok();
    let table = Table::new(wanted, tones, free, None, room.cancel);
    let problem = Few {
        table: &table,
        room: &free.iter().map(|&at| room.left[at]).collect::<Vec<_>>(),
        count,
        keep: &options.keep.iter().filter_map(own).collect::<Vec<_>>(),
        cancel: room.cancel,
    };
    let start: Vec<usize> = start.iter().filter_map(own).collect();
    let found = problem.choose(&start);
    room.cancel.check()?;
    match found {
        Some(chosen) => Ok(chosen.into_iter().map(|own| free[own]).collect()),
        None => Err(colours_lacking(room, free, options, count)),
    }
}

/// `chosen` with as little changed as the room asks for; untouched where there is enough.
///
/// With `dithered`, nearness to `chosen` itself is what counts, not only to the picture.
///
/// # Errors
/// If the colours at `allowed` have too few beads in all, with what is missing, or the room's cancel ends.
pub fn within(
    wanted: &Wanted,
    tones: &[Tone],
    allowed: &[usize],
    room: &Room,
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
    if room.bounds.allow(&before) {
        return Ok(chosen);
    }
    let cancel = room.cancel;
    let dithered = dithered.then_some(&chosen[..]);
    let table = Table::new(wanted, tones, allowed, dithered, cancel);
    let left: Vec<u64> = allowed.iter().map(|&at| room.left[at]).collect();
    let columns: Vec<usize> = (0..allowed.len()).collect();
    let whole = whole(&table, &columns, &left, cancel);
    cancel.check()?;
    let whole = whole.map_err(|short| beads_lacking(room, allowed, &table, &short))?;
    let mut given = chosen.clone();
    spread(wanted, allowed, &table, &whole, &mut given);
    let moved = given
        .iter()
        .zip(&chosen)
        .filter(|(one, other)| one != other);
    let after = counts(&given);
    let out = |at: &usize| before[*at] > room.bounds.most(*at);
    notes.push(Warning::FromStock {
        beads: moved.count(),
        names: (0..tones.len())
            .filter(out)
            .map(|at| room.bounds.all()[at].name.clone())
            .collect(),
    });
    debug_assert!(room.bounds.allow(&after));
    let gap = (whole.cost - whole.at_least) as f64 / ONE / room.beads.max(1) as f64;
    if gap > 0.0 || !table.exact {
        notes.push(Warning::StockGap {
            gap: table.exact.then_some(gap),
        });
    }
    Ok(given)
}

/// Hands the colours to the groups of each item: the first groups to the first columns.
fn spread(wanted: &Wanted, allowed: &[usize], table: &Table, whole: &Whole, given: &mut [usize]) {
    for (item, shares) in table.items.iter().zip(&whole.groups) {
        let mut shares = shares.clone();
        shares.sort_unstable();
        let colours = shares
            .iter()
            .flat_map(|&(column, groups)| (0..groups).map(move |_| allowed[column]));
        for (&group, colour) in item.groups.iter().zip(colours) {
            for &bead in wanted.together.beads_of(group as usize) {
                given[bead as usize] = colour;
            }
        }
    }
}

fn ground_lacking(bounds: &Bounds, at: usize, count: u64) -> Error {
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
    match enough.is_empty() {
        true => error.hint(format!(
            "{} more are needed; no colour has enough for this ground",
            grouped((count - most) as usize)
        )),
        false => error.hint(format!(
            "get {} more, or make the ground {}",
            grouped((count - most) as usize),
            listed(&enough, " or ")
        )),
    }
}

fn pinned_lacking(bounds: &Bounds, at: usize, count: u64) -> Error {
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

fn colours_lacking(room: &Room, free: &[usize], options: &Options, count: usize) -> Error {
    let (kept, mut others): (Vec<usize>, Vec<usize>) =
        free.iter().partition(|at| options.keep.contains(at));
    others.sort_by_key(|&at| std::cmp::Reverse(room.left[at]));
    let most = kept.into_iter().chain(others).take(count);
    let held = most.fold(0u64, |sum, at| sum.saturating_add(room.left[at]));
    let all = free
        .iter()
        .fold(0u64, |sum, &at| sum.saturating_add(room.left[at]));
    let error = Error::new(format!(
        "{count} colours of the drawer hold {} beads at most, and {} are needed",
        grouped(held as usize),
        grouped(room.beads as usize)
    ));
    match all >= room.beads {
        true => error.hint("allow more colours with --colours, or make the band smaller"),
        false => error.hint(format!(
            "all colours together lack {} beads; get more, or make the band smaller",
            grouped((room.beads - all) as usize)
        )),
    }
}

fn beads_lacking(room: &Room, allowed: &[usize], table: &Table, short: &Short) -> Error {
    let Short::Beads(over) = short else {
        return Error::new("the drawer has beads enough, but not for beads that decide together")
            .hint("leave out --mirror or the repeats, or get a few more beads");
    };
    let mut wanted: Vec<(u64, usize)> = over
        .iter()
        .copied()
        .zip(allowed.iter().copied())
        .filter(|(over, _)| *over > 0)
        .collect();
    wanted.sort_by_key(|&(over, at)| (std::cmp::Reverse(over), at));
    let missing: u64 = wanted.iter().map(|(over, _)| over).sum();
    let names: Vec<String> = wanted
        .iter()
        .map(|&(over, at)| {
            format!(
                "{} of {}",
                grouped(over as usize),
                room.bounds.all()[at].name
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
        "most wanted: {}; get those, or make the band smaller",
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
