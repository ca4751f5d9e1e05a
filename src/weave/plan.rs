//! Passes being planned, in the rows and columns of a [`Frame`].

use super::frame::Frame;
use crate::lattice::Lattice;

/// The needle goes through a bead.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pass {
    /// The bead, in lattice order.
    pub bead: usize,
    /// Whether towards higher columns.
    pub forward: bool,
    /// Whether the bead is picked up with this pass.
    pub picked: bool,
    /// Whether the thread catches the bridge below the edge before this pass.
    pub caught: bool,
}

/// Where the needle is in the plan: it has just come out of this bead.
#[derive(Debug, Clone, Copy)]
pub(super) struct NeedlePlace {
    pub(super) row: i64,
    pub(super) column: u32,
    pub(super) forward: bool,
}

/// Passes being planned: rows and columns as in [`Frame`].
pub(super) struct Plan<'a> {
    pub(super) lattice: &'a Lattice,
    pub(super) frame: Frame,
    pub(super) columns: u32,
    pub(super) rows: u32,
    pub(super) passes: Vec<Pass>,
    /// The last row that is woven so far; none if all are.
    pub(super) woven: Option<i64>,
}

impl<'a> Plan<'a> {
    pub(super) fn new(lattice: &'a Lattice, frame: Frame) -> Self {
        Self {
            lattice,
            frame,
            columns: lattice.columns(),
            rows: lattice.rows(),
            passes: Vec::with_capacity(2 * lattice.len()),
            woven: None,
        }
    }

    /// A pass through a bead that is in the beadwork already.
    pub(super) fn pass(&mut self, row: u32, column: u32, forward: bool) {
        self.push(row, column, forward, false, false);
    }

    /// A pass, and whether it picks the bead up or first catches the thread bridge.
    pub(super) fn push(
        &mut self,
        row: u32,
        column: u32,
        forward: bool,
        picked: bool,
        caught: bool,
    ) {
        let (row, column) = self.frame.place(row, column);
        // The frame has been checked to lay beads on beads.
        if let Some(bead) = self.lattice.index(row, column) {
            let forward = self.frame.forward(forward);
            self.passes.push(Pass {
                bead,
                forward,
                picked,
                caught,
            });
        }
    }

    /// A pass at a planned place, rows counted on round a closed band.
    pub(super) fn pass_at(&mut self, needle: NeedlePlace) {
        let rows = i64::from(self.rows);
        let row = (needle.row - 1).rem_euclid(rows) + 1;
        self.pass(row as u32, needle.column, needle.forward);
    }

    /// Whether there is such a planned row.
    pub(super) fn has(&self, row: i64) -> bool {
        match self.woven {
            Some(last) => (1..=last).contains(&row),
            None => self.lattice.is_closed() || (1..=i64::from(self.rows)).contains(&row),
        }
    }

    /// Whether planned `row` fills planned `column`.
    pub(super) fn fills(&self, row: u32, column: u32) -> bool {
        (row + column + self.columns) % 2 == 1
    }
}
