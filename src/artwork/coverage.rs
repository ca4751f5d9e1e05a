//! How much of each bead each flat colour covers, for any placement of the drawing: sums that are
//! prepared once.

use super::flat::{FlatArt, GROUND};
use super::stroke::{Size, components, thickened};
use crate::lattice::Lattice;
use crate::picture::{Line, Plan, Tile};
use std::collections::BTreeMap;

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
    /// The drawing, thin parts made as wide as a bead.
    art: FlatArt,
    /// For each label but the ground, cells above and to the left, one more each way than cells.
    sums: Vec<Vec<u32>>,
}

/// A connected part of a drawing, and the beads that it covers.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its label.
    pub label: u8,
    /// Its area in beads.
    pub area: f32,
    /// Whether it reaches the edge of the picture.
    pub open: bool,
    /// Beads with the share of each that it covers, rising by bead.
    pub beads: Vec<(usize, f32)>,
}

impl Tables {
    /// Of a drawing of which `bead` cells make a bead's side.
    pub fn new(art: &FlatArt, bead: f32) -> Self {
        let art = thickened(art, bead);
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
        Self { art, sums }
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
        let grid = Size {
            width: self.art.width,
            height: self.art.height,
        };
        let mut parts = Vec::new();
        for label in 0..=self.art.colours.len() as u8 {
            let own: Vec<bool> = self.art.labels.iter().map(|&cell| cell == label).collect();
            for cells in components(grid, &own) {
                for tile in &plan.tiles {
                    parts.push(self.part(label, &cells, tile, lattice));
                }
            }
        }
        parts
    }

    fn part(&self, label: u8, cells: &[usize], tile: &Tile, lattice: &Lattice) -> Part {
        let (width, height) = (self.art.width, self.art.height);
        let bead = lattice.bead();
        // Millimetres of a cell's sides give its share of a bead.
        let side = |line: &Line, pixel: f64| (pixel / line.scale).abs();
        let map = &tile.upright;
        let share = side(&map.x, self.art.pixel[0]) * side(&map.y, self.art.pixel[1])
            / (bead.length.get() * bead.diameter.get());
        let mut beads: BTreeMap<usize, f32> = BTreeMap::new();
        let mut open = false;
        for &cell in cells {
            let (x, y) = (cell % width, cell / width);
            open |= x == 0 || y == 0 || x + 1 == width || y + 1 == height;
            if let Some(bead) = self.bead_at(x, y, tile, lattice) {
                *beads.entry(bead).or_default() += share as f32;
            }
        }
        Part {
            label,
            area: cells.len() as f32 * share as f32,
            open,
            beads: beads.into_iter().collect(),
        }
    }

    /// The bead under the middle of a cell.
    fn bead_at(&self, x: usize, y: usize, tile: &Tile, lattice: &Lattice) -> Option<usize> {
        let place = |at: usize, axis: usize| {
            self.art.origin[axis] + (at as f64 + 0.5) * self.art.pixel[axis]
        };
        let map = &tile.upright;
        let millimetres = |line: &Line, pixel: f64| (pixel - line.offset) / line.scale;
        let (one, two) = (
            millimetres(&map.x, place(x, 0)),
            millimetres(&map.y, place(y, 1)),
        );
        let (across, along) = if map.x.along_y {
            (two, one)
        } else {
            (one, two)
        };
        let bead = lattice.bead();
        let column = (across / bead.length.get()).floor();
        let half = (along / (bead.diameter.get() / 2.0)).floor();
        let inside = |at: f64, range: &std::ops::Range<u32>| {
            at >= f64::from(range.start) && at < f64::from(range.end)
        };
        if !inside(column, &tile.columns) || !inside(half, &tile.half_rows) {
            return None;
        }
        let column = crate::lattice::Column::new(column as u32 + 1);
        lattice.covering(half as u32, column)
    }
}
