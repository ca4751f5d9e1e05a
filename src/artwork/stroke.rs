//! Lines, tips and gaps that are finer than a bead, made as wide as one: else most of their beads
//! would go to what is beside them, and they would break.

use super::flat::FlatArt;
use super::grid::{Size, components};
use rayon::prelude::*;
use std::collections::BTreeSet;

/// Half the widths that thin parts are given at least, of a bead's side: as they are drawn, enough
/// to win most of their beads, and enough to win them wherever they run: a line as wide as a bead
/// between two columns covers half of either. Ours.
pub(super) const WIDTHS: [f32; 3] = [0.0, 0.43, 0.53];
/// What is narrower than this on either side of its middle, of a bead's side, is thin.
const THIN: f32 = 0.42;
/// Smallest thin part that is a stroke, in beads; less is a corner or a tip, which keeps its shape.
const LEAST: f32 = 0.5;
/// Depth from which a part can spare what a stroke beside it needs, of a bead's side.
const SPARES: f32 = 1.4;
/// How far chamfer distances may be off, in cells.
const OFF: f32 = 0.75;

/// The thin parts of a drawing.
pub(super) struct Strokes {
    grid: Size,
    /// Cells that make a bead's side.
    bead: f32,
    areas: Vec<Area>,
}

impl Strokes {
    /// Of a drawing of which `bead` cells make a bead's side.
    pub(super) fn find(art: &FlatArt, bead: f32) -> Self {
        let labels = (0..=art.colours.len() as u8).into_par_iter();
        Self {
            grid: Size {
                width: art.width,
                height: art.height,
            },
            bead,
            areas: labels.map(|label| Area::of(art, label, bead)).collect(),
        }
    }

    /// The cells of each, with its label.
    pub(super) fn all(&self) -> impl Iterator<Item = (u8, &Vec<usize>)> {
        let areas = self.areas.iter().enumerate();
        areas.flat_map(|(label, area)| {
            let strokes = area.strokes.iter();
            strokes.map(move |stroke| (label as u8, &stroke.cells))
        })
    }

    /// The drawing with each at least twice `width` beads wide.
    pub(super) fn thickened(&self, art: &FlatArt, width: f32) -> FlatArt {
        if width <= 0.0 {
            return art.clone();
        }
        let mut spares = vec![false; art.labels.len()];
        for &cell in self.areas.iter().flat_map(|area| &area.spare) {
            spares[cell] = true;
        }
        let mut claims: Vec<(f32, u8)> = art.labels.iter().map(|&label| (1.0, label)).collect();
        for (label, area) in self.areas.iter().enumerate() {
            let grown = |stroke| grown(self.grid, stroke, width * self.bead);
            for (cell, far) in area.strokes.iter().flat_map(grown) {
                let claim = &mut claims[cell];
                if far < claim.0 && (far == 0.0 || spares[cell]) {
                    *claim = (far, label as u8);
                }
            }
        }
        FlatArt {
            labels: claims.into_iter().map(|(_, label)| label).collect(),
            ..art.clone()
        }
    }
}

/// What the cells of one label want and can give.
struct Area {
    /// Cells of parts that are deep enough to give some to a stroke beside them.
    spare: Vec<usize>,
    strokes: Vec<Stroke>,
}

/// A thin part.
struct Stroke {
    cells: Vec<usize>,
    /// Half its width in cells: the depth of a strip rises from its sides to its middle.
    half: f32,
}

