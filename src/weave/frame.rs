//! Where the work begins: the edge of the stopper bead, and the end that is woven first.
//!
//! Passes are planned once, for a weaver who strings from the left and works upwards; a [`Frame`]
//! lays that plan onto the chart. In the plan the last bead strung, in column `W`, belongs to the
//! outermost row, so that the first new bead stands on it: planned row `w` fills the columns `c`
//! with `c + w + W` odd. A frame fits a chart if beads fall on beads.

use crate::error::{Error, Result};
use crate::lattice::{Column, Lattice, Row};
use crate::request::{OddTurn, Start, WorkFrom};

/// How planned rows and columns lie on the chart, and how an odd count turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Frame {
    rows: u32,
    columns: u32,
    closed: bool,
    start: Start,
    from: WorkFrom,
    /// Rows further on that a closed band begins, 0 or 1.
    shift: u32,
    odd_turn: OddTurn,
}

impl Frame {
    /// The frame for an edge and an end.
    ///
    /// An odd number of columns can start at either edge. With an even number the edge is settled
    /// by the outermost row; a closed band may begin a row further on instead, since it has no
    /// first row.
    ///
    /// # Errors
    /// If an open strip cannot be started there; the hint names what can be done.
    pub fn new(lattice: &Lattice, start: Start, from: WorkFrom) -> Result<Self> {
        Self::fitting(lattice, start, from).ok_or_else(|| refused(lattice, start, from))
    }

    fn fitting(lattice: &Lattice, start: Start, from: WorkFrom) -> Option<Self> {
        let at = |shift| Self {
            rows: lattice.rows(),
            columns: lattice.columns(),
            closed: lattice.is_closed(),
            start,
            from,
            shift,
            odd_turn: OddTurn::default(),
        };
        let fits = |frame: &Self| {
            let (row, column) = frame.place(1, lattice.columns());
            lattice.index(row, column).is_some()
        };
        (0..=u32::from(lattice.is_closed())).map(at).find(fits)
    }

    /// The usual frame for an end: from the left edge, or from the right where a closed band would
    /// have to begin a row further on, or an open strip can only begin there.
    ///
    /// # Errors
    /// If an open strip cannot be started at this end.
    pub fn usual(lattice: &Lattice, from: WorkFrom) -> Result<Self> {
        let left = Self::fitting(lattice, Start::Left, from);
        if let Some(frame) = left
            && frame.shift == 0
        {
            return Ok(frame);
        }
        Self::fitting(lattice, Start::Right, from)
            .or(left)
            .ok_or_else(|| refused(lattice, Start::Left, from))
    }

    /// The same, with another turn where an odd count asks for one.
    pub fn with_turn(self, odd_turn: OddTurn) -> Self {
        Self { odd_turn, ..self }
    }

    /// How an odd count turns where the new edge bead has no bead to go into.
    pub fn odd_turn(&self) -> OddTurn {
        self.odd_turn
    }

    /// Which edge the stopper bead is at.
    pub fn start(&self) -> Start {
        self.start
    }

    /// Which end of the chart is woven first.
    pub fn work_from(&self) -> WorkFrom {
        self.from
    }

    /// The chart's row and column of a planned bead.
    pub fn place(&self, row: u32, column: u32) -> (Row, Column) {
        let (rows, row) = (i64::from(self.rows), i64::from(row + self.shift));
        let row = match self.from {
            WorkFrom::Bottom => row,
            WorkFrom::Top => rows + 1 - row,
        };
        let row = if self.closed {
            (row - 1).rem_euclid(rows) + 1
        } else {
            row
        };
        let column = match self.start {
            Start::Left => column,
            Start::Right => self.columns + 1 - column,
        };
        (Row::new(row as u32), Column::new(column))
    }

    /// Whether a planned pass to higher columns goes to higher columns on the chart too.
    pub fn forward(&self, planned: bool) -> bool {
        planned == (self.start == Start::Left)
    }
}

fn refused(lattice: &Lattice, start: Start, from: WorkFrom) -> Error {
    let (other_start, start_option) = match start {
        Start::Left => (Start::Right, "[--start right]"),
        Start::Right => (Start::Left, "[--start left]"),
    };
    let (other_from, from_option) = match from {
        WorkFrom::Bottom => (WorkFrom::Top, "[--from top]"),
        WorkFrom::Top => (WorkFrom::Bottom, "[--from bottom]"),
    };
    let accepted: Vec<&str> = [
        (other_start, from, start_option),
        (start, other_from, from_option),
    ]
    .into_iter()
    .filter(|&(start, from, _)| Frame::fitting(lattice, start, from).is_some())
    .map(|(_, _, option)| option)
    .collect();
    let error = Error::usage(
        "this strip cannot be started at that corner: the first new bead would have no bead below \
         it",
    );
    if accepted.is_empty() {
        error.hint("rotate the chart, or add or remove one row")
    } else {
        error.hint(format!("use {}", accepted.join(" or ")))
    }
}
