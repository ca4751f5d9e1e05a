//! A finished chart improved: the rest refined, the pinned beads kept.

use super::chart::ChartAnswer;
use super::extract::JsonBody;
use super::fields::{PaletteId, chart_name, parse_chart};
use super::latest::Job;
use super::limits::MAX_CHART;
use super::response::{HandlerResult, Refusal, json_response, to_json};
use super::state::{Desk, NamedPalette, Picture};
use crate::chart::write::write;
use crate::error::Result;
use crate::output::json::document;
use crate::picture::Decoding;
use crate::report::chart::{AboutBand, ChartReport, Files};
use crate::report::refine::{Improve, improve, own_colours};
use crate::request::RefineRequest;
use axum::extract::State;
use serde::Deserialize;
use serde_json::{Map, Value};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A chart, its picture, and the options of `upbead refine` by name.
#[derive(Deserialize)]
pub struct RefineBody {
    chart: String,
    name: Option<String>,
    picture: String,
    palette: Option<PaletteId>,
    #[serde(flatten)]
    options: Map<String, Value>,
}

/// `POST refine?lane=L&n=K`: the chart that `upbead refine` writes, and its report.
pub async fn refine(
    State(desk): State<Arc<Desk>>,
    job: std::result::Result<Job, Refusal>,
    body: JsonBody<RefineBody, MAX_CHART>,
) -> HandlerResult {
    let job = job?;
    let palette = body.palette.as_ref().map(|id| desk.palettes.get(&id.id));
    let picture = desk.pictures.get(&body.picture)?;
    let reserved = desk.reserve_pixels(&job, picture.memory).await?;
    let inputs = Inputs {
        request: RefineRequest::named(body.options.clone())?,
        chart: body.chart.clone(),
        name: chart_name(body.name.as_deref())?,
        picture,
        palette: palette.transpose()?,
        job: job.clone(),
        decoding: desk.decoding(&job),
    };
    let work = move || {
        let _reserved = reserved;
        inputs.run()
    };
    Ok(json_response(desk.workers.run(job, work).await?))
}

/// What a request names.
struct Inputs {
    request: RefineRequest,
    chart: String,
    name: String,
    picture: Arc<Picture>,
    /// The chart's own colours where there is none.
    palette: Option<Arc<NamedPalette>>,
    job: Job,
    decoding: Decoding,
}

impl Inputs {
    fn run(&self) -> Result<Vec<u8>> {
        let chart = parse_chart(&self.chart, &self.name)?;
        let own = own_colours(&chart)?;
        let named = self.palette.as_ref().map(|named| &named.palette);
        let palette = named.unwrap_or(&own);
        let job = Improve {
            chart: &chart,
            file: Path::new(&self.name),
            palette,
            picture: Path::new(&self.picture.name),
        };
        let source = self.picture.source(self.decoding.clone());
        let improved = improve(job, source, &self.request, self.job.cancel())?;
        let files = Files {
            picture: PathBuf::from(&self.picture.name),
            chart: Some(PathBuf::from(&self.name)),
            preview: None,
        };
        let report = ChartReport::new(&files, &improved, AboutBand::default(), palette);
        to_json(&ChartAnswer {
            n: self.job.n(),
            text: write(&improved.value.chart),
            document: document(&report)?,
            summary: report,
        })
    }
}
