//! A design in other sizes: a table of them, for people.

use super::palette::{aligned, printable};
use crate::report::resize::{ResizeReport, SizedReport, StretchReport};
use crate::units::{INCH, LengthUnits, grouped, metres_to_cut, yards_to_cut};
use crate::warning::Warning;
use std::path::Path;

/// Width of a line of text, in characters.
const LINE: usize = 78;

/// The sizes as text: where rows are added or removed, a column for each size, where the charts
/// are, and what to know. Nothing where there is no chart.
pub fn text(report: &ResizeReport) -> String {
    if report.sizes.is_empty() {
        return String::new();
    }
    let mut text = format!("{}: {}\n", name(&report.file), design(report));
    for part in parts(report) {
        text.push('\n');
        for line in aligned(columns(report, part, LengthUnits::Mm)) {
            text += &format!("{line}\n");
        }
    }
    text += "\nweave from the rows of this chart:\n";
    for line in aligned(instructions(report)) {
        text += &format!("  {line}\n");
    }
    for size in &report.left_out {
        text += &format!("left out: {}\n", size.reason);
    }
    if let [first, .., last] = &report.sizes[..] {
        text += &format!(
            "\n{} charts: {} to {}\n",
            report.sizes.len(),
            printable(&first.file.to_string_lossy()),
            short_name(&last.file)
        );
    } else if let [only] = &report.sizes[..] {
        text += &format!("\n1 chart: {}\n", printable(&only.file.to_string_lossy()));
    }
    for warning in &report.warnings {
        let star = if is_starred(warning.warning()) {
            "* "
        } else {
            ""
        };
        text += &format!("note: {star}{}\n", warning.text());
    }
    text
}

/// Each size, its rows, and which rows of the design make them.
fn instructions(report: &ResizeReport) -> Vec<(bool, Vec<String>)> {
    let column = |cell: fn(&SizedReport) -> String| report.sizes.iter().map(cell).collect();
    vec![
        (false, column(|size| size.size.clone())),
        (true, column(|size| format!("{} rows:", size.rows))),
        (false, column(|size| size.weave.clone())),
    ]
}

/// For the reader of a booklet, who has one chart: `For us8 weave rows 1 to 72, then 2 more plain
/// rows`.
#[cfg(feature = "pdf")]
pub(super) fn sentences(report: &ResizeReport) -> impl Iterator<Item = String> + use<'_> {
    let sizes = report.sizes.iter();
    sizes.map(|size| format!("For {} weave {}.", size.size, size.weave))
}

/// What to know about the sizes in the table, and nothing else.
#[cfg(feature = "pdf")]
pub(super) fn below_table(report: &ResizeReport) -> impl Iterator<Item = String> + use<'_> {
    let warnings = report.warnings.iter();
    warnings.filter_map(|warning| match warning.warning() {
        starred if is_starred(starred) => Some(format!("* {}", warning.text())),
        Warning::SameRows { .. } | Warning::MotifColoursChange { .. } => {
            Some(warning.text().to_string())
        }
        _ => None,
    })
}

/// Whether it explains the asterisk at a size's rows.
fn is_starred(warning: &Warning) -> bool {
    matches!(warning, Warning::NearestRows { .. })
}

fn name(file: &Path) -> String {
    match file.to_str() {
        Some("-") => "standard input".to_string(),
        _ => printable(&file.to_string_lossy()),
    }
}

fn short_name(file: &Path) -> String {
    let name = file.file_name().unwrap_or(file.as_os_str());
    printable(&name.to_string_lossy())
}

/// What the design is, and on a line of its own where rows are added or removed.
pub(super) fn design(report: &ResizeReport) -> String {
    let (repeats, period) = (report.repeats, report.period_rows);
    let whole = report.plain.is_empty();
    let mut design = if whole && period == 2 {
        "two alternating rows".to_string()
    } else if whole {
        format!("{repeats} repeats of {period} rows")
    } else if repeats == 1 {
        format!("a motif of {} rows", report.motif_rows)
    } else {
        format!(
            "{repeats} repeats of {period} rows, each with a motif of {} rows",
            report.motif_rows
        )
    };
    if let Some(row) = report.mirror_row
        && !whole
    {
        design += &format!(", mirrored end to end at row {row}");
    }
    let place = if whole && period == 2 {
        "two at a time".to_string()
    } else if whole {
        "as whole repeats".to_string()
    } else {
        plain(report)
    };
    format!("{design}\nrows are added or removed {place}")
}

