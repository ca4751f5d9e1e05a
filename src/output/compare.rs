//! How well a chart matches its picture, as text.

use super::palette::printable;
use super::warnings;
use crate::report::chart::BeforeAfter;
use crate::report::compare::{CompareReport, Legible, ReadsReport, StandingReport};
use crate::units::{Mm, grouped};
use crate::vision::WORN;
use crate::vision::contrast::RANGE;

fn name(path: &str) -> String {
    match path {
        "-" => "standard input".to_string(),
        _ => printable(path),
    }
}

/// The figures as a table.
pub fn text(report: &CompareReport) -> String {
    let measure = &report.measure;
    let mut text = format!(
        "{} beside {}\n{}\n\ndifference from the picture    mean  95 of 100 up to\n",
        name(&report.chart),
        name(&report.picture),
        report.facts
    );
    for seen in &measure.seen {
        let what = format!("seen from {}", Mm::new(seen.distance_mm));
        text += &format!("{what:<29}{:>6.1}{:>18.1}\n", seen.mean, seen.p95);
    }
    let (what, beads) = ("bead by bead, unfiltered", &measure.beads);
    text += &format!("{what:<29}{:>6.1}{:>18.1}\n\n", beads.mean, beads.p95);
    text += &format!("{}\n", weaving(measure.colour_changes, measure.stray_beads));
    text += &report.legible.as_ref().map_or(String::new(), table);
    text + &warnings(&report.warnings)
}

/// The motif beside its ground, a line a distance.
fn table(legible: &Legible) -> String {
    let name = printable(&legible.name);
    let mut text = format!("\nmotif on {name}, as the eye sees it\n");
    for standing in &legible.seen {
        let what = format!("seen from {}", Mm::new(standing.distance_mm));
        text += &format!(
            "{what:<19}{:<14}difference {:.1}, contrast {:.1} to 1\n",
            reads(standing),
            standing.difference,
            standing.contrast
        );
    }
    text + &format!("{}\n", lost(legible))
}

/// How a motif reads, in words.
fn reads(standing: &StandingReport) -> &'static str {
    match standing.reads {
        ReadsReport::Well => "reads well",
        ReadsReport::LowContrast => "low contrast",
        ReadsReport::Lost => "is lost",
    }
}

/// From where a motif is lost.
fn lost(legible: &Legible) -> String {
    match legible.lost_mm {
        None => "still visible at 20 m".to_string(),
        Some(nearest) if nearest == RANGE.0.rounded() => "lost from any distance".to_string(),
        Some(distance) => format!("lost from {:.1} m", distance / 1000.0),
    }
}

/// How a motif reads when worn, in a few words.
pub fn reads_when_worn(legible: &Legible) -> Option<String> {
    let mut seen = legible.seen.iter();
    let worn = seen.find(|one| one.distance_mm == WORN.rounded())?;
    Some(format!("{} when worn", reads(worn)))
}

/// How a motif reads when worn, in a line.
pub fn worn(legible: &Legible) -> Option<String> {
    let mut seen = legible.seen.iter();
    let worn = seen.find(|one| one.distance_mm == WORN.rounded())?;
    Some(format!(
        "motif on {}: {} when worn (difference {:.1}, contrast {:.1} to 1 at {}); {}",
        printable(&legible.name),
        reads(worn),
        worn.difference,
        worn.contrast,
        WORN,
        lost(legible)
    ))
}

/// What there is to change while weaving.
pub fn weaving(changes: usize, stray: usize) -> String {
    format!(
        "{} within the rows, {}",
        counted(changes, "colour change", "colour changes"),
        counted(stray, "stray bead", "stray beads")
    )
}

/// A count with its noun.
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{} {}", grouped(count), if count == 1 { one } else { many })
}

/// What improving the band changed, in two lines.
pub fn change(refined: &BeforeAfter) -> String {
    let (before, after) = (&refined.before, &refined.after);
    let both = before.seen.iter().zip(&after.seen);
    let seen: Vec<String> = both
        .map(|(one, two)| {
            let distance = Mm::new(one.distance_mm);
            format!(
                "{:.1} before, {:.1} after at {distance}",
                one.mean, two.mean
            )
        })
        .collect();
    format!(
        "as the eye sees it: difference {}\n\
         before: {}",
        seen.join("; "),
        weaving(before.colour_changes, before.stray_beads)
    )
}
