//! The facts of a chart that the page shows beside it: problems found, kit, size, ring and bead
//! keys.

use super::response::{ErrorAnswer, to_json};
use super::state::NamedPalette;
use crate::cancel::Cancel;
use crate::chart::Chart;
use crate::error::{Error, Result};
use crate::lattice::Rows;
use crate::report::WarningReport;
use crate::report::check::{CheckReport, FindingReport};
use crate::report::fit::ClosedReport;
use crate::report::kit::{InStock, KitReport, not_in_palette};
use crate::request::{CheckRequest, GaugeRequest, KitRequest, Named};
use crate::ring::Gauge;
use crate::scene::keys;
use crate::units::Mm;
use crate::weave::kit::in_stock;
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::{Map, Value};
use std::path::Path;

/// What the page shows beside a chart.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct FactsAnswer {
    /// The number of the request in its lane.
    n: Option<u64>,
    /// As `upbead check --json` lists them.
    findings: Vec<FindingReport>,
    /// The error of `upbead kit` if the palette does not have all colours of the chart.
    missing: Option<ErrorAnswer>,
    /// Width of the band.
    width_mm: Mm,
    /// Flat length of the band.
    length_mm: Mm,
    /// None for a strip.
    ring: Option<ClosedReport>,
    /// What was noticed about the gauge.
    warnings: Vec<WarningReport>,
    /// The key of each colour, as it stands on its beads.
    keys: Vec<String>,
    /// As `upbead kit --json`.
    kit: KitReport,
}

/// The options of a request.
struct Options {
    kit: KitRequest,
    check: CheckRequest,
    gauge: GaugeRequest,
}

impl Options {
    fn new(options: Map<String, Value>) -> Result<Self> {
        let mut named = Named::new(options);
        let options = Self {
            kit: KitRequest {
                amounts: named.take()?,
                thread: named.take()?,
                ..KitRequest::default()
            },
            check: named.take()?,
            gauge: named.take()?,
        };
        named.finish()?;
        Ok(options)
    }
}

/// The facts of a chart as JSON, from options of kit, check and gauge by name, and the number of
/// the request in its lane as `n`.
///
/// # Errors
/// If an option cannot be read or is out of range, if the gauge cannot be, or if the work is
/// cancelled.
pub fn facts(
    chart: &Chart,
    palette: Option<&NamedPalette>,
    mut options: Map<String, Value>,
    cancel: &Cancel,
) -> Result<Vec<u8>> {
    let n = options.remove("n").and_then(|n| n.as_u64());
    let mut options = Options::new(options)?;
    if palette.is_none() {
        // Without a palette the bands are the kit's alone.
        options.check.make = None;
    }
    let colours = palette.map(|named| &named.palette);
    cancel.check()?;
    let checked = CheckReport::new(&options.check, chart, colours)?;
    cancel.check()?;
    let missing = palette.and_then(|palette| missing(chart, palette));
    let complete = palette.filter(|_| missing.is_none());
    let lattice = &chart.lattice;
    let gauge = options.gauge.resolve(lattice.bead())?;
    to_json(&FactsAnswer {
        n,
        findings: checked.findings,
        missing: missing.as_ref().map(ErrorAnswer::from),
        width_mm: gauge.value.width(lattice.columns()),
        length_mm: lattice.picture_height(),
        ring: ring(chart, &gauge.value)?,
        warnings: WarningReport::all(&gauge.warnings),
        keys: keys(chart),
        kit: KitReport::new(&options.kit, chart, complete.map(NamedPalette::in_stock))?,
    })
}

impl NamedPalette {
    /// As the beads in stock.
    pub fn in_stock(&self) -> InStock<'_> {
        InStock {
            file: Path::new(&self.file),
            palette: &self.palette,
        }
    }
}

/// The ring that a closed band makes; none for a strip.
fn ring(chart: &Chart, gauge: &Gauge) -> Result<Option<ClosedReport>> {
    if !chart.lattice.is_closed() {
        return Ok(None);
    }
    let closed = gauge.closed(Rows::closed(chart.lattice.rows())?);
    Ok(Some(ClosedReport::from(&closed)))
}

fn missing(chart: &Chart, named: &NamedPalette) -> Option<Error> {
    let colours = in_stock(chart, &named.palette).err()?;
    let error = not_in_palette(chart, &named.palette, &colours);
    Some(error.file(Path::new(&named.file)))
}
