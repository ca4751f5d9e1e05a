//! The rows for a ring size.

use super::gauge::{BeadReport, GaugeReport, GaugeSourceReport};
use super::{WarningReport, lossy};
use crate::error::Result;
use crate::lattice::Lattice;
use crate::request::FitRequest;
use crate::ring::{Closed, Fit, Gauge, Hand, Prefer, Source, Swatch, fit};
use crate::units::{LengthUnits, Mm};
use crate::warning::Warning;
use schemars::JsonSchema;
use serde::Serialize;
use std::path::PathBuf;

/// How far a ruler is misread. Common practice, no source.
const MISREAD: Mm = Mm::new(0.25);
/// The even row counts that close round a finger, and what to know before weaving.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[non_exhaustive]
pub struct FitReport {
    /// The row count.
    pub rows: u32,
    /// Where no gauge is set: rows for a loose and for a tight hand.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rows_range: Option<[u32; 2]>,
    /// The row at which to try the strip on first.
    pub first_try_row: u32,
    /// The ring size that was asked for.
    pub size: String,
    /// The scale that sizes are compared on: `US`, `UK`, `ISO`, `JP`, `EU` or `mm around`; `US` for
    /// an inside diameter.
    pub scale: &'static str,
    /// Its inside diameter in mm.
    pub wanted_diameter_mm: Mm,
    /// Columns of the band.
    pub columns: u32,
    /// Width of the band in mm.
    pub width_mm: Mm,
    /// The bead-to-bead spacing: between the centres of neighbouring beads in a column, in mm.
    pub pitch_mm: Mm,
    /// The bead.
    pub bead: BeadReport,
    /// What the gauge was measured with.
    pub gauge: GaugeSourceReport,
    /// Neighbouring row counts and their sizes, smallest first, with the one that was taken.
    pub near: Vec<ClosedReport>,
    /// What to know before weaving.
    pub warnings: Vec<WarningReport>,
    /// The file that the gauge was kept in by this run.
    #[serde(
        skip_serializing_if = "Option::is_none",
        serialize_with = "lossy::optional"
    )]
    #[schemars(with = "Option<String>")]
    pub remembered: Option<PathBuf>,
    /// What lengths are written in.
    #[serde(skip)]
    pub units: LengthUnits,
}

/// A closed band of some rows, and its ring size.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ClosedReport {
    /// Its rows.
    pub rows: u32,
    /// Inside diameter in mm.
    pub diameter_mm: Mm,
    /// Inner circumference in mm.
    pub circumference_mm: Mm,
    /// US and Canadian size; null below 0.
    pub us: Option<f64>,
    /// ISO 8653 size.
    pub iso: u32,
    /// UK and Australian size; null below A.
    pub uk: Option<String>,
    /// Japanese size; null below 1.
    pub jp: Option<u32>,
    /// Where no gauge is set: what these rows make for a tight, an average and a loose hand.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hands: Option<[HandReport; 3]>,
}

/// What a row count makes for one hand.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct HandReport {
    /// Inside diameter in mm.
    pub diameter_mm: Mm,
    /// The size on the scale that was asked for; `-` where the scale has none.
    pub size: String,
}

impl FitReport {
    /// Works out the rows.
    ///
    /// # Errors
    /// If no size is given, the gauge cannot be read, no rows close round the size, or the band is
    /// too narrow or too wide.
    pub fn new(request: &FitRequest) -> Result<Self> {
        let size = request.size()?;
        let gauge = request.gauge.resolve(request.bead())?;
        let fit = fit(size, &gauge.value, request.gauge.prefer())?;
        let columns = request.columns();
        Lattice::new(request.bead(), columns, fit.chosen.rows)
            .map_err(|error| error.of_option("columns"))?;
        Ok(Self {
            units: request.units.units(),
            ..Self::of(&fit, columns, gauge.warnings)
        })
    }

