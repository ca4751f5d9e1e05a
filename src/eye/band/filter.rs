//! A separable filter over the tiles of a band, read at places that repeat in every cell.

use crate::eye::band::REACH;
use crate::eye::spread::{overlap, share};
use crate::lattice::Lattice;
use rayon::prelude::*;

/// Values of one channel, `parts` by `parts` in each cell.
pub(super) struct Grid {
    pub(super) parts: usize,
    columns: usize,
    half_rows: usize,
    closed: bool,
    values: Vec<f64>,
}

/// Weights of the tiles about a place in a cell, along one side.
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

    /// The same weights with whole turns of `period` tiles laid over one another.
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

/// Adds `weight` times the filtered grid to `sum`, which has a row a half row and `across.len()` values a cell.
pub(super) fn separable(grid: &Grid, across: &[Taps], along: &Taps, weight: f64, sum: &mut [f64]) {
    let places = grid.columns * across.len();
    let mut rows = vec![0.0; places * grid.half_rows * grid.parts];
    rows.par_chunks_mut(places)
        .zip(grid.values.par_chunks(grid.width()))
        .for_each(|(out, row)| {
            for (at, value) in out.iter_mut().enumerate() {
                let taps = &across[at % across.len()];
                let start = (at / across.len() * grid.parts) as isize + taps.first;
                let skipped = usize::try_from(-start).unwrap_or(0);
                let from = usize::try_from(start).unwrap_or(0);
                if skipped < taps.weights.len() && from < row.len() {
                    let pairs = taps.weights[skipped..].iter().zip(&row[from..]);
                    *value = weight * pairs.map(|(weight, tile)| weight * tile).sum::<f64>();
                }
            }
        });
    let count = grid.half_rows * grid.parts;
    let along = match grid.closed {
        true => &along.folded(count),
        false => along,
    };
    sum.par_chunks_mut(places)
        .enumerate()
        .for_each(|(half, out)| {
            for (at, &weight) in along.weights.iter().enumerate() {
                let y = (half * grid.parts) as isize + along.first + at as isize;
                let y = match grid.closed {
                    true => y.rem_euclid(count as isize) as usize,
                    false if (0..count as isize).contains(&y) => y as usize,
                    false => continue,
                };
                for (value, tile) in out.iter_mut().zip(&rows[y * places..]) {
                    *value += weight * tile;
                }
            }
        });
}
