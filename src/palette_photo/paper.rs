//! The bare paper, and the light over it as a smooth surface.
//!
//! The logarithm of each channel is fitted by a polynomial of the place, so that the fall-off of
//! the lamp and of the lens, and their colours, are all of one kind. The paper is the lightest
//! large thing without texture: the fit begins as an upper quantile of the lightness, then rejects
//! what is off it more and more strictly (Tukey's biweight), as well as what has another colour.

use super::{PAPER, Point};
use crate::colour::{Lab, Light, Srgb8, lab, srgb8};
use crate::error::{Error, Result};
use crate::sample::Grid;

/// Terms of the polynomial: all products of the place's coordinates up to the third degree.
const TERMS: usize = 10;
/// About how many pixels a fit uses.
const LOOKED_AT: usize = 30_000;
/// The share of pixels below the first surface: the paper is above that in nearly every photograph
/// of piles with gaps.
const QUANTILE: f64 = 0.75;
/// Rounds of the first surface, and of the stricter ones.
const ROUNDS: (usize, usize) = (25, 12);
/// Logarithm of light by which pixels are off the surface at the first strict round, and at the
/// last.
const OFF: (f64, f64) = (0.40, 0.07);
/// Logarithm of the ratio of two channels by which the colour of the paper may differ from its
/// surface.
const TINTED: f64 = 0.10;
/// Logarithm of light between neighbours from which there is texture; and how many times the median
/// difference, which is noise, it is at least.
const TEXTURE: (f64, f64) = (0.08, 4.0);
/// Least share of bare paper.
const LEAST_BARE: f64 = 0.05;
/// Light below which a logarithm is only noise.
const DARKEST: f64 = 1e-4;

/// Coefficients of a polynomial.
type Surface = [f64; TERMS];

/// The paper and its light.
pub struct Paper {
    width: usize,
    height: usize,
    /// Logarithm of each channel's light.
    surfaces: [Surface; 3],
    /// Which cells are bare.
    bare: Vec<bool>,
    /// Which cells have no texture.
    smooth: Vec<bool>,
}

/// The logarithms of a grid, and where there is no texture.
struct Logs {
    channels: [Vec<f64>; 3],
    smooth: Vec<bool>,
}

impl Paper {
    /// Finds the paper; `inside` are cells that are known to be piles, `white` a cell that is known
    /// to be paper.
    ///
    /// # Errors
    /// If too little is bare.
    pub fn find(grid: &Grid, white: Option<Point>, inside: &[bool]) -> Result<Self> {
        let logs = Logs::new(grid);
        let usable: Vec<bool> = (0..grid.light.len())
            .map(|at| logs.smooth[at] && !inside[at])
            .collect();
        let step = ((grid.light.len() as f64 / LOOKED_AT as f64).sqrt() as usize).max(1);
        let looked_at: Vec<usize> = (0..grid.height)
            .step_by(step)
            .flat_map(|y| {
                (0..grid.width)
                    .step_by(step)
                    .map(move |x| y * grid.width + x)
            })
            .filter(|&at| usable[at])
            .collect();
        let place = |at: usize| terms(grid, at % grid.width, at / grid.width);
        let start = match white {
            Some(white) => logs.near(grid, white),
            None => logs.upper(&looked_at, &place),
        };
        let mut surfaces = start.ok_or_else(no_paper)?;
        for round in 0..ROUNDS.1 {
            let way = round as f64 / (ROUNDS.1 - 1) as f64;
            let off = OFF.0 * (1.0 - way) + OFF.1 * way;
            // Few terms while much still counts that is not paper.
            let degree = 1 + (round / 3).min(2);
            surfaces = logs
                .refit(&looked_at, &place, &surfaces, off, degree)
                .ok_or_else(no_paper)?;
        }
        let bare: Vec<bool> = (0..grid.light.len())
            .map(|at| usable[at] && logs.off(at, &surfaces, &place(at), OFF.1).is_some())
            .collect();
        let paper = Self {
            width: grid.width,
            height: grid.height,
            surfaces,
            bare,
            smooth: logs.smooth,
        };
        if paper.share() < LEAST_BARE {
            Err(no_paper())
        } else {
            Ok(paper)
        }
    }

    /// Share of the grid that is bare.
    pub fn share(&self) -> f64 {
        let bare = self.bare.iter().filter(|bare| **bare).count();
        bare as f64 / self.bare.len().max(1) as f64
    }

    /// Whether a cell is about as light as its neighbours.
    pub fn is_smooth(&self, at: usize) -> bool {
        self.smooth[at]
    }

    /// The paper's light at a cell.
    fn light(&self, x: usize, y: usize) -> [f64; 3] {
        let terms = terms_of(self.width, self.height, x, y);
        self.surfaces
            .map(|surface| libm::exp(value(&surface, &terms)))
    }

    /// What the light of a cell has to be multiplied by to be as where the paper is lightest, a
    /// factor for each channel.
    pub fn evening(&self, x: usize, y: usize) -> [f64; 3] {
        let mut lightest = [0.0f64; 3];
        for light in self.lights() {
            for (most, light) in lightest.iter_mut().zip(light) {
                *most = most.max(light);
            }
        }
        let here = self.light(x, y);
        [0, 1, 2].map(|channel| lightest[channel] / here[channel])
    }

