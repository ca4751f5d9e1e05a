//! A picture laid beside a finished chart: as the chart says it lay, or otherwise.

use super::{FitWord, crisp, crop, of_option, place, turn};
use crate::chart::Chart;
use crate::colour::{Light, light, read_hex};
use crate::error::Result;
use crate::palette::read::bad_hex;
use crate::picture::{Arrangement, Fit, Seat};
use crate::pipeline::{Beside, arrangement, recorded_ground, recorded_picture};
use crate::request::Crisp;
use std::path::Path;

/// What was said of it; what was not said is as the chart says.
#[derive(Debug, Clone, Copy, Default)]
pub struct Laid<'a> {
    /// `--place`.
    pub place: Option<&'a str>,
    /// `--turn`.
    pub turn: Option<&'a str>,
    /// `--crop`.
    pub crop: Option<&'a str>,
    /// `--fit`.
    pub fit: Option<FitWord>,
    /// `--margin`.
    pub margin: Option<u32>,
    /// `--crisp`.
    pub crisp: Option<f64>,
    /// `--ground`: a code of the chart, or a colour.
    pub ground: Option<&'a str>,
}

impl Laid<'_> {
    /// How the picture lies beside `chart`, which came from `file`.
    ///
    /// # Errors
    /// If what was typed cannot be read or does not suit the band, or what the chart says of its making cannot be read.
    pub fn beside(&self, chart: &Chart, file: &Path) -> Result<Beside> {
        let arrangement = self.arrangement(chart, file)?;
        arrangement.check(&chart.lattice)?;
        Ok(Beside {
            arrangement,
            ground: self.ground(chart)?,
            crisp: match self.crisp {
                Some(number) => crisp(number)?,
                None => {
                    let made = recorded_picture(chart).map_err(|error| error.file(file))?;
                    made.crisp.map_or(0.0, Crisp::get)
                }
            },
        })
    }

    fn arrangement(&self, chart: &Chart, file: &Path) -> Result<Arrangement> {
        let made = arrangement(chart).map_err(|error| error.file(file))?;
        Ok(Arrangement {
            place: self.place.map_or(Ok(made.place), place)?,
            turn: self.turn.map_or(Ok(made.turn), turn)?,
            crop: match self.crop {
                Some(word) => Some(crop(word)?),
                None => made.crop,
            },
            fit: self.fit.map(Fit::from).or(made.fit),
            margin: self.margin.unwrap_or(made.margin),
            // A seat speaks of the frame in that part of the picture.
            seat: if self.crop.is_none() {
                made.seat
            } else {
                Seat::Middle
            },
            frame: made.frame.filter(|_| self.crop.is_none()),
        })
    }

    fn ground(&self, chart: &Chart) -> Result<Option<Light>> {
        let of_code = |code: &str| {
            let shade = chart.colours.iter().find(|shade| shade.code == code);
            shade.map(|shade| light(shade.srgb))
        };
        let Some(word) = self.ground else {
            return Ok(recorded_ground(chart));
        };
        let hex = || read_hex(word).map(light);
        match of_code(word).or_else(hex) {
            Some(light) => Ok(Some(light)),
            None => Err(of_option(bad_hex(word), "--ground")
                .hint("give a code of the chart, or six hex digits such as 1C3261")),
        }
    }
}
