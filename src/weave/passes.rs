//! The list of passes, simulated bead by bead.

use super::frame::Frame;
use super::plan::{NeedlePlace, Pass, Plan};
use crate::lattice::{Lattice, Row};
use crate::request::{OddTurn, WorkFrom};

/// How a row ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// The needle turns round the edge and goes on.
    Ordinary,
    /// The last bead is locked by a figure-eight through the beadwork: odd counts, once or every
    /// second row.
    FigureEight,
    /// The last bead is locked by the edge bead before it, which is passed before and after: odd
    /// counts, every second row.
    EdgeBead,
    /// The last bead catches the thread bridge below it: odd counts, every second row.
    Bridge,
    /// The work ends here.
    End,
}

/// One row after the strung ones.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Work {
    /// The chart's row.
    pub row: Row,
    /// Whether it is worked towards higher columns.
    pub forward: bool,
    /// The beads in the order in which they are picked up.
    pub beads: Vec<usize>,
    /// How it ends.
    pub turn: Turn,
    /// Its passes, turn included: places in the list.
    pub passes: std::ops::Range<usize>,
}

/// All of the work.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Weave {
    /// Where it begins.
    pub frame: Frame,
    /// The beads strung first, in order.
    pub strung: Vec<usize>,
    /// The rows after them, in the order of work.
    pub rows: Vec<Work>,
    /// Every passage of the needle, from the first bead strung to the last row's end.
    pub passes: Vec<Pass>,
    /// The passages that close the band: once across and once back; none on an open strip.
    pub seam: Vec<Pass>,
    /// The passages that weave in the working thread.
    pub thread_end: Vec<Pass>,
    /// The passages that weave in the tail at the stopper bead.
    pub tail_end: Vec<Pass>,
}

impl Weave {
    /// For each of the chart's `rows`, from row 1, whether it is worked towards higher columns;
    /// rows that are strung go the way of the first bead.
    pub fn directions(&self, rows: u32) -> Vec<bool> {
        let strung = self.passes.first().is_none_or(|pass| pass.forward);
        let mut forward = vec![strung; rows as usize];
        for row in &self.rows {
            if let Some(forward) = forward.get_mut(row.row.get() as usize - 1) {
                *forward = row.forward;
            }
        }
        forward
    }
}

/// The direction of each row where the work begins as usual; none where it cannot begin so.
pub fn usual_directions(lattice: &Lattice) -> Option<Vec<bool>> {
    let frame = Frame::usual(lattice, WorkFrom::default()).ok()?;
    Some(weave(lattice, frame).directions(lattice.rows()))
}

/// Plans the work on a band of this shape.
pub fn weave(lattice: &Lattice, frame: Frame) -> Weave {
    let mut plan = Plan::new(lattice, frame);
    plan.string();
    let rows: Vec<Work> = (3..=lattice.rows()).map(|row| plan.row(row)).collect();
    let strung = plan.passes[..lattice.columns() as usize]
        .iter()
        .map(|pass| pass.bead)
        .collect();
    let passes = std::mem::take(&mut plan.passes);
    if lattice.is_closed() {
        plan.zip();
    }
    let seam = std::mem::take(&mut plan.passes);
    let thread_end = plan.weave_in(plan.last_needle(), false);
    let tail_end = plan.weave_in(plan.tail_needle(), true);
    Weave {
        frame,
        strung,
        rows,
        passes,
        seam,
        thread_end,
        tail_end,
    }
}

