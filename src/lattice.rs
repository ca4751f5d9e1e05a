//! The staggered lattice of a band: shape, parity, neighbours, wrap, rectangles. No other module
//! computes with half beads.
//!
//! Columns `1..=W` run across the band, rows `1..=N` round the finger. Row `r` fills the columns
//! `c` with `c ≡ r (mod 2)`. A bead's centre lies at `x = (c - 1/2) L`, `y = r D/2`, with `y`
//! upwards from the lower edge: the lattice is made of *half rows* of height `D/2`, and bead `(r,
//! c)` covers the half rows `r - 1` and `r` of its column. A closed band has an even `N`; its half
//! row `N` is half row 0 again.
//!
//! Beads are numbered in lattice order: row 1 first, then by column. Every array with one item a
//! bead is in this order.

mod moves;

pub use moves::{Flip, Shift};

use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::units::{Mm, grouped};
use std::ops::Range;

/// Fewest and most columns.
pub const COLUMNS: (u32, u32) = (3, 1000);
/// Fewest rows of a closed band: three beads round each column.
pub const FEWEST_CLOSED: u32 = 6;
/// Fewest rows of an open band.
pub const FEWEST_OPEN: u32 = 2;
/// Most rows.
pub const MOST_ROWS: u32 = 20_000;
/// Most beads in a band.
pub const MOST_BEADS: usize = 2_000_000;

/// A row's number, from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Row(u32);

/// A column's number, from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Column(u32);

impl Row {
    /// Row number `number`, from 1; whether a lattice has it is the lattice's to say.
    pub const fn new(number: u32) -> Self {
        Self(number)
    }
    /// The number, from 1.
    pub const fn get(self) -> u32 {
        self.0
    }
}

impl Column {
    /// Column number `number`, from 1; whether a lattice has it is the lattice's to say.
    pub const fn new(number: u32) -> Self {
        Self(number)
    }
    /// The number, from 1.
    pub const fn get(self) -> u32 {
        self.0
    }
}

/// A checked number of rows, and whether they close into a ring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rows {
    count: u32,
    closed: bool,
}

impl Rows {
    /// Rows of a closed band.
    ///
    /// # Errors
    /// If `count` is odd (the nearest even counts are named), below 6 or above 20,000.
    pub fn closed(count: u32) -> Result<Self> {
        Self::bounded(count, FEWEST_CLOSED)?;
        if count % 2 == 1 {
            let (below, above) = (count - 1, count + 1);
            let fits = |rows: &u32| (FEWEST_CLOSED..=MOST_ROWS).contains(rows);
            let choices: Vec<String> = [below, above]
                .into_iter()
                .filter(fits)
                .map(|rows| rows.to_string())
                .collect();
            let choice = format!("use {}", choices.join(" or "));
            return Err(Error::new(format!(
                "{} do not close into a ring",
                counted(count, "row")
            ))
            .hint(format!(
                "{choice}; an even count lets the last row zip to the first"
            )));
        }
        Ok(Self {
            count,
            closed: true,
        })
    }

    /// Rows of a flat strip, odd or even.
    ///
    /// # Errors
    /// If `count` is below 2 or above 20,000.
    pub fn open(count: u32) -> Result<Self> {
        Self::bounded(count, FEWEST_OPEN)?;
        Ok(Self {
            count,
            closed: false,
        })
    }

    /// The number of rows.
    pub const fn count(self) -> u32 {
        self.count
    }

    /// Whether row `N` zips to row 1.
    pub const fn is_closed(self) -> bool {
        self.closed
    }

    fn bounded(count: u32, fewest: u32) -> Result<()> {
        if (fewest..=MOST_ROWS).contains(&count) {
            return Ok(());
        }
        Err(
            Error::new(format!("{} cannot be charted", counted(count, "row"))).hint(format!(
                "use {fewest} to {} rows",
                grouped(MOST_ROWS as usize)
            )),
        )
    }
}

/// `1 row`, `74 rows`.
fn counted(count: u32, thing: &str) -> String {
    let ending = if count == 1 { "" } else { "s" };
    format!("{} {thing}{ending}", grouped(count as usize))
}

