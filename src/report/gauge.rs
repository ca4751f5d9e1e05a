//! A weaver's gauge, as reports have it.

use super::lossy;
use crate::bead::Bead;
use crate::ring::{Gauge, Source};
use crate::units::Mm;
use schemars::JsonSchema;
use serde::Serialize;
use std::path::PathBuf;

/// A gauge, and where it is kept.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct GaugeReport {
    /// The bead-to-bead spacing: between the centres of neighbouring beads in a column, in mm.
    pub pitch_mm: Mm,
    /// The bead.
    pub bead: BeadReport,
    /// What was measured.
    pub gauge: GaugeSourceReport,
    /// The file that it was kept in by this run.
    #[serde(
        skip_serializing_if = "Option::is_none",
        serialize_with = "lossy::optional"
    )]
    #[schemars(with = "Option<String>")]
    pub remembered: Option<PathBuf>,
}

/// A bead's measures in mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct BeadReport {
    /// Along the hole.
    pub length_mm: Mm,
    /// Across the hole.
    pub diameter_mm: Mm,
    /// Bore of the hole.
    pub hole_mm: Mm,
}

/// What a gauge was measured with.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct GaugeSourceReport {
    /// Where the gauge comes from.
    pub source: SourceKind,
    /// What was measured, such as `swatch 40=33.6` or `fits 74=us7`; absent where nothing was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<String>,
    /// The gauge file that it was read from.
    #[serde(
        skip_serializing_if = "Option::is_none",
        serialize_with = "lossy::optional"
    )]
    #[schemars(with = "Option<String>")]
    pub file: Option<PathBuf>,
    /// Width of a column in the swatch, in mm, if it was measured.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub column_mm: Option<Mm>,
}

/// Where a gauge comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum SourceKind {
    /// No gauge is set: an average hand is assumed.
    Assumed,
    /// A flat swatch.
    Swatch,
    /// A band that fits.
    Fits,
    /// A gauge file.
    File,
}

impl From<&Gauge> for GaugeReport {
    fn from(gauge: &Gauge) -> Self {
        Self {
            pitch_mm: gauge.spacing(),
            bead: gauge.bead().into(),
            gauge: gauge.into(),
            remembered: None,
        }
    }
}

impl From<Bead> for BeadReport {
    fn from(bead: Bead) -> Self {
        Self {
            length_mm: bead.length,
            diameter_mm: bead.diameter,
            hole_mm: bead.hole,
        }
    }
}

impl BeadReport {
    /// The size by name, or the measures: `11/0`, `1.4x1.65x0.8`.
    pub fn name(&self) -> String {
        let bead = Bead {
            length: self.length_mm,
            diameter: self.diameter_mm,
            hole: self.hole_mm,
        };
        bead.name()
    }
}

impl From<&Gauge> for GaugeSourceReport {
    fn from(gauge: &Gauge) -> Self {
        let (source, file) = match gauge.source() {
            Source::Assumed => (SourceKind::Assumed, None),
            Source::Swatch(_) => (SourceKind::Swatch, None),
            Source::KnownFit(_) => (SourceKind::Fits, None),
            Source::Remembered { file, .. } => (SourceKind::File, Some(file.clone())),
        };
        Self {
            source,
            from: (source != SourceKind::Assumed).then(|| gauge.source().to_string()),
            file,
            column_mm: gauge.measured_column(),
        }
    }
}
