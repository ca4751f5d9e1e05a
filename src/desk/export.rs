//! Files to export: for each kind the bytes that the command line writes.
//!
//! They are made by another process, which is ended when the client disconnects: what draws and
//! what lays out pages cannot be interrupted.

mod documents;
mod facts;
mod follow;
mod kinds;
mod order;
#[cfg(feature = "cli")]
mod process;
mod seen;
mod sizes;

use super::extract::{JsonBody, QueryString};
use super::fields::{PaletteId, chart_name, parse_chart};
use super::latest::Job;
use super::limits::MAX_CHART;
use super::response::{HandlerResult, Refusal, refuse, response};
use super::state::{Desk, NamedPalette, Picture};
use crate::error::{Result, nearest_names};
use crate::picture::{Decoding, Drawer};
use axum::extract::State;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::Response;
use serde::Deserialize;
use serde_json::{Map, Value};
use std::sync::Arc;
use tokio::sync::OwnedSemaphorePermit;

pub use facts::facts;
pub use follow::make_follow;
pub use kinds::KINDS;
use kinds::Kind;
use order::Order;
#[cfg(feature = "cli")]
pub use process::{EXPORT, serve as serve_export};
pub use seen::seen;

/// `?kind=K`.
#[derive(Deserialize)]
pub struct KindName {
    kind: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ExportRequest {
    chart: String,
    name: Option<String>,
    palette: Option<PaletteId>,
    /// The id of a picture, for the cover or to compare with.
    picture: Option<String>,
    #[serde(default)]
    options: Map<String, Value>,
}

/// `POST export?kind=K`.
pub async fn export(
    State(desk): State<Arc<Desk>>,
    QueryString(wanted): QueryString<KindName>,
    request: JsonBody<ExportRequest, MAX_CHART>,
) -> HandlerResult {
    let (request, memory) = request.into_parts();
    let palette = request.palette.map(|id| desk.palettes.get(&id.id));
    let picture = request.picture.map(|id| desk.pictures.get(&id));
    let picture = picture.transpose()?;
    let job = Job::default();
    let needed = picture.as_ref().map_or(0, |picture| picture.memory);
    let task = Task {
        kind: find(wanted.kind.as_deref().unwrap_or_default())?,
        name: chart_name(request.name.as_deref())?,
        chart: request.chart,
        options: request.options,
        palette: palette.transpose()?,
        picture,
        _held: [Some(memory), Some(desk.reserve_pixels(&job, needed).await?)],
    };
    let made = task.made(&desk, job).await?;
    let mut response = response(&made.media_type, made.bytes);
    attach(&mut response, &made.file);
    Ok(response)
}

/// What is to be made.
struct Task {
    kind: &'static Kind,
    name: String,
    chart: String,
    options: Map<String, Value>,
    palette: Option<Arc<NamedPalette>>,
    picture: Option<Arc<Picture>>,
    /// Memory of the request's body and for the picture's pixels.
    _held: [Option<OwnedSemaphorePermit>; 2],
}

/// A file that was made.
struct Made {
    file: String,
    media_type: String,
    bytes: Vec<u8>,
}

impl Task {
    async fn made(self, desk: &Desk, job: Job) -> std::result::Result<Made, Refusal> {
        match desk.drawer {
            Drawer::InProcess => self.made_by_worker(desk, job).await,
            #[cfg(feature = "cli")]
            Drawer::ChildProcess => desk.workers.wait_for(job, process::make(&self)).await,
        }
    }

    async fn made_by_worker(self, desk: &Desk, job: Job) -> std::result::Result<Made, Refusal> {
        let decoding = desk.decoding(&job);
        desk.workers.run(job, move || self.make(&decoding)).await
    }

    fn make(&self, decoding: &Decoding) -> Result<Made> {
        make(
            self.kind,
            &Order {
                chart: &parse_chart(&self.chart, &self.name)?,
                name: &self.name,
                palette: self.palette.as_deref(),
                picture: self.picture.as_deref(),
                decoding,
                options: &self.options,
            },
        )
    }
}

fn make(kind: &Kind, order: &Order) -> Result<Made> {
    let (ending, media_type) = kind.form(order.option("as"));
    Ok(Made {
        file: format!("{}{ending}", order.stem()),
        media_type: media_type.to_string(),
        bytes: (kind.make)(order)?,
    })
}

fn find(word: &str) -> std::result::Result<&'static Kind, Refusal> {
    if let Some(kind) = KINDS.iter().find(|kind| kind.word == word) {
        return Ok(kind);
    }
    let words: Vec<&str> = KINDS.iter().map(|kind| kind.word).collect();
    let hint = match nearest_names(word, words.iter().copied()).first() {
        Some(near) => format!("did you mean {near}?"),
        None => format!("the kinds are {}", words.join(", ")),
    };
    Err(refuse(
        StatusCode::BAD_REQUEST,
        format!("'{word}' is not a kind of file that the desk exports"),
        hint,
    ))
}

/// Names the file: in ASCII for every client (RFC 6266), and whole in UTF-8 (RFC 8187).
fn attach(response: &mut Response, file: &str) {
    let safe = |letter: char| letter.is_ascii_alphanumeric() || ['-', '_', '.'].contains(&letter);
    let plain: String = file
        .chars()
        .map(|letter| if safe(letter) { letter } else { '_' })
        .collect();
    let whole: String = file
        .bytes()
        .map(|byte| {
            let letter = char::from(byte);
            if safe(letter) {
                letter.to_string()
            } else {
                format!("%{byte:02X}")
            }
        })
        .collect();
    let value = format!("attachment; filename=\"{plain}\"; filename*=UTF-8''{whole}");
    if let Ok(value) = HeaderValue::from_str(&value) {
        response
            .headers_mut()
            .insert(header::CONTENT_DISPOSITION, value);
    }
}