    /// The reflectance of a cell as linear sRGB: paper is [`PAPER`].
    pub fn evened(&self, grid: &Grid, x: usize, y: usize) -> Light {
        let (light, paper) = (grid.at(x, y), self.light(x, y));
        Light::new(
            light.red / paper[0] * PAPER,
            light.green / paper[1] * PAPER,
            light.blue / paper[2] * PAPER,
        )
    }

    /// Its own colour once evened.
    pub fn lab() -> Lab {
        lab(Light::new(PAPER, PAPER, PAPER))
    }

    /// The paper's light at the places of a coarse grid.
    fn lights(&self) -> Vec<[f64; 3]> {
        const PLACES: usize = 16;
        let at = |side: usize, place: usize| place * (side - 1) / (PLACES - 1);
        (0..PLACES * PLACES)
            .map(|place| {
                (
                    at(self.width, place % PLACES),
                    at(self.height, place / PLACES),
                )
            })
            .map(|(x, y)| self.light(x, y))
            .collect()
    }

    /// The paper as photographed, where it is lightest.
    pub fn tint(&self) -> Srgb8 {
        let lights = self.lights();
        let lightest = lights.iter().max_by(|a, b| a[1].total_cmp(&b[1]));
        let [r, g, b] = lightest.copied().unwrap_or_default();
        srgb8(Light::new(r, g, b))
    }

    /// The weakest green light over the strongest.
    pub fn evenness(&self) -> f64 {
        let lights = self.lights();
        let most = lights.iter().map(|light| light[1]).fold(0.0, f64::max);
        let least = lights
            .iter()
            .map(|light| light[1])
            .fold(f64::INFINITY, f64::min);
        least / most
    }
}

fn no_paper() -> Error {
    Error::new("no white paper was found round the piles").hint(
        "lay the beads on plain white paper with gaps between, or say where it is with \
         [--white X,Y]",
    )
}

impl Logs {
    fn new(grid: &Grid) -> Self {
        let log = |value: f64| libm::log(value.max(DARKEST));
        let channels: [Vec<f64>; 3] = [
            grid.light.iter().map(|light| log(light.red)).collect(),
            grid.light.iter().map(|light| log(light.green)).collect(),
            grid.light.iter().map(|light| log(light.blue)).collect(),
        ];
        let smooth = smooth(grid, &channels[1]);
        Self { channels, smooth }
    }

    fn lightness(&self, at: usize) -> f64 {
        self.channels.iter().map(|channel| channel[at]).sum::<f64>() / 3.0
    }

    /// A level surface from the cells round one that is paper.
    fn near(&self, grid: &Grid, at: Point) -> Option<[Surface; 3]> {
        let reach = (grid.width.max(grid.height) / 100).max(2) as i64;
        let (x, y) = (at.x as i64, at.y as i64);
        let cells: Vec<usize> = (y - reach..=y + reach)
            .flat_map(|y| (x - reach..=x + reach).map(move |x| (x, y)))
            .filter(|(x, y)| {
                (0..grid.width as i64).contains(x) && (0..grid.height as i64).contains(y)
            })
            .map(|(x, y)| y as usize * grid.width + x as usize)
            .collect();
        let level = |channel: &Vec<f64>| {
            let mut values: Vec<f64> = cells.iter().map(|&at| channel[at]).collect();
            values.sort_by(f64::total_cmp);
            let mut surface = [0.0; TERMS];
            surface[0] = *values.get(values.len() / 2)?;
            Some(surface)
        };
        let [r, g, b] = [0, 1, 2].map(|i| level(&self.channels[i]));
        Some([r?, g?, b?])
    }

    /// A sloping surface with so much of the lightness below it, in the colour of what is near it.
    fn upper(&self, cells: &[usize], place: &impl Fn(usize) -> Surface) -> Option<[Surface; 3]> {
        let mut surface = [0.0; TERMS];
        let mut values: Vec<f64> = cells.iter().map(|&at| self.lightness(at)).collect();
        values.sort_by(f64::total_cmp);
        surface[0] = *values.get((values.len() as f64 * QUANTILE) as usize)?;
        for _ in 0..ROUNDS.0 {
            // Weighted least squares whose weights make it a quantile (asymmetric absolute
            // deviations).
            let points = cells.iter().map(|&at| {
                let off = self.lightness(at) - value(&surface, &place(at));
                let side = if off > 0.0 { QUANTILE } else { 1.0 - QUANTILE };
                (place(at), self.lightness(at), side / off.abs().max(0.01))
            });
            surface = fitted(points, 3)?;
        }
        let tints = [0, 1, 2].map(|i| {
            let near = cells
                .iter()
                .filter(|&&at| (self.lightness(at) - value(&surface, &place(at))).abs() < OFF.1);
            let mut tints: Vec<f64> = near
                .map(|&at| self.channels[i][at] - self.lightness(at))
                .collect();
            tints.sort_by(f64::total_cmp);
            tints.get(tints.len() / 2).copied()
        });
        let [r, g, b] = tints;
        let [r, g, b] = [r?, g?, b?];
        Some([r, g, b].map(|tint| {
            let mut own = surface;
            own[0] += tint;
            own
        }))
    }

