//! Palettes that the page sends, and their pairs of similar colours.

use super::extract::{FileBody, JsonBody, QueryString};
use super::fields::{FileName, PaletteId};
use super::latest::Job;
use super::limits::{MAX_PALETTE, MAX_SMALL};
use super::response::{HandlerResult, Refusal, json_response, to_json};
use super::state::{Desk, NamedPalette};
use super::uploads::Upload;
use crate::cancel::Cancel;
use crate::error::Result;
use crate::files;
use crate::output::json::document;
use crate::palette::Palette;
use crate::palette::read::read;
use crate::report::palette::{PairReport, PaletteColourReport, PaletteReport};
use crate::request::{PaletteRequest, single};
use axum::extract::State;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use sha2::{Digest, Sha256};
use std::path::Path;
use std::sync::Arc;

/// A palette that was opened.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PaletteAnswer {
    /// What later requests name it by.
    id: String,
    /// Its name.
    name: String,
    /// Its colours, in the order of the file.
    colours: Vec<PaletteColourReport>,
    /// Heads of the owner's other columns, in the order of the file.
    columns: Vec<String>,
    /// What its prices are in, where the file states it.
    currency: Option<String>,
    /// Pairs that differ by less than this, CIEDE2000, are listed.
    below: f64,
    /// The pairs, the closest first.
    alike: Vec<PairReport>,
    /// How many pairs there are.
    alike_count: usize,
}

/// `POST palette?name=N`.
pub async fn upload(
    State(desk): State<Arc<Desk>>,
    QueryString(name): QueryString<FileName>,
    FileBody(upload): FileBody<MAX_PALETTE>,
) -> HandlerResult {
    let file = name.or("palette.csv")?;
    let (shared, job) = (Arc::clone(&desk), Job::default());
    let cancel = job.cancel();
    let work = move || {
        let Upload {
            bytes,
            memory: _memory,
        } = upload;
        store(&shared, file, bytes, &cancel)
    };
    let json = desk.workers.run(job, work).await?;
    Ok(json_response(json))
}

fn store(desk: &Desk, file: String, bytes: Vec<u8>, cancel: &Cancel) -> Result<Vec<u8>> {
    let (id, size) = (id(&file, &bytes), bytes.len());
    let text = files::as_text(bytes, "a palette").map_err(|error| error.file(Path::new(&file)))?;
    let named = NamedPalette::read(file, text)?;
    let json = to_json(&described(&id, &named.palette, cancel)?)?;
    desk.palettes.put(&id, size, Arc::new(named));
    Ok(json)
}

impl NamedPalette {
    /// Reads a palette as the command line reads a file of that name.
    ///
    /// # Errors
    /// If it is no palette; the place is in that file.
    pub fn read(file: String, text: String) -> Result<Self> {
        let path = Path::new(&file);
        let stem = path.file_stem().unwrap_or(path.as_os_str());
        let palette = read(&text, &stem.to_string_lossy()).map_err(|error| error.file(path))?;
        Ok(Self {
            palette,
            file,
            text,
        })
    }
}

/// SHA-256 of name and text, since a palette is named after its file.
fn id(file: &str, bytes: &[u8]) -> String {
    let digest = Sha256::new()
        .chain_update(file)
        .chain_update([0])
        .chain_update(bytes)
        .finalize();
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The report of `upbead palette` with its id, the similar pairs as `alike`, and nothing of how
/// the colours look when worn, which takes longer.
fn described(id: &str, palette: &Palette, cancel: &Cancel) -> Result<PaletteAnswer> {
    let report = PaletteReport::side_by_side(palette, &PaletteRequest::default(), cancel)?;
    Ok(PaletteAnswer {
        id: id.to_string(),
        name: report.name,
        colours: report.colours,
        columns: palette.extra.clone(),
        currency: palette.currency.as_ref().map(ToString::to_string),
        below: report.below,
        alike: report.pairs,
        alike_count: report.pairs_count,
    })
}

/// A palette and the options of `upbead palette` by name.
#[derive(Deserialize)]
pub struct AlikeBody {
    palette: PaletteId,
    #[serde(flatten)]
    options: Map<String, Value>,
}

/// `POST alike?lane=L&n=K`: the report of `upbead palette`.
pub async fn alike(
    State(desk): State<Arc<Desk>>,
    job: std::result::Result<Job, Refusal>,
    body: JsonBody<AlikeBody, MAX_SMALL>,
) -> HandlerResult {
    let job = job?;
    let named = desk.palettes.get(&body.palette.id)?;
    let request: PaletteRequest = single(body.options.clone())?;
    let cancel = job.cancel();
    let work = move || document(&PaletteReport::new(&named.palette, &request, &cancel)?);
    Ok(json_response(desk.workers.run(job, work).await?))
}
