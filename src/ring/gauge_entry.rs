//! One gauge of a gauge file.

use super::gauge::{Gauge, KnownFit, Source, Swatch};
use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::units::Mm;
use serde::{Deserialize, Serialize};
use std::path::Path;

pub(super) const FORMAT: &str = "upbead-gauge";
pub(super) const VERSION: u64 = 1;

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct Entry {
    pub(super) bead: RawBead,
    #[serde(rename = "pitch_mm")]
    pub(super) spacing_mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) column_mm: Option<f64>,
    pub(super) from: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(
    deny_unknown_fields,
    expecting = "an object with length_mm, diameter_mm and hole_mm"
)]
pub(super) struct RawBead {
    pub(super) length_mm: f64,
    pub(super) diameter_mm: f64,
    pub(super) hole_mm: f64,
}

impl Entry {
    pub(super) fn of(gauge: &Gauge) -> Self {
        let (spacing_mm, column_mm) = measures(gauge);
        Self {
            bead: RawBead::of(gauge.bead()),
            spacing_mm,
            column_mm,
            from: gauge.source().to_string(),
        }
    }

    pub(super) fn bead_name(&self) -> String {
        let RawBead {
            length_mm,
            diameter_mm,
            hole_mm,
        } = self.bead;
        let bead = Bead {
            length: Mm::new(length_mm),
            diameter: Mm::new(diameter_mm),
            hole: Mm::new(hole_mm),
        };
        bead.name()
    }

    pub(super) fn is_for(&self, bead: Bead) -> bool {
        self.bead == RawBead::of(bead)
    }

    pub(super) fn gauge(&self, bead: Bead, file: &Path) -> Result<Gauge> {
        let source = Source::Remembered {
            file: file.to_path_buf(),
            from: self.from.clone(),
        };
        let column = self.column_mm.map(Mm::new);
        Gauge::of_measures(bead, Mm::new(self.spacing_mm), column, source)
    }
}

impl RawBead {
    fn of(bead: Bead) -> Self {
        Self {
            length_mm: bead.length.rounded(),
            diameter_mm: bead.diameter.rounded(),
            hole_mm: bead.hole.rounded(),
        }
    }
}

/// Spacing and column as a file keeps them: to a millionth of a millimetre, so that a band that
/// fits still fits when its gauge is read back.
fn measures(gauge: &Gauge) -> (f64, Option<f64>) {
    let kept = |mm: Mm| (mm.get() * 1e6).round() / 1e6;
    (kept(gauge.spacing()), gauge.measured_column().map(kept))
}

impl Gauge {
    /// The swatch, or the band that fits, that a gauge from a gauge file was measured with.
    ///
    /// # Errors
    /// If what the file says was measured does not give the spacing beside it: then one of them was
    /// changed by hand.
    pub fn measured_with(&self) -> Result<Source> {
        let from = self.source().to_string();
        let again = match from.split_once(' ') {
            Some(("swatch", text)) => Swatch::parse(text)
                .and_then(|swatch| Self::from_swatch(self.bead(), swatch))
                .ok(),
            Some(("fits", text)) => KnownFit::parse(text)
                .and_then(|known| Self::from_fit(self.bead(), known))
                .ok(),
            _ => None,
        };
        match again {
            Some(again) if measures(&again) == measures(self) => Ok(again.source().clone()),
            _ => Err(Error::new(format!(
                "'{from}' does not give the bead-to-bead spacing of {} beside it",
                self.spacing()
            ))
            .hint("enter the swatch, or the band that fits, yourself")),
        }
    }
}
