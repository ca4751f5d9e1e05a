//! Several ways to chart a picture as one PNG: flat strips, rings, and what is said of each.

use super::figures;
use crate::chart::Chart;
use crate::error::{Error, Result};
use crate::output::compare::{counted, reads_when_worn};
use crate::output::palette::printable;
use crate::output::png::{encoded, paint_beads, paint_words, paste, pixels_per_metre};
use crate::output::ring_picture::front_picture;
use crate::picture::Pixels;
use crate::report::propose::{ProposalReport, ProposeReport};
use crate::scene::{ProposalCard, RingPlace, Scene, proposals};
use crate::units::Mm;
use crate::warning::Warning;
use rayon::prelude::*;
use resvg::tiny_skia::{Color, Pixmap};
use std::path::Path;

/// Dots per inch: text is sharp on a phone, whose screen is about as wide, and the file is small
/// enough to send. Ours.
const DENSITY: f64 = 200.0;

/// The picture of the proposals, whose charts are in their order.
///
/// # Errors
/// If it cannot be drawn.
pub fn sheet(report: &ProposeReport, charts: &[&Chart]) -> Result<Vec<u8>> {
    let Some(first) = report.proposals.first() else {
        return Err(Error::new("internal error: nothing was proposed"));
    };
    let all = report.proposals.iter().zip(charts);
    let cards: Vec<ProposalCard> = all.map(|(one, chart)| card(one, chart, first)).collect();
    let name = Path::new(&report.picture).file_name();
    let title = name.filter(|name| *name != "-").map_or_else(
        || "Standard input".to_string(),
        |name| name.to_string_lossy().into_owned(),
    );
    let palette = printable(&first.summary.palette);
    let count = counted(cards.len(), "way", "ways");
    let facts = [
        format!("{count} to chart it in {palette}"),
        first.summary.facts.clone(),
    ];
    let (scene, places) = proposals(&title, &facts, &cards);
    painted(&scene, &places, charts)
}

fn card<'a>(one: &ProposalReport, chart: &'a Chart, first: &ProposalReport) -> ProposalCard<'a> {
    let mut facts: Vec<String> = figures(one).into();
    facts.extend(one.summary.legible.as_ref().and_then(reads_when_worn));
    facts.extend(one.remarks().filter_map(|remark| match remark.warning() {
        Warning::TooFine { parts: 1, .. } => Some("1 part is too fine".to_string()),
        Warning::TooFine { parts, .. } => Some(format!("{parts} parts are too fine")),
        _ => None,
    }));
    if one.summary.rows != first.summary.rows {
        facts.push(format!("{} rows", one.summary.rows));
    }
    ProposalCard {
        chart,
        number: one.number,
        name: one.name.clone(),
        description: one.description.clone(),
        facts,
        command: one.words.clone(),
    }
}

fn painted(scene: &Scene, places: &[RingPlace], charts: &[&Chart]) -> Result<Vec<u8>> {
    let per_metre = pixels_per_metre(scene, Some(DENSITY))?;
    let scale = f64::from(per_metre) / 1000.0;
    let pixels = |mm: Mm| (mm.get() * scale - 1e-6).ceil().max(1.0) as u32;
    let too_large = || Error::new("the picture is too large").hint("leave out [--output]");
    let mut pixmap =
        Pixmap::new(pixels(scene.width), pixels(scene.height)).ok_or_else(too_large)?;
    pixmap.fill(Color::WHITE);
    let rings: Vec<Pixels> = places
        .par_iter()
        .map(|place| front_picture(charts[place.card], pixels(place.side) as usize))
        .collect::<Result<_>>()?;
    for (place, ring) in places.iter().zip(&rings) {
        let start = |mm: Mm| (mm.get() * scale).round() as usize;
        paste(
            &mut pixmap,
            ring,
            start(place.corner.x),
            start(place.corner.y),
        );
    }
    paint_beads(scene, scale, &mut pixmap);
    paint_words(scene, scale, &mut pixmap)?;
    encoded(&pixmap, true, per_metre)
}
