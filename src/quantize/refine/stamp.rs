//! How one bead shows at the points about it from one distance.

use crate::lattice::Lattice;
use crate::units::Mm;
use crate::vision::band::{POINTS, REACH, gaussians, points};
use crate::vision::scielab::Channel;
use crate::vision::spread::share;
use std::ops::Range;

/// Part of its greatest weight above which a bead's share in a point is judged anew in a trial.
const NEAR: f64 = 0.04;
/// The same for points that are only felt.
const FELT: f64 = 0.003;
/// Points that are felt beside those that are judged, about.
const FELT_POINTS: f64 = 120.0;
/// Spread of the sharpest Gaussian, in lengths of a bead, from which neighbouring points look alike.
const FAR: f64 = 0.5;

/// How one bead shows at the points about it: by half rows up from its lower half, then by points from the left.
pub(super) struct Stamp {
    columns: usize,
    half_rows: usize,
    closed: bool,
    /// Half rows below the bead's lower half.
    below: usize,
    /// Columns to either side.
    beside: usize,
    /// Weights by channel.
    weights: Vec<[f64; 3]>,
    /// In a trial every so many of the points about a bead are judged: far away neighbouring points look alike.
    pub(super) step: usize,
    /// Half rows and points of a row that count in a trial.
    near: Vec<(usize, Range<usize>)>,
    /// Those beyond them that are felt, every so many rows and points.
    far: Vec<(usize, Range<usize>)>,
    /// How many.
    pub(super) far_step: usize,
    /// Whether a bead lies under each point.
    pub(super) covered: Vec<bool>,
}

impl Stamp {
    pub(super) fn new(lattice: &Lattice, distance: Mm) -> Self {
        let (length, half) = (
            lattice.bead().length.get(),
            lattice.bead().diameter.get() / 2.0,
        );
        let (columns, half_rows) = (lattice.columns() as usize, lattice.half_rows() as usize);
        // Luminance's widest Gaussian reaches over any band and leaves next to nothing of one bead.
        let widest = gaussians(Channel::RedGreen, distance)
            .into_iter()
            .fold(0.0f64, |widest, (spread, _)| widest.max(spread));
        let beside = ((REACH * widest / length).ceil() as usize + 1).min(columns - 1);
        let reach = (REACH * widest / half).ceil() as usize + 1;
        let (below, height) = match lattice.is_closed() {
            true if 2 * reach + 2 > half_rows => (half_rows / 2, half_rows),
            _ => (reach, 2 * reach + 2),
        };
        let width = (2 * beside + 1) * POINTS;
        let mut weights = vec![[0.0; 3]; width * height];
        for channel in Channel::ALL {
            for (spread, weight) in gaussians(channel, distance) {
                let across: Vec<f64> = (0..width)
                    .map(|at| {
                        let point = (at as f64 + 0.5) / POINTS as f64 - beside as f64 - 0.5;
                        share((point - 0.5) * length, (point + 0.5) * length, spread)
                    })
                    .collect();
                // More turns round a closed band than any filter reaches.
                for at in 0..2 * reach + 2 {
                    let up = at as isize - reach as isize;
                    let middle = (up as f64 - 0.5) * half;
                    let along = weight * share(middle - half, middle + half, spread);
                    let row = match lattice.is_closed() {
                        true => (up + below as isize).rem_euclid(half_rows.max(height) as isize),
                        false => up + below as isize,
                    } as usize;
                    if row < height {
                        let row = &mut weights[row * width..(row + 1) * width];
                        for (value, across) in row.iter_mut().zip(&across) {
                            value[channel as usize] += along * across;
                        }
                    }
                }
            }
        }
        let (far, near) = (near(&weights, width, FELT), near(&weights, width, NEAR));
        let count: usize = far.iter().map(|row| row.1.len()).sum();
        let far_step = ((count as f64 / FELT_POINTS).sqrt().ceil() as usize).max(1);
        let beside_near =
            |(row, points): (usize, Range<usize>)| match near.iter().find(|near| near.0 == row) {
                None => [(row, points), (row, 0..0)],
                Some((_, near)) => [(row, points.start..near.start), (row, near.end..points.end)],
            };
        let rows = far.into_iter().filter(|row| row.0.is_multiple_of(far_step));
        let far = rows
            .flat_map(beside_near)
            .filter(|row| !row.1.is_empty())
            .collect();
        let sharpest = gaussians(Channel::Luminance, distance)
            .into_iter()
            .fold(f64::INFINITY, |least, (spread, _)| least.min(spread));
        let step = if sharpest > FAR * length { 2 } else { 1 };
        Self {
            columns,
            half_rows,
            closed: lattice.is_closed(),
            below,
            beside,
            weights,
            step,
            near,
            far,
            far_step,
            covered: points(lattice).iter().map(Option::is_some).collect(),
        }
    }

