//! Files to export: for each kind the bytes that the command line writes.

mod documents;
mod kinds;
mod order;
mod sizes;

use super::extract::{JsonBody, QueryString};
use super::fields::{PaletteId, chart_name, parse_chart};
use super::latest::Job;
use super::limits::MAX_CHART;
use super::response::{HandlerResult, Refusal, refuse, response};
use super::state::Desk;
use crate::error::nearest_names;
use axum::extract::State;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::Response;
use serde::Deserialize;
use serde_json::{Map, Value};
use std::sync::Arc;

pub use kinds::KINDS;
use kinds::Kind;
use order::Order;

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
    let kind = find(wanted.kind.as_deref().unwrap_or_default())?;
    let name = chart_name(request.name.as_deref())?;
    let palette = request.palette.as_ref().map(|id| desk.palettes.get(&id.id));
    let palette = palette.transpose()?;
    let picture = request.picture.as_ref().map(|id| desk.pictures.get(id));
    let picture = picture.transpose()?;
    let job = Job::default();
    let needed = picture.as_ref().map_or(0, |picture| picture.memory);
    let reserved = desk.reserve_pixels(&job, needed).await?;
    let decoding = desk.decoding(&job);
    let work = move || {
        let _reserved = reserved;
        let order = Order {
            chart: &parse_chart(&request.chart, &name)?,
            name: &name,
            palette: palette.as_deref(),
            picture: picture.as_deref(),
            decoding: &decoding,
            options: &request.options,
        };
        let (ending, media_type) = kind.form(order.option("as"));
        let file = format!("{}{ending}", order.stem());
        Ok((file, media_type, (kind.make)(&order)?))
    };
    let made = desk.workers.run(job, work).await?;
    let (file, media_type, bytes) = made;
    let mut response = response(media_type, bytes);
    attach(&mut response, &file);
    Ok(response)
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
