//! The rows that close round a finger of one size.

use super::extract::JsonBody;
use super::latest::Job;
use super::limits::MAX_SMALL;
use super::response::{HandlerResult, Refusal, json_response};
use super::state::Desk;
use crate::output::json::document;
use crate::report::fit::FitReport;
use crate::request::FitRequest;
use axum::extract::State;
use serde_json::{Map, Value};
use std::sync::Arc;

/// `POST fit?lane=L&n=K`: as `upbead fit --json`.
pub async fn fit(
    State(desk): State<Arc<Desk>>,
    job: std::result::Result<Job, Refusal>,
    options: JsonBody<Map<String, Value>, MAX_SMALL>,
) -> HandlerResult {
    let job = job?;
    let request = FitRequest::named(options.clone())?;
    let work = move || document(&FitReport::new(&request)?);
    Ok(json_response(desk.workers.run(job, work).await?))
}