/// A rectangle in millimetres, `y` upwards from the band's lower edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rectangle {
    /// Left edge.
    pub left: Mm,
    /// Right edge.
    pub right: Mm,
    /// Lower edge.
    pub bottom: Mm,
    /// Upper edge; beyond the period where a closed band's row `N` wraps.
    pub top: Mm,
}

/// A bead beside another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Neighbour {
    /// Its place in lattice order.
    pub index: usize,
    /// Between the centres.
    pub distance: Mm,
}

/// A symmetry that a chart can be given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Axis {
    /// Across the centre column: left and right alike.
    Columns,
    /// End to end: the band reads the same both ways from this row. On a closed band the axis also
    /// runs through the opposite row, `N/2` further; an open band has it in the middle row alone.
    Rows(Row),
}

/// The shape of a band: see the head of this module.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lattice {
    bead: Bead,
    columns: u32,
    rows: Rows,
}

impl Lattice {
    /// A band of `columns` by `rows` of one kind of bead.
    ///
    /// # Errors
    /// If `columns` is not between 3 and 1000, or the band would have more than 2 million beads.
    pub fn new(bead: Bead, columns: u32, rows: Rows) -> Result<Self> {
        if !(COLUMNS.0..=COLUMNS.1).contains(&columns) {
            return Err(Error::new(format!(
                "{} cannot be woven",
                counted(columns, "column")
            ))
            .hint(format!(
                "use {} to {}; a ring usually has 5 to 15, and an odd count has a centre column",
                COLUMNS.0, COLUMNS.1
            )));
        }
        let lattice = Self {
            bead,
            columns,
            rows,
        };
        if lattice.len() > MOST_BEADS {
            return Err(Error::new(format!(
                "{} beads are more than one band can have",
                grouped(lattice.len())
            ))
            .hint(format!("keep to {}", grouped(MOST_BEADS))));
        }
        Ok(lattice)
    }

    /// The bead it is woven of.
    pub const fn bead(&self) -> Bead {
        self.bead
    }

    /// Number of columns, `W`.
    pub const fn columns(&self) -> u32 {
        self.columns
    }

    /// Number of rows, `N`.
    pub const fn rows(&self) -> u32 {
        self.rows.count
    }

    /// Whether row `N` zips to row 1.
    pub const fn is_closed(&self) -> bool {
        self.rows.closed
    }

    /// Number of beads.
    pub const fn len(&self) -> usize {
        self.row_start(self.rows.count + 1)
    }

    /// Never: a lattice has beads. (Here because `len` is.)
    pub const fn is_empty(&self) -> bool {
        false
    }

    /// The column in the middle, where the count is odd.
    pub const fn centre_column(&self) -> Option<Column> {
        match self.columns % 2 {
            1 => Some(Column(self.columns / 2 + 1)),
            _ => None,
        }
    }

    /// Every row, from row 1.
    pub fn all_rows(&self) -> impl DoubleEndedIterator<Item = Row> + ExactSizeIterator + use<> {
        (0..self.rows.count as usize).map(|at| Row(at as u32 + 1))
    }

    /// How many beads `row` has: `(W+1)/2` or `(W-1)/2` for an odd `W`, `W/2` for an even one.
    pub const fn beads_in(&self, row: Row) -> usize {
        ((self.columns + row.0 % 2) / 2) as usize
    }

    /// The columns that `row` fills, from the left.
    pub fn columns_of(
        &self,
        row: Row,
    ) -> impl DoubleEndedIterator<Item = Column> + ExactSizeIterator + use<> {
        let first = 2 - row.0 % 2;
        (0..self.beads_in(row)).map(move |at| Column(first + 2 * at as u32))
    }

    /// The bead at `(row, column)` in lattice order, if the lattice has one there.
    pub const fn index(&self, row: Row, column: Column) -> Option<usize> {
        let inside = row.0 >= 1
            && row.0 <= self.rows.count
            && column.0 >= 1
            && column.0 <= self.columns
            && row.0 % 2 == column.0 % 2;
        if inside {
            Some(self.row_start(row.0) + ((column.0 - 1) / 2) as usize)
        } else {
            None
        }
    }

