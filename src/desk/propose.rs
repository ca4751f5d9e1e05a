//! Other ways to chart the picture, beside the chart that the page shows.

use super::chart::{ChartBody, Inputs, scale_crop};
use super::extract::JsonBody;
use super::latest::Job;
use super::limits::MAX_SMALL;
use super::pictures::pixels;
use super::response::{HandlerResult, Refusal, json_response, refuse, to_json};
use super::state::{Desk, Picture};
use crate::chart::write::write;
use crate::error::Result;
use crate::output::json::document;
use crate::picture::Size;
use crate::pipeline::{Decoded, Proposal, chart_decoded, propose_beside, settings};
use crate::report::chart::ChartReport;
use crate::request::given;
use axum::extract::State;
use axum::http::StatusCode;
use rayon::{ThreadPool, ThreadPoolBuilder};
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::{Map, Value};
use std::path::Path;
use std::sync::{Arc, LazyLock};

/// As many as the page has room for, the chart as asked for included: each more takes longer.
const MOST: usize = 5;

/// Several ways to chart one picture.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ProposeAnswer {
    /// The number of the request in its lane.
    n: Option<u64>,
    /// The ways, the chart as asked for first.
    proposals: Vec<ProposalAnswer>,
}

/// One way, and its chart.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ProposalAnswer {
    /// What it is called.
    name: String,
    /// What differs, in a sentence without its full stop.
    description: String,
    /// The options that differ from those asked for, in the order of their names.
    changes: Vec<OptionChange>,
    /// The chart's file.
    text: String,
    /// What `--json` prints of the chart.
    document: String,
    /// The same, to be read.
    summary: ChartReport,
}

/// An option that a way sets otherwise.
#[derive(Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct OptionChange {
    /// Its name as requests have it.
    option: String,
    /// Its value as text; none where it is left open.
    value: Option<String>,
}

/// `POST propose?lane=L&n=K`: the ways of `upbead propose`, of the request that `chart` takes.
pub async fn propose(
    State(desk): State<Arc<Desk>>,
    job: std::result::Result<Job, Refusal>,
    body: JsonBody<ChartBody, MAX_SMALL>,
) -> HandlerResult {
    let job = job?;
    let (inputs, reserved) = Inputs::of(&desk, &job, &body).await?;
    let Some(picture) = inputs.picture.clone() else {
        return Err(refuse(
            StatusCode::BAD_REQUEST,
            "there is no picture to propose charts of",
            "name a picture",
        ));
    };
    let ways = Ways { inputs, picture };
    let work = move || {
        let _reserved = reserved;
        ways.run()
    };
    let json = desk.workers.run(job, work).await?;
    Ok(json_response(json))
}

/// Threads of their own, so that a chart that is asked for meanwhile never waits for a thread that
/// is charting another way. None where the system gives no more threads.
static APART: LazyLock<Option<ThreadPool>> =
    LazyLock::new(|| ThreadPoolBuilder::new().build().ok());

/// What the ways are made of.
struct Ways {
    inputs: Inputs,
    picture: Arc<Picture>,
}

impl Ways {
    fn run(&self) -> Result<Vec<u8>> {
        let Inputs {
            request,
            palette,
            job,
            desk,
            ..
        } = &self.inputs;
        request.check()?;
        let shape = request.shape()?;
        settings(request, &shape, &palette.palette)?;
        let decoded = pixels(desk, &self.picture, &shape.lattice, &desk.decoding(job))?;
        let proposals = self
            .proposals(&decoded)
            .map_err(|error| error.file(Path::new(&self.picture.name)))?;
        let there = decoded.picture.upright();
        let answers = proposals.iter().map(|one| self.answer(one, there));
        to_json(&ProposeAnswer {
            n: job.n(),
            proposals: answers.collect::<Result<_>>()?,
        })
    }

    /// The ways. The chart as asked for was made just before, and its stages are kept; those of the
    /// others are kept apart, so that they never take their place.
    fn proposals(&self, decoded: &Arc<Decoded>) -> Result<Vec<Proposal>> {
        let Inputs { palette, desk, .. } = &self.inputs;
        let palette = &palette.palette;
        let cancel = self.inputs.job.cancel();
        let mut request = self.inputs.request.clone();
        let crop = &mut request.picture.crop;
        let there = decoded.picture.upright();
        *crop = crop.map(|crop| scale_crop(crop, self.picture.size, there));
        let first = chart_decoded(
            Arc::clone(decoded),
            palette,
            &request,
            &desk.memory,
            cancel.clone(),
        )?;
        let others = &desk.proposed;
        let propose = || propose_beside(first, MOST, decoded, palette, &request, others, &cancel);
        match &*APART {
            Some(pool) => pool.install(propose),
            None => propose(),
        }
    }

    fn answer(&self, proposal: &Proposal, there: Size) -> Result<ProposalAnswer> {
        let own = &self.inputs.request;
        let mut request = proposal.request.clone();
        let crop = &mut request.picture.crop;
        *crop = crop.map(|crop| scale_crop(crop, there, self.picture.size));
        if proposal.request.picture.crop.is_some() && own.picture.crop.is_some() {
            // No way has another part where the request names one; rounding would change it.
            *crop = own.picture.crop;
        }
        let report = self.inputs.report(&proposal.charted);
        Ok(ProposalAnswer {
            name: proposal.way.name(),
            description: proposal.way.description(),
            changes: changes(&given(own)?, &given(&request)?),
            text: write(&proposal.charted.made.value.chart),
            document: document(&report)?,
            summary: report,
        })
    }
}

/// The options of `other` that are not those of `one`.
fn changes(one: &Map<String, Value>, other: &Map<String, Value>) -> Vec<OptionChange> {
    let mut names: Vec<&String> = one.keys().chain(other.keys()).collect();
    names.sort_unstable();
    names.dedup();
    let differing = names
        .into_iter()
        .filter(|&name| one.get(name) != other.get(name));
    let change = |name: &String| OptionChange {
        option: name.clone(),
        value: other.get(name).map(|value| match value {
            Value::String(text) => text.clone(),
            other => other.to_string(),
        }),
    };
    differing.map(change).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn changes_are_what_was_added_replaced_or_left_open() {
        let object = |value: Value| value.as_object().cloned().unwrap();
        let one = object(json!({ "size": "us7", "colours": 8, "place": "motif" }));
        let other = object(json!({ "rows": 72, "colours": 4, "place": "motif" }));
        let change = |option: &str, value: Option<&str>| OptionChange {
            option: option.into(),
            value: value.map(Into::into),
        };
        let expected = [
            change("colours", Some("4")),
            change("rows", Some("72")),
            change("size", None),
        ];
        assert_eq!(changes(&one, &other), expected);
        assert_eq!(changes(&one, &one), []);
    }
}
