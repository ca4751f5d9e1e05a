//! How much of each bead each flat colour covers, for any placement of the drawing: sums that are
//! prepared once.

use super::flat::{FlatArt, GROUND};
use super::grid::{Size, components};
use super::stroke::{Strokes, WIDTHS};
use crate::lattice::Lattice;
use crate::picture::{Plan, Tile};

/// The share of each bead that each label covers.
#[derive(Debug, Clone, PartialEq)]
pub struct Coverage {
    /// Labels, the ground among them.
    pub labels: usize,
    /// The shares of a bead after those of the last, the ground's first; they sum to 1.
    pub shares: Vec<f32>,
}

impl Coverage {
    /// The shares of one bead.
    pub fn of(&self, bead: usize) -> &[f32] {
        &self.shares[bead * self.labels..(bead + 1) * self.labels]
    }
}

/// A drawing prepared to be placed on bands in many ways.
pub struct Tables {
    /// The drawing, thin parts made wider.
    art: FlatArt,
    /// For each label but the ground, cells above and to the left, one more each way than cells.
    sums: Vec<Vec<u32>>,
    areas: Vec<Area>,
    /// Cells that a bead covers at the largest size.
    bead: f32,
}

/// A drawing as it is, and with its strokes wider and wider.
pub type Widths = [Tables; WIDTHS.len()];

/// A connected part of the drawing, or a stroke of one.
struct Area {
    label: u8,
    stroke: bool,
    /// Whether it reaches the edge.
    open: bool,
    /// Its cells, rising.
    cells: Vec<usize>,
}

/// A connected part of a drawing, or a stroke of one, and the beads that it covers.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its label.
    pub label: u8,
    /// Whether it is a stroke, as the stalk of a leaf is: a thin stretch of a part.
    pub stroke: bool,
    /// Its area in beads, at the largest size of the drawing: what is to be kept does not change
    /// where it is made smaller.
    pub area: f32,
    /// Whether it reaches the edge of the picture.
    pub open: bool,
    /// Beads with the share of each that it covers, rising by bead.
    pub beads: Vec<(usize, f32)>,
}

impl Tables {
    /// Of a drawing of which `bead` cells make a bead's side: as it is, and with its thin parts
    /// wider and wider.
    pub fn of_widths(art: &FlatArt, bead: f32) -> Widths {
        let strokes = Strokes::find(art, bead);
        WIDTHS.map(|width| Self::new(strokes.thickened(art, width), &strokes, bead * bead))
    }

    fn new(art: FlatArt, strokes: &Strokes, bead: f32) -> Self {
        let wide = art.width + 1;
        let of = |label: u8| {
            let mut sums = vec![0_u32; wide * (art.height + 1)];
            for y in 0..art.height {
                let mut left = 0;
                for x in 0..art.width {
                    left += u32::from(art.at(x, y) == label);
                    sums[(y + 1) * wide + x + 1] = sums[y * wide + x + 1] + left;
                }
            }
            sums
        };
        let sums = (1..=art.colours.len() as u8).map(of).collect();
        let areas = areas(&art, strokes);
        Self {
            art,
            sums,
            areas,
            bead,
        }
    }

    /// What each label covers of each bead.
    pub fn coverage(&self, plan: &Plan, lattice: &Lattice) -> Coverage {
        let labels = self.sums.len() + 1;
        let mut shares = vec![0.0_f32; lattice.len() * labels];
        for tile in &plan.tiles {
            self.add(tile, lattice, labels, &mut shares);
        }
        for own in shares.chunks_exact_mut(labels) {
            own[usize::from(GROUND)] = (1.0 - own[1..].iter().sum::<f32>()).max(0.0);
        }
        Coverage { labels, shares }
    }

    fn add(&self, tile: &Tile, lattice: &Lattice, labels: usize, shares: &mut [f32]) {
        let bead = lattice.bead();
        let across = self.cuts(tile, bead.length.get(), false);
        let along = self.cuts(tile, bead.diameter.get() / 2.0, true);
        let sideways = tile.upright.x.along_y;
        let area = (across[1] - across[0]).abs() * (along[1] - along[0]).abs() * 2.0;
        for (up, half) in tile.half_rows.clone().enumerate() {
            for (right, column) in tile.columns.clone().enumerate() {
                let column = crate::lattice::Column::new(column + 1);
                let Some(index) = lattice.covering(half, column) else {
                    continue;
                };
                let (x, y) = if sideways {
                    (
                        [along[up], along[up + 1]],
                        [across[right], across[right + 1]],
                    )
                } else {
                    (
                        [across[right], across[right + 1]],
                        [along[up], along[up + 1]],
                    )
                };
                for (at, sums) in self.sums.iter().enumerate() {
                    let share = self.sum(sums, x, y) / area;
                    shares[index * labels + at + 1] += share as f32;
                }
            }
        }
    }

    /// Where the cuts between columns or half rows are, in cells of the drawing.
    fn cuts(&self, tile: &Tile, step: f64, along: bool) -> Vec<f64> {
        let (line, axis) = if tile.upright.x.along_y == along {
            (&tile.upright.x, 0)
        } else {
            (&tile.upright.y, 1)
        };
        let range = if along {
            &tile.half_rows
        } else {
            &tile.columns
        };
        let cell = |at: u32| {
            (line.at(f64::from(at) * step) - self.art.origin[axis]) / self.art.pixel[axis]
        };
        (range.start..=range.end).map(cell).collect()
    }

    /// The cells of a label between two cuts each way, in any order.
    fn sum(&self, sums: &[u32], x: [f64; 2], y: [f64; 2]) -> f64 {
        let (left, right) = (x[0].min(x[1]), x[0].max(x[1]));
        let (top, bottom) = (y[0].min(y[1]), y[0].max(y[1]));
        let at = |x: f64, y: f64| self.corner(sums, x, y);
        at(right, bottom) - at(left, bottom) - at(right, top) + at(left, top)
    }

