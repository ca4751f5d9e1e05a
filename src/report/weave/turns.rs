//! How a row ends, in full words, read off the passes.

use super::{Side, WovenBand, listed};
use crate::request::OddTurn;
use crate::weave::{Pass, Turn, Work as Row};
use std::fmt::Write;

fn side(forward: bool) -> &'static str {
    Side::of(forward).word()
}

/// What to do at the end of `row`, in full; nothing where the work ends.
pub(super) fn full(band: &WovenBand, words: &[String], row: &Row) -> Option<String> {
    match row.turn {
        Turn::Ordinary => ordinary(band, row),
        Turn::FigureEight => Some(figure_eight(band, words, row)),
        Turn::EdgeBead => Some(edge_bead(band, row)),
        Turn::Bridge => bridge(band, row),
        Turn::End => None,
    }
}

/// Nothing is picked up for it: the first bead of the next row is that row's own.
fn ordinary(band: &WovenBand, row: &Row) -> Option<String> {
    let passes = &band.weave.passes;
    let edge = band.row_of(passes[row.passes.end - 1].bead);
    let next = band.row_of(passes.get(row.passes.end)?.bead);
    Some(format!(
        "The needle has come out of the edge bead of row {edge}, and row {} is done. Row {next} \
         begins here: its own first bead settles on that edge bead, and the needle goes back to \
         the {} through the last bead of row {}.",
        row.row.get(),
        side(!row.forward),
        row.row.get()
    ))
}

/// `first`, `second`, `third`.
fn ordinal(at: usize) -> &'static str {
    ["first", "second", "third"][at.min(2)]
}

/// The beads of the figure-eight by where they are; their colours are in brackets, since several
/// may be of one colour.
fn figure_eight(band: &WovenBand, words: &[String], row: &Row) -> String {
    let (before, on) = band.before_and_on();
    let passes = &band.weave.passes[row.passes.clone()];
    let new = passes.iter().rposition(|pass| pass.picked).unwrap_or(0);
    let colour = |pass: &Pass| &words[usize::from(band.chart.beads[pass.bead])];
    let strung = |pass: &Pass| {
        let at = band.weave.strung.iter().position(|&bead| bead == pass.bead);
        match at {
            Some(at) => format!("{} bead strung", ordinal(at)),
            None => format!("bead of row {}", band.row_of(pass.bead)),
        }
    };
    let often = match band.weave.frame.odd_turn() {
        OddTurn::FigureEight => "every time",
        OddTurn::Bridge | OddTurn::EdgeBead => "this one time",
    };
    let mut text = format!(
        "The new edge bead is the last one picked up. It has no bead to go into, so a figure-eight \
         through its neighbours locks it, {often}."
    );
    for leg in passes[new + 1..].chunk_by(|one, two| one.forward == two.forward) {
        let to = side(leg[0].forward);
        let _ = match (leg[0].forward == row.forward, leg) {
            (false, [edge, up, last]) => write!(
                text,
                " Go to the {to} through the edge bead straight {before} it, which is the {} \
                 ({}), and on {on} through the {} ({}) and the bead picked up \
                 before the new one ({}).",
                strung(edge),
                colour(edge),
                strung(up),
                colour(up),
                colour(last),
            ),
            (true, [straight, down, edge]) => write!(
                text,
                " Turn, and go back to the {to} through the bead straight {before} that one, which \
                 is the {} ({}), then again through the {} and the {}, out at the edge.",
                strung(straight),
                colour(straight),
                strung(down),
                strung(edge),
            ),
            _ => write!(
                text,
                " Last, go to the {to} out through the new edge bead, and draw snug."
            ),
        };
    }
    text
}

/// The edge bead before the new one is passed before the new one is picked up, and after.
fn edge_bead(band: &WovenBand, row: &Row) -> String {
    let (before, _) = band.before_and_on();
    let passes = &band.weave.passes[row.passes.clone()];
    let edge = passes.iter().rev().find(|pass| pass.forward == row.forward);
    let edge = edge.map_or(0, |pass| band.row_of(pass.bead));
    let (on, back) = (side(row.forward), side(!row.forward));
    format!(
        "This is the edge-bead turn. Before you pick up the last bead of the row, go to the {on} \
         through the edge bead of row {edge}, straight {before} the place of the new one. Pick up \
         the new edge bead, let it settle on the edge bead of row {edge}, and go to the {on} \
         through that edge bead again, in the same direction as before. Then go back to the {back} \
         through the new edge bead, and draw snug."
    )
}

/// The bridge lies between the two edge beads that were woven before the new one.
fn bridge(band: &WovenBand, row: &Row) -> Option<String> {
    let (before, _) = band.before_and_on();
    let back = band.weave.passes[row.passes.clone()].last()?;
    let column = band.place(back).1;
    let mut edges: Vec<String> = band.weave.passes[..row.passes.start]
        .iter()
        .rev()
        .filter(|pass| pass.picked && band.place(pass).1 == column)
        .take(2)
        .map(|pass| band.row_of(pass.bead).to_string())
        .collect();
    edges.reverse();
    Some(format!(
        "This is the odd-count turn, under the thread bridge: there is no up bead for the new edge \
         bead, the last one picked up, to go into. At the edge {before} it, a bridge of thread \
         lies between the edge beads of rows {}. Take the needle under that bridge, then go to the \
         {} back through the new edge bead, and draw snug.",
        listed(&edges),
        side(back.forward)
    ))
}
