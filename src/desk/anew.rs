//! A finished chart again: refined round the beads that stay, moved onto another palette; and the rows beside its own that close.

use super::Desk;
use super::answer::{Answer, as_json, bytes};
use super::body::Asked;
use super::chart::Which;
use super::latest::{Lane, Ticket};
use super::limits::{CHART, SMALL};
use super::near::source;
use super::typed::{Behind, Word, checked, word};
use super::work::chart_of;
use crate::chart::write::write;
use crate::error::{Error, Result};
use crate::output::fit as told_fit;
use crate::output::json::document;
use crate::quantize::swap::swap;
use crate::report::chart::{AboutBand, ChartReport, Files};
use crate::report::refine::{Improve, improve, own_colours};
use crate::report::swap::{Swap, SwapReport};
use crate::report::{Band, Measured, PreferWord};
use crate::request::RefineRequest;
use crate::ring::{RingSize, fit};
use axum::extract::{Request, State};
use serde::Deserialize;
use serde_json::{Map, Value, json};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A chart, its picture, and the options of `upbead refine` by name.
#[derive(Deserialize)]
struct RefineBody {
    chart: String,
    name: Option<String>,
    picture: String,
    palette: Option<Which>,
    #[serde(flatten)]
    options: Map<String, Value>,
}

/// `POST refine?lane=L&n=K`: the chart that `upbead refine` writes, and its report.
pub async fn finer(
    State(desk): State<Arc<Desk>>,
    Behind(lane): Behind<Lane>,
    request: Request,
) -> Answer {
    let ticket = lane.enter(&desk.lanes);
    let asked: Asked<RefineBody> = desk.room.json(request, CHART).await?;
    let ticket = ticket?;
    let body = asked.value;
    let name = checked(&body.name)?;
    let options = RefineRequest::named(body.options)?;
    let picture = desk.pictures.get(&body.picture)?;
    let drawer = match &body.palette {
        None => None,
        Some(which) => Some(desk.palettes.get(&which.id)?),
    };
    let (n, cancel) = (ticket.n(), ticket.cancel());
    let answer = desk
        .workers
        .run(ticket, move || {
            let chart = chart_of(&body.chart, &name)?;
            let own = own_colours(&chart)?;
            let palette = drawer.as_ref().map_or(&own, |drawer| &drawer.palette);
            let job = Improve {
                chart: &chart,
                file: Path::new(&name),
                palette,
                picture: Path::new(&picture.name),
            };
            let improved = improve(job, source(&picture), &options, cancel)?;
            let files = Files {
                picture: PathBuf::from(&picture.name),
                chart: Some(PathBuf::from(&name)),
                preview: None,
            };
            let report = ChartReport::new(&files, &improved, AboutBand::default(), palette);
            let text = write(&improved.value.chart);
            let document = document(&report)?;
            as_json(&json!({ "n": n, "text": text, "summary": report, "document": document }))
        })
        .await?;
    Ok(bytes("application/json", answer))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SwapBody {
    chart: String,
    name: Option<String>,
    palette: Which,
}

/// `POST swap`: the chart that `upbead swap` writes, and its report.
pub async fn swapped(State(desk): State<Arc<Desk>>, request: Request) -> Answer {
    let asked: Asked<SwapBody> = desk.room.json(request, CHART).await?;
    let name = checked(&asked.value.name)?;
    let drawer = desk.palettes.get(&asked.value.palette.id)?;
    let answer = desk
        .workers
        .run(Ticket::default(), move || {
            let old = chart_of(&asked.value.chart, &name)?;
            let palette = &drawer.palette;
            let swapped = swap(&old, palette).map_err(|error| error.file(Path::new(&name)))?;
            let report = SwapReport::new(&Swap {
                file: Some(Path::new(&name)),
                old: &old,
                palette,
                swapped: &swapped,
            });
            let text = write(&swapped.chart);
            let document = document(&report)?;
            as_json(&json!({ "text": text, "told": report, "document": document }))
        })
        .await?;
    Ok(bytes("application/json", answer))
}

/// What `upbead fit` is asked.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AboutFit {
    size: Option<Word>,
    columns: Option<u32>,
    bead: Option<Word>,
    swatch: Option<String>,
    fits: Option<String>,
    prefer: Option<PreferWord>,
}

/// `POST fit?lane=L&n=K`: as `upbead fit --json`.
pub async fn fitted(
    State(desk): State<Arc<Desk>>,
    Behind(lane): Behind<Lane>,
    request: Request,
) -> Answer {
    let ticket = lane.enter(&desk.lanes);
    let asked: Asked<AboutFit> = desk.room.json(request, SMALL).await?;
    let ticket = ticket?;
    let told = desk
        .workers
        .run(ticket, move || fit_json(&asked.value))
        .await?;
    Ok(bytes("application/json", told))
}

/// What `upbead fit --json` prints.
///
/// # Errors
/// As there.
pub fn fit_json(about: &AboutFit) -> Result<String> {
    let Some(size) = word(&about.size) else {
        return Err(Error::usage("no ring size was asked for")
            .option("--size")
            .hint("give a ring size, such as us7"));
    };
    let measured = Measured {
        swatch: about.swatch.as_deref(),
        fits: about.fits.as_deref(),
        gauge: None,
        prefer: about.prefer.unwrap_or_default(),
    };
    let columns = about.columns.unwrap_or(9);
    let band = Band {
        bead: word(&about.bead).unwrap_or("11"),
        columns,
        size: Some(size),
        rows: None,
        open: false,
        measured,
    };
    let gauge = measured.resolve(band.bead()?)?;
    // What cannot be woven is refused here as it is there.
    band.shape()?;
    let size = RingSize::parse(size).map_err(|error| error.option("--size"))?;
    told_fit::json(&told_fit::Answer {
        fit: &fit(&size, &gauge.value, measured.prefer.into())?,
        columns,
        notes: &gauge.notes,
        remembered: None,
    })
}
