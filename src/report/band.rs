//! The band: its columns, and the rows that close round a finger or were counted.

use super::{Measured, of_option};
use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::lattice::{Lattice, Rows};
use crate::ring::{Closed, Gauge, RingSize, fit};
use crate::units::decimals;
use crate::warning::Warning;

/// What was said of the band.
#[derive(Debug, Clone, Copy)]
pub struct Band<'a> {
    /// `--bead`: a size, or `LxDxH` in millimetres.
    pub bead: &'a str,
    /// `--columns`.
    pub columns: u32,
    /// `--size`: the ring size to close round.
    pub size: Option<&'a str>,
    /// `--rows`, where no size decides.
    pub rows: Option<u32>,
    /// `--open`: a strip that is not closed.
    pub open: bool,
    /// The gauge.
    pub measured: Measured<'a>,
}

/// The band, the ring it makes, and what there is to say about it.
#[derive(Debug, Clone)]
pub struct Shape {
    /// The band.
    pub lattice: Lattice,
    /// The ring that it makes, if it is closed.
    pub ring: Option<Closed>,
    /// What was noticed.
    pub notes: Vec<Warning>,
    /// How its length came about, for the record.
    pub length: Vec<(String, String)>,
}

impl Band<'_> {
    /// The bead.
    ///
    /// # Errors
    /// If it is not known or not believed.
    pub fn bead(&self) -> Result<Bead> {
        Bead::parse(self.bead).map_err(|error| of_option(error, "--bead"))
    }

    /// The band's shape.
    ///
    /// # Errors
    /// If bead, gauge or size cannot be read, the rows do not close, neither size nor rows were given, or it is too small or too large.
    pub fn shape(&self) -> Result<Shape> {
        if self.open {
            return self.strip();
        }
        let gauge = self.measured.resolve(self.bead()?)?;
        let mut notes = gauge.notes;
        let gauge = gauge.value;
        let mut length = Vec::new();
        let rows = match (self.size, self.rows) {
            (Some(size), _) => {
                let size = RingSize::parse(size).map_err(|error| error.option("--size"))?;
                let fit = fit(&size, &gauge, self.measured.prefer.into())?;
                notes.extend(fit.notes(self.columns));
                length = recorded(&size, &gauge);
                fit.chosen.rows
            }
            (None, Some(rows)) => Rows::closed(rows).map_err(|error| of_option(error, "--rows"))?,
            (None, None) => {
                return Err(
                    Error::usage("neither a ring size nor a number of rows was given")
                        .hint("add --size, such as --size us7, or --rows, such as --rows 74"),
                );
            }
        };
        Ok(Shape {
            lattice: self.lattice(gauge.bead(), rows)?,
            ring: Some(gauge.closed(rows)),
            notes,
            length,
        })
    }

    fn strip(&self) -> Result<Shape> {
        let rows = self.rows.unwrap_or_default();
        let rows = Rows::open(rows).map_err(|error| of_option(error, "--rows"))?;
        Ok(Shape {
            lattice: self.lattice(self.bead()?, rows)?,
            ring: None,
            notes: Vec::new(),
            length: Vec::new(),
        })
    }

    fn lattice(&self, bead: Bead, rows: Rows) -> Result<Lattice> {
        Lattice::new(bead, self.columns, rows).map_err(|error| of_option(error, "--columns"))
    }
}

fn recorded(size: &RingSize, gauge: &Gauge) -> Vec<(String, String)> {
    vec![
        ("size".to_string(), size.to_string()),
        ("pitch_mm".to_string(), decimals(gauge.pitch().get(), 6)),
    ]
}
