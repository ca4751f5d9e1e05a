//! What is seen of a band from one distance, kept up to date bead by bead.

use crate::colour::Judged;
use crate::eye::band::{Mosaic, POINTS, REACH, Seen, gaussians, judged, lab_of, points};
use crate::eye::scielab::Channel;
use crate::eye::spread::share;
use crate::lattice::Lattice;
use crate::units::Mm;

/// Part of its greatest weight above which a bead's share in a point is judged anew in a trial.
const NEAR: f64 = 0.04;

/// Spread of the sharpest Gaussian, in lengths of a bead, from which neighbouring points look alike.
const FAR: f64 = 0.5;

/// One view: the picture's, the band's, and their difference at each point.
#[derive(Clone)]
pub(super) struct View {
    target: Vec<Judged>,
    seen: Seen,
    pub(super) errors: Vec<f64>,
    stamp: Stamp,
}

/// How one bead shows at the points about it: by half rows up from its lower half, then by points from the left.
#[derive(Clone)]
struct Stamp {
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
    step: usize,
    /// Half rows and points of a row that count in a trial.
    near: Vec<(usize, std::ops::Range<usize>)>,
    covered: Vec<bool>,
}

impl View {
    pub(super) fn new(picture: &Mosaic, band: &Mosaic, distance: Mm) -> Self {
        let lattice = &picture.lattice;
        let target = judged(&picture.seen(distance));
        let mut view = Self {
            errors: vec![0.0; target.len()],
            target,
            seen: Vec::new(),
            stamp: Stamp::new(lattice, distance),
        };
        view.show(band, distance);
        view
    }

    /// Looks at another band.
    pub(super) fn show(&mut self, band: &Mosaic, distance: Mm) {
        self.seen = band.seen(distance);
        for point in 0..self.seen.len() {
            self.errors[point] = self.difference(point, self.seen[point]);
        }
    }

    /// Mean difference over the points.
    pub(super) fn mean(&self) -> f64 {
        let there = self.stamp.covered.iter().filter(|&&there| there).count();
        self.errors.iter().sum::<f64>() / there.max(1) as f64
    }

    fn difference(&self, point: usize, seen: [f64; 3]) -> f64 {
        match self.stamp.covered[point] {
            true => Judged::new(lab_of(seen)).difference(&self.target[point]),
            false => 0.0,
        }
    }

    /// What changes of some beads' opponent values bring to the sum of differences at the points near them.
    pub(super) fn trial(&self, lattice: &Lattice, changes: &[(usize, [f64; 3])]) -> f64 {
        let mut touched: Vec<(usize, [f64; 3])> = Vec::new();
        let step = self.stamp.step;
        for &(bead, change) in changes {
            self.stamp.near(lattice, bead, step, |point, weight| {
                let part = std::array::from_fn(|channel| weight[channel] * change[channel]);
                touched.push((point, part));
            });
        }
        if changes.len() > 1 {
            touched.sort_by_key(|&(point, _)| point);
        }
        let mut sum = 0.0;
        let mut at = 0;
        while at < touched.len() {
            let point = touched[at].0;
            let mut seen = self.seen[point];
            while at < touched.len() && touched[at].0 == point {
                for (value, part) in seen.iter_mut().zip(touched[at].1) {
                    *value += part;
                }
                at += 1;
            }
            sum += self.difference(point, seen) - self.errors[point];
        }
        sum * step as f64
    }

    /// Makes a change of one bead, near and far.
    pub(super) fn change(&mut self, lattice: &Lattice, bead: usize, change: [f64; 3]) {
        let (stamp, seen) = (&self.stamp, &mut self.seen);
        stamp.rows(lattice, bead, |row, points, first| {
            for (value, weight) in seen[points].iter_mut().zip(&row[first..]) {
                for channel in 0..3 {
                    value[channel] += weight[channel] * change[channel];
                }
            }
        });
        // Far away a bead hardly shows: there the difference is brought up to date once a sweep.
        let mut near = Vec::new();
        stamp.near(lattice, bead, 1, |point, _| near.push(point));
        for point in near {
            self.errors[point] = self.difference(point, self.seen[point]);
        }
    }

    /// Judges every point anew.
    pub(super) fn judge(&mut self) {
        for point in 0..self.seen.len() {
            self.errors[point] = self.difference(point, self.seen[point]);
        }
    }
}

impl Stamp {
    fn new(lattice: &Lattice, distance: Mm) -> Self {
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
        let near = near(&weights, width);
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
        wanted: &std::ops::Range<usize>,
    ) -> (std::ops::Range<usize>, usize) {
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
    fn near(
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

    fn rows(
        &self,
        lattice: &Lattice,
        bead: usize,
        mut each: impl FnMut(&[[f64; 3]], std::ops::Range<usize>, usize),
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

/// The rows and points of a stamp that count in a trial.
fn near(weights: &[[f64; 3]], width: usize) -> Vec<(usize, std::ops::Range<usize>)> {
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
            .any(|(weight, greatest)| weight.abs() > NEAR * greatest)
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
