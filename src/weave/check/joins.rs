//! Where a new thread is begun.

use super::Finding;
use crate::chart::Chart;
use crate::units::Mm;
use crate::weave::passes::Weave;
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
            piece: items.total(),
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

/// Whether a thread that is longer than `limit` is still woven in one piece.
pub fn is_one_piece(length: Mm, limit: Mm) -> bool {
    length <= limit * (ONE_PIECE / COMFORTABLE)
}

/// The places in `ends` after which a piece ends, as few as pieces of `most` allow and then about
/// equal, and the longest piece.
///
/// None if a row alone is longer than `most`.
fn even(ends: &[f64], most: f64) -> Option<(Vec<usize>, f64)> {
    let row = |at: usize| ends[at] - if at > 0 { ends[at - 1] } else { 0.0 };
    let longest_row = (0..ends.len()).map(row).fold(0.0, f64::max);
    if longest_row > most {
        return None;
    }
    let (few, _) = greedy(ends, most);
    // Pieces of their mean and one row are enough for the same number: each sews its mean at least.
    let mean = ends.last().copied().unwrap_or(0.0) / (few.len() + 1) as f64;
    Some(greedy(ends, most.min(mean + longest_row)))
}

fn greedy(ends: &[f64], most: f64) -> (Vec<usize>, f64) {
    let (mut joins, mut start, mut longest) = (Vec::new(), 0.0, 0.0f64);
    for at in 1..ends.len() {
        if ends[at] - start > most + 1e-9 {
            longest = longest.max(ends[at - 1] - start);
            joins.push(at - 1);
            start = ends[at - 1];
        }
    }
    let last = ends.last().map_or(0.0, |end| end - start);
    (joins, longest.max(last))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_are_few_and_then_about_equal() {
        let ends: Vec<f64> = (1..=10).map(|at| f64::from(at) * 10.0).collect();
        // Two pieces of 60 and 40 would do; 60 is a mean of 50 and a row of 10 anyway.
        assert_eq!(even(&ends, 90.0), Some((vec![5], 60.0)));
        assert_eq!(even(&ends, 50.0), Some((vec![4], 50.0)));
        assert_eq!(even(&ends, 45.0), Some((vec![3, 7], 40.0)));
        // A row longer than any thread.
        assert_eq!(even(&[100.0, 200.0], 50.0), None);
    }
}
