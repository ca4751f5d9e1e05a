//! Where the piles are, and which cells of the grid show their beads.

use super::paper::Paper;
use super::{MOST_PILES, Point};
use crate::colour::lab;
use crate::error::{Error, Result};
use crate::sample::Grid;
use crate::units::grouped;
use std::ops::Range;

/// Least chroma (CIELAB) by which a cell differs from paper. Ours: shadows on the paper stay below.
const COLOURED: f64 = 7.0;
/// Least lightness by which a colourless cell is darker than paper. Ours: soft shadows stay above.
const DARKER: f64 = 20.0;
/// Share of a grid's place, each way, that is searched for its pile.
const MIDDLE: f64 = 0.5;
/// Share of a place that has to differ from paper for its paper to be left out.
const COVERED: f64 = 0.2;
/// Least share of the photograph that a found pile covers.
const LEAST: f64 = 0.0005;
/// Share from which something that touches the edge is what surrounds the paper.
const SURROUNDINGS: f64 = 0.10;
/// Gaps between beads that are closed, as a share of the longer side.
const GAP: f64 = 0.006;
/// How far a pile's rim reaches in, as a share of the root of its area.
const RIM: f64 = 0.08;

/// Where the piles are.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Spots {
    /// Everywhere that is not paper.
    #[default]
    Find,
    /// In the middle of each place of a grid over the whole photograph.
    Grid {
        /// Places across.
        columns: usize,
        /// Places down.
        rows: usize,
    },
    /// At these places, in pixels of the upright photograph.
    At(Vec<Point>),
}

/// The cells of one pile.
pub struct PileCells {
    /// Cells that show beads.
    pub cells: Vec<usize>,
    /// Its middle, in cells.
    pub x: f64,
    /// From the top.
    pub y: f64,
    /// Share of the whole grid.
    pub share: f64,
    /// Whether it hardly differs from the paper.
    pub like_paper: bool,
    /// Whether it touches the edge.
    pub at_edge: bool,
}

impl Spots {
    /// Cells that are known to lie in piles.
    pub fn inside(&self, grid: &Grid, scale: f64) -> Vec<bool> {
        let mut inside = vec![false; grid.light.len()];
        for place in self.places(grid, scale) {
            place.cells.into_iter().for_each(|at| inside[at] = true);
        }
        inside
    }

    /// The places that were named.
    fn places(&self, grid: &Grid, scale: f64) -> Vec<Place> {
        match self {
            Self::Find => Vec::new(),
            Self::Grid { columns, rows } => (0..*rows)
                .flat_map(|row| (0..*columns).map(move |column| (column, row)))
                .map(|(column, row)| {
                    let across = Side::of(grid.width, *columns, column);
                    let down = Side::of(grid.height, *rows, row);
                    Place::on_grid(grid, &across, &down)
                })
                .collect(),
            Self::At(spots) => {
                let spots: Vec<Point> = spots.iter().map(|spot| spot.in_cells(scale)).collect();
                let reach = reach(grid, &spots);
                spots
                    .iter()
                    .map(|&middle| Place {
                        cells: disc(grid, middle, reach),
                        middle,
                    })
                    .collect()
            }
        }
    }
}

/// A place that was named.
struct Place {
    /// Cells that are searched for its pile.
    cells: Vec<usize>,
    /// Its middle, in cells.
    middle: Point,
}

/// The middle part of one column or row of a grid of places.
struct Side {
    middle: f64,
    cells: Range<usize>,
}

impl Side {
    /// Of place `at` of `count` along a side of so many cells.
    fn of(side: usize, count: usize, at: usize) -> Self {
        let step = side as f64 / count as f64;
        let middle = (at as f64 + 0.5) * step;
        let from = (middle - step * MIDDLE / 2.0).max(0.0) as usize;
        let to =
            ((middle + step * MIDDLE / 2.0).ceil() as usize).clamp(from + 1, side.max(from + 1));
        Self {
            middle,
            cells: from..to,
        }
    }
}

impl Place {
    /// The middle of a place of a grid.
    fn on_grid(grid: &Grid, across: &Side, down: &Side) -> Self {
        let cells = down
            .cells
            .clone()
            .flat_map(|y| across.cells.clone().map(move |x| y * grid.width + x))
            .filter(|&at| at < grid.light.len())
            .collect();
        Self {
            cells,
            middle: Point {
                x: across.middle,
                y: down.middle,
            },
        }
    }
}

/// How far a pile reaches round its spot: two fifths of the way to the nearest other spot, and a
/// twenty-fifth of the longer side at most.
fn reach(grid: &Grid, spots: &[Point]) -> f64 {
    let mut reach = grid.width.max(grid.height) as f64 / 25.0;
    for (at, one) in spots.iter().enumerate() {
        for other in &spots[..at] {
            let (x, y) = (one.x - other.x, one.y - other.y);
            reach = reach.min((x * x + y * y).sqrt() * 0.4);
        }
    }
    reach.max(1.5)
}

