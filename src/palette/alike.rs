//! Colours that are hard to tell apart, as CIEDE2000 judges them.

use super::Tone;
use crate::cancel::Cancel;
use crate::colour::{Lab, PreparedLab, ciede2000};
use crate::error::Result;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};

/// The difference (CIEDE2000) below which two colours of bead are called hard to tell apart.
///
/// About 1 is the smallest difference seen between large samples side by side. Beads are small,
/// shine, and lie apart, so two or three times as much is needed: common practice, no source.
pub const HARD_TO_TELL: f64 = 3.0;

/// Most pairs that are kept.
pub const MOST_PAIRS: usize = 100_000;

/// Most pairs of different colours that are judged, in a second. Ours.
const MOST_JUDGED: usize = 2_000_000;

/// Allowance for rounding in the bounds, relative.
const ROUNDING: f64 = 1e-8;

/// Two colours and how different they look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// Place of the one that stands first.
    pub one: usize,
    /// Place of the other.
    pub other: usize,
    /// CIEDE2000 between them.
    pub difference: f64,
}

/// The pairs that are hard to tell apart.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Alike {
    /// The closest pairs, at most 100,000, the closest first and equal ones in the order of the
    /// palette.
    pub pairs: Vec<Pair>,
    /// How many pairs there are.
    pub count: usize,
    /// The difference that all of them are below: less than was asked for where that would be more
    /// pairs than are judged.
    pub below: f64,
}

/// The pairs of `tones` whose CIEDE2000 is less than `below`.
///
/// Equals trying all pairs, but equal colours are judged once, and sorted by lightness each is
/// weighed only against those inside the window of `below` ([`PreparedLab::lightness_difference`],
/// where the proof stands), and judged by the formula only where its lower bound allows
/// ([`PreparedLab::lower_bound_squared`]). Where more than 2 million would be judged, `below` is
/// halved until they are fewer. The same for any number of threads.
///
/// # Errors
/// If the work is cancelled.
pub fn alike(tones: &[Tone], below: f64, cancel: &Cancel) -> Result<Alike> {
    let groups = groups(tones);
    let mut below = below;
    let mut found = loop {
        let found = search(&groups, below, cancel);
        cancel.check()?;
        match found {
            Some(found) => break found,
            None => below /= 2.0,
        }
    };
    found.keep(MOST_PAIRS);
    found.blocks.sort_unstable_by(Block::order);
    Ok(Alike {
        pairs: pairs(&groups, &found.blocks),
        count: found.count,
        below,
    })
}

/// The blocks below a difference; none if more than [`MOST_JUDGED`] would be judged, or the work is
/// cancelled.
fn search(groups: &[Group], below: f64, cancel: &Cancel) -> Option<Found> {
    let judged = AtomicUsize::new(0);
    (0..groups.len())
        .into_par_iter()
        .try_fold(Found::default, |mut found, rank| {
            found.add_equal(groups, rank, below);
            let mut more = 0;
            for other in near(groups, rank, below) {
                found.add(groups, rank, other, below);
                more += 1;
            }
            // Whether it ends so depends on the sum alone, not on who comes first.
            let all = judged.fetch_add(more, Ordering::Relaxed) + more;
            (all <= MOST_JUDGED && !cancel.is_over()).then_some(found)
        })
        .try_reduce(Found::default, |one, other| Some(one.join(other)))
}

/// Equal colours.
struct Group {
    prepared: PreparedLab,
    /// Their places, rising.
    members: Vec<usize>,
}

/// Each colour once, by lightness.
fn groups(tones: &[Tone]) -> Vec<Group> {
    let mut by_lab: BTreeMap<[u64; 3], Vec<usize>> = BTreeMap::new();
    for (at, Tone { lab, .. }) in tones.iter().enumerate() {
        let Lab { l, a, b } = *lab;
        let key = [l, a, b].map(f64::to_bits);
        by_lab.entry(key).or_default().push(at);
    }
    let group = |members: Vec<usize>| Group {
        prepared: PreparedLab::new(tones[members[0]].lab),
        members,
    };
    let mut groups: Vec<Group> = by_lab.into_values().map(group).collect();
    groups.sort_by(|a, b| {
        let by_lightness = a.prepared.lab.l.total_cmp(&b.prepared.lab.l);
        by_lightness.then(a.members[0].cmp(&b.members[0]))
    });
    groups
}

