//! The thread passes of a chart.

use super::extract::JsonBody;
use super::fields::{CHART_NAME, file_name, parse_chart};
use super::latest::Job;
use super::limits::MAX_CHART;
use super::response::{HandlerResult, Refusal, json_response};
use super::state::Desk;
use crate::cancel::Cancel;
use crate::error::Result;
use crate::output::weave::json;
use crate::report::weave::{WeaveReport, WovenBand};
use crate::request::WeaveRequest;
use axum::extract::State;
use serde::Deserialize;
use serde_json::{Map, Value};
use std::sync::Arc;

#[derive(Deserialize)]
pub struct PassesRequest {
    chart: String,
    name: Option<String>,
    /// Those of [`WeaveRequest`].
    #[serde(flatten)]
    options: Map<String, Value>,
}

/// `POST weave?lane=L&n=K`: as `upbead weave --json`.
pub async fn weave(
    State(desk): State<Arc<Desk>>,
    job: std::result::Result<Job, Refusal>,
    request: JsonBody<PassesRequest, MAX_CHART>,
) -> HandlerResult {
    let job = job?;
    request.name.as_deref().map(file_name).transpose()?;
    let cancel = job.cancel();
    let json = desk.workers.run(job, move || request.run(&cancel)).await?;
    Ok(json_response(json))
}

impl PassesRequest {
    fn run(&self, cancel: &Cancel) -> Result<String> {
        let request = WeaveRequest::named(self.options.clone())?;
        request.check_json()?;
        let file = self.name.as_deref();
        let chart = parse_chart(&self.chart, file.unwrap_or(CHART_NAME))?;
        cancel.check()?;
        let band = WovenBand::new(&chart, &request, file)?;
        cancel.check()?;
        let report = WeaveReport::of(&band);
        cancel.check()?;
        Ok(json(&report))
    }
}
