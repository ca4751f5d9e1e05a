//! The rows that close round a finger of one size.

use super::extract::JsonBody;
use super::fields::TextOrNumber;
use super::latest::Job;
use super::limits::MAX_SMALL;
use super::response::{HandlerResult, Refusal, json_response};
use super::state::Desk;
use crate::error::{Error, Result};
use crate::output::fit::{Answer, json};
use crate::report::{Band, Measured, PreferWord};
use crate::ring::{self, RingSize};
use axum::extract::State;
use serde::Deserialize;
use std::sync::Arc;

/// The options of `upbead fit` by their long names.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FitRequest {
    size: Option<TextOrNumber>,
    columns: Option<u32>,
    bead: Option<TextOrNumber>,
    swatch: Option<String>,
    fits: Option<String>,
    prefer: Option<PreferWord>,
}

/// `POST fit?lane=L&n=K`: as `upbead fit --json`.
pub async fn fit(
    State(desk): State<Arc<Desk>>,
    job: std::result::Result<Job, Refusal>,
    request: JsonBody<FitRequest, MAX_SMALL>,
) -> HandlerResult {
    let job = job?;
    let json = desk.workers.run(job, move || fit_json(&request)).await?;
    Ok(json_response(json))
}

/// What `upbead fit --json` prints.
///
/// # Errors
/// As there.
pub fn fit_json(request: &FitRequest) -> Result<String> {
    let Some(size) = request.size.as_deref() else {
        return Err(Error::usage("a ring size is missing")
            .option("--size")
            .hint("give a ring size, such as us7"));
    };
    let measured = Measured {
        swatch: request.swatch.as_deref(),
        fits: request.fits.as_deref(),
        gauge: None,
        prefer: request.prefer.unwrap_or_default(),
    };
    let columns = request.columns.unwrap_or(9);
    let band = Band {
        bead: request.bead.as_deref().unwrap_or("11"),
        columns,
        size: Some(size),
        rows: None,
        open: false,
        measured,
    };
    let gauge = measured.resolve(band.bead()?)?;
    // A band that cannot be woven is refused as by the command line.
    band.shape()?;
    let size = RingSize::parse(size).map_err(|error| error.option("--size"))?;
    json(&Answer {
        fit: &ring::fit(&size, &gauge.value, measured.prefer.into())?,
        columns,
        notes: &gauge.notes,
        remembered: None,
    })
}
