//! The beads as CSV.

use crate::report::kit::{KitColourReport, KitReport};
use crate::words::shown;

/// Heads of the columns.
const HEADS: [&str; 14] = [
    "code",
    "name",
    "hex",
    "beads_each",
    "beads",
    "beads_with_spare",
    "per_gram",
    "grams",
    "in_stock_grams",
    "short_beads",
    "short_grams",
    "price_per_gram",
    "cost",
    "cost_short",
];

/// The beads as CSV (RFC 4180, CRLF line ends): a header, then a row a colour, and nothing else.
///
/// `beads` is for all bands and `beads_with_spare` what to lay in; `grams` weighs those. What is
/// not known is an empty cell; empty `in_stock_grams` with a palette mean enough, as they do there.
/// Thread and needle are not beads: the text and JSON have them.
pub fn csv(report: &KitReport) -> String {
    let mut text = HEADS.join(",") + "\r\n";
    for colour in &report.colours {
        let cells: Vec<String> = row(colour).iter().map(|cell| quoted(cell)).collect();
        text += &cells.join(",");
        text += "\r\n";
    }
    text
}

fn row(colour: &KitColourReport) -> [String; HEADS.len()] {
    let rounded = |number: f64, over: f64| ((number * over).round() / over).to_string();
    let known = |number: Option<f64>, over: f64| {
        number.map_or(String::new(), |number| rounded(number, over))
    };
    let as_stated = |number: Option<f64>| number.map_or(String::new(), |n| n.to_string());
    [
        colour.code.clone(),
        colour.name.clone(),
        colour.hex.clone(),
        colour.beads_each.to_string(),
        colour.beads.to_string(),
        colour.beads_with_spare.to_string(),
        rounded(colour.per_gram, 1000.0),
        rounded(colour.grams, 1000.0),
        as_stated(colour.in_stock_grams),
        colour
            .short_beads
            .map_or(String::new(), |beads| beads.to_string()),
        known(colour.short_grams, 1000.0),
        as_stated(colour.price_per_gram),
        known(colour.cost, 100.0),
        known(colour.cost_short, 100.0),
    ]
}

/// A cell, in quotes where it needs them.
fn quoted(cell: &str) -> String {
    let cell = shown(cell);
    if cell.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell
    }
}