    fn width(&self) -> usize {
        (2 * self.beside + 1) * POINTS
    }

    /// The half row that a row of the stamp falls on.
    fn half_row(&self, lattice: &Lattice, bead: usize, row: usize) -> Option<usize> {
        let (own, _) = lattice.position(bead);
        let lower = lattice.half_rows_of(own)[0] as isize;
        let half = lower + row as isize - self.below as isize;
        match self.closed {
            true => Some(half.rem_euclid(self.half_rows as isize) as usize),
            false => usize::try_from(half)
                .ok()
                .filter(|&half| half < self.half_rows),
        }
    }

    /// The points of `half_row` from `wanted` of a stamp's row on, and the first of the row that is there.
    fn part(
        &self,
        lattice: &Lattice,
        bead: usize,
        half_row: usize,
        wanted: &Range<usize>,
    ) -> (Range<usize>, usize) {
        let (_, column) = lattice.position(bead);
        let shift = (column.get() as usize - 1) * POINTS;
        let offset = self.beside * POINTS;
        // Point p of the stamp's row is point p + shift - offset of the band's row.
        let first = wanted.start.max(offset.saturating_sub(shift));
        let last = wanted
            .end
            .min(self.columns * POINTS + offset - shift)
            .max(first);
        let start = half_row * self.columns * POINTS + first + shift - offset;
        (start..start + last - first, first)
    }

    /// The points near a bead, every `step`-th of them as on a draughts board.
    pub(super) fn near(
        &self,
        lattice: &Lattice,
        bead: usize,
        step: usize,
        mut each: impl FnMut(usize, &[f64; 3]),
    ) {
        for (row, wanted) in &self.near {
            let Some(half_row) = self.half_row(lattice, bead, *row) else {
                continue;
            };
            let (points, first) = self.part(lattice, bead, half_row, wanted);
            let weights = &self.weights[row * self.width() + first..];
            for (point, weight) in points.zip(weights) {
                if (point + half_row).is_multiple_of(step) {
                    each(point, weight);
                }
            }
        }
    }

    /// Points about a bead that are felt beside those near it, each for [`Stamp::far_step`] squared of them.
    pub(super) fn far(
        &self,
        lattice: &Lattice,
        bead: usize,
        mut each: impl FnMut(usize, &[f64; 3]),
    ) {
        for (row, wanted) in &self.far {
            let Some(half_row) = self.half_row(lattice, bead, *row) else {
                continue;
            };
            let (points, first) = self.part(lattice, bead, half_row, wanted);
            let weights = &self.weights[row * self.width() + first..];
            // One row begins further to the right than the one below.
            let skipped =
                (self.far_step - (first + row / self.far_step) % self.far_step) % self.far_step;
            let every = points.zip(weights).skip(skipped).step_by(self.far_step);
            every.for_each(|(point, weight)| each(point, weight));
        }
    }

    /// All points about a bead, row by row: weights, points, and the first weight that is there.
    pub(super) fn rows(
        &self,
        lattice: &Lattice,
        bead: usize,
        mut each: impl FnMut(&[[f64; 3]], Range<usize>, usize),
    ) {
        let width = self.width();
        for (row, weights) in self.weights.chunks(width).enumerate() {
            if let Some(half_row) = self.half_row(lattice, bead, row) {
                let (points, first) = self.part(lattice, bead, half_row, &(0..width));
                each(weights, points, first);
            }
        }
    }
}

/// The rows and points of a stamp at which some channel has more than a `part` of its greatest weight.
fn near(weights: &[[f64; 3]], width: usize, part: f64) -> Vec<(usize, Range<usize>)> {
    let greatest: [f64; 3] = std::array::from_fn(|channel| {
        weights
            .iter()
            .map(|weight| weight[channel].abs())
            .fold(0.0, f64::max)
    });
    let counts = |weight: &[f64; 3]| {
        weight
            .iter()
            .zip(greatest)
            .any(|(weight, greatest)| weight.abs() > part * greatest)
    };
    weights
        .chunks(width)
        .enumerate()
        .filter_map(|(row, weights)| {
            let first = weights.iter().position(counts)?;
            let last = weights.iter().rposition(counts)?;
            Some((row, first..last + 1))
        })
        .collect()
}
