//! Colours read from a photograph of bead piles, in words and as JSON.

use super::palette::aligned;
use crate::colour::hex;
use crate::palette::Palette;
use crate::palette_photo::{Doubt, Photograph};
use crate::units::decimals;
use serde_json::{Value, json};
use std::path::Path;

/// What is told of.
pub struct Answer<'a> {
    /// Where the palette went; none is standard output.
    pub file: Option<&'a Path>,
    /// The photograph.
    pub photo: &'a Path,
    /// What it shows.
    pub tray: &'a Photograph,
    /// The palette made of it.
    pub palette: &'a Palette,
}

/// For a person: a line a pile, then each doubt.
pub fn text(answer: &Answer) -> String {
    let tray = answer.tray;
    let count = match tray.piles.len() {
        1 => "1 colour".to_string(),
        more => format!("{more} colours"),
    };
    let file = answer.file.map_or("palette".into(), Path::to_string_lossy);
    let photo = match answer.photo.to_str() {
        Some("-") => "standard input".into(),
        _ => answer.photo.to_string_lossy(),
    };
    let mut text = format!("{file}: {count} from {photo}\n");
    text += &format!(
        "paper: photographed as {}, its darkest place {} as light as its lightest; both evened out\n\n",
        hex(tray.tint),
        percent(tray.evenness)
    );
    for line in table(answer) {
        text += &line;
        text.push('\n');
    }
    let doubts = doubts(answer);
    if doubts.is_empty() {
        text += "\nNo pile is in doubt.\n";
    } else {
        text += "\nLook at these yourself:\n";
        for doubt in doubts {
            text += &format!("- {doubt}\n");
        }
    }
    text +=
        "Give the colours your own names, and add grams and finish, before you chart with them.\n";
    text
}

/// What speaks against a pile's colour, by its code.
pub fn doubts(answer: &Answer) -> Vec<String> {
    let piles = answer.tray.piles.iter().zip(answer.palette.colours());
    piles
        .flat_map(|(pile, colour)| {
            let said = |doubt: &Doubt| format!("{}: {}", colour.code, why(*doubt));
            pile.doubts.iter().map(said).collect::<Vec<_>>()
        })
        .collect()
}

fn table(answer: &Answer) -> Vec<String> {
    let piles = &answer.tray.piles;
    let colours = answer.palette.colours();
    let of = |head: &str, cell: &dyn Fn(usize) -> String| -> Vec<String> {
        std::iter::once(head.to_string())
            .chain((0..piles.len()).map(cell))
            .collect()
    };
    aligned(vec![
        (false, of("code", &|at| colours[at].code.clone())),
        (false, of("name", &|at| colours[at].name.clone())),
        (false, of("hex", &|at| hex(colours[at].srgb))),
        (true, of("at x", &|at| decimals(piles[at].x, 0))),
        (true, of("y", &|at| decimals(piles[at].y, 0))),
        (true, of("spread", &|at| format!("{:.1}", piles[at].spread))),
    ])
}

fn percent(share: f64) -> String {
    format!("{:.0}%", share * 100.0)
}

fn why(doubt: Doubt) -> &'static str {
    match doubt {
        Doubt::Small => "little of it is seen; go nearer, or make the pile larger",
        Doubt::Mixed => "its beads are not of one colour, or change it with the light",
        Doubt::TooBright => "much of it is too bright for the camera; expose less",
        Doubt::LikePaper => {
            "it hardly differs from the paper; lay it on grey card as well, and compare"
        }
        Doubt::AtEdge => "it is cut off by the edge of the photograph",
    }
}

/// For other programs: `palette`, `photo`, `paper`, and `piles` with code, name, hex, place in pixels, spread and doubts.
pub fn json(answer: &Answer) -> Value {
    let rounded = |number: f64| (number * 1000.0).round() / 1000.0;
    let tray = answer.tray;
    let piles = tray.piles.iter().zip(answer.palette.colours());
    let piles: Vec<Value> = piles
        .map(|(pile, colour)| {
            json!({
                "code": colour.code,
                "name": colour.name,
                "hex": hex(colour.srgb),
                "x": rounded(pile.x),
                "y": rounded(pile.y),
                "share": rounded(pile.share),
                "spread": rounded(pile.spread),
                "doubts": pile.doubts.iter().map(|doubt| doubt.word()).collect::<Vec<_>>(),
            })
        })
        .collect();
    json!({
        "palette": answer.file.map(Path::to_string_lossy),
        "photo": answer.photo.to_string_lossy(),
        "paper": { "hex": hex(tray.tint), "evenness": rounded(tray.evenness), "bare": rounded(tray.bare) },
        "piles": piles,
    })
}
