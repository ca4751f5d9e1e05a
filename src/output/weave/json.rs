//! The report as JSON: one row a line, and the passes of one row a line, so that two can be
//! compared line by line.

use crate::report::weave::{JoinReport, PassReport, RowReport, Run, WeaveReport};
use crate::request::{Start, WorkFrom};
use crate::words::escaped;
use std::fmt::Write;

/// The report as JSON, with LF line ends and a final one.
pub fn json(report: &WeaveReport) -> String {
    let mut out = String::from("{\n");
    head(report, &mut out);
    out += &format!("  \"strung\": [{}],\n", picked(&report.strung));
    list("rows", report.rows.iter().map(row).collect(), &mut out);
    let lines = report.passes.0.iter().map(|line| triples(line));
    list("passes", lines.collect(), &mut out);
    for (name, passes) in [
        ("seam", &report.seam),
        ("thread_end", &report.thread_end),
        ("tail_end", &report.tail_end),
    ] {
        out += &format!("  \"{name}\": [{}],\n", triples(passes));
    }
    joins(report, &mut out);
    thread(report, &mut out);
    holes(report, &mut out);
    out += &try_on(report);
    out += "\n}\n";
    out
}

/// What the band is, where the work begins, and the colours.
fn head(report: &WeaveReport, out: &mut String) {
    let start = match report.start {
        Start::Left => "left",
        Start::Right => "right",
    };
    let from = match report.from {
        WorkFrom::Bottom => "bottom",
        WorkFrom::Top => "top",
    };
    *out += &format!(
        "  \"format\": \"{}\",\n  \"version\": {},\n",
        report.format, report.version
    );
    if let Some(title) = &report.title {
        *out += &format!("  \"title\": {},\n", quoted(title));
    }
    let band = &report.band;
    *out += &format!(
        "  \"band\": {{\"columns\": {}, \"rows\": {}, \"closed\": {}}},\n",
        band.columns, band.rows, band.closed
    );
    *out += &format!("  \"start\": \"{start}\",\n  \"from\": \"{from}\",\n");
    let colours = report.colours.iter().map(|colour| {
        format!(
            "{{\"code\": {}, \"name\": {}, \"hex\": \"{}\"}}",
            quoted(&colour.code),
            quoted(&colour.name),
            colour.hex
        )
    });
    list("colours", colours.collect(), out);
}

/// A list with one item a line.
fn list(name: &str, items: Vec<String>, out: &mut String) {
    if items.is_empty() {
        *out += &format!("  \"{name}\": [],\n");
        return;
    }
    *out += &format!("  \"{name}\": [\n    {}\n  ],\n", items.join(",\n    "));
}

fn picked(runs: &[Run]) -> String {
    let run = |run: &Run| format!("{{\"colour\": {}, \"count\": {}}}", run.colour, run.count);
    let runs: Vec<String> = runs.iter().map(run).collect();
    runs.join(", ")
}

fn row(row: &RowReport) -> String {
    format!(
        "{{\"row\": {}, \"travel\": \"{}\", \"beads\": {}, \"pick\": [{}], \"turn\": \"{}\"}}",
        row.row,
        row.travel.word(),
        row.beads,
        picked(&row.pick),
        row.turn.name()
    )
}

/// `[row,column,direction]` of each pass.
fn triples(passes: &[PassReport]) -> String {
    let mut out = String::with_capacity(passes.len() * 10);
    for (at, (row, column, direction)) in passes.iter().enumerate() {
        let comma = if at > 0 { "," } else { "" };
        // Writing into a String cannot fail.
        let _ = write!(out, "{comma}[{row},{column},{direction}]");
    }
    out
}

/// One join a line.
fn joins(report: &WeaveReport, out: &mut String) {
    let join = |join: &JoinReport| {
        format!(
            "{{\"after_row\": {}, \"old_end\": [{}], \"new_start\": [{}]}}",
            join.after_row,
            triples(&join.old_end),
            triples(&join.new_start)
        )
    };
    list("joins", report.joins.iter().map(join).collect(), out);
}

fn thread(report: &WeaveReport, out: &mut String) {
    let thread = &report.thread;
    let items = [
        ("tail_mm", thread.tail_mm),
        ("path_mm", thread.path_mm),
        ("seam_mm", thread.seam_mm),
        ("thread_end_mm", thread.thread_end_mm),
        ("joins_mm", thread.joins_mm),
        ("handling_mm", thread.handling_mm),
        ("total_mm", thread.total_mm),
    ];
    let items = items.map(|(name, length)| format!("\"{name}\": {}", length.rounded()));
    *out += &format!("  \"thread\": {{{}}},\n", items.join(", "));
}

/// How many beads are passed how often.
fn holes(report: &WeaveReport, out: &mut String) {
    let holes = &report.holes;
    let counts: Vec<String> = holes
        .passes
        .iter()
        .map(|(passes, beads)| format!("\"{passes}\": {beads}"))
        .collect();
    *out += &format!(
        "  \"holes\": {{\"most\": {}, \"mean\": {}, \"passes\": {{{}}}}}",
        holes.most,
        holes.mean,
        counts.join(", ")
    );
}

/// When to try on, behind a comma; nothing for a strip.
fn try_on(report: &WeaveReport) -> String {
    let Some(try_on) = &report.try_on else {
        return String::new();
    };
    let plain = try_on.plain.as_ref().map(|plain| {
        let [one, two] = plain.pair;
        format!(
            ", \"plain\": {{\"first_row\": {}, \"last_row\": {}, \"pair\": [{one}, {two}], \
             \"spare_rows\": {}, \"repeats\": {}}}",
            plain.first_row, plain.last_row, plain.spare_rows, plain.repeats
        )
    });
    format!(
        ",\n  \"try_on\": {{\"after_row\": {}, \"rows\": {}{}}}",
        try_on.after_row,
        try_on.rows,
        plain.unwrap_or_default()
    )
}

/// A JSON string.
fn quoted(text: &str) -> String {
    escaped(&serde_json::Value::from(text).to_string())
}
