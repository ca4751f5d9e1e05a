//! The differences between band and picture as seen from one distance, updated bead by bead.

use super::View;
use super::footprint::Footprint;
use super::quadratic::{NearFar, Quadratic};
use crate::colour::PreparedLab;
use crate::lattice::Lattice;
use crate::quantize::Problem;
use crate::units::Mm;
use crate::vision::band::{Filtered, Filters, Mosaic, Planes};
use crate::vision::fast_lab::FastLab;
use rayon::prelude::*;
use std::sync::Arc;

/// Points that one task handles.
const AT_ONCE: usize = 512;
/// A squared difference is divided by the difference itself plus so many typical ones.
const TYPICAL: f64 = 2.0;
/// The least typical difference.
const LEAST: f64 = 0.1;

/// The band after the eye's filter, and its CIEDE2000 from the picture at each point.
#[derive(Clone)]
pub(super) struct DifferenceMap {
    reference: Arc<Reference>,
    /// From where it is seen.
    pub(super) distance: Mm,
    /// Its part of the weighted mean over all maps.
    pub(super) share: f64,
    band: Filtered,
    pub(super) differences: Vec<f64>,
    /// Weights of CIEDE2000 as they are between band and picture
    /// ([`PreparedLab::quadratic_form`]).
    weights: Vec<[f64; 4]>,
    /// The form of each point's share in a sum of squares ([`super::quadratic`]).
    curvature: Vec<[f64; 6]>,
}

/// The picture after the eye's filter, and what else does not change.
struct Reference {
    filters: Filters,
    opponent: Filtered,
    fast: Vec<FastLab>,
    prepared: Vec<PreparedLab>,
    footprint: Footprint,
}

/// By how much the opponent values of beads change.
pub(super) type Changes<'a> = &'a [(usize, [f64; 3])];

/// The model of what a change of a group's colour brings, the weighted mean over the maps; after
/// [`DifferenceMap::linearise`].
pub(super) fn model_of_group(problem: &Problem, maps: &[DifferenceMap], group: usize) -> NearFar {
    let mut sum = NearFar::default();
    for &bead in problem.groups.beads_of(group) {
        for map in maps {
            let model = map.model_of_bead(problem.lattice, bead as usize);
            sum = sum.plus(&model.times(map.share));
        }
    }
    sum
}

/// The mean difference of a point, weighted over the maps.
pub(super) fn weighted_mean(maps: &[DifferenceMap]) -> f64 {
    maps.iter().map(|map| map.share * map.mean()).sum()
}

impl DifferenceMap {
    /// The map of a picture; [`DifferenceMap::set_band`] gives it a band.
    pub(super) fn new(picture: &Mosaic, view: View) -> Self {
        let View { distance, share } = view;
        let filters = Filters::new(&picture.lattice, distance);
        let opponent = filters.filter(&picture.planes());
        let fast: Vec<FastLab> = opponent
            .par_iter()
            .with_min_len(AT_ONCE)
            .map(|&value| FastLab::new(value))
            .collect();
        let reference = Reference {
            filters,
            prepared: fast.iter().map(FastLab::prepared).collect(),
            fast,
            footprint: Footprint::new(&picture.lattice, distance),
            opponent,
        };
        Self {
            band: Filtered::new(),
            differences: Vec::new(),
            weights: Vec::new(),
            curvature: Vec::new(),
            reference: Arc::new(reference),
            distance,
            share,
        }
    }

    /// Filters a band and compares it with the picture.
    pub(super) fn set_band(&mut self, band: &Planes) {
        self.band = self.reference.filters.filter(band);
        self.update();
    }

    /// Mean difference over the points that beads cover.
    pub(super) fn mean(&self) -> f64 {
        let covered = &self.reference.footprint.covered;
        let count = covered.iter().filter(|&&covered| covered).count();
        self.differences.iter().sum::<f64>() / count.max(1) as f64
    }

    #[inline]
    fn difference(&self, point: usize, band: [f64; 3]) -> f64 {
        if self.reference.footprint.covered[point] {
            FastLab::new(band)
                .prepared()
                .difference(&self.reference.prepared[point])
        } else {
            0.0
        }
    }

    /// The same with the weights of the formula held as they are.
    #[inline]
    fn estimated_difference(&self, point: usize, band: [f64; 3]) -> f64 {
        let (own, picture) = (FastLab::new(band).lab(), self.reference.prepared[point].lab);
        let (l, a, b) = (own.l - picture.l, own.a - picture.a, own.b - picture.b);
        let [ll, aa, ab, bb] = self.weights[point];
        let square = ll * l * l + a * (aa * a + ab * b) + bb * b * b;
        square.max(0.0).sqrt()
    }

