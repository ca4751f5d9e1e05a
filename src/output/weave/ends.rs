//! How the work begins, how the band is closed, how ends are woven in, and how much thread all of it takes, in words.

use super::{Work, listed, side};
use crate::output::thread::{items, metres};
use crate::units::{decimals, grouped};
use crate::weave::{COMFORTABLE, Hand, Item, Lengths, Pass, Start, Thread};

/// What to do before the first bead is strung.
pub(super) fn begin(work: &Work) -> String {
    let first = &work.weave.passes[0];
    let edge = match work.weave.frame.hand() {
        Hand::Left => "left",
        Hand::Right => "right",
    };
    format!(
        "{} Put a stopper bead on it, {:.0} mm from the end: it lies at the {edge} edge. Then string rows {} together, from the {} to the {}.{}",
        cut(work.lengths),
        work.lengths.item(Item::Tail).get().ceil(),
        strung_rows(work),
        side(!first.forward),
        side(first.forward),
        comes_last(work).unwrap_or_default(),
    )
}

/// Which row comes last, where a closed band is begun a row further on than its end.
fn comes_last(work: &Work) -> Option<String> {
    let last = work.weave.rows.last()?.row.get();
    let begun = work.row_of(*work.weave.strung.last()?);
    let end = match work.weave.frame.start() {
        Start::Bottom => 1,
        Start::Top => work.chart.lattice.rows(),
    };
    (begun != end).then(|| {
        format!(" Row {last} comes last here, since the beads at the edges let the work begin at row {begun} only.")
    })
}

fn cut(lengths: &Lengths) -> String {
    let total = lengths.total();
    match lengths.drawn() <= COMFORTABLE {
        true => format!(
            "Cut {:.1} m of thread.",
            (total.get() / 100.0).ceil() / 10.0
        ),
        false => format!(
            "The work takes {} m of thread: use about {:.1} m at a time, and where one runs out, weave its end and the new one's beginning into the body.",
            decimals(total.get() / 1000.0, 1),
            COMFORTABLE.get() / 1000.0
        ),
    }
}

/// `1 and 2`: the outermost row first.
pub(super) fn strung_rows(work: &Work) -> String {
    let strung = &work.weave.strung;
    let (last, before) = (strung[strung.len() - 1], strung[strung.len() - 2]);
    format!("{} and {}", work.row_of(last), work.row_of(before))
}

/// How to read the rows, and how the first of them begins.
pub(super) fn reading(work: &Work) -> Option<String> {
    Some(format!(
        "{TO_AND_FRO} Each line says the row, its way (← to the left, → to the \
         right), how many beads, which ones in the order of picking up, and what to do at the edge. {}",
        first_row(work)?
    ))
}

/// How every row is woven.
pub(super) const TO_AND_FRO: &str =
    "Then weave to and fro: pick up a bead, go through the next bead that stands up.";

/// How the first row begins, if there is one.
pub(super) fn first_row(work: &Work) -> Option<String> {
    let row = work.weave.rows.first()?;
    Some(format!(
        "Row {} goes to the {}: skip the last bead strung and go through the one before it.",
        row.row.get(),
        side(row.forward)
    ))
}

/// How the ends of the band are joined.
pub(super) fn close(work: &Work) -> Vec<String> {
    let (out, back) = work.weave.seam.split_at(work.weave.seam.len() / 2);
    let ([first, second, ..], [edge, on, ..]) = (out, back) else {
        return Vec::new();
    };
    let last = work.weave.rows.last().map_or(0, |row| row.row.get());
    let begun = work.row_of(work.weave.strung[work.weave.strung.len() - 1]);
    vec![
        format!(
            "Count the rows: {} in all. Bring the ends together, without a twist: the beads of row {last} that stand up face the gaps of row {begun}, \
             and those of row {begun} the gaps of row {last}, like the teeth of a zip.",
            grouped(work.chart.lattice.rows() as usize)
        ),
        format!(
            "Zip across, to the {}: through the edge bead of row {}, then row {}, and so on by turns, {} beads. Before you pull, check that \
             every bead stands in its gap.",
            side(first.forward),
            work.row_of(first.bead),
            work.row_of(second.bead),
            out.len(),
        ),
        format!(
            "Zip back, to the {}: turn through the edge bead of row {}, then row {}, and on through the same beads to the other edge. Draw snug, a little at a time.",
            side(edge.forward),
            work.row_of(edge.bead),
            work.row_of(on.bead),
        ),
    ]
}

/// How both ends are woven in.
pub(super) fn weave_in(work: &Work) -> Vec<String> {
    let weave = work.weave;
    let (Some(out), false) = (
        weave.seam.last().or(weave.passes.last()),
        weave.thread_end.is_empty(),
    ) else {
        return vec!["So few rows have no body to weave the ends into: leave them long, and weave them into what this strip is sewn to.".to_string()];
    };
    let at = match work.leaves(out) {
        true => format!("at the {} edge", side(out.forward)),
        false => format!(
            "of the edge bead of row {}, pointing to the {}",
            work.row_of(out.bead),
            side(out.forward)
        ),
    };
    vec![
        format!(
            "The working thread comes out {at}. Weave it in without a knot, so many beads at a time: {}. Trim it close.",
            legs(work, &weave.thread_end)
        ),
        format!(
            "Take the stopper bead off, thread the tail, and weave it in the same way: {}. Trim it close.",
            legs(work, &weave.tail_end)
        ),
        "The changes of direction hold the ends; a knot would fill a hole and show. If a bead is full, take the next one.".to_string(),
    ]
}

/// `4 to the left in rows 73 and 72, 4 to the right in ..`.
fn legs(work: &Work, passes: &[Pass]) -> String {
    let leg = |way: &[Pass]| {
        let mut rows: Vec<u32> = way.iter().map(|pass| work.row_of(pass.bead)).collect();
        let mut seen = std::collections::HashSet::new();
        rows.retain(|row| seen.insert(*row));
        let rows: Vec<String> = rows.iter().map(u32::to_string).collect();
        let of = if rows.len() == 1 { "row" } else { "rows" };
        format!(
            "{} to the {} in {of} {}",
            way.len(),
            side(way[0].forward),
            listed(&rows)
        )
    };
    let legs: Vec<String> = passes
        .chunk_by(|one, two| one.forward == two.forward)
        .map(leg)
        .collect();
    legs.join(", ")
}

/// The thread's length with its items.
pub(super) fn thread(work: &Work) -> String {
    let item = |(item, length): (Item, String)| {
        let what = match item {
            Item::Tail => "tail",
            Item::Path => "through the beads",
            Item::Seam => "closing",
            Item::ThreadEnd => "weaving in",
            Item::Handling => "in the hand at the end",
        };
        format!("{what} {length}")
    };
    let told: Vec<String> = items(work.lengths).into_iter().map(item).collect();
    format!(
        "{} m of thread, {} across: {}.",
        metres(work.lengths.total()),
        Thread::default().diameter,
        told.join(", ")
    )
}
