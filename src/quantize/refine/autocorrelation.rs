//! How a change of one bead changes the error of every other: the autocorrelation of the eye's
//! filter over the beads' rectangles.

use super::View;
use crate::lattice::Lattice;
use crate::vision::band::{REACH, squared_filter};
use crate::vision::gaussian::overlap;
use crate::vision::scielab::Channel;

/// Furthest distance of the effect of a change, in millimetres.
const FARTHEST: f64 = 60.0;

/// Weights by offset, the weighted mean over the distances, in units of a bead's own area.
pub(super) struct Autocorrelation {
    /// By rows up.
    lines: Vec<Line>,
    /// Columns to either side.
    columns: i64,
    /// Rows up of the first line.
    first: i64,
}

/// The weights of beads so many rows up; every second column, from the left.
struct Line {
    rows: i64,
    /// Columns to the right of the first weight.
    left: i64,
    of_channels: [Vec<f64>; 3],
}

impl Autocorrelation {
    pub(super) fn new(lattice: &Lattice, views: &[View]) -> Self {
        let (length, diameter) = (lattice.bead().length.get(), lattice.bead().diameter.get());
        let reach = reach(views);
        let columns = ((reach / length).ceil() as i64 + 1).min(i64::from(lattice.columns()) - 1);
        let rows = (reach / (diameter / 2.0)).ceil() as i64 + 2;
        let count = i64::from(lattice.rows());
        let (least, greatest) = if lattice.is_closed() {
            (-((rows).min(count / 2 - 1)), rows.min(count / 2))
        } else {
            (-rows.min(count - 1), rows.min(count - 1))
        };
        let mut lines: Vec<Line> = (least..=greatest)
            .map(|rows| Line::new(rows, columns))
            .collect();
        for channel in Channel::ALL {
            for view in views {
                let share = view.share / (length * diameter);
                for (spread, weight) in squared_filter(channel, view.distance) {
                    let x = |columns: i64| overlap(columns as f64 * length, length, length, spread);
                    let y = |rows: i64| {
                        overlap(rows as f64 * diameter / 2.0, diameter, diameter, spread)
                    };
                    let across: Vec<f64> = (0..=columns).map(x).collect();
                    for up in -rows..=rows {
                        // Round a closed band a bead is met more often than once.
                        let at = lattice.shorter(up) - least;
                        let Some(line) = usize::try_from(at).ok().and_then(|at| lines.get_mut(at))
                        else {
                            continue;
                        };
                        line.add(channel, &across, share * weight * y(up));
                    }
                }
            }
        }
        Self {
            lines,
            columns,
            first: least,
        }
    }

    /// The weights between two beads.
    pub(super) fn between(&self, lattice: &Lattice, from: usize, to: usize) -> [f64; 3] {
        let (rows, columns) = lattice.way(from, to);
        let line = usize::try_from(rows - self.first)
            .ok()
            .and_then(|at| self.lines.get(at));
        let Some(line) = line else { return [0.0; 3] };
        let at = (columns - line.left) / 2;
        std::array::from_fn(|channel| {
            let weights = &line.of_channels[channel];
            usize::try_from(at)
                .ok()
                .and_then(|at| weights.get(at))
                .copied()
                .unwrap_or(0.0)
        })
    }

    /// Adds to `fields`, one value a bead for each channel, the effect of a change of bead `index`
    /// by `change`.
    pub(super) fn spread(
        &self,
        lattice: &Lattice,
        index: usize,
        change: [f64; 3],
        fields: &mut [Vec<f64>; 3],
    ) {
        for line in &self.lines {
            let Some((beads, right)) = lattice.stretch(index, line.rows, self.columns) else {
                continue;
            };
            let from = ((right - line.left) / 2) as usize;
            for ((field, weights), change) in fields.iter_mut().zip(&line.of_channels).zip(change) {
                let weights = &weights[from..from + beads.len()];
                for (value, weight) in field[beads.clone()].iter_mut().zip(weights) {
                    *value += weight * change;
                }
            }
        }
    }
}

/// The weight of a bead's luminance on itself: how much of one bead is seen.
pub(super) fn of_one_bead(lattice: &Lattice, views: &[View]) -> f64 {
    let (length, diameter) = (lattice.bead().length.get(), lattice.bead().diameter.get());
    let of_view = |view: &View| {
        let pairs = squared_filter(Channel::Luminance, view.distance).into_iter();
        let own = |(spread, weight): (f64, f64)| {
            let (across, along) = (
                overlap(0.0, length, length, spread),
                overlap(0.0, diameter, diameter, spread),
            );
            weight * across * along / (length * diameter)
        };
        view.share * pairs.map(own).sum::<f64>()
    };
    views.iter().map(of_view).sum()
}

impl Line {
    fn new(rows: i64, columns: i64) -> Self {
        let left = -columns + (columns + rows).rem_euclid(2);
        let count = ((columns - left) / 2 + 1).max(0) as usize;
        Self {
            rows,
            left,
            of_channels: std::array::from_fn(|_| vec![0.0; count]),
        }
    }

    fn add(&mut self, channel: Channel, across: &[f64], weight: f64) {
        let weights = &mut self.of_channels[channel as usize];
        for (at, value) in weights.iter_mut().enumerate() {
            let columns = (self.left + 2 * at as i64).unsigned_abs() as usize;
            *value += weight * across[columns];
        }
    }
}

/// How far the widest colour filter reaches, applied twice; the tail of luminance's widest is left
/// out, a thousandth of the rest at any bead.
fn reach(views: &[View]) -> f64 {
    let widest = views
        .iter()
        .flat_map(|view| squared_filter(Channel::RedGreen, view.distance))
        .fold(0.0f64, |widest, (spread, _)| widest.max(spread));
    (REACH / 1.5 * widest).min(FARTHEST)
}
