//! Which rows of a chart are woven again or left out, and the rows that come of it.

use super::Stretch;
use crate::lattice::Row;

/// What is woven otherwise than the chart has it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RowChanges {
    /// One repeat of so many rows, so many times.
    Repeats {
        /// Rows of a repeat.
        period: u32,
        /// How often it is woven.
        times: u32,
    },
    /// The chart's rows but for those left out, with others added. Nothing where both are empty.
    Rows {
        /// Rows that are added, from the first on.
        added: Vec<AddedRows>,
        /// Rows that are left out, from the first on.
        left_out: Vec<RowRange>,
    },
}

/// Rows that are added.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AddedRows {
    /// The row that they follow.
    pub after: Row,
    /// How many; even.
    pub rows: u32,
    /// The rows that they look like: an odd and an even one, or those of a repeat, from row 1 on.
    pub like: Vec<Row>,
}

/// Rows from one to another, both included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RowRange {
    /// The first.
    pub first: Row,
    /// The last.
    pub last: Row,
}

/// A stretch, numbered as in the whole band, and the pairs of rows added to it, or removed where
/// negative.
#[derive(Debug, Clone, Copy)]
pub(super) struct Change {
    pub(super) stretch: Stretch,
    pub(super) pairs: i64,
}

/// The changes to a band of `count` rows as rows: of a stretch across the seam, its rows at the end
/// of the chart change before those at its beginning. Rows that are added look like those of a
/// repeat of `step` rows.
pub(super) fn changed_rows(changes: &[Change], count: u32, step: u32) -> RowChanges {
    let (mut added, mut left_out) = (Vec::new(), Vec::new());
    for change in changes {
        let (first, end) = change.stretch.span();
        let rows = 2 * change.pairs.unsigned_abs() as u32;
        if change.pairs > 0 {
            added.push(AddedRows {
                after: Row::new(end.min(count)),
                rows,
                like: change.stretch.like(count, step),
            });
        } else if end <= count {
            left_out.extend(range(end - rows, rows));
        } else {
            let at_end = rows.min((count - first) / 2 * 2);
            left_out.extend(range(0, rows - at_end));
            left_out.extend(range(count - at_end, at_end));
        }
    }
    added.sort_by_key(|added| added.after);
    left_out.sort_by_key(|range| range.first);
    RowChanges::Rows { added, left_out }
}

/// `rows` rows after the first `before`; none if there are none.
fn range(before: u32, rows: u32) -> Option<RowRange> {
    (rows > 0).then_some(RowRange {
        first: Row::new(before + 1),
        last: Row::new(before + rows),
    })
}

/// How far the rows of a band are moved up after its changes, so that half of what was added to or
/// removed from the stretch across the seam is at each end of the chart, and the motif stays in the
/// middle. Negative is down.
pub(super) fn centring(changes: &[Change], count: u32) -> i64 {
    let over = changes
        .iter()
        .find(|change| change.stretch.span().1 > count);
    let Some(Change { stretch, pairs }) = over else {
        return 0;
    };
    let rows = 2 * pairs.unsigned_abs() as u32;
    if *pairs > 0 {
        return i64::from(rows / 4 * 2);
    }
    let back = count - stretch.span().0;
    let at_end = rows.min(back / 2 * 2);
    i64::from(removed_at_end(stretch, rows, count)) - i64::from(at_end)
}

/// How many of the rows that are removed from a stretch across the seam come from the end of the
/// chart, so that its motif stays in the middle.
pub(super) fn removed_at_end(stretch: &Stretch, rows: u32, count: u32) -> u32 {
    let (before, end) = stretch.span();
    let (front, back) = ((end - count) / 2 * 2, (count - before) / 2 * 2);
    (rows - (rows / 4 * 2).min(front)).min(back)
}

impl RowChanges {
    /// The chart's rows in their new order, for a band of `count` rows.
    pub(super) fn rows(&self, count: u32) -> Vec<Row> {
        let (added, left_out) = match self {
            Self::Repeats { period, times } => {
                let one = (1..=*period).map(Row::new);
                return (0..*times).flat_map(|_| one.clone()).collect();
            }
            Self::Rows { added, left_out } => (added, left_out),
        };
        let mut rows = Vec::new();
        for row in (1..=count).map(Row::new) {
            if !left_out
                .iter()
                .any(|out| (out.first..=out.last).contains(&row))
            {
                rows.push(row);
            }
            for added in added.iter().filter(|added| added.after == row) {
                let next = row.get() as usize;
                rows.extend(
                    (next..)
                        .take(added.rows as usize)
                        .map(|at| added.like[at % added.like.len()]),
                );
            }
        }
        rows
    }
}