fn disc(grid: &Grid, middle: Point, reach: f64) -> Vec<usize> {
    let inside = |at: &usize| {
        let (dx, dy) = (
            (at % grid.width) as f64 + 0.5 - middle.x,
            (at / grid.width) as f64 + 0.5 - middle.y,
        );
        dx * dx + dy * dy <= reach * reach
    };
    (0..grid.light.len()).filter(inside).collect()
}

/// The piles, in reading order.
///
/// # Errors
/// If none is found, or more than [`MOST_PILES`].
pub fn find(grid: &Grid, paper: &Paper, spots: &Spots, scale: f64) -> Result<Vec<PileCells>> {
    let marked = marked(grid, paper);
    let found = match spots {
        Spots::Find => {
            // White beads show by their shading alone.
            let textured: Vec<bool> = (0..marked.len()).map(|at| !paper.is_smooth(at)).collect();
            let either = majority(grid, &textured).into_iter().zip(&marked);
            let either: Vec<bool> = either.map(|(one, other)| one || *other).collect();
            in_rows(found(grid, &either, &marked))
        }
        named => named
            .places(grid, scale)
            .into_iter()
            .map(|place| of_place(grid, &marked, place))
            .collect(),
    };
    if found.is_empty() {
        return Err(Error::new("no piles were found on the paper")
            .hint("say where they are with [--grid COLUMNSxROWS] or [--spots X,Y;..]"));
    }
    if found.len() > MOST_PILES {
        return Err(Error::new(format!(
            "{} piles were found, and {} is the most",
            grouped(found.len()),
            grouped(MOST_PILES)
        ))
        .hint("say where they are with [--grid COLUMNSxROWS] or [--spots X,Y;..]"));
    }
    Ok(found)
}

/// The cells of a named place: those that differ from paper, or all of it where hardly any does.
fn of_place(grid: &Grid, marked: &[bool], place: Place) -> PileCells {
    let Place { cells, middle } = place;
    let beads: Vec<usize> = cells.iter().copied().filter(|&at| marked[at]).collect();
    let like_paper = (beads.len() as f64) < cells.len() as f64 * COVERED;
    PileCells {
        share: cells.len() as f64 / grid.light.len() as f64,
        cells: if like_paper { cells } else { beads },
        x: middle.x,
        y: middle.y,
        like_paper,
        at_edge: false,
    }
}

/// Which cells differ from paper.
fn marked(grid: &Grid, paper: &Paper) -> Vec<bool> {
    let bare = Paper::lab();
    let differs = |at: usize| {
        let own = lab(paper.evened(grid, at % grid.width, at / grid.width));
        let (a, b) = (own.a - bare.a, own.b - bare.b);
        (a * a + b * b).sqrt() > COLOURED || bare.l - own.l > DARKER
    };
    let marked: Vec<bool> = (0..grid.light.len()).map(differs).collect();
    // Single cells are noise.
    majority(grid, &marked)
}

fn majority(grid: &Grid, marked: &[bool]) -> Vec<bool> {
    let count = |x: usize, y: usize| {
        let rows = y.saturating_sub(1)..(y + 2).min(grid.height);
        let columns = x.saturating_sub(1)..(x + 2).min(grid.width);
        let cells = rows.flat_map(|y| columns.clone().map(move |x| y * grid.width + x));
        let (all, set) = cells.fold((0, 0), |(all, set), at| {
            (all + 1, set + usize::from(marked[at]))
        });
        2 * set > all
    };
    (0..marked.len())
        .map(|at| count(at % grid.width, at / grid.width))
        .collect()
}

/// Connected cells of `either`, gaps between beads closed, rims left out.
fn found(grid: &Grid, either: &[bool], marked: &[bool]) -> Vec<PileCells> {
    let gap = ((grid.width.max(grid.height) as f64 * GAP).round() as usize).max(1);
    let closed = shrunk(grid, &grown(grid, either, gap), gap);
    let mut seen = vec![false; closed.len()];
    let mut found = Vec::new();
    for start in 0..closed.len() {
        if !closed[start] || seen[start] {
            continue;
        }
        let cells = connected(grid, &closed, start, &mut seen);
        let share = cells.len() as f64 / closed.len() as f64;
        let at_edge = cells.iter().any(|at| {
            let (x, y) = (at % grid.width, at / grid.width);
            x == 0 || y == 0 || x + 1 == grid.width || y + 1 == grid.height
        });
        if share < LEAST || (at_edge && share > SURROUNDINGS) {
            continue;
        }
        let count = cells.len() as f64;
        let mean = |of: &dyn Fn(usize) -> usize| {
            cells.iter().map(|&at| of(at) as f64 + 0.5).sum::<f64>() / count
        };
        let (x, y) = (mean(&|at| at % grid.width), mean(&|at| at / grid.width));
        found.push(PileCells {
            cells: core(grid, marked, &cells),
            x,
            y,
            share,
            like_paper: false,
            at_edge,
        });
    }
    found
}

