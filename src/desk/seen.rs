//! The band as it looks from a distance.

use super::extract::JsonBody;
use super::fields::{CHART_NAME, parse_chart};
use super::latest::Job;
use super::limits::MAX_CHART;
use super::response::{HandlerResult, Refusal, response};
use super::state::Desk;
use crate::cancel::Cancel;
use crate::error::Result;
use crate::output::drawing::SeenDrawing;
use crate::request::{DrawingRequest, Named, SeenRequest};
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
    let job = job?;
    let cancel = job.cancel();
    let png = desk.workers.run(job, move || body.draw(&cancel)).await?;
    Ok(response("image/png", png))
}

/// The band at some distances, from options by name.
///
/// # Errors
/// If one cannot be read, is out of range, or is not an option.
pub fn seen_drawing(options: Map<String, Value>) -> Result<SeenDrawing> {
    let mut named = Named::new(options);
    let drawing: DrawingRequest = named.take()?;
    let from: SeenRequest = named.take()?;
    named.finish()?;
    SeenDrawing::new(&drawing, &from)
}

impl SeenBody {
    fn draw(&self, cancel: &Cancel) -> Result<Vec<u8>> {
        let mut options = self.options.clone();
        if let Some(mm) = &self.mm {
            options.insert("seen".into(), mm.clone());
        }
        let mut drawing = seen_drawing(options)?;
        if self.bare {
            drawing = drawing.bare();
        }
        let name = self.name.as_deref().unwrap_or(CHART_NAME);
        let chart = parse_chart(&self.chart, name)?;
        drawing.draw(&chart, cancel, |_| ())
    }
}
