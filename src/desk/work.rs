//! What is told of a chart that the page holds: read, facts, and the work.

use super::Desk;
use super::answer::{Answer, as_json, bytes, told};
use super::body::{Asked, Taken};
use super::chart::Which;
use super::latest::{Lane, Ticket};
use super::limits::CHART;
use super::palettes::Drawer;
use super::typed::{Behind, Name, Word, file_name, word};
use crate::chart::{Chart, read, write};
use crate::error::{Error, Result};
use crate::files;
use crate::output;
use crate::output::check::Checked;
use crate::report::{Far, FromWord, Gathered, HandWord, Measured, PreferWord, check_thread, frame};
use crate::ring::Closed;
use crate::warning::Warning;
use crate::weave::check::check;
use crate::weave::kit::{kit, owned};
use crate::weave::{Lengths, TAIL, Thread, Weave, lengths, weave};
use axum::extract::{Request, State};
use serde::Deserialize;
use serde_json::value::RawValue;
use serde_json::{Value, json};
use std::path::Path;
use std::sync::Arc;

/// What a chart is called where the page gives it no name.
pub const USUAL_NAME: &str = "band.json";

/// `POST read?name=N`: the text of a chart file.
pub async fn read_chart(
    State(desk): State<Arc<Desk>>,
    Behind(name): Behind<Name>,
    request: Request,
) -> Answer {
    let Taken { bytes: body, room } = desk.room.take(request, CHART).await?;
    let name = name.checked(USUAL_NAME)?;
    let text = desk
        .workers
        .run(Ticket::default(), move || {
            let _room = room;
            let chart = files::as_text(body)
                .and_then(|text| read::read(&text))
                .map_err(|error| error.file(Path::new(&name)))?;
            as_json(&json!({ "text": write::write(&chart), "notes": [] }))
        })
        .await?;
    Ok(bytes("application/json", text))
}

/// A chart's text, as a file of that name.
pub fn chart_of(text: &str, name: &str) -> Result<Chart> {
    read::read(text).map_err(|error| error.file(Path::new(name)))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AboutFacts {
    chart: String,
    name: Option<String>,
    palette: Option<Which>,
    make: Option<Word>,
    spare: Option<Word>,
    thread: Option<Word>,
    tail: Option<Word>,
    length: Option<Word>,
    swatch: Option<String>,
    fits: Option<String>,
    prefer: Option<PreferWord>,
}

/// `POST facts?lane=L&n=K`.
pub async fn facts(
    State(desk): State<Arc<Desk>>,
    Behind(lane): Behind<Lane>,
    request: Request,
) -> Answer {
    let ticket = lane.enter(&desk.lanes);
    let asked: Asked<AboutFacts> = desk.room.json(request, CHART).await?;
    let ticket = ticket?;
    let drawer = match &asked.value.palette {
        None => None,
        Some(which) => Some(desk.palettes.get(&which.id)?),
    };
    let still = ticket.clone();
    let text = desk
        .workers
        .run(ticket, move || asked.value.told(drawer.as_deref(), &still))
        .await?;
    Ok(bytes("application/json", text))
}

impl AboutFacts {
    fn gathered(&self) -> Gathered<'_> {
        Gathered {
            make: word(&self.make),
            spare: word(&self.spare),
            thread: word(&self.thread),
            tail: word(&self.tail),
            length: word(&self.length),
        }
    }

    fn told(&self, drawer: Option<&Drawer>, still: &Ticket) -> Result<Vec<u8>> {
        let name = self.name.as_deref().unwrap_or(USUAL_NAME);
        let chart = chart_of(&self.chart, name)?;
        let findings = self.findings(&chart, name, drawer)?;
        // The answer would be thrown away.
        if !still.is_newest() {
            return Ok(Vec::new());
        }
        let lacking = match drawer {
            None => None,
            Some(drawer) => self.lacking(&chart, drawer),
        };
        let with = drawer.filter(|_| lacking.is_none());
        let mut document = json!({
            "n": still.n(),
            "findings": findings,
            "lacking": lacking.as_ref().map(told),
        });
        self.measure(&chart, &mut document)?;
        let kit = self.kit(&chart, with)?;
        joined(document, "kit", kit)
    }

    /// As `upbead check --json` lists them.
    fn findings(&self, chart: &Chart, name: &str, drawer: Option<&Drawer>) -> Result<Value> {
        let palette = drawer.map(|drawer| &drawer.palette);
        let mut options = self.gathered().check()?;
        options.palette = palette;
        check_thread(chart, options.thread)?;
        let findings = check(chart, &options)?;
        let checked = Checked {
            file: Path::new(name),
            chart,
            palette,
            findings: &findings,
        };
        let mut document: Value = serde_json::from_str(&output::check::json(&checked))
            .map_err(|e| Error::new("the findings cannot be told").because(e))?;
        Ok(document["findings"].take())
    }

    /// What `upbead kit` would say of colours that the palette does not have.
    fn lacking(&self, chart: &Chart, drawer: &Drawer) -> Option<Error> {
        let lacking = owned(chart, &drawer.palette).err()?;
        Some(output::kit::missing(chart, &drawer.palette, &lacking).file(Path::new(&drawer.file)))
    }

    /// As `upbead kit --json`.
    fn kit(&self, chart: &Chart, drawer: Option<&Drawer>) -> Result<String> {
        let palette = drawer.map(|drawer| &drawer.palette);
        let found = palette.and_then(|palette| owned(chart, palette).ok());
        let answer = output::kit::Answer {
            chart,
            palette,
            kit: &kit(chart, found.as_ref(), self.gathered().kit()?)?,
        };
        output::kit::json(&answer)
    }

    /// Width, length and the ring.
    fn measure(&self, chart: &Chart, document: &mut Value) -> Result<()> {
        let lattice = &chart.lattice;
        let measured = Measured {
            swatch: self.swatch.as_deref(),
            fits: self.fits.as_deref(),
            gauge: None,
            prefer: self.prefer.unwrap_or_default(),
        };
        let gauge = measured.resolve(lattice.bead())?;
        let ring = lattice.is_closed().then(|| {
            crate::lattice::Rows::closed(lattice.rows()).map(|rows| gauge.value.closed(rows))
        });
        let notes: Vec<String> = gauge.notes.iter().map(Warning::to_string).collect();
        document["width_mm"] = json!(gauge.value.width(lattice.columns()).rounded());
        document["length_mm"] = json!(lattice.picture_height().rounded());
        document["ring"] = json!(ring.transpose()?.as_ref().map(ring_of));
        document["notes"] = json!(notes);
        Ok(())
    }
}

