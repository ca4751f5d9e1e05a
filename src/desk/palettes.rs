//! Palettes that the page sends, and their pairs of similar colours.

use super::extract::{FileBody, JsonBody, QueryString};
use super::fields::{FileName, PaletteId, TextOrNumber};
use super::latest::Job;
use super::limits::{MAX_PALETTE, MAX_SMALL};
use super::response::{HandlerResult, Refusal, json_response, to_json};
use super::state::{Desk, NamedPalette};
use super::uploads::Upload;
use crate::error::{Error, Result};
use crate::palette::read::read;
use crate::palette::{HARD_TO_TELL, Palette, alike as pairs};
use crate::vision::single_bead::similar_when_worn;
use crate::{files, output, report};
use axum::extract::State;
use serde::Deserialize;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use std::path::Path;
use std::sync::Arc;

/// `POST palette?name=N`.
pub async fn upload(
    State(desk): State<Arc<Desk>>,
    QueryString(name): QueryString<FileName>,
    FileBody(upload): FileBody<MAX_PALETTE>,
) -> HandlerResult {
    let file = name.or("palette.csv")?;
    let shared = Arc::clone(&desk);
    let work = move || {
        let Upload {
            bytes,
            memory: _memory,
        } = upload;
        store(&shared, file, bytes)
    };
    let json = desk.workers.run(Default::default(), work).await?;
    Ok(json_response(json))
}

fn store(desk: &Desk, file: String, bytes: Vec<u8>) -> Result<Vec<u8>> {
    let (id, size) = (id(&file, &bytes), bytes.len());
    let palette = parse(&file, bytes)?;
    let json = to_json(&described(&id, &palette)?)?;
    let named = Arc::new(NamedPalette { palette, file });
    desk.palettes.put(&id, size, named);
    Ok(json)
}

/// Reads a palette as the command line reads a file of that name.
fn parse(file: &str, bytes: Vec<u8>) -> Result<Palette> {
    let path = Path::new(file);
    let stem = path.file_stem().unwrap_or(path.as_os_str());
    files::as_text(bytes)
        .and_then(|text| read(&text, &stem.to_string_lossy()))
        .map_err(|error| error.file(path))
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

/// As `upbead palette --json`, with its id, and the similar pairs as `alike`.
fn described(id: &str, palette: &Palette) -> Result<Value> {
    let tones = palette.tones();
    let pairs = pairs(&tones, HARD_TO_TELL);
    let text = output::palette::json(palette, &tones, &pairs, None, HARD_TO_TELL);
    let mut document: Value = serde_json::from_str(&text)
        .map_err(|e| Error::new("the palette cannot be written as JSON").because(e))?;
    Ok(json!({
        "id": id,
        "name": document["name"].take(),
        "colours": document["colours"].take(),
        "below": document["below"].take(),
        "alike": document["pairs"].take(),
        "alike_count": document["pairs_count"].take(),
    }))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AlikeRequest {
    palette: PaletteId,
    below: Option<TextOrNumber>,
}

/// `POST alike?lane=L&n=K`: as `upbead palette --json`, with the pairs of similar colours.
pub async fn alike(
    State(desk): State<Arc<Desk>>,
    job: std::result::Result<Job, Refusal>,
    request: JsonBody<AlikeRequest, MAX_SMALL>,
) -> HandlerResult {
    let job = job?;
    let named = desk.palettes.get(&request.palette.id)?;
    let work = move || palette_json(&named.palette, request.below.as_deref());
    Ok(json_response(desk.workers.run(job, work).await?))
}

/// What `upbead palette --json` prints; `below` is the difference under which two colours count
/// as similar.
///
/// # Errors
/// If `below` is no difference.
pub fn palette_json(palette: &Palette, below: Option<&str>) -> Result<String> {
    let below = below.map_or(Ok(HARD_TO_TELL), report::below)?;
    let tones = palette.tones();
    let pairs = pairs(&tones, below);
    let worn = similar_when_worn(&tones, below);
    Ok(output::palette::json(
        palette,
        &tones,
        &pairs,
        worn.as_deref(),
        below,
    ))
}