/// The ranks after `rank` that may be near enough.
fn near(groups: &[Group], rank: usize, below: f64) -> impl Iterator<Item = usize> {
    let limit = below * (1.0 + ROUNDING);
    let one = &groups[rank].prepared;
    (rank + 1..groups.len())
        .take_while(move |&other| one.lightness_difference(&groups[other].prepared) <= limit)
        .filter(move |&other| one.quick_bound_squared(&groups[other].prepared) <= limit * limit)
        .filter(move |&other| one.lower_bound_squared(&groups[other].prepared) <= limit * limit)
}

/// All pairs between two groups, or within one: they differ equally.
#[derive(Debug, Clone, Copy)]
struct Block {
    /// The pair that stands first.
    first: Pair,
    groups: (usize, usize),
}

impl Block {
    fn order(&self, other: &Self) -> std::cmp::Ordering {
        self.first.order(&other.first)
    }
}

impl Pair {
    /// Closest first, then as they stand in the palette: never two alike, so that the order is the
    /// same however they were found.
    fn order(&self, other: &Self) -> std::cmp::Ordering {
        self.difference
            .total_cmp(&other.difference)
            .then((self.one, self.other).cmp(&(other.one, other.other)))
    }
}

/// The closest blocks so far: each holds a pair or more, so that no more of them are needed than
/// pairs are kept.
#[derive(Default)]
struct Found {
    blocks: Vec<Block>,
    /// Pairs, those of dropped blocks too.
    count: usize,
}

impl Found {
    fn add_equal(&mut self, groups: &[Group], rank: usize, below: f64) {
        let Group { prepared, members } = &groups[rank];
        if let [one, other, ..] = members[..] {
            let difference = ciede2000(prepared.lab, prepared.lab);
            if difference < below {
                self.count += members.len() * (members.len() - 1) / 2;
                self.push(Block {
                    first: Pair {
                        one,
                        other,
                        difference,
                    },
                    groups: (rank, rank),
                });
            }
        }
    }

    fn add(&mut self, groups: &[Group], rank: usize, near: usize, below: f64) {
        let (mut first, mut second) = (&groups[rank], &groups[near]);
        if second.members[0] < first.members[0] {
            std::mem::swap(&mut first, &mut second);
        }
        let difference = ciede2000(first.prepared.lab, second.prepared.lab);
        if difference < below {
            self.count += first.members.len() * second.members.len();
            let (one, other) = (first.members[0], second.members[0]);
            self.push(Block {
                first: Pair {
                    one,
                    other,
                    difference,
                },
                groups: (rank, near),
            });
        }
    }

    fn push(&mut self, block: Block) {
        self.blocks.push(block);
        if self.blocks.len() >= 2 * MOST_PAIRS {
            self.keep(MOST_PAIRS);
        }
    }

    fn join(mut self, other: Self) -> Self {
        self.count += other.count;
        self.blocks.extend(other.blocks);
        self.keep(MOST_PAIRS);
        self
    }

    /// Drops all but the closest.
    fn keep(&mut self, most: usize) {
        if self.blocks.len() > most {
            self.blocks.select_nth_unstable_by(most, Block::order);
            self.blocks.truncate(most);
        }
    }
}

/// The first pairs of sorted blocks, at most [`MOST_PAIRS`].
fn pairs(groups: &[Group], blocks: &[Block]) -> Vec<Pair> {
    let mut pairs = Vec::new();
    for equal in blocks.chunk_by(|a, b| a.first.difference == b.first.difference) {
        add_pairs(groups, equal, &mut pairs);
        if pairs.len() >= MOST_PAIRS {
            break;
        }
    }
    pairs
}

/// The pairs of blocks that differ equally, in the order of the palette.
fn add_pairs(groups: &[Group], blocks: &[Block], pairs: &mut Vec<Pair>) {
    // What each group is paired with.
    let mut partners: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for &Block {
        groups: (one, other),
        ..
    } in blocks
    {
        partners.entry(one).or_default().push(other);
        if one != other {
            partners.entry(other).or_default().push(one);
        }
    }
    let members = |group: &usize| groups[*group].members.iter().copied();
    let mut ones: Vec<(usize, &Vec<usize>)> = partners
        .iter()
        .flat_map(|(group, with)| members(group).map(move |one| (one, with)))
        .collect();
    ones.sort_unstable_by_key(|&(one, _)| one);
    for (one, with) in ones {
        let later = |group: &usize| members(group).filter(move |&other| other > one);
        let mut others: Vec<usize> = with.iter().flat_map(later).collect();
        others.sort_unstable();
        let left = MOST_PAIRS - pairs.len();
        let difference = blocks[0].first.difference;
        pairs.extend(others.into_iter().take(left).map(|other| Pair {
            one,
            other,
            difference,
        }));
        if pairs.len() >= MOST_PAIRS {
            return;
        }
    }
}
