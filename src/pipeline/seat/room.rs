//! Where a motif may sit: how far from the middle, and the seats that a search begins with and goes on to.

use super::SAME;
use crate::lattice::Axis;
use crate::picture::{Plan, Spot};
use crate::pipeline::Options;
use crate::units::Mm;

/// Sizes to begin with; the smallest is as small as a motif is made. Ours: two columns fewer of nine.
const SCALES: [f64; 5] = [1.0, 0.95, 0.9, 0.85, 0.8];

/// How far a motif of a size may go from the middle and stay inside, and not beyond half a bead.
pub(super) struct Room {
    across: Axle,
    along: Axle,
}

/// What a symmetry leaves.
#[derive(Clone, Copy, PartialEq)]
enum Held {
    Middle,
    Halves,
}

/// One direction.
struct Axle {
    /// Length of the place and of the largest motif.
    place: f64,
    largest: f64,
    /// A bead's length or diameter.
    bead: f64,
    /// Where a mirror or its own symmetry holds the motif: in the middle, or half a bead from it too.
    held: Option<Held>,
}

impl Room {
    pub(super) fn new(options: &Options, middle: &Plan, same: [bool; 2]) -> Self {
        let (lattice, lies) = (&options.lattice, &middle.lies);
        let bead = lattice.bead();
        let mirror = |axis| options.mirror.contains(&axis);
        let across = mirror(Axis::Columns) || (same[0] && lattice.centre_column().is_some());
        let along = match (mirror(Axis::Rows), same[1]) {
            (true, _) => Some(Held::Middle),
            (false, true) => Some(Held::Halves),
            (false, false) => None,
        };
        let columns = lattice.columns() - 2 * options.arrangement.margin;
        Self {
            across: Axle {
                place: bead.length.get() * f64::from(columns),
                largest: (lies.right - lies.left).get(),
                bead: bead.length.get(),
                held: across.then_some(Held::Middle),
            },
            along: Axle {
                place: lattice.picture_height().get(),
                largest: (lies.top - lies.bottom).get(),
                bead: bead.diameter.get(),
                held: along,
            },
        }
    }

    fn allows(&self, spot: &Spot) -> bool {
        (SCALES[SCALES.len() - 1]..=1.0).contains(&spot.scale)
            && self.across.allows(spot.scale, spot.across)
            && self.along.allows(spot.scale, spot.along)
    }

    /// Seats to begin with, the largest and those nearest to the middle first.
    pub(super) fn coarse(&self) -> Vec<Spot> {
        let shares = [0.0, 0.25, -0.25, 0.5, -0.5];
        let spots = SCALES.into_iter().flat_map(|scale| {
            let across = shares.into_iter().map(move |share| (scale, share));
            // Half a diameter up is half a diameter down, one bead further.
            across.flat_map(move |(scale, across)| {
                [0.0, 0.25, -0.25, -0.5].map(|along| (scale, across, along))
            })
        });
        spots
            .map(|(scale, across, along)| {
                spot(scale, across * self.across.bead, along * self.along.bead)
            })
            .filter(|spot| self.allows(spot))
            .collect()
    }

    /// Seats one step from a seat.
    pub(super) fn beside(&self, from: &Spot, (size, across, along): (f64, f64, f64)) -> Vec<Spot> {
        let (across, along) = (across * self.across.bead, along * self.along.bead);
        let steps = [
            (size, 0.0, 0.0),
            (-size, 0.0, 0.0),
            (0.0, across, 0.0),
            (0.0, -across, 0.0),
            (0.0, 0.0, along),
            (0.0, 0.0, -along),
        ];
        let moved = |(size, across, along): (f64, f64, f64)| {
            spot(
                from.scale + size,
                from.across.get() + across,
                from.along.get() + along,
            )
        };
        steps
            .into_iter()
            .map(moved)
            .filter(|spot| self.allows(spot))
            .collect()
    }
}

impl Axle {
    fn allows(&self, scale: f64, by: Mm) -> bool {
        let by = by.get().abs();
        let free = ((self.place - self.largest * scale) / 2.0).max(0.0);
        let half = self.bead / 2.0;
        let falls = match self.held {
            None => true,
            Some(Held::Middle) => by == 0.0,
            Some(Held::Halves) => by == 0.0 || (by - half).abs() <= 1e-6,
        };
        falls && by <= free + SAME && by <= half + 1e-6
    }
}

/// A seat in numbers that a chart's file holds exactly.
fn spot(scale: f64, across: f64, along: f64) -> Spot {
    let held = |number: f64| (number * 1e6).round() / 1e6;
    Spot {
        scale: held(scale),
        across: Mm::new(held(across)),
        along: Mm::new(held(along)),
    }
}
