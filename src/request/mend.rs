//! A finished chart changed by command: beads set, the pattern shifted, flipped or repeated.

use super::{Mirror, Span};
use crate::error::{Error, Result};
use crate::lattice::{Axis, COLUMNS, Flip, Lattice, MOST_ROWS, Row, Shift};
use crate::units::{Mm, grouped};
use std::fmt;
use std::str::FromStr;

/// Most beads or repeats that a shift or a repeat counts. More than any band has.
const MOST_STEPS: i64 = MOST_ROWS as i64;

/// Beads that get a colour: `ROWS:COLUMNS=COLOUR`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BeadsToSet {
    /// Which rows.
    pub rows: NumberRange,
    /// Which columns.
    pub columns: NumberRange,
    /// The colour's code or name.
    pub colour: String,
}

/// One number, or all from one to another; either end may be open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NumberRange {
    first: Option<u32>,
    last: Option<u32>,
}

/// Which beads get which colour.
#[derive(Debug, Clone, Default, PartialEq)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[non_exhaustive]
pub struct SetRequest {
    /// Beads and their colour: ROWS:COLUMNS=COLOUR
    ///
    /// Row 40, column 4 in quay-01 is 40:4=quay-01. Both may be ranges, with open ends too:
    /// 12..14:3=tar-black, 20..:..=gold. Of a range those beads are set that the band has; odd rows
    /// have the odd columns and even rows the even ones. A colour is a code or a name that only one
    /// colour has. Where two parts overlap, the later one counts.
    #[cfg_attr(
        feature = "cli",
        arg(value_name = "BEADS", required = true, num_args = 1..)
    )]
    pub beads: Vec<BeadsToSet>,

    /// Set mirror images too: columns, rows or both
    ///
    /// columns also sets the bead at the same place from the other edge, rows the one at the same
    /// place from the other end, both all of them. The ends are mirrored about the middle of the
    /// motif, as `upbead chart` does. The default is none. Example: --mirror columns
    #[cfg_attr(
        feature = "cli",
        arg(
            long,
            value_name = "WAY",
            value_enum,
            hide_possible_values = true,
            default_value = "none",
            hide_default_value = true
        )
    )]
    pub mirror: Mirror,
}

/// How far the whole pattern moves.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[non_exhaustive]
pub struct ShiftRequest {
    /// Move it so many rows up
    ///
    /// Towards the last row; what goes out at the top comes in at the bottom. Negative numbers move
    /// it down. 0 by default. Example: --up 6
    #[cfg_attr(
        feature = "cli",
        arg(
            long,
            value_name = "ROWS",
            allow_hyphen_values = true,
            default_value = "0",
            hide_default_value = true
        )
    )]
    pub up: Steps,

    /// Move it so many columns to the right
    ///
    /// What goes out at the right edge comes in at the left. Negative numbers move it to the left.
    /// 0 by default. Example: --right -2
    #[cfg_attr(
        feature = "cli",
        arg(
            long,
            value_name = "COLUMNS",
            allow_hyphen_values = true,
            default_value = "0",
            hide_default_value = true
        )
    )]
    pub right: Steps,
}

/// How the whole pattern is flipped.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[non_exhaustive]
pub struct FlipRequest {
    /// What changes places: columns, rows or both
    ///
    /// columns, the default, swaps left and right. rows swaps the two ends. both turns the band
    /// half round, so that its other end is up. Example: --mirror rows
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "WAY", value_enum, hide_possible_values = true)
    )]
    pub mirror: Option<FlipWay>,
}

/// What changes places when a pattern is flipped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
pub enum FlipWay {
    /// Left and right.
    Columns,
    /// Both ends.
    Rows,
    /// Both.
    Both,
}

/// A part of the rows, and how often it is woven.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[non_exhaustive]
pub struct RepeatRequest {
    /// The rows to repeat, such as 5..14
    ///
    /// The chart's rows from the first to the last named, both included: an even number of them, so
    /// that odd rows stay odd. Needed. Example: --rows 5..14
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "ROWS", allow_hyphen_values = true)
    )]
    pub rows: Span,

    /// Make the band of so many repeats
    ///
    /// The band then has so many times the rows named. By default it keeps its rows, and the part
    /// is repeated in both directions until it is full. Example: --times 8
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "NUMBER", allow_hyphen_values = true)
    )]
    pub times: Option<Times>,
}

/// How far: a whole number, negative ones the other way.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Steps(pub i64);

