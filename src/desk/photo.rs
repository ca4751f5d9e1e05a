//! A photograph of bead piles as a palette.

use super::Desk;
use super::answer::{Answer, as_json, bytes};
use super::body::Taken;
use super::limits::PICTURE;
use super::typed::{Behind, file_name};
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::output::json::document;
use crate::output::palette_photo::{Answer as Told, doubts, json as told_json};
use crate::palette::write::write;
use crate::palette_photo::read;
use crate::picture::decode;
use crate::report::{Piles, as_fine_as_needed};
use axum::extract::{Request, State};
use serde::Deserialize;
use serde_json::json;
use std::path::Path;
use std::sync::Arc;

/// `?name=N&grid=6x4&spots=..&white=X,Y`: as `upbead palette from-photo` has them.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct About {
    name: Option<String>,
    grid: Option<String>,
    spots: Option<String>,
    white: Option<String>,
}

/// `POST photo`: the palette file that `upbead palette from-photo` writes, and what `--json` says of it.
pub async fn take(
    State(desk): State<Arc<Desk>>,
    Behind(about): Behind<About>,
    request: Request,
) -> Answer {
    let Taken { bytes: body, room } = desk.room.take(request, PICTURE).await?;
    let name = file_name(about.name.as_deref().unwrap_or("beads.jpg"))?.to_string();
    let told = desk
        .workers
        .run(Default::default(), move || {
            let _room = room;
            about.read(&name, body)
        })
        .await?;
    Ok(bytes("application/json", told))
}

impl About {
    fn read(&self, name: &str, body: Vec<u8>) -> Result<Vec<u8>> {
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
            decode(Arc::new(body), &as_fine_as_needed()?, &Cancel::default()).map_err(in_photo)?;
        let tray = read(&photo, &options).map_err(in_photo)?;
        let file = path.with_extension("csv");
        let stem = path.file_stem().unwrap_or(path.as_os_str());
        let palette = tray.palette(&stem.to_string_lossy())?;
        let answer = Told {
            file: Some(&file),
            photo: path,
            tray: &tray,
            palette: &palette,
        };
        let told = told_json(&answer);
        let document = document(&told)?;
        as_json(&json!({
            "name": file,
            "text": write(&palette),
            "told": told,
            "document": document,
            "doubts": doubts(&answer),
        }))
    }
}
