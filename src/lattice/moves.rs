//! Patterns moved over the lattice: for each bead, the bead whose colour it takes.

use super::{Axis, Column, Lattice, Row};
use crate::error::{Error, Result};
use crate::units::Mm;

/// How far a pattern moves: rows up and columns to the right, negative ones down and to the left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shift {
    /// Rows up.
    pub up: i64,
    /// Columns to the right.
    pub right: i64,
}

/// How a pattern is flipped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flip {
    /// Left and right change places.
    Columns,
    /// The first and the last rows change places.
    Rows,
    /// Both: the band turned half round, with its other end up.
    Both,
}

impl Lattice {
    /// For each bead, the bead that comes to lie there when the pattern moves by `shift`.
    ///
    /// What leaves on one side comes in on the other, on an open strip too: each column and each
    /// row goes round by itself, so that the opposite shift undoes it.
    ///
    /// # Errors
    /// If rows and columns are not both even: beads would fall between beads. Both may be odd where
    /// the band has an even number of columns and of rows, whose rows are all of one length.
    pub fn shifted_from(&self, shift: Shift) -> Result<Vec<usize>> {
        self.check_shift(shift)?;
        let source = |index| {
            let (row, column) = self.position(index);
            let own = row.get() % 2;
            let around = |count: u32| i64::from(count - count % 2 + (count % 2) * 2 * own);
            let back = |number: u32, by: i64, count: u32| {
                (i64::from(number) - 1 - by).rem_euclid(around(count).max(1)) as u32 + 1
            };
            let from = Row(back(row.get(), shift.up, self.rows.count));
            let column = Column(back(column.get(), shift.right, self.columns));
            self.index(from, column).unwrap_or(index)
        };
        Ok((0..self.len()).map(source).collect())
    }

    fn check_shift(&self, shift: Shift) -> Result<()> {
        let odd = |number: i64| number.rem_euclid(2) == 1;
        let uneven = !self.columns.is_multiple_of(2) || !self.rows.count.is_multiple_of(2);
        if odd(shift.up) != odd(shift.right) {
            let hint = if uneven {
                "move it by an even number of rows and an even number of columns"
            } else {
                "make rows and columns both even or both odd"
            };
            return Err(Error::usage(
                "the beads would fall between beads: one of rows and columns is odd",
            )
            .hint(hint));
        }
        if odd(shift.up) && uneven {
            let (what, thing) = if self.columns.is_multiple_of(2) {
                (self.rows.count, "rows")
            } else {
                (self.columns, "columns")
            };
            return Err(Error::usage(format!(
                "a band of {what} {thing} cannot move by an odd number: odd and even {thing} \
                 differ in length"
            ))
            .hint("move it by an even number of rows and an even number of columns"));
        }
        Ok(())
    }

    /// For each bead, the bead that comes to lie there when the pattern is flipped; flipped twice
    /// it is as before. The first and the last rows change places about the middle row, on a closed
    /// band about row `N/2`.
    ///
    /// # Errors
    /// If the flipped beads would fall between beads.
    pub fn flipped_from(&self, flip: Flip) -> Result<Vec<usize>> {
        let ends = self.ends_axis(Mm::new(0.0));
        let axes: &[Axis] = match flip {
            Flip::Columns => &[Axis::Columns],
            Flip::Rows => &[ends],
            // An even number of columns has the half turn, though neither of its parts.
            Flip::Both if self.columns.is_multiple_of(2) => return self.half_turned_from(),
            Flip::Both => &[Axis::Columns, ends],
        };
        for &axis in axes {
            self.check_mirror(axis)?;
        }
        let source = |index| {
            let image = |at, &axis| self.mirrored(at, axis).unwrap_or(at);
            axes.iter().fold(index, image)
        };
        Ok((0..self.len()).map(source).collect())
    }

    /// The half turn of a band with an even number of columns.
    fn half_turned_from(&self) -> Result<Vec<usize>> {
        let (rows, columns) = (self.rows.count, self.columns);
        if !rows.is_multiple_of(2) {
            return Err(Error::new(format!(
                "{columns} columns of {rows} rows cannot be turned half round: the beads would \
                 fall between beads"
            ))
            .hint(format!("use {} or {} rows", rows - 1, rows + 1)));
        }
        let source = |index| {
            let (row, column) = self.position(index);
            let turned = self.index(
                Row(rows + 1 - row.get()),
                Column(columns + 1 - column.get()),
            );
            turned.unwrap_or(index)
        };
        Ok((0..self.len()).map(source).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bead::Bead;
    use crate::lattice::Rows;

    fn bands() -> Vec<Lattice> {
        let closed =
            [(9, 12), (8, 12), (3, 6)].map(|(columns, rows)| (columns, Rows::closed(rows)));
        let open = [(9, 12), (9, 13), (8, 13), (4, 2)];
        let open = open.map(|(columns, rows)| (columns, Rows::open(rows)));
        let all = closed.into_iter().chain(open);
        all.map(|(columns, rows)| Lattice::new(Bead::default(), columns, rows.unwrap()).unwrap())
            .collect()
    }

    fn is_each_once(from: &[usize]) -> bool {
        let mut all = from.to_vec();
        all.sort_unstable();
        all.iter().enumerate().all(|(at, &bead)| at == bead)
    }

    #[test]
    fn every_bead_of_a_shifted_pattern_has_one_place_and_the_opposite_shift_undoes_it() {
        for band in bands() {
            let mut count = 0;
            for (up, right) in [(2, 0), (-4, 2), (0, -6), (1, 1), (3, -1), (2, 1)] {
                let Ok(from) = band.shifted_from(Shift { up, right }) else {
                    continue;
                };
                count += 1;
                assert!(is_each_once(&from), "{band:?} {up} {right}");
                let (up, right) = (-up, -right);
                let back = band.shifted_from(Shift { up, right }).unwrap();
                assert!((0..band.len()).all(|at| from[back[at]] == at));
            }
            let even = band.columns().is_multiple_of(2) && band.rows().is_multiple_of(2);
            assert_eq!(count, if even { 5 } else { 3 }, "{band:?}");
        }
    }

    #[test]
    fn all_rows_round_a_closed_band_come_back_to_their_place() {
        for band in bands().iter().filter(|band| band.is_closed()) {
            let shift = Shift {
                up: i64::from(band.rows()),
                right: 0,
            };
            let from = band.shifted_from(shift).unwrap();
            assert!(from.iter().enumerate().all(|(at, &bead)| at == bead));
        }
    }

    #[test]
    fn a_pattern_flipped_twice_is_as_before() {
        for band in bands() {
            for flip in [Flip::Columns, Flip::Rows, Flip::Both] {
                let Ok(from) = band.flipped_from(flip) else {
                    continue;
                };
                assert!((0..band.len()).all(|at| from[from[at]] == at), "{band:?}");
            }
        }
        let ring = bands()[1];
        assert!(ring.flipped_from(Flip::Columns).is_err());
        assert_eq!(ring.flipped_from(Flip::Both).unwrap()[0], ring.len() - 1);
    }
}
