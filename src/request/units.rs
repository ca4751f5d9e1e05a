//! The units that lengths are written in.

use super::is_none;
use crate::error::{Error, Result};
use crate::units::LengthUnits;
use serde::{Deserialize, Serialize};

/// The units that lengths are written in.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
pub struct UnitsRequest {
    /// Write lengths in mm, or with inches: inch
    ///
    /// mm, the default, writes millimetres, and metres of thread. inch writes inches and yards
    /// beside them, as a booklet on letter paper does by itself. A length that you give may have
    /// either unit, such as 2.13in. JSON is always in millimetres. Example: --units inch
    #[cfg_attr(
        feature = "cli",
        arg(
            long,
            value_name = "UNIT",
            value_enum,
            hide_possible_values = true,
            help_heading = "Output"
        )
    )]
    #[serde(skip_serializing_if = "is_none")]
    pub units: Option<LengthUnits>,
}

impl UnitsRequest {
    /// The units.
    pub fn units(self) -> LengthUnits {
        self.units.unwrap_or_default()
    }

    /// That `form`, such as JSON, has millimetres only.
    ///
    /// # Errors
    /// If units are given.
    pub fn check_fixed(self, form: &str) -> Result<()> {
        if self.units.is_none() {
            return Ok(());
        }
        Err(Error::usage(format!("{form} has no inches"))
            .option("units")
            .hint("leave [--units] out"))
    }
}
