//! A chart measured beside its picture.

use super::Desk;
use super::answer::{Answer, as_json, bytes};
use super::body::Asked;
use super::chart::on_pixels;
use super::latest::Lane;
use super::limits::CHART;
use super::pictures::Picture;
use super::typed::{Behind, checked};
use super::work::chart_of;
use crate::cancel::Cancel;
use crate::chart::Chart;
use crate::error::{Error, Result};
use crate::picture::{Crop, decode};
use crate::pipeline::Source;
use crate::report::compare::{CompareReport, Pair};
use crate::request::CompareRequest;
use axum::extract::{Request, State};
use serde::Deserialize;
use serde_json::{Map, Value};
use std::path::Path;
use std::sync::Arc;

/// A chart, its picture, and the options of `upbead compare` by name.
#[derive(Deserialize)]
struct CompareBody {
    chart: String,
    name: Option<String>,
    picture: String,
    #[serde(flatten)]
    options: Map<String, Value>,
}

/// `POST compare?lane=L&n=K`: the report of `upbead compare`.
pub async fn near(
    State(desk): State<Arc<Desk>>,
    Behind(lane): Behind<Lane>,
    request: Request,
) -> Answer {
    let ticket = lane.enter(&desk.lanes);
    let asked: Asked<CompareBody> = desk.room.json(request, CHART).await?;
    let ticket = ticket?;
    let CompareBody {
        chart,
        name,
        picture,
        options,
    } = asked.value;
    let name = checked(&name)?;
    let picture = desk.pictures.get(&picture)?;
    let options = CompareRequest::named(options)?;
    let report = desk
        .workers
        .run(ticket, move || {
            let chart = chart_of(&chart, &name)?;
            as_json(&compared(&chart, &name, &picture, options)?)
        })
        .await?;
    Ok(bytes("application/json", report))
}

/// The report of `upbead compare`.
///
/// # Errors
/// As there.
pub fn compared(
    chart: &Chart,
    name: &str,
    picture: &Picture,
    mut options: CompareRequest,
) -> Result<CompareReport> {
    if let Some(crop) = options.picture.crop {
        options.picture.crop = Some(cropped(crop, picture, chart)?);
    }
    let pair = Pair {
        chart,
        file: Path::new(name),
        picture: Path::new(&picture.name),
    };
    CompareReport::new(pair, source(picture), &options)
}

/// A part of the picture in the pixels that there are for this band.
fn cropped(crop: Crop, picture: &Picture, chart: &Chart) -> Result<Crop> {
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
    error.file_unless_option(Path::new(&picture.name))
}
