//! Beads by themselves: the whole band, upright or lying, and a single bead beside words.

use super::placed_band::bead_shape;
use super::{Beads, Drawing, Item, Placed, Point, Shape};
use crate::chart::Chart;
use crate::units::Mm;

/// The beads of a band at `scale` times true size; `lying` with row 1 at the left and column 1 at
/// the top, else row 1 at the bottom.
pub fn strip(chart: &Chart, scale: f64, lying: bool) -> Drawing {
    let lattice = &chart.lattice;
    let upright = bead_shape(lattice, scale, false);
    let shape = if lying {
        quarter_turned(upright)
    } else {
        upright
    };
    let high = lattice.flat_height();
    let place = |at: usize| {
        let (row, column) = lattice.position(at);
        let (x, y) = lattice.centre(row, column);
        let (x, y) = if lying { (y, x) } else { (x, high - y) };
        Placed {
            left: x * scale - shape.width / 2.0,
            top: y * scale - shape.height / 2.0,
            paint: chart.beads[at],
        }
    };
    let placed = (0..lattice.len()).map(place).collect();
    let (width, height) = if lying {
        (high, lattice.width())
    } else {
        (lattice.width(), high)
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
