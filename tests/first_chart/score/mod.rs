//! Is the first chart of a piece of artwork the one to weave? Made with no options but a palette
//! and a ring size, it is asked for what a maker would ask: [`flat`] and [`tone`] list it.

mod align;
mod colours;
pub mod flat;
pub mod ideal;
pub mod labels;
pub mod tone;
pub mod truth;

use labels::Labels;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use truth::Piece;
use upbead::chart::Chart;
use upbead::palette::{Colour, Palette};
use upbead::pipeline::Source;
use upbead::{ChartRequest, chart};

/// Colours that are added from the shelf to those of the tin, for a palette of 15.
const MORE: [&str; 3] = ["quay-12", "quay-15", "quay-45"];

/// One first chart and what is wrong with it.
pub struct Scored<'a> {
    pub piece: &'a Piece,
    /// How many colours the palette has.
    pub palette: usize,
    /// None if it could not be made.
    pub chart: Option<Chart>,
    /// None if it can be woven at once.
    pub reasons: Vec<String>,
}

/// A palette that ships with the program.
pub fn shipped(name: &str) -> Palette {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("palettes/{name}.csv"));
    let text = fs::read_to_string(path).expect("a palette");
    Palette::read(&text, name).expect("a palette that can be read")
}

/// Palettes of 15, 48 and 240 colours.
pub fn palettes() -> [Palette; 3] {
    let (tin, shelf) = (shipped("tin"), shipped("shelf"));
    let more = |code: &&str| -> Colour {
        let at = shelf.find(code).expect("a colour of the shelf");
        Colour {
            extra: vec![String::new(); tin.extra.len()],
            ..shelf.colours()[at].clone()
        }
    };
    let colours = tin.colours().iter().cloned().chain(MORE.iter().map(more));
    let few = Palette::new("fifteen", colours.collect(), tin.extra.clone());
    [few.expect("15 colours"), shelf, shipped("harbour")]
}

/// The request of somebody in a hurry.
pub fn request() -> ChartRequest {
    let mut request = ChartRequest::default();
    request.ring.size = Some("us7".parse().expect("a ring size"));
    request
}

/// Why a chart is not one to weave.
pub fn reasons(piece: &Piece, chart: &Chart, palette: &Palette) -> Vec<String> {
    match Labels::of(piece) {
        Some(labels) => flat::reasons(&piece.truth, &labels, chart, palette),
        None => tone::reasons(piece, chart, palette),
    }
}

/// Makes and scores the first chart of a piece.
pub fn first<'a>(piece: &'a Piece, palette: &Palette) -> Scored<'a> {
    let source = Source::new(piece.truth.file.clone(), piece.bytes.clone());
    let (chart, reasons) = match chart(source, palette, &request()) {
        Ok(made) => {
            let reasons = reasons(piece, &made.value, palette);
            (Some(made.value), reasons)
        }
        Err(error) => (None, vec![error.to_string()]),
    };
    Scored {
        piece,
        palette: palette.colours().len(),
        chart,
        reasons,
    }
}

/// What the areas of a flat piece alone can reach; continuous tone has no such chart.
pub fn ideal<'a>(piece: &'a Piece, palette: &Palette) -> Scored<'a> {
    let (chart, reasons) = match ideal::best(piece, palette) {
        Some((chart, reasons)) => (Some(chart), reasons),
        None => (None, vec!["continuous tone".to_string()]),
    };
    Scored {
        piece,
        palette: palette.colours().len(),
        chart,
        reasons,
    }
}

/// Scores each piece with each palette, in order, by [`first`] or [`ideal`].
pub fn all<'a>(
    pieces: &[&'a Piece],
    score: fn(&'a Piece, &Palette) -> Scored<'a>,
) -> Vec<Scored<'a>> {
    let palettes = palettes();
    let cases: Vec<(&'a Piece, &Palette)> = pieces
        .iter()
        .flat_map(|&piece| palettes.iter().map(move |palette| (piece, palette)))
        .collect();
    cases
        .par_iter()
        .map(|(piece, palette)| score(piece, palette))
        .collect()
}

/// A row for each chart, and the totals by kind.
pub fn table(scored: &[Scored]) -> String {
    let mut lines = Vec::new();
    let mut kinds: BTreeMap<&str, [usize; 2]> = BTreeMap::new();
    for one in scored {
        let passed = one.reasons.is_empty();
        let said = if passed {
            "weavable".to_string()
        } else {
            one.reasons.join("; ")
        };
        lines.push(format!("{:16} {:4}  {said}", one.piece.name(), one.palette));
        let kind = kinds.entry(&one.piece.truth.kind).or_default();
        kind[0] += usize::from(passed);
        kind[1] += 1;
    }
    lines.push(String::new());
    let mut flat = [0, 0];
    for (kind, [passed, all]) in &kinds {
        lines.push(format!("{kind:16} {passed:4} of {all}"));
        if !["gradient", "photograph"].contains(kind) {
            flat = [flat[0] + passed, flat[1] + all];
        }
    }
    lines.push(format!("{:16} {:4} of {}", "flat pieces", flat[0], flat[1]));
    lines.push(format!(
        "{:16} {:4} of {}",
        "all",
        weavable(scored),
        scored.len()
    ));
    lines.join("\n")
}

/// How many can be woven at once.
pub fn weavable(scored: &[Scored]) -> usize {
    scored.iter().filter(|one| one.reasons.is_empty()).count()
}
