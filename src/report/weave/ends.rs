//! How the work begins, how the band is closed, how ends are woven in, and how much thread all of
//! it takes, in words.

use super::{Side, WovenBand, listed};
use crate::request::{Start, WorkFrom};
use crate::units::{decimals, grouped, metres_to_cut, whole_mm};
use crate::weave::{COMFORTABLE, Item, Lengths, Pass, Thread};

/// How every row is woven.
const BACK_AND_FORTH: &str = "Then weave back and forth: pick up a bead, skip a bead, go through \
    the next up bead (one that sticks up from the edge of the work).";

fn side(forward: bool) -> &'static str {
    Side::of(forward).word()
}

/// What to do before the first bead is strung.
pub(super) fn begin(band: &WovenBand) -> String {
    let first = &band.weave.passes[0];
    let edge = match band.weave.frame.start() {
        Start::Left => "left",
        Start::Right => "right",
    };
    format!(
        "{} Put a stopper bead on it, {} from the end: it lies at the {edge} edge. Then string \
         rows {} together, from the {} to the {}.{}",
        cut(&band.lengths),
        whole_mm(band.lengths.item(Item::Tail)).unwrap_or_default(),
        strung_rows(band),
        side(!first.forward),
        side(first.forward),
        comes_last(band).unwrap_or_default(),
    )
}

/// Which row comes last, where a closed band is begun a row further on than its end.
fn comes_last(band: &WovenBand) -> Option<String> {
    let last = band.weave.rows.last()?.row.get();
    let begun = band.row_of(*band.weave.strung.last()?);
    let end = match band.weave.frame.work_from() {
        WorkFrom::Bottom => 1,
        WorkFrom::Top => band.chart.lattice.rows(),
    };
    (begun != end).then(|| {
        format!(
            " Row {last} comes last here: the beads at the edges only let the work begin at row \
             {begun}."
        )
    })
}

fn cut(lengths: &Lengths) -> String {
    let total = lengths.total();
    if lengths.drawn() <= COMFORTABLE {
        return format!(
            "Cut {:.1} m of thread.",
            (total.get() / 100.0).ceil() / 10.0
        );
    }
    format!(
        "The work takes {} m of thread: use about {:.1} m at a time, and where one runs out, weave \
         its end and the new one's beginning into the beadwork.",
        decimals(total.get() / 1000.0, 1),
        COMFORTABLE.get() / 1000.0
    )
}

/// `1 and 2`: the outermost row first.
pub(super) fn strung_rows(band: &WovenBand) -> String {
    let strung = &band.weave.strung;
    let (last, before) = (strung[strung.len() - 1], strung[strung.len() - 2]);
    format!("{} and {}", band.row_of(last), band.row_of(before))
}

/// How to read the rows, and how the first of them begins.
pub(super) fn reading(band: &WovenBand) -> Option<String> {
    Some(format!(
        "{BACK_AND_FORTH} Each line has the row, its direction (← to the left, → to the right), \
         how many beads, which ones in the order of picking up, and what to do at the edge. {}",
        first_row(band)?
    ))
}

/// How every row is woven, and how the first one begins.
pub(super) fn weaving(band: &WovenBand) -> Option<String> {
    Some(format!("{BACK_AND_FORTH} {}", first_row(band)?))
}

/// How the first row begins, if there is one.
fn first_row(band: &WovenBand) -> Option<String> {
    let row = band.weave.rows.first()?;
    Some(format!(
        "Row {} goes to the {}: skip the last bead strung and go through the one before it.",
        row.row.get(),
        side(row.forward)
    ))
}

/// How the ends of the band are joined.
pub(super) fn close(band: &WovenBand) -> Vec<String> {
    let (out, back) = band.weave.seam.split_at(band.weave.seam.len() / 2);
    let ([first, second, ..], [edge, on, ..]) = (out, back) else {
        return Vec::new();
    };
    let last = band.weave.rows.last().map_or(0, |row| row.row.get());
    let begun = band.row_of(band.weave.strung[band.weave.strung.len() - 1]);
    vec![
        format!(
            "Count the rows: {} in all. Bring the ends together, without a twist: the up beads of \
             row {last} face the gaps of row {begun}, and those of row {begun} the gaps of row \
             {last}, like the teeth of a zip.",
            grouped(band.chart.lattice.rows() as usize)
        ),
        format!(
            "Zip across, to the {}: through the edge bead of row {}, then row {}, and so on from \
             one row to the other, {} beads. Before you pull, check that every bead stands in its \
             gap.",
            side(first.forward),
            band.row_of(first.bead),
            band.row_of(second.bead),
            out.len(),
        ),
        format!(
            "Zip back, to the {}: turn through the edge bead of row {}, then row {}, and on \
             through the same beads to the other edge. Draw snug, a little at a time.",
            side(edge.forward),
            band.row_of(edge.bead),
            band.row_of(on.bead),
        ),
    ]
}

/// How both ends are woven in.
pub(super) fn weave_in(band: &WovenBand) -> Vec<String> {
    let weave = &band.weave;
    let (Some(out), false) = (
        weave.seam.last().or(weave.passes.last()),
        weave.thread_end.is_empty(),
    ) else {
        return vec![
            "So few rows have no beadwork to weave the ends into: leave them long, and weave them \
             into what this strip is sewn to."
                .to_string(),
        ];
    };
    let at = if band.leaves(out) {
        format!("at the {} edge", side(out.forward))
    } else {
        format!(
            "of the edge bead of row {}, pointing to the {}",
            band.row_of(out.bead),
            side(out.forward)
        )
    };
    vec![
        format!(
            "The working thread comes out {at}. Weave it in without a knot, this many beads at a \
             time: {}. Trim it close.",
            legs(band, &weave.thread_end)
        ),
        format!(
            "Take the stopper bead off, thread the tail, and weave it in the same way: {}. Trim it \
             close.",
            legs(band, &weave.tail_end)
        ),
        "The changes of direction hold the ends; a knot would fill a hole and show. If a bead is \
         full, take the next one."
            .to_string(),
    ]
}

/// `4 to the left in rows 73 and 72, 4 to the right in ..`.
fn legs(band: &WovenBand, passes: &[Pass]) -> String {
    let leg = |passes: &[Pass]| {
        let mut rows: Vec<u32> = passes.iter().map(|pass| band.row_of(pass.bead)).collect();
        let mut seen = std::collections::HashSet::new();
        rows.retain(|row| seen.insert(*row));
        let rows: Vec<String> = rows.iter().map(u32::to_string).collect();
        let of = if rows.len() == 1 { "row" } else { "rows" };
        format!(
            "{} to the {} in {of} {}",
            passes.len(),
            side(passes[0].forward),
            listed(&rows)
        )
    };
    let legs: Vec<String> = passes
        .chunk_by(|one, two| one.forward == two.forward)
        .map(leg)
        .collect();
    legs.join(", ")
}

/// The thread's length with its items; those that take none are left out.
pub(super) fn thread(band: &WovenBand) -> String {
    let item = |&(item, length)| {
        let what = match item {
            Item::Tail => "tail",
            Item::Path => "through the beads",
            Item::Seam => "closing",
            Item::ThreadEnd => "weaving in",
            Item::Handling => "working allowance",
        };
        whole_mm(length).map(|length| format!("{what} {length}"))
    };
    let items: Vec<String> = band.lengths.items.iter().filter_map(item).collect();
    format!(
        "{} m of thread, {} across: {}.",
        metres_to_cut(band.lengths.total()),
        Thread::default().diameter,
        items.join(", ")
    )
}
