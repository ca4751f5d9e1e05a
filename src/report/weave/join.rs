//! Joining a new piece of thread, in words.

use super::ends::legs;
use super::{Side, WovenBand, listed};
use crate::units::whole_mm;
use crate::weave::{HANDLING, JoinPasses, TAIL};

/// What is said of all joins.
pub(super) fn joining(band: &WovenBand) -> Vec<String> {
    let Some(joins) = &band.lengths.joins else {
        return Vec::new();
    };
    let kept = whole_mm(HANDLING).unwrap_or_default();
    let tail = whole_mm(TAIL).unwrap_or_default();
    if joins.after.is_empty() {
        return vec![format!(
            "A row alone takes more than a piece of thread: begin a new piece within the row, \
             where {kept} of the old one are left. Weave both ends in, back and forth through \
             beads that are in place already."
        )];
    }
    let row = |after: &usize| band.weave.rows[*after].row.get().to_string();
    let rows: Vec<String> = joins.after.iter().map(row).collect();
    let of = if rows.len() == 1 { "row" } else { "rows" };
    let mut words = vec![format!(
        "Begin a new piece after {of} {}, when the turn is done; {kept} of the old piece have to \
         be left by then. Leave a tail of {tail} on the new one.",
        listed(&rows)
    )];
    let first = rows[0].clone();
    for (nth, (after, passes)) in band.joins().into_iter().enumerate() {
        words.extend(passes.map(|passes| match nth {
            0 => join(band, after, &passes),
            _ => format!(
                "{} Go on as after row {first}, as many rows further on.",
                hanging(band, after, &passes)
            ),
        }));
    }
    words
}

/// Where the old thread is left.
fn hanging(band: &WovenBand, after: usize, passes: &JoinPasses) -> String {
    format!(
        "After row {} the old thread has come out of the edge bead of row {}, to the {}: let it \
         hang.",
        band.weave.rows[after].row.get(),
        band.row_of(passes.leaves.bead),
        Side::of(passes.leaves.forward).word()
    )
}

/// The two ends after one row.
pub(super) fn join(band: &WovenBand, after: usize, passes: &JoinPasses) -> String {
    let bead = band.row_of(passes.leaves.bead);
    let to = Side::of(passes.leaves.forward).word();
    let hanging = hanging(band, after, passes);
    let onto = &passes.new_start[..passes.new_start.len() - 1];
    format!(
        "{hanging} Bring the new thread in without a knot, this many beads at a time: {}. Then \
         go to the {to} through that edge bead of row {bead}, so that the new thread comes out \
         where the old one did, and weave on. Weave the old end in: {}. Trim both ends close.",
        legs(band, onto),
        legs(band, &passes.old_end)
    )
}
