//! The band as it looks from a distance.

use super::extract::JsonBody;
use super::fields::{CHART_NAME, TextOrNumber, parse_chart};
use super::latest::Job;
use super::limits::MAX_CHART;
use super::response::{HandlerResult, Refusal, response};
use super::state::Desk;
use crate::cancel::Cancel;
use crate::error::Result;
use crate::report::Far;
use axum::extract::State;
use serde::Deserialize;
use std::sync::Arc;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SeenRequest {
    chart: String,
    name: Option<String>,
    mm: TextOrNumber,
    scale: Option<TextOrNumber>,
    ground: Option<String>,
    density: Option<f64>,
    /// The band alone, without words.
    #[serde(default)]
    bare: bool,
}

/// `POST seen?lane=L&n=K`: the PNG of `upbead show --seen MM`.
pub async fn seen(
    State(desk): State<Arc<Desk>>,
    job: std::result::Result<Job, Refusal>,
    request: JsonBody<SeenRequest, MAX_CHART>,
) -> HandlerResult {
    let job = job?;
    let cancel = job.cancel();
    let png = desk.workers.run(job, move || request.run(cancel)).await?;
    Ok(response("image/png", png))
}

impl SeenRequest {
    fn run(&self, cancel: Cancel) -> Result<Vec<u8>> {
        let scale = self.scale.as_deref();
        let ground = self.ground.as_deref();
        let mut far = Far::new(Some(&self.mm), scale, ground, self.density)?.cancelled_by(cancel);
        if self.bare {
            far = far.bare();
        }
        let name = self.name.as_deref().unwrap_or(CHART_NAME);
        let chart = parse_chart(&self.chart, name)?;
        far.drawn(&chart).map(|picture| picture.bytes)
    }
}