    /// Row and column of bead `index`, which must be below [`Lattice::len`].
    pub const fn position(&self, index: usize) -> (Row, Column) {
        let pair = index / self.columns as usize;
        let within = index % self.columns as usize;
        let odd_row = self.columns.div_ceil(2) as usize;
        if within < odd_row {
            (Row(pair as u32 * 2 + 1), Column(within as u32 * 2 + 1))
        } else {
            (
                Row(pair as u32 * 2 + 2),
                Column((within - odd_row) as u32 * 2 + 2),
            )
        }
    }

    /// Where `row` starts in lattice order; two rows together always hold `W` beads.
    const fn row_start(&self, row: u32) -> usize {
        let before = (row - 1) as usize;
        let odd_row = self.columns.div_ceil(2) as usize;
        (before / 2) * self.columns as usize + (before % 2) * odd_row
    }

    /// The places of `row`'s beads in lattice order.
    pub const fn span_of(&self, row: Row) -> std::ops::Range<usize> {
        self.row_start(row.0)..self.row_start(row.0 + 1)
    }

    /// A bead's centre: across the band from its left edge, and upwards from its lower edge.
    pub fn centre(&self, row: Row, column: Column) -> (Mm, Mm) {
        (
            self.bead.length * (f64::from(column.0) - 0.5),
            self.bead.diameter * (f64::from(row.0) / 2.0),
        )
    }

    /// The rectangle that a bead covers; on a closed band row `N`'s reaches beyond the period,
    /// where it wraps.
    pub fn rectangle(&self, row: Row, column: Column) -> Rectangle {
        let (x, y) = self.centre(row, column);
        Rectangle {
            left: x - self.bead.length / 2.0,
            right: x + self.bead.length / 2.0,
            bottom: y - self.bead.diameter / 2.0,
            top: y + self.bead.diameter / 2.0,
        }
    }

    /// Width of the band, `W L`.
    pub fn width(&self) -> Mm {
        self.bead.length * f64::from(self.columns)
    }

    /// Height of the flat band, `(N + 1) D/2`.
    pub fn flat_height(&self) -> Mm {
        self.bead.diameter * (f64::from(self.rows.count + 1) / 2.0)
    }

    /// The height that a picture covers: one period `N D/2` of a closed band, the flat height of an
    /// open one.
    pub fn picture_height(&self) -> Mm {
        self.bead.diameter * (f64::from(self.half_rows()) / 2.0)
    }

    /// Half rows of height `D/2` that a picture covers: `N` on a closed band, `N + 1` on an open
    /// one.
    pub const fn half_rows(&self) -> u32 {
        self.rows.count + !self.rows.closed as u32
    }

    /// The two half rows, counted from 0 at the lower edge, that the beads of `row` cover.
    pub const fn half_rows_of(&self, row: Row) -> [u32; 2] {
        [row.0 - 1, row.0 % self.half_rows()]
    }

    /// The bead that covers `half_row` (from 0) in `column`, if there is one: the lower edge of an
    /// even column and, on an open band, the upper edge of every second column are bare.
    pub const fn covering(&self, half_row: u32, column: Column) -> Option<usize> {
        let below = match (half_row == 0, self.rows.closed) {
            (true, true) => self.rows.count,
            _ => half_row,
        };
        match self.index(Row(half_row + 1), column) {
            Some(index) => Some(index),
            None => self.index(Row(below), column),
        }
    }

    /// The bead `rows` up and `columns` to the right of bead `index`, round the seam of a closed
    /// band; none beyond the edges or between beads.
    pub fn step(&self, index: usize, rows: i64, columns: i64) -> Option<usize> {
        let (row, column) = self.position(index);
        self.at(i64::from(row.0) + rows, i64::from(column.0) + columns)
    }

    /// The bead in that row, counted on round the seam of a closed band, and column; none beyond
    /// the edges or between beads.
    pub fn at(&self, row: i64, column: i64) -> Option<usize> {
        let count = i64::from(self.rows.count);
        let row = if self.rows.closed {
            (row - 1).rem_euclid(count) + 1
        } else {
            row
        };
        let (row, column) = (u32::try_from(row).ok()?, u32::try_from(column).ok()?);
        self.index(Row(row), Column(column))
    }