    /// By how much changes of some beads change the summed differences at the points near them.
    pub(super) fn trial(&self, lattice: &Lattice, changes: Changes) -> f64 {
        self.trial_by(lattice, changes, |point, band| self.difference(point, band))
    }

    /// Nearly the same, sooner; after [`DifferenceMap::linearise`].
    pub(super) fn estimate(&self, lattice: &Lattice, changes: Changes) -> f64 {
        self.trial_by(lattice, changes, |point, band| {
            self.estimated_difference(point, band)
        })
    }

    #[inline]
    fn trial_by(
        &self,
        lattice: &Lattice,
        changes: Changes,
        difference: impl Fn(usize, [f64; 3]) -> f64,
    ) -> f64 {
        let footprint = &self.reference.footprint;
        let mut sum = 0.0;
        if let [(bead, change)] = changes {
            footprint.near(lattice, *bead, footprint.step, |point, weight| {
                let band = std::array::from_fn(|at| self.band[point][at] + weight[at] * change[at]);
                sum += difference(point, band) - self.differences[point];
            });
            return sum * footprint.step as f64;
        }
        let mut touched: Vec<(usize, [f64; 3])> = Vec::new();
        for &(bead, change) in changes {
            footprint.near(lattice, bead, footprint.step, |point, weight| {
                let part = std::array::from_fn(|channel| weight[channel] * change[channel]);
                touched.push((point, part));
            });
        }
        touched.sort_by_key(|&(point, _)| point);
        for parts in touched.chunk_by(|one, two| one.0 == two.0) {
            let point = parts[0].0;
            let mut band = self.band[point];
            for (_, part) in parts {
                (0..3).for_each(|at| band[at] += part[at]);
            }
            sum += difference(point, band) - self.differences[point];
        }
        sum * footprint.step as f64
    }

    /// Changes one bead, near and far.
    pub(super) fn change(&mut self, lattice: &Lattice, bead: usize, change: [f64; 3]) {
        let reference = Arc::clone(&self.reference);
        let band = &mut self.band;
        reference
            .footprint
            .rows(lattice, bead, |row, points, first| {
                for (value, weight) in band[points].iter_mut().zip(&row[first..]) {
                    for channel in 0..3 {
                        value[channel] += weight[channel] * change[channel];
                    }
                }
            });
        // Far away a bead hardly shows: there the difference is updated once a sweep.
        reference.footprint.near(lattice, bead, 1, |point, _| {
            self.differences[point] = self.difference(point, self.band[point]);
        });
    }

    /// Computes the difference at every point anew.
    pub(super) fn update(&mut self) {
        self.differences = (0..self.band.len())
            .into_par_iter()
            .with_min_len(AT_ONCE)
            .map(|point| self.difference(point, self.band[point]))
            .collect();
    }

    /// Prepares estimates and models for the band as it is.
    pub(super) fn linearise(&mut self) {
        let typical = self.mean() * TYPICAL + LEAST;
        let reference = &self.reference;
        (self.weights, self.curvature) = (0..self.band.len())
            .into_par_iter()
            .with_min_len(AT_ONCE)
            .map(|point| {
                if reference.footprint.covered[point] {
                    let own = FastLab::new(self.band[point]);
                    let weights = own.prepared().quadratic_form(&reference.prepared[point]);
                    let form = own.quadratic_form(&reference.fast[point], weights);
                    let share = 1.0 / (self.differences[point] + typical);
                    (weights, form.map(|part| part * share))
                } else {
                    ([0.0; 4], [0.0; 6])
                }
            })
            .unzip();
    }

    /// The model of what a change of a bead brings; after [`DifferenceMap::linearise`].
    fn model_of_bead(&self, lattice: &Lattice, bead: usize) -> NearFar {
        let footprint = &self.reference.footprint;
        let (mut near, mut far) = (Quadratic::default(), Quadratic::default());
        let add = |model: &mut Quadratic, point: usize, weight: &[f64; 3]| {
            let (band, picture) = (&self.band[point], &self.reference.opponent[point]);
            let off = std::array::from_fn(|at| band[at] - picture[at]);
            model.add_point(&self.curvature[point], off, weight);
        };
        footprint.near(lattice, bead, footprint.step, |point, weight| {
            add(&mut near, point, weight)
        });
        footprint.far(lattice, bead, |point, weight| add(&mut far, point, weight));
        let far_points = (footprint.far_step * footprint.far_step) as f64;
        NearFar {
            near: near.times(footprint.step as f64),
            far: far.times(far_points),
        }
    }
}
