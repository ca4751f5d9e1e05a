//! Where a motif may be placed: how far from the middle, and the positions that a search tries.

use super::SAME;
use crate::picture::{Placement, Plan};
use crate::pipeline::Options;
use crate::units::Mm;

/// Sizes to start with; the last is as small as a motif is made. Ours: two columns fewer of nine.
const SCALES: [f64; 5] = [1.0, 0.95, 0.9, 0.85, 0.8];

/// How far a motif of a size may be from the middle and stay inside, and not beyond half a bead.
pub(super) struct Range {
    across: AxisRange,
    along: AxisRange,
}

/// A step of the search: size, and shares of a bead's length and diameter.
#[derive(Clone, Copy)]
pub(super) struct Step {
    pub(super) scale: f64,
    pub(super) across: f64,
    pub(super) along: f64,
}

/// Positions that a symmetry allows.
#[derive(Clone, Copy, PartialEq)]
enum Symmetry {
    Middle,
    Halves,
}

/// One direction.
struct AxisRange {
    /// Length of the place and of the largest motif.
    place: f64,
    largest: f64,
    /// A bead's length or diameter.
    bead: f64,
    /// Where a mirror or its own symmetry keeps the motif: in the middle, or half a bead from it
    /// too, where a closed band has the other end-to-end axis.
    held: Option<Symmetry>,
}

impl Range {
    pub(super) fn new(options: &Options, middle: &Plan, same: [bool; 2]) -> Self {
        let (lattice, area) = (&options.lattice, &middle.area);
        let bead = lattice.bead();
        let mirror = options.mirror;
        let across = mirror.sides() || (same[0] && lattice.centre_column().is_some());
        let along = if mirror.ends() && !lattice.is_closed() {
            Some(Symmetry::Middle)
        } else {
            (mirror.ends() || same[1]).then_some(Symmetry::Halves)
        };
        let columns = lattice.columns() - 2 * options.arrangement.margin;
        Self {
            across: AxisRange {
                place: bead.length.get() * f64::from(columns),
                largest: (area.right - area.left).get(),
                bead: bead.length.get(),
                held: across.then_some(Symmetry::Middle),
            },
            along: AxisRange {
                place: lattice.picture_height().get(),
                largest: (area.top - area.bottom).get(),
                bead: bead.diameter.get(),
                held: along,
            },
        }
    }

    fn allows(&self, placement: &Placement) -> bool {
        (SCALES[SCALES.len() - 1]..=1.0).contains(&placement.scale)
            && self.across.allows(placement.scale, placement.across)
            && self.along.allows(placement.scale, placement.along)
    }

    /// Positions to start with, the largest and those nearest to the middle first.
    pub(super) fn coarse(&self) -> Vec<Placement> {
        let shares = [0.0, 0.25, -0.25, 0.5, -0.5];
        let placements = SCALES.into_iter().flat_map(|scale| {
            let across = shares.into_iter().map(move |share| (scale, share));
            // Half a diameter up is half a diameter down, one bead further.
            across.flat_map(move |(scale, across)| {
                [0.0, 0.25, -0.25, -0.5].map(|along| (scale, across, along))
            })
        });
        placements
            .map(|(scale, across, along)| {
                placement(scale, across * self.across.bead, along * self.along.bead)
            })
            .filter(|placement| self.allows(placement))
            .collect()
    }

    /// Positions against either edge of the band, for drawings: a line there may fall on a column
    /// that it only touches elsewhere.
    pub(super) fn at_the_edges(&self) -> Vec<Placement> {
        let across = SCALES.into_iter().flat_map(|scale| {
            let free = (self.across.place - self.across.largest * scale) / 2.0;
            // In numbers that a chart's file holds, and not beyond the edge.
            let by = (free * 1e6).floor().max(0.0) / 1e6;
            let by = by.min(self.across.bead / 2.0);
            [(scale, by), (scale, -by)]
        });
        across
            .flat_map(|(scale, across)| {
                [0.0, 0.25, -0.25, -0.5]
                    .map(|along| placement(scale, across, along * self.along.bead))
            })
            .filter(|placement| placement.across.get() != 0.0 && self.allows(placement))
            .collect()
    }

    /// Positions one step from another.
    pub(super) fn steps_from(&self, from: &Placement, step: Step) -> Vec<Placement> {
        let across = step.across * self.across.bead;
        let along = step.along * self.along.bead;
        let moved = |scale: f64, across: f64, along: f64| {
            placement(
                from.scale + scale,
                from.across.get() + across,
                from.along.get() + along,
            )
        };
        [
            moved(step.scale, 0.0, 0.0),
            moved(-step.scale, 0.0, 0.0),
            moved(0.0, across, 0.0),
            moved(0.0, -across, 0.0),
            moved(0.0, 0.0, along),
            moved(0.0, 0.0, -along),
        ]
        .into_iter()
        .filter(|placement| self.allows(placement))
        .collect()
    }
}

impl AxisRange {
    fn allows(&self, scale: f64, by: Mm) -> bool {
        let by = by.get().abs();
        let free = ((self.place - self.largest * scale) / 2.0).max(0.0);
        let half = self.bead / 2.0;
        let falls = match self.held {
            None => true,
            Some(Symmetry::Middle) => by == 0.0,
            Some(Symmetry::Halves) => by == 0.0 || (by - half).abs() <= 1e-6,
        };
        falls && by <= free + SAME && by <= half + 1e-6
    }
}

/// A position in numbers that a chart's file holds exactly.
fn placement(scale: f64, across: f64, along: f64) -> Placement {
    let held = |number: f64| (number * 1e6).round() / 1e6;
    Placement {
        scale: held(scale),
        across: Mm::new(held(across)),
        along: Mm::new(held(along)),
    }
}
