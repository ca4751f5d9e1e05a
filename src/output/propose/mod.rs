//! Several ways to chart a picture, as text and as one picture.

#[cfg(feature = "render")]
mod sheet;

#[cfg(feature = "render")]
pub use sheet::sheet;

use super::chart;
use super::compare::{counted, worn};
use super::palette::printable;
use crate::pipeline::DIFFERENT;
use crate::report::chart::ChartReport;
use crate::report::propose::{ProposalReport, ProposeReport};
use crate::units::grouped;
use crate::words::shown;

/// Colours of a proposal that the text names; the others are summed up.
const NAMED: usize = 6;

/// For a person: a paragraph for each way, then what to do next.
pub fn text(report: &ProposeReport) -> String {
    let Some(first) = report.proposals.first() else {
        return String::new();
    };
    let count = report.proposals.len();
    let mut text = format!(
        "{}: {} to chart it\n",
        printable(&report.picture),
        counted(count, "way", "ways")
    );
    if let Some(sheet) = &report.sheet {
        text += &format!("picture: {}\n", shown(sheet));
    }
    for one in &report.proposals {
        text += &format!("\n{}", proposal(one, first));
    }
    text += "\nnote: --take NUMBER -o FILE writes the chart of one of them\n";
    if report.few {
        text += &few();
    }
    text + &chart::about_band(&first.summary)
}

/// Why there are few.
fn few() -> String {
    format!(
        "note: other ways change fewer than {:.0} in 100 beads, or cannot be made on this band\n",
        DIFFERENT * 100.0
    )
}

fn proposal(one: &ProposalReport, first: &ProposalReport) -> String {
    let mut lines = vec![format!(
        "{}  {}: {}",
        one.number,
        shown(&one.name),
        shown(&one.description)
    )];
    let summary = &one.summary;
    if summary.facts != first.summary.facts || one.number == 1 {
        lines.push(format!("   {}", summary.facts));
    }
    lines.push(format!("   {}", colours(summary)));
    lines.push(format!("   {}", figures(one).join(", ")));
    let legible = summary.legible.as_ref().and_then(worn);
    lines.extend(legible.map(|line| format!("   {line}")));
    lines.extend(one.remarks().map(|one| format!("   note: {}", one.text())));
    lines.push(format!("   {}", shown(&one.command)));
    lines.join("\n") + "\n"
}

/// The colours with their beads, the most used first.
fn colours(summary: &ChartReport) -> String {
    let mut used: Vec<_> = summary.colours.iter().filter(|one| one.beads > 0).collect();
    used.sort_by_key(|one| std::cmp::Reverse(one.beads));
    let named = used.iter().take(NAMED);
    let mut words: Vec<String> = named
        .map(|one| format!("{} {}", grouped(one.beads), printable(&one.name)))
        .collect();
    if used.len() > NAMED {
        let rest: usize = used[NAMED..].iter().map(|one| one.beads).sum();
        let more = counted(used.len() - NAMED, "more colour", "more colours");
        words.push(format!("{} in {more}", grouped(rest)));
    }
    words.join(", ")
}

/// Colours, stray beads and colour changes.
fn figures(one: &ProposalReport) -> [String; 3] {
    let used = one.summary.colours.iter().filter(|one| one.beads > 0);
    [
        counted(used.count(), "colour", "colours"),
        counted(one.summary.stray_beads, "stray bead", "stray beads"),
        counted(
            one.summary.colour_changes,
            "colour change",
            "colour changes",
        ),
    ]
}
