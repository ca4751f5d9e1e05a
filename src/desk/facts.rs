//! The facts of a chart that the page shows beside it: problems found, kit, size and ring.

use super::extract::JsonBody;
use super::fields::{CHART_NAME, PaletteId, TextOrNumber, parse_chart};
use super::latest::Job;
use super::limits::MAX_CHART;
use super::response::{HandlerResult, Refusal, error_json, json_response, to_json};
use super::state::{Desk, NamedPalette};
use crate::chart::Chart;
use crate::error::{Error, Result};
use crate::lattice::Rows;
use crate::output;
use crate::output::check::Checked;
use crate::report::{Gathered, Measured, PreferWord, check_thread};
use crate::ring::Closed;
use crate::warning::Warning;
use crate::weave::check::check;
use crate::weave::kit::{kit, owned};
use axum::extract::State;
use serde::Deserialize;
use serde_json::value::RawValue;
use serde_json::{Value, json};
use std::path::Path;
use std::sync::Arc;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FactsRequest {
    chart: String,
    name: Option<String>,
    palette: Option<PaletteId>,
    make: Option<TextOrNumber>,
    spare: Option<TextOrNumber>,
    thread: Option<TextOrNumber>,
    tail: Option<TextOrNumber>,
    length: Option<TextOrNumber>,
    swatch: Option<String>,
    fits: Option<String>,
    prefer: Option<PreferWord>,
}

/// `POST facts?lane=L&n=K`.
pub async fn facts(
    State(desk): State<Arc<Desk>>,
    job: std::result::Result<Job, Refusal>,
    request: JsonBody<FactsRequest, MAX_CHART>,
) -> HandlerResult {
    let job = job?;
    let palette = request.palette.as_ref().map(|id| desk.palettes.get(&id.id));
    let palette = palette.transpose()?;
    let of_worker = job.clone();
    let work = move || request.run(palette.as_deref(), &of_worker);
    Ok(json_response(desk.workers.run(job, work).await?))
}

impl FactsRequest {
    fn gathered(&self) -> Gathered<'_> {
        Gathered {
            make: self.make.as_deref(),
            spare: self.spare.as_deref(),
            thread: self.thread.as_deref(),
            tail: self.tail.as_deref(),
            length: self.length.as_deref(),
        }
    }

    fn run(&self, palette: Option<&NamedPalette>, job: &Job) -> Result<Vec<u8>> {
        let name = self.name.as_deref().unwrap_or(CHART_NAME);
        let chart = parse_chart(&self.chart, name)?;
        let findings = self.findings(&chart, name, palette)?;
        // Nobody would read the answer.
        if !job.is_newest() {
            return Ok(Vec::new());
        }
        let missing = palette.and_then(|palette| missing(&chart, palette));
        let complete = palette.filter(|_| missing.is_none());
        let mut document = json!({
            "n": job.n(),
            "findings": findings,
            "lacking": missing.as_ref().map(error_json),
        });
        self.measure(&chart, &mut document)?;
        let kit = self.kit(&chart, complete)?;
        joined(document, "kit", kit)
    }

    /// As `upbead check --json` lists them.
    fn findings(&self, chart: &Chart, name: &str, palette: Option<&NamedPalette>) -> Result<Value> {
        let palette = palette.map(|named| &named.palette);
        let mut options = self.gathered().check()?;
        options.palette = palette;
        check_thread(chart, options.thread)?;
        let findings = check(chart, &options)?;
        let checked = Checked {
            file: Path::new(name),
            chart,
            palette,
            findings: &findings,
        };
        let mut document: Value = serde_json::from_str(&output::check::json(&checked))
            .map_err(|e| Error::new("the findings cannot be written as JSON").because(e))?;
        Ok(document["findings"].take())
    }

    /// As `upbead kit --json`.
    fn kit(&self, chart: &Chart, palette: Option<&NamedPalette>) -> Result<String> {
        let palette = palette.map(|named| &named.palette);
        let found = palette.and_then(|palette| owned(chart, palette).ok());
        let answer = output::kit::Answer {
            chart,
            palette,
            kit: &kit(chart, found.as_ref(), self.gathered().kit()?)?,
        };
        output::kit::json(&answer)
    }

    /// Width, length and the ring.
    fn measure(&self, chart: &Chart, document: &mut Value) -> Result<()> {
        let lattice = &chart.lattice;
        let measured = Measured {
            swatch: self.swatch.as_deref(),
            fits: self.fits.as_deref(),
            gauge: None,
            prefer: self.prefer.unwrap_or_default(),
        };
        let gauge = measured.resolve(lattice.bead())?;
        let ring = lattice
            .is_closed()
            .then(|| Rows::closed(lattice.rows()).map(|rows| gauge.value.closed(rows)));
        let notes: Vec<String> = gauge.notes.iter().map(Warning::to_string).collect();
        document["width_mm"] = json!(gauge.value.width(lattice.columns()).rounded());
        document["length_mm"] = json!(lattice.picture_height().rounded());
        document["ring"] = json!(ring.transpose()?.as_ref().map(ring_json));
        document["notes"] = json!(notes);
        Ok(())
    }
}

fn ring_json(closed: &Closed) -> Value {
    let size = &closed.size;
    json!({
        "rows": closed.rows.count(),
        "diameter_mm": size.diameter().rounded(),
        "circumference_mm": size.circumference().rounded(),
        "us": size.us(),
        "iso": size.iso(),
        "uk": size.uk(),
        "jp": size.jp(),
    })
}

/// The error of `upbead kit` if the palette does not have all colours of the chart.
fn missing(chart: &Chart, named: &NamedPalette) -> Option<Error> {
    let colours = owned(chart, &named.palette).err()?;
    let error = output::kit::missing(chart, &named.palette, &colours);
    Some(error.file(Path::new(&named.file)))
}

/// An object and one more field that is JSON already.
fn joined(document: Value, name: &str, text: String) -> Result<Vec<u8>> {
    #[derive(serde::Serialize)]
    struct Joined<'a> {
        #[serde(flatten)]
        document: Value,
        #[serde(flatten)]
        more: std::collections::BTreeMap<&'a str, Box<RawValue>>,
    }
    let raw = RawValue::from_string(text)
        .map_err(|e| Error::new("the kit cannot be written as JSON").because(e))?;
    to_json(&Joined {
        document,
        more: [(name, raw)].into(),
    })
}
