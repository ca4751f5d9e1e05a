//! What is seen of a band from one distance, kept up to date bead by bead.

use super::felt::{Both, Felt};
use super::stamp::Stamp;
use crate::colour::Judged;
use crate::lattice::Lattice;
use crate::units::Mm;
use crate::vision::band::{Filters, Mosaic, Planes, Seen};
use crate::vision::quick::Quick;
use rayon::prelude::*;
use std::sync::Arc;

/// Points that one task judges.
const AT_ONCE: usize = 512;
/// A difference counts in a sum of squares by one over itself and so many typical ones.
const TYPICAL: f64 = 2.0;
/// The least typical difference.
const LEAST: f64 = 0.1;

/// One view: the picture's, the band's, and their difference at each point.
#[derive(Clone)]
pub(super) struct View {
    still: Arc<Still>,
    seen: Seen,
    pub(super) errors: Vec<f64>,
    /// Weights of lightness and hue as they are between band and picture ([`Judged::form`]).
    weights: Vec<[f64; 4]>,
    /// The form of each point's share in a sum of squares ([`super::felt`]).
    bend: Vec<[f64; 6]>,
}

/// What does not change.
struct Still {
    filters: Filters,
    goal: Vec<Quick>,
    opponent: Seen,
    target: Vec<Judged>,
    stamp: Stamp,
}

/// What beads' opponent values change by.
pub(super) type Changes<'a> = &'a [(usize, [f64; 3])];

impl View {
    /// The view of the picture; the band is to be shown.
    pub(super) fn new(picture: &Mosaic, distance: Mm) -> Self {
        let filters = Filters::new(&picture.lattice, distance);
        let opponent = filters.seen(&picture.planes());
        let goal: Vec<Quick> = opponent
            .par_iter()
            .with_min_len(AT_ONCE)
            .map(|&value| Quick::new(value))
            .collect();
        let still = Still {
            filters,
            target: goal.iter().map(Quick::judged).collect(),
            goal,
            stamp: Stamp::new(&picture.lattice, distance),
            opponent,
        };
        Self {
            seen: Seen::new(),
            errors: Vec::new(),
            weights: Vec::new(),
            bend: Vec::new(),
            still: Arc::new(still),
        }
    }

    /// Looks at a band.
    pub(super) fn show(&mut self, band: &Planes) {
        self.seen = self.still.filters.seen(band);
        self.judge();
    }

    /// Mean difference over the points.
    pub(super) fn mean(&self) -> f64 {
        let covered = &self.still.stamp.covered;
        let there = covered.iter().filter(|&&there| there).count();
        self.errors.iter().sum::<f64>() / there.max(1) as f64
    }

    #[inline]
    fn difference(&self, point: usize, seen: [f64; 3]) -> f64 {
        match self.still.stamp.covered[point] {
            true => Quick::new(seen)
                .judged()
                .difference(&self.still.target[point]),
            false => 0.0,
        }
    }

    /// The same with the weights of the formula held as they are.
    #[inline]
    fn guess(&self, point: usize, seen: [f64; 3]) -> f64 {
        let (own, goal) = (Quick::new(seen).lab(), self.still.target[point].lab);
        let (l, a, b) = (own.l - goal.l, own.a - goal.a, own.b - goal.b);
        let [ll, aa, ab, bb] = self.weights[point];
        let square = ll * l * l + a * (aa * a + ab * b) + bb * b * b;
        square.max(0.0).sqrt()
    }

    /// What changes of some beads bring to the sum of differences at the points near them.
    pub(super) fn trial(&self, lattice: &Lattice, changes: Changes) -> f64 {
        self.tried(lattice, changes, |point, seen| self.difference(point, seen))
    }

    /// Nearly the same, sooner; after [`View::feel`].
    pub(super) fn hunch(&self, lattice: &Lattice, changes: Changes) -> f64 {
        self.tried(lattice, changes, |point, seen| self.guess(point, seen))
    }

