//! The rows for a ring size, and a gauge, for people.

use super::lines::paragraph;
use crate::report::fit::{ClosedReport, FitReport};
use crate::report::gauge::{GaugeReport, GaugeSourceReport, SourceKind};
use crate::ring::SAME;
use crate::units::{INCH, LengthUnits, Mm, decimals};
use crate::words::{shown, shown_path};
use std::fmt::Write;
use std::path::Path;

/// The rows as text: the count first, then its neighbours, the band, and what to know.
pub fn text(report: &FitReport) -> String {
    let units = report.units;
    let mut text = units.beside(&headline(report));
    text.push_str(&neighbours(report));
    let band = format!(
        "\nBand:     {} columns of {} beads, {} wide\n",
        report.columns,
        report.bead.name(),
        report.width_mm
    );
    text.push_str(&units.beside(&band));
    let remembered = report.remembered.as_deref();
    text.push_str(&measures(report.pitch_mm, &report.gauge, remembered, units));
    text.push('\n');
    for warning in &report.warnings {
        text.push_str(&paragraph("- ", &units.beside(warning.text())));
    }
    text
}

/// A gauge as text, where no size was asked for.
pub fn gauge(report: &GaugeReport, units: LengthUnits) -> String {
    let remembered = report.remembered.as_deref();
    format!(
        "Bead:     {}\n{}",
        report.bead.name(),
        measures(report.pitch_mm, &report.gauge, remembered, units)
    )
}

/// The spacing, what it was measured with, and the file that it is kept in.
fn measures(
    spacing: Mm,
    gauge: &GaugeSourceReport,
    remembered: Option<&Path>,
    units: LengthUnits,
) -> String {
    let from = match (gauge.source, &gauge.from) {
        (SourceKind::Assumed, _) | (_, None) => "none set, an average hand is assumed",
        (_, Some(from)) => from,
    };
    let from = shown(from);
    let spacing = format!("{} mm", decimals(spacing.get(), 3));
    let spacing = units.beside(&spacing);
    let text = format!("Spacing:  {spacing} from bead to bead\nGauge:    {from}\n");
    match gauge.file.as_deref().or(remembered) {
        Some(file) => text + &format!("Kept in:  {}\n", shown_path(file)),
        None => text,
    }
}

fn headline(report: &FitReport) -> String {
    let mut text = format!("{}: {} rows", report.size, report.rows);
    if let Some([loose, tight]) = report.rows_range {
        text.push_str(" for an average hand");
        if loose != tight {
            let _ = write!(text, "; from {loose} to {tight} rows, loose to tight");
        }
    }
    if let Some(chosen) = report.chosen() {
        let _ = writeln!(
            text,
            "\nInside {:.2} mm across, {}\n",
            hundredths(chosen.diameter_mm),
            compared(report, chosen)
        );
    }
    text
}

/// The difference as the printed hundredths show it.
fn compared(report: &FitReport, chosen: &ClosedReport) -> String {
    let wanted = hundredths(report.wanted_diameter_mm);
    let over = hundredths(chosen.diameter_mm) - wanted;
    let exact = (chosen.diameter_mm - report.wanted_diameter_mm).get().abs() <= SAME.get();
    if exact {
        "as wanted".to_string()
    } else if over > 0.0 {
        format!("{} more than the {wanted:.2} wanted", Mm::new(over))
    } else {
        format!("{} less than the {wanted:.2} wanted", Mm::new(-over))
    }
}

fn hundredths(diameter: Mm) -> f64 {
    (diameter.get() * 100.0).round() / 100.0
}

/// The table of neighbouring counts, the one that was taken marked.
fn neighbours(report: &FitReport) -> String {
    if report.rows_range.is_some() {
        return hands(report);
    }
    let (inside, around) = match report.units {
        LengthUnits::Mm => ("inside mm", "around mm"),
        LengthUnits::Inch => ("inside mm     in", "around mm     in"),
    };
    let mut text = format!("  rows  {inside}  {around}  US     UK       ISO  JP\n");
    for near in &report.near {
        let mark = if near.rows == report.rows { '>' } else { ' ' };
        let line = format!(
            "{mark} {:>4}  {}  {}  {:<5}  {:<7}  {:<3}  {}",
            near.rows,
            cell(hundredths(near.diameter_mm), report.units),
            cell(near.circumference_mm.get(), report.units),
            near.us.map_or("-".to_string(), |us| format!("{us:.2}")),
            near.uk.as_deref().unwrap_or("-"),
            near.iso,
            near.jp.map_or("-".to_string(), |jp| jp.to_string()),
        );
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

/// A length in a table, in millimetres, and in inches where those are wanted.
fn cell(mm: f64, units: LengthUnits) -> String {
    match units {
        LengthUnits::Mm => format!("{mm:>9.2}"),
        LengthUnits::Inch => format!("{mm:>9.2}  {:>5.3}", mm / INCH),
    }
}

/// Where no gauge is set: the same counts, and what each makes for three hands.
fn hands(report: &FitReport) -> String {
    let inside = match report.units {
        LengthUnits::Mm => "inside mm",
        LengthUnits::Inch => "inside mm     in",
    };
    let head = format!("{inside}  {:<9}", report.scale);
    let wide = head.len() + 2;
    let mut text = format!(
        "        {:<wide$}{:<wide$}loose hand\n  rows  {head}  {head}  {}\n",
        "tight hand",
        "average hand",
        head.trim_end()
    );
    for near in &report.near {
        let mark = if near.rows == report.rows { '>' } else { ' ' };
        let cells: Vec<String> = near
            .hands
            .iter()
            .flatten()
            .map(|hand| {
                let inside = cell(hundredths(hand.diameter_mm), report.units);
                format!("{inside}  {:<9}", hand.size)
            })
            .collect();
        let _ = writeln!(
            text,
            "{}",
            format!("{mark} {:>4}  {}", near.rows, cells.join("  ")).trim_end()
        );
    }
    text
}
