//! Beads by themselves: the whole band, upright or lying, and a single bead beside words.

use super::placed_band::bead_shape;
use super::{Beads, Drawing, Item, Placed, Point, Shape};
use crate::chart::Chart;
use crate::units::Mm;

/// How a whole band is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Laid {
    /// Row 1 at the bottom.
    Upright,
    /// Turned a quarter clockwise: row 1 at the left, column 1 at the top.
    Row1Left,
    /// Turned a quarter anticlockwise: row 1 at the right, column 1 at the bottom.
    Row1Right,
}

impl Laid {
    /// Lying so that a picture which was laid along the band stands upright.
    pub fn lying(chart: &Chart) -> Self {
        if chart.rotated() == 90 {
            Self::Row1Right
        } else {
            Self::Row1Left
        }
    }

    /// Upright, or lying where the picture was laid along the band: so that it stands upright.
    pub fn level(chart: &Chart) -> Self {
        if chart.is_lengthwise() {
            Self::lying(chart)
        } else {
            Self::Upright
        }
    }

    /// Where row 1 is.
    pub fn row_1(self) -> &'static str {
        match self {
            Self::Upright => "bottom",
            Self::Row1Left => "left",
            Self::Row1Right => "right",
        }
    }
}

/// The beads of a band at `scale` times true size.
pub fn strip(chart: &Chart, scale: f64, laid: Laid) -> Drawing {
    let lattice = &chart.lattice;
    let upright = bead_shape(lattice, scale, false);
    let shape = if laid == Laid::Upright {
        upright
    } else {
        quarter_turned(upright)
    };
    let (wide, high) = (lattice.width(), lattice.flat_height());
    let place = |at: usize| {
        let (row, column) = lattice.position(at);
        let (x, y) = lattice.centre(row, column);
        let (x, y) = match laid {
            Laid::Upright => (x, high - y),
            Laid::Row1Left => (y, x),
            Laid::Row1Right => (high - y, wide - x),
        };
        Placed {
            left: x * scale - shape.width / 2.0,
            top: y * scale - shape.height / 2.0,
            paint: chart.beads[at],
        }
    };
    let placed = (0..lattice.len()).map(place).collect();
    let (width, height) = if laid == Laid::Upright {
        (wide, high)
    } else {
        (high, wide)
    };
    Drawing {
        width: width * scale,
        height: height * scale,
        items: vec![Item::Beads(Beads { shape, placed })],
    }
}

/// A bead of a colour no larger than `side`; the middle of its left edge is at a point.
pub fn swatch(chart: &Chart, paint: u16, side: Mm, left_middle: Point) -> Beads {
    let bead = chart.lattice.bead();
    let longest = bead.length.get().max(bead.diameter.get());
    let shape = bead_shape(&chart.lattice, side.get() / longest, false);
    let placed = vec![Placed {
        left: left_middle.x,
        top: left_middle.y - shape.height / 2.0,
        paint,
    }];
    Beads { shape, placed }
}

fn quarter_turned(shape: Shape) -> Shape {
    Shape {
        width: shape.height,
        height: shape.width,
        ..shape
    }
}
