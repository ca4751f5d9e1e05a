//! How a chart is cut into parts that fit a sheet: rows that two parts share, columns that two
//! parts share, and the scale.

use crate::lattice::{Column, Lattice, Row};
use crate::units::Mm;
use std::ops::RangeInclusive;

/// Rows, or columns, that neighbouring parts share.
pub(super) const SHARED: u32 = 2;

/// How a chart is cut.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cut {
    /// Times true size.
    pub(super) scale: f64,
    /// First and last row of each part, from row 1.
    pub(super) rows: Vec<(u32, u32)>,
    /// First and last column of each part, from column 1.
    pub(super) columns: Vec<(u32, u32)>,
}

impl Cut {
    /// The largest of the scales that fits a room `wide` and `high` in one part; where none does,
    /// as few parts as the least scale allows, drawn as large as they fit.
    pub(super) fn new(lattice: &Lattice, wide: Mm, high: Mm, scales: RangeInclusive<f64>) -> Self {
        let (least, most) = scales.into_inner();
        let (length, half) = (lattice.bead().length, lattice.bead().diameter / 2.0);
        let fits = |rows: u32, columns: u32| {
            let down = high / (half * f64::from(rows + 1));
            let across = wide / (length * f64::from(columns));
            down.min(across).min(most)
        };
        let (rows, columns) = (lattice.rows(), lattice.columns());
        // Rounding must not make a second part of what fits exactly.
        let within = |room: Mm, one: Mm| ((room / (one * least)) + 1e-9) as u32;
        let (rows, columns) = if fits(rows, columns) >= least {
            (vec![(1, rows)], vec![(1, columns)])
        } else {
            (
                parts(rows, within(high, half).saturating_sub(1)),
                parts(columns, within(wide, length)),
            )
        };
        let longest =
            |parts: &[(u32, u32)]| parts.iter().map(|(a, b)| b + 1 - a).max().unwrap_or(1);
        Self {
            scale: fits(longest(&rows), longest(&columns)),
            rows,
            columns,
        }
    }

    /// Each part's rows and columns, and how many rows it shares with the parts below and above;
    /// row 1 first, then from the left.
    pub(super) fn all(&self) -> Vec<Piece> {
        let last = self.rows.len() - 1;
        let mut pieces = Vec::new();
        for (at, &(first, end)) in self.rows.iter().enumerate() {
            for &(left, right) in &self.columns {
                pieces.push(Piece {
                    rows: (Row::new(first), Row::new(end)),
                    columns: (Column::new(left), Column::new(right)),
                    again: (
                        if at > 0 { SHARED } else { 0 },
                        if at < last { SHARED } else { 0 },
                    ),
                });
            }
        }
        pieces
    }
}

/// A part of a chart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Piece {
    pub(super) rows: (Row, Row),
    pub(super) columns: (Column, Column),
    pub(super) again: (u32, u32),
}

/// As few parts of at most `most` as cover 1 to `last` with [`SHARED`] shared, all about as long.
fn parts(last: u32, most: u32) -> Vec<(u32, u32)> {
    let most = most.max(SHARED + 2).min(last);
    if last <= most {
        return vec![(1, last)];
    }
    let count = (last - SHARED).div_ceil(most - SHARED);
    let begin = |at: u32| {
        let step = f64::from(last - SHARED) / f64::from(count);
        (f64::from(at) * step).round() as u32 + 1
    };
    (0..count)
        .map(|at| (begin(at), begin(at + 1) - 1 + SHARED))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bead::Bead;
    use crate::lattice::Rows;

    #[test]
    fn parts_cover_all_and_share_two() {
        for last in 2..400 {
            for most in 4..90 {
                let parts = parts(last, most);
                assert_eq!((parts[0].0, parts[parts.len() - 1].1), (1, last));
                for pair in parts.windows(2) {
                    assert_eq!(
                        pair[0].1 + 1 - pair[1].0,
                        SHARED,
                        "{last} by {most}: {parts:?}"
                    );
                }
                assert!(
                    parts.iter().all(|(a, b)| b + 1 - a <= most),
                    "{last} by {most}: {parts:?}"
                );
            }
        }
    }

    #[test]
    fn what_fits_is_one_part_and_what_does_not_is_cut_both_ways() {
        let (wide, high) = (Mm::new(140.0), Mm::new(230.0));
        let cut = |columns, rows| {
            let lattice = Lattice::new(Bead::default(), columns, Rows::closed(rows).unwrap());
            Cut::new(&lattice.unwrap(), wide, high, 2.7..=4.2)
        };
        assert_eq!(cut(9, 74).all().len(), 1);
        // 81 columns of 1.3 mm at 2.7 are 284 mm, 240 rows of 0.8 mm are 521 mm.
        let panel = cut(81, 240);
        assert_eq!((panel.columns.len(), panel.rows.len()), (3, 3));
        assert!(panel.scale >= 2.7);
    }
}
