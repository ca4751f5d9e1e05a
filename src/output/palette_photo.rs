//! Colours read from a photograph of bead piles, in words.

use super::palette::aligned;
use crate::palette_photo::Doubt;
use crate::report::photo::{PhotoReport, PileReport};
use crate::units::decimals;
use crate::words::shown;

/// For a person: a line a pile, then each doubt.
pub fn text(report: &PhotoReport) -> String {
    let count = match report.piles.len() {
        1 => "1 colour".to_string(),
        more => format!("{more} colours"),
    };
    let file = shown(report.palette.as_deref().unwrap_or("palette"));
    let photo = match report.photo.as_str() {
        "-" => "standard input",
        file => file,
    };
    let photo = shown(photo);
    let mut text = format!("{file}: {count} from {photo}\n");
    text += &format!(
        "paper: {} in the photograph, its darkest part {} as light as its lightest; \
         both corrected\n\n",
        report.paper.hex,
        percent(report.paper.evenness)
    );
    for line in table(&report.piles) {
        text += &line;
        text.push('\n');
    }
    let doubts = doubts(report);
    if doubts.is_empty() {
        text += "\nNo problems found.\n";
    } else {
        text += "\nCompare these colours with the beads:\n";
        for doubt in doubts {
            text += &format!("- {doubt}\n");
        }
    }
    text += "Before you chart with this palette, give the colours your own names, and add grams \
             and finish.\n";
    text
}

/// Why a pile's colour may be wrong, by its code.
pub fn doubts(report: &PhotoReport) -> Vec<String> {
    let of = |pile: &PileReport| {
        let said = |doubt: &Doubt| format!("{}: {}", pile.code, why(*doubt));
        pile.doubts.iter().map(said).collect::<Vec<_>>()
    };
    report.piles.iter().flat_map(of).collect()
}

fn table(piles: &[PileReport]) -> Vec<String> {
    let of = |head: &str, cell: &dyn Fn(&PileReport) -> String| -> Vec<String> {
        std::iter::once(head.to_string())
            .chain(piles.iter().map(cell))
            .collect()
    };
    aligned(vec![
        (false, of("code", &|pile| pile.code.clone())),
        (false, of("name", &|pile| pile.name.clone())),
        (false, of("hex", &|pile| pile.hex.clone())),
        (true, of("at x", &|pile| decimals(pile.x, 0))),
        (true, of("y", &|pile| decimals(pile.y, 0))),
        (true, of("spread", &|pile| format!("{:.1}", pile.spread))),
    ])
}

fn percent(share: f64) -> String {
    format!("{:.0}%", share * 100.0)
}

fn why(doubt: Doubt) -> &'static str {
    match doubt {
        Doubt::Small => "little of the pile is visible; go nearer, or make the pile larger",
        Doubt::Mixed => "its beads are not all of one colour, or change colour with the light",
        Doubt::TooBright => "much of it is overexposed; take the photograph with less exposure",
        Doubt::LikePaper => {
            "it hardly differs from the paper; photograph it on grey card as well, and compare"
        }
        Doubt::AtEdge => "it is cut off by the edge of the photograph",
    }
}