/// `in the plain rows (gull white) from row 51 to row 25 across the seam`.
fn plain(report: &ResizeReport) -> String {
    let (repeats, period) = (report.repeats, report.period_rows);
    let mut all: Vec<StretchReport> = report.plain.clone();
    all.sort_by_key(|stretch| stretch.first_row);
    let places: Vec<String> = all
        .iter()
        .map(|stretch| {
            let first = stretch.first_row;
            let last = (first + stretch.rows - 2) % period + 1;
            let seam = if last < first { " across the seam" } else { "" };
            format!("from row {first} to row {last}{seam}")
        })
        .collect();
    let places = match &places[..] {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        _ => places.concat(),
    };
    let within = if repeats > 1 {
        ", and likewise in each repeat"
    } else {
        ""
    };
    let rows = match &report.plain_colour {
        Some(colour) => format!("the plain rows ({})", printable(colour)),
        None => "the repeating rows".to_string(),
    };
    format!("in {rows} {places}{within}")
}

/// The sizes in parts that fit the line.
fn parts(report: &ResizeReport) -> impl Iterator<Item = &[SizedReport]> {
    let widest = |texts: &mut dyn Iterator<Item = usize>| texts.max().unwrap_or(0);
    let label = widest(
        &mut labels(report, LengthUnits::Mm)
            .iter()
            .map(|label| label.chars().count()),
    );
    let size = widest(&mut report.sizes.iter().map(|size| size.size.chars().count())).max(5);
    let columns = (LINE - label.min(LINE)) / (size + 2);
    report.sizes.chunks(columns.max(1))
}

fn labels(report: &ResizeReport, units: LengthUnits) -> Vec<String> {
    let inches = units == LengthUnits::Inch;
    let inside = inches.then_some("inside, in");
    let heads = ["", "rows", "inside, mm"].into_iter().chain(inside);
    let heads = heads.chain(["US", "beads"]).map(String::from);
    let colours = report.sizes.first().map(|size| &size.colours[..]);
    let names = report
        .by_beads
        .iter()
        .filter_map(|&at| Some(format!("  {}", printable(&colours?.get(at)?.name))));
    let yards = inches.then_some("thread, yd");
    let thread = ["thread, m"].into_iter().chain(yards).map(String::from);
    heads.chain(names).chain(thread).collect()
}

/// Labels, then a column for each size: whether it is set to the right, and its cells from the top.
pub(super) fn columns(
    report: &ResizeReport,
    part: &[SizedReport],
    units: LengthUnits,
) -> Vec<(bool, Vec<String>)> {
    let inches = units == LengthUnits::Inch;
    let column = |size: &SizedReport| {
        let inexact = if size.exact { "" } else { "*" };
        let mut cells = vec![
            size.size.clone(),
            format!("{}{inexact}", size.rows),
            format!("{:.2}", size.diameter_mm.get()),
        ];
        cells.extend(inches.then(|| format!("{:.3}", size.diameter_mm.get() / INCH)));
        cells.push(size.us.map_or("-".to_string(), |us| format!("{us:.2}")));
        cells.push(grouped(size.beads));
        let colours = report
            .by_beads
            .iter()
            .filter_map(|&at| size.colours.get(at));
        cells.extend(colours.map(|colour| grouped(colour.beads)));
        cells.push(metres_to_cut(size.thread_mm));
        cells.extend(inches.then(|| yards_to_cut(size.thread_mm)));
        (true, cells)
    };
    let mut columns = vec![(false, labels(report, units))];
    columns.extend(part.iter().map(column));
    columns
}
