//! What surrounds the motif: nothing, transparency or a plain colour.

use super::cells::{Cells, Window, apart_squared, point};
use super::flat::{FlatArt, GROUND};
use crate::colour::Light;

/// Share of the border that must be transparent, or of one colour, for a ground.
const MOSTLY: f64 = 0.6;
/// Border cells of a continuous picture within this of their median colour are alike: above the
/// grain of paper.
const ALIKE: f32 = 7.0;
/// Share of a line of cells that differs before the motif is held to begin: less is dust.
const DUST: usize = 2;
/// Share of the picture that a motif leaves free: less is a full picture with a plain rim.
const FREE: f64 = 0.08;

/// What surrounds the motif.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ground {
    /// The picture reaches its edges.
    None,
    /// It is transparent.
    Clear,
    /// It has one colour.
    Plain(Light),
}

/// The ground along the border.
pub(super) fn find(cells: &Cells, flat: Option<&FlatArt>) -> Ground {
    let border = cells.border(0);
    let share = |count: usize| count as f64 / border.len().max(1) as f64;
    let clear = border.iter().filter(|&&at| cells.cells[at].clear).count();
    if share(clear) >= MOSTLY {
        return Ground::Clear;
    }
    // Just inside the rim, which a scan or a frame may have spoilt.
    let border = cells.border(1);
    match flat {
        Some(art) => of_labels(art, &border),
        None => of_tones(cells, &border),
    }
}

/// The label of most of the border, if enough is; and if it is more than a rim.
fn of_labels(art: &FlatArt, border: &[usize]) -> Ground {
    let mut counts = vec![0_usize; art.colours.len() + 1];
    border
        .iter()
        .for_each(|&at| counts[usize::from(art.labels[at])] += 1);
    let most = (1..counts.len()).max_by_key(|&label| (counts[label], usize::MAX - label));
    let Some(label) = most else {
        return Ground::None;
    };
    let all = art.counts();
    let free = all[label] as f64 / art.labels.len() as f64;
    if counts[label] as f64 >= MOSTLY * border.len() as f64 && (FREE..1.0).contains(&free) {
        Ground::Plain(art.colours[label - 1])
    } else {
        Ground::None
    }
}

/// The median colour of the border, if enough of it is alike.
fn of_tones(cells: &Cells, border: &[usize]) -> Ground {
    let median = |of: &dyn Fn(usize) -> f64| {
        let mut all: Vec<f64> = border.iter().map(|&at| of(at)).collect();
        let middle = all.len() / 2;
        *all.select_nth_unstable_by(middle, f64::total_cmp).1
    };
    let light = Light::new(
        median(&|at| cells.cells[at].light.red),
        median(&|at| cells.cells[at].light.green),
        median(&|at| cells.cells[at].light.blue),
    );
    let middle = point(light);
    let alike = |at: &usize| {
        let cell = &cells.cells[*at];
        !cell.clear && apart_squared(&cell.point, &middle) <= ALIKE * ALIKE
    };
    let along = border.iter().filter(|at| alike(at)).count();
    let free = (0..cells.cells.len()).filter(alike).count();
    let plain = along as f64 >= 0.8 * border.len() as f64;
    if plain && free as f64 >= FREE * cells.cells.len() as f64 {
        Ground::Plain(light)
    } else {
        Ground::None
    }
}

/// The smallest window that holds the motif; dust outside it does not count.
pub(super) fn frame(cells: &Cells, ground: &Ground, flat: Option<&FlatArt>) -> Window {
    let whole = Window {
        left: 0,
        top: 0,
        right: cells.width,
        bottom: cells.height,
    };
    let drawn = |x: usize, y: usize| is_drawn(cells, ground, flat, y * cells.width + x);
    let column = |x: &usize| (0..cells.height).filter(|&y| drawn(*x, y)).count() >= DUST;
    let row = |y: &usize| (0..cells.width).filter(|&x| drawn(x, *y)).count() >= DUST;
    if *ground == Ground::None {
        return whole;
    }
    let (Some(left), Some(right)) = (
        (0..cells.width).find(column),
        (0..cells.width).rev().find(column),
    ) else {
        return whole;
    };
    let (Some(top), Some(bottom)) = (
        (0..cells.height).find(row),
        (0..cells.height).rev().find(row),
    ) else {
        return whole;
    };
    Window {
        left,
        top,
        right: right + 1,
        bottom: bottom + 1,
    }
}

/// Whether a cell belongs to the motif.
pub(super) fn is_drawn(cells: &Cells, ground: &Ground, flat: Option<&FlatArt>, at: usize) -> bool {
    let cell = &cells.cells[at];
    match (flat, ground) {
        (Some(art), Ground::Clear | Ground::Plain(_)) => art.labels[at] != GROUND,
        (None, Ground::Plain(light)) => {
            cell.clear || apart_squared(&cell.point, &point(*light)) > 2.0 * ALIKE * ALIKE
        }
        (_, Ground::Clear) => !cell.clear,
        (_, Ground::None) => true,
    }
}
