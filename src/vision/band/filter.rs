//! A separable filter over the tiles of a band, read at places that repeat in every cell.

use crate::lattice::Lattice;
use crate::vision::band::REACH;
use crate::vision::gaussian::{overlap, share};
use rayon::prelude::*;

/// Rows that are filtered side by side.
const LANES: usize = 8;
/// Rows that one task filters, at least.
const AT_ONCE: usize = 64;

/// Values of one channel, `parts` by `parts` in each cell.
pub(super) struct Grid {
    pub(super) parts: usize,
    columns: usize,
    half_rows: usize,
    closed: bool,
    values: Vec<f64>,
}

/// Weights of the tiles around a place in a cell, along one side.
pub(super) struct Taps {
    /// Tiles from the cell's first one to the first weighed; negative if it lies before.
    first: isize,
    weights: Vec<f64>,
}

impl Grid {
    pub(super) fn new(lattice: &Lattice, parts: usize, values: Vec<f64>) -> Self {
        Self {
            parts,
            columns: lattice.columns() as usize,
            half_rows: lattice.half_rows() as usize,
            closed: lattice.is_closed(),
            values,
        }
    }

    fn width(&self) -> usize {
        self.columns * self.parts
    }

    /// The means of the cells.
    pub(super) fn coarse(&self, lattice: &Lattice) -> Self {
        let area = (self.parts * self.parts) as f64;
        let mut values = vec![0.0; self.columns * self.half_rows];
        for (y, row) in self.values.chunks(self.width()).enumerate() {
            let out = &mut values[y / self.parts * self.columns..][..self.columns];
            for (mean, tiles) in out.iter_mut().zip(row.chunks(self.parts)) {
                *mean += tiles.iter().sum::<f64>() / area;
            }
        }
        Self::new(lattice, 1, values)
    }
}

impl Taps {
    /// For a point `at` a share of the cell of length `cell`.
    pub(super) fn points(at: f64, cell: f64, parts: usize, spread: f64) -> Self {
        let tile = cell / parts as f64;
        Self::new(at * parts as f64, REACH * spread / tile, |from| {
            share(from * tile, (from + 1.0) * tile, spread)
        })
    }

    /// For an area of `length` about a middle `at` a share of the cell of length `cell`.
    pub(super) fn areas(at: f64, cell: f64, length: f64, parts: usize, spread: f64) -> Self {
        let tile = cell / parts as f64;
        let reach = (REACH * spread + length / 2.0) / tile;
        Self::new(at * parts as f64, reach, |from| {
            overlap((from + 0.5) * tile, length, tile, spread)
        })
    }

    /// `weight` is given the near end of a tile, in tiles from the place `at`.
    fn new(at: f64, reach: f64, weight: impl Fn(f64) -> f64) -> Self {
        let first = (at - reach).floor() as isize;
        let last = (at + reach).ceil() as isize;
        Self {
            first,
            weights: (first..last).map(|tile| weight(tile as f64 - at)).collect(),
        }
    }

    /// The same weights summed over each cell of so many parts.
    fn by_cells(&self, parts: usize) -> Self {
        let cell = |tile: isize| tile.div_euclid(parts as isize);
        let first = cell(self.first);
        let last = cell(self.first + self.weights.len() as isize - 1);
        let mut weights = vec![0.0; (last - first + 1) as usize];
        for (at, weight) in self.weights.iter().enumerate() {
            weights[(cell(self.first + at as isize) - first) as usize] += weight;
        }
        Self { first, weights }
    }

    /// The same weights with whole periods of `period` tiles added up.
    fn folded(&self, period: usize) -> Self {
        if self.weights.len() <= period {
            return Self {
                first: self.first,
                weights: self.weights.clone(),
            };
        }
        let mut weights = vec![0.0; period];
        for (at, weight) in self.weights.iter().enumerate() {
            weights[(self.first + at as isize).rem_euclid(period as isize) as usize] += weight;
        }
        Self { first: 0, weights }
    }
}

/// One Gaussian of a filter, for a grid.
pub(super) struct Gaussian {
    /// Around each place of a cell, side by side.
    across: Vec<Taps>,
    along: Taps,
    weight: f64,
}

impl Gaussian {
    /// For grids of so many `parts` a cell; on a closed band the taps wrap round.
    pub(super) fn new(
        lattice: &Lattice,
        parts: usize,
        across: Vec<Taps>,
        along: Taps,
        weight: f64,
    ) -> Self {
        let count = lattice.half_rows() as usize * parts;
        let along = if lattice.is_closed() {
            along.folded(count)
        } else {
            along
        };
        Self {
            across,
            along,
            weight,
        }
    }

    /// The same for grids whose cells are of one value.
    pub(super) fn by_cells(&self, parts: usize) -> Self {
        let across = self.across.iter();
        Self {
            across: across.map(|taps| taps.by_cells(parts)).collect(),
            along: self.along.by_cells(parts),
            weight: self.weight,
        }
    }

    /// Adds the filtered grid to `sum`, which has a row a half row and `across.len()` values a
    /// cell.
    pub(super) fn add(&self, grid: &Grid, sum: &mut [f64]) {
        let places = grid.columns * self.across.len();
        let mut rows = vec![0.0; places * grid.half_rows * grid.parts];
        rows.par_chunks_mut(places * LANES)
            .zip(grid.values.par_chunks(grid.width() * LANES))
            .with_min_len(AT_ONCE / LANES)
            .for_each(|(out, rows)| self.lay_across(grid, rows, out));
        let count = (grid.half_rows * grid.parts) as isize;
        sum.par_chunks_mut(places)
            .enumerate()
            .with_min_len(AT_ONCE)
            .for_each(|(half, out)| {
                let first = (half * grid.parts) as isize + self.along.first;
                for (at, &weight) in self.along.weights.iter().enumerate() {
                    let y = first + at as isize;
                    let y = if grid.closed {
                        y.rem_euclid(count) as usize
                    } else if (0..count).contains(&y) {
                        y as usize
                    } else {
                        continue;
                    };
                    for (value, tile) in out.iter_mut().zip(&rows[y * places..]) {
                        *value += weight * tile;
                    }
                }
            });
    }

    /// Filters a few rows along themselves, side by side: each sum runs in the order of the taps.
    fn lay_across(&self, grid: &Grid, rows: &[f64], out: &mut [f64]) {
        let (width, places) = (grid.width(), grid.columns * self.across.len());
        let mut lanes = vec![[0.0; LANES]; width];
        for (lane, row) in rows.chunks(width).enumerate() {
            for (lanes, &value) in lanes.iter_mut().zip(row) {
                lanes[lane] = value;
            }
        }
        for at in 0..places {
            let taps = &self.across[at % self.across.len()];
            let start = (at / self.across.len() * grid.parts) as isize + taps.first;
            let skipped = usize::try_from(-start).unwrap_or(0);
            let from = usize::try_from(start).unwrap_or(0);
            if skipped >= taps.weights.len() || from >= width {
                continue;
            }
            let mut sums = [0.0; LANES];
            for (weight, tiles) in taps.weights[skipped..].iter().zip(&lanes[from..]) {
                for lane in 0..LANES {
                    sums[lane] += weight * tiles[lane];
                }
            }
            for (row, sum) in out.chunks_mut(places).zip(sums) {
                row[at] = self.weight * sum;
            }
        }
    }
}
