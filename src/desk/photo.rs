//! A palette from a photograph of bead piles.

use super::extract::{FileBody, QueryString};
use super::fields::file_name;
use super::limits::MAX_PICTURE;
use super::response::{HandlerResult, json_response, to_json};
use super::state::Desk;
use super::uploads::Upload;
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::output::json::document;
use crate::output::palette_photo::{Answer, doubts, json as palette_json};
use crate::palette::write::write;
use crate::palette_photo::read;
use crate::picture::decode;
use crate::report::{Piles, as_fine_as_needed};
use axum::extract::State;
use serde::Deserialize;
use serde_json::json;
use std::path::Path;
use std::sync::Arc;

/// `?name=N&grid=6x4&spots=..&white=X,Y`: the options of `upbead palette from-photo`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PhotoRequest {
    name: Option<String>,
    grid: Option<String>,
    spots: Option<String>,
    white: Option<String>,
}

/// `POST photo`: the palette file that `upbead palette from-photo` writes, and its `--json`.
pub async fn photo(
    State(desk): State<Arc<Desk>>,
    QueryString(request): QueryString<PhotoRequest>,
    FileBody(upload): FileBody<MAX_PICTURE>,
) -> HandlerResult {
    let name = file_name(request.name.as_deref().unwrap_or("beads.jpg"))?;
    let work = move || {
        let Upload {
            bytes,
            memory: _memory,
        } = upload;
        request.run(&name, bytes)
    };
    let json = desk.workers.run(Default::default(), work).await?;
    Ok(json_response(json))
}

impl PhotoRequest {
    fn run(&self, name: &str, bytes: Vec<u8>) -> Result<Vec<u8>> {
        let path = Path::new(name);
        let in_photo = |error: Error| match error.place().option {
            Some(_) => error,
            None => error.file(path),
        };
        let piles = Piles {
            grid: self.grid.as_deref(),
            spots: self.spots.as_deref(),
            white: self.white.as_deref(),
        };
        let options = piles.options()?;
        let photo =
            decode(Arc::new(bytes), &as_fine_as_needed()?, &Cancel::default()).map_err(in_photo)?;
        let tray = read(&photo, &options).map_err(in_photo)?;
        let file = path.with_extension("csv");
        let stem = path.file_stem().unwrap_or(path.as_os_str());
        let palette = tray.palette(&stem.to_string_lossy())?;
        let answer = Answer {
            file: Some(&file),
            photo: path,
            tray: &tray,
            palette: &palette,
        };
        let summary = palette_json(&answer);
        let document = document(&summary)?;
        to_json(&json!({
            "name": file,
            "text": write(&palette),
            "told": summary,
            "document": document,
            "doubts": doubts(&answer),
        }))
    }
}
