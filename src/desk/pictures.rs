//! Pictures that the page sends, and previews of them.

use super::extract::{FileBody, QueryString};
use super::fields::FileName;
use super::guard::not_found;
use super::latest::Job;
use super::limits::{MAX_PICTURE, MAX_PREVIEW};
use super::response::{HandlerResult, Refusal, json_response, refuse, response, to_json};
use super::state::{Desk, Picture};
use super::uploads::Upload;
use crate::bead::Bead;
use crate::error::Result;
use crate::lattice::{Lattice, Rows};
use crate::picture::{Decoding, decoding_memory, is_svg, thumbnail};
use crate::pipeline::{Decoded, decoded};
use axum::extract::rejection::PathRejection;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// A picture that was opened.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PictureAnswer<'a> {
    /// What later requests name it by: SHA-256 of its file.
    id: &'a str,
    /// Width in pixels, upright.
    width: u32,
    /// Height in pixels, upright.
    height: u32,
    /// Name of its file.
    name: &'a str,
    /// Its media type.
    mime: &'a str,
}

/// `POST picture?name=N`.
pub async fn upload(
    State(desk): State<Arc<Desk>>,
    QueryString(name): QueryString<FileName>,
    FileBody(upload): FileBody<MAX_PICTURE>,
) -> HandlerResult {
    let Upload {
        bytes,
        memory: body,
    } = upload;
    let file = File::read(&desk, name.or("picture")?, bytes).await?;
    let (shared, job) = (Arc::clone(&desk), Job::default());
    let pixels = desk.reserve_pixels(&job, file.memory).await?;
    let decoding = desk.decoding(&job);
    let work = move || {
        let _held = (body, pixels);
        store(&shared, file, &decoding)
    };
    let json = desk.workers.run(job, work).await?;
    Ok(json_response(json))
}

/// A picture's file, before it is decoded.
pub struct File {
    /// Its name.
    pub name: String,
    /// Its bytes.
    pub bytes: Arc<Vec<u8>>,
    /// Bytes of memory that decoding it takes.
    pub memory: usize,
}

impl File {
    /// Reads the head of a picture.
    ///
    /// # Errors
    /// If it is not a picture, or a picture that is too large.
    pub async fn read(
        desk: &Desk,
        name: String,
        bytes: Vec<u8>,
    ) -> std::result::Result<Self, Refusal> {
        let work = move || {
            let bytes = Arc::new(bytes);
            let memory =
                decoding_memory(&bytes).map_err(|error| error.file(std::path::Path::new(&name)))?;
            Ok(Self {
                name,
                bytes,
                memory: memory as usize,
            })
        };
        desk.workers.run(Job::default(), work).await
    }
}

/// `?width=W`: the width of a preview in pixels.
#[derive(Deserialize)]
pub struct PreviewWidth {
    width: Option<u32>,
}

/// `GET picture/ID?width=W`.
pub async fn preview(
    State(desk): State<Arc<Desk>>,
    path: std::result::Result<Path<(String, String)>, PathRejection>,
    QueryString(wanted): QueryString<PreviewWidth>,
) -> HandlerResult {
    let Path((_, id)) = path.map_err(|_| not_found())?;
    let width = wanted.width.unwrap_or(MAX_PREVIEW);
    if !(1..=MAX_PREVIEW).contains(&width) {
        return Err(refuse(
            StatusCode::BAD_REQUEST,
            format!("a preview cannot be {width} pixels wide"),
            format!("ask for 1 to {MAX_PREVIEW}"),
        ));
    }
    let picture = desk.pictures.get(&id)?;
    let (shared, job) = (Arc::clone(&desk), Job::default());
    let reserved = desk.reserve_pixels(&job, picture.memory).await?;
    let decoding = desk.decoding(&job);
    let work = move || {
        let _reserved = reserved;
        let decoded = pixels(&shared, &picture, &preview_band(), &decoding)?;
        thumbnail(&decoded.picture, width)
    };
    let png = desk.workers.run(job, work).await?;
    Ok(response("image/png", png))
}

fn store(desk: &Desk, file: File, decoding: &Decoding) -> Result<Vec<u8>> {
    let File {
        name,
        bytes,
        memory,
    } = file;
    let band = preview_band();
    let decoded = decoded(name.clone(), Arc::clone(&bytes), &band, decoding)
        .map_err(|error| error.file(std::path::Path::new(&name)))?;
    let picture = Arc::new(Picture {
        id: decoded.sha256.clone(),
        memory,
        size: decoded.picture.upright(),
        bytes,
        name,
    });
    let json = to_json(&PictureAnswer {
        id: &picture.id,
        width: picture.size.width,
        height: picture.size.height,
        name: &picture.name,
        mime: media_type(&picture.bytes),
    })?;
    store_pixels(desk, &picture, &band, decoded);
    let size = picture.bytes.len();
    desk.pictures.put(&picture.id, size, Arc::clone(&picture));
    Ok(json)
}

/// The pixels of a picture, for a band of that shape; from the cache where they are there.
///
/// # Errors
/// If the picture cannot be decoded.
pub fn pixels(
    desk: &Desk,
    picture: &Picture,
    band: &Lattice,
    decoding: &Decoding,
) -> Result<Arc<Decoded>> {
    if let Some(kept) = desk.pixels.find(&pixels_key(picture, band)) {
        return Ok(kept);
    }
    let bytes = Arc::clone(&picture.bytes);
    let decoded = decoded(picture.name.clone(), bytes, band, decoding)
        .map_err(|error| error.file(std::path::Path::new(&picture.name)))?;
    Ok(store_pixels(desk, picture, band, decoded))
}

fn store_pixels(desk: &Desk, picture: &Picture, band: &Lattice, decoded: Decoded) -> Arc<Decoded> {
    let decoded = Arc::new(decoded);
    let size = decoded.picture.data.len();
    let key = pixels_key(picture, band);
    desk.pixels.put(&key, size, Arc::clone(&decoded));
    decoded
}

/// A drawing is rendered as finely as the band needs; other pictures have their own pixels. The
/// name is part of the key because the chart records it.
fn pixels_key(picture: &Picture, band: &Lattice) -> String {
    let Picture { id, name, .. } = picture;
    if is_svg(&picture.bytes) {
        format!("{id} {band:?} {name}")
    } else {
        format!("{id} {name}")
    }
}

/// The band that a drawing is previewed for: a ring of 9 columns.
fn preview_band() -> Lattice {
    // Both are within their limits, as a test checks.
    let rows = Rows::closed(74).unwrap_or_else(|_| unreachable!("74 rows close"));
    Lattice::new(Bead::default(), 9, rows).unwrap_or_else(|_| unreachable!("a ring of 9 columns"))
}

fn media_type(bytes: &[u8]) -> &'static str {
    if is_svg(bytes) {
        return "image/svg+xml";
    }
    image::guess_format(bytes).map_or("application/octet-stream", |format| format.to_mime_type())
}
