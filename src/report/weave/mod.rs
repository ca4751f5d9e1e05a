//! The weaving guide: rows, passes and thread in numbers, and all that is said beside them in
//! words, for text, Markdown, JSON, the follow-along page and the booklet alike.
//!
//! [`WovenBand`] is a chart and how it is woven; [`WeaveReport`] is read off it once.

mod alike;
mod begin;
mod care;
mod ends;
mod join;
mod names;
mod report;
mod runs;
mod try_on;
mod turns;
mod units;
mod words;

pub use alike::{Repeated, RowsLine};
pub use begin::{FLIPPED, TurnedOver};
pub use names::KeyLine;
pub use report::{
    BandReport, ColourReport, HolesReport, JoinReport, PassLines, PassReport, RowReport, Side,
    ThreadReport, TurnKind, WeaveReport,
};
pub use runs::{Run, runs};
pub use try_on::{PlainRowsReport, TryOnReport};
pub use words::{Begin, CLOSE, Guide, JOIN, Section, TRY_ON, WEAVE_IN};

use crate::chart::Chart;
use crate::error::Result;
use crate::lattice::{Column, Row};
use crate::report::kit::{check_odd_turn, check_thread, thread};
use crate::request::{Keys, WeaveRequest, WorkFrom};
use crate::units::LengthUnits;
use crate::weave::{
    Frame, JoinPasses, Lengths, Pass, TAIL, Weave, holes, join_passes, lengths, weave,
};

/// A chart and how it is woven.
#[derive(Debug, Clone)]
pub struct WovenBand<'a> {
    /// The chart.
    pub chart: &'a Chart,
    /// The passes of the needle.
    pub weave: Weave,
    /// The thread that they take.
    pub lengths: Lengths,
    /// What the work is called where the chart has no title.
    pub name: Option<&'a str>,
    /// The first and the last of the chart's rows that are written; none is all of them.
    pub rows: Option<(Row, Row)>,
    /// What colours are called; none leaves it to their names.
    pub keys: Option<Keys>,
    /// What lengths are written in.
    pub units: LengthUnits,
}

impl<'a> WovenBand<'a> {
    /// Weaves `chart` as requested.
    ///
    /// # Errors
    /// If it cannot begin at that edge, does not have those rows, the thread is too thick, or an
    /// even count has no such turn.
    pub fn new(chart: &'a Chart, request: &WeaveRequest, name: Option<&'a str>) -> Result<Self> {
        let lattice = &chart.lattice;
        let span = request.rows.rows.map(|span| span.within(lattice));
        let from = request.work.from.unwrap_or_default();
        let frame = match request.work.start {
            Some(start) => Frame::new(lattice, start, from)?,
            None => Frame::usual(lattice, from)?,
        };
        let frame = frame.with_turn(request.thread.odd_turn.unwrap_or_default());
        check_thread(chart, request.thread.thread)?;
        check_odd_turn(chart, request.thread.odd_turn)?;
        let tail = request.thread.tail.map_or(TAIL, |tail| tail.0);
        let weave = weave(lattice, frame);
        Ok(Self {
            chart,
            lengths: lengths(lattice, &weave, thread(request.thread.thread), tail),
            weave,
            name,
            rows: span.transpose()?,
            keys: request.work.keys,
            units: request.units.units(),
        })
    }

    /// The joins: the places in the rows of the weave after which a new thread begins, with the
    /// passes of both ends; none where there is no beadwork for them.
    pub fn joins(&self) -> Vec<(usize, Option<JoinPasses>)> {
        let passes = |after| join_passes(&self.chart.lattice, self.weave.frame, after);
        let joins = self.lengths.joined_after().iter();
        joins.map(|&after| (after, passes(after))).collect()
    }

    /// Passes through each bead, joins included.
    fn holes(&self) -> Vec<u16> {
        holes(
            &self.chart.lattice,
            &self.weave,
            self.lengths.joined_after(),
        )
    }

    /// Whether a row is written.
    pub fn has_row(&self, row: Row) -> bool {
        self.rows
            .is_none_or(|(first, last)| (first..=last).contains(&row))
    }

    /// The chart's row of a bead.
    pub fn row_of(&self, bead: usize) -> u32 {
        self.chart.lattice.position(bead).0.get()
    }

    fn place(&self, pass: &Pass) -> (Row, Column) {
        self.chart.lattice.position(pass.bead)
    }

    /// Whether the needle leaves the band with this pass.
    fn leaves(&self, pass: &Pass) -> bool {
        let edge = if pass.forward {
            self.chart.lattice.columns()
        } else {
            1
        };
        self.place(pass).1.get() == edge
    }

    /// Where the rows that are woven already lie in the chart, and where the work grows: `below`
    /// and `up`, or `above` and `down`.
    fn before_and_on(&self) -> (&'static str, &'static str) {
        match self.weave.frame.work_from() {
            WorkFrom::Bottom => ("below", "up"),
            WorkFrom::Top => ("above", "down"),
        }
    }
}

/// `1, 2 and 3`.
fn listed(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
