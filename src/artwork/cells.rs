//! The picture as cells: few enough to be read at once, upright.

use crate::colour::{Light, lab};
use crate::error::Result;
use crate::picture::{Crop, Picture};
use crate::sample::overview;
use rayon::prelude::*;
use std::ops::Range;

/// Most cells a side of the whole picture: a line of a hundredth of it is four cells wide. Ours.
const MOST: usize = 400;
/// Opacity from which a cell belongs to the picture.
const SEEN: f64 = 0.5;

/// A colour in CIELAB, as numbers.
pub(super) type Point = [f32; 3];

/// One cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Cell {
    /// Its colour, without its opacity.
    pub(super) light: Light,
    /// The same in CIELAB.
    pub(super) point: Point,
    /// Whether it is transparent.
    pub(super) clear: bool,
}

/// The cells of a part of a picture, rows from the top.
pub(super) struct Cells {
    /// That part.
    pub(super) part: Crop,
    pub(super) width: usize,
    pub(super) height: usize,
    pub(super) cells: Vec<Cell>,
    /// Pixels of a cell across and down.
    pub(super) pixel: [f64; 2],
}

/// A rectangle of cells: `x` and `y` of the first, then of the last and one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Window {
    pub(super) left: usize,
    pub(super) top: usize,
    pub(super) right: usize,
    pub(super) bottom: usize,
}

impl Cells {
    /// The cells whose middle is in `crop`.
    pub(super) fn of(picture: &Picture, crop: Option<Crop>) -> Result<Self> {
        let all = overview(picture, MOST)?;
        let size = picture.upright();
        let part = crop.unwrap_or(Crop::whole(size));
        let pixel = [
            f64::from(size.width) / all.width as f64,
            f64::from(size.height) / all.height as f64,
        ];
        let range = |start: u32, length: u32, pixel: f64, cells: usize| {
            let first = ((f64::from(start) / pixel).round() as usize).min(cells - 1);
            let end = (f64::from(start.saturating_add(length)) / pixel).round() as usize;
            first..end.clamp(first + 1, cells)
        };
        let columns = range(part.x, part.width, pixel[0], all.width);
        let rows = range(part.y, part.height, pixel[1], all.height);
        let across = within(
            part.x..part.x.saturating_add(part.width),
            &columns,
            pixel[0],
        );
        let down = within(part.y..part.y.saturating_add(part.height), &rows, pixel[1]);
        let cells = rows
            .clone()
            .into_par_iter()
            .flat_map_iter(|y| {
                let row = &all.cells[y * all.width..(y + 1) * all.width];
                row[columns.clone()].iter().map(|cell| {
                    let light = cell.light / cell.alpha.max(1e-9);
                    Cell {
                        light,
                        point: point(light),
                        clear: cell.alpha < SEEN,
                    }
                })
            })
            .collect();
        Ok(Self {
            part: Crop {
                x: across.start,
                y: down.start,
                width: across.end - across.start,
                height: down.end - down.start,
            },
            width: columns.len(),
            height: rows.len(),
            cells,
            pixel,
        })
    }

    pub(super) fn at(&self, x: usize, y: usize) -> &Cell {
        &self.cells[y * self.width + x]
    }

    /// Where a window of cells is in the upright picture, whole pixels that hold it.
    pub(super) fn pixels(&self, window: &Window) -> Crop {
        let Crop {
            x,
            y,
            width,
            height,
        } = self.part;
        let edge = |at: usize, pixel: f64, start: u32| f64::from(start) + at as f64 * pixel;
        // Cells may reach beyond the part by half of one.
        let first = |at: usize, pixel: f64, start: u32, length: u32| {
            (edge(at, pixel, start).floor() as u32).min(start + length - 1)
        };
        let end = |at: usize, pixel: f64, start: u32, length: u32| {
            (edge(at, pixel, start).ceil() as u32).min(start + length)
        };
        let left = first(window.left, self.pixel[0], x, width);
        let top = first(window.top, self.pixel[1], y, height);
        Crop {
            x: left,
            y: top,
            width: end(window.right, self.pixel[0], x, width) - left,
            height: end(window.bottom, self.pixel[1], y, height) - top,
        }
    }

    /// The indices of the cells along the border, `deep` cells from the edge.
    pub(super) fn border(&self, deep: usize) -> Vec<usize> {
        let deep = deep.min(self.width / 2).min(self.height / 2);
        let (right, bottom) = (self.width - 1 - deep, self.height - 1 - deep);
        let level = (deep..=right).flat_map(|x| [(x, deep), (x, bottom)]);
        let upright = (deep + 1..bottom).flat_map(|y| [(deep, y), (right, y)]);
        let all = level.chain(upright);
        all.map(|(x, y)| y * self.width + x).collect()
    }
}

/// The pixels of a range of cells that are within `part`; one at least.
fn within(part: Range<u32>, cells: &Range<usize>, pixel: f64) -> Range<u32> {
    let edge = |at: usize| (at as f64 * pixel).round() as u32;
    let first = edge(cells.start).max(part.start);
    first..edge(cells.end).min(part.end).max(first.saturating_add(1))
}

/// A colour in CIELAB.
pub(super) fn point(light: Light) -> Point {
    let lab = lab(light);
    [lab.l as f32, lab.a as f32, lab.b as f32]
}

/// The difference of two colours, squared: Euclidean in CIELAB (CIE 1976), which is enough to tell
/// one flat colour from another.
pub(super) fn apart_squared(one: &Point, other: &Point) -> f32 {
    (0..3).map(|at| (one[at] - other[at]).powi(2)).sum()
}
