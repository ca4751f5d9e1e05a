//! A palette as CSV.

use super::Palette;
use crate::colour::hex;
use sha2::{Digest, Sha256};

/// The text of a palette's file: CSV with a header and LF line ends; columns that no colour fills
/// are left out, the extra ones are kept.
///
/// [`super::read::read`] gives the palette back, if no code, name or cell has spaces at its ends.
pub fn write(palette: &Palette) -> String {
    let colours = palette.colours();
    let finish = colours.iter().any(|colour| colour.finish.is_some());
    let grams = colours.iter().any(|colour| colour.grams.is_some());
    let per_gram = colours.iter().any(|colour| colour.per_gram.is_some());
    let price = colours.iter().any(|colour| colour.price.is_some());
    let per_pack = colours.iter().any(|colour| colour.per_pack.is_some());
    let currency = palette.currency.as_ref();
    let line = |cells: Vec<(bool, String)>, extra: &[String]| {
        let there = cells.into_iter().filter(|(there, _)| *there);
        let cells: Vec<String> = there
            .map(|(_, cell)| cell)
            .chain(extra.iter().cloned())
            .map(|cell| quoted(&cell))
            .collect();
        cells.join(",") + "\n"
    };
    let number = |number: Option<f64>| number.map_or(String::new(), |number| number.to_string());
    let heads = [
        (true, "code"),
        (true, "name"),
        (true, "hex"),
        (finish, "finish"),
        (grams, "grams"),
        (per_gram, "per_gram"),
        (price, "price"),
        (per_pack, "per_pack"),
        (currency.is_some(), "currency"),
    ];
    let heads = heads.map(|(there, head)| (there, head.to_string()));
    let mut text = line(heads.to_vec(), &palette.extra);
    for colour in colours {
        let word = colour.finish.map_or("", |finish| finish.word());
        let cells = vec![
            (true, colour.code.clone()),
            (true, colour.name.clone()),
            (true, hex(colour.srgb)),
            (finish, word.to_string()),
            (grams, number(colour.grams.map(|grams| grams.get()))),
            (per_gram, number(colour.per_gram)),
            (price, number(colour.price)),
            (per_pack, number(colour.per_pack.map(|grams| grams.get()))),
            (
                currency.is_some(),
                currency.map_or(String::new(), |currency| currency.to_string()),
            ),
        ];
        text += &line(cells, &colour.extra);
    }
    text
}

/// SHA-256 of the palette as [`write`] gives it, in hex: what a chart keeps of the palette that it
/// was made from.
pub fn digest(palette: &Palette) -> String {
    let digest = Sha256::digest(write(palette).as_bytes());
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A cell, in quotes where it needs them (RFC 4180).
fn quoted(cell: &str) -> String {
    if cell.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_string()
    }
}
