//! Pixels to the mean linear light of each bead: exact for pixels that are constant over their
//! squares.
//!
//! The band is cut into cells, a column wide and a half row high; their borders are straight lines
//! of the picture, so a cell's mean is a sum of row runs with fractional first and last pixels. A
//! bead is the mean of its two cells.

pub mod areas;
pub mod crisp;
mod downscale;
mod grid;
mod pixel_run;
mod summed_area;

pub use downscale::downscale;
pub use summed_area::SummedArea;

pub use grid::{Grid, Overview, grid, overview};

use crate::cancel::Cancel;
use crate::colour::Light;
use crate::error::{Error, Result};
use crate::lattice::Lattice;
use crate::picture::{Line, Picture, Plan, Tile};
use pixel_run::{PixelRun, RunSums};
use rayon::prelude::*;
use std::ops::Range;

/// Stored rows that one task sums; fixed, so that sums do not depend on the number of threads.
const ROWS_AT_ONCE: usize = 64;

/// What falls on a bead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Mean linear light, premultiplied by alpha.
    pub light: Light,
    /// Mean alpha: how much of the bead the picture covers, 0 to 1.
    pub alpha: f64,
}

/// A cell's sums: light of three channels times alpha, and alpha, over the cell's area.
type Cell = [f64; 4];

/// Mean light that falls on each bead.
///
/// Returns one sample a bead, in lattice order (row 1 first, then by column). A closed band wraps
/// in y. Exact for piecewise constant pixels, up to rounding: light is read to 31 bits.
///
/// # Errors
/// If the placed picture covers no bead, its colour profile fails, or the work is cancelled.
pub fn sample(
    picture: &Picture,
    plan: &Plan,
    lattice: &Lattice,
    cancel: &Cancel,
) -> Result<Vec<Sample>> {
    let samples = beads(picture, lattice, &cells(picture, plan, lattice, 1, cancel)?);
    if samples.iter().any(|sample| sample.alpha > 1e-9) {
        Ok(samples)
    } else {
        Err(
            Error::new("the picture is fully transparent where the band would show it")
                .hint("choose another part with [--crop], or another picture"),
        )
    }
}

/// Mean light that falls on each part of each cell, a cell being a column wide and a half row high:
/// `parts` by `parts` of a cell, row by row from the lower edge.
///
/// # Errors
/// If the picture's colour profile fails, or the work is cancelled.
pub fn sample_tiles(
    picture: &Picture,
    plan: &Plan,
    lattice: &Lattice,
    parts: u32,
    cancel: &Cancel,
) -> Result<Vec<Sample>> {
    let cells = cells(picture, plan, lattice, parts, cancel)?;
    let sample = |&[r, g, b, alpha]: &Cell| Sample {
        light: picture.reading.light([r, g, b]),
        alpha,
    };
    Ok(cells.iter().map(sample).collect())
}

/// The sums of each part of a cell, over its area.
fn cells(
    picture: &Picture,
    plan: &Plan,
    lattice: &Lattice,
    parts: u32,
    cancel: &Cancel,
) -> Result<Vec<Cell>> {
    let count = lattice.columns() as usize * lattice.half_rows() as usize;
    let mut cells = vec![[0.0; 4]; count * (parts * parts) as usize];
    for tile in &plan.tiles {
        sample_tile(picture, tile, lattice, parts, &mut cells, cancel)?;
    }
    Ok(cells)
}

/// The mean of each bead's two cells.
fn beads(picture: &Picture, lattice: &Lattice, cells: &[Cell]) -> Vec<Sample> {
    let columns = lattice.columns() as usize;
    lattice
        .all_rows()
        .flat_map(|row| lattice.columns_of(row).map(move |column| (row, column)))
        .map(|(row, column)| {
            let [lower, upper] = lattice
                .half_rows_of(row)
                .map(|half_row| &cells[half_row as usize * columns + column.get() as usize - 1]);
            let [r, g, b, alpha] = std::array::from_fn(|i| (lower[i] + upper[i]) / 2.0);
            Sample {
                light: picture.reading.light([r, g, b]),
                alpha,
            }
        })
        .collect()
}

/// Adds what a tile shows to the cells, which are in half rows from the lower edge, then by column.
fn sample_tile(
    picture: &Picture,
    tile: &Tile,
    lattice: &Lattice,
    parts: u32,
    cells: &mut [Cell],
    cancel: &Cancel,
) -> Result<()> {
    let x = Bins::new(&tile.map.x, &tile.window[0], tile, lattice, parts);
    let y = Bins::new(&tile.map.y, &tile.window[1], tile, lattice, parts);
    let summed: Vec<Vec<Cell>> = y
        .runs
        .par_iter()
        .map(|down| sum_band(picture, down, &x.runs, cancel))
        .collect::<Result<_>>()?;
    let area = x.length * y.length;
    let columns = (lattice.columns() * parts) as usize;
    for (down, row) in summed.iter().enumerate() {
        for (across, sums) in row.iter().enumerate() {
            let (column, half_row) = if tile.map.x.along_y {
                (down, across)
            } else {
                (across, down)
            };
            let column = (tile.columns.start * parts) as usize + column;
            let half_row = (tile.half_rows.start * parts) as usize + half_row;
            let cell = &mut cells[half_row * columns + column];
            for (total, sum) in cell.iter_mut().zip(sums) {
                *total += sum / area;
            }
        }
    }
    Ok(())
}

/// The sums of all cells that one run of stored rows crosses.
fn sum_band(
    picture: &Picture,
    down: &PixelRun,
    across: &[PixelRun],
    cancel: &Cancel,
) -> Result<Vec<Cell>> {
    let rows: Vec<(usize, f64)> = down.weights().collect();
    let parts: Vec<Vec<Cell>> = rows
        .par_chunks(ROWS_AT_ONCE)
        .map(|rows| {
            cancel.check()?;
            let mut sums = RunSums::new(picture, across);
            for &(row, weight) in rows {
                sums.add_row(row, weight)?;
            }
            Ok(sums.cells)
        })
        .collect::<Result<_>>()?;
    let mut parts = parts.into_iter();
    let mut total = parts.next().unwrap_or_else(|| vec![[0.0; 4]; across.len()]);
    for part in parts {
        for (cell, more) in total.iter_mut().zip(part) {
            for (sum, value) in cell.iter_mut().zip(more) {
                *sum += value;
            }
        }
    }
    Ok(total)
}

/// The cuts of one stored axis.
struct Bins {
    /// One run for each part of a column or half row of the tile, in that order.
    runs: Vec<PixelRun>,
    /// Length of a whole bin in pixels.
    length: f64,
}

impl Bins {
    fn new(line: &Line, window: &Range<f64>, tile: &Tile, lattice: &Lattice, parts: u32) -> Self {
        let bead = lattice.bead();
        let (range, step) = if line.along_y {
            (&tile.half_rows, bead.diameter.get() / 2.0)
        } else {
            (&tile.columns, bead.length.get())
        };
        let step = step / f64::from(parts);
        let cut = |at: u32| line.at(f64::from(at) * step);
        let runs = (range.start * parts..range.end * parts)
            .map(|at| {
                let (one, two) = (cut(at), cut(at + 1));
                let start = one.min(two).max(window.start);
                let end = one.max(two).min(window.end);
                PixelRun::new(start, end)
            })
            .collect();
        Self {
            runs,
            length: step * line.scale.abs(),
        }
    }
}
