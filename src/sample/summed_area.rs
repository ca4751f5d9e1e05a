//! A summed-area table: a picture prepared to be placed on bands in many ways, so that one
//! placement costs the band's tiles and not the picture's pixels.

use super::pixel_run::{PixelRun, RunSums};
use super::{Sample, Tile};
use crate::cancel::Cancel;
use crate::error::Result;
use crate::lattice::Lattice;
use crate::picture::{Line, Picture, Plan};
use rayon::prelude::*;
use std::ops::Range;

/// Most cells a side; a picture of no more pixels keeps them all.
const MOST: usize = 768;

/// Light of three channels times alpha, and alpha.
type Cell = [f64; 4];

/// The pixels that a plan's window shows, as sums from its corner.
pub struct SummedArea {
    window: [Range<f64>; 2],
    /// Cells across and down.
    cells: (usize, usize),
    /// Sums over all cells to the left and above: one more each way than there are cells.
    sums: Vec<Cell>,
}

impl SummedArea {
    /// The table of the stored pixels of a plan's window.
    ///
    /// # Errors
    /// If the picture's colour profile fails, or the work is cancelled.
    pub fn new(picture: &Picture, window: &[Range<f64>; 2], cancel: &Cancel) -> Result<Self> {
        let across = runs(&window[0]);
        let down = runs(&window[1]);
        let rows: Vec<Vec<Cell>> = down
            .par_iter()
            .map(|run| {
                cancel.check()?;
                let mut sums = RunSums::new(picture, &across);
                for (row, weight) in run.weights() {
                    sums.add_row(row, weight)?;
                }
                let light = |&[r, g, b, alpha]: &Cell| {
                    let light = picture.reading.light([r, g, b]);
                    [light.red, light.green, light.blue, alpha]
                };
                Ok(sums.cells.iter().map(light).collect())
            })
            .collect::<Result<_>>()?;
        let wide = across.len() + 1;
        let mut sums = vec![[0.0; 4]; wide];
        for row in &rows {
            let above = sums.len() - wide;
            let mut left = [0.0; 4];
            sums.push(left);
            for (x, cell) in row.iter().enumerate() {
                (0..4).for_each(|at| left[at] += cell[at]);
                let up = sums[above + x + 1];
                sums.push(std::array::from_fn(|at| up[at] + left[at]));
            }
        }
        Ok(Self {
            window: window.clone(),
            cells: (across.len(), down.len()),
            sums,
        })
    }

    /// As [`super::sample_tiles`], for a plan of this picture with the same window; exact where the
    /// table has a cell for each pixel.
    pub fn sample_tiles(&self, plan: &Plan, lattice: &Lattice, parts: u32) -> Vec<Sample> {
        let across = (lattice.columns() * parts) as usize;
        let mut cells = vec![[0.0; 4]; across * (lattice.half_rows() * parts) as usize];
        for tile in &plan.tiles {
            self.add_tile(tile, lattice, parts, &mut cells);
        }
        let sample = |&[red, green, blue, alpha]: &Cell| Sample {
            light: crate::colour::Light::new(red, green, blue),
            alpha,
        };
        cells.iter().map(sample).collect()
    }

    fn add_tile(&self, tile: &Tile, lattice: &Lattice, parts: u32, cells: &mut [Cell]) {
        let (x, y) = (&tile.map.x, &tile.map.y);
        let xs = self.cuts(x, 0, tile, lattice, parts);
        let ys = self.cuts(y, 1, tile, lattice, parts);
        let nodes: Vec<Vec<Cell>> = ys
            .iter()
            .map(|&y| xs.iter().map(|&x| self.sum(x, y)).collect())
            .collect();
        let step = |line: &Line| cut_spacing(line, lattice, parts) * line.scale.abs();
        // Either axis may run backwards, which changes the sum's sign.
        let area = step(x) * step(y) * (x.scale * y.scale).signum();
        let wide = (lattice.columns() * parts) as usize;
        for (down, rows) in nodes.windows(2).enumerate() {
            for at in 0..xs.len() - 1 {
                let (column, half) = if x.along_y { (down, at) } else { (at, down) };
                let column = (tile.columns.start * parts) as usize + column;
                let half = (tile.half_rows.start * parts) as usize + half;
                let own = &mut cells[half * wide + column];
                for (channel, own) in own.iter_mut().enumerate() {
                    let [upper, lower] =
                        [&rows[0], &rows[1]].map(|row| row[at + 1][channel] - row[at][channel]);
                    *own += (lower - upper) / area;
                }
            }
        }
    }

    /// Where the cuts of one stored axis are, in cells.
    fn cuts(
        &self,
        line: &Line,
        axis: usize,
        tile: &Tile,
        lattice: &Lattice,
        parts: u32,
    ) -> Vec<f64> {
        let range = if line.along_y {
            &tile.half_rows
        } else {
            &tile.columns
        };
        let spacing = cut_spacing(line, lattice, parts);
        let window = &self.window[axis];
        let cells = if axis == 0 {
            self.cells.0
        } else {
            self.cells.1
        };
        let to_cells = cells as f64 / (window.end - window.start);
        (range.start * parts..=range.end * parts)
            .map(|at| {
                line.at(f64::from(at) * spacing)
                    .clamp(window.start, window.end)
            })
            .map(|at| (at - window.start) * to_cells)
            .collect()
    }

    /// The sum to the left of `x` and above `y`, each between cells.
    fn sum(&self, x: f64, y: f64) -> Cell {
        let wide = self.cells.0 + 1;
        let (left, top) = (
            (x as usize).min(self.cells.0 - 1),
            (y as usize).min(self.cells.1 - 1),
        );
        let (right, down) = (x - left as f64, y - top as f64);
        let at = |x: usize, y: usize| &self.sums[y * wide + x];
        let corners = [
            (at(left, top), (1.0 - right) * (1.0 - down)),
            (at(left + 1, top), right * (1.0 - down)),
            (at(left, top + 1), (1.0 - right) * down),
            (at(left + 1, top + 1), right * down),
        ];
        std::array::from_fn(|channel| {
            corners
                .iter()
                .map(|(sum, share)| sum[channel] * share)
                .sum()
        })
    }
}

/// Millimetres from cut to cut of the axis that runs along `line`.
fn cut_spacing(line: &Line, lattice: &Lattice, parts: u32) -> f64 {
    let bead = lattice.bead();
    let step = if line.along_y {
        bead.diameter.get() / 2.0
    } else {
        bead.length.get()
    };
    step / f64::from(parts)
}

/// A side of the window cut into equal runs.
fn runs(window: &Range<f64>) -> Vec<PixelRun> {
    let length = window.end - window.start;
    let cells = (length.round() as usize).clamp(1, MOST);
    let edge = |at: usize| window.start + length * at as f64 / cells as f64;
    (0..cells)
        .map(|at| PixelRun::new(edge(at), edge(at + 1)))
        .collect()
}
