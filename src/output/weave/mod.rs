//! The weaving guide: the rows as a weaver says them, as text, as Markdown and as JSON.
//!
//! A [`Guide`] holds all that is said, in words; [`text`] and [`markdown`] only set it. [`page()`] shows
//! one row at a time in a browser and keeps the place. [`json`] is for programs: numbers in place of words, as [`crate::weave::SCHEMA`] describes them.

mod care;
mod ends;
mod guide;
mod json;
mod markdown;
mod names;
mod page;
mod runs;
mod text;
mod turns;

pub use guide::{Guide, Section, Step, Strung, guide};
pub use json::json;
pub use markdown::markdown;
pub use names::{KeyLine, Keys};
pub use page::page;
pub use runs::{Run, runs};
pub use text::text;

use crate::chart::Chart;
use crate::lattice::{Column, Row};
use crate::weave::{Lengths, Pass, Start, Weave};

/// What a guide is about.
#[derive(Debug, Clone, Copy)]
pub struct Work<'a> {
    /// The band.
    pub chart: &'a Chart,
    /// How it is woven.
    pub weave: &'a Weave,
    /// The thread that this takes.
    pub lengths: &'a Lengths,
    /// What the chart's file is called; said where the chart has no title.
    pub file: Option<&'a str>,
    /// The first and the last of the chart's rows that are told; none is all of them.
    pub rows: Option<(Row, Row)>,
    /// What colours are called; none leaves it to their names.
    pub keys: Option<Keys>,
}

impl Work<'_> {
    /// Whether a row is told.
    fn tells(&self, row: Row) -> bool {
        self.rows
            .is_none_or(|(first, last)| (first..=last).contains(&row))
    }

    fn place(&self, pass: &Pass) -> (Row, Column) {
        self.chart.lattice.position(pass.bead)
    }

    fn row_of(&self, bead: usize) -> u32 {
        self.chart.lattice.position(bead).0.get()
    }

    /// Whether the needle leaves the band with this pass.
    fn leaves(&self, pass: &Pass) -> bool {
        let edge = match pass.forward {
            true => self.chart.lattice.columns(),
            false => 1,
        };
        self.place(pass).1.get() == edge
    }

    /// Where the rows that are woven already lie in the chart, and where the work grows: `below` and `up`, or `above` and `down`.
    fn before_and_on(&self) -> (&'static str, &'static str) {
        match self.weave.frame.start() {
            Start::Bottom => ("below", "up"),
            Start::Top => ("above", "down"),
        }
    }
}

/// The side that the needle goes to.
fn side(forward: bool) -> &'static str {
    if forward { "right" } else { "left" }
}

/// `1, 2 and 3`.
fn listed(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
