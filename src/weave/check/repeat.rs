//! A pattern that repeats along the band, in rows that are not a whole number of repeats.
//!
//! A repeat is a translation by rows and columns under which every bead meets its own colour; one
//! that goes straight along the band is its period. Diagonal repeats count too: two that are not
//! parallel give a straight one, `(a, b)` and `(c, d)` that of `|ad - bc| / gcd(b, d)` rows.

use super::Finding;
use crate::chart::Chart;
use crate::chart::resize::{GAP, GAP_DIFFERENCE};
use crate::lattice::{FEWEST_CLOSED, MOST_ROWS, Row};
use std::collections::HashMap;

/// Rows of the longest diagonal step that is looked for. Ours.
const DIAGONAL: i64 = 64;
/// Beads of the largest band that is searched for diagonal steps. Ours.
const MOST_BEADS: usize = 100_000;
/// Fewest rows that have to come again where a diagonal pattern is not seen twice. Ours.
const OVERLAP: usize = 8;
/// Share of the beads that a diagonal step may leave without a partner on the band. Ours.
const UNMATCHED: f64 = 0.1;
/// Row counts that are named.
const NAMED: usize = 4;

/// The rows of a closed band, each as a number that equal rows share.
struct Rows {
    rows: Vec<usize>,
    /// Whether a row is of one colour, and which.
    plain: Vec<Option<u16>>,
}

impl Rows {
    fn of(chart: &Chart) -> Self {
        let mut known = HashMap::new();
        let (mut rows, mut plain) = (Vec::new(), Vec::new());
        for row in chart.lattice.all_rows() {
            let beads = chart.row(row);
            let next = known.len();
            // Odd and even rows lie in other columns, so that they are never equal.
            let key = (row.get() % 2, beads);
            rows.push(*known.entry(key).or_insert(next));
            let one = beads.iter().all(|bead| *bead == beads[0]);
            plain.push(one.then_some(beads[0]));
        }
        Self { rows, plain }
    }

    /// The fewest rows after which all of the band repeats, where it shows two repeats or more.
    ///
    /// The prefix function of D. E. Knuth, J. H. Morris, V. R. Pratt, "Fast pattern matching in
    /// strings", SIAM Journal on Computing 6(2), 323-350, 1977.
    fn period(&self) -> Option<usize> {
        let mut prefix = vec![0; self.rows.len()];
        for at in 1..self.rows.len() {
            let mut length: usize = prefix[at - 1];
            while length > 0 && self.rows[at] != self.rows[length] {
                length = prefix[length - 1];
            }
            prefix[at] = length + usize::from(self.rows[at] == self.rows[length]);
        }
        let period = self.rows.len() - prefix.last()?;
        (2 * period <= self.rows.len()).then_some(period)
    }

    /// Whether the rows repeat after `period`, as far as the band goes.
    fn repeat_after(&self, period: usize) -> bool {
        let rows = &self.rows;
        rows.iter()
            .zip(rows.iter().skip(period))
            .all(|(one, other)| one == other)
    }

    /// The fewest rows after which the band repeats, seen less than twice: at least [`OVERLAP`]
    /// rows, few of them plain, come again.
    fn long_period(&self) -> Option<usize> {
        let count = self.rows.len();
        let longest = count.checked_sub(OVERLAP)?;
        let mut periods = (count / 2..=longest).filter(|period| period.is_multiple_of(2));
        periods.find(|&period| {
            let again = &self.plain[..count - period];
            let plain = again.iter().filter(|row| row.is_some()).count();
            4 * plain <= again.len() && self.repeat_after(period)
        })
    }

    /// Whether motifs stand on a ground whose gap at the seam is about as long as the others.
    fn is_gap_at_seam(&self, period: usize) -> bool {
        if self.plain.iter().all(Option::is_some) {
            return false;
        }
        let run = |rows: &mut dyn Iterator<Item = &Option<u16>>, colour: Option<u16>| {
            rows.take_while(|row| **row == colour).count()
        };
        let (Some(first), Some(last)) = (self.plain.first(), self.plain.last()) else {
            return false;
        };
        if first != last || first.is_none() {
            return false;
        }
        let (start, end) = (
            run(&mut self.plain.iter(), *first),
            run(&mut self.plain.iter().rev(), *first),
        );
        // The same gap one repeat further in: its rows before and after the end of a repeat.
        let inside = start + run(&mut self.plain[..period].iter().rev(), *first);
        let seam = start + end;
        let (gap, share) = (GAP as usize, GAP_DIFFERENCE as usize);
        inside >= gap && share * seam.abs_diff(inside) <= inside
    }
}

