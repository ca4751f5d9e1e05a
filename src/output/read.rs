//! What was read from a table, rows in words or a picture, as text.

use super::chart::counts;
use super::palette::printable;
use super::warnings;
use crate::report::read::{AlternativeReport, DoubtReport, ReadReport};
use crate::units::{decimals, grouped};
use crate::words::shown;

/// Doubtful beads that the text lists.
const LISTED: usize = 12;

/// The summary for a person.
pub fn text(report: &ReadReport) -> String {
    let name = shown(report.chart.as_deref().unwrap_or("chart"));
    let mut lines = vec![
        format!("{name}: {}", report.facts),
        format!("read as {}; {}", report.as_kind, report.seam),
        format!(
            "colours: {} of {} in {}",
            report.colours.len(),
            report.palette_colours,
            printable(&report.palette)
        ),
    ];
    lines.extend(counts(&report.colours));
    lines.extend(doubtful(&report.doubtful));
    lines.extend(passed_over(report.lines_passed_over));
    lines.join("\n") + "\n" + &warnings(&report.warnings)
}

/// Lines without a row, if there are any.
fn passed_over(count: usize) -> Option<String> {
    let lines = match count {
        0 => return None,
        1 => "1 line is".to_string(),
        count => format!("{} lines are", grouped(count)),
    };
    Some(format!(
        "note: {lines} passed over, since no row begins there"
    ))
}

/// Beads that may be of another colour, with both.
fn doubtful(doubts: &[DoubtReport]) -> Vec<String> {
    let beads = match doubts.len() {
        0 => return Vec::new(),
        1 => "1 bead is".to_string(),
        count => format!("{} beads are", grouped(count)),
    };
    let mut lines = vec![format!(
        "note: {beads} doubtful; compare them with the picture (row:column)"
    )];
    let colour = |one: &AlternativeReport| {
        format!("{} ({})", printable(&one.name), decimals(one.difference, 1))
    };
    lines.extend(doubts.iter().take(LISTED).map(|doubt| {
        let place = format!("{}:{}", doubt.row, doubt.column);
        let (chosen, other) = (colour(&doubt.chosen), colour(&doubt.other));
        format!("  {place:<7} {chosen}, or {other}")
    }));
    if doubts.len() > LISTED {
        let more = grouped(doubts.len() - LISTED);
        lines.push(format!("  and {more} more; --json lists them"));
    }
    lines
}
