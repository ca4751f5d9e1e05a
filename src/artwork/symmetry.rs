//! Mirror images: whether left is as right, and top as bottom, within the frame.

use super::cells::{Cells, Window, apart_squared, point};
use super::flat::{FlatArt, GROUND};
use super::ground::{Ground, is_drawn};

/// Share of the drawn cells that may differ from their mirror image in a flat drawing.
const FLAT: f64 = 0.06;
/// Mean difference from the mirror image, of the mean difference from the ground or from the mean
/// colour, in continuous tone.
const TONES: f32 = 0.2;

/// Mirror images of the upright picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Symmetry {
    /// Left is as right.
    pub sides: bool,
    /// Top is as bottom.
    pub ends: bool,
}

/// The symmetries of what is in the frame, about its middle.
pub(super) fn find(
    cells: &Cells,
    ground: &Ground,
    flat: Option<&FlatArt>,
    frame: &Window,
) -> Symmetry {
    let across = |x: usize, y: usize| (frame.left + frame.right - 1 - x, y);
    let along = |x: usize, y: usize| (x, frame.top + frame.bottom - 1 - y);
    let check = |image: &dyn Fn(usize, usize) -> (usize, usize)| match flat {
        Some(art) => unlike_labels(art, frame, image) <= FLAT,
        None => unlike_tones(cells, ground, frame, image) <= TONES,
    };
    Symmetry {
        sides: check(&across),
        ends: check(&along),
    }
}

fn inside(frame: &Window) -> impl Iterator<Item = (usize, usize)> + use<> {
    let Window {
        left,
        top,
        right,
        bottom,
    } = *frame;
    (top..bottom).flat_map(move |y| (left..right).map(move |x| (x, y)))
}

/// The share of drawn cells that differ from their mirror image.
fn unlike_labels(
    art: &FlatArt,
    frame: &Window,
    image: &dyn Fn(usize, usize) -> (usize, usize),
) -> f64 {
    let (mut unlike, mut drawn) = (0_usize, 0_usize);
    for (x, y) in inside(frame) {
        let (own, other) = (art.at(x, y), {
            let (x, y) = image(x, y);
            art.at(x, y)
        });
        drawn += usize::from(own != GROUND);
        unlike += usize::from(own != other);
    }
    // A pair that differs was counted twice.
    unlike as f64 / (2 * drawn.max(1)) as f64
}

/// The mean difference from the mirror image as a share of that from the ground.
fn unlike_tones(
    cells: &Cells,
    ground: &Ground,
    frame: &Window,
    image: &dyn Fn(usize, usize) -> (usize, usize),
) -> f32 {
    let beside = match ground {
        Ground::Plain(light) => point(*light),
        _ => mean(cells, frame),
    };
    let (mut unlike, mut stands) = (0.0, 0.0);
    for (x, y) in inside(frame) {
        let (own, other) = (cells.at(x, y), {
            let (x, y) = image(x, y);
            cells.at(x, y)
        });
        let at = y * cells.width + x;
        if own.clear != other.clear {
            unlike += apart_squared(&own.point, &beside).sqrt().max(20.0);
        } else if !own.clear {
            unlike += apart_squared(&own.point, &other.point).sqrt();
        }
        if is_drawn(cells, ground, None, at) && !own.clear {
            stands += apart_squared(&own.point, &beside).sqrt();
        }
    }
    if stands > 0.0 { unlike / stands } else { 1.0 }
}

fn mean(cells: &Cells, frame: &Window) -> [f32; 3] {
    let mut sum = [0.0_f64; 3];
    let mut all = 0.0;
    for (x, y) in inside(frame) {
        let cell = cells.at(x, y);
        if !cell.clear {
            (0..3).for_each(|at| sum[at] += f64::from(cell.point[at]));
            all += 1.0;
        }
    }
    sum.map(|sum| (sum / f64::max(all, 1.0)) as f32)
}
