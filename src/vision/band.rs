//! A band as it is seen from a distance: a mosaic of small flat tiles under S-CIELAB's filters,
//! exactly, at four points a bead.
//!
//! The band's cells, a column wide and a half row high, are cut into [`TILES`] by [`TILES`] tiles
//! of one light each. The filters are integrated over the tiles, so that nothing depends on a
//! raster; Gaussians that are wide compared with a cell take the mean of each cell. A closed band
//! wraps round the seam; beyond the edges lies the [`SURROUND`]. The points lie a quarter of a
//! bead's length and diameter from the bead's middle, so each stands for a quarter of the bead.

mod filter;

use super::scielab::{Channel, from_opponent, opponent};
use crate::colour::{Lab, Light, PreparedLab, ciede2000, lab};
use crate::lattice::Lattice;
use crate::units::Mm;
use filter::{Gaussian, Grid, Taps};
use rayon::prelude::*;

/// Tiles of a cell, across and along.
pub const TILES: usize = 4;
/// Points of a cell, side by side.
pub const POINTS: usize = 2;
/// What lies beside the band: grey of half lightness (L* 50), as surrounds are for judging colour.
pub const SURROUND: f64 = 0.184_186_518_511_252_76;
/// Spread in cells from which a Gaussian takes the means of cells.
const WIDE: f64 = 2.5;
/// Where a Gaussian is cut, in spreads: exp(-12.25) is 5e-6.
pub const REACH: f64 = 3.5;
/// Points that one task handles.
const AT_ONCE: usize = 512;

/// Viewing distances by default: in the hand, worn, across a table.
pub const DISTANCES: [Mm; 3] = [Mm::new(300.0), Mm::new(700.0), Mm::new(2000.0)];

/// The light of each tile of a band.
#[derive(Debug, Clone, PartialEq)]
pub struct Mosaic {
    /// The band's shape.
    pub lattice: Lattice,
    /// Tiles from the lower edge, row by row: [`TILES`] a column across, [`TILES`] a half row
    /// along.
    pub light: Vec<Light>,
}

/// What is seen at each point: opponent values, two points a cell, cells in half rows from the
/// lower edge.
pub type Filtered = Vec<[f64; 3]>;

/// How different two bands look from a distance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ViewDifference {
    /// The distance.
    pub distance: Mm,
    /// Mean CIEDE2000 over the points.
    pub mean: f64,
    /// The difference that 95 of 100 points do not exceed.
    pub p95: f64,
}

impl Mosaic {
    /// Tiles across.
    pub fn across(lattice: &Lattice) -> usize {
        lattice.columns() as usize * TILES
    }

    /// Tiles along.
    pub fn along(lattice: &Lattice) -> usize {
        lattice.half_rows() as usize * TILES
    }

    /// The bead under each tile; none where the edge is bare.
    pub fn beads(lattice: &Lattice) -> Vec<Option<u32>> {
        let columns = cells(lattice);
        (0..Self::along(lattice))
            .flat_map(|y| (0..Self::across(lattice)).map(move |x| (x, y)))
            .map(|(x, y)| columns[y / TILES * lattice.columns() as usize + x / TILES])
            .collect()
    }

    /// The band in `colours`, one a bead, where `self` is its picture: bare tiles stay the
    /// picture's.
    pub fn with_bead_colours(&self, colours: &[Light]) -> Self {
        let light = Self::beads(&self.lattice)
            .into_iter()
            .zip(&self.light)
            .map(|(bead, own)| bead.map_or(*own, |bead| colours[bead as usize]))
            .collect();
        Self {
            lattice: self.lattice,
            light,
        }
    }

    /// Mean light of each bead's tiles.
    pub fn of_beads(&self) -> Vec<Light> {
        let mut sums = vec![Light::new(0.0, 0.0, 0.0); self.lattice.len()];
        for (bead, light) in Self::beads(&self.lattice).into_iter().zip(&self.light) {
            if let Some(bead) = bead {
                sums[bead as usize] += *light;
            }
        }
        let tiles = (2 * TILES * TILES) as f64;
        sums.into_iter().map(|sum| sum / tiles).collect()
    }

    /// What is seen of it from `distance`.
    pub fn filtered(&self, distance: Mm) -> Filtered {
        Filters::new(&self.lattice, distance).filter(&self.planes())
    }

