//! The charts of a set, before any is written.

use super::Sized;
use crate::chart::Chart;
use crate::chart::resize::{Grading, Planned};
use crate::error::Result;
use crate::ring::{Gauge, Source};
use crate::units::Mm;
use crate::warning::Warning;
use crate::weave::{Frame, Start, TAIL, Thread, lengths, weave};
use std::path::PathBuf;

/// Every chart of the sizes that are not left out; `file` names the file of a size.
///
/// # Errors
/// If a chart cannot be graded or woven.
pub fn set(
    grading: &Grading,
    planned: &[Planned],
    file: impl Fn(&str) -> PathBuf,
) -> Result<Vec<Sized>> {
    let mut sized = Vec::new();
    for planned in planned {
        let Some(closed) = &planned.taken else {
            continue;
        };
        let size = planned.size.to_string();
        let Some(chart) = grading.graded(closed.rows, &size)? else {
            continue;
        };
        sized.push(Sized {
            planned: planned.clone(),
            closed: closed.clone(),
            thread: thread(&chart)?,
            file: file(&size),
            chart,
        });
    }
    Ok(sized)
}

/// What to know about the gauge of a set.
pub fn about_gauge(mut notes: Vec<Warning>, gauge: &Gauge, chart: &Chart) -> Vec<Warning> {
    if matches!(gauge.source(), Source::Touching) {
        // Rows of each size stand in the table; the same count twice makes the note speak of the gauge alone.
        let rows = chart.lattice.rows();
        notes.push(Warning::NoGauge { rows: (rows, rows) });
    }
    notes
}

/// All of a chart's thread, sewn from the lower end with the usual thread.
/// All of a chart's thread, sewn from the lower end with the usual thread.
///
/// # Errors
/// If the work cannot begin there.
pub fn thread(chart: &Chart) -> Result<Mm> {
    let lattice = &chart.lattice;
    let hand = Frame::usual_hand(lattice, Start::Bottom);
    let work = weave(lattice, Frame::new(lattice, hand, Start::Bottom)?);
    Ok(lengths(lattice, &work, Thread::default(), TAIL).total())
}
