//! Colours that are hard to tell apart, as CIEDE2000 judges them.

use super::Tone;
use crate::colour::{PreparedLab, ciede2000};
use rayon::prelude::*;

/// The difference (CIEDE2000) below which two colours of bead are called hard to tell apart.
///
/// About 1 is the smallest difference seen between large samples side by side. Beads are small,
/// shine, and lie apart, so two or three times as much is needed: common practice, no source.
pub const HARD_TO_TELL: f64 = 3.0;

/// Most pairs that are kept.
pub const MOST_PAIRS: usize = 100_000;

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
}

/// The pairs of `tones` whose CIEDE2000 is less than `below`.
///
/// Equals trying all pairs, but sorted by lightness each colour is weighed only against those
/// inside the window of `below` ([`PreparedLab::lightness_difference`], where the proof stands),
/// and judged by the formula only where its lower bound allows
/// ([`PreparedLab::lower_bound_squared`]). The same for any number of threads.
pub fn alike(tones: &[Tone], below: f64) -> Alike {
    let mut ranked: Vec<(PreparedLab, usize)> = tones
        .iter()
        .enumerate()
        .map(|(at, tone)| (PreparedLab::new(tone.lab), at))
        .collect();
    ranked.sort_by(|a, b| a.0.lab.l.total_cmp(&b.0.lab.l).then(a.1.cmp(&b.1)));
    let limit = below * (1.0 + ROUNDING);
    let mut found = (0..ranked.len())
        .into_par_iter()
        .fold(Alike::default, |mut found, rank| {
            let (one, at) = &ranked[rank];
            let window = ranked[rank + 1..]
                .iter()
                .take_while(|(other, _)| one.lightness_difference(other) <= limit);
            for (other, to) in window {
                if one.lower_bound_squared(other) > limit * limit {
                    continue;
                }
                let (first, second) = (at.min(to), at.max(to));
                let difference = ciede2000(tones[*first].lab, tones[*second].lab);
                if difference < below {
                    found.add(Pair {
                        one: *first,
                        other: *second,
                        difference,
                    });
                }
            }
            found
        })
        .reduce(Alike::default, Alike::join);
    found.keep(MOST_PAIRS);
    found.pairs.sort_unstable_by(Pair::order);
    found
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

impl Alike {
    fn add(&mut self, pair: Pair) {
        self.count += 1;
        self.pairs.push(pair);
        if self.pairs.len() >= 2 * MOST_PAIRS {
            self.keep(MOST_PAIRS);
        }
    }

    fn join(mut self, other: Self) -> Self {
        self.count += other.count;
        self.pairs.extend(other.pairs);
        self.keep(MOST_PAIRS);
        self
    }

    /// Drops all but the closest.
    fn keep(&mut self, most: usize) {
        if self.pairs.len() > most {
            self.pairs.select_nth_unstable_by(most, Pair::order);
            self.pairs.truncate(most);
        }
    }
}
