//! A chart's report as text.

use super::compare;
use super::palette::printable;
use super::warnings;
use crate::report::chart::{ChartReport, ColourCount, PositionReport};
use crate::units::{decimals, grouped};
use crate::words::shown;

/// Colours that the text lists; the others are summed up.
const SHOWN: usize = 16;

/// The summary for a person, without the warnings about the band.
pub fn text(report: &ChartReport) -> String {
    let name = shown(report.chart.as_deref().unwrap_or("chart"));
    let mut lines = vec![format!("{name}: {}", report.facts)];
    lines.extend(ring(report));
    if let Some(preview) = &report.preview {
        lines.push(format!("picture: {}", shown(preview)));
    }
    lines.extend(report.legible.as_ref().and_then(compare::worn));
    lines.push(colours(report));
    if let Some(refined) = &report.refined {
        lines.push(compare::change(refined));
    }
    lines.extend(report.position.as_ref().map(position));
    lines.extend(counts(&report.colours));
    lines.push(warnings(&report.warnings[report.about_band..]));
    lines.join("\n")
}

/// The warnings about the band.
pub fn about_band(report: &ChartReport) -> String {
    warnings(&report.warnings[..report.about_band])
}

fn ring(report: &ChartReport) -> Option<String> {
    let diameter = decimals(report.inside_diameter_mm?, 2);
    let labels = match (report.us, &report.iso) {
        (Some(us), Some(iso)) => format!(", US {}, ISO {iso}", decimals(us, 2)),
        _ => String::new(),
    };
    Some(format!(
        "ring: {diameter} mm inside{labels}; row {} zips to row 1",
        report.rows
    ))
}

fn colours(report: &ChartReport) -> String {
    let weaving = if report.picture.is_empty() {
        String::new()
    } else {
        format!(
            "; {}",
            compare::weaving(report.colour_changes, report.stray_beads)
        )
    };
    format!(
        "colours: {} of {} in {}{weaving}",
        report.colours.len(),
        report.palette_colours,
        printable(&report.palette),
    )
}

/// The most used colours, a line each.
pub(super) fn counts(colours: &[ColourCount]) -> Vec<String> {
    let mut counted: Vec<&ColourCount> = colours.iter().collect();
    counted.sort_by_key(|colour| std::cmp::Reverse(colour.beads));
    let most = counted
        .first()
        .map_or(0, |colour| grouped(colour.beads).len())
        + 2;
    let most_used = counted.iter().take(SHOWN);
    let mut lines: Vec<String> = most_used
        .map(|colour| format!("{:>most$}  {}", grouped(colour.beads), shown(&colour.name)))
        .collect();
    if counted.len() > SHOWN {
        let rest: usize = counted[SHOWN..].iter().map(|colour| colour.beads).sum();
        lines.push(format!(
            "{:>most$}  in {} more colours",
            grouped(rest),
            counted.len() - SHOWN,
        ));
    }
    lines
}

/// A motif's size and place, in a line.
fn position(motif: &PositionReport) -> String {
    let moves = [
        (motif.across_mm, "right of", "left of"),
        (motif.along_mm, "above", "below"),
    ];
    let moved: Vec<String> = moves
        .into_iter()
        .filter(|(by, ..)| *by != 0.0)
        .map(|(by, more, less)| {
            let direction = if by > 0.0 { more } else { less };
            format!("{} mm {direction}", decimals(by.abs(), 2))
        })
        .collect();
    let place = if moved.is_empty() {
        "in the centre".to_string()
    } else {
        format!("{} centre", moved.join(" and "))
    };
    let size = if motif.scale == 1.0 {
        "as large as fits".to_string()
    } else {
        format!("{} of the largest that fits", decimals(motif.scale, 4))
    };
    let [width, height] = [motif.width_mm, motif.height_mm].map(|side| decimals(side, 1));
    format!("motif: {width} × {height} mm, {size}, {place}")
}
