//! The shape of a chart's band, as requested: its lattice, and the ring that it makes.

use super::ChartRequest;
use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::lattice::{Lattice, Rows};
use crate::ring::{Closed, Gauge, RingSize, fit};
use crate::units::decimals;
use crate::warning::Warning;

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

impl ChartRequest {
    /// The band's shape.
    ///
    /// # Errors
    /// If the gauge cannot be read, the rows do not close, neither size nor rows were given or
    /// both, or the band is too small or too large.
    pub fn shape(&self) -> Result<Shape> {
        self.shape_of(None)
    }

    /// The counts of rows that a pattern may have in place of those of `shape`: the next smaller
    /// and the next larger, about half a US size, which is as sure as a hand's gauge is. More would
    /// be another ring. Common practice, no source.
    pub fn other_rows(&self, shape: &Shape) -> Vec<u32> {
        let own = shape.lattice.rows();
        if self.ring.size.is_none() {
            return Vec::new();
        }
        vec![own.saturating_sub(2), own + 2]
    }

    /// The band's shape, in `rows` where they are given in place of those that the size asks for.
    ///
    /// # Errors
    /// As [`ChartRequest::shape`].
    pub fn shape_of(&self, rows: Option<u32>) -> Result<Shape> {
        self.check_length()?;
        if self.band.open {
            return Ok(Shape {
                lattice: self.lattice(self.bead.bead(), self.band.strip()?)?,
                ring: None,
                warnings: Vec::new(),
                length: Vec::new(),
            });
        }
        let found = self.gauge.resolve(self.bead.bead())?;
        let mut warnings = found.warnings;
        let mut length = Vec::new();
        let rows = if let Some(size) = &self.ring.size {
            let mut fit = fit(size, &found.value, self.gauge.prefer())?;
            if let Some(rows) = rows {
                fit.chosen = found.value.closed(Rows::closed(rows)?);
            }
            warnings.extend(fit.warnings(self.ring.columns()));
            length = recorded(rows.map_or(Some(size), |_| None), &found.value);
            fit.chosen.rows
        } else {
            let rows = self.band.rows.map_or(0, |count| count.0);
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
    fn check_length(&self) -> Result<()> {
        match (&self.ring.size, self.band.rows, self.band.open) {
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

    fn lattice(&self, bead: Bead, rows: Rows) -> Result<Lattice> {
        Lattice::new(bead, self.ring.columns(), rows).map_err(|error| error.of_option("columns"))
    }
}

/// The size, where the rows are those that it asks for, and the spacing.
fn recorded(size: Option<&RingSize>, gauge: &Gauge) -> Vec<(String, String)> {
    let spacing = decimals(gauge.spacing().get(), 6);
    let size = size.map(|size| ("size".to_string(), size.to_string()));
    size.into_iter()
        .chain([("pitch_mm".to_string(), spacing)])
        .collect()
}
