//! Where the work begins: which edge the stopper bead is at, and from which end.
//!
//! Passes are planned once, for a weaver who strings from the left and works upwards; a [`Frame`]
//! lays that plan onto the chart. In the plan the last bead strung, in column `W`, belongs to the
//! outermost row, so that the first new bead stands on it: planned row `w` fills the columns `c`
//! with `c + w + W` odd. A frame suits a chart if beads fall on beads.

use crate::error::{Error, Result};
use crate::lattice::{Column, Lattice, Row};

/// Which edge the stopper bead is at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hand {
    /// The left one: the first rows are strung from left to right.
    Left,
    /// The right one.
    Right,
}

/// Which end of the chart is woven first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Start {
    /// Row 1.
    Bottom,
    /// The upper end.
    Top,
}

/// How planned rows and columns lie on the chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Frame {
    rows: u32,
    columns: u32,
    closed: bool,
    hand: Hand,
    start: Start,
    /// Rows further on that a closed band begins, 0 or 1.
    shift: u32,
}

impl Frame {
    /// The frame for a hand and a start.
    ///
    /// An odd number of columns suits either hand. With an even number the edge is settled by the
    /// outermost row; a closed band may begin a row further on instead, since it has no first row.
    ///
    /// # Errors
    /// If an open strip cannot be begun so; what can be done is named.
    pub fn new(lattice: &Lattice, hand: Hand, start: Start) -> Result<Self> {
        Self::fitting(lattice, hand, start).ok_or_else(|| refused(lattice, hand, start))
    }

    fn fitting(lattice: &Lattice, hand: Hand, start: Start) -> Option<Self> {
        let at = |shift| Self {
            rows: lattice.rows(),
            columns: lattice.columns(),
            closed: lattice.is_closed(),
            hand,
            start,
            shift,
        };
        let fits = |frame: &Self| {
            let (row, column) = frame.place(1, lattice.columns());
            lattice.index(row, column).is_some()
        };
        (0..=u32::from(lattice.is_closed())).map(at).find(fits)
    }

    /// The hand that suits the chart with this start: the left, unless only the right does.
    pub fn usual_hand(lattice: &Lattice, start: Start) -> Hand {
        match Self::fitting(lattice, Hand::Left, start) {
            Some(frame) if frame.shift == 0 => Hand::Left,
            _ if Self::fitting(lattice, Hand::Right, start).is_some() => Hand::Right,
            _ => Hand::Left,
        }
    }

    /// Which edge the stopper bead is at.
    pub fn hand(&self) -> Hand {
        self.hand
    }

    /// Which end of the chart is woven first.
    pub fn start(&self) -> Start {
        self.start
    }

    /// The chart's row and column of a planned bead.
    pub fn place(&self, row: u32, column: u32) -> (Row, Column) {
        let (rows, row) = (i64::from(self.rows), i64::from(row + self.shift));
        let row = match self.start {
            Start::Bottom => row,
            Start::Top => rows + 1 - row,
        };
        let row = if self.closed {
            (row - 1).rem_euclid(rows) + 1
        } else {
            row
        };
        let column = match self.hand {
            Hand::Left => column,
            Hand::Right => self.columns + 1 - column,
        };
        (Row::new(row as u32), Column::new(column))
    }

    /// Whether a planned pass to higher columns goes to higher columns on the chart too.
    pub fn forward(&self, planned: bool) -> bool {
        planned == (self.hand == Hand::Left)
    }
}

fn refused(lattice: &Lattice, hand: Hand, start: Start) -> Error {
    let other_hand = match hand {
        Hand::Left => (Hand::Right, "[--start right]"),
        Hand::Right => (Hand::Left, "[--start left]"),
    };
    let other_start = match start {
        Start::Bottom => (Start::Top, "[--from top]"),
        Start::Top => (Start::Bottom, "[--from bottom]"),
    };
    let ways = [
        (other_hand.0, start, other_hand.1),
        (hand, other_start.0, other_start.1),
    ];
    let can: Vec<&str> = ways
        .into_iter()
        .filter(|&(hand, start, _)| Frame::fitting(lattice, hand, start).is_some())
        .map(|(_, _, words)| words)
        .collect();
    let error = Error::usage(
        "this strip cannot be begun at that corner: the first new bead would have nothing to stand on",
    );
    if can.is_empty() {
        error.hint("turn the chart, or add or take away one row")
    } else {
        error.hint(format!("use {}", can.join(" or ")))
    }
}
