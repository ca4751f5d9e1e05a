//! Files to take away: for each kind the very bytes that the command line writes.

mod documents;
mod kinds;
mod sizes;

use super::Desk;
use super::answer::{Answer, refuse};
use super::body::Asked;
use super::chart::Which;
use super::limits::CHART;
use super::palettes::Drawer;
use super::pictures::Picture;
use super::typed::{Behind, file_name};
use super::work::{USUAL_NAME, chart_of};
use crate::chart::Chart;
use crate::error::{Error, Result, nearest_names};
use axum::extract::{Request, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::Response;
pub use documents::palette_json;
pub use kinds::{KINDS, Kind};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value};
use std::path::Path;
use std::sync::Arc;

/// `?kind=K`.
#[derive(Deserialize)]
pub struct Wanted {
    kind: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct About {
    chart: String,
    name: Option<String>,
    palette: Option<Which>,
    /// A picture that was sent, for the cover or to measure beside.
    picture: Option<String>,
    #[serde(default)]
    options: Map<String, Value>,
}

/// What a kind is made of.
pub struct Order<'a> {
    /// The chart.
    pub chart: &'a Chart,
    /// What its file is called.
    pub name: &'a str,
    /// The palette, where one was named.
    pub drawer: Option<&'a Drawer>,
    /// The picture for the cover or to measure beside, where one was named.
    pub picture: Option<&'a Picture>,
    /// The command line's options by their long names.
    options: &'a Map<String, Value>,
}

impl Order<'_> {
    /// The options as a kind knows them.
    ///
    /// # Errors
    /// If one is not known, or its value is not what it takes.
    pub fn options<T: DeserializeOwned>(&self) -> Result<T> {
        serde_json::from_value(Value::Object(self.options.clone())).map_err(|e| {
            Error::usage(format!("the options cannot be read: {e}"))
                .hint("give the command line's options by their long names")
        })
    }

    /// The options by name, for a request of several groups.
    pub fn named(&self) -> Map<String, Value> {
        self.options.clone()
    }

    /// A word among the options.
    fn option(&self, name: &str) -> Option<&str> {
        self.options.get(name)?.as_str()
    }

    /// The chart's name without its ending.
    pub fn stem(&self) -> &str {
        let stem = Path::new(self.name).file_stem();
        stem.and_then(|stem| stem.to_str()).unwrap_or("band")
    }
}

/// `POST export?kind=K`.
pub async fn export(
    State(desk): State<Arc<Desk>>,
    Behind(wanted): Behind<Wanted>,
    request: Request,
) -> Answer {
    let asked: Asked<About> = desk.room.json(request, CHART).await?;
    let kind = known(wanted.kind.as_deref().unwrap_or_default())?;
    let name = file_name(asked.value.name.as_deref().unwrap_or(USUAL_NAME))?.to_string();
    let drawer = match &asked.value.palette {
        None => None,
        Some(which) => Some(desk.palettes.get(&which.id)?),
    };
    let picture = match &asked.value.picture {
        None => None,
        Some(id) => Some(desk.pictures.get(id)?),
    };
    let (file, mime, body) = desk
        .workers
        .run(Default::default(), move || {
            let About { chart, options, .. } = &asked.value;
            let order = Order {
                chart: &chart_of(chart, &name)?,
                name: &name,
                drawer: drawer.as_deref(),
                picture: picture.as_deref(),
                options,
            };
            let (ending, mime) = kind.form(order.option("as"));
            let file = format!("{}{ending}", order.stem());
            Ok((file, mime, (kind.made)(&order)?))
        })
        .await?;
    let mut response = super::answer::bytes(mime, body);
    attach(&mut response, &file);
    Ok(response)
}

fn known(word: &str) -> std::result::Result<&'static Kind, super::answer::Refusal> {
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
        format!("'{word}' is no kind of file that is made here"),
        hint,
    ))
}

/// RFC 6266: a plain name for everybody, and the whole one in UTF-8 (RFC 8187).
fn attach(response: &mut Response, file: &str) {
    let safe = |letter: char| letter.is_ascii_alphanumeric() || ['-', '_', '.'].contains(&letter);
    let plain: String = file
        .chars()
        .map(|letter| if safe(letter) { letter } else { '_' })
        .collect();
    let whole: String = file
        .bytes()
        .map(|byte| match safe(char::from(byte)) {
            true => char::from(byte).to_string(),
            false => format!("%{byte:02X}"),
        })
        .collect();
    let value = format!("attachment; filename=\"{plain}\"; filename*=UTF-8''{whole}");
    if let Ok(value) = HeaderValue::from_str(&value) {
        response
            .headers_mut()
            .insert(header::CONTENT_DISPOSITION, value);
    }
}
