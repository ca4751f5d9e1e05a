//! The thread passes of a chart.

use super::extract::JsonBody;
use super::fields::{CHART_NAME, file_name, parse_chart};
use super::latest::Job;
use super::limits::MAX_CHART;
use super::response::{HandlerResult, Refusal, json_response};
use super::state::Desk;
use crate::chart::Chart;
use crate::error::Result;
use crate::output::weave::{Work, json};
use crate::report::{FromWord, HandWord, frame};
use crate::weave::{self, Lengths, TAIL, Thread, Weave};
use axum::extract::State;
use serde::Deserialize;
use std::sync::Arc;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WeaveRequest {
    chart: String,
    name: Option<String>,
    hand: Option<HandWord>,
    from: Option<FromWord>,
}

/// `POST weave?lane=L&n=K`: as `upbead weave --json`.
pub async fn weave(
    State(desk): State<Arc<Desk>>,
    job: std::result::Result<Job, Refusal>,
    request: JsonBody<WeaveRequest, MAX_CHART>,
) -> HandlerResult {
    let job = job?;
    request.name.as_deref().map(file_name).transpose()?;
    let json = desk.workers.run(job, move || request.run()).await?;
    Ok(json_response(json))
}

impl WeaveRequest {
    fn run(&self) -> Result<String> {
        let file = self.name.as_deref();
        let chart = parse_chart(&self.chart, file.unwrap_or(CHART_NAME))?;
        let (weave, lengths) = woven(&chart, self.hand, self.from.unwrap_or_default())?;
        Ok(json(&Work {
            chart: &chart,
            weave: &weave,
            lengths: &lengths,
            file,
            rows: None,
            keys: None,
        }))
    }
}

/// The thread passes of a chart and the lengths of thread, with the default thread and tail.
///
/// # Errors
/// If the chart cannot be woven from there.
pub fn woven(chart: &Chart, hand: Option<HandWord>, from: FromWord) -> Result<(Weave, Lengths)> {
    let lattice = &chart.lattice;
    let weave = weave::weave(lattice, frame(lattice, hand, from)?);
    let lengths = weave::lengths(lattice, &weave, Thread::default(), TAIL);
    Ok((weave, lengths))
}
