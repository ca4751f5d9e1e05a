//! A palette printed: which pairs of colours are named.

use super::is_none;
use super::json::optional;
use super::values::number_in;
use crate::error::{Error, Result};
use crate::palette::HARD_TO_TELL;
use crate::units::decimals;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// Largest difference that is accepted; beyond it any two colours differ at a glance. Ours.
const MOST_BELOW: f64 = 20.0;

/// Which pairs of colours are named.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
pub struct PaletteRequest {
    /// Name pairs that differ by less than this [3]
    ///
    /// CIEDE2000, from 0 to 20. About 1 is the smallest difference that is seen between large
    /// patches side by side; small, shining beads need two or three times as much, so the default
    /// of 3 errs on the safe side. 0 names no pairs; with 5 you find colours that can stand in for
    /// each other when one runs out. Example: --below 5
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "DIFFERENCE", allow_hyphen_values = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub below: Option<Difference>,
}

impl PaletteRequest {
    /// Pairs that differ by less than this are named.
    pub fn below(&self) -> f64 {
        self.below.map_or(HARD_TO_TELL, |below| below.0)
    }
}

/// A difference between two colours, CIEDE2000, from 0 to 20.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difference(f64);

impl FromStr for Difference {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        number_in(text, 0.0..=MOST_BELOW).map(Self).ok_or_else(|| {
            Error::usage(format!("'{text}' is not a difference"))
                .hint("give a number from 0 to 20, such as 3")
        })
    }
}

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&decimals(self.0, 6))
    }
}