    /// How far a cell is off the surfaces in lightness, if it may be paper.
    fn off(&self, at: usize, surfaces: &[Surface; 3], place: &Surface, most: f64) -> Option<f64> {
        let off: [f64; 3] =
            std::array::from_fn(|i| self.channels[i][at] - value(&surfaces[i], place));
        let mean = off.iter().sum::<f64>() / 3.0;
        let tinted = off.iter().any(|own| (own - mean).abs() > TINTED);
        (!tinted && mean.abs() < most).then_some(mean)
    }

    fn refit(
        &self,
        cells: &[usize],
        place: &impl Fn(usize) -> Surface,
        before: &[Surface; 3],
        most: f64,
        degree: usize,
    ) -> Option<[Surface; 3]> {
        let weighted: Vec<(usize, Surface, f64)> = cells
            .iter()
            .filter_map(|&at| {
                let terms = place(at);
                let off = self.off(at, before, &terms, most)? / most;
                Some((at, terms, (1.0 - off * off) * (1.0 - off * off)))
            })
            .collect();
        let terms = [1, 3, 6, 10][degree];
        let of = |i: usize| {
            let points = weighted
                .iter()
                .map(|(at, terms, weight)| (*terms, self.channels[i][*at], *weight));
            fitted(points, terms)
        };
        Some([of(0)?, of(1)?, of(2)?])
    }
}

/// Cells whose neighbours two cells away are about as light, as far as noise allows.
fn smooth(grid: &Grid, channel: &[f64]) -> Vec<bool> {
    const REACH: usize = 2;
    let steepest = |cell: usize| {
        let (x, y) = (cell % grid.width, cell / grid.width);
        let at = |x: usize, y: usize| (channel[y * grid.width + x] - channel[cell]).abs();
        at(x.saturating_sub(REACH), y)
            .max(at((x + REACH).min(grid.width - 1), y))
            .max(at(x, y.saturating_sub(REACH)))
            .max(at(x, (y + REACH).min(grid.height - 1)))
    };
    let steepest: Vec<f64> = (0..grid.light.len()).map(steepest).collect();
    let mut sorted = steepest.clone();
    sorted.sort_by(f64::total_cmp);
    // The largest of four differences is about 1.7 times the median of one.
    let noise = sorted.get(sorted.len() / 2).copied().unwrap_or(0.0) / 1.7;
    let most = TEXTURE.0.max(TEXTURE.1 * noise);
    steepest.into_iter().map(|own| own < most).collect()
}

fn terms(grid: &Grid, x: usize, y: usize) -> Surface {
    terms_of(grid.width, grid.height, x, y)
}

/// All products of the coordinates, from -1 to 1 along the longer side, up to the third degree, the
/// lower degrees first.
fn terms_of(width: usize, height: usize, x: usize, y: usize) -> Surface {
    let half = width.max(height) as f64 / 2.0;
    let u = (x as f64 + 0.5 - width as f64 / 2.0) / half;
    let v = (y as f64 + 0.5 - height as f64 / 2.0) / half;
    [
        1.0,
        u,
        v,
        u * u,
        u * v,
        v * v,
        u * u * u,
        u * u * v,
        u * v * v,
        v * v * v,
    ]
}

fn value(surface: &Surface, terms: &Surface) -> f64 {
    surface.iter().zip(terms).map(|(a, b)| a * b).sum()
}

/// Weighted least squares with the first `count` terms, by the normal equations and elimination
/// with pivoting; none if they have no solution.
fn fitted(points: impl Iterator<Item = (Surface, f64, f64)>, count: usize) -> Option<Surface> {
    let mut system = [[0.0; TERMS + 1]; TERMS];
    for (terms, wanted, weight) in points {
        for row in 0..count {
            let scaled = terms[row] * weight;
            for column in 0..count {
                system[row][column] += scaled * terms[column];
            }
            system[row][TERMS] += scaled * wanted;
        }
    }
    // A ridge far below what the data say keeps a strip of paper from swinging out elsewhere.
    let ridge = system[0][0] * 1e-6;
    for (at, row) in system.iter_mut().enumerate().take(count).skip(1) {
        row[at] += ridge;
    }
    for column in 0..count {
        let pivot = (column..count)
            .max_by(|&a, &b| system[a][column].abs().total_cmp(&system[b][column].abs()))?;
        system.swap(column, pivot);
        let top = system[column];
        if top[column].abs() < 1e-12 {
            return None;
        }
        for row in system.iter_mut().take(count).skip(column + 1) {
            let factor = row[column] / top[column];
            for (cell, above) in row.iter_mut().zip(top) {
                *cell -= factor * above;
            }
        }
    }
    let mut surface = [0.0; TERMS];
    for row in (0..count).rev() {
        let known: f64 = (row + 1..count).map(|k| system[row][k] * surface[k]).sum();
        surface[row] = (system[row][TERMS] - known) / system[row][row];
    }
    Some(surface)
}
