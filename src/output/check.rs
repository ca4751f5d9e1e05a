//! What would make a weaver curse, for people and as JSON.

mod json;
mod words;

pub use json::json;

use super::lines::paragraph;
use super::palette::printable;
use crate::chart::Chart;
use crate::palette::Palette;
use crate::scene::facts;
use crate::units::grouped;
use crate::weave::check::Finding;
use std::path::Path;

/// Findings of one kind that the text tells one by one.
const SHOWN: usize = 6;

/// A chart and what was found in it.
#[derive(Debug, Clone, Copy)]
pub struct Checked<'a> {
    /// The chart's file; `-` is standard input.
    pub file: &'a Path,
    /// The chart.
    pub chart: &'a Chart,
    /// The owner's palette, if it was checked.
    pub palette: Option<&'a Palette>,
    /// What was found.
    pub findings: &'a [Finding],
}

impl Checked<'_> {
    fn name(&self) -> String {
        match self.file.to_str() {
            Some("-") => "standard input".to_string(),
            _ => printable(&self.file.to_string_lossy()),
        }
    }
}

/// The findings as text: each with its place, and below it what to do. Of many of one kind the first six are told.
pub fn text(checked: &Checked) -> String {
    let name = checked.name();
    let count = match checked.findings.len() {
        0 => return format!("{name}: nothing found\n"),
        1 => "1 finding".to_string(),
        many => format!("{} findings", grouped(many)),
    };
    let mut text = format!("{name}: {count}\n{}\n\n", facts(checked.chart));
    for same in checked
        .findings
        .chunk_by(|one, other| kind(one) == kind(other))
    {
        for finding in same.iter().take(SHOWN) {
            text += &paragraph("- ", &words::text(checked, finding));
            text += &paragraph("  hint: ", &words::hint(checked, finding));
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

/// The word of a finding's kind in JSON.
fn kind(finding: &Finding) -> &'static str {
    match finding {
        Finding::Seam { .. } => "seam",
        Finding::Alike(_) => "alike",
        Finding::Few { .. } => "few",
        Finding::Alone { .. } => "alone",
        Finding::Busy { .. } => "busy",
        Finding::Short { .. } => "short",
        Finding::NotOwned(_) => "not-owned",
        Finding::Long { .. } => "thread",
        Finding::Full { .. } => "holes",
    }
}
