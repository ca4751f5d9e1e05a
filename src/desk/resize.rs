//! A finished chart with other rows: for a ring size, or as many as were counted.

use super::extract::JsonBody;
use super::fields::{chart_name, parse_chart};
use super::latest::Job;
use super::limits::MAX_CHART;
use super::response::{HandlerResult, Refusal, json_response, to_json};
use super::state::Desk;
use crate::chart::Chart;
use crate::chart::resize::Resizer;
use crate::chart::write::write;
use crate::error::{Error, Result};
use crate::lattice::Rows;
use crate::request::{BandRequest, GaugeRequest, Named, RingRequest};
use crate::ring::{RingSize, fit};
use axum::extract::State;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::path::Path;
use std::sync::Arc;

/// The record's names for the length that a chart was made for.
const SIZE: &str = "size";

/// A chart, and a ring size or rows by name, as `chart` takes them.
#[derive(Deserialize)]
pub struct ResizeBody {
    chart: String,
    name: Option<String>,
    #[serde(flatten)]
    options: Map<String, Value>,
}

/// A chart with other rows.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ResizeAnswer {
    /// The number of the request in its lane.
    n: Option<u64>,
    /// The chart's file.
    text: String,
}

/// `POST resize?lane=L&n=K`: rows are added or removed as `upbead resize` does, in plain rows away
/// from the motif.
pub async fn resize(
    State(desk): State<Arc<Desk>>,
    job: std::result::Result<Job, Refusal>,
    body: JsonBody<ResizeBody, MAX_CHART>,
) -> HandlerResult {
    let job = job?;
    let name = chart_name(body.name.as_deref())?;
    let length = Length::named(body.options.clone())?;
    let n = job.n();
    let work = move || {
        let chart = parse_chart(&body.chart, &name)?;
        let resized = length
            .of(&chart)
            .map_err(|error| error.file(Path::new(&name)))?;
        to_json(&ResizeAnswer {
            n,
            text: write(&resized),
        })
    };
    Ok(json_response(desk.workers.run(job, work).await?))
}

/// What the band is to be as long as.
struct Length {
    size: Option<RingSize>,
    band: BandRequest,
    gauge: GaugeRequest,
}

impl Length {
    fn named(options: Map<String, Value>) -> Result<Self> {
        let mut named = Named::new(options);
        let RingRequest { size, .. } = named.take()?;
        let length = Self {
            size,
            band: named.take()?,
            gauge: named.take()?,
        };
        named.finish()?;
        Ok(length)
    }

    /// The chart in that length.
    fn of(&self, chart: &Chart) -> Result<Chart> {
        let option = if self.size.is_some() { SIZE } else { "rows" };
        let rows = self.rows(chart)?;
        let label = match &self.size {
            Some(size) => size.to_string(),
            None => rows.count().to_string(),
        };
        let mut resized = if rows.count() == chart.lattice.rows() {
            chart.clone()
        } else {
            let resizer = Resizer::new(chart).map_err(|error| error.of_option(option))?;
            let resized = resizer.resized(rows, &label)?;
            resized.ok_or_else(|| impossible(&resizer, rows).of_option(option))?
        };
        let options = &mut resized.made.options;
        options.retain(|(name, _)| name != SIZE);
        options.extend(self.size.as_ref().map(|_| (SIZE.to_string(), label)));
        Ok(resized)
    }

    fn rows(&self, chart: &Chart) -> Result<Rows> {
        let Some(size) = &self.size else {
            let rows = self.band.rows.map_or(0, |count| count.0);
            return Rows::closed(rows).map_err(|error| error.of_option("rows"));
        };
        let gauge = self.gauge.resolve(chart.lattice.bead())?.value;
        let fit = fit(size, &gauge, self.gauge.prefer());
        Ok(fit.map_err(|error| error.of_option(SIZE))?.chosen.rows)
    }
}

/// Why the design cannot have so many rows, and which it can.
fn impossible(resizer: &Resizer, rows: Rows) -> Error {
    let error = Error::new(format!("this design cannot have {} rows", rows.count()));
    match resizer.near(rows.count()) {
        (None, Some(least)) => error.hint(format!(
            "it needs at least {least}: fewer would be taken from its motif"
        )),
        (Some(below), Some(above)) => error.hint(format!("use {below} or {above} rows")),
        (Some(below), None) => error.hint(format!("use {below} rows")),
        (None, None) => error.hint("draw a shorter motif"),
    }
}
