//! Which rows of the design to weave for another size, in words: a weaver has the chart of one size
//! and makes the others from it.

use crate::chart::resize::{AddedRows, Resizer, RowChanges, RowRange};

/// The rows of the design to weave for a band of `rows` rows; empty if it cannot have so many.
pub(super) fn rows_to_weave(resizer: &Resizer, rows: u32) -> String {
    let count = resizer.period() * resizer.repeats();
    match resizer.changes(rows) {
        None => String::new(),
        Some(RowChanges::Repeats { period, times: 1 }) => format!("rows 1 to {period}"),
        Some(RowChanges::Repeats { period: 2, times }) => format!("rows 1 and 2, {times} times"),
        Some(RowChanges::Repeats { period, times }) => format!("rows 1 to {period}, {times} times"),
        Some(RowChanges::Rows { added, left_out }) => {
            let is_plain = resizer.plain_colour().is_some();
            without(&left_out, count) + &with(&added, count, is_plain)
        }
    }
}

/// `rows 3 to 70 without rows 15 and 16`.
fn without(left_out: &[RowRange], count: u32) -> String {
    let (mut first, mut last) = (1, count);
    let mut inside = Vec::new();
    for range in left_out {
        let (from, to) = (range.first.get(), range.last.get());
        if from == 1 {
            first = to + 1;
        } else if to == count {
            last = from - 1;
        } else if to == from + 1 {
            inside.push(format!("{from} and {to}"));
        } else {
            inside.push(format!("{from} to {to}"));
        }
    }
    let rows = format!("rows {first} to {last}");
    if inside.is_empty() {
        rows
    } else {
        format!("{rows} without rows {}", inside.join(", "))
    }
}

/// `, with 2 more plain rows after each of rows 14 and 32, then 2 more plain rows`.
fn with(added: &[AddedRows], count: u32, is_plain: bool) -> String {
    let more = |added: &AddedRows| {
        let mut like: Vec<u32> = added.like.iter().map(|row| row.get()).collect();
        like.sort_unstable();
        match like[..] {
            _ if is_plain => format!("{} more plain rows", added.rows),
            [one, other] => format!("{} more rows like rows {one} and {other}", added.rows),
            [..] => format!("{} more rows, as the border goes on", added.rows),
        }
    };
    let (at_end, inside): (Vec<&AddedRows>, Vec<&AddedRows>) =
        added.iter().partition(|added| added.after.get() == count);
    let mut text = String::new();
    for same in inside.chunk_by(|one, other| more(one) == more(other)) {
        let after: Vec<String> = same
            .iter()
            .map(|added| added.after.get().to_string())
            .collect();
        let place = match &after[..] {
            [first @ .., last] if !first.is_empty() => {
                format!("each of rows {} and {last}", first.join(", "))
            }
            _ => format!("row {}", after.concat()),
        };
        text += &format!(", with {} after {place}", more(same[0]));
    }
    for added in at_end {
        text += &format!(", then {}", more(added));
    }
    text
}
