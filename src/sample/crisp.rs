//! Light for each bead that favours the picture's edges and thin lines over its averages.
//!
//! A plain mean spreads a line of a third of a bead as a third of its colour over two rows of
//! beads, and a line of one bead breaks. Two published weights correct that, both on the tiles that
//! a bead covers, and both without effect at strength 0:
//!
//! | weight | does |
//! |---|---|
//! | detail | what differs from its surroundings counts more: thin lines win their bead |
//! | colour | what differs from the bead's own colour counts less: one colour in place of a blend |
//!
//! From half strength on, `bridge` closes the gaps that are left in lines.

mod bridge;

use crate::cancel::Cancel;
use crate::colour::{Lab, Light, lab};
use crate::lattice::Lattice;
use rayon::prelude::*;

/// Detail's exponent at full strength: beads above the mean of their surroundings take the line's
/// colour.
const DETAIL: f64 = 1.0;
/// Spread of the colour weight at full strength, in CIELAB. Ours: above the unevenness of one
/// surface, below the step to another.
const SPREAD: f64 = 18.0;
/// Rounds of the colour weight, each round the colour that the last one found.
const ROUNDS: usize = 12;
/// Strength from which gaps in lines are closed: below, beads show blends, and it is not certain
/// what is a gap.
const BRIDGED: f64 = 0.5;
/// Surroundings that vary by less are flat: their mean stays as it is.
const FLAT: f64 = 1e-6;
/// Beads that one task handles.
const AT_ONCE: usize = 64;
/// Tiles that one task converts to CIELAB.
const TILES_AT_ONCE: usize = 4096;

/// Tiles of a band: `parts` by `parts` in each cell, a cell being a column wide and a half row
/// high, row by row from the lower edge.
#[derive(Debug, Clone, Copy)]
pub struct Tiles<'a> {
    /// The band's shape.
    pub lattice: &'a Lattice,
    /// Tiles of a cell, across and along.
    pub parts: usize,
    /// The light of each.
    pub light: &'a [Light],
}

/// Light for each bead, in lattice order, `strength` from 0 (`means` as they are) to 1.
///
/// `means` is the mean light on each bead; a bead whose surroundings are flat keeps it. A closed
/// band wraps round the seam.
///
/// The weight of tile `t` is `|t - g|^(s DETAIL)`, `g` being the mean of the bead and its
/// neighbours: N. Weber, M. Waechter, S. C. Amend, S. Guthe, M. Goesele, "Rapid, detail-preserving
/// image downscaling", ACM Transactions on Graphics 35(6), 2016, doi 10.1145/2980179.2980239, their
/// exponent being 0.5 to 1. Their guide is the mean of 3 by 3 pixels by weights 1, 2, 4 over 16; on
/// this lattice a bead counts 4 and each of its six neighbours 2, over 16. Then `exp(-s |t - c|^2 /
/// (2 SPREAD^2))`, `c` being the bead's colour: the colour term of the kernels of J. Kopf, A.
/// Shamir, P. Peers, "Content-adaptive image downscaling", ACM Transactions on Graphics 32(6),
/// 2013, doi 10.1145/2508363.2508370, and like theirs repeated. All differences are in CIELAB,
/// where a dark line on light ground counts as much as a light one on dark.
pub fn crisp(tiles: &Tiles, means: &[Light], strength: f64, cancel: &Cancel) -> Vec<Light> {
    if strength <= 0.0 {
        return means.to_vec();
    }
    let lattice = tiles.lattice;
    let labs: Vec<[f64; 3]> = tiles
        .light
        .par_chunks(TILES_AT_ONCE)
        .flat_map_iter(|tiles| {
            let over = cancel.is_over();
            tiles
                .iter()
                .map(move |&light| if over { [0.0; 3] } else { point(lab(light)) })
        })
        .collect();
    let own: Vec<[f64; 3]> = (0..lattice.len())
        .into_par_iter()
        .with_min_len(AT_ONCE)
        .map(|bead| mean(tiles.of(bead).map(|tile| (labs[tile], 1.0))))
        .collect();
    let mut light: Vec<Light> = (0..lattice.len())
        .into_par_iter()
        .with_min_len(AT_ONCE)
        .map(|bead| {
            if cancel.is_over() {
                return means[bead];
            }
            let near = lattice.neighbours(bead).map(|near| (own[near.index], 2.0));
            let guide = mean(std::iter::once((own[bead], 4.0)).chain(near));
            let tiles_of: Vec<usize> = tiles.of(bead).collect();
            weighed(&tiles_of, &labs, guide, strength)
                .map(|weights| blend(&tiles_of, tiles.light, &weights))
                .unwrap_or(means[bead])
        })
        .collect();
    if strength >= BRIDGED {
        let mut colours: Vec<[f64; 3]> = light.iter().map(|&light| point(lab(light))).collect();
        bridge::bridge(tiles, &labs, &mut light, &mut colours, cancel);
    }
    light
}