    /// The bead across the band from bead `index`: its mirror image, and with an even number of
    /// columns, where there is none, the bead above that place.
    pub fn across(&self, index: usize) -> Option<usize> {
        let (row, column) = self.position(index);
        let up = i64::from(self.columns.is_multiple_of(2));
        let column = i64::from(self.columns) + 1 - i64::from(column.0);
        self.at(i64::from(row.0) + up, column)
    }

    /// Whether beads that are moved by so many rows and columns come to lie on beads.
    pub const fn is_bead_step(rows: i64, columns: i64) -> bool {
        (rows + columns) % 2 == 0
    }

    /// The beads `rows` up from bead `index`, round the seam, at most `columns` to its left or
    /// right: their places, side by side, and how many columns the first lies to the right.
    pub fn stretch(&self, index: usize, rows: i64, columns: i64) -> Option<(Range<usize>, i64)> {
        let (row, column) = self.position(index);
        let count = i64::from(self.rows.count);
        let row = if self.rows.closed {
            (i64::from(row.0) + rows - 1).rem_euclid(count) + 1
        } else {
            i64::from(row.0) + rows
        };
        let own = i64::from(column.0);
        let parity = |column: i64| (column - row).rem_euclid(2);
        let first = (own - columns).max(1);
        let last = (own + columns).min(i64::from(self.columns));
        let (first, last) = (first + parity(first), last - parity(last));
        if !(1..=count).contains(&row) || first > last {
            return None;
        }
        let start = self.row_start(row as u32) + ((first - 1) / 2) as usize;
        let beads = ((last - first) / 2 + 1) as usize;
        Some((start..start + beads, first - own))
    }

    /// How many rows up and columns to the right bead `to` lies from bead `from`; on a closed band
    /// the shorter way round.
    pub fn way(&self, from: usize, to: usize) -> (i64, i64) {
        let (one, two) = (self.position(from), self.position(to));
        let rows = i64::from(two.0.0) - i64::from(one.0.0);
        let columns = i64::from(two.1.0) - i64::from(one.1.0);
        (self.shorter(rows), columns)
    }

    /// As many rows up, or on a closed band the shorter way round: from above `-N/2` to `N/2`.
    pub fn shorter(&self, rows: i64) -> i64 {
        let count = i64::from(self.rows.count);
        if self.rows.closed {
            (rows + count / 2 - 1).rem_euclid(count) - (count / 2 - 1)
        } else {
            rows
        }
    }

    /// Distance between the centres of two beads `rows` and `columns` apart.
    pub fn distance(&self, rows: i64, columns: i64) -> Mm {
        let x = self.bead.length.get() * columns as f64;
        let y = self.bead.diameter.get() * rows as f64 / 2.0;
        Mm::new((x * x + y * y).sqrt())
    }

    /// The beads that touch bead `index`: `(r±2, c)` in its column and `(r±1, c±1)` beside it; six
    /// inside a band.
    pub fn neighbours(&self, index: usize) -> impl Iterator<Item = Neighbour> + use<> {
        const STEPS: [(i64, i64); 6] = [(-2, 0), (-1, -1), (-1, 1), (1, -1), (1, 1), (2, 0)];
        let lattice = *self;
        STEPS.into_iter().filter_map(move |(rows, columns)| {
            let index = lattice.step(index, rows, columns)?;
            let distance = lattice.distance(rows, columns);
            Some(Neighbour { index, distance })
        })
    }

    /// The end-to-end axis nearest to `up` above the band's middle, of two the upper one: on a
    /// closed band through any row, on an open band always through the middle one.
    pub fn ends_axis(&self, up: Mm) -> Axis {
        let (count, half) = (i64::from(self.rows.count), self.bead.diameter.get() / 2.0);
        let middle = if self.rows.closed {
            let row = count / 2 + (up.get() / half + 0.5).floor() as i64;
            (row - 1).rem_euclid(count) + 1
        } else {
            (count + 1) / 2
        };
        Axis::Rows(Row(middle as u32))
    }

