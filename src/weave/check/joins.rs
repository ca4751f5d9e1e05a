//! Where a new thread is begun.

use super::Finding;
use crate::chart::Chart;
use crate::lattice::Row;
use crate::units::Mm;
use crate::weave::passes::Weave;
use crate::weave::pieces::even;
use crate::weave::thread::{
    COMFORTABLE, HANDLING, Item, ONE_PIECE, TAIL, Thread, lengths, lengths_by_row,
};

/// A thread that is longer than `limit`, without the tail that hangs at the stopper bead and is not
/// drawn through.
///
/// Each piece spends its tail, its working allowance and its woven-in end; the rest of it is sewn.
/// Up to [`ONE_PIECE`], or as much beyond another `limit`, one piece still does; beyond that pieces
/// are as few as they can be, and then about equal.
pub(super) fn long(chart: &Chart, work: &Weave, thread: Thread, limit: Mm) -> Option<Finding> {
    let items = lengths(&chart.lattice, work, thread, TAIL);
    let length = items.drawn();
    if length <= limit {
        return None;
    }
    if is_one_piece(length, limit) {
        return Some(Finding::Long {
            length,
            limit,
            joins: Vec::new(),
            piece: items.total() - items.item(Item::Joins),
        });
    }
    let spent = TAIL + HANDLING + items.item(Item::ThreadEnd);
    let mut ends: Vec<f64> = lengths_by_row(&chart.lattice, work, thread)
        .into_iter()
        .map(Mm::get)
        .collect();
    // The seam is sewn with the last piece.
    *ends.last_mut()? += items.item(Item::Seam).get();
    let (joins, piece) = match even(&ends, (limit - spent).get()) {
        Some((joins, longest)) => (joins, spent + Mm::new(longest)),
        None => (Vec::new(), limit),
    };
    Some(Finding::Long {
        length,
        limit,
        joins: joins.into_iter().map(|at| work.rows[at].row).collect(),
        piece,
    })
}

/// The places in [`Weave::rows`] after which this finding begins new threads.
pub(super) fn places(work: &Weave, long: Option<&Finding>) -> Vec<usize> {
    let Some(Finding::Long { joins, .. }) = long else {
        return Vec::new();
    };
    let place = |row: &Row| work.rows.iter().position(|woven| woven.row == *row);
    joins.iter().filter_map(place).collect()
}

/// Whether a thread that is longer than `limit` is still woven in one piece.
pub fn is_one_piece(length: Mm, limit: Mm) -> bool {
    length <= limit * (ONE_PIECE / COMFORTABLE)
}