/// How often something is repeated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Times(pub u32);

impl FromStr for Steps {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let number = text.trim().parse().ok();
        number
            .filter(|steps: &i64| steps.abs() <= MOST_STEPS)
            .map(Self)
            .ok_or_else(|| {
                let most = grouped(MOST_STEPS as usize);
                Error::usage(format!("'{text}' is not a number of rows or columns"))
                    .hint(format!("give a whole number from -{most} to {most}"))
            })
    }
}

impl fmt::Display for Steps {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl FromStr for Times {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let number = text.trim().parse().ok();
        number
            .filter(|times| (1..=MOST_ROWS / 2).contains(times))
            .map(Self)
            .ok_or_else(|| {
                Error::usage(format!("'{text}' is not a number of repeats")).hint(format!(
                    "give a whole number from 1 to {}",
                    grouped((MOST_ROWS / 2) as usize)
                ))
            })
    }
}

impl FromStr for NumberRange {
    type Err = Error;

    /// Reads `40`, `12..14`, `12..`, `..14` or `..`.
    fn from_str(text: &str) -> Result<Self> {
        let wrong = || {
            Error::usage(format!("'{text}' is not a number or a range"))
                .hint("write 40, 12..14, 12.., ..14 or .. for all")
        };
        let end = |digits: &str| match digits {
            "" => Ok(None),
            _ if !digits.bytes().all(|digit| digit.is_ascii_digit()) => Err(wrong()),
            // Larger than any band: the band names its rows and columns.
            _ => Ok(Some(digits.parse().unwrap_or(u32::MAX))),
        };
        let Some((first, last)) = text.split_once("..") else {
            let number = end(text)?.ok_or_else(wrong)?;
            return Ok(Self {
                first: Some(number),
                last: Some(number),
            });
        };
        let (first, last) = (end(first)?, end(last)?);
        if let (Some(first), Some(last)) = (first, last)
            && first > last
        {
            return Err(Error::usage(format!("'{text}' runs backwards"))
                .hint(format!("write {last}..{first}")));
        }
        Ok(Self { first, last })
    }
}

impl fmt::Display for NumberRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let end = |end: Option<u32>| end.map_or(String::new(), |number| number.to_string());
        if self.first == self.last && self.first.is_some() {
            f.write_str(&end(self.first))
        } else {
            write!(f, "{}..{}", end(self.first), end(self.last))
        }
    }
}

impl NumberRange {
    /// The first and the last of `1..=most`; the number that is not among them where one is not.
    fn within(self, most: u32) -> std::result::Result<(u32, u32), u32> {
        let mut ends = self.first.into_iter().chain(self.last);
        match ends.find(|end| !(1..=most).contains(end)) {
            Some(outside) => Err(outside),
            None => Ok((self.first.unwrap_or(1), self.last.unwrap_or(most))),
        }
    }

    /// The one number that it is.
    fn single(self) -> Option<u32> {
        self.first.filter(|_| self.first == self.last)
    }
}

impl FromStr for BeadsToSet {
    type Err = Error;

    /// Reads `40:5=quay-01`.
    fn from_str(text: &str) -> Result<Self> {
        let wrong = |what: &str| {
            Error::usage(format!("'{text}' {what}"))
                .hint("write ROWS:COLUMNS=COLOUR, such as 40:4=navy or 12..14:3=gold")
        };
        let (place, colour) = text
            .split_once('=')
            .ok_or_else(|| wrong("names no colour"))?;
        let (rows, columns) = place
            .split_once(':')
            .ok_or_else(|| wrong("does not say which rows and columns"))?;
        if colour.trim().is_empty() {
            return Err(wrong("names no colour"));
        }
        Ok(Self {
            rows: rows.trim().parse()?,
            columns: columns.trim().parse()?,
            colour: colour.trim().to_string(),
        })
    }
}

impl fmt::Display for BeadsToSet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}={}", self.rows, self.columns, self.colour)
    }
}

