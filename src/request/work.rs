//! How a band is woven and how the rows are written: where the work begins, what colours are
//! called, and which rows.

use super::json::optional;
use super::kit::ThreadRequest;
use super::named::flat_request;
use super::{UnitsRequest, is_none};
use crate::error::{Error, Result};
use crate::lattice::{Lattice, MOST_ROWS, Row};
use crate::units::grouped;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// The edge that the stopper bead is at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "lowercase")]
pub enum Start {
    /// The left one: the first rows are strung from left to right.
    Left,
    /// The right one.
    Right,
}

/// The end of the chart that is woven first.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "lowercase")]
pub enum WorkFrom {
    /// Row 1.
    #[default]
    Bottom,
    /// The upper end.
    Top,
}

/// What colours are called in the rows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "lowercase")]
pub enum Keys {
    /// The palette's names; where two are alike the code follows.
    Names,
    /// The keys that stand on the beads.
    Short,
}

/// Where the work begins, and what colours are called.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
pub struct WorkRequest {
    /// Edge of the stopper bead: left or right
    ///
    /// The edge that the stopper bead is at, where the first beads are strung from. The default is
    /// left, or right where the work can only begin there: a strip with an even number of columns
    /// has one edge for each end. Example: --start right
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "EDGE", value_enum, hide_possible_values = true)
    )]
    #[serde(skip_serializing_if = "is_none")]
    pub start: Option<Start>,

    /// End to begin at: bottom or top
    ///
    /// The end of the chart that is woven first; bottom, row 1, is the default. With top the rows
    /// come from the last one down, numbered as in the chart. Example: --from top
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "END", value_enum, hide_possible_values = true)
    )]
    #[serde(skip_serializing_if = "is_none")]
    pub from: Option<WorkFrom>,

    /// Call colours by names or by short keys
    ///
    /// names writes the palette's names in the rows; short writes the keys that stand on the beads
    /// of a chart with letters, with a table of them on top. The default is names, or short where
    /// two names are alike or a name is too long for a row. Example: --keys short
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "WORDS", value_enum, hide_possible_values = true)
    )]
    #[serde(skip_serializing_if = "is_none")]
    pub keys: Option<Keys>,
}

/// Which rows are written.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
pub struct RowsRequest {
    /// Only these rows, such as 20..35
    ///
    /// The chart's rows from the first to the last named, both included; 20.. goes on to the last
    /// row, ..35 begins at row 1, 20 is one row. They are written in the order of work. The default
    /// is all of them. With --json the passes, seam, thread and holes stay those of the whole band.
    /// Example: --rows 20..35
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "ROWS", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub rows: Option<Span>,
}

/// How the rows are written.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[non_exhaustive]
pub struct WeaveRequest {
    /// Where the work begins, and what colours are called.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub work: WorkRequest,
    /// Which rows.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub rows: RowsRequest,
    /// The thread.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub thread: ThreadRequest,
    /// The units that lengths are written in.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub units: UnitsRequest,
}

impl WeaveRequest {
    /// As JSON the rows have numbers in place of names, and lengths are in millimetres.
    ///
    /// # Errors
    /// If keys or units are asked for.
    pub fn check_json(&self) -> Result<()> {
        self.units.check_fixed("JSON")?;
        if self.work.keys.is_some() {
            return Err(Error::usage("JSON has numbers in place of colour names")
                .option("keys")
                .hint("leave [--keys] out"));
        }
        Ok(())
    }
}

/// Some of a band's rows: either end may be open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    first: Option<u32>,
    last: Option<u32>,
}

flat_request!(WeaveRequest {
    work,
    rows,
    thread,
    units
});

impl FromStr for Span {
    type Err = Error;

    /// Reads `20..35`, `20..`, `..35` or `20`.
    fn from_str(text: &str) -> Result<Self> {
        let (first, last) = text.split_once("..").unwrap_or((text, text));
        let mut digits = [first, last].into_iter().flat_map(str::bytes);
        if !digits.all(|digit| digit.is_ascii_digit()) || (first, last) == ("", "") {
            return Err(Error::usage(format!("'{text}' is not a range of rows"))
                .hint("write 20..35, 20.., ..35 or 20"));
        }
        let span = Self {
            first: row_number(first)?,
            last: row_number(last)?,
        };
        match (span.first, span.last) {
            (Some(first), Some(last)) if first > last => Err(Error::usage(format!(
                "'{text}' runs backwards"
            ))
            .hint(format!(
                "write {last}..{first}; rows are written in the order of work"
            ))),
            _ => Ok(span),
        }
    }
}

impl fmt::Display for Span {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let end = |end: Option<u32>| end.map_or(String::new(), |row| row.to_string());
        if self.first == self.last {
            f.write_str(&end(self.first))
        } else {
            write!(f, "{}..{}", end(self.first), end(self.last))
        }
    }
}

impl Span {
    /// The first and the last row, if the band has them.
    ///
    /// # Errors
    /// If it has not.
    pub fn within(self, lattice: &Lattice) -> Result<(Row, Row)> {
        let rows = lattice.rows();
        let mut ends = self.first.into_iter().chain(self.last);
        match ends.find(|&end| end > rows) {
            None => Ok((
                Row::new(self.first.unwrap_or(1)),
                Row::new(self.last.unwrap_or(rows)),
            )),
            Some(end) => Err(Error::usage(format!("there is no row {end} in this band"))
                .option("rows")
                .hint(format!("its rows are 1..{rows}"))),
        }
    }
}

/// A row's number; none if there are no digits.
fn row_number(digits: &str) -> Result<Option<u32>> {
    if digits.is_empty() {
        return Ok(None);
    }
    match digits.parse() {
        Ok(0) => Err(Error::usage("there is no row 0").hint("rows are numbered from 1")),
        Ok(row) if row <= MOST_ROWS => Ok(Some(row)),
        _ => Err(
            Error::usage(format!("there is no row {digits}")).hint(format!(
                "a band has at most {} rows",
                grouped(MOST_ROWS as usize)
            )),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_read_back_as_they_are_written() {
        for text in ["20..35", "20..", "..35", "20"] {
            assert_eq!(text.parse::<Span>().unwrap().to_string(), text);
        }
    }

    #[test]
    fn a_row_that_no_band_has_is_refused() {
        for text in ["20001", "..99999999999999999999"] {
            let refused = text.parse::<Span>().unwrap_err();
            let row = text.trim_start_matches('.');
            assert_eq!(refused.what(), format!("there is no row {row}"));
        }
    }
}
