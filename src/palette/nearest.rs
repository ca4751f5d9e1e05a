//! The nearest colour of a palette as CIEDE2000 judges it: found quickly, and never another than
//! brute force finds.
//!
//! A kd-tree over Oklab gives a first colour, whose true difference bounds the rest: only colours
//! inside the lightness window of that bound ([`PreparedLab::lightness_difference`]) are looked at,
//! and of those only the ones whose lower bound ([`PreparedLab::lower_bound_squared`]) is not above
//! it are judged by the full formula. Of equally near colours the one that stands first in the
//! palette is taken.

use super::Tone;
use crate::colour::{Lab, Oklab, PreparedLab, ciede2000};
use kiddo::{ImmutableKdTree, SquaredEuclidean};

/// Allowance for rounding in the bounds, relative.
const ROUNDING: f64 = 1e-8;

/// A palette prepared for searching.
pub struct Nearest {
    tree: ImmutableKdTree<f64, 3>,
    /// By lightness, with the place in the palette.
    ranked: Vec<(PreparedLab, usize)>,
    /// Place in `ranked` of each colour.
    rank: Vec<usize>,
    /// The colours that may be chosen, in the order of the palette.
    allowed: Vec<usize>,
}

/// The best colour so far.
#[derive(Clone, Copy)]
struct Best {
    index: usize,
    difference: f64,
}

impl Nearest {
    /// Prepares the colours of `tones` that `allowed` lists (places in `tones`, rising, at least
    /// one).
    pub fn new(tones: &[Tone], allowed: &[usize]) -> Option<Self> {
        let points: Vec<[f64; 3]> = allowed.iter().map(|&at| point(tones[at].oklab)).collect();
        let tree = ImmutableKdTree::new_from_slice(&points).ok()?;
        let mut ranked: Vec<(PreparedLab, usize)> = allowed
            .iter()
            .enumerate()
            .map(|(own, &at)| (PreparedLab::new(tones[at].lab), own))
            .collect();
        ranked.sort_by(|a, b| a.0.lab.l.total_cmp(&b.0.lab.l).then(a.1.cmp(&b.1)));
        let mut rank = vec![0; allowed.len()];
        for (place, &(_, own)) in ranked.iter().enumerate() {
            rank[own] = place;
        }
        (!points.is_empty()).then(|| Self {
            tree,
            ranked,
            rank,
            allowed: allowed.to_vec(),
        })
    }

    /// The place in the palette of the colour nearest to `tone`.
    pub fn find(&self, tone: &Tone) -> usize {
        let wanted = PreparedLab::new(tone.lab);
        let first = self
            .tree
            .query(&point(tone.oklab))
            .nearest_one::<SquaredEuclidean<f64>>()
            .execute()
            .item as usize;
        let judged = self.ranked[self.rank[first]].0;
        let mut best = Best {
            index: first,
            difference: ciede2000(tone.lab, judged.lab),
        };
        let start = self
            .ranked
            .partition_point(|(colour, _)| colour.lab.l < tone.lab.l);
        let window = |best: &Best| best.difference * (1.0 + ROUNDING);
        for (colour, index) in self.ranked[start..].iter() {
            if wanted.lightness_difference(colour) > window(&best) {
                break;
            }
            best.try_one(&wanted, colour, *index);
        }
        for (colour, index) in self.ranked[..start].iter().rev() {
            if wanted.lightness_difference(colour) > window(&best) {
                break;
            }
            best.try_one(&wanted, colour, *index);
        }
        self.allowed[best.index]
    }

    /// The place in the palette of the colour with the smallest total difference to several tones,
    /// each with its weight.
    pub fn find_for_all(&self, tones: &[(Lab, f64)]) -> usize {
        let wanted: Vec<(PreparedLab, f64)> = tones
            .iter()
            .map(|&(lab, weight)| (PreparedLab::new(lab), weight))
            .collect();
        let mut best = Best {
            index: usize::MAX,
            difference: f64::INFINITY,
        };
        for &(colour, index) in &self.ranked {
            let bound: f64 = wanted
                .iter()
                .map(|(tone, weight)| weight * tone.lower_bound_squared(&colour).max(0.0).sqrt())
                .sum();
            if bound > best.difference * (1.0 + ROUNDING) {
                continue;
            }
            let difference = tones
                .iter()
                .map(|&(lab, weight)| weight * ciede2000(lab, colour.lab))
                .sum();
            best.take(index, difference);
        }
        self.allowed[best.index]
    }
}

impl Best {
    fn try_one(&mut self, wanted: &PreparedLab, colour: &PreparedLab, index: usize) {
        let limit = self.difference * (1.0 + ROUNDING);
        if index != self.index && wanted.lower_bound_squared(colour) <= limit * limit {
            self.take(index, ciede2000(wanted.lab, colour.lab));
        }
    }

    fn take(&mut self, index: usize, difference: f64) {
        let nearer = difference < self.difference;
        if nearer || (difference == self.difference && index < self.index) {
            *self = Self { index, difference };
        }
    }
}

fn point(oklab: Oklab) -> [f64; 3] {
    [oklab.l, oklab.a, oklab.b]
}

/// The nearest colour by judging every one: what [`Nearest`] must agree with.
pub fn by_brute_force(tones: &[Tone], allowed: &[usize], wanted: Lab) -> Option<usize> {
    let mut best: Option<(f64, usize)> = None;
    for &at in allowed {
        let difference = ciede2000(wanted, tones[at].lab);
        if best.is_none_or(|(least, _)| difference < least) {
            best = Some((difference, at));
        }
    }
    best.map(|(_, at)| at)
}