impl Tiles<'_> {
    /// The tiles that a bead covers.
    fn of(&self, bead: usize) -> impl Iterator<Item = usize> + use<> {
        let (row, column) = self.lattice.position(bead);
        let (parts, across) = (self.parts, self.lattice.columns() as usize * self.parts);
        let left = (column.get() as usize - 1) * parts;
        let halves = self.lattice.half_rows_of(row);
        halves.into_iter().flat_map(move |half| {
            let rows = half as usize * parts..(half as usize + 1) * parts;
            rows.flat_map(move |y| (left..left + parts).map(move |x| y * across + x))
        })
    }
}

fn point(lab: Lab) -> [f64; 3] {
    [lab.l, lab.a, lab.b]
}

fn apart_squared(one: [f64; 3], two: [f64; 3]) -> f64 {
    (0..3)
        .map(|at| (one[at] - two[at]) * (one[at] - two[at]))
        .sum()
}

fn mean(points: impl Iterator<Item = ([f64; 3], f64)>) -> [f64; 3] {
    let (mut sum, mut all) = ([0.0; 3], 0.0);
    for (point, weight) in points {
        (0..3).for_each(|at| sum[at] += weight * point[at]);
        all += weight;
    }
    sum.map(|sum| sum / all)
}

/// The weight of each of a bead's tiles; none where the bead is flat.
fn weighed(tiles: &[usize], labs: &[[f64; 3]], guide: [f64; 3], strength: f64) -> Option<Vec<f64>> {
    let first = labs[tiles[0]];
    let varied = |&tile: &usize| apart_squared(labs[tile], first) > FLAT * FLAT;
    if !tiles.iter().any(varied) {
        return None;
    }
    let detail: Vec<f64> = tiles
        .iter()
        .map(|&tile| libm::pow(apart_squared(labs[tile], guide), strength * DETAIL / 2.0))
        .collect();
    let centre = |weights: &[f64]| {
        let points = tiles.iter().zip(weights);
        mean(points.map(|(&tile, &weight)| (labs[tile], weight)))
    };
    let mut weights = detail.clone();
    for _ in 0..ROUNDS {
        let colour = centre(&weights);
        for ((weight, &tile), detail) in weights.iter_mut().zip(tiles).zip(&detail) {
            let unlike = apart_squared(labs[tile], colour) / (2.0 * SPREAD * SPREAD);
            *weight = detail * libm::exp(-strength * unlike);
        }
    }
    (weights.iter().sum::<f64>() > f64::MIN_POSITIVE).then_some(weights)
}

fn blend(tiles: &[usize], light: &[Light], weights: &[f64]) -> Light {
    let (mut sum, mut all) = (Light::new(0.0, 0.0, 0.0), 0.0);
    for (&tile, &weight) in tiles.iter().zip(weights) {
        sum += light[tile] * weight;
        all += weight;
    }
    sum / all
}
