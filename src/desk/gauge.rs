//! The weaver's gauge: read from a file, written to one, and kept where later runs look for it.

use super::extract::{FileBody, JsonBody, QueryString};
use super::fields::file_name;
use super::limits::MAX_SMALL;
use super::response::{HandlerResult, json_response, to_json};
use super::state::Desk;
use super::uploads::Upload;
use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::files::{self, Replace};
use crate::output::json::document;
use crate::report::gauge::GaugeReport;
use crate::request::{BeadRequest, GaugeRequest, Named};
use crate::ring::{self, Gauge, GaugeFile, Source, default_path};
use crate::units::Mm;
use axum::extract::State;
use schemars::JsonSchema;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::path::Path;
use std::sync::Arc;

/// Name of a gauge file where the page gives none.
const GAUGE_NAME: &str = "gauge.json";

/// `?name=N&bead=B`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadRequest {
    name: Option<String>,
    bead: Option<String>,
}

/// A gauge as it is typed: one of the two.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct GaugeAnswer {
    /// What was counted and measured.
    swatch: Option<String>,
    /// A band that fits.
    fits: Option<String>,
    /// The bead-to-bead spacing.
    pitch_mm: Mm,
}

/// `POST gauge?name=N&bead=B`: the gauge that a gauge file has for one bead, as it is typed.
pub async fn read(
    State(desk): State<Arc<Desk>>,
    QueryString(request): QueryString<ReadRequest>,
    FileBody(upload): FileBody<MAX_SMALL>,
) -> HandlerResult {
    let name = file_name(request.name.as_deref().unwrap_or(GAUGE_NAME))?;
    let work = move || {
        let Upload {
            bytes,
            memory: _memory,
        } = upload;
        let bead = match &request.bead {
            Some(bead) => Bead::parse(bead).map_err(|error| error.of_option("bead"))?,
            None => Bead::default(),
        };
        read_json(bytes, &name, bead)
    };
    let json = desk.workers.run(Default::default(), work).await?;
    Ok(json_response(json))
}

fn read_json(bytes: Vec<u8>, name: &str, bead: Bead) -> Result<Vec<u8>> {
    let path = Path::new(name);
    let file = files::as_text(bytes, "a gauge file")
        .and_then(|text| GaugeFile::parse(&text))
        .map_err(|error| error.file(path))?;
    let Some(gauge) = file.find(bead, path)? else {
        let what = format!("it has no gauge for {} beads", bead.name());
        let hint = format!("it has one for {}", file.beads().join(", "));
        return Err(Error::new(what).file(path).hint(hint));
    };
    let source = gauge.measured_with().map_err(|error| error.file(path))?;
    let (swatch, fits) = match source {
        Source::Swatch(swatch) => (Some(swatch.to_string()), None),
        Source::KnownFit(known) => (None, Some(known.to_string())),
        Source::Assumed | Source::Remembered { .. } => (None, None),
    };
    to_json(&GaugeAnswer {
        swatch,
        fits,
        pitch_mm: gauge.spacing(),
    })
}

/// What the page sends beside bead and gauge to keep it.
#[derive(Deserialize, Default)]
#[serde(default)]
struct KeepOptions {
    /// Replaces another gauge for the same bead.
    force: bool,
}

/// A gauge file that this gauge is added to.
#[derive(Deserialize, Default)]
#[serde(default)]
struct FileOptions {
    file: Option<String>,
}

/// The gauge, with what else the page sends.
fn gauge<T: DeserializeOwned>(options: &Map<String, Value>) -> Result<(Gauge, T)> {
    let mut named = Named::new(options.clone());
    let bead = named.take::<BeadRequest>()?.bead();
    let given = named.take::<GaugeRequest>()?;
    let more = named.take()?;
    named.finish()?;
    Ok((given.needed(bead)?, more))
}

/// The file with this gauge added.
fn file_text(options: &Map<String, Value>) -> Result<String> {
    let (gauge, opened) = gauge::<FileOptions>(options)?;
    let mut file = match &opened.file {
        None => GaugeFile::default(),
        Some(text) => GaugeFile::parse(text)?,
    };
    // The file that was opened stays as it is; the page saves a new one.
    file.remember(&gauge, Replace::Yes)?;
    file.text()
}

/// Keeps this gauge where later runs look for it.
fn keep(options: &Map<String, Value>) -> Result<String> {
    let (gauge, keep) = gauge::<KeepOptions>(options)?;
    let file = default_path().ok_or_else(|| {
        Error::new("your folder for settings is not known")
            .hint("set HOME, or save the gauge as a file")
    })?;
    ring::remember(&gauge, &file, Replace::from(keep.force))?;
    let mut report = GaugeReport::from(&gauge);
    report.remembered = Some(file);
    document(&report)
}

/// `POST gauge-file`: the file that `upbead fit --remember --gauge FILE` writes.
pub async fn file(
    State(desk): State<Arc<Desk>>,
    options: JsonBody<Map<String, Value>, MAX_SMALL>,
) -> HandlerResult {
    let work = move || file_text(&options);
    let json = desk.workers.run(Default::default(), work).await?;
    Ok(json_response(json))
}

/// `POST remember`: keeps the gauge as `upbead fit --remember` does, and answers as its `--json`.
/// This is the only thing that the desk leaves on the disk.
pub async fn remember(
    State(desk): State<Arc<Desk>>,
    options: JsonBody<Map<String, Value>, MAX_SMALL>,
) -> HandlerResult {
    let work = move || keep(&options);
    let json = desk.workers.run(Default::default(), work).await?;
    Ok(json_response(json))
}