    /// The cells above and to the left of a place between cells.
    fn corner(&self, sums: &[u32], x: f64, y: f64) -> f64 {
        let wide = self.art.width + 1;
        let x = x.clamp(0.0, self.art.width as f64);
        let y = y.clamp(0.0, self.art.height as f64);
        let (left, top) = (
            (x as usize).min(self.art.width - 1),
            (y as usize).min(self.art.height - 1),
        );
        let (right, down) = (x - left as f64, y - top as f64);
        let sum = |x: usize, y: usize| f64::from(sums[y * wide + x]);
        let upper = sum(left, top) * (1.0 - right) + sum(left + 1, top) * right;
        let lower = sum(left, top + 1) * (1.0 - right) + sum(left + 1, top + 1) * right;
        upper * (1.0 - down) + lower * down
    }

    /// The connected parts of the placed drawing, with the beads that each covers.
    pub fn parts(&self, plan: &Plan, lattice: &Lattice) -> Vec<Part> {
        let places: Vec<Places> = plan
            .tiles
            .iter()
            .map(|tile| self.places(tile, lattice))
            .collect();
        let of = |area| places.iter().map(move |places| self.part(area, places));
        self.areas.iter().flat_map(of).collect()
    }

    /// The beads under the middles of all cells, in one copy of the drawing.
    fn places(&self, tile: &Tile, lattice: &Lattice) -> Places {
        let bead = lattice.bead();
        let line = |axis: usize| [&tile.upright.x, &tile.upright.y][axis];
        let middles = |axis: usize, cells: usize| -> Vec<Option<u32>> {
            let line = line(axis);
            let (step, range) = if line.along_y {
                (bead.diameter.get() / 2.0, &tile.half_rows)
            } else {
                (bead.length.get(), &tile.columns)
            };
            let of = |at: usize| {
                let pixel = self.art.origin[axis] + (at as f64 + 0.5) * self.art.pixel[axis];
                let at = ((pixel - line.offset) / line.scale / step).floor();
                let inside = at >= f64::from(range.start) && at < f64::from(range.end);
                inside.then_some(at as u32)
            };
            (0..cells).map(of).collect()
        };
        let side = |axis: usize| (self.art.pixel[axis] / line(axis).scale).abs();
        let (x, y) = (middles(0, self.art.width), middles(1, self.art.height));
        let of = |(x, y): (Option<u32>, Option<u32>)| {
            let (column, half) = if tile.upright.x.along_y {
                (y?, x?)
            } else {
                (x?, y?)
            };
            lattice.covering(half, crate::lattice::Column::new(column + 1))
        };
        // Many rows of cells lie in one half row of beads.
        let mut beads: Vec<Option<usize>> = Vec::with_capacity(x.len() * y.len());
        for (at, &down) in y.iter().enumerate() {
            if at > 0 && y[at - 1] == down {
                beads.extend_from_within(beads.len() - x.len()..);
            } else {
                beads.extend(x.iter().map(|&right| of((right, down))));
            }
        }
        Places {
            cell: side(0) * side(1) / (bead.length.get() * bead.diameter.get()),
            beads,
        }
    }

    /// A part of the drawing on the band.
    fn part(&self, area: &Area, places: &Places) -> Part {
        // Cells side by side are mostly of one bead.
        let mut runs: Vec<(usize, u32)> = Vec::new();
        for bead in area.cells.iter().filter_map(|&cell| places.beads[cell]) {
            match runs.last_mut() {
                Some(run) if run.0 == bead => run.1 += 1,
                _ => runs.push((bead, 1)),
            }
        }
        runs.sort_unstable_by_key(|run| run.0);
        runs.dedup_by(|next, run| {
            let same = next.0 == run.0;
            run.1 += if same { next.1 } else { 0 };
            same
        });
        let share = |count: u32| (f64::from(count) * places.cell) as f32;
        Part {
            label: area.label,
            stroke: area.stroke,
            area: area.cells.len() as f32 / self.bead,
            open: area.open,
            beads: runs
                .into_iter()
                .map(|(bead, count)| (bead, share(count)))
                .collect(),
        }
    }
}

/// Where the cells of a drawing are on the band.
struct Places {
    /// The share of a bead that a cell covers.
    cell: f64,
    /// The bead of each cell.
    beads: Vec<Option<usize>>,
}

/// The connected parts of all labels, and the strokes: not the ground around the drawing, which
/// needs no care.
fn areas(art: &FlatArt, strokes: &Strokes) -> Vec<Area> {
    let grid = Size {
        width: art.width,
        height: art.height,
    };
    let edge = |&cell: &usize| {
        let (x, y) = (cell % grid.width, cell / grid.width);
        x == 0 || y == 0 || x + 1 == grid.width || y + 1 == grid.height
    };
    let of = |label: u8| {
        let own: Vec<bool> = art.labels.iter().map(|&cell| cell == label).collect();
        let parts = components(grid, &own).into_iter();
        parts.map(move |cells| Area {
            label,
            stroke: false,
            open: cells.iter().any(edge),
            cells,
        })
    };
    let drawn = strokes.all().filter(|(label, _)| *label != GROUND);
    let strokes = drawn.map(|(label, cells)| Area {
        label,
        stroke: true,
        open: cells.iter().any(edge),
        cells: cells.clone(),
    });
    let parts = (0..=art.colours.len() as u8).flat_map(of);
    let enclosed = parts.filter(|part| part.label != GROUND || !part.open);
    enclosed.chain(strokes).collect()
}