impl BeadsToSet {
    /// The beads, in lattice order.
    ///
    /// # Errors
    /// If the band has no such row, no such column, or no bead there: which ones there are is said.
    pub fn beads(&self, lattice: &Lattice) -> Result<Vec<usize>> {
        let outside = |number: u32, thing: &str, most: u32| {
            let number = match number {
                u32::MAX => "that large".to_string(),
                number => number.to_string(),
            };
            Error::usage(format!("there is no {thing} {number} in '{self}'"))
                .hint(format!("the {thing}s of this band are 1..{most}"))
        };
        let rows = self.rows.within(lattice.rows());
        let rows = rows.map_err(|number| outside(number, "row", lattice.rows()))?;
        let columns = self.columns.within(lattice.columns());
        let columns = columns.map_err(|number| outside(number, "column", lattice.columns()))?;
        let mut beads = Vec::new();
        for row in (rows.0..=rows.1).map(Row::new) {
            let inside = lattice
                .columns_of(row)
                .filter(|column| (columns.0..=columns.1).contains(&column.get()));
            beads.extend(inside.filter_map(|column| lattice.index(row, column)));
        }
        if beads.is_empty() {
            return Err(self.no_bead(lattice, Row::new(rows.0)));
        }
        Ok(beads)
    }

    /// Says that one row and one column have no bead in common, and which columns the row has.
    fn no_bead(&self, lattice: &Lattice, row: Row) -> Error {
        let columns: Vec<String> = lattice
            .columns_of(row)
            .map(|column| column.get().to_string())
            .collect();
        let there = match columns.as_slice() {
            [first, second, .., last] if columns.len() > 12 => {
                format!("{first}, {second} and so on to {last}")
            }
            [all @ .., last] if !all.is_empty() => format!("{} and {last}", all.join(", ")),
            all => all.concat(),
        };
        let which = self.columns.single().map_or_else(
            || format!("columns {}", self.columns),
            |column| format!("column {column}"),
        );
        let row = row.get();
        Error::usage(format!("there is no bead in row {row}, {which}"))
            .hint(format!("row {row} has beads in the columns {there}"))
    }
}

impl SetRequest {
    /// The axes of the mirror images, on a band whose motif lies `up` above its middle.
    ///
    /// # Errors
    /// If the band has no such mirror image.
    pub fn axes(&self, lattice: &Lattice, up: Mm) -> Result<Vec<Axis>> {
        let axes = self.mirror.axes(lattice, up);
        for &axis in &axes {
            let checked = lattice.check_mirror(axis);
            checked.map_err(|error| error.of_option("mirror").hint("leave [--mirror] out"))?;
        }
        Ok(axes)
    }
}

impl ShiftRequest {
    /// The shift.
    ///
    /// # Errors
    /// If it is none.
    pub fn shift(&self) -> Result<Shift> {
        if *self == Self::default() {
            return Err(Error::usage("nothing says how far to shift the pattern")
                .hint("add [--up], such as [--up 2], or [--right], such as [--right 2]"));
        }
        Ok(Shift {
            up: self.up.0,
            right: self.right.0,
        })
    }
}

impl FlipRequest {
    /// The flip.
    pub fn flip(&self) -> Flip {
        match self.mirror {
            None | Some(FlipWay::Columns) => Flip::Columns,
            Some(FlipWay::Rows) => Flip::Rows,
            Some(FlipWay::Both) => Flip::Both,
        }
    }
}

/// That a band's columns fit a [`NumberRange`] without loss.
const _: () = assert!(COLUMNS.1 < u32::MAX && MOST_ROWS < u32::MAX);

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bead::Bead;
    use crate::lattice::Rows;

    #[test]
    fn what_is_written_reads_back() {
        for text in [
            "40:5=quay-01",
            "12..14:3=tar black",
            "..:2..=a=b:c",
            "1..:..9=x",
        ] {
            assert_eq!(text.parse::<BeadsToSet>().unwrap().to_string(), text);
        }
    }

    #[test]
    fn what_is_no_part_of_a_band_is_refused() {
        for text in [
            "40:5", "40=x", "40:5= ", "a:5=x", "4-5:1=x", ":1=x", "5..4:1=x",
        ] {
            assert!(text.parse::<BeadsToSet>().is_err(), "{text}");
        }
    }

    #[test]
    fn ranges_take_the_beads_that_are_there() {
        let rows = Rows::closed(12).unwrap();
        let band = Lattice::new(Bead::default(), 9, rows).unwrap();
        let count = |text: &str| {
            let beads = text.parse::<BeadsToSet>().unwrap().beads(&band);
            beads.map(|beads| beads.len())
        };
        assert_eq!(count("12..12:..=x").unwrap(), 4);
        assert_eq!(count("1..3:3=x").unwrap(), 2);
        assert_eq!(count("..:..=x").unwrap(), band.len());
        assert!(count("2:3=x").is_err() && count("13:1=x").is_err() && count("0:1=x").is_err());
    }
}
