//! The grid and the band on it, in a straightened part of a picture.

use super::beads::{Endless, Extent, FEW};
use super::inner::mean;
use super::pitch::Lines;
use super::plane::{Plane, largest};
use crate::lattice::COLUMNS;

/// Least pixels of a bead's half height, and of its length.
const LEAST: (f64, f64) = (2.5, 4.0);
/// Length of a bead over half its height: from less than half its diameter to 1.7 times that.
const PROPORTIONS: (f64, f64) = (0.9, 3.4);
/// Rounds in which the grid is fitted to the band, and the band found again.
const ROUNDS: usize = 3;
/// Least rows of a band: words have lines of letters.
const LEAST_ROWS: u32 = 6;
/// Share of a bead from which it is of one colour, and least share of such beads in a band.
const MOSTLY: f64 = 0.6;
const LEAST_PLAIN: f64 = 0.4;
/// Least mean of the weakest edge of each bead, times the share of plain beads. Ours: charts have
/// 0.075 and more, other pictures up to 0.05.
const LEAST_CLEAR: f64 = 0.06;

/// The grid and the band on it, with how clearly it shows: of the pitches that repeat most strongly
/// those on which beads have an edge at every side.
pub(super) fn found(plane: &Plane, columns: Option<u32>) -> Option<(f64, Endless, Extent)> {
    let (across, down) = sums(plane, None);
    let (most_x, most_y) = (plane.width as f64 / 2.0, plane.height as f64 / 3.0);
    if most_y < 2.0 * LEAST.0 || most_x < 2.0 * LEAST.1 {
        return None;
    }
    let mut best: Option<(f64, Endless, Extent)> = None;
    for halves in Lines::of(&down, LEAST.0..=most_y) {
        let shortest = (halves.pitch * PROPORTIONS.0).max(LEAST.1);
        let longest = (halves.pitch * PROPORTIONS.1)
            .min(most_x)
            .max(shortest * 1.5);
        for lengths in Lines::of(&across, shortest..=longest) {
            let endless = Endless::new(plane, lengths, halves, None);
            let Some(extent) = endless.band(plane, columns) else {
                continue;
            };
            let plain = plain_share(plane, &endless, extent);
            if extent.columns() < COLUMNS.0 || extent.rows() < LEAST_ROWS || plain < LEAST_PLAIN {
                continue;
            }
            let score = plain * endless.edges(plane, extent) * endless.area(extent).sqrt();
            if best.is_none_or(|(most, ..)| score > most) {
                best = Some((score, endless, extent));
            }
        }
    }
    let (score, endless, extent) = best?;
    let (endless, extent) = fitted(plane, columns, endless, extent)?;
    let is_band = extent.columns() >= COLUMNS.0 && extent.rows() >= LEAST_ROWS;
    let clear = endless.edges(plane, extent) * plain_share(plane, &endless, extent);
    (is_band && clear >= LEAST_CLEAR).then_some((score, endless, extent))
}

/// Share of a band's beads that are of one colour, letters and shine left aside.
fn plain_share(plane: &Plane, endless: &Endless, extent: Extent) -> f64 {
    let (mut plain, mut all) = (0usize, 0usize);
    for column in extent.left..=extent.right {
        for half in extent.top..=extent.bottom {
            let cell = (column, half);
            if endless.has(cell) {
                let (_, share) = mean(&endless.inner(plane, cell, FEW));
                plain += usize::from(share >= MOSTLY);
                all += 1;
            }
        }
    }
    plain as f64 / all.max(1) as f64
}

/// The grid fitted to the lines within the band, and the band found again.
fn fitted(
    plane: &Plane,
    columns: Option<u32>,
    mut endless: Endless,
    mut extent: Extent,
) -> Option<(Endless, Extent)> {
    for _ in 0..ROUNDS {
        let (across, down) = sums(plane, Some((&endless, extent)));
        let lengths = endless
            .columns
            .fitted(&across, extent.left, extent.right + 1);
        let halves = endless.halves.fitted(&down, extent.top, extent.bottom + 2);
        endless = Endless::new(plane, lengths, halves, Some(extent));
        let again = endless.band(plane, columns)?;
        if again == extent {
            break;
        }
        extent = again;
    }
    Some((endless, extent))
}

/// The sums of edges along columns and along rows of pixels, of the band alone where it is known.
fn sums(plane: &Plane, band: Option<(&Endless, Extent)>) -> (Vec<f64>, Vec<f64>) {
    let pixel = |at: f64, side: usize| at.round().clamp(0.0, side as f64) as usize;
    let (x, y) = match band {
        None => (0..plane.width, 0..plane.height),
        Some((grid, extent)) => (
            pixel(grid.columns.at(extent.left), plane.width)
                ..pixel(grid.columns.at(extent.right + 1), plane.width),
            pixel(grid.halves.at(extent.top), plane.height)
                ..pixel(grid.halves.at(extent.bottom + 2), plane.height),
        ),
    };
    let mut across = vec![0.0; plane.width];
    let mut down = vec![0.0; plane.height];
    for (row, down) in down.iter_mut().enumerate() {
        for (column, across) in across.iter_mut().enumerate() {
            let at = row * plane.width + column;
            if y.contains(&row) {
                *across += f64::from(largest(plane.across[at]));
            }
            if x.contains(&column) {
                *down += f64::from(largest(plane.down[at]));
            }
        }
    }
    (across, down)
}
