//! The weaver's gauge: read from a file, written to one, and kept where later runs look for it.

use super::extract::{FileBody, JsonBody, QueryString};
use super::fields::{TextOrNumber, file_name};
use super::limits::MAX_SMALL;
use super::response::{HandlerResult, json_response, to_json};
use super::state::Desk;
use super::uploads::Upload;
use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::files::{self, Replace};
use crate::output::fit::remembered_json;
use crate::report::{self, Measured, as_typed, of_option};
use crate::ring::{Gauge, GaugeFile, default_path};
use axum::extract::State;
use serde::Deserialize;
use serde_json::json;
use std::path::Path;
use std::sync::Arc;

/// The name of a gauge file, where the page gives none.
const GAUGE_NAME: &str = "gauge.json";

/// `?name=N&bead=B`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadRequest {
    name: Option<String>,
    bead: Option<String>,
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
        read_json(bytes, &name, &bead(request.bead.as_deref())?)
    };
    let json = desk.workers.run(Default::default(), work).await?;
    Ok(json_response(json))
}

fn read_json(bytes: Vec<u8>, name: &str, bead: &Bead) -> Result<Vec<u8>> {
    let path = Path::new(name);
    let file = files::as_text(bytes)
        .and_then(|text| GaugeFile::parse(&text))
        .map_err(|error| error.file(path))?;
    let Some(gauge) = file.find(*bead, path)? else {
        let what = format!("it has no gauge for {} beads", bead.name());
        let hint = format!("it has one for {}", file.beads().join(", "));
        return Err(Error::new(what).file(path).hint(hint));
    };
    let (swatch, fits) = as_typed(&gauge).map_err(|error| error.file(path))?;
    let spacing = gauge.pitch().rounded();
    to_json(&json!({ "swatch": swatch, "fits": fits, "pitch_mm": spacing }))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GaugeRequest {
    bead: Option<TextOrNumber>,
    swatch: Option<String>,
    fits: Option<String>,
    /// The text of a gauge file that this gauge is added to.
    file: Option<String>,
    #[serde(default)]
    force: bool,
}

impl GaugeRequest {
    fn gauge(&self) -> Result<Gauge> {
        let measured = Measured {
            swatch: self.swatch.as_deref(),
            fits: self.fits.as_deref(),
            ..Measured::default()
        };
        measured.typed(bead(self.bead.as_deref())?)?.ok_or_else(|| {
            Error::usage("there is no gauge to remember")
                .hint("add --swatch ROWS=MM or --fits ROWS=SIZE")
        })
    }

    /// The file with this gauge added.
    fn file(&self) -> Result<String> {
        let gauge = self.gauge()?;
        let mut file = match &self.file {
            None => GaugeFile::default(),
            Some(text) => GaugeFile::parse(text)?,
        };
        // The file that was opened stays as it is; the page saves a new one.
        file.remember(&gauge, Replace::Yes)?;
        file.text()
    }

    /// Keeps this gauge where later runs look for it.
    fn remember(&self) -> Result<String> {
        let gauge = self.gauge()?;
        let file = default_path().ok_or_else(|| {
            Error::new("your folder for settings is not known")
                .hint("set HOME, or save the gauge as a file")
        })?;
        let replace = if self.force {
            Replace::Yes
        } else {
            Replace::No
        };
        report::remember(&gauge, &file, replace)?;
        remembered_json(&gauge, &file)
    }
}

fn bead(name: Option<&str>) -> Result<Bead> {
    Bead::parse(name.unwrap_or("11")).map_err(|error| of_option(error, "--bead"))
}

/// `POST gauge-file`: the file that `upbead fit --remember --gauge FILE` writes.
pub async fn file(
    State(desk): State<Arc<Desk>>,
    request: JsonBody<GaugeRequest, MAX_SMALL>,
) -> HandlerResult {
    let work = move || request.file();
    let json = desk.workers.run(Default::default(), work).await?;
    Ok(json_response(json))
}

/// `POST remember`: keeps the gauge as `upbead fit --remember` does, and answers as its `--json`.
/// This is the only thing that the desk writes to disk.
pub async fn remember(
    State(desk): State<Arc<Desk>>,
    request: JsonBody<GaugeRequest, MAX_SMALL>,
) -> HandlerResult {
    let work = move || request.remember();
    let json = desk.workers.run(Default::default(), work).await?;
    Ok(json_response(json))
}
