//! The footprint of one bead: its weight in each of the sample points around it, as seen from one
//! distance.

use crate::lattice::Lattice;
use crate::units::Mm;
use crate::vision::band::{POINTS, REACH, gaussians, points};
use crate::vision::gaussian::share;
use crate::vision::scielab::Channel;
use std::ops::Range;

/// Part of the greatest weight above which a point counts as near: a trial computes its difference
/// anew.
const NEAR: f64 = 0.04;
/// Part of the greatest weight above which a point counts as far: the quadratic model stands for
/// it.
const FAR: f64 = 0.003;
/// About how many far points the model looks at.
const FAR_POINTS: f64 = 120.0;
/// Spread of the sharpest Gaussian, in lengths of a bead, from which neighbouring points look
/// alike.
const ALIKE: f64 = 0.5;

/// A bead's weight in the sample points around it: by half rows up from its lower half, then by
/// points from the left.
pub(super) struct Footprint {
    columns: usize,
    half_rows: usize,
    closed: bool,
    /// Half rows below the bead's lower half.
    below: usize,
    /// Columns to either side.
    beside: usize,
    /// Weights by channel.
    weights: Vec<[f64; 3]>,
    /// A trial looks at every so many of the near points: from far away neighbours look alike.
    pub(super) step: usize,
    /// Near points: half row and range of points.
    near: Vec<RowPart>,
    /// Far points, every so many rows and points.
    far: Vec<RowPart>,
    /// How many.
    pub(super) far_step: usize,
    /// Whether a bead covers each point.
    pub(super) covered: Vec<bool>,
}

/// Part of a row of the footprint.
#[derive(Clone)]
struct RowPart {
    row: usize,
    points: Range<usize>,
}

/// How far a footprint reaches.
struct Extent {
    /// Columns to either side.
    beside: usize,
    /// Half rows to either side that any filter reaches.
    reach: usize,
    /// Half rows below the bead's lower half.
    below: usize,
    /// Half rows in all.
    height: usize,
}

impl Extent {
    fn new(lattice: &Lattice, distance: Mm) -> Self {
        let bead = lattice.bead();
        let (length, half) = (bead.length.get(), bead.diameter.get() / 2.0);
        let (columns, half_rows) = (lattice.columns() as usize, lattice.half_rows() as usize);
        // Luminance's widest Gaussian reaches over any band and leaves next to nothing of one bead.
        let widest = gaussians(Channel::RedGreen, distance)
            .into_iter()
            .fold(0.0f64, |widest, (spread, _)| widest.max(spread));
        let reach = (REACH * widest / half).ceil() as usize + 1;
        let (below, height) = if lattice.is_closed() && 2 * reach + 2 > half_rows {
            (half_rows / 2, half_rows)
        } else {
            (reach, 2 * reach + 2)
        };
        Self {
            beside: ((REACH * widest / length).ceil() as usize + 1).min(columns - 1),
            reach,
            below,
            height,
        }
    }

    /// Points in a row of the footprint.
    fn width(&self) -> usize {
        (2 * self.beside + 1) * POINTS
    }

    /// Weights by channel, row by row.
    fn weights(&self, lattice: &Lattice, distance: Mm) -> Vec<[f64; 3]> {
        let mut weights = vec![[0.0; 3]; self.width() * self.height];
        for channel in Channel::ALL {
            for (spread, weight) in gaussians(channel, distance) {
                self.add(lattice, channel, spread, weight, &mut weights);
            }
        }
        weights
    }

    /// Adds one Gaussian of a channel.
    fn add(
        &self,
        lattice: &Lattice,
        channel: Channel,
        spread: f64,
        weight: f64,
        weights: &mut [[f64; 3]],
    ) {
        let bead = lattice.bead();
        let (length, half) = (bead.length.get(), bead.diameter.get() / 2.0);
        let half_rows = lattice.half_rows() as usize;
        let across: Vec<f64> = (0..self.width())
            .map(|at| {
                let point = (at as f64 + 0.5) / POINTS as f64 - self.beside as f64 - 0.5;
                share((point - 0.5) * length, (point + 0.5) * length, spread)
            })
            .collect();
        // Round a closed band a point is met more often than once.
        for at in 0..2 * self.reach + 2 {
            let up = at as isize - self.reach as isize;
            let middle = (up as f64 - 0.5) * half;
            let along = weight * share(middle - half, middle + half, spread);
            let row = up + self.below as isize;
            let row = if lattice.is_closed() {
                row.rem_euclid(half_rows.max(self.height) as isize)
            } else {
                row
            } as usize;
            if row < self.height {
                let row = &mut weights[row * self.width()..(row + 1) * self.width()];
                for (value, across) in row.iter_mut().zip(&across) {
                    value[channel as usize] += along * across;
                }
            }
        }
    }
}