fn connected(grid: &Grid, closed: &[bool], start: usize, seen: &mut [bool]) -> Vec<usize> {
    let mut cells = Vec::new();
    let mut open = vec![start];
    seen[start] = true;
    while let Some(at) = open.pop() {
        cells.push(at);
        for other in beside(grid, at) {
            if closed[other] && !seen[other] {
                seen[other] = true;
                open.push(other);
            }
        }
    }
    cells.sort_unstable();
    cells
}

fn beside(grid: &Grid, at: usize) -> impl Iterator<Item = usize> + use<> {
    let (x, y) = (at % grid.width, at / grid.width);
    let left = (x > 0).then(|| at - 1);
    let right = (x + 1 < grid.width).then(|| at + 1);
    let above = (y > 0).then(|| at - grid.width);
    let below = (y + 1 < grid.height).then(|| at + grid.width);
    [left, right, above, below].into_iter().flatten()
}

/// A pile without its rim, where shadow and paper mix in, and without what looks like paper, unless
/// most of it does.
fn core(grid: &Grid, marked: &[bool], cells: &[usize]) -> Vec<usize> {
    let rim = (cells.len() as f64).sqrt() * RIM;
    let mut inside = vec![false; grid.light.len()];
    cells.iter().for_each(|&at| inside[at] = true);
    let inside = shrunk(grid, &inside, rim.round() as usize);
    let core: Vec<usize> = cells.iter().copied().filter(|&at| inside[at]).collect();
    let beads: Vec<usize> = core.iter().copied().filter(|&at| marked[at]).collect();
    match (beads.len() * 2 > core.len(), core.is_empty()) {
        (true, _) => beads,
        (false, false) => core,
        (false, true) => cells.to_vec(),
    }
}

/// Each cell that has a marked one within `reach`, step by step to the four sides, every second
/// time to all eight.
fn grown(grid: &Grid, marked: &[bool], reach: usize) -> Vec<bool> {
    let mut marked = marked.to_vec();
    for step in 0..reach {
        let before = marked.clone();
        for (at, own) in marked.iter_mut().enumerate() {
            *own = before[at] || around(grid, at, step % 2 == 1).any(|other| before[other]);
        }
    }
    marked
}

fn shrunk(grid: &Grid, marked: &[bool], reach: usize) -> Vec<bool> {
    let outside: Vec<bool> = marked.iter().map(|own| !own).collect();
    let grown = grown(grid, &outside, reach);
    grown.into_iter().map(|own| !own).collect()
}

fn around(grid: &Grid, at: usize, corners: bool) -> impl Iterator<Item = usize> + use<> {
    let (x, y, width, height) = (at % grid.width, at / grid.width, grid.width, grid.height);
    let offsets = [
        (0, 1),
        (1, 0),
        (1, 2),
        (2, 1),
        (0, 0),
        (0, 2),
        (2, 0),
        (2, 2),
    ];
    let count = if corners { 8 } else { 4 };
    offsets
        .into_iter()
        .take(count)
        .filter(move |(dx, dy)| (1..=width).contains(&(x + dx)) && (1..=height).contains(&(y + dy)))
        .map(move |(dx, dy)| (y + dy - 1) * width + x + dx - 1)
}

/// Row by row from the top, each from the left: a pile belongs to a row if its middle is no further
/// from the row's first than half a pile.
fn in_rows(mut found: Vec<PileCells>) -> Vec<PileCells> {
    found.sort_by(|a, b| a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x)));
    let mut heights: Vec<f64> = found
        .iter()
        .map(|spot| (spot.cells.len() as f64).sqrt())
        .collect();
    heights.sort_by(f64::total_cmp);
    let half = heights
        .get(heights.len() / 2)
        .map_or(0.0, |height| height * 0.6);
    let mut rows: Vec<Vec<PileCells>> = Vec::new();
    for spot in found {
        match rows.last_mut() {
            Some(row) if spot.y - row[0].y <= half => row.push(spot),
            _ => rows.push(vec![spot]),
        }
    }
    for row in &mut rows {
        row.sort_by(|a, b| a.x.total_cmp(&b.x));
    }
    rows.into_iter().flatten().collect()
}