    /// Of a fit for a band of `columns`; `found` is what was noticed on the way to the gauge.
    fn of(fit: &Fit, columns: u32, found: Vec<Warning>) -> Self {
        let GaugeReport {
            pitch_mm,
            bead,
            gauge,
            remembered,
        } = (&fit.gauge).into();
        Self {
            rows: fit.chosen.rows.count(),
            rows_range: fit
                .range
                .map(|(loose, touching)| [loose.count(), touching.count()]),
            first_try_row: fit.first_try.count(),
            size: fit.wanted.to_string(),
            scale: fit.wanted.scale(),
            wanted_diameter_mm: fit.wanted.diameter(),
            columns,
            width_mm: fit.gauge.width(columns),
            pitch_mm,
            bead,
            gauge,
            near: fit.near.iter().map(|closed| near(fit, closed)).collect(),
            warnings: WarningReport::all(&warnings(fit, columns, found)),
            units: LengthUnits::default(),
            remembered,
        }
    }

    /// The count that was taken, among its neighbours.
    pub fn chosen(&self) -> Option<&ClosedReport> {
        self.near.iter().find(|closed| closed.rows == self.rows)
    }
}

impl From<&Closed> for ClosedReport {
    fn from(closed: &Closed) -> Self {
        let size = &closed.size;
        Self {
            rows: closed.rows.count(),
            diameter_mm: size.diameter(),
            circumference_mm: size.circumference(),
            us: size.us(),
            iso: size.iso(),
            uk: size.uk(),
            jp: size.jp(),
            hands: None,
        }
    }
}

/// A neighbouring count, and where no gauge is set what it makes for each hand.
fn near(fit: &Fit, closed: &Closed) -> ClosedReport {
    let of_hand = |hand| {
        let gauge = Gauge::of_hand(fit.gauge.bead(), hand);
        let size = gauge.closed(closed.rows).size;
        HandReport {
            diameter_mm: size.diameter(),
            size: size.on_scale_of(&fit.wanted),
        }
    };
    ClosedReport {
        hands: fit.gauge.is_assumed().then(|| Hand::ALL.map(of_hand)),
        ..closed.into()
    }
}

/// What to know before weaving, most particular first.
fn warnings(fit: &Fit, columns: u32, found: Vec<Warning>) -> Vec<Warning> {
    let mut warnings = Vec::new();
    if fit.prefer == Prefer::Smaller && !fit.is_exact() {
        warnings.push(smaller_count(fit));
    }
    warnings.extend(found);
    if let Source::Swatch(swatch) = fit.gauge.source() {
        warnings.extend(short_swatch(fit, swatch));
    }
    warnings.extend(fit.warnings(columns));
    warnings.extend(Warning::unsure_bead(fit.gauge.bead()));
    let first = fit.first_try.count();
    warnings.extend([Warning::MeasureFinger, Warning::TryOn { first }]);
    warnings
}

/// The smaller count was taken, or one that is hardly larger.
fn smaller_count(fit: &Fit) -> Warning {
    let (size, rows) = (fit.wanted.to_string(), fit.chosen.rows.count());
    if fit.over().get() > 0.0 {
        return Warning::HardlyLarger {
            size,
            rows,
            over: fit.over(),
        };
    }
    Warning::SmallerCount {
        size,
        rows: (rows, rows + 2),
    }
}

/// A warning where misreading the ruler moves the count by more than a row.
///
/// The count goes as `N = π (d + D)/P` nearly, and `P` as the height over `(rows - 1)/2`: so
/// misreading moves it by `2 MISREAD N / (P (rows - 1))`. The advised length keeps that to half a
/// row.
fn short_swatch(fit: &Fit, swatch: &Swatch) -> Option<Warning> {
    let rows = f64::from(fit.chosen.rows.count());
    let one_row = MISREAD * 2.0 * rows / fit.gauge.spacing();
    let steps = f64::from(swatch.rows - 1);
    (steps < one_row).then(|| Warning::ShortSwatch {
        misread: MISREAD,
        rows: (((2.0 * one_row + 1.0) / 10.0).ceil() * 10.0) as u32,
    })
}
