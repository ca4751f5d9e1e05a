//! How a row ends, in full words, read off the passes.

use super::{Side, WovenBand, listed};
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
        Turn::Bridge => bridge(band, row),
        Turn::End => None,
    }
}

fn ordinary(band: &WovenBand, row: &Row) -> Option<String> {
    let passes = &band.weave.passes;
    let edge = band.row_of(passes[row.passes.end - 1].bead);
    let next = passes.get(row.passes.end)?;
    Some(format!(
        "The needle has come out of the edge bead of row {edge}. Pick up the first bead of row {}, \
         let it settle on that edge bead, and go back to the {} through the last bead of row {}.",
        band.row_of(next.bead),
        side(!row.forward),
        row.row.get()
    ))
}

/// The beads of the figure-eight as the passes name them.
fn figure_eight(band: &WovenBand, words: &[String], row: &Row) -> String {
    let (before, on) = band.before_and_on();
    let passes = &band.weave.passes[row.passes.clone()];
    let new = passes.iter().rposition(|pass| pass.picked).unwrap_or(0);
    let bead = |pass: &Pass| {
        let colour = usize::from(band.chart.beads[pass.bead]);
        format!("row {} ({})", band.row_of(pass.bead), words[colour])
    };
    let mut text = String::from(
        "The new edge bead has no bead to go into, so a figure-eight through its neighbours locks \
         it, this one time.",
    );
    for leg in passes[new + 1..].chunk_by(|one, two| one.forward == two.forward) {
        let to = side(leg[0].forward);
        let rest: Vec<String> = leg.iter().skip(1).map(bead).collect();
        // Writing into a String cannot fail.
        let _ = match (leg[0].forward == row.forward, &rest[..]) {
            (false, []) => write!(
                text,
                " Last, to the {to} out through the new bead; draw snug."
            ),
            (false, _) => write!(
                text,
                " Go to the {to} through the edge bead {before} it, {}, and on {on} through the \
                 beadwork: {}.",
                bead(&leg[0]),
                listed(&rest)
            ),
            (true, _) => {
                let all: Vec<String> = leg.iter().map(bead).collect();
                write!(
                    text,
                    " Turn, and go back to the {to} through {}, out at the edge.",
                    listed(&all)
                )
            }
        };
    }
    text
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
         bead to go into. At the edge {before} it, a bridge of thread lies between the edge beads \
         of rows {}. Take the needle under that bridge, then go to the {} back through the new \
         bead, and draw snug.",
        listed(&edges),
        side(back.forward)
    ))
}
