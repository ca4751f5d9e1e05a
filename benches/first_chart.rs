//! How many first charts of the artwork set can be woven at once: made with no options but a
//! palette of 15, 48 or 240 colours and a ring size.
//!
//! `cargo bench --bench first_chart -- [NAME]..` scores the pieces whose names contain one of the
//! words, or all. `UPBEAD_SHEETS=FOLDER` also writes contact sheets there. `--ideal` scores charts
//! of the flat pieces that take the largest colour on each bead instead: what can be reached
//! without mending anything.

#[path = "../tests/first_chart/score/mod.rs"]
mod score;
#[path = "first_chart/sheet.rs"]
mod sheet;

use score::truth::Piece;
use std::path::PathBuf;

fn main() {
    let (options, words): (Vec<String>, Vec<String>) = std::env::args()
        .skip(1)
        .partition(|word| word.starts_with("--"));
    let ideal = options.iter().any(|option| option == "--ideal");
    let pieces = score::truth::pieces();
    let wanted = |piece: &&Piece| {
        words.is_empty()
            || words
                .iter()
                .any(|word| piece.name().contains(word.as_str()))
    };
    let chosen: Vec<&Piece> = pieces.iter().filter(wanted).collect();
    let scored = score::all(&chosen, if ideal { score::ideal } else { score::first });
    println!("{}", score::table(&scored));
    if let Some(folder) = std::env::var_os("UPBEAD_SHEETS").map(PathBuf::from) {
        std::fs::create_dir_all(&folder).expect("a folder for the sheets");
        sheet::write(&scored, &folder).expect("contact sheets");
    }
}
