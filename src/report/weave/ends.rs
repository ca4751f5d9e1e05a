//! How the band is closed, how ends are woven in, and how much thread all of it takes, in words.

use super::{Side, WovenBand, listed};
use crate::units::{grouped, metres_to_cut, whole_mm};
use crate::weave::{Item, Pass};

fn side(forward: bool) -> &'static str {
    Side::of(forward).word()
}

/// How the ends of the band are joined.
pub(super) fn close(band: &WovenBand) -> Vec<String> {
    let (out, back) = band.weave.seam.split_at(band.weave.seam.len() / 2);
    let ([first, second, ..], [edge, on, ..]) = (out, back) else {
        return Vec::new();
    };
    let last = band.weave.rows.last().map_or(0, |row| row.row.get());
    let begun = band.row_of(band.weave.strung[band.weave.strung.len() - 1]);
    let rows = band.chart.lattice.rows() as usize;
    vec![
        format!(
            "Count the beads along each edge: {} at the left and as many at the right, for {} \
             rows. Bring the ends together, without a twist: the up beads of row {last} face the \
             gaps of row {begun}, and those of row {begun} the gaps of row {last}, like the teeth \
             of a zip.",
            grouped(rows / 2),
            grouped(rows)
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
pub(super) fn legs(band: &WovenBand, passes: &[Pass]) -> String {
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
            Item::Joins => "joining",
            Item::Handling => "working allowance",
        };
        whole_mm(length).map(|length| format!("{what} {length}"))
    };
    let items: Vec<String> = band.lengths.items.iter().filter_map(item).collect();
    format!(
        "{} m of thread of {}: {}.",
        metres_to_cut(band.lengths.total()),
        band.lengths.thread.described(),
        items.join(", ")
    )
}
