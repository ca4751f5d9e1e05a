//! The jobs of the crate on values in memory: no file, no printing, no clock.

use crate::chart::{self, Chart};
use crate::error::Result;
use crate::palette::{self, Palette};
use crate::pipeline::{self, Source};
use crate::report::check::CheckReport;
use crate::report::fit::FitReport;
use crate::report::weave::{WeaveReport, WovenBand};
use crate::request::{ChartRequest, CheckRequest, FitRequest, WeaveRequest};
use crate::warning::Warned;

impl Palette {
    /// Reads a palette: CSV or GIMP palette. `name` is what reports call it.
    ///
    /// # Errors
    /// If a cell cannot be read; the error names line and column.
    pub fn read(text: &str, name: &str) -> Result<Self> {
        palette::read::read(text, name)
    }
}

impl Chart {
    /// Reads a chart file's text, and checks all of it.
    ///
    /// # Errors
    /// If it is no chart; the error names line and column.
    pub fn read(text: &str) -> Result<Self> {
        chart::read::read(text)
    }

    /// The text of its chart file.
    pub fn to_text(&self) -> String {
        chart::write::write(self)
    }
}

/// Charts a picture in the colours of a palette.
///
/// `picture` is a file's name and bytes: PNG, JPEG, WebP, GIF, BMP, TIFF, or SVG with the feature
/// `svg`. An SVG is drawn in this process: what it unfolds to is bounded, time and memory are not.
///
/// # Errors
/// If the picture cannot be read or shows nothing, or options contradict one another, the band or
/// the palette.
pub fn chart(picture: Source, palette: &Palette, request: &ChartRequest) -> Result<Warned<Chart>> {
    let pipeline::Charted { made, shape } = pipeline::chart(picture, palette, request)?;
    Ok(with_band(made.value.chart, shape.warnings, made.warnings))
}

/// A plain band of one colour: that of `ground`, or the lightest of the palette.
///
/// # Errors
/// If an option speaks of a picture, or the band cannot be woven.
pub fn plain_chart(palette: &Palette, request: &ChartRequest) -> Result<Warned<Chart>> {
    let mut request = request.clone();
    request.design.plain = true;
    let shape = request.shape()?;
    let settings = pipeline::settings(&request, &shape, palette)?;
    let made = pipeline::plain(palette, &settings);
    Ok(with_band(made.value.chart, shape.warnings, made.warnings))
}

fn with_band(
    chart: Chart,
    mut band: Vec<crate::warning::Warning>,
    picture: Vec<crate::warning::Warning>,
) -> Warned<Chart> {
    band.extend(picture);
    Warned {
        value: chart,
        warnings: band,
    }
}

/// The rows that close round a finger.
///
/// # Errors
/// If the size or the gauge cannot be read, or the band cannot be woven.
pub fn fit(request: &FitRequest) -> Result<FitReport> {
    FitReport::new(request)
}

/// How a chart is woven: its rows, each bead in pick-up order, every thread pass and turn, the seam
/// and the thread that it takes.
///
/// # Errors
/// If the work cannot begin at that edge, or the chart does not have those rows.
pub fn weave(chart: &Chart, request: &WeaveRequest) -> Result<WeaveReport> {
    Ok(WeaveReport::of(&WovenBand::new(chart, request, None)?))
}

/// What stands in the way of weaving a chart well; with a palette, also what of it is not in stock.
///
/// # Errors
/// If the thread does not go through the beads, bands are counted without a palette, or the band
/// cannot be woven.
pub fn check(
    chart: &Chart,
    palette: Option<&Palette>,
    request: &CheckRequest,
) -> Result<CheckReport> {
    CheckReport::new(request, chart, palette)
}
