//! The facts of a chart, shown beside it on the page.

use super::Task;
use super::kinds::FACTS;
use crate::desk::extract::JsonBody;
use crate::desk::fields::{CHART_NAME, PaletteId};
use crate::desk::latest::Job;
use crate::desk::limits::MAX_CHART;
use crate::desk::response::{HandlerResult, Refusal, json_response};
use crate::desk::state::Desk;
use axum::extract::State;
use serde::Deserialize;
use serde_json::{Map, Value};
use std::sync::Arc;

/// Charts of so many bytes take longer than a process takes to start, and cannot be interrupted.
const LARGE: usize = 200_000;

#[derive(Deserialize)]
pub struct FactsRequest {
    chart: String,
    name: Option<String>,
    palette: Option<PaletteId>,
    /// Those of kit, check and gauge.
    #[serde(flatten)]
    options: Map<String, Value>,
}

/// `POST facts?lane=L&n=K`.
pub async fn facts(
    State(desk): State<Arc<Desk>>,
    job: std::result::Result<Job, Refusal>,
    body: JsonBody<FactsRequest, MAX_CHART>,
) -> HandlerResult {
    let job = job?;
    let (body, memory) = body.into_parts();
    let palette = body.palette.as_ref().map(|id| desk.palettes.get(&id.id));
    let mut options = body.options;
    options.insert("n".into(), job.n().into());
    let is_large = body.chart.len() >= LARGE;
    let task = Task {
        kind: &FACTS,
        name: body.name.unwrap_or_else(|| CHART_NAME.to_string()),
        chart: body.chart,
        options,
        palette: palette.transpose()?,
        picture: None,
        _held: [Some(memory), None],
    };
    let made = if is_large {
        task.made(&desk, job).await?
    } else {
        task.made_by_worker(&desk, job).await?
    };
    Ok(json_response(made.bytes))
}
