//! How much of a bead's error each of its next neighbours takes: derived for this lattice, not
//! borrowed from square pixels.
//!
//! Diffusion shapes noise: if a bead's own error is white, the noise in the band has the spectrum
//! `|1 - K(f)|^2`, where `K` is the transform of the shares `w`. What the eye sees of it is `∫ |1 -
//! K|^2 |V|^2`, with `V` its luminance filter, so the best shares are a linear prediction (B. W.
//! Kolpatzik, C. A. Bouman, "Optimized error diffusion for image display", Journal of Electronic
//! Imaging, 1992): with `r(d)` the autocorrelation of the filter at distance `d`, minimise
//!
//! `r(0) - 2 Σ w_k r(d_k) + Σ Σ w_k w_l r(d_k - d_l)` under `Σ w_k = 1`, so that no light is lost,
//!
//! which is one small linear system. The neighbours are the beads not yet decided that touch this
//! one, and the next in its row. The distance is the one at which a bead's diameter fills the eye's
//! sharpest filter: nearer, beads are seen one by one whatever the shares; further, only the
//! proportions of the bead matter. So the shares depend on `L / D` alone.

use crate::bead::Bead;
use crate::vision::{LUMINANCE_SPREADS, SHARPEST_DEGREES};
use std::f64::consts::PI;

/// What a neighbour takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// Rows further on.
    pub rows: i64,
    /// Columns further in the direction of work.
    pub columns: i64,
    /// Its part of the error.
    pub weight: f64,
}

/// The neighbours: next in the row, the two beside in the next row, the one in the same column.
const AHEAD: [(i64, i64); 4] = [(0, 2), (1, -1), (1, 1), (2, 0)];

/// The shares for `bead`; none is negative, and they add up to 1.
pub fn kernel(bead: Bead) -> Vec<Share> {
    let r = |(rows, columns)| autocorrelation(bead, rows, columns);
    let mut system = [[0.0; 6]; 5];
    for (row, &one) in system.iter_mut().zip(&AHEAD) {
        for (cell, &two) in row.iter_mut().zip(&AHEAD) {
            *cell = r((one.0 - two.0, one.1 - two.1));
        }
        row[4] = 1.0;
        row[5] = r(one);
    }
    system[4] = [1.0, 1.0, 1.0, 1.0, 0.0, 1.0];
    let weights = solve(system);
    let total: f64 = weights[..4].iter().map(|weight| weight.max(0.0)).sum();
    AHEAD
        .iter()
        .zip(weights)
        .map(|(&(rows, columns), weight)| Share {
            rows,
            columns,
            weight: weight.max(0.0) / total,
        })
        .collect()
}

/// The noise that is visible at `millimetres` under `shares`, relative to white noise at the same
/// distance: the integral above.
pub fn visible_noise(bead: Bead, shares: &[Share], millimetres: f64) -> f64 {
    let r = |rows: i64, columns: i64| autocorrelation_at(bead, rows, columns, millimetres);
    let first: f64 = shares.iter().map(|s| s.weight * r(s.rows, s.columns)).sum();
    let second: f64 = shares
        .iter()
        .flat_map(|s| shares.iter().map(move |t| (s, t)))
        .map(|(s, t)| s.weight * t.weight * r(s.rows - t.rows, s.columns - t.columns))
        .sum();
    1.0 + (second - 2.0 * first) / r(0, 0)
}

fn autocorrelation(bead: Bead, rows: i64, columns: i64) -> f64 {
    let degrees = SHARPEST_DEGREES.to_radians();
    autocorrelation_at(
        bead,
        rows,
        columns,
        bead.diameter.get() / libm::tan(degrees),
    )
}

/// The filter is a sum of Gaussians of spread `s`; two of them convolve to `exp(-d^2/(s^2 + t^2)) /
/// (π (s^2 + t^2))`.
fn autocorrelation_at(bead: Bead, rows: i64, columns: i64, millimetres: f64) -> f64 {
    let x = columns as f64 * bead.length.get();
    let y = rows as f64 * bead.diameter.get() / 2.0;
    let degree = millimetres * libm::tan(1.0f64.to_radians());
    let mut sum = 0.0;
    for (s, one) in LUMINANCE_SPREADS {
        for (t, two) in LUMINANCE_SPREADS {
            let spread = (s * s + t * t) * degree * degree;
            sum += one * two * libm::exp(-(x * x + y * y) / spread) / (PI * spread);
        }
    }
    sum
}

/// Gaussian elimination with pivoting; the system is that of a positive definite kernel under one
/// constraint, never singular.
fn solve(mut system: [[f64; 6]; 5]) -> [f64; 5] {
    for column in 0..5 {
        let pivot = (column..5)
            .max_by(|&a, &b| system[a][column].abs().total_cmp(&system[b][column].abs()))
            .unwrap_or(column);
        system.swap(column, pivot);
        let top = system[column];
        for row in system.iter_mut().skip(column + 1) {
            let factor = row[column] / top[column];
            for (cell, above) in row.iter_mut().zip(top) {
                *cell -= factor * above;
            }
        }
    }
    let mut solution = [0.0; 5];
    for row in (0..5).rev() {
        let known: f64 = (row + 1..5).map(|k| system[row][k] * solution[k]).sum();
        solution[row] = (system[row][5] - known) / system[row][row];
    }
    solution
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bead::SIZES;

    #[test]
    fn shares_of_every_size_are_positive_and_add_up_to_one() {
        for size in SIZES {
            let shares = kernel(size.bead);
            let total: f64 = shares.iter().map(|share| share.weight).sum();
            assert!((total - 1.0).abs() < 1e-12);
            assert!(shares.iter().all(|share| share.weight > 0.0), "{shares:?}");
        }
    }
}
