//! Pictures that the page sent: kept as they came, and the pixels of the one in use.

use super::answer::{Answer, as_json, bytes, refuse};
use super::body::Taken;
use super::guard::nothing_here;
use super::limits::{PICTURE, PREVIEW};
use super::{
    Desk,
    typed::{Behind, Name},
};
use crate::bead::Bead;
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::lattice::{Lattice, Rows};
use crate::picture::{is_svg, small};
use crate::pipeline::{Decoded, decoded};
use axum::extract::rejection::PathRejection;
use axum::extract::{Path, Request, State};
use axum::http::StatusCode;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// A picture file.
pub struct Picture {
    /// As the page called it.
    pub name: String,
    /// The file.
    pub bytes: Arc<Vec<u8>>,
    /// Its kind.
    mime: &'static str,
    /// Upright width and height; of a drawing, which has no pixels of its own, as it is previewed.
    pub size: (u32, u32),
}

#[derive(Serialize)]
struct Told<'a> {
    id: &'a str,
    width: u32,
    height: u32,
    name: &'a str,
    mime: &'a str,
}

/// `POST picture?name=N`.
pub async fn take(
    State(desk): State<Arc<Desk>>,
    Behind(name): Behind<Name>,
    request: Request,
) -> Answer {
    let Taken { bytes: body, room } = desk.room.take(request, PICTURE).await?;
    let name = name.checked("picture")?;
    let keeper = Arc::clone(&desk);
    let told = desk
        .workers
        .run(Default::default(), move || {
            let _room = room;
            keeper.keep_picture(name, Arc::new(body))
        })
        .await?;
    Ok(bytes("application/json", told))
}

/// How wide a preview is wanted.
#[derive(Deserialize)]
pub struct Width {
    width: Option<u32>,
}

/// `GET picture/ID?width=W`.
pub async fn preview(
    State(desk): State<Arc<Desk>>,
    path: std::result::Result<Path<(String, String)>, PathRejection>,
    Behind(wanted): Behind<Width>,
) -> Answer {
    let Path((_, id)) = path.map_err(|_| nothing_here())?;
    let width = wanted.width.unwrap_or(PREVIEW);
    if !(1..=PREVIEW).contains(&width) {
        return Err(refuse(
            StatusCode::BAD_REQUEST,
            format!("a preview {width} pixels wide is not drawn"),
            format!("ask for 1 to {PREVIEW}"),
        ));
    }
    let picture = desk.pictures.get(&id)?;
    let keeper = Arc::clone(&desk);
    let png = desk
        .workers
        .run(Default::default(), move || {
            let decoded = keeper.pixels(&id, &picture, &usual(), &Cancel::default())?;
            small(&decoded.picture, width)
        })
        .await?;
    Ok(bytes("image/png", png))
}

impl Desk {
    fn keep_picture(&self, name: String, body: Arc<Vec<u8>>) -> Result<Vec<u8>> {
        let path = std::path::Path::new(&name);
        let decoded = decoded(
            name.clone(),
            Arc::clone(&body),
            &usual(),
            &Cancel::default(),
        )
        .map_err(|error| error.file(path))?;
        let id = decoded.sha256.clone();
        let size = decoded.picture.upright();
        let picture = Picture {
            mime: mime(&body),
            bytes: body,
            name,
            size,
        };
        let told = as_json(&Told {
            id: &id,
            width: size.0,
            height: size.1,
            name: &picture.name,
            mime: picture.mime,
        })?;
        self.keep_pixels(&id, &picture, &usual(), decoded);
        self.pictures
            .put(&id, picture.bytes.len(), Arc::new(picture));
        Ok(told)
    }

    /// The pixels of a kept picture, for a band of that shape.
    pub fn pixels(
        &self,
        id: &str,
        picture: &Picture,
        lattice: &Lattice,
        cancel: &Cancel,
    ) -> Result<Arc<Decoded>> {
        if let Some(kept) = self.in_use.find(&key(id, picture, lattice)) {
            return Ok(kept);
        }
        let name = picture.name.clone();
        let decoded = decoded(name, Arc::clone(&picture.bytes), lattice, cancel)
            .map_err(|error: Error| error.file(std::path::Path::new(&picture.name)))?;
        Ok(self.keep_pixels(id, picture, lattice, decoded))
    }

    fn keep_pixels(
        &self,
        id: &str,
        picture: &Picture,
        lattice: &Lattice,
        decoded: Decoded,
    ) -> Arc<Decoded> {
        let decoded = Arc::new(decoded);
        let bytes = decoded.picture.data.len();
        self.in_use
            .put(&key(id, picture, lattice), bytes, Arc::clone(&decoded));
        decoded
    }
}

/// A drawing is rendered as finely as the band asks for; other pictures have the pixels that they have. The name is told in the chart.
fn key(id: &str, picture: &Picture, lattice: &Lattice) -> String {
    let name = &picture.name;
    match is_svg(&picture.bytes) {
        true => format!("{id} {lattice:?} {name}"),
        false => format!("{id} {name}"),
    }
}

/// The band that a drawing is previewed for: a ring of 9 columns.
fn usual() -> Lattice {
    // Both are within their limits, as a test holds.
    let rows = Rows::closed(74).unwrap_or_else(|_| unreachable!("74 rows close"));
    Lattice::new(Bead::default(), 9, rows).unwrap_or_else(|_| unreachable!("a ring of 9 columns"))
}

fn mime(body: &[u8]) -> &'static str {
    if is_svg(body) {
        return "image/svg+xml";
    }
    image::guess_format(body).map_or("application/octet-stream", |format| format.to_mime_type())
}
