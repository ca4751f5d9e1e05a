//! How well a chart matches its picture.

use super::chart::scale_crop;
use super::extract::JsonBody;
use super::fields::{chart_name, parse_chart};
use super::latest::Job;
use super::limits::MAX_CHART;
use super::response::{HandlerResult, Refusal, json_response, to_json};
use super::state::{Desk, Picture};
use crate::chart::Chart;
use crate::error::Result;
use crate::picture::{Decoding, decode};
use crate::report::compare::{CompareReport, Pair};
use crate::request::CompareRequest;
use axum::extract::State;
use serde::Deserialize;
use serde_json::{Map, Value};
use std::path::Path;
use std::sync::Arc;

/// A chart, its picture, and the options of `upbead compare` by name.
#[derive(Deserialize)]
pub struct CompareBody {
    chart: String,
    name: Option<String>,
    picture: String,
    #[serde(flatten)]
    options: Map<String, Value>,
}

/// `POST compare?lane=L&n=K`: the report of `upbead compare`.
pub async fn compare(
    State(desk): State<Arc<Desk>>,
    job: std::result::Result<Job, Refusal>,
    body: JsonBody<CompareBody, MAX_CHART>,
) -> HandlerResult {
    let job = job?;
    let name = chart_name(body.name.as_deref())?;
    let picture = desk.pictures.get(&body.picture)?;
    let request = CompareRequest::named(body.options.clone())?;
    let reserved = desk.reserve_pixels(&job, picture.memory).await?;
    let decoding = desk.decoding(&job);
    let work = move || {
        let _reserved = reserved;
        let chart = parse_chart(&body.chart, &name)?;
        to_json(&compare_picture(
            &chart, &name, &picture, request, decoding,
        )?)
    };
    Ok(json_response(desk.workers.run(job, work).await?))
}

/// The report of `upbead compare`.
///
/// # Errors
/// As there.
pub fn compare_picture(
    chart: &Chart,
    name: &str,
    picture: &Picture,
    mut request: CompareRequest,
    decoding: Decoding,
) -> Result<CompareReport> {
    if let Some(crop) = request.picture.crop {
        let decoded = decode(Arc::clone(&picture.bytes), &chart.lattice, &decoding)
            .map_err(|error| picture.blame(error))?;
        let there = decoded.upright();
        request.picture.crop = Some(scale_crop(crop, picture.size, there));
    }
    let pair = Pair {
        chart,
        file: Path::new(name),
        picture: Path::new(&picture.name),
    };
    CompareReport::new(pair, picture.source(decoding), &request)
}
