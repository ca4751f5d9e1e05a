//! A chart as the text of its file: one colour a line, one row a line, so that charts can be
//! compared line by line.

use super::{Chart, Made, Shade};
use crate::colour::hex;
use crate::words::escaped;
use std::fmt::Write;

/// The text of a chart's file: JSON as [`super::SCHEMA`] describes it, row 1 first, with LF line
/// ends and a final one.
///
/// The same chart gives the same bytes, and [`super::read::read`] gives the chart back.
pub fn write(chart: &Chart) -> String {
    let lattice = &chart.lattice;
    let bead = lattice.bead();
    let mut text = format!(
        "{{\n  \"format\": \"{}\",\n  \"version\": {},\n",
        super::FORMAT,
        super::VERSION
    );
    for (name, words) in [("title", &chart.title), ("notes", &chart.notes)] {
        if let Some(words) = words {
            text += &format!("  \"{name}\": {},\n", quoted(words));
        }
    }
    text += &format!(
        "  \"bead\": {{\"length_mm\": {}, \"diameter_mm\": {}, \"hole_mm\": {}}},\n",
        bead.length.get(),
        bead.diameter.get(),
        bead.hole.get()
    );
    text += &format!(
        "  \"columns\": {},\n  \"closed\": {},\n  \"colours\": [\n",
        lattice.columns(),
        lattice.is_closed()
    );
    lines(&mut text, chart.colours.iter(), shade);
    text += "  ],\n  \"rows\": [\n";
    lines(&mut text, lattice.all_rows(), |text, row| {
        list(text, chart.row(row));
    });
    text += "  ],\n";
    made(&mut text, &chart.made);
    text += "}\n";
    escaped(&text)
}

/// Each item on a line of its own, with commas between.
fn lines<T>(
    text: &mut String,
    items: impl ExactSizeIterator<Item = T>,
    item: impl Fn(&mut String, T),
) {
    let last = items.len();
    for (at, one) in items.enumerate() {
        text.push_str("    ");
        item(text, one);
        text.push_str(if at + 1 < last { ",\n" } else { "\n" });
    }
}

fn shade(text: &mut String, shade: &Shade) {
    *text += &format!(
        "{{\"code\": {}, \"name\": {}, \"hex\": \"{}\"",
        quoted(&shade.code),
        quoted(&shade.name),
        hex(shade.srgb)
    );
    if let Some(finish) = shade.finish {
        *text += &format!(", \"finish\": \"{finish}\"");
    }
    text.push('}');
}

fn list(text: &mut String, row: &[u16]) {
    for (at, colour) in row.iter().enumerate() {
        text.push(if at == 0 { '[' } else { ',' });
        // Writing into a String cannot fail.
        let _ = write!(text, "{colour}");
    }
    text.push(']');
}

fn made(text: &mut String, made: &Made) {
    *text += &format!(
        "  \"made\": {{\n    \"source\": {},\n    \"sha256\": {},\n    \"options\": {{",
        quoted(&made.source),
        quoted(&made.sha256)
    );
    if !made.options.is_empty() {
        text.push('\n');
        lines(text, made.options.iter(), |text, (name, value)| {
            *text += &format!("  {}: {}", quoted(name), quoted(value));
        });
        *text += "    ";
    }
    *text += &format!("}},\n    \"version\": {}\n  }}\n", quoted(&made.version));
}

/// A JSON string.
fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}
