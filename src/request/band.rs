//! The band: its bead, its columns, and the rows that close round a finger or were counted.

use super::json::{flag, optional};
use super::values::Count;
use super::{COLUMNS, GaugeRequest, is_none, is_off};
use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::lattice::{Lattice, Rows};
use crate::ring::{Closed, Gauge, RingSize, fit};
use crate::units::decimals;
use crate::warning::Warning;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;

/// The shape of a band.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[cfg_attr(feature = "cli", command(next_help_heading = "Band"))]
#[serde(default)]
pub struct BandRequest {
    /// Columns across the band [9]
    ///
    /// 3 to 1000; 9 is the default. An odd count has a centre column. Example: --columns 11
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "COLUMNS", allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub columns: Option<Count>,

    /// Ring size, such as us7, uk-n or 54.4mm
    ///
    /// Size to close round, in any case: us7, us6.5, uk-n, uk-n.5, iso54, jp14, eu14, 54.4mm
    /// (inner circumference) or d17.3mm (inside diameter). `upbead fit` tells more about it. This
    /// or --rows is needed. Example: --size us7
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "SIZE", allow_negative_numbers = true)
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub size: Option<RingSize>,

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

    /// Bead size [11], or its measures in mm
    ///
    /// Size of the cylinder beads: 11, 10, 8 or 15 (11 is the default), or length x diameter x
    /// hole in millimetres, each from 0.3 to 20, for beads that were measured: --bead 1.3x1.6x0.8
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "SIZE|LxDxH", help_heading = "Bead and gauge")
    )]
    #[serde(with = "optional", skip_serializing_if = "is_none")]
    pub bead: Option<Bead>,
}

/// The band, the ring it makes, and what there is to say about it.
#[derive(Debug, Clone)]
pub struct Shape {
    /// The band.
    pub lattice: Lattice,
    /// The ring that it makes, if it is closed.
    pub ring: Option<Closed>,
    /// What was noticed.
    pub warnings: Vec<Warning>,
    /// How its length came about, for the record.
    pub length: Vec<(String, String)>,
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
    /// The bead.
    pub fn bead(&self) -> Bead {
        self.bead.unwrap_or_default()
    }

    /// The columns.
    pub fn columns(&self) -> u32 {
        self.columns.map_or(COLUMNS, |count| count.0)
    }

    /// The band's shape.
    ///
    /// # Errors
    /// If the gauge cannot be read, the rows do not close, neither size nor rows were given or
    /// both, or the band is too small or too large.
    pub fn shape(&self, gauge: &GaugeRequest) -> Result<Shape> {
        self.check()?;
        if self.open {
            return self.strip();
        }
        let found = gauge.resolve(self.bead())?;
        let mut warnings = found.notes;
        let mut length = Vec::new();
        let rows = if let Some(size) = &self.size {
            let fit = fit(size, &found.value, gauge.prefer())?;
            warnings.extend(fit.warnings(self.columns()));
            length = recorded(size, &found.value);
            fit.chosen.rows
        } else {
            let rows = self.rows.map_or(0, |count| count.0);
            Rows::closed(rows).map_err(|error| error.of_option("rows"))?
        };
        Ok(Shape {
            lattice: self.lattice(found.value.bead(), rows)?,
            ring: Some(found.value.closed(rows)),
            warnings,
            length,
        })
    }

    /// The ways of giving a length go one at a time.
    fn check(&self) -> Result<()> {
        match (&self.size, self.rows, self.open) {
            (Some(_), Some(_), _) => Err(Error::usage("a ring size and rows cannot both be given")
                .option("rows")
                .hint("leave out [--size] or [--rows]")),
            (Some(_), None, true) => Err(Error::usage("an open strip has no ring size")
                .option("size")
                .hint("give its [--rows], or leave out [--open]")),
            (None, None, true) => Err(Error::usage("an open strip needs a number of rows")
                .option("open")
                .hint("add [--rows], such as [--rows 131]")),
            (None, None, false) => Err(Error::usage(
                "neither a ring size nor a number of rows was given",
            )
            .hint("add [--size], such as [--size us7], or [--rows], such as [--rows 74]")),
            _ => Ok(()),
        }
    }

    fn strip(&self) -> Result<Shape> {
        let rows = self.rows.map_or(0, |count| count.0);
        let rows = Rows::open(rows).map_err(|error| error.of_option("rows"))?;
        Ok(Shape {
            lattice: self.lattice(self.bead(), rows)?,
            ring: None,
            warnings: Vec::new(),
            length: Vec::new(),
        })
    }

    fn lattice(&self, bead: Bead, rows: Rows) -> Result<Lattice> {
        Lattice::new(bead, self.columns(), rows).map_err(|error| error.of_option("columns"))
    }
}

fn recorded(size: &RingSize, gauge: &Gauge) -> Vec<(String, String)> {
    vec![
        ("size".to_string(), size.to_string()),
        ("pitch_mm".to_string(), decimals(gauge.spacing().get(), 6)),
    ]
}
