//! The parts of a picture that may be a chart: edges that hang together, as those of beads do and
//! those of words and numbers beside them do not.

use super::beads::{Endless, Extent};
use super::find;
use super::plane::{Plane, between, change, encoded, largest};
use crate::colour::Light;
use crate::sample::Grid;

/// Blocks along the picture's longer side.
const BLOCKS: usize = 300;
/// Parts that are looked at, those with most edges first.
const MOST: usize = 3;
/// Least change of light at an edge, on the scale of [`Plane`], in a picture without noise and in
/// the noisiest one.
const EDGE: (f32, f32) = (0.01, 0.05);
/// Noise from which a picture is smoothed before beads are looked for.
const NOISY: f32 = 0.015;
/// Pixels up to which a part is enlarged, twice or three times: lines between small beads then lie
/// apart from one another.
const LARGE: usize = 800;
/// Share of a part's longer side that is left round it.
const MARGIN: f64 = 0.04;

/// A rectangle of the picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Part {
    x: usize,
    y: usize,
    width: usize,
    height: usize,
}

/// A band that was found in a part.
pub(super) struct Found {
    pub(super) part: Part,
    pub(super) plane: Plane,
    pub(super) endless: Endless,
    pub(super) extent: Extent,
}

/// The band that shows most clearly, of those in the parts of the picture.
pub(super) fn found(grid: &Grid, columns: Option<u32>) -> Option<Found> {
    let mut best: Option<(f64, Found)> = None;
    let quiet;
    let mut grid = grid;
    if noise(grid) > NOISY {
        quiet = smoothed(grid);
        grid = &quiet;
    }
    for part in parts(grid, noise(grid)) {
        let plane = Plane::straightened(&part.of(grid));
        let Some((score, endless, extent)) = find::found(&plane, columns) else {
            continue;
        };
        if best.as_ref().is_none_or(|(most, _)| score > *most) {
            let found = Found {
                part,
                plane,
                endless,
                extent,
            };
            best = Some((score, found));
        }
    }
    best.map(|(_, found)| found)
}

impl Part {
    /// How many times larger it is looked at.
    fn times(self) -> usize {
        (LARGE / self.width.max(self.height)).clamp(1, 3)
    }

    /// The part as a picture of its own, a small one enlarged.
    fn of(self, grid: &Grid) -> Grid {
        let (width, height) = (self.width * self.times(), self.height * self.times());
        let mut light = Vec::with_capacity(width * height);
        for y in 0..height {
            for x in 0..width {
                let (x, y) = self.place(x as f64, y as f64);
                light.push(between(grid, x, y));
            }
        }
        Grid {
            width,
            height,
            light,
        }
    }

    /// Where a place of the part is on the whole picture.
    pub(super) fn place(self, x: f64, y: f64) -> (f64, f64) {
        let times = self.times() as f64;
        let one = |at: f64, first: usize| first as f64 + (at + 0.5) / times - 0.5;
        (one(x, self.x), one(y, self.y))
    }
}

/// The change of light that nine in ten pixels pass: most pictures have a share without edges.
fn noise(grid: &Grid) -> f32 {
    let step = (grid.light.len() / 50_000).max(1);
    let places = (1..grid.light.len()).step_by(step);
    let mut changes: Vec<f32> = places
        .map(|at| {
            largest(change(
                encoded(&grid.light[at - 1]),
                encoded(&grid.light[at]),
            ))
        })
        .collect();
    let tenth = changes.len() / 10;
    if changes.is_empty() {
        return 0.0;
    }
    *changes.select_nth_unstable_by(tenth, f32::total_cmp).1
}

/// Each pixel as the mean of the nine round it.
fn smoothed(grid: &Grid) -> Grid {
    let (width, height) = (grid.width, grid.height);
    let mut light = Vec::with_capacity(grid.light.len());
    for y in 0..height {
        for x in 0..width {
            let mut sum = Light::new(0.0, 0.0, 0.0);
            for v in [y.saturating_sub(1), y, (y + 1).min(height - 1)] {
                for u in [x.saturating_sub(1), x, (x + 1).min(width - 1)] {
                    sum += grid.at(u, v);
                }
            }
            light.push(sum / 9.0);
        }
    }
    Grid {
        width,
        height,
        light,
    }
}

/// Blocks of pixels, and the strongest edge in each.
struct Blocks {
    side: usize,
    across: usize,
    edges: Vec<f32>,
}

impl Blocks {
    fn of(grid: &Grid) -> Self {
        let side = grid.width.max(grid.height).div_ceil(BLOCKS).max(1);
        let across = grid.width.div_ceil(side);
        let mut edges = vec![0.0f32; across * grid.height.div_ceil(side)];
        let encoded_row = |y: usize| -> Vec<[f32; 3]> {
            let row = &grid.light[y * grid.width..][..grid.width];
            row.iter().map(encoded).collect()
        };
        let mut above = encoded_row(0);
        for y in 0..grid.height {
            let row = encoded_row(y);
            for x in 0..grid.width {
                let left = largest(change(row[x.saturating_sub(1)], row[x]));
                let edge = left.max(largest(change(above[x], row[x])));
                let block = &mut edges[y / side * across + x / side];
                *block = block.max(edge);
            }
            above = row;
        }
        Self {
            side,
            across,
            edges,
        }
    }

    /// Groups of blocks with edges that touch, largest first.
    fn groups(&self, least: f32) -> Vec<Vec<usize>> {
        let mut open: Vec<bool> = self.edges.iter().map(|edge| *edge > least).collect();
        let mut groups = Vec::new();
        for start in 0..open.len() {
            if !std::mem::take(&mut open[start]) {
                continue;
            }
            let mut group = vec![start];
            let mut at = 0;
            while at < group.len() {
                for next in self.beside(group[at]) {
                    if std::mem::take(&mut open[next]) {
                        group.push(next);
                    }
                }
                at += 1;
            }
            groups.push(group);
        }
        groups.sort_by_key(|group| std::cmp::Reverse(group.len()));
        groups
    }

    /// The blocks round one, itself among them.
    fn beside(&self, block: usize) -> impl Iterator<Item = usize> + use<> {
        let (across, down) = (self.across, self.edges.len() / self.across);
        let (x, y) = (block % across, block / across);
        let columns = x.saturating_sub(1)..(x + 2).min(across);
        (y.saturating_sub(1)..(y + 2).min(down))
            .flat_map(move |y| columns.clone().map(move |x| y * across + x))
    }
}

/// The parts with most edges, each with some paper round it.
fn parts(grid: &Grid, noise: f32) -> Vec<Part> {
    let blocks = Blocks::of(grid);
    let groups = blocks.groups((4.0 * noise).clamp(EDGE.0, EDGE.1));
    let part = |group: &Vec<usize>| {
        let xs = group.iter().map(|block| block % blocks.across);
        let ys = group.iter().map(|block| block / blocks.across);
        let ends = |least: Option<usize>, most: Option<usize>| {
            (
                least.unwrap_or(0) * blocks.side,
                (most.unwrap_or(0) + 1) * blocks.side,
            )
        };
        let (left, right) = ends(xs.clone().min(), xs.max());
        let (top, bottom) = ends(ys.clone().min(), ys.max());
        let margin = ((right - left).max(bottom - top) as f64 * MARGIN) as usize + 4;
        let (x, y) = (left.saturating_sub(margin), top.saturating_sub(margin));
        Part {
            x,
            y,
            width: (right + margin).min(grid.width) - x,
            height: (bottom + margin).min(grid.height) - y,
        }
    };
    groups.iter().take(MOST).map(part).collect()
}
