//! The shape of a band: the rows that close round a finger, or as many as were counted.

use super::json::{flag, optional};
use super::values::Count;
use super::{is_none, is_off};
use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::lattice::Rows;
use crate::ring::RingSize;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// The shape of a band that is not decided by a ring size.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[cfg_attr(feature = "cli", command(next_help_heading = "Band"))]
#[serde(default)]
pub struct BandRequest {
    /// Rows, in place of a size
    ///
    /// Even and at least 6 for a closed band, 2 or more with --open; 20,000 at most. By default
    /// --size decides. Example: --rows 74
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "ROWS", allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub rows: Option<Count>,

    /// A flat strip that is not closed
    ///
    /// For cuffs and bookmarks: any number of rows, odd or even, and no wrap at the ends. Off by
    /// default. Example: --open --rows 131
    #[cfg_attr(feature = "cli", arg(long))]
    #[serde(with = "flag", skip_serializing_if = "is_off")]
    pub open: bool,
}

impl FromStr for Bead {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        Self::parse(text)
    }
}

impl fmt::Display for Bead {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.name())
    }
}

impl FromStr for RingSize {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        Self::parse(text)
    }
}

impl BandRequest {
    /// The rows of an open strip.
    ///
    /// # Errors
    /// If there are too few or too many.
    pub(super) fn strip(&self) -> Result<Rows> {
        let rows = self.rows.map_or(0, |count| count.0);
        Rows::open(rows).map_err(|error| error.of_option("rows"))
    }
}
