//! From places on the band to the stored pixels: lines, quarter turns and orientation.

use super::super::{Orientation, Size};
use super::{Crop, Extent, Line, Map, sides};
use crate::lattice::Rectangle;
use std::ops::Range;
impl Line {
    fn far_side(self, length: f64) -> Self {
        Self {
            scale: -self.scale,
            offset: length - self.offset,
            ..self
        }
    }

    fn shift(self, by: f64) -> Self {
        Self {
            offset: self.offset + by,
            ..self
        }
    }

    /// The pixel coordinate at a millimetre.
    pub fn at(&self, millimetre: f64) -> f64 {
        self.scale * millimetre + self.offset
    }
}

/// From the band to the cropped, upright picture: `tx`, `ty` run over the rotated picture, left to
/// right and top to bottom.
pub(super) fn onto_upright(placed: &Rectangle, size: Extent, quarters: u32) -> Map {
    let (width, height) = sides(placed);
    let rotated = size.rotated(quarters);
    let tx = Line {
        along_y: false,
        scale: rotated.width / width,
        offset: -placed.left.get() * rotated.width / width,
    };
    let ty = Line {
        along_y: true,
        scale: -rotated.height / height,
        offset: placed.top.get() * rotated.height / height,
    };
    let (x, y) = match quarters {
        0 => (tx, ty),
        1 => (ty, tx.far_side(size.height)),
        2 => (tx.far_side(size.width), ty.far_side(size.height)),
        _ => (ty.far_side(size.width), tx),
    };
    Map { x, y }
}

pub(super) fn shifted(map: Map, crop: &Crop) -> Map {
    Map {
        x: map.x.shift(f64::from(crop.x)),
        y: map.y.shift(f64::from(crop.y)),
    }
}

/// From upright to stored coordinates.
pub(super) fn stored(map: Map, upright: Size, orientation: Orientation) -> Map {
    let Extent { width, height } = stored_size(upright, orientation);
    let (x, y) = if orientation.swap {
        (map.y, map.x)
    } else {
        (map.x, map.y)
    };
    Map {
        x: if orientation.flip_x {
            x.far_side(width)
        } else {
            x
        },
        y: if orientation.flip_y {
            y.far_side(height)
        } else {
            y
        },
    }
}

fn stored_size(upright: Size, orientation: Orientation) -> Extent {
    Extent::of(upright.width, upright.height).rotated(u32::from(orientation.swap))
}

/// The crop in stored pixels.
pub(super) fn window(crop: &Crop, upright: Size, orientation: Orientation) -> [Range<f64>; 2] {
    let Extent { width, height } = stored_size(upright, orientation);
    let across = f64::from(crop.x)..f64::from(crop.x + crop.width);
    let down = f64::from(crop.y)..f64::from(crop.y + crop.height);
    let (x, y) = if orientation.swap {
        (down, across)
    } else {
        (across, down)
    };
    let flip = |range: Range<f64>, length: f64, flip: bool| {
        if flip {
            length - range.end..length - range.start
        } else {
            range
        }
    };
    [
        flip(x, width, orientation.flip_x),
        flip(y, height, orientation.flip_y),
    ]
}