impl Area {
    fn of(art: &FlatArt, label: u8, bead: f32) -> Self {
        let grid = Size {
            width: art.width,
            height: art.height,
        };
        let own: Vec<bool> = art.labels.iter().map(|&cell| cell == label).collect();
        let depth = distances(grid, |at| !own[at]);
        let deep = |part: &Vec<usize>| part.iter().any(|&at| depth[at] >= SPARES * bead);
        let spare = components(grid, &own).into_iter().filter(deep).flatten();
        let radius = (THIN * bead).max(0.5);
        let wide = distances(grid, |at| depth[at] > radius);
        let thin: Vec<bool> = (0..own.len())
            .map(|at| own[at] && wide[at] > radius + OFF)
            .collect();
        let strokes = components(grid, &thin)
            .into_iter()
            .filter(|cells| cells.len() as f32 >= LEAST * bead * bead)
            .map(|cells| Stroke {
                half: 2.0 * cells.iter().map(|&at| depth[at]).sum::<f32>() / cells.len() as f32,
                cells,
            });
        Self {
            spare: spare.collect(),
            strokes: strokes.collect(),
        }
    }
}

/// The cells of a thin part grown to half a width of `half` cells, with how far each is from it, 0
/// to 1.
fn grown(grid: Size, stroke: &Stroke, half: f32) -> Vec<(usize, f32)> {
    let cells = &stroke.cells;
    let grow = half - stroke.half;
    let mut near: Vec<(usize, f32)> = cells.iter().map(|&at| (at, 0.0)).collect();
    if grow <= 0.0 {
        return near;
    }
    let around = disc(grow);
    let own: BTreeSet<usize> = cells.iter().copied().collect();
    let edge = |at: &&usize| grid.beside(**at).any(|other| !own.contains(&other));
    let mut best: Vec<(usize, f32)> = Vec::new();
    for &at in cells.iter().filter(edge) {
        let (x, y) = ((at % grid.width) as isize, (at / grid.width) as isize);
        for &(across, down, far) in &around {
            if let Some(other) = grid.at(x + across, y + down) {
                best.push((other, far / grow * 0.99));
            }
        }
    }
    best.sort_unstable_by(|one, other| one.0.cmp(&other.0).then(one.1.total_cmp(&other.1)));
    best.dedup_by_key(|(at, _)| *at);
    near.extend(best.into_iter().filter(|(at, _)| !own.contains(at)));
    near
}

/// The steps to all cells at most `radius` away, with their lengths.
fn disc(radius: f32) -> Vec<(isize, isize, f32)> {
    let reach = radius.ceil() as isize;
    let of = |down: isize| {
        (-reach..=reach).map(move |across| {
            let far = ((down * down + across * across) as f32).sqrt();
            (across, down, far)
        })
    };
    let all = (-reach..=reach).flat_map(of);
    all.filter(|step| step.2 > 0.0 && step.2 <= radius)
        .collect()
}

/// The distance of each cell to the nearest target, in cells: two passes with steps of 1 and the
/// root of 2 (G. Borgefors, "Distance transformations in digital images", Computer Vision,
/// Graphics, and Image Processing 34(3), 1986, doi 10.1016/S0734-189X(86)80047-0).
fn distances(grid: Size, target: impl Fn(usize) -> bool) -> Vec<f32> {
    const ASKEW: f32 = std::f32::consts::SQRT_2;
    let Size { width, height } = grid;
    // A border all round, as far as can be, so that every cell has all its neighbours.
    let wide = width + 2;
    let far = (width + height) as f32;
    let mut all = vec![far; wide * (height + 2)];
    let inner = |y: usize| (y + 1) * wide + 1;
    for at in (0..width * height).filter(|&at| target(at)) {
        all[inner(at / width) + at % width] = 0.0;
    }
    for y in 0..height {
        for at in inner(y)..inner(y) + width {
            let side = all[at - 1].min(all[at - wide]) + 1.0;
            let askew = all[at - wide - 1].min(all[at - wide + 1]) + ASKEW;
            all[at] = all[at].min(side).min(askew);
        }
    }
    for y in (0..height).rev() {
        for at in (inner(y)..inner(y) + width).rev() {
            let side = all[at + 1].min(all[at + wide]) + 1.0;
            let askew = all[at + wide + 1].min(all[at + wide - 1]) + ASKEW;
            all[at] = all[at].min(side).min(askew);
        }
    }
    let row = |y: usize| &all[inner(y)..inner(y) + width];
    (0..height).flat_map(row).copied().collect()
}