    /// Whether the lattice has the symmetry `axis` at all.
    ///
    /// # Errors
    /// An even number of columns has no left-right symmetry, and an open band with an even number
    /// of rows none from end to end: the mirrored beads would lie between beads. The nearest counts
    /// that do are named.
    pub fn check_mirror(&self, axis: Axis) -> Result<()> {
        let (count, what, thing) = match axis {
            Axis::Columns if self.columns.is_multiple_of(2) => {
                (self.columns, "left to right", "columns")
            }
            Axis::Rows(_) if !self.rows.closed && self.rows.count.is_multiple_of(2) => {
                (self.rows.count, "end to end", "rows")
            }
            _ => return Ok(()),
        };
        Err(
            Error::new(format!("{count} {thing} have no mirror image {what}")).hint(format!(
                "use {} or {} {thing}: with an even count the mirrored beads fall between beads",
                count - 1,
                count + 1
            )),
        )
    }

    /// The mirror image of bead `index`; itself on the axis, none where [`Lattice::check_mirror`]
    /// refuses.
    pub fn mirrored(&self, index: usize, axis: Axis) -> Option<usize> {
        let (row, column) = self.position(index);
        match axis {
            Axis::Columns => self.index(row, Column(self.columns + 1 - column.0)),
            Axis::Rows(middle) if self.rows.closed || 2 * middle.0 == self.rows.count + 1 => {
                self.step(index, 2 * (i64::from(middle.0) - i64::from(row.0)), 0)
            }
            Axis::Rows(_) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(columns: u32, rows: u32) -> Lattice {
        Lattice::new(Bead::default(), columns, Rows::closed(rows).unwrap()).unwrap()
    }

    #[test]
    fn nine_columns_hold_five_and_four_beads_a_row() {
        let ring = ring(9, 74);
        assert_eq!(ring.beads_in(Row(1)), 5);
        assert_eq!(ring.beads_in(Row(2)), 4);
        assert_eq!(ring.len(), 333);
        assert_eq!(ring.centre_column(), Some(Column(5)));
        assert!((ring.width().get() - 11.7).abs() < 1e-12);
        assert!((ring.flat_height().get() - 60.0).abs() < 1e-12);
        assert!((ring.picture_height().get() - 59.2).abs() < 1e-12);
    }

    #[test]
    fn odd_row_counts_refuse_to_close_and_name_their_neighbours() {
        let error = Rows::closed(75).unwrap_err();
        assert_eq!(
            error.to_string(),
            "75 rows do not close into a ring\n\
             hint: use 74 or 76; an even count lets the last row zip to the first"
        );
        assert!(Rows::open(75).is_ok());
        assert!(Rows::closed(4).is_err());
        assert!(Rows::open(1).is_err());
        assert!(Rows::closed(20_002).is_err());
    }

    #[test]
    fn a_bead_covers_two_half_rows_and_the_last_row_wraps() {
        let ring = ring(9, 74);
        assert_eq!(ring.half_rows_of(Row(1)), [0, 1]);
        assert_eq!(ring.half_rows_of(Row(74)), [73, 0]);
        assert_eq!(ring.covering(0, Column(1)), ring.index(Row(1), Column(1)));
        assert_eq!(ring.covering(0, Column(2)), ring.index(Row(74), Column(2)));
        let strip = Lattice::new(Bead::default(), 9, Rows::open(74).unwrap()).unwrap();
        assert_eq!(strip.half_rows_of(Row(74)), [73, 74]);
        assert_eq!(strip.covering(0, Column(2)), None);
        assert_eq!(strip.covering(74, Column(1)), None);
        assert_eq!(
            strip.covering(74, Column(2)),
            strip.index(Row(74), Column(2))
        );
    }

    #[test]
    fn mirror_images_need_an_odd_count_across_and_keep_the_centre_column() {
        let band = ring(9, 74);
        let centre = band.index(Row(1), Column(5)).unwrap();
        assert_eq!(band.mirrored(centre, Axis::Columns), Some(centre));
        assert!(ring(8, 74).check_mirror(Axis::Columns).is_err());
        let middle = band.ends_axis(Mm::new(0.0));
        assert_eq!(middle, Axis::Rows(Row(37)));
        assert!(band.check_mirror(middle).is_ok());
        let last = band.index(Row(74), Column(2)).unwrap();
        assert_eq!(band.mirrored(last, middle), Some(last));
    }
}