/// The pattern's period where the rows are not a whole number of it.
pub(super) fn repeat(chart: &Chart) -> Option<Finding> {
    let lattice = &chart.lattice;
    if !lattice.is_closed() {
        return None;
    }
    let rows = Rows::of(chart);
    let count = rows.rows.len();
    let period = rows.period().or_else(|| diagonal(chart, &rows))?;
    if count.is_multiple_of(period) || (2 * period <= count && rows.is_gap_at_seam(period)) {
        return None;
    }
    let fitting = fitting(count as u32, period as u32);
    (!fitting.is_empty()).then_some(Finding::Repeat {
        period: period as u32,
        fitting,
    })
}

/// The row counts that fit, nearest first; of two as near the smaller first.
fn fitting(rows: u32, period: u32) -> Vec<u32> {
    let below = (1..=rows / period).rev().map(|times| times * period);
    let above = (rows / period + 1..).map(|times| times * period);
    let near = below.take(NAMED).chain(above.take(NAMED));
    let mut near: Vec<u32> = near
        .filter(|count| (FEWEST_CLOSED..=MOST_ROWS).contains(count))
        .collect();
    near.sort_by_key(|count| (count.abs_diff(rows), *count));
    near.truncate(NAMED);
    near
}

/// The period that two diagonal steps make together, longer than half the band.
fn diagonal(chart: &Chart, rows: &Rows) -> Option<usize> {
    let lattice = &chart.lattice;
    if lattice.len() > MOST_BEADS {
        return None;
    }
    let (count, columns) = (i64::from(lattice.rows()), i64::from(lattice.columns()));
    let mut steps: Vec<(i64, i64)> = Vec::new();
    let mut least: Option<i64> = None;
    for up in 0..=DIAGONAL.min(count / 2) {
        for across in -columns / 2..=columns / 2 {
            let unmatched = (up * across.abs()) as f64 / lattice.len() as f64;
            let is_step = (up + across) % 2 == 0 && (up > 0 || across > 0) && across != 0;
            if !is_step || unmatched > UNMATCHED || !holds(chart, up, across) {
                continue;
            }
            for &(other_up, other_across) in &steps {
                let straight = (up * other_across - other_up * across).abs();
                let straight = straight / gcd(across.abs(), other_across.abs());
                if straight > 0 && rows.repeat_after(straight as usize) {
                    least = Some(least.map_or(straight, |least| least.min(straight)));
                }
            }
            steps.push((up, across));
        }
    }
    let leans = steps.iter().any(|&(up, _)| up > 0);
    let seen = if leans { rows.long_period() } else { None };
    // One motif that only leans is no repeat: its period would be seen on the band, or nearly.
    let least = least
        .filter(|&period| period <= 2 * count)
        .map(|period| period as usize);
    least.into_iter().chain(seen).min()
}

/// Whether every bead meets its own colour so many rows up and columns across, off the seam.
fn holds(chart: &Chart, up: i64, across: i64) -> bool {
    let lattice = &chart.lattice;
    let last = lattice.rows() - up as u32;
    (1..=last).all(|row| {
        lattice.span_of(Row::new(row)).all(|bead| {
            let other = lattice.step(bead, up, across);
            other.is_none_or(|other| chart.beads[other] == chart.beads[bead])
        })
    })
}

fn gcd(one: i64, other: i64) -> i64 {
    if other == 0 {
        one
    } else {
        gcd(other, one % other)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn row_counts_that_fit_are_named_nearest_first() {
        assert_eq!(fitting(74, 8), [72, 80, 64, 88]);
        assert_eq!(fitting(76, 8), [72, 80, 64, 88]);
        assert_eq!(fitting(20, 18), [18, 36, 54, 72]);
        assert_eq!(fitting(10, 4), [8, 12, 16, 20]);
    }
}
