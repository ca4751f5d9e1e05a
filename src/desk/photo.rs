//! A palette from a photograph of bead piles.

use super::extract::{FileBody, QueryString};
use super::fields::file_name;
use super::latest::Job;
use super::limits::MAX_PICTURE;
use super::pictures::File;
use super::response::{HandlerResult, Refusal, json_response, to_json};
use super::state::Desk;
use super::uploads::Upload;
use crate::error::Result;
use crate::output::json::document;
use crate::output::palette_photo::doubts;
use crate::palette::write::write;
use crate::picture::Decoding;
use crate::report::photo::{Photo, PhotoPalette, PhotoReport};
use crate::request::{PhotoRequest, single};
use axum::extract::State;
use schemars::JsonSchema;
use serde::de::IgnoredAny;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::path::Path;
use std::sync::Arc;

/// `?name=N`, and the options of `upbead palette from-photo` by name.
#[derive(Deserialize)]
pub struct PhotoQuery {
    name: Option<String>,
    /// The request's lane and number, which [`Job`] reads.
    #[serde(rename = "lane")]
    _lane: Option<IgnoredAny>,
    #[serde(rename = "n")]
    _n: Option<IgnoredAny>,
    #[serde(flatten)]
    options: Map<String, Value>,
}

/// A palette that was made from a photograph.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PhotoAnswer {
    /// Name of its file.
    name: String,
    /// Its file.
    text: String,
    /// What `upbead palette from-photo --json` prints.
    document: String,
    /// Why colours may be wrong, in sentences.
    doubts: Vec<String>,
    /// What the photograph shows.
    told: PhotoReport,
}

/// `POST photo?lane=L&n=K`: the palette file that `upbead palette from-photo` writes, and its
/// report.
pub async fn photo(
    State(desk): State<Arc<Desk>>,
    job: std::result::Result<Job, Refusal>,
    QueryString(query): QueryString<PhotoQuery>,
    FileBody(upload): FileBody<MAX_PICTURE>,
) -> HandlerResult {
    let name = file_name(query.name.as_deref().unwrap_or("beads.jpg"))?;
    let request: PhotoRequest = single(query.options)?;
    let Upload {
        bytes,
        memory: body,
    } = upload;
    let file = File::read(&desk, name, bytes).await?;
    let job = job?;
    let pixels = desk.reserve_pixels(&job, file.memory).await?;
    let decoding = desk.decoding(&job);
    let work = move || {
        let _held = (body, pixels);
        from_photo(file, &request, &decoding)
    };
    let json = desk.workers.run(job, work).await?;
    Ok(json_response(json))
}

fn from_photo(photo: File, request: &PhotoRequest, decoding: &Decoding) -> Result<Vec<u8>> {
    let File { name, bytes, .. } = photo;
    let path = Path::new(&name);
    let file = path.with_extension("csv");
    let photo = Photo {
        file: path,
        palette: Some(&file),
    };
    let read = PhotoPalette::read(photo, Arc::unwrap_or_clone(bytes), request, decoding)?;
    to_json(&PhotoAnswer {
        name: file.to_string_lossy().into(),
        text: write(&read.palette),
        document: document(&read.report)?,
        doubts: doubts(&read.report),
        told: read.report,
    })
}
