//! A chart that was made, and how well it came out.

use super::compare::{Legible, MeasureReport};
use super::{WarningReport, short};
use crate::colour::hex;
use crate::error::Error;
use crate::palette::Palette;
use crate::pipeline::{MotifPosition, Outcome};
use crate::quantize::measure::{changes, stray};
use crate::ring::Closed;
use crate::scene::facts;
use crate::warning::{Warned, Warning};
use schemars::JsonSchema;
use serde::Serialize;
use std::path::{Path, PathBuf};

/// One chart that was made, and where it went; lengths are in millimetres.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ChartReport {
    /// The picture's file; empty for a plain band.
    pub picture: String,
    /// The chart's file; none is standard output.
    pub chart: Option<String>,
    /// The drawing's file.
    pub preview: Option<String>,
    /// Columns.
    pub columns: u32,
    /// Rows.
    pub rows: u32,
    /// Whether it closes into a ring.
    pub closed: bool,
    /// Beads.
    pub beads: usize,
    /// Width.
    pub width_mm: f64,
    /// Flat height.
    pub height_mm: f64,
    /// Inside diameter of the ring.
    pub inside_diameter_mm: Option<f64>,
    /// US ring size.
    pub us: Option<f64>,
    /// ISO ring size.
    pub iso: Option<String>,
    /// Degrees clockwise that the picture was rotated.
    pub rotated: u32,
    /// Share of the picture that is on the band, 0 to 1.
    pub kept: f64,
    /// Where the motif is, if there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub position: Option<PositionReport>,
    /// Code of the ground, where it shows.
    pub ground: Option<String>,
    /// Mean CIEDE2000 between the picture on each bead, as it is, and its colour.
    pub difference: f64,
    /// Times that the colour changes within the rows.
    pub colour_changes: usize,
    /// Beads that no bead of the same colour touches.
    pub stray_beads: usize,
    /// Figures before and after the whole band was improved.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refined: Option<BeforeAfter>,
    /// How the motif stands out from its ground.
    pub legible: Option<Legible>,
    /// The palette's name.
    pub palette: String,
    /// Colours in the palette.
    pub palette_colours: usize,
    /// The colours in use.
    pub colours: Vec<ColourCount>,
    /// What there is to say about the band, then about the picture.
    pub warnings: Vec<WarningReport>,
    /// How many warnings are about the band, the same for every picture.
    #[serde(skip)]
    pub about_band: usize,
    /// Columns, rows, beads, sides and bead size in words.
    #[serde(skip)]
    pub facts: String,
}

/// A motif's size and place.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PositionReport {
    /// Width across the band.
    pub width_mm: f64,
    /// Height along the band.
    pub height_mm: f64,
    /// Size, of the largest that fits.
    pub scale: f64,
    /// To the right of the middle.
    pub across_mm: f64,
    /// Above the middle.
    pub along_mm: f64,
}

/// Figures before and after.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct BeforeAfter {
    /// Before.
    pub before: MeasureReport,
    /// After.
    pub after: MeasureReport,
}

/// A colour in use.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ColourCount {
    /// Its code in the palette.
    pub code: String,
    /// Its name.
    pub name: String,
    /// Its colour, six hex digits.
    pub hex: String,
    /// Beads of it.
    pub beads: usize,
}

/// A picture of which no chart was made.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct FailedReport {
    /// The picture's file.
    pub picture: String,
    /// What went wrong, and where.
    pub error: String,
    /// What to do about it.
    pub hint: Option<String>,
}

/// What became of a picture.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum ChartEntry {
    /// A chart was made.
    Made(Box<ChartReport>),
    /// None was.
    Failed(FailedReport),
}

/// What `upbead chart --json` prints.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum ChartDocument {
    /// Of one picture, or of a plain band.
    One(Box<ChartReport>),
    /// Of several pictures, in their order.
    Several(Vec<ChartEntry>),
}

/// Where a chart came from and went to.
#[derive(Debug, Clone, Default)]
pub struct Files {
    /// The picture; empty for a plain band.
    pub picture: PathBuf,
    /// The chart's file; none is standard output.
    pub chart: Option<PathBuf>,
    /// The drawing's file.
    pub preview: Option<PathBuf>,
}

/// What is known of the band beside the chart.
#[derive(Debug, Clone, Copy, Default)]
pub struct AboutBand<'a> {
    /// The ring that it makes.
    pub ring: Option<&'a Closed>,
    /// What there is to say about it.
    pub warnings: &'a [Warning],
}

impl ChartReport {
    /// Of a chart that was made in the colours of `palette`.
    pub fn new(files: &Files, made: &Warned<Outcome>, band: AboutBand, palette: &Palette) -> Self {
        let outcome = &made.value;
        let chart = &outcome.chart;
        let lattice = &chart.lattice;
        let size = band.ring.map(|ring| &ring.size);
        let shown =
            |path: &Option<PathBuf>| path.as_deref().map(|path| path.to_string_lossy().into());
        Self {
            picture: files.picture.to_string_lossy().into(),
            chart: shown(&files.chart),
            preview: shown(&files.preview),
            columns: lattice.columns(),
            rows: lattice.rows(),
            closed: lattice.is_closed(),
            beads: lattice.len(),
            width_mm: lattice.width().rounded(),
            height_mm: lattice.picture_height().rounded(),
            inside_diameter_mm: size.map(|size| size.diameter().rounded()),
            us: size
                .and_then(|size| size.us())
                .map(|us| (us * 100.0).round() / 100.0),
            iso: size.map(|size| size.iso().to_string()),
            rotated: outcome.rotated,
            kept: short(outcome.kept),
            position: outcome.position.as_ref().map(PositionReport::from),
            ground: outcome.ground.map(|at| palette.colours()[at].code.clone()),
            difference: short(outcome.difference),
            colour_changes: changes(lattice, &chart.beads),
            stray_beads: stray(lattice, &chart.beads),
            refined: outcome.refined.as_ref().map(|[before, after]| BeforeAfter {
                before: before.into(),
                after: after.into(),
            }),
            legible: outcome.motif.as_ref().map(Legible::from),
            palette: palette.name.clone(),
            palette_colours: palette.colours().len(),
            colours: counted(outcome),
            warnings: WarningReport::all(band.warnings.iter().chain(&made.warnings)),
            about_band: band.warnings.len(),
            facts: facts(chart),
        }
    }
}

fn counted(outcome: &Outcome) -> Vec<ColourCount> {
    let chart = &outcome.chart;
    let counts = chart.colours.iter().zip(chart.counts());
    let counted = counts.map(|(shade, beads)| ColourCount {
        code: shade.code.clone(),
        name: shade.name.clone(),
        hex: hex(shade.srgb),
        beads,
    });
    counted.collect()
}

impl From<&MotifPosition> for PositionReport {
    fn from(position: &MotifPosition) -> Self {
        Self {
            width_mm: position.width.rounded(),
            height_mm: position.height.rounded(),
            scale: position.placement.scale,
            across_mm: position.placement.across.get(),
            along_mm: position.placement.along.get(),
        }
    }
}

impl FailedReport {
    /// Of the error that came instead of a chart.
    pub fn new(picture: &Path, error: &Error) -> Self {
        Self {
            picture: picture.to_string_lossy().into(),
            error: format!("{}{}", error.place(), error.statement()),
            hint: error.remedy().map(ToString::to_string),
        }
    }
}
