//! The beads as CSV.

use super::Answer;
use super::json::{hundredths, thousandths};
use crate::colour::hex;
use crate::weave::kit::Portion;

/// The beads as CSV (RFC 4180, CRLF line ends): a header, then a row a colour, and nothing else.
///
/// `beads` is for all bands and `beads_with_spare` what to lay in; `grams` weighs those. What is not known is an empty cell; empty `owned_grams` with a palette
/// mean enough, as they do there. Thread and needle are not beads: the text and JSON have them.
pub fn csv(answer: &Answer) -> String {
    let mut text = String::from(
        "code,name,hex,beads_each,beads,beads_with_spare,per_gram,grams,owned_grams,lacking_beads,lacking_grams,price_per_gram,cost,cost_lacking\r\n",
    );
    for portion in &answer.kit.portions {
        let cells: Vec<String> = row(answer, portion)
            .iter()
            .map(|cell| quoted(cell))
            .collect();
        text += &cells.join(",");
        text += "\r\n";
    }
    text
}

fn row(answer: &Answer, portion: &Portion) -> [String; 14] {
    let shade = &answer.chart.colours[portion.colour];
    let stock = portion.stock.as_ref();
    let number = |number: Option<f64>| number.map_or(String::new(), |number| number.to_string());
    [
        shade.code.clone(),
        shade.name.clone(),
        hex(shade.srgb),
        portion.each.to_string(),
        portion.beads.to_string(),
        portion.with_spare.to_string(),
        thousandths(portion.per_gram.beads).to_string(),
        thousandths(portion.grams.get()).to_string(),
        number(stock.and_then(|stock| Some(stock.owned?.get()))),
        stock.map_or(String::new(), |stock| stock.lacking.to_string()),
        number(stock.map(|stock| thousandths(stock.lacking_grams.get()))),
        number(stock.and_then(|stock| stock.price)),
        number(portion.cost().map(hundredths)),
        number(portion.cost_lacking().map(hundredths)),
    ]
}

/// A cell, in quotes where it needs them.
fn quoted(cell: &str) -> String {
    match cell.contains([',', '"', '\n', '\r']) {
        true => format!("\"{}\"", cell.replace('"', "\"\"")),
        false => cell.to_string(),
    }
}
