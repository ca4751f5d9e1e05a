//! A chart from a picture, or a plain band: what `upbead chart` makes, byte for byte.

use super::extract::JsonBody;
use super::fields::{PaletteId, chart_name};
use super::latest::Job;
use super::limits::MAX_SMALL;
use super::pictures::pixels;
use super::response::{HandlerResult, Refusal, json_response, to_json};
use super::state::{Desk, NamedPalette, Picture};
use crate::chart::write::write;
use crate::error::Result;
use crate::output::json::document;
use crate::picture::{Crop, Size};
use crate::pipeline::{Charted, chart_decoded, plain, settings};
use crate::report::chart::{AboutBand, ChartReport, Files};
use crate::request::{ChartRequest, Shape};
use axum::extract::State;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use tokio::sync::OwnedSemaphorePermit;

/// A picture, a palette, and the options of a chart by name.
#[derive(Deserialize)]
pub struct ChartBody {
    /// The picture's id; none for a plain band.
    pub picture: Option<String>,
    /// The palette.
    pub palette: PaletteId,
    /// What the chart's file is called, for `document`.
    pub name: Option<String>,
    /// The options.
    #[serde(flatten)]
    pub options: Map<String, Value>,
}

/// A chart that was made.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ChartAnswer {
    /// The number of the request in its lane.
    pub n: Option<u64>,
    /// The chart's file.
    pub text: String,
    /// What `--json` prints.
    pub document: String,
    /// The same, to be read.
    pub summary: ChartReport,
}

/// `POST chart?lane=L&n=K`.
pub async fn chart(
    State(desk): State<Arc<Desk>>,
    job: std::result::Result<Job, Refusal>,
    body: JsonBody<ChartBody, MAX_SMALL>,
) -> HandlerResult {
    let job = job?;
    let (inputs, reserved) = Inputs::of(&desk, &job, &body).await?;
    let work = move || {
        let _reserved = reserved;
        inputs.run()
    };
    let json = desk.workers.run(job, work).await?;
    Ok(json_response(json))
}

/// What a request names, and what is needed to make charts of it.
pub struct Inputs {
    /// The options.
    pub request: ChartRequest,
    /// The picture; none for a plain band.
    pub picture: Option<Arc<Picture>>,
    /// The palette.
    pub palette: Arc<NamedPalette>,
    name: Option<String>,
    /// Whether the answer is still wanted.
    pub job: Job,
    /// The desk.
    pub desk: Arc<Desk>,
}

impl Inputs {
    /// What the request names, and the picture's share of the memory for pixels.
    pub async fn of(
        desk: &Arc<Desk>,
        job: &Job,
        body: &ChartBody,
    ) -> std::result::Result<(Self, OwnedSemaphorePermit), Refusal> {
        chart_name(body.name.as_deref())?;
        let mut request = ChartRequest::named(body.options.clone())?;
        request.design.plain |= body.picture.is_none();
        let palette = desk.palettes.get(&body.palette.id)?;
        let picture = body.picture.as_ref().map(|id| desk.pictures.get(id));
        let picture = picture.transpose()?;
        let needed = picture.as_ref().map_or(0, |picture| picture.memory);
        let reserved = desk.reserve_pixels(job, needed).await?;
        let inputs = Self {
            request,
            picture,
            palette,
            name: body.name.clone(),
            job: job.clone(),
            desk: Arc::clone(desk),
        };
        Ok((inputs, reserved))
    }

    /// The report on a chart that was made.
    pub fn report(&self, Charted { made, shape }: &Charted) -> ChartReport {
        let picture = self.picture.as_deref();
        let files = Files {
            picture: PathBuf::from(picture.map_or("", |picture| &picture.name)),
            chart: self.name.as_ref().map(PathBuf::from),
            preview: None,
        };
        let band = AboutBand {
            ring: shape.ring.as_ref(),
            warnings: &shape.warnings,
        };
        ChartReport::new(&files, made, band, &self.palette.palette)
    }

    /// The chart's file, its report, and as `document` what `--json` prints.
    fn run(&self) -> Result<Vec<u8>> {
        self.request.check()?;
        let shape = self.request.shape()?;
        let palette = &self.palette.palette;
        let charted = match self.picture.as_deref() {
            Some(picture) => self.chart_picture(picture, &shape)?,
            None => Charted {
                made: plain(palette, &settings(&self.request, &shape, palette)?),
                shape,
            },
        };
        let report = self.report(&charted);
        to_json(&ChartAnswer {
            n: self.job.n(),
            text: write(&charted.made.value.chart),
            document: document(&report)?,
            summary: report,
        })
    }

    fn chart_picture(&self, picture: &Picture, shape: &Shape) -> Result<Charted> {
        let palette = &self.palette.palette;
        let cancel = self.job.cancel();
        // What can be refused without the pixels is refused before they are decoded.
        settings(&self.request, shape, palette)?;
        let decoded = pixels(
            &self.desk,
            picture,
            &shape.lattice,
            &self.desk.decoding(&self.job),
        )?;
        let there = decoded.picture.upright();
        let mut request = self.request.clone();
        let crop = &mut request.picture.crop;
        *crop = crop.map(|crop| scale_crop(crop, picture.size, there));
        chart_decoded(decoded, palette, &request, &self.desk.memory, cancel)
            .map_err(|error| error.file(Path::new(&picture.name)))
    }
}

/// A crop in the pixels that are `there`, from one in the pixels that the page was shown: a drawing
/// is rendered as finely as the band needs.
pub fn scale_crop(crop: Crop, shown: Size, there: Size) -> Crop {
    if shown == there {
        return crop;
    }
    let across = Scale {
        shown: shown.width,
        there: there.width,
    };
    let down = Scale {
        shown: shown.height,
        there: there.height,
    };
    let whole = |number: u64| u32::try_from(number).unwrap_or(u32::MAX);
    Crop {
        x: whole(across.position(crop.x, 0)),
        y: whole(down.position(crop.y, 0)),
        width: whole(across.length(crop.x, crop.width)),
        height: whole(down.length(crop.y, crop.height)),
    }
}

/// The pixels shown along one side of a picture, and those that are there.
struct Scale {
    shown: u32,
    there: u32,
}

impl Scale {
    /// Where the pixel edge `from + by` lies, rounded.
    fn position(&self, from: u32, by: u32) -> u64 {
        let Self { shown, there } = *self;
        let at = u64::from(from) + u64::from(by);
        (at * u64::from(there) + u64::from(shown) / 2) / u64::from(shown.max(1))
    }

    /// The length of a span; one that had pixels keeps at least one.
    fn length(&self, from: u32, length: u32) -> u64 {
        let scaled = self.position(from, length) - self.position(from, 0);
        scaled.max(u64::from(length > 0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_crop_of_a_drawing_follows_its_resolution() {
        let size = |(width, height)| Size { width, height };
        for (crop, shown, there, scaled) in [
            ([10, 20, 30, 40], (100, 200), (100, 200), "10,20,30,40"),
            ([10, 20, 30, 40], (100, 200), (200, 400), "20,40,60,80"),
            ([99, 199, 1, 1], (100, 200), (50, 100), "50,100,1,1"),
            ([0, 0, 100, 200], (100, 200), (33, 67), "0,0,33,67"),
            ([0, 0, 0, 200], (100, 200), (33, 67), "0,0,0,67"),
        ] {
            let [x, y, width, height] = crop;
            let crop = Crop {
                x,
                y,
                width,
                height,
            };
            let crop = scale_crop(crop, size(shown), size(there));
            assert_eq!(crop.to_string(), scaled);
        }
    }
}