    /// Its three channels, ready to be filtered for any distance.
    pub fn planes(&self) -> Planes {
        let surround = opponent(Light::new(SURROUND, SURROUND, SURROUND));
        let values: Vec<[f64; 3]> = self.light.iter().map(|&light| opponent(light)).collect();
        let fine = Channel::ALL.map(|channel| {
            let at = channel as usize;
            let own = values.iter().map(|value| value[at] - surround[at]);
            Grid::new(&self.lattice, TILES, own.collect())
        });
        let coarse = fine.each_ref().map(|grid| grid.coarse(&self.lattice));
        Planes { fine, coarse }
    }
}

/// A band's three channels, relative to the surround: tile by tile, and the means of the cells.
pub struct Planes {
    fine: [Grid; 3],
    coarse: [Grid; 3],
}

/// The eye's filters for bands of one shape from one distance.
pub struct Filters {
    /// By channel: whether each Gaussian is so wide that it takes the means of cells.
    gaussians: [Vec<(bool, Gaussian)>; 3],
    /// The same for cells of one light.
    of_cells: [Vec<Gaussian>; 3],
    points: usize,
}

impl Filters {
    /// Filters for bands of this shape, seen from `distance`.
    pub fn new(lattice: &Lattice, distance: Mm) -> Self {
        let bead = lattice.bead();
        let cell = (bead.length.get(), bead.diameter.get() / 2.0);
        let gaussian = |(spread, weight): (f64, f64)| {
            let wide = spread > WIDE * cell.0.max(cell.1);
            let parts = if wide { 1 } else { TILES };
            let across = (0..POINTS)
                .map(|point| (point as f64 + 0.5) / POINTS as f64)
                .map(|at| Taps::points(at, cell.0, parts, spread))
                .collect();
            let along = Taps::points(0.5, cell.1, parts, spread);
            (wide, Gaussian::new(lattice, parts, across, along, weight))
        };
        let gaussians = Channel::ALL.map(|channel| {
            let all = gaussians(channel, distance);
            all.into_iter().map(gaussian).collect::<Vec<_>>()
        });
        let of_cells =
            |(wide, gaussian): &(bool, Gaussian)| gaussian.by_cells(if *wide { 1 } else { TILES });
        Self {
            of_cells: gaussians
                .each_ref()
                .map(|all| all.iter().map(of_cells).collect()),
            gaussians,
            points: lattice.columns() as usize * POINTS * lattice.half_rows() as usize,
        }
    }

    /// Filters a band of this shape.
    pub fn filter(&self, planes: &Planes) -> Filtered {
        self.filtered(|at, sum| {
            for (wide, gaussian) in &self.gaussians[at] {
                let grid = if *wide {
                    &planes.coarse[at]
                } else {
                    &planes.fine[at]
                };
                gaussian.add(grid, sum);
            }
        })
    }

    /// Filters a band in these colours, one a bead, faster and to within rounding; none if an edge
    /// is bare.
    pub fn filter_beads(&self, lattice: &Lattice, colours: &[Light]) -> Option<Filtered> {
        let surround = opponent(Light::new(SURROUND, SURROUND, SURROUND));
        let values: Vec<[f64; 3]> = colours.iter().map(|&light| opponent(light)).collect();
        let beads: Vec<u32> = cells(lattice).into_iter().collect::<Option<_>>()?;
        Some(self.filtered(|at, sum| {
            let own = beads.iter().map(|&bead| values[bead as usize][at]);
            let grid = Grid::new(lattice, 1, own.map(|own| own - surround[at]).collect());
            let all = self.of_cells[at].iter();
            all.for_each(|gaussian| gaussian.add(&grid, sum));
        }))
    }

    /// The sums of three channels, plus the surround.
    fn filtered(&self, add: impl Fn(usize, &mut [f64])) -> Filtered {
        let surround = opponent(Light::new(SURROUND, SURROUND, SURROUND));
        let filtered = Channel::ALL.map(|channel| {
            let mut sum = vec![0.0; self.points];
            add(channel as usize, &mut sum);
            sum
        });
        (0..self.points)
            .map(|point| std::array::from_fn(|at| filtered[at][point] + surround[at]))
            .collect()
    }
}