fn ring_of(closed: &Closed) -> Value {
    let size = &closed.size;
    json!({
        "rows": closed.rows.count(),
        "diameter_mm": size.diameter().rounded(),
        "circumference_mm": size.circumference().rounded(),
        "us": size.us(),
        "iso": size.iso(),
        "uk": size.uk(),
        "jp": size.jp(),
    })
}

/// An object and one more field that is JSON already.
fn joined(document: Value, name: &str, text: String) -> Result<Vec<u8>> {
    #[derive(serde::Serialize)]
    struct Joined<'a> {
        #[serde(flatten)]
        document: Value,
        #[serde(flatten)]
        more: std::collections::BTreeMap<&'a str, Box<RawValue>>,
    }
    let raw =
        RawValue::from_string(text).map_err(|e| Error::new("the kit cannot be told").because(e))?;
    as_json(&Joined {
        document,
        more: [(name, raw)].into(),
    })
}

/// The work on a chart.
pub fn woven(chart: &Chart, hand: Option<HandWord>, from: FromWord) -> Result<(Weave, Lengths)> {
    let lattice = &chart.lattice;
    let weave = weave(lattice, frame(lattice, hand, from)?);
    let lengths = lengths(lattice, &weave, Thread::default(), TAIL);
    Ok((weave, lengths))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AboutWork {
    chart: String,
    name: Option<String>,
    hand: Option<HandWord>,
    from: Option<FromWord>,
}

/// `POST weave`: as `upbead weave --json`.
pub async fn weave_chart(
    State(desk): State<Arc<Desk>>,
    Behind(lane): Behind<Lane>,
    request: Request,
) -> Answer {
    let ticket = lane.enter(&desk.lanes);
    let asked: Asked<AboutWork> = desk.room.json(request, CHART).await?;
    let ticket = ticket?;
    if let Some(name) = &asked.value.name {
        file_name(name)?;
    }
    let text = desk
        .workers
        .run(ticket, move || {
            let about = &asked.value;
            let chart = chart_of(&about.chart, about.name.as_deref().unwrap_or(USUAL_NAME))?;
            let (weave, lengths) = woven(&chart, about.hand, about.from.unwrap_or_default())?;
            Ok(output::weave::json(&output::weave::Work {
                chart: &chart,
                weave: &weave,
                lengths: &lengths,
                file: about.name.as_deref(),
                rows: None,
                keys: None,
            }))
        })
        .await?;
    Ok(bytes("application/json", text))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AboutSight {
    chart: String,
    name: Option<String>,
    mm: Word,
    scale: Option<Word>,
    ground: Option<String>,
    density: Option<f64>,
    #[serde(default)]
    bare: bool,
}

/// `POST seen?lane=L&n=K`: as `upbead show --seen MM`, a PNG; `bare`, the band alone, without words.
pub async fn seen(
    State(desk): State<Arc<Desk>>,
    Behind(lane): Behind<Lane>,
    request: Request,
) -> Answer {
    let ticket = lane.enter(&desk.lanes);
    let asked: Asked<AboutSight> = desk.room.json(request, CHART).await?;
    let ticket = ticket?;
    let cancel = ticket.cancel();
    let png = desk
        .workers
        .run(ticket, move || {
            let about = &asked.value;
            let (scale, ground) = (word(&about.scale), about.ground.as_deref());
            let far =
                Far::new(Some(&about.mm.0), scale, ground, about.density)?.cancelled_by(cancel);
            let far = match about.bare {
                true => far.bare(),
                false => far,
            };
            let chart = chart_of(&about.chart, about.name.as_deref().unwrap_or(USUAL_NAME))?;
            far.drawn(&chart).map(|picture| picture.bytes)
        })
        .await?;
    Ok(bytes("image/png", png))
}
