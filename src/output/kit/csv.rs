//! The beads as CSV.

use crate::report::kit::{KitColourReport, KitReport};
use crate::report::order::OrderReport;
use crate::warning::{Warned, Warning};
use crate::words::shown;

/// Heads of the columns.
const HEADS: [&str; 17] = [
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
    "pack_grams",
    "packs",
    "cost_packs",
];

/// How many of the columns hold words: the others are figures of ours.
const WORDS: usize = 2;

/// The beads as CSV (RFC 4180, CRLF line ends): a header, then a row a colour, and nothing else.
///
/// `beads` is for all bands and `beads_with_spare` what to lay in; `grams` weighs those. What is
/// not known is an empty cell; empty `in_stock_grams` with a palette mean enough, as they do there.
/// Thread and needle are not beads: the text and JSON have them.
///
/// A code or name that a spreadsheet would take for a formula gets an apostrophe before it, and a
/// warning names it: charts and palettes come from strangers too.
pub fn csv(report: &KitReport) -> Warned<String> {
    of_colours(&report.colours)
}

/// The shopping list of several charts as CSV, as [`csv`].
pub fn order_csv(report: &OrderReport) -> Warned<String> {
    of_colours(&report.colours)
}

fn of_colours(colours: &[KitColourReport]) -> Warned<String> {
    let mut text = HEADS.join(",") + "\r\n";
    let mut formulas = Vec::new();
    for colour in colours {
        let mut cells = row(colour);
        for cell in &mut cells[..WORDS] {
            if is_formula(cell) {
                formulas.push(cell.clone());
                cell.insert(0, '\'');
            }
        }
        text += &cells.map(|cell| quoted(&cell)).join(",");
        text += "\r\n";
    }
    let warning = (!formulas.is_empty()).then_some(Warning::FormulaCells { cells: formulas });
    Warned {
        value: text,
        warnings: warning.into_iter().collect(),
    }
}

/// Whether a spreadsheet would compute a cell in place of showing it: it begins with one of `= + -
/// @`, their wide forms, a tab or a carriage return (OWASP, CSV Injection).
fn is_formula(cell: &str) -> bool {
    cell.starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠', '\t', '\r'])
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
        as_stated(colour.pack_grams),
        colour
            .packs
            .map_or(String::new(), |packs| packs.to_string()),
        known(colour.cost_packs, 100.0),
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
