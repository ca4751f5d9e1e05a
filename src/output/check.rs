//! What was found in a chart, as text.

use super::lines::paragraph;
use super::palette::printable;
use crate::report::check::CheckReport;
use crate::units::grouped;
use std::path::Path;

/// Findings of one kind that the text tells one by one.
const SHOWN: usize = 6;

/// The findings as text: each with its place, and below it what to do. Of many of one kind the
/// first six are written. `file` is the chart's; `-` is standard input.
pub fn text(report: &CheckReport, file: &Path) -> String {
    let name = match file.to_str() {
        Some("-") => "standard input".to_string(),
        _ => printable(&file.to_string_lossy()),
    };
    let count = match report.findings.len() {
        0 => return format!("{name}: No problems found.\n"),
        1 => "1 finding".to_string(),
        many => format!("{} findings", grouped(many)),
    };
    let mut text = format!("{name}: {count}\n{}\n\n", report.facts);
    for same in report
        .findings
        .chunk_by(|one, other| one.kind == other.kind)
    {
        for finding in same.iter().take(SHOWN) {
            text += &paragraph("- ", &finding.text);
            text += &paragraph("  hint: ", &finding.hint);
        }
        if same.len() > SHOWN {
            let more = grouped(same.len() - SHOWN);
            text += &paragraph(
                "- ",
                &format!("and {more} more like these; --json lists them"),
            );
        }
    }
    text
}
