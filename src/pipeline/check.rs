//! What can be refused before a picture is decoded: values out of range, and what contradicts the
//! band.

use super::{CompareOptions, Options, Previous};
use crate::error::{Error, Result};
use crate::lattice::Lattice;
use crate::palette::Palette;
use crate::request::{Crisp, Distances, Simplify};
use crate::units::Mm;

impl Options {
    /// Makes sure that every value is in its range, for this palette and this band.
    ///
    /// # Errors
    /// If one is not.
    pub fn check(&self, palette: &Palette) -> Result<()> {
        for axis in self.axes() {
            self.lattice.check_mirror(axis)?;
        }
        self.arrangement.check(&self.lattice)?;
        check_crisp(self.crisp)?;
        let simplify = Simplify::new(self.simplify);
        simplify.map_err(|error| error.of_option("simplify"))?;
        let colours = palette.colours().len();
        if let Some(at) = self.ground.filter(|&at| at >= colours) {
            return Err(Error::usage(format!(
                "the ground is place {at} of a palette of {colours} colours"
            ))
            .option("ground"));
        }
        self.choice.check(colours)
    }
}

impl Previous<'_> {
    /// Makes sure that the chart and the pinned beads belong to this band.
    ///
    /// # Errors
    /// If not.
    pub(super) fn check(&self, lattice: &Lattice) -> Result<()> {
        if self.chart.lattice != *lattice {
            return Err(Error::usage("the chart has another shape than the band"));
        }
        match self.pinned.iter().find(|&&bead| bead >= lattice.len()) {
            None => Ok(()),
            Some(bead) => Err(Error::usage(format!(
                "bead {bead} is not on a band of {} beads",
                lattice.len()
            ))
            .option("pin")),
        }
    }
}

impl CompareOptions {
    /// Makes sure that every value is in its range.
    ///
    /// # Errors
    /// If one is not.
    pub(super) fn check(&self, distances: &[Mm]) -> Result<()> {
        check_crisp(self.crisp)?;
        let distances = Distances::new(distances.to_vec());
        distances.map_err(|error| error.of_option("distances"))?;
        Ok(())
    }
}

fn check_crisp(crisp: f64) -> Result<()> {
    let crisp = Crisp::new(crisp);
    crisp.map_err(|error| error.of_option("crisp"))?;
    Ok(())
}
