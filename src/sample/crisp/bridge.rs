//! Closes the gap of a line that passes between two beads.
//!
//! A line that crosses the corner of two beads may cover too little of either to win it. Where the
//! picture's line runs through a bead from one bead of its colour to another, and these two are not
//! joined otherwise nearby, the bead takes the line's colour: the widest gaps first.

use super::{Tiles, apart_squared, mean};
use crate::cancel::Cancel;
use crate::colour::Light;

/// Least share of a bead's tiles that the line covers. Ours: less does not look as if it ran
/// through.
const LEAST: f64 = 0.06;
/// Within how many beads two beads may be joined otherwise.
const NEARBY: usize = 2;

/// A bead that a line runs through, and how much of it the line covers.
struct Gap {
    bead: usize,
    tiles: Vec<usize>,
}

/// Closes gaps: `labs` is of each tile, `light` of each bead, and `colours` the same as CIELAB.
pub(super) fn bridge(
    tiles: &Tiles,
    labs: &[[f64; 3]],
    light: &mut [Light],
    colours: &mut [[f64; 3]],
    cancel: &Cancel,
) {
    let mut gaps: Vec<Gap> = (0..light.len())
        .take_while(|_| !cancel.is_over())
        .filter_map(|bead| gap(tiles, labs, colours, bead))
        .collect();
    // A stable sort: of equally wide gaps the first in lattice order comes first.
    gaps.sort_by_key(|gap| std::cmp::Reverse(gap.tiles.len()));
    for Gap { bead, .. } in gaps {
        if cancel.is_over() {
            return;
        }
        // An earlier bridge may have closed this gap too.
        if let Some(gap) = gap(tiles, labs, colours, bead) {
            let count = gap.tiles.len() as f64;
            let mut sum = Light::new(0.0, 0.0, 0.0);
            gap.tiles.iter().for_each(|&tile| sum += tiles.light[tile]);
            light[bead] = sum / count;
            colours[bead] = mean(gap.tiles.iter().map(|&tile| (labs[tile], 1.0)));
        }
    }
}

/// Whether a line runs through the bead that its neighbours show and it does not.
fn gap(tiles: &Tiles, labs: &[[f64; 3]], colours: &[[f64; 3]], bead: usize) -> Option<Gap> {
    let own = colours[bead];
    let beside: Vec<usize> = tiles
        .lattice
        .neighbours(bead)
        .map(|near| near.index)
        .collect();
    let mut best: Option<Gap> = None;
    for &from in &beside {
        let line = colours[from];
        if apart_squared(own, line) <= super::SPREAD * super::SPREAD {
            continue;
        }
        let of_line =
            |tile: usize| apart_squared(labs[tile], line) < apart_squared(labs[tile], own);
        let shows =
            |bead: usize| 4.0 * apart_squared(colours[bead], line) < apart_squared(own, line);
        for part in parts(tiles, bead, &of_line) {
            let enough = part.len() as f64 >= LEAST * tiles.of(bead).count() as f64;
            if !enough
                || best
                    .as_ref()
                    .is_some_and(|best| best.tiles.len() >= part.len())
            {
                continue;
            }
            let touched: Vec<usize> = beside
                .iter()
                .copied()
                .filter(|&near| shows(near) && touches(tiles, &part, near, &of_line))
                .collect();
            let apart = touched
                .iter()
                .any(|&to| to != touched[0] && !joined(tiles, bead, touched[0], to, &shows));
            if apart {
                best = Some(Gap { bead, tiles: part });
            }
        }
    }
    best
}

/// The connected parts of a bead's tiles that are of the line.
fn parts(tiles: &Tiles, bead: usize, of_line: &impl Fn(usize) -> bool) -> Vec<Vec<usize>> {
    let mut left: Vec<usize> = tiles.of(bead).filter(|&tile| of_line(tile)).collect();
    let mut parts = Vec::new();
    while let Some(first) = left.pop() {
        let mut part = vec![first];
        let mut at = 0;
        while at < part.len() {
            let own = part[at];
            let (near, far): (Vec<usize>, Vec<usize>) =
                left.into_iter().partition(|&tile| tiles.meet(own, tile));
            part.extend(near);
            left = far;
            at += 1;
        }
        parts.push(part);
    }
    parts
}

/// Whether the line continues from `part` into bead `near`.
fn touches(tiles: &Tiles, part: &[usize], near: usize, of_line: &impl Fn(usize) -> bool) -> bool {
    tiles
        .of(near)
        .filter(|&tile| of_line(tile))
        .any(|tile| part.iter().any(|&own| tiles.meet(own, tile)))
}

/// Whether beads that show the line join two others, all within [`NEARBY`] beads of the gap and
/// none of them the gap.
fn joined(
    tiles: &Tiles,
    gap: usize,
    from: usize,
    to: usize,
    shows: &impl Fn(usize) -> bool,
) -> bool {
    let near = |bead: usize| tiles.lattice.neighbours(bead).map(|near| near.index);
    let mut about = vec![gap];
    let mut start = 0;
    for _ in 0..NEARBY {
        let end = about.len();
        for at in start..end {
            for bead in near(about[at]) {
                if !about.contains(&bead) {
                    about.push(bead);
                }
            }
        }
        start = end;
    }
    let mut reached = vec![from];
    let mut at = 0;
    while at < reached.len() {
        for bead in near(reached[at]) {
            if bead != gap && about.contains(&bead) && shows(bead) && !reached.contains(&bead) {
                reached.push(bead);
            }
        }
        at += 1;
    }
    reached.contains(&to)
}

impl Tiles<'_> {
    /// Whether two tiles share a side or a corner, round the seam of a closed band too.
    fn meet(&self, one: usize, two: usize) -> bool {
        let across = self.lattice.columns() as usize * self.parts;
        let along = self.lattice.half_rows() as usize * self.parts;
        let (x, y) = (one % across, one / across);
        let (other_x, other_y) = (two % across, two / across);
        let rows = y.abs_diff(other_y);
        let rows = if self.lattice.is_closed() {
            rows.min(along - rows)
        } else {
            rows
        };
        x.abs_diff(other_x) <= 1 && rows <= 1
    }
}
