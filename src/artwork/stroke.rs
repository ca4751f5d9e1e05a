//! Lines, tips and gaps that are finer than a bead, made as wide as one: else most of their beads
//! would go to what is beside them, and they would break.

use super::flat::FlatArt;
use rayon::prelude::*;
use std::collections::BTreeMap;

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
    let reach = grow.ceil() as isize;
    let inside = |x: isize, y: isize| {
        (0..grid.width as isize).contains(&x) && (0..grid.height as isize).contains(&y)
    };
    let mut best: BTreeMap<usize, f32> = BTreeMap::new();
    for &at in cells {
        let (x, y) = ((at % grid.width) as isize, (at / grid.width) as isize);
        for down in -reach..=reach {
            for across in -reach..=reach {
                let far = ((down * down + across * across) as f32).sqrt();
                if far > 0.0 && far <= grow && inside(x + across, y + down) {
                    let other = (y + down) as usize * grid.width + (x + across) as usize;
                    let least = best.entry(other).or_insert(f32::INFINITY);
                    *least = least.min(far / grow * 0.99);
                }
            }
        }
    }
    cells.iter().for_each(|at| {
        best.remove(at);
    });
    near.extend(best);
    near
}

/// A grid's sides in cells.
#[derive(Clone, Copy)]
pub(super) struct Size {
    pub(super) width: usize,
    pub(super) height: usize,
}

/// The distance of each cell to the nearest target, in cells: two passes with steps of 1 and the
/// root of 2 (G. Borgefors, "Distance transformations in digital images", Computer Vision,
/// Graphics, and Image Processing 34(3), 1986, doi 10.1016/S0734-189X(86)80047-0).
fn distances(grid: Size, target: impl Fn(usize) -> bool) -> Vec<f32> {
    const ASKEW: f32 = std::f32::consts::SQRT_2;
    let Size { width, height } = grid;
    let far = (width + height) as f32;
    let mut all: Vec<f32> = (0..width * height)
        .map(|at| if target(at) { 0.0 } else { far })
        .collect();
    let lower = |all: &mut Vec<f32>, at: usize, steps: &[(isize, isize, f32)]| {
        let (x, y) = ((at % width) as isize, (at / width) as isize);
        for &(across, down, step) in steps {
            let (x, y) = (x + across, y + down);
            if (0..width as isize).contains(&x) && (0..height as isize).contains(&y) {
                let other = all[y as usize * width + x as usize] + step;
                all[at] = all[at].min(other);
            }
        }
    };
    let before = [(-1, 0, 1.0), (0, -1, 1.0), (-1, -1, ASKEW), (1, -1, ASKEW)];
    let after = before.map(|(across, down, step)| (-across, -down, step));
    for at in 0..width * height {
        lower(&mut all, at, &before);
    }
    for at in (0..width * height).rev() {
        lower(&mut all, at, &after);
    }
    all
}

/// The cells of each connected part, corners included.
pub(super) fn components(grid: Size, own: &[bool]) -> Vec<Vec<usize>> {
    let mut seen = vec![false; own.len()];
    let mut found = Vec::new();
    for start in 0..own.len() {
        if !own[start] || seen[start] {
            continue;
        }
        let mut part = Vec::new();
        let mut open = vec![start];
        seen[start] = true;
        while let Some(at) = open.pop() {
            part.push(at);
            let (x, y) = (at % grid.width, at / grid.width);
            let rows = y.saturating_sub(1)..(y + 2).min(grid.height);
            for y in rows {
                for x in x.saturating_sub(1)..(x + 2).min(grid.width) {
                    let other = y * grid.width + x;
                    if own[other] && !seen[other] {
                        seen[other] = true;
                        open.push(other);
                    }
                }
            }
        }
        part.sort_unstable();
        found.push(part);
    }
    found
}
