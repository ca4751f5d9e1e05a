//! Palettes that the page sent.

use super::Desk;
use super::answer::{Answer, as_json, bytes};
use super::body::{Asked, Taken};
use super::chart::Which;
use super::export::palette_json;
use super::latest::Lane;
use super::limits::{PALETTE, SMALL};
use super::typed::{Behind, Name, Word, word};
use crate::error::{Error, Result};
use crate::palette::read::read;
use crate::palette::{HARD_TO_TELL, Palette, alike};
use crate::{files, output};
use axum::extract::{Request, State};
use serde::Deserialize;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use std::path::Path;
use std::sync::Arc;

/// A palette and the file it came from.
pub struct Drawer {
    /// The palette.
    pub palette: Palette,
    /// The file's name.
    pub file: String,
}

/// `POST palette?name=N`.
pub async fn take(
    State(desk): State<Arc<Desk>>,
    Behind(name): Behind<Name>,
    request: Request,
) -> Answer {
    let Taken { bytes: body, room } = desk.room.take(request, PALETTE).await?;
    let file = name.checked("palette.csv")?;
    let keeper = Arc::clone(&desk);
    let told = desk
        .workers
        .run(Default::default(), move || {
            let _room = room;
            keeper.keep_palette(file, body)
        })
        .await?;
    Ok(bytes("application/json", told))
}

impl Desk {
    fn keep_palette(&self, file: String, body: Vec<u8>) -> Result<Vec<u8>> {
        let id = id(&file, &body);
        let weight = body.len();
        let palette = parsed(&file, body)?;
        let told = as_json(&told(&id, &palette)?)?;
        self.palettes
            .put(&id, weight, Arc::new(Drawer { palette, file }));
        Ok(told)
    }
}

/// Read as the command line reads a file of that name.
fn parsed(file: &str, body: Vec<u8>) -> Result<Palette> {
    let path = Path::new(file);
    let stem = path
        .file_stem()
        .unwrap_or(path.as_os_str())
        .to_string_lossy();
    files::as_text(body)
        .and_then(|text| read(&text, &stem))
        .map_err(|error| error.file(path))
}

/// SHA-256 of name and text: a palette is called by its file.
fn id(file: &str, body: &[u8]) -> String {
    let digest = Sha256::new()
        .chain_update(file)
        .chain_update([0])
        .chain_update(body)
        .finalize();
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// As `upbead palette --json` tells it, with its id, and the pairs that are hard to tell apart as `alike`.
fn told(id: &str, palette: &Palette) -> Result<Value> {
    let tones = palette.tones();
    let pairs = alike(&tones, HARD_TO_TELL);
    let text = output::palette::json(palette, &tones, &pairs, None, HARD_TO_TELL);
    let mut told: Value = serde_json::from_str(&text)
        .map_err(|e| Error::new("the palette cannot be told").because(e))?;
    Ok(json!({
        "id": id,
        "name": told["name"].take(),
        "colours": told["colours"].take(),
        "below": told["below"].take(),
        "alike": told["pairs"].take(),
        "alike_count": told["pairs_count"].take(),
    }))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AboutAlike {
    palette: Which,
    below: Option<Word>,
}

/// `POST alike?lane=L&n=K`: as `upbead palette --json`, with the pairs that are hard to tell apart.
pub async fn pairs(
    State(desk): State<Arc<Desk>>,
    Behind(lane): Behind<Lane>,
    request: Request,
) -> Answer {
    let ticket = lane.enter(&desk.lanes);
    let asked: Asked<AboutAlike> = desk.room.json(request, SMALL).await?;
    let ticket = ticket?;
    let drawer = desk.palettes.get(&asked.value.palette.id)?;
    let told = desk
        .workers
        .run(ticket, move || {
            palette_json(&drawer.palette, word(&asked.value.below))
        })
        .await?;
    Ok(bytes("application/json", told))
}