    #[inline]
    fn tried(
        &self,
        lattice: &Lattice,
        changes: Changes,
        judge: impl Fn(usize, [f64; 3]) -> f64,
    ) -> f64 {
        let stamp = &self.still.stamp;
        let mut sum = 0.0;
        if let [(bead, change)] = changes {
            stamp.near(lattice, *bead, stamp.step, |point, weight| {
                let seen = std::array::from_fn(|at| self.seen[point][at] + weight[at] * change[at]);
                sum += judge(point, seen) - self.errors[point];
            });
            return sum * stamp.step as f64;
        }
        let mut touched: Vec<(usize, [f64; 3])> = Vec::new();
        for &(bead, change) in changes {
            stamp.near(lattice, bead, stamp.step, |point, weight| {
                let part = std::array::from_fn(|channel| weight[channel] * change[channel]);
                touched.push((point, part));
            });
        }
        touched.sort_by_key(|&(point, _)| point);
        for parts in touched.chunk_by(|one, two| one.0 == two.0) {
            let point = parts[0].0;
            let mut seen = self.seen[point];
            for (_, part) in parts {
                (0..3).for_each(|at| seen[at] += part[at]);
            }
            sum += judge(point, seen) - self.errors[point];
        }
        sum * stamp.step as f64
    }

    /// Makes a change of one bead, near and far.
    pub(super) fn change(&mut self, lattice: &Lattice, bead: usize, change: [f64; 3]) {
        let still = Arc::clone(&self.still);
        let seen = &mut self.seen;
        still.stamp.rows(lattice, bead, |row, points, first| {
            for (value, weight) in seen[points].iter_mut().zip(&row[first..]) {
                for channel in 0..3 {
                    value[channel] += weight[channel] * change[channel];
                }
            }
        });
        // Far away a bead hardly shows: there the difference is brought up to date once a sweep.
        still.stamp.near(lattice, bead, 1, |point, _| {
            self.errors[point] = self.difference(point, self.seen[point]);
        });
    }

    /// Judges every point anew.
    pub(super) fn judge(&mut self) {
        self.errors = (0..self.seen.len())
            .into_par_iter()
            .with_min_len(AT_ONCE)
            .map(|point| self.difference(point, self.seen[point]))
            .collect();
    }

    /// Prepares for asking what changes would bring.
    pub(super) fn feel(&mut self) {
        let typical = self.mean() * TYPICAL + LEAST;
        let still = &self.still;
        (self.weights, self.bend) = (0..self.seen.len())
            .into_par_iter()
            .with_min_len(AT_ONCE)
            .map(|point| match still.stamp.covered[point] {
                false => ([0.0; 4], [0.0; 6]),
                true => {
                    let own = Quick::new(self.seen[point]);
                    let weights = own.judged().form(&still.target[point]);
                    let form = own.form(&still.goal[point], weights);
                    let share = 1.0 / (self.errors[point] + typical);
                    (weights, form.map(|part| part * share))
                }
            })
            .unzip();
    }

    /// What a change of a bead is felt to bring; after [`View::feel`].
    pub(super) fn felt(&self, lattice: &Lattice, bead: usize) -> Both {
        let stamp = &self.still.stamp;
        let mut both = Both::default();
        let add = |felt: &mut Felt, point: usize, weight: &[f64; 3]| {
            let (seen, goal) = (&self.seen[point], &self.still.opponent[point]);
            let off = std::array::from_fn(|at| seen[at] - goal[at]);
            felt.add(&self.bend[point], off, weight);
        };
        stamp.near(lattice, bead, stamp.step, |point, weight| {
            add(&mut both[0], point, weight)
        });
        stamp.far(lattice, bead, |point, weight| {
            add(&mut both[1], point, weight)
        });
        let of_far = (stamp.far_step * stamp.far_step) as f64;
        [both[0].times(stamp.step as f64), both[1].times(of_far)]
    }
}
