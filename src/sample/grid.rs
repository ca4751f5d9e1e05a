//! Mean linear light on a plain grid over a whole picture.

use super::Sample;
use super::pixel_run::{PixelRun, RunSums};
use crate::colour::Light;
use crate::error::Result;
use crate::picture::Picture;
use rayon::prelude::*;

/// Mean light of the cells of a grid, upright, rows from the top.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    /// Cells across.
    pub width: usize,
    /// Cells down.
    pub height: usize,
    /// Linear light; what the picture leaves transparent is white.
    pub light: Vec<Light>,
}

impl Grid {
    /// The light of a cell.
    pub fn at(&self, x: usize, y: usize) -> Light {
        self.light[y * self.width + x]
    }
}

/// What falls on the cells of a grid, upright, rows from the top.
#[derive(Debug, Clone, PartialEq)]
pub struct Overview {
    /// Cells across.
    pub width: usize,
    /// Cells down.
    pub height: usize,
    /// Light times alpha, and alpha, of each cell.
    pub cells: Vec<Sample>,
}

/// The whole picture on a grid of at most `most` cells a side, of its own proportions; never more
/// cells than pixels.
///
/// Exact for piecewise constant pixels, as [`super::sample`] is.
///
/// # Errors
/// If the picture's colour profile fails.
pub fn grid(picture: &Picture, most: usize) -> Result<Grid> {
    let Overview {
        width,
        height,
        cells,
    } = overview(picture, most)?;
    let on_white = |cell: &Sample| {
        let white = 1.0 - cell.alpha;
        cell.light + Light::new(white, white, white)
    };
    Ok(Grid {
        width,
        height,
        light: cells.iter().map(on_white).collect(),
    })
}

/// As [`grid()`], with what is transparent left so.
///
/// # Errors
/// As [`grid()`].
pub fn overview(picture: &Picture, most: usize) -> Result<Overview> {
    let (width, height) = (picture.width as usize, picture.height as usize);
    let long = width.max(height);
    let cells = |side: usize| {
        if long <= most {
            side
        } else {
            ((side * most + long / 2) / long).max(1)
        }
    };
    let (across, down) = (cut(width, cells(width)), cut(height, cells(height)));
    let area = (width as f64 / across.len() as f64) * (height as f64 / down.len() as f64);
    let sample = |cell: &[f64; 4]| {
        let [r, g, b, alpha] = cell.map(|sum| sum / area);
        Sample {
            light: picture.reading.light([r, g, b]),
            alpha,
        }
    };
    let rows: Vec<Vec<Sample>> = down
        .par_iter()
        .map(|run| {
            let mut sums = RunSums::new(picture, &across);
            for (row, weight) in run.weights() {
                sums.add_row(row, weight)?;
            }
            Ok(sums.cells.iter().map(sample).collect())
        })
        .collect::<Result<_>>()?;
    Ok(upright(picture, &rows))
}

/// A side cut into equal runs.
fn cut(side: usize, cells: usize) -> Vec<PixelRun> {
    let edge = |at: usize| (side * at) as f64 / cells as f64;
    (0..cells)
        .map(|at| PixelRun::new(edge(at), edge(at + 1)))
        .collect()
}

fn upright(picture: &Picture, rows: &[Vec<Sample>]) -> Overview {
    let orientation = picture.orientation;
    let (across, down) = (rows.first().map_or(0, Vec::len), rows.len());
    let (width, height) = if orientation.swap {
        (down, across)
    } else {
        (across, down)
    };
    let from = |flip: bool, at: usize, side: usize| if flip { side - 1 - at } else { at };
    let mut cells = Vec::with_capacity(width * height);
    for y in 0..height {
        for x in 0..width {
            let (stored_x, stored_y) = if orientation.swap { (y, x) } else { (x, y) };
            let row = from(orientation.flip_y, stored_y, down);
            cells.push(rows[row][from(orientation.flip_x, stored_x, across)]);
        }
    }
    Overview {
        width,
        height,
        cells,
    }
}
