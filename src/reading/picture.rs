//! A picture of a chart: beads drawn on the staggered grid.
//!
//! | step | how |
//! |---|---|
//! | parts | edges that hang together, apart from words and numbers |
//! | straighten | the turn at which edges fall together best, up to 3 degrees |
//! | pitch | the distance at which the edges repeat most strongly, each way |
//! | band | beads with edges at their sides, or unlike the backdrop; the largest group |
//! | light | the inner part of each bead, in linear light, made even by the paper |
//! | colour | the palette's nearest (CIEDE2000), one for each drawn colour |

mod beads;
mod colours;
mod find;
mod inner;
mod parts;
mod pitch;
mod plane;

use super::layout::lattice;
use super::stated::Stated;
use super::{Alternative, Doubt};
use crate::colour::Light;
use crate::error::{Error, Result};
use crate::lattice::{Lattice, Row};
use crate::palette::Palette;
use crate::palette_photo::Paper;
use crate::picture::Picture;
use crate::request::ReadRequest;
use crate::sample::{Grid, grid};
use beads::{Cell, MANY};
use colours::Match;
use parts::Found;

/// Most pixels of the picture's longer side that are looked at.
const PIXELS: usize = 2400;

/// A band read from a picture.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FromPicture {
    pub(super) lattice: Lattice,
    pub(super) chosen: Vec<usize>,
    pub(super) doubts: Vec<Doubt>,
}

/// Reads a picture of a chart.
///
/// # Errors
/// If no grid of beads is found, or what is found is no band.
pub(super) fn read(
    picture: &Picture,
    palette: &Palette,
    request: &ReadRequest,
) -> Result<FromPicture> {
    let grid = grid(picture, PIXELS)?;
    let columns = request.columns.map(|count| count.0);
    let found = parts::found(&grid, columns).ok_or_else(no_grid)?;
    let extent = found.extent;
    if let Some(wanted) = columns.filter(|wanted| *wanted != extent.columns()) {
        let is = extent.columns();
        return Err(Error::new(format!("{is} columns are found, not {wanted}"))
            .hint("crop the picture to the chart, or leave [--columns] out"));
    }
    let stated = Stated::default();
    let lattice = lattice(request, &stated, extent.columns(), extent.rows())?;
    let cells = cells(&found, &lattice)?;
    let lights = lights(&grid, &found, &cells);
    let matches = colours::matched(&lights, &palette.tones());
    Ok(FromPicture {
        doubts: doubts(&lattice, &matches),
        chosen: matches.iter().map(|one| one.colour).collect(),
        lattice,
    })
}

fn no_grid() -> Error {
    Error::new("no grid of beads is found in this picture").hint(
        "crop it to one chart with beads of 6 pixels or more, in shifted columns; straighten it to \
         within 3 degrees",
    )
}

/// The band's beads on the grid, in lattice order.
///
/// A ring whose lowest row is an inner one begins a row further up: its lowest row zips to the
/// uppermost one.
fn cells(found: &Found, lattice: &Lattice) -> Result<Vec<Cell>> {
    let (endless, extent) = (&found.endless, found.extent);
    let begins_outside = endless.has((extent.left, extent.bottom));
    if !begins_outside && !lattice.is_closed() {
        return Err(
            Error::new("the lowest row of this chart has no bead in the first column").hint(
                "row 1 is an outer row: turn the picture upside down or mirror it, or crop the \
                 lowest row away",
            ),
        );
    }
    let rows = i64::from(lattice.rows());
    let mut cells = Vec::with_capacity(lattice.len());
    for row in lattice.all_rows() {
        let up = i64::from(row.get()) - i64::from(begins_outside);
        let half = extent.bottom - up % rows;
        for column in lattice.columns_of(row) {
            cells.push((extent.left + i64::from(column.get()) - 1, half));
        }
    }
    Ok(cells)
}

/// The light of each bead, made even where the paper shows how.
fn lights(grid: &Grid, found: &Found, cells: &[Cell]) -> Vec<Light> {
    let (plane, endless, part) = (&found.plane, &found.endless, found.part);
    let paper = Paper::find(grid, None, &vec![false; grid.light.len()]).ok();
    let even = |cell: &Cell, light: Light| {
        let Some(paper) = &paper else {
            return light;
        };
        let (u, v) = endless.middle(*cell);
        let (x, y) = plane.place(u, v);
        let (x, y) = part.place(x, y);
        let within = |at: f64, side: usize| at.clamp(0.0, (side - 1) as f64) as usize;
        let [red, green, blue] = paper.evening(within(x, grid.width), within(y, grid.height));
        Light::new(light.red * red, light.green * green, light.blue * blue)
    };
    cells
        .iter()
        .map(|cell| even(cell, inner::mean(&endless.inner(plane, *cell, MANY)).0))
        .collect()
}

/// The doubtful beads by their places.
fn doubts(lattice: &Lattice, matches: &[Match]) -> Vec<Doubt> {
    let mut all = Vec::new();
    for row in lattice.all_rows() {
        all.extend(row_doubts(lattice, row, matches));
    }
    all
}

fn row_doubts(lattice: &Lattice, row: Row, matches: &[Match]) -> Vec<Doubt> {
    let beads = lattice.span_of(row).zip(lattice.columns_of(row));
    let doubt = |(bead, column): (usize, crate::lattice::Column)| {
        let one = &matches[bead];
        let candidate = one.doubt?;
        Some(Doubt {
            row,
            column,
            chosen: Alternative {
                colour: one.colour,
                difference: candidate.differences[0],
            },
            other: Alternative {
                colour: candidate.other,
                difference: candidate.differences[1],
            },
        })
    };
    beads.filter_map(doubt).collect()
}