/// The bead on each cell.
fn cells(lattice: &Lattice) -> Vec<Option<u32>> {
    (0..lattice.half_rows())
        .flat_map(|half| (1..=lattice.columns()).map(move |column| (half, column)))
        .map(|(half, column)| {
            lattice
                .covering(half, crate::lattice::Column::new(column))
                .map(|bead| bead as u32)
        })
        .collect()
}

/// The bead under each point; none where the edge is bare.
pub fn points(lattice: &Lattice) -> Vec<Option<u32>> {
    cells(lattice)
        .into_iter()
        .flat_map(|bead| [bead; POINTS])
        .collect()
}

/// Spreads in millimetres at `distance`, and weights that sum to 1.
pub fn gaussians(channel: Channel, distance: Mm) -> Vec<(f64, f64)> {
    let degree = distance.get() * libm::tan(1f64.to_radians());
    channel
        .gaussians()
        .map(|(spread, weight)| (spread * degree, weight))
        .collect()
}

/// `tiles` of one channel after two passes of its filter, integrated by each bead over its own
/// rectangle, in millimetres squared; only by the pairs of Gaussians whose joint spread is below
/// `narrow`. One value a cell: that of the bead whose lower half it is.
pub(crate) fn filtered_twice(
    lattice: &Lattice,
    tiles: Vec<f64>,
    channel: Channel,
    distance: Mm,
    narrow: f64,
) -> Vec<f64> {
    let bead = lattice.bead();
    let cell = (bead.length.get(), bead.diameter.get() / 2.0);
    let fine = Grid::new(lattice, TILES, tiles);
    let mut sum = vec![0.0; lattice.columns() as usize * lattice.half_rows() as usize];
    for (spread, weight) in squared_filter(channel, distance) {
        if spread < narrow {
            let across = vec![Taps::areas(0.5, cell.0, cell.0, TILES, spread)];
            let along = Taps::areas(1.0, cell.1, 2.0 * cell.1, TILES, spread);
            Gaussian::new(lattice, TILES, across, along, weight).add(&fine, &mut sum);
        }
    }
    sum
}

/// The filter applied twice as a sum of Gaussians: spreads in millimetres, and weights.
pub(crate) fn squared_filter(channel: Channel, distance: Mm) -> Vec<(f64, f64)> {
    let own = gaussians(channel, distance);
    let mut pairs = Vec::new();
    for (at, &(s, one)) in own.iter().enumerate() {
        for &(t, two) in &own[at..] {
            let twice = if s == t { 1.0 } else { 2.0 };
            pairs.push(((s * s + t * t).sqrt(), one * two * twice));
        }
    }
    pairs
}

/// CIELAB of opponent values.
pub fn lab_of(opponent: [f64; 3]) -> Lab {
    lab(from_opponent(opponent))
}

/// The difference at each point, 0 where the edge is bare.
pub fn differences(one: &[[f64; 3]], two: &[[f64; 3]], lattice: &Lattice) -> Vec<f64> {
    let beads = points(lattice);
    (0..one.len())
        .into_par_iter()
        .with_min_len(AT_ONCE)
        .map(|at| match beads[at] {
            None => 0.0,
            Some(_) => ciede2000(lab_of(one[at]), lab_of(two[at])),
        })
        .collect()
}

/// How different two views from the same `distance` are.
pub fn view_difference(
    one: &[[f64; 3]],
    two: &[[f64; 3]],
    lattice: &Lattice,
    distance: Mm,
) -> ViewDifference {
    let there = points(lattice);
    let mut all: Vec<f64> = differences(one, two, lattice)
        .into_iter()
        .zip(there)
        .filter_map(|(difference, bead)| bead.map(|_| difference))
        .collect();
    let mean = all.iter().sum::<f64>() / all.len().max(1) as f64;
    all.sort_by(f64::total_cmp);
    // The nearest rank: the least value that is not below 95 of 100.
    let rank = (all.len() * 95).div_ceil(100).max(1) - 1;
    ViewDifference {
        distance,
        mean,
        p95: all.get(rank).copied().unwrap_or_default(),
    }
}

/// A view prepared for comparisons: one colour a point.
pub fn judged(seen: &[[f64; 3]]) -> Vec<PreparedLab> {
    seen.iter()
        .map(|&value| PreparedLab::new(lab_of(value)))
        .collect()
}
