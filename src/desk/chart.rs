//! A chart of a kept picture, or a plain band: what `upbead chart` makes, byte for byte.

use super::Desk;
use super::answer::{Answer, as_json, bytes};
use super::body::Asked;
use super::latest::Lane;
use super::limits::SMALL;
use super::palettes::Drawer;
use super::pictures::Picture;
use super::typed::{Behind, checked};
use crate::cancel::Cancel;
use crate::chart::write::write;
use crate::error::Result;
use crate::output::json::document;
use crate::picture::Crop;
use crate::pipeline::{Outcome, make_decoded, plain, settings};
use crate::report::chart::{AboutBand, ChartReport, Files};
use crate::request::{ChartRequest, Shape};
use crate::warning::Warned;
use axum::extract::{Request, State};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::path::PathBuf;
use std::sync::Arc;

/// A picture, a palette, and the options of a chart by name.
#[derive(Deserialize)]
struct ChartBody {
    picture: Option<String>,
    palette: Which,
    /// What the chart's file is called, for `document`.
    name: Option<String>,
    #[serde(flatten)]
    options: Map<String, Value>,
}

/// A palette by its id.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Which {
    /// As the desk gave it.
    pub id: String,
}

/// `POST chart?lane=L&n=K`.
pub async fn chart(
    State(desk): State<Arc<Desk>>,
    Behind(lane): Behind<Lane>,
    request: Request,
) -> Answer {
    let ticket = lane.enter(&desk.lanes);
    let asked: Asked<ChartBody> = desk.room.json(request, SMALL).await?;
    let ticket = ticket?;
    let body = asked.value;
    checked(&body.name)?;
    let mut options = ChartRequest::named(body.options)?;
    options.design.plain |= body.picture.is_none();
    let picture = match body.picture {
        None => None,
        Some(id) => Some((desk.pictures.get(&id)?, id)),
    };
    let job = Job {
        options,
        picture,
        drawer: desk.palettes.get(&body.palette.id)?,
        name: body.name,
        n: ticket.n(),
        cancel: ticket.cancel(),
    };
    let worker = Arc::clone(&desk);
    let answer = desk.workers.run(ticket, move || job.run(&worker)).await?;
    Ok(bytes("application/json", answer))
}

#[derive(Serialize)]
struct Charted<'a> {
    n: Option<u64>,
    text: &'a str,
    summary: &'a ChartReport,
    /// What `--json` prints.
    document: String,
}

/// A chart to make.
struct Job {
    options: ChartRequest,
    picture: Option<(Arc<Picture>, String)>,
    drawer: Arc<Drawer>,
    name: Option<String>,
    n: Option<u64>,
    cancel: Cancel,
}

impl Job {
    fn run(&self, desk: &Desk) -> Result<Vec<u8>> {
        self.options.check()?;
        let shape = self.options.shape()?;
        let palette = &self.drawer.palette;
        let made = match &self.picture {
            Some((picture, id)) => self.of_picture(desk, picture, id, &shape)?,
            None => plain(palette, &settings(&self.options, &shape, palette)?),
        };
        let picture = self.picture.as_ref();
        let files = Files {
            picture: PathBuf::from(picture.map_or("", |(picture, _)| &picture.name)),
            chart: self.name.as_ref().map(PathBuf::from),
            preview: None,
        };
        let band = AboutBand {
            ring: shape.ring.as_ref(),
            warnings: &shape.warnings,
        };
        let report = ChartReport::new(&files, &made, band, palette);
        as_json(&Charted {
            n: self.n,
            text: &write(&made.value.chart),
            document: document(&report)?,
            summary: &report,
        })
    }

    fn of_picture(
        &self,
        desk: &Desk,
        picture: &Picture,
        id: &str,
        shape: &Shape,
    ) -> Result<Warned<Outcome>> {
        let palette = &self.drawer.palette;
        // What can be refused without the pixels is refused before they are decoded.
        settings(&self.options, shape, palette)?;
        let decoded = desk.pixels(id, picture, &shape.lattice, &self.cancel)?;
        let mut options = self.options.clone();
        if let Some(crop) = options.picture.crop {
            let there = decoded.picture.upright();
            options.picture.crop = Some(on_pixels(crop, picture.size, there));
        }
        let mut settings = settings(&options, shape, palette)?;
        settings.choice.cancel = self.cancel.clone();
        make_decoded(decoded, palette, &settings, &desk.memory)
            .map_err(|error| error.file(std::path::Path::new(&picture.name)))
    }
}

/// A part of the picture as the page was told its size, in the pixels that are there: a drawing
/// has as many as the band asks for.
pub fn on_pixels(crop: Crop, told: (u32, u32), there: (u32, u32)) -> Crop {
    if told == there {
        return crop;
    }
    let scaled = |at: u64, told: u32, there: u32| {
        let halved = at * u64::from(there) + u64::from(told) / 2;
        halved / u64::from(told.max(1))
    };
    let span = |from: u32, length: u32, told: u32, there: u32| {
        let start = scaled(u64::from(from), told, there);
        let end = scaled(u64::from(from) + u64::from(length), told, there);
        // A part that had an area keeps one.
        let length = (end - start).max(u64::from(length > 0));
        let whole = |number: u64| u32::try_from(number).unwrap_or(u32::MAX);
        (whole(start), whole(length))
    };
    let (x, width) = span(crop.x, crop.width, told.0, there.0);
    let (y, height) = span(crop.y, crop.height, told.1, there.1);
    Crop {
        x,
        y,
        width,
        height,
    }
}

#[cfg(test)]
mod tests {
    use super::on_pixels;

    #[test]
    fn parts_of_a_drawing_follow_its_pixels() {
        let on = |crop: &str, told, there| {
            let crop = crop.parse().unwrap();
            on_pixels(crop, told, there).to_string()
        };
        assert_eq!(on("10,20,30,40", (100, 200), (100, 200)), "10,20,30,40");
        assert_eq!(on("10,20,30,40", (100, 200), (200, 400)), "20,40,60,80");
        assert_eq!(on("99,199,1,1", (100, 200), (50, 100)), "50,100,1,1");
        assert_eq!(on("0,0,100,200", (100, 200), (33, 67)), "0,0,33,67");
        assert_eq!(on("0,0,0,200", (100, 200), (33, 67)), "0,0,0,67");
    }
}
