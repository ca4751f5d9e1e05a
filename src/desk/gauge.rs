//! The weaver's gauge: read from a file, put into one, and kept where every later call looks for it.

use super::Desk;
use super::answer::{Answer, as_json, bytes};
use super::body::{Asked, Taken};
use super::limits::SMALL;
use super::typed::{Behind, Word, file_name, word};
use crate::bead::Bead;
use crate::error::{Error, Result};
use crate::files::{self, Replace};
use crate::output::fit::remembered_json;
use crate::report::{Measured, as_typed, of_option, remember};
use crate::ring::{Gauge, GaugeFile, default_path};
use axum::extract::{Request, State};
use serde::Deserialize;
use serde_json::json;
use std::path::Path;
use std::sync::Arc;

/// What a gauge file is called where nothing else is said.
const USUAL_NAME: &str = "gauge.json";

/// `?name=N&bead=B`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct About {
    name: Option<String>,
    bead: Option<String>,
}

/// `POST gauge?name=N&bead=B`: the words of a gauge file for one bead.
pub async fn read(
    State(desk): State<Arc<Desk>>,
    Behind(about): Behind<About>,
    request: Request,
) -> Answer {
    let Taken { bytes: body, room } = desk.room.take(request, SMALL).await?;
    let name = file_name(about.name.as_deref().unwrap_or(USUAL_NAME))?.to_string();
    let told = desk
        .workers
        .run(Default::default(), move || {
            let _room = room;
            words(body, &name, &bead(about.bead.as_deref())?)
        })
        .await?;
    Ok(bytes("application/json", told))
}

fn words(body: Vec<u8>, name: &str, bead: &Bead) -> Result<Vec<u8>> {
    let path = Path::new(name);
    let file = files::as_text(body)
        .and_then(|text| GaugeFile::parse(&text))
        .map_err(|error| error.file(path))?;
    let Some(gauge) = file.find(*bead, path)? else {
        return Err(
            Error::new(format!("it has no gauge for {} beads", bead.name()))
                .file(path)
                .hint(format!("it has one for {}", file.beads().join(", "))),
        );
    };
    let (swatch, fits) = as_typed(&gauge).map_err(|error| error.file(path))?;
    as_json(&json!({ "swatch": swatch, "fits": fits, "pitch_mm": gauge.pitch().rounded() }))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AboutGauge {
    bead: Option<Word>,
    swatch: Option<String>,
    fits: Option<String>,
    /// A gauge file that this one is added to.
    file: Option<String>,
    #[serde(default)]
    force: bool,
}

impl AboutGauge {
    /// The gauge that was typed.
    fn gauge(&self) -> Result<Gauge> {
        let measured = Measured {
            swatch: self.swatch.as_deref(),
            fits: self.fits.as_deref(),
            ..Measured::default()
        };
        measured.typed(bead(word(&self.bead))?)?.ok_or_else(|| {
            Error::usage("there is no gauge to remember")
                .hint("add --swatch ROWS=MM or --fits ROWS=SIZE")
        })
    }
}

fn bead(word: Option<&str>) -> Result<Bead> {
    Bead::parse(word.unwrap_or("11")).map_err(|error| of_option(error, "--bead"))
}

/// `POST gauge-file`: the file that `upbead fit --remember --gauge FILE` writes, on top of one that was opened.
pub async fn file(State(desk): State<Arc<Desk>>, request: Request) -> Answer {
    let asked: Asked<AboutGauge> = desk.room.json(request, SMALL).await?;
    let told = desk
        .workers
        .run(Default::default(), move || {
            let gauge = asked.value.gauge()?;
            let mut kept = match &asked.value.file {
                None => GaugeFile::default(),
                Some(text) => GaugeFile::parse(text)?,
            };
            // The file that was opened stays as it is: this is another one.
            kept.remember(&gauge, Replace::Yes)?;
            kept.text()
        })
        .await?;
    Ok(bytes("application/json", told))
}

/// `POST remember`: does what `upbead fit --remember` does, and says what it says with `--json`. The one thing that the desk writes.
pub async fn keep(State(desk): State<Arc<Desk>>, request: Request) -> Answer {
    let asked: Asked<AboutGauge> = desk.room.json(request, SMALL).await?;
    let told = desk
        .workers
        .run(Default::default(), move || {
            let about = &asked.value;
            let gauge = about.gauge()?;
            let file = default_path().ok_or_else(|| {
                Error::new("your folder for settings is not known")
                    .hint("set HOME, or save the gauge as a file")
            })?;
            let replace = match about.force {
                true => Replace::Yes,
                false => Replace::No,
            };
            remember(&gauge, &file, replace)?;
            remembered_json(&gauge, &file)
        })
        .await?;
    Ok(bytes("application/json", told))
}
