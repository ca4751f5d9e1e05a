//! First charts of the artwork in `tests/data/artwork`: a smaller part of what
//! `benches/first_chart.rs` scores, held to the count that is reached today; and the scorer and
//! what the artwork is said to be, checked against the artwork itself.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::disallowed_methods)]

mod artwork;
mod photographs;
mod score;
mod scorer;

use score::truth::{Piece, pieces};

/// A piece or two of each kind.
const CHOSEN: [&str; 16] = [
    "fox",
    "heart",
    "flower",
    "lighthouse",
    "boat",
    "tulip",
    "mountains",
    "sail-outline",
    "waves-1",
    "lozenges-5",
    "word-sea",
    "folk-tulip",
    "sky",
    "blush",
    "lake",
    "buoys",
];
/// How many of their first charts can be woven at once, of three palettes each. It only rises.
const WEAVABLE: usize = 37;

#[test]
fn as_many_first_charts_can_be_woven_at_once_as_before() {
    let all = pieces();
    let named = |name: &&str| all.iter().find(|piece| piece.name() == *name);
    let chosen: Vec<&Piece> = CHOSEN.iter().filter_map(named).collect();
    assert_eq!(chosen.len(), CHOSEN.len(), "a piece is missing");
    let scored = score::all(&chosen, score::first);
    let table = score::table(&scored);
    println!("{table}");
    let weavable = score::weavable(&scored);
    assert!(weavable >= WEAVABLE, "{weavable} of {WEAVABLE}:\n{table}");
}
