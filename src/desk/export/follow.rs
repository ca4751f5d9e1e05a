//! The follow-along page of a chart, made as an export and shown inside the desk.

use super::{Task, find};
use crate::desk::extract::JsonBody;
use crate::desk::fields::chart_name;
use crate::desk::follow::store;
use crate::desk::latest::Job;
use crate::desk::limits::MAX_CHART;
use crate::desk::response::{HandlerResult, json_response};
use crate::desk::state::Desk;
use crate::error::Error;
use axum::extract::State;
use serde::Deserialize;
use serde_json::{Map, Value};
use std::sync::Arc;

#[derive(Deserialize)]
pub struct FollowRequest {
    chart: String,
    name: Option<String>,
    /// Those of [`WeaveRequest`](crate::request::WeaveRequest).
    #[serde(flatten)]
    options: Map<String, Value>,
}

/// `POST follow`: makes the page of a chart; `at` is its address.
pub async fn make_follow(
    State(desk): State<Arc<Desk>>,
    body: JsonBody<FollowRequest, MAX_CHART>,
) -> HandlerResult {
    let (body, memory) = body.into_parts();
    let task = Task {
        kind: find("page")?,
        name: chart_name(body.name.as_deref())?,
        chart: body.chart,
        options: body.options,
        palette: None,
        picture: None,
        _held: [Some(memory), None],
    };
    let made = task.made(&desk, Job::default()).await?;
    let html = String::from_utf8(made.bytes)
        .map_err(|e| Error::new("the follow-along page is not UTF-8").because(e))?;
    Ok(json_response(store(&desk, html)?))
}
