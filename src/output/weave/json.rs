//! The work as JSON: one row a line, and the passes of one row a line, so that two can be compared line by line.

use super::{Run, Work, runs, side};
use crate::colour::hex;
use crate::units::Mm;
use crate::weave::{FORMAT, Hand, Item, Pass, Start, Turn, VERSION, Work as Row, holes};
use std::collections::BTreeMap;
use std::fmt::Write;

/// The work as JSON, as [`crate::weave::SCHEMA`] describes it, with LF line ends and a final one.
///
/// The rows are those that are told; passes, seam, thread and holes are always of the whole band.
pub fn json(work: &Work) -> String {
    let mut out = String::from("{\n");
    head(work, &mut out);
    let strung: Vec<String> = runs(work.chart, &work.weave.strung)
        .iter()
        .map(run)
        .collect();
    out += &format!("  \"strung\": [{}],\n", strung.join(", "));
    let told = work.weave.rows.iter().filter(|row| work.tells(row.row));
    list(
        "rows",
        told.map(|row| row_out(work, row)).collect(),
        &mut out,
    );
    list("passes", passes_by_row(work), &mut out);
    let weave = work.weave;
    for (name, passes) in [
        ("seam", &weave.seam),
        ("thread_end", &weave.thread_end),
        ("tail_end", &weave.tail_end),
    ] {
        out += &format!("  \"{name}\": [{}],\n", triples(work, passes));
    }
    thread(work, &mut out);
    fullness(work, &mut out);
    out += "}\n";
    out
}

/// What the band is, where the work begins, and the colours.
fn head(work: &Work, out: &mut String) {
    let (lattice, frame) = (&work.chart.lattice, &work.weave.frame);
    let hand = match frame.hand() {
        Hand::Left => "left",
        Hand::Right => "right",
    };
    let from = match frame.start() {
        Start::Bottom => "bottom",
        Start::Top => "top",
    };
    *out += &format!("  \"format\": \"{FORMAT}\",\n  \"version\": {VERSION},\n");
    if let Some(title) = &work.chart.title {
        *out += &format!("  \"title\": {},\n", quoted(title));
    }
    *out += &format!(
        "  \"band\": {{\"columns\": {}, \"rows\": {}, \"closed\": {}}},\n",
        lattice.columns(),
        lattice.rows(),
        lattice.is_closed()
    );
    *out += &format!("  \"hand\": \"{hand}\",\n  \"from\": \"{from}\",\n");
    let colours = work.chart.colours.iter().map(|shade| {
        format!(
            "{{\"code\": {}, \"name\": {}, \"hex\": \"{}\"}}",
            quoted(&shade.code),
            quoted(&shade.name),
            hex(shade.srgb)
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

fn run(run: &Run) -> String {
    format!("{{\"colour\": {}, \"count\": {}}}", run.colour, run.count)
}

fn row_out(work: &Work, row: &Row) -> String {
    let pick: Vec<String> = runs(work.chart, &row.beads).iter().map(run).collect();
    format!(
        "{{\"row\": {}, \"travel\": \"{}\", \"beads\": {}, \"pick\": [{}], \"turn\": \"{}\"}}",
        row.row.get(),
        side(row.forward),
        row.beads.len(),
        pick.join(", "),
        turn(row.turn)
    )
}

fn turn(turn: Turn) -> &'static str {
    match turn {
        Turn::Ordinary => "turn",
        Turn::FigureEight => "figure-eight",
        Turn::Bridge => "bridge",
        Turn::End => "end",
    }
}

/// The passes of the strung beads, then of each row.
fn passes_by_row(work: &Work) -> Vec<String> {
    let weave = work.weave;
    let strung = 0..weave.strung.len();
    std::iter::once(strung)
        .chain(weave.rows.iter().map(|row| row.passes.clone()))
        .map(|passes| triples(work, &weave.passes[passes]))
        .collect()
}

/// `[row,column,dir]` of each pass.
fn triples(work: &Work, passes: &[Pass]) -> String {
    let mut out = String::with_capacity(passes.len() * 10);
    for (at, pass) in passes.iter().enumerate() {
        let (row, column) = work.place(pass);
        let comma = if at > 0 { "," } else { "" };
        let direction = if pass.forward { 1 } else { -1 };
        // Writing into a String cannot fail.
        let _ = write!(out, "{comma}[{},{},{direction}]", row.get(), column.get());
    }
    out
}

fn thread(work: &Work, out: &mut String) {
    let item = |&(item, length): &(Item, Mm)| {
        let name = match item {
            Item::Tail => "tail_mm",
            Item::Path => "path_mm",
            Item::Seam => "seam_mm",
            Item::ThreadEnd => "thread_end_mm",
            Item::Handling => "handling_mm",
        };
        format!("\"{name}\": {}, ", length.rounded())
    };
    let items: String = work.lengths.items.iter().map(item).collect();
    *out += &format!(
        "  \"thread\": {{{items}\"total_mm\": {}}},\n",
        work.lengths.total().rounded()
    );
}

/// How many beads are passed how often.
fn fullness(work: &Work, out: &mut String) {
    let holes = holes(&work.chart.lattice, work.weave);
    let mut beads: BTreeMap<u16, usize> = BTreeMap::new();
    for &passes in &holes {
        *beads.entry(passes).or_default() += 1;
    }
    let all: usize = holes.iter().map(|&passes| usize::from(passes)).sum();
    let mean = all as f64 / holes.len() as f64;
    let counts: Vec<String> = beads
        .iter()
        .map(|(passes, beads)| format!("\"{passes}\": {beads}"))
        .collect();
    *out += &format!(
        "  \"holes\": {{\"most\": {}, \"mean\": {}, \"passes\": {{{}}}}}\n",
        beads.keys().next_back().copied().unwrap_or(0),
        (mean * 1000.0).round() / 1000.0,
        counts.join(", ")
    );
}

/// A JSON string.
fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}
