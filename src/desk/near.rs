//! A chart measured beside its picture.

use super::Desk;
use super::answer::{Answer, bytes};
use super::body::Asked;
use super::chart::on_pixels;
use super::latest::Lane;
use super::limits::CHART;
use super::pictures::Picture;
use super::typed::{Behind, Word, checked, word};
use super::work::chart_of;
use crate::cancel::Cancel;
use crate::chart::Chart;
use crate::error::{Error, Result};
use crate::output::compare::{Compared, json};
use crate::picture::decode;
use crate::pipeline::{Source, compare};
use crate::report::{FitWord, Laid as Lies, distances};
use crate::vision::band::DISTANCES;
use axum::extract::{Request, State};
use serde::Deserialize;
use std::path::Path;
use std::sync::Arc;

/// Distances, and how the picture lies where it does not lie as the chart says: the options of `upbead compare` by their long names.
#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct Laid {
    seen: Option<Word>,
    place: Option<String>,
    turn: Option<Word>,
    crop: Option<[u32; 4]>,
    fit: Option<FitWord>,
    margin: Option<u32>,
    crisp: Option<f64>,
    ground: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AboutNear {
    chart: String,
    name: Option<String>,
    picture: String,
    seen: Option<Word>,
    #[serde(default)]
    laid: Laid,
}

/// `POST compare?lane=L&n=K`: as `upbead compare --json`.
pub async fn near(
    State(desk): State<Arc<Desk>>,
    Behind(lane): Behind<Lane>,
    request: Request,
) -> Answer {
    let ticket = lane.enter(&desk.lanes);
    let asked: Asked<AboutNear> = desk.room.json(request, CHART).await?;
    let ticket = ticket?;
    let name = checked(&asked.value.name)?;
    let picture = desk.pictures.get(&asked.value.picture)?;
    let told = desk
        .workers
        .run(ticket, move || {
            let AboutNear {
                chart, seen, laid, ..
            } = &asked.value;
            let seen = word(seen).or(word(&laid.seen));
            compared(&chart_of(chart, &name)?, &name, &picture, seen, laid)
        })
        .await?;
    Ok(bytes("application/json", told))
}

/// What `upbead compare --json` prints.
///
/// # Errors
/// As there.
pub fn compared(
    chart: &Chart,
    name: &str,
    picture: &Picture,
    seen: Option<&str>,
    laid: &Laid,
) -> Result<String> {
    let seen = match seen {
        Some(seen) => distances(seen)?,
        None => DISTANCES.to_vec(),
    };
    let crop = laid
        .crop
        .map(|crop| cropped(crop, picture, chart))
        .transpose()?;
    let lies = Lies {
        place: laid.place.as_deref(),
        turn: word(&laid.turn),
        crop: crop.as_deref(),
        fit: laid.fit,
        margin: laid.margin,
        crisp: laid.crisp,
        ground: laid.ground.as_deref(),
    };
    let beside = lies.beside(chart, Path::new(name))?;
    let compared = compare(source(picture), chart, &beside, &seen)
        .map_err(|error| of_picture(error, picture))?;
    Ok(json(&Compared {
        file: Path::new(name),
        picture: Path::new(&picture.name),
        chart,
        figures: &compared.value,
        notes: &compared.notes,
    }))
}

impl Laid {
    /// The distances that were asked for.
    pub fn seen(&self) -> Option<&str> {
        word(&self.seen)
    }
}

/// A part of the picture in the pixels that there are for this band.
fn cropped(crop: [u32; 4], picture: &Picture, chart: &Chart) -> Result<String> {
    let cancel = Cancel::default();
    let there = decode(Arc::clone(&picture.bytes), &chart.lattice, &cancel)
        .map_err(|error| of_picture(error, picture))?
        .upright();
    Ok(on_pixels(crop, picture.size, there))
}

/// A picture to be read again.
pub fn source(picture: &Picture) -> Source {
    Source {
        name: picture.name.clone(),
        bytes: picture.bytes.to_vec(),
    }
}

/// What is wrong with a picture is said of its file, as on the command line.
pub fn of_picture(error: Error, picture: &Picture) -> Error {
    match error.place().option {
        None => error.file(Path::new(&picture.name)),
        Some(_) => error,
    }
}
