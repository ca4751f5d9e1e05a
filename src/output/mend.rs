//! What a command changed in a finished chart, as text.

use super::palette::{aligned, printable};
use crate::report::mend::{MendColourReport, MendReport};
use crate::units::grouped;
use crate::words::shown;

/// For a person: how many beads changed, and the colours whose counts differ now.
pub fn text(report: &MendReport) -> String {
    let file = shown(report.chart.as_deref().unwrap_or("chart"));
    let changed = match (report.changed, report.beads) {
        (0, _) => "no bead changed".to_string(),
        (changed, beads) => format!("{} of {} beads changed", grouped(changed), grouped(beads)),
    };
    let rows = match (report.rows_before, report.rows) {
        (before, after) if before == after => String::new(),
        (before, after) => format!("; rows: {before} before, {after} after"),
    };
    let mut text = format!("{file}: {changed}{rows}\n");
    let colours = report.colours.iter();
    let differ: Vec<&MendColourReport> = colours.filter(|one| one.before != one.after).collect();
    if differ.is_empty() {
        return text;
    }
    text.push('\n');
    for line in table(&differ) {
        text += &line;
        text.push('\n');
    }
    text
}

fn table(colours: &[&MendColourReport]) -> Vec<String> {
    let of = |head: &str, cell: &dyn Fn(&MendColourReport) -> String| -> Vec<String> {
        let cells = colours.iter().map(|one| cell(one));
        std::iter::once(head.to_string()).chain(cells).collect()
    };
    aligned(vec![
        (false, of("code", &|one| printable(&one.code))),
        (false, of("name", &|one| printable(&one.name))),
        (true, of("before", &|one| grouped(one.before))),
        (true, of("after", &|one| grouped(one.after))),
    ])
}
