//! The band as it looks from a distance, shown on the page.

use super::kinds::BARE;
use super::{Task, find};
use crate::desk::extract::JsonBody;
use crate::desk::fields::CHART_NAME;
use crate::desk::latest::Job;
use crate::desk::limits::MAX_CHART;
use crate::desk::response::{HandlerResult, Refusal, response};
use crate::desk::state::Desk;
use axum::extract::State;
use serde::Deserialize;
use serde_json::{Map, Value};
use std::sync::Arc;

/// A chart, and the options of `upbead show --seen` by name.
#[derive(Deserialize)]
pub struct SeenBody {
    chart: String,
    name: Option<String>,
    /// The distances, in place of `seen`.
    mm: Option<Value>,
    /// The band alone, without words.
    #[serde(default)]
    bare: bool,
    #[serde(flatten)]
    options: Map<String, Value>,
}

/// `POST seen?lane=L&n=K`: the PNG of `upbead show --seen MM`.
pub async fn seen(
    State(desk): State<Arc<Desk>>,
    job: std::result::Result<Job, Refusal>,
    body: JsonBody<SeenBody, MAX_CHART>,
) -> HandlerResult {
    let (body, memory) = body.into_parts();
    let mut options = body.options;
    if let Some(mm) = body.mm {
        options.insert("seen".into(), mm);
    }
    let task = Task {
        kind: if body.bare { &BARE } else { find("seen")? },
        name: body.name.unwrap_or_else(|| CHART_NAME.to_string()),
        chart: body.chart,
        options,
        palette: None,
        picture: None,
        _held: [Some(memory), None],
    };
    let made = task.made(&desk, job?).await?;
    Ok(response(&made.media_type, made.bytes))
}
