//! A finished chart again: refined round the beads that stay, moved onto another palette; and the rows beside its own that close.

use super::Desk;
use super::answer::{Answer, as_json, bytes};
use super::body::Asked;
use super::chart::Which;
use super::latest::{Lane, Ticket};
use super::limits::{CHART, SMALL};
use super::near::{of_picture, source};
use super::typed::{Behind, Word, checked, word};
use super::work::chart_of;
use crate::chart::write::write;
use crate::error::{Error, Result};
use crate::output::fit as told_fit;
use crate::output::made::{self, Told};
use crate::output::swap::{self as told_swap, Answer as Swap};
use crate::palette::Bounds;
use crate::pipeline::{Again, remake};
use crate::quantize::swap::swap;
use crate::report::{Band, Finer, Measured, PreferWord, own_colours};
use crate::ring::{RingSize, fit};
use crate::warning::Warning;
use axum::extract::{Request, State};
use serde::Deserialize;
use serde_json::json;
use std::path::{Path, PathBuf};
use std::sync::Arc;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AboutFiner {
    chart: String,
    name: Option<String>,
    picture: String,
    palette: Option<Which>,
    seen: Option<Word>,
    calm: Option<f64>,
    pin: Option<String>,
}

/// `POST refine?lane=L&n=K`: the chart that `upbead refine` writes, and what it says.
pub async fn finer(
    State(desk): State<Arc<Desk>>,
    Behind(lane): Behind<Lane>,
    request: Request,
) -> Answer {
    let ticket = lane.enter(&desk.lanes);
    let asked: Asked<AboutFiner> = desk.room.json(request, CHART).await?;
    let ticket = ticket?;
    let name = checked(&asked.value.name)?;
    let picture = desk.pictures.get(&asked.value.picture)?;
    let drawer = match &asked.value.palette {
        None => None,
        Some(which) => Some(desk.palettes.get(&which.id)?),
    };
    let (n, cancel) = (ticket.n(), ticket.cancel());
    let told = desk
        .workers
        .run(ticket, move || {
            let about = &asked.value;
            let chart = chart_of(&about.chart, &name)?;
            let own = own_colours(&chart)?;
            let palette = drawer.as_ref().map_or(&own, |drawer| &drawer.palette);
            let finer = Finer {
                seen: word(&about.seen),
                calm: about.calm,
                pin: about.pin.as_deref(),
            };
            let mut finer =
                finer
                    .options(&chart, palette)
                    .map_err(|error| match error.place().option {
                        None => error.file(Path::new(&name)),
                        Some(_) => error,
                    })?;
            finer.options.choice.cancel = cancel;
            let again = Again {
                pinned: finer.pinned,
                chart: &chart,
            };
            let made = remake(source(&picture), palette, &finer.options, &again)
                .map_err(|error| of_picture(error, &picture))?;
            let text = write(&made.value.chart);
            let notes: Vec<String> = made.notes.iter().map(Warning::to_string).collect();
            let told = Told {
                picture: PathBuf::from(&picture.name),
                chart: Some(PathBuf::from(&name)),
                preview: None,
                outcome: made.value,
                ring: None,
                band_notes: Vec::new(),
                notes: made.notes,
            };
            let summary = made::json(&told, palette);
            let document = made::document(&summary);
            as_json(
                &json!({ "n": n, "text": text, "notes": notes, "summary": summary, "document": document }),
            )
        })
        .await?;
    Ok(bytes("application/json", told))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AboutSwap {
    chart: String,
    name: Option<String>,
    palette: Which,
}

/// `POST swap`: the chart that `upbead swap` writes, and what `--json` says of it.
pub async fn swapped(State(desk): State<Arc<Desk>>, request: Request) -> Answer {
    let asked: Asked<AboutSwap> = desk.room.json(request, CHART).await?;
    let name = checked(&asked.value.name)?;
    let drawer = desk.palettes.get(&asked.value.palette.id)?;
    let told = desk
        .workers
        .run(Ticket::default(), move || {
            let old = chart_of(&asked.value.chart, &name)?;
            let palette = &drawer.palette;
            let swapped = swap(&old, palette).map_err(|error| error.file(Path::new(&name)))?;
            let told = told_swap::json(&Swap {
                file: Some(Path::new(&name)),
                old: &old,
                palette,
                swapped: &swapped,
                bounds: &Bounds::of(palette, old.lattice.bead(), 1, 0.0),
            });
            let document = made::document(&told);
            as_json(&json!({ "text": write(&swapped.chart), "told": told, "document": document }))
        })
        .await?;
    Ok(bytes("application/json", told))
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
