//! How a row ends, in words: in full the first time, short after that; all of it read off the passes.

use super::{Work, listed, side};
use crate::weave::{Pass, Turn, Work as Row};
use std::fmt::Write;

/// The few words that stand at the end of a row.
pub(super) fn short(turn: Turn) -> &'static str {
    match turn {
        Turn::Ordinary => "turn",
        Turn::FigureEight => "figure-eight",
        Turn::Bridge => "turn: bridge",
        Turn::End => "end",
    }
}

/// What to do at the end of `row`, in full; nothing where the work ends.
pub(super) fn full(work: &Work, names: &[String], row: &Row) -> Option<String> {
    match row.turn {
        Turn::Ordinary => Some(ordinary(work, row)),
        Turn::FigureEight => Some(figure_eight(work, names, row)),
        Turn::Bridge => bridge(work, row),
        Turn::End => None,
    }
}

fn ordinary(work: &Work, row: &Row) -> String {
    let passes = &work.weave.passes;
    let edge = work.row_of(passes[row.passes.end - 1].bead);
    let back = side(!row.forward);
    let this = row.row.get();
    match passes.get(row.passes.end) {
        Some(next) => format!(
            "The needle has come out of the edge bead of row {edge}. Pick up the first bead of row {}, let it settle on that \
             edge bead, and go back to the {back} through the last bead of row {this}.",
            work.row_of(next.bead)
        ),
        None => String::new(),
    }
}

/// The beads of the figure-eight as the passes name them.
fn figure_eight(work: &Work, names: &[String], row: &Row) -> String {
    let (before, on) = work.before_and_on();
    let passes = &work.weave.passes[row.passes.clone()];
    let new = passes.iter().rposition(|pass| pass.picked).unwrap_or(0);
    let bead = |pass: &Pass| {
        let colour = usize::from(work.chart.beads[pass.bead]);
        format!("row {} ({})", work.row_of(pass.bead), names[colour])
    };
    let mut text = String::from(
        "The new edge bead has no bead to go into, so a figure-eight through its neighbours locks it, this one time.",
    );
    for way in passes[new + 1..].chunk_by(|one, two| one.forward == two.forward) {
        let to = side(way[0].forward);
        let rest: Vec<String> = way.iter().skip(1).map(bead).collect();
        // Writing into a String cannot fail.
        let _ = match (way[0].forward == row.forward, &rest[..]) {
            (false, []) => write!(
                text,
                " Last, to the {to} out through the new bead; draw snug."
            ),
            (false, _) => write!(
                text,
                " Go to the {to} through the edge bead {before} it, {}, and on {on} through the body: {}.",
                bead(&way[0]),
                listed(&rest)
            ),
            (true, _) => {
                let all: Vec<String> = way.iter().map(bead).collect();
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
fn bridge(work: &Work, row: &Row) -> Option<String> {
    let (before, _) = work.before_and_on();
    let back = work.weave.passes[row.passes.clone()].last()?;
    let column = work.place(back).1;
    let mut edges: Vec<String> = work.weave.passes[..row.passes.start]
        .iter()
        .rev()
        .filter(|pass| pass.picked && work.place(pass).1 == column)
        .take(2)
        .map(|pass| work.row_of(pass.bead).to_string())
        .collect();
    edges.reverse();
    Some(format!(
        "No bead stands up for the new edge bead to go into. At the edge {before} it a bridge of thread lies between the edge beads of \
         rows {}: take the needle under that bridge, then go to the {} back through the new bead, and draw snug.",
        listed(&edges),
        side(back.forward)
    ))
}