impl Footprint {
    pub(super) fn new(lattice: &Lattice, distance: Mm) -> Self {
        let extent = Extent::new(lattice, distance);
        let weights = extent.weights(lattice, distance);
        let all = row_parts(&weights, extent.width(), FAR);
        let near = row_parts(&weights, extent.width(), NEAR);
        let count: usize = all.iter().map(|part| part.points.len()).sum();
        let far_step = ((count as f64 / FAR_POINTS).sqrt().ceil() as usize).max(1);
        let sharpest = gaussians(Channel::Luminance, distance)
            .into_iter()
            .fold(f64::INFINITY, |least, (spread, _)| least.min(spread));
        let alike = sharpest > ALIKE * lattice.bead().length.get();
        Self {
            columns: lattice.columns() as usize,
            half_rows: lattice.half_rows() as usize,
            closed: lattice.is_closed(),
            below: extent.below,
            beside: extent.beside,
            weights,
            step: if alike { 2 } else { 1 },
            far: beyond(all, &near, far_step),
            near,
            far_step,
            covered: points(lattice).iter().map(Option::is_some).collect(),
        }
    }

    fn width(&self) -> usize {
        (2 * self.beside + 1) * POINTS
    }

    /// The half row of the band that a row of the footprint falls on.
    fn half_row(&self, lattice: &Lattice, bead: usize, row: usize) -> Option<usize> {
        let (own, _) = lattice.position(bead);
        let lower = lattice.half_rows_of(own)[0] as isize;
        let half = lower + row as isize - self.below as isize;
        if self.closed {
            Some(half.rem_euclid(self.half_rows as isize) as usize)
        } else {
            usize::try_from(half)
                .ok()
                .filter(|&half| half < self.half_rows)
        }
    }

    /// The band's points that part of a row of the footprint covers, and the first of the row's own
    /// points that is on the band.
    fn part(
        &self,
        lattice: &Lattice,
        bead: usize,
        half_row: usize,
        part: &Range<usize>,
    ) -> (Range<usize>, usize) {
        let (_, column) = lattice.position(bead);
        let shift = (column.get() as usize - 1) * POINTS;
        let offset = self.beside * POINTS;
        // Point p of the footprint's row is point p + shift - offset of the band's row.
        let first = part.start.max(offset.saturating_sub(shift));
        let last = part
            .end
            .min(self.columns * POINTS + offset - shift)
            .max(first);
        let start = half_row * self.columns * POINTS + first + shift - offset;
        (start..start + last - first, first)
    }

    /// The points near a bead, every `step`-th of them in a checkerboard.
    pub(super) fn near(
        &self,
        lattice: &Lattice,
        bead: usize,
        step: usize,
        mut each: impl FnMut(usize, &[f64; 3]),
    ) {
        for part in &self.near {
            let Some(half_row) = self.half_row(lattice, bead, part.row) else {
                continue;
            };
            let (points, first) = self.part(lattice, bead, half_row, &part.points);
            let weights = &self.weights[part.row * self.width() + first..];
            for (point, weight) in points.zip(weights) {
                if (point + half_row).is_multiple_of(step) {
                    each(point, weight);
                }
            }
        }
    }

    /// Points far from a bead, each of which stands for [`Footprint::far_step`] squared of them.
    pub(super) fn far(
        &self,
        lattice: &Lattice,
        bead: usize,
        mut each: impl FnMut(usize, &[f64; 3]),
    ) {
        for part in &self.far {
            let row = part.row;
            let Some(half_row) = self.half_row(lattice, bead, row) else {
                continue;
            };
            let (points, first) = self.part(lattice, bead, half_row, &part.points);
            let weights = &self.weights[row * self.width() + first..];
            // Each row begins one point further to the right than the one below.
            let skipped =
                (self.far_step - (first + row / self.far_step) % self.far_step) % self.far_step;
            let every = points.zip(weights).skip(skipped).step_by(self.far_step);
            every.for_each(|(point, weight)| each(point, weight));
        }
    }

    /// All points around a bead, row by row: weights, points, and the first weight on the band.
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

/// Every `step`-th row of `all`, without what is `near`.
fn beyond(all: Vec<RowPart>, near: &[RowPart], step: usize) -> Vec<RowPart> {
    let without_near = |part: RowPart| {
        let RowPart { row, points } = part;
        let [left, right] = match near.iter().find(|near| near.row == row) {
            None => [points, 0..0],
            Some(near) => [points.start..near.points.start, near.points.end..points.end],
        };
        [left, right].map(|points| RowPart { row, points })
    };
    all.into_iter()
        .filter(|part| part.row.is_multiple_of(step))
        .flat_map(without_near)
        .filter(|part| !part.points.is_empty())
        .collect()
}

/// The parts of rows in which some channel has more than a `share` of its greatest weight.
fn row_parts(weights: &[[f64; 3]], width: usize, share: f64) -> Vec<RowPart> {
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
            .any(|(weight, greatest)| weight.abs() > share * greatest)
    };
    weights
        .chunks(width)
        .enumerate()
        .filter_map(|(row, weights)| {
            let first = weights.iter().position(counts)?;
            let last = weights.iter().rposition(counts)?;
            Some(RowPart {
                row,
                points: first..last + 1,
            })
        })
        .collect()
}
