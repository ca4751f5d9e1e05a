//! Where a layer is on the band: a lattice of its own, so that its picture is charted there as any
//! picture is, and how that lattice lies on the band's.

use crate::lattice::Lattice;
use crate::picture::{Arrangement, Place};
use crate::request::Mirror;
use crate::request::design::Placed;
use std::ops::Range;

/// A place on the band.
pub(super) struct Spot {
    /// The lattice that the picture is charted on.
    pub(super) lattice: Lattice,
    /// Its columns that the picture may take, counted from 0.
    pub(super) columns: Range<u32>,
    /// How the picture lies there.
    pub(super) arrangement: Arrangement,
    /// The mirror images that the picture has.
    pub(super) mirror: Mirror,
    /// Whether the artwork asks for its own flat colours.
    pub(super) is_flat: bool,
    /// How the lattice lies on the band's.
    pub(super) lies: Lies,
    /// Where the layer is, with what was left open.
    pub(super) placed: Placed,
}

impl Spot {
    /// Repeats along the band.
    pub(super) fn repeats(&self) -> Option<u32> {
        match self.arrangement.place {
            Place::Repeat(repeats) => Some(repeats),
            Place::Round | Place::Motif => None,
        }
    }
}

/// How a layer's lattice lies on the band's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Lies {
    /// Bead on bead, and across the band from it, where asked for.
    Whole {
        /// Whether its own beads show.
        left: bool,
        /// Whether those across the band show.
        right: bool,
    },
    /// Moved by so many rows and columns.
    Moved { rows: i64, columns: i64 },
}

impl Lies {
    /// The beads of the band on which bead `index` of the layer's own lattice lies.
    pub(super) fn beads(self, own: &Lattice, index: usize, band: &Lattice) -> Vec<usize> {
        match self {
            Self::Whole { left, right } => {
                let here = left.then_some(index);
                let across = right.then(|| band.across(index)).flatten();
                here.into_iter().chain(across).collect()
            }
            Self::Moved { rows, columns } => {
                let (row, column) = own.position(index);
                let row = i64::from(row.get()) + rows;
                let bead = band.at(row, i64::from(column.get()) + columns);
                bead.into_iter().collect()
            }
        }
    }
}
