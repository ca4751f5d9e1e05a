//! A chart improved beside its picture: for which distances, how calm, and which beads stay.

use super::json::optional;
use super::named::flat_request;
use super::{CalmRequest, DistanceRequest, is_none};
use crate::error::{Error, Result};
use crate::lattice::{Column, Lattice, Row};
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// What a chart is improved for, and what stays.
#[derive(Debug, Clone, Default, PartialEq)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[non_exhaustive]
pub struct RefineRequest {
    /// From where it is seen.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub view: DistanceRequest,
    /// How calm it is.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub calm: CalmRequest,
    /// What stays.
    #[cfg_attr(feature = "cli", command(flatten))]
    pub pinned: PinRequest,
}

/// Beads that stay as they are.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[cfg_attr(feature = "cli", command(next_help_heading = "Colours"))]
#[serde(default)]
pub struct PinRequest {
    /// Beads that stay as they are
    ///
    /// Rows, ranges of rows and single beads as row:column, separated by commas. Mirror images and
    /// repeats of them stay too. None by default. Example: --pin 12,20..35,40:5
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "WHERE", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub pin: Option<Pins>,
}

/// Rows and single beads.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Pins(Vec<Pin>);

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Pin {
    Rows { first: u32, last: u32 },
    Bead { row: u32, column: u32 },
}

impl RefineRequest {
    /// The beads that stay, as places in lattice order.
    ///
    /// # Errors
    /// If the band does not have one of them.
    pub fn pinned(&self, lattice: &Lattice) -> Result<Vec<usize>> {
        match &self.pinned.pin {
            None => Ok(Vec::new()),
            Some(pins) => pins.beads(lattice).map_err(|error| error.of_option("pin")),
        }
    }
}

flat_request!(RefineRequest { view, calm, pinned });

/// How beads are named.
const WHERE: &str = "give rows, ranges of rows or row:column, such as 12,20..35,40:5";

impl FromStr for Pins {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let parts = text
            .split(',')
            .map(str::trim)
            .filter(|part| !part.is_empty());
        let pins: Vec<Pin> = parts.map(pin).collect::<Result<_>>()?;
        if pins.is_empty() {
            return Err(Error::usage("no beads are named").hint(WHERE));
        }
        Ok(Self(pins))
    }
}

fn pin(part: &str) -> Result<Pin> {
    let unknown = || Error::usage(format!("'{part}' names no beads")).hint(WHERE);
    let number = |word: &str| word.trim().parse::<u32>().map_err(|_| unknown());
    if let Some((first, last)) = part.split_once("..") {
        let (first, last) = (number(first)?, number(last)?);
        if first > last {
            return Err(unknown());
        }
        return Ok(Pin::Rows { first, last });
    }
    if let Some((row, column)) = part.split_once(':') {
        let (row, column) = (number(row)?, number(column)?);
        return Ok(Pin::Bead { row, column });
    }
    let row = number(part)?;
    Ok(Pin::Rows {
        first: row,
        last: row,
    })
}

impl fmt::Display for Pins {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let words: Vec<String> = self.0.iter().map(Pin::to_string).collect();
        f.write_str(&words.join(","))
    }
}

impl fmt::Display for Pin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Rows { first, last } if first == last => first.fmt(f),
            Self::Rows { first, last } => write!(f, "{first}..{last}"),
            Self::Bead { row, column } => write!(f, "{row}:{column}"),
        }
    }
}

impl Pins {
    fn beads(&self, lattice: &Lattice) -> Result<Vec<usize>> {
        let row = |number: u32| {
            if (1..=lattice.rows()).contains(&number) {
                Ok(Row::new(number))
            } else {
                Err(Error::usage(format!("there is no row {number}"))
                    .hint(format!("the chart has rows 1 to {}", lattice.rows())))
            }
        };
        let mut beads = Vec::new();
        for pin in &self.0 {
            match *pin {
                Pin::Rows { first, last } => {
                    row(first)?;
                    row(last)?;
                    let rows = (first..=last).flat_map(|at| lattice.span_of(Row::new(at)));
                    beads.extend(rows);
                }
                Pin::Bead { row: at, column } => {
                    let own = row(at)?;
                    let bead = lattice.index(own, Column::new(column));
                    beads.push(bead.ok_or_else(|| no_bead(lattice, own, column))?);
                }
            }
        }
        beads.sort_unstable();
        beads.dedup();
        Ok(beads)
    }
}

fn no_bead(lattice: &Lattice, row: Row, column: u32) -> Error {
    let columns = lattice.columns_of(row).take(3);
    let columns: Vec<String> = columns.map(|column| column.get().to_string()).collect();
    Error::usage(format!("row {} has no bead in column {column}", row.get())).hint(format!(
        "it fills the columns {} and so on, to {}",
        columns.join(", "),
        lattice.columns()
    ))
}