impl Plan<'_> {
    /// Where the working thread comes out in the end.
    fn last_needle(&self) -> NeedlePlace {
        if self.lattice.is_closed() {
            return NeedlePlace {
                row: i64::from(self.rows) + 1,
                column: self.columns,
                forward: true,
            };
        }
        self.after_row(self.rows)
    }

    /// Where the thread comes out at the end of a row, its turn included.
    pub(super) fn after_row(&self, row: u32) -> NeedlePlace {
        let (odd_row, odd_count) = (row % 2 == 1, self.columns % 2 == 1);
        let row = i64::from(row);
        let (row, column, forward) = match () {
            () if row == 2 => (1, self.columns, true),
            // An even row ends at the right, in the edge bead below it.
            () if !odd_row => (row - 1, self.columns, true),
            // An odd one at the left: locked, the needle comes back through the new edge bead; or
            // ordinary, in the edge bead below.
            () if odd_count => (row, 1, true),
            () => (row - 1, 1, false),
        };
        NeedlePlace {
            row,
            column,
            forward,
        }
    }

    /// Where the tail hangs: before the first bead strung.
    fn tail_needle(&self) -> NeedlePlace {
        NeedlePlace {
            row: if self.fills(1, 1) { 1 } else { 2 },
            column: 1,
            forward: false,
        }
    }

    /// Rows 1 and 2 together, from the left.
    fn string(&mut self) {
        for column in 1..=self.columns {
            let row = if self.fills(1, column) { 1 } else { 2 };
            self.push(row, column, true, true, false);
        }
    }

    /// One row and its turn.
    fn row(&mut self, row: u32) -> Work {
        let start = self.passes.len();
        let forward = row.is_multiple_of(2);
        let mut columns: Vec<u32> = (1..=self.columns)
            .filter(|&column| self.fills(row, column))
            .collect();
        if !forward {
            columns.reverse();
        }
        let mut beads = Vec::with_capacity(columns.len());
        let hard = !forward && self.columns % 2 == 1;
        let odd_turn = self.frame.odd_turn();
        for &column in &columns {
            if hard && column == 1 && odd_turn == OddTurn::EdgeBead {
                beads.push(self.edge_bead(row));
                break;
            }
            self.push(row, column, forward, true, false);
            beads.push(self.passes[self.passes.len() - 1].bead);
            // On through the up bead beside it, but at the far edge there is none.
            let next = if forward { column + 1 } else { column - 1 };
            if (1..=self.columns).contains(&next) {
                self.pass(row - 1, next, forward);
            }
        }
        let turn = match odd_turn {
            _ if !hard && row == self.rows => Turn::End,
            _ if !hard => Turn::Ordinary,
            OddTurn::EdgeBead => Turn::EdgeBead,
            OddTurn::Bridge if row > 3 => self.bridge(row),
            OddTurn::Bridge | OddTurn::FigureEight => self.figure_eight(row),
        };
        Work {
            row: self.frame.place(row, columns[0]).0,
            forward: self.frame.forward(forward),
            beads,
            turn,
            passes: start..self.passes.len(),
        }
    }

    /// From the last bead of a row, left of the edge: out through the edge bead below and up the
    /// beadwork, back down below, and out through the new bead.
    fn figure_eight(&mut self, row: u32) -> Turn {
        self.pass(row - 2, 1, true);
        self.pass(row - 1, 2, true);
        self.pass(row, 3, true);
        self.pass(row - 2, 3, false);
        self.pass(row - 1, 2, false);
        self.pass(row - 2, 1, false);
        self.pass(row, 1, true);
        Turn::FigureEight
    }

    /// Out through the edge bead below the new one, back through the new one, and both once more:
    /// as a published tutorial has it. Returns the new bead.
    fn edge_bead(&mut self, row: u32) -> usize {
        self.pass(row - 2, 1, false);
        self.push(row, 1, true, true, false);
        self.pass(row - 2, 1, false);
        self.pass(row, 1, true);
        self.passes[self.passes.len() - 1].bead
    }

    /// Round the bridge between the two edge beads below, and back through the new bead.
    fn bridge(&mut self, row: u32) -> Turn {
        self.push(row, 1, true, false, true);
        Turn::Bridge
    }

    /// Across as if row 1 were the next row, then back through what stands beside it.
    fn zip(&mut self) {
        let (rows, columns) = (self.rows, self.columns);
        // Row N, even, is worked towards higher columns: it ends at the right.
        for column in (1..=columns).rev() {
            let row = if self.fills(1, column) { 1 } else { rows };
            self.pass(row, column, false);
        }
        // At the left: with an odd count the edge bead just passed belongs to row 1, with an even
        // one to row N.
        let edge = if self.fills(1, 1) { rows - 1 } else { 2 };
        self.pass(edge, 1, true);
        for column in 2..=columns {
            let row = if self.fills(1, column) { 1 } else { rows };
            self.pass(row, column, true);
        }
    }
}
