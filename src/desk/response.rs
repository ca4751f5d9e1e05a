//! Answers: bytes, JSON, or a refusal in the same words as on the command line.

use crate::error::{Error, Place};
use crate::request::is_off;
use crate::words::Sentence;
use axum::body::Body;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use schemars::JsonSchema;
use serde::Serialize;

/// What a handler returns.
pub type HandlerResult = std::result::Result<Response, Refusal>;

/// Why a request is not answered otherwise.
#[derive(Debug)]
pub enum Refusal {
    /// The library returned an error.
    Error(Box<Error>),
    /// The server itself refuses.
    Server {
        /// Status of the answer.
        status: StatusCode,
        /// What is wrong.
        what: String,
        /// What to do about it.
        hint: String,
    },
    /// A newer request of the same lane replaced this one.
    Stale,
    /// A picture, a palette or a page is no longer kept; the word for it.
    Gone(&'static str),
    /// The answer as another process has written it.
    #[cfg(feature = "cli")]
    Written {
        /// Status of the answer.
        status: StatusCode,
        /// The JSON of a [`RefusalAnswer`].
        json: Vec<u8>,
    },
}

impl From<Error> for Refusal {
    fn from(error: Error) -> Self {
        Self::Error(Box::new(error))
    }
}

/// A refusal by the server itself.
pub fn refuse(status: StatusCode, what: impl Into<String>, hint: impl Into<String>) -> Refusal {
    Refusal::Server {
        status,
        what: what.into(),
        hint: hint.into(),
    }
}

/// Why a request did not succeed.
#[derive(Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct RefusalAnswer {
    /// What is wrong.
    error: ErrorAnswer,
    /// Whether a newer request replaced this one.
    #[serde(skip_serializing_if = "is_off")]
    stale: bool,
    /// Whether a picture, a palette or a page is no longer kept.
    #[serde(skip_serializing_if = "is_off")]
    gone: bool,
}

/// What is wrong, where, and what to do about it.
#[derive(Serialize, JsonSchema, Default)]
#[schemars(deny_unknown_fields)]
pub struct ErrorAnswer {
    /// What is wrong.
    what: String,
    /// The file and the place in it.
    #[serde(rename = "where", skip_serializing_if = "Option::is_none")]
    place: Option<String>,
    /// The line.
    #[serde(skip_serializing_if = "Option::is_none")]
    line: Option<usize>,
    /// The column.
    #[serde(skip_serializing_if = "Option::is_none")]
    column: Option<usize>,
    /// The option.
    #[serde(skip_serializing_if = "Option::is_none")]
    option: Option<String>,
    /// What to do about it.
    #[serde(skip_serializing_if = "Option::is_none")]
    hint: Option<String>,
    /// The same in parts that name options.
    #[serde(skip_serializing_if = "Option::is_none")]
    hint_parts: Option<Sentence>,
}

impl ErrorAnswer {
    fn new(what: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            ..Self::default()
        }
    }

    fn hint(self, hint: impl Into<String>) -> Self {
        Self {
            hint: Some(hint.into()),
            ..self
        }
    }
}

impl From<&Error> for ErrorAnswer {
    fn from(error: &Error) -> Self {
        let place = error.place();
        Self {
            what: error.statement(),
            place: place_text(place),
            line: place.line,
            column: place.column,
            option: place.option.clone(),
            hint: error.remedy().map(ToString::to_string),
            hint_parts: error.remedy().cloned(),
        }
    }
}

impl From<ErrorAnswer> for RefusalAnswer {
    fn from(error: ErrorAnswer) -> Self {
        Self {
            error,
            stale: false,
            gone: false,
        }
    }
}

impl Refusal {
    /// Status and JSON of the answer.
    pub fn answer(self) -> (StatusCode, Vec<u8>) {
        let json = |answer: RefusalAnswer| to_json(&answer).unwrap_or_default();
        match self {
            Self::Error(error) => (
                status(&error),
                json(ErrorAnswer::from(error.as_ref()).into()),
            ),
            Self::Server { status, what, hint } => {
                (status, json(ErrorAnswer::new(what).hint(hint).into()))
            }
            Self::Stale => (
                StatusCode::CONFLICT,
                json(RefusalAnswer {
                    stale: true,
                    ..ErrorAnswer::new("a newer change replaced this").into()
                }),
            ),
            Self::Gone(item) => (
                StatusCode::GONE,
                json(RefusalAnswer {
                    gone: true,
                    ..ErrorAnswer::new(format!("this {item} is no longer kept"))
                        .hint("send it again")
                        .into()
                }),
            ),
            #[cfg(feature = "cli")]
            Self::Written { status, json } => (status, json),
        }
    }
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let (status, json) = self.answer();
        let mut response = json_response(json);
        *response.status_mut() = status;
        response
    }
}

/// 400 for a request that means nothing, 422 for files that cannot be used.
fn status(error: &Error) -> StatusCode {
    match error.status() {
        2 => StatusCode::BAD_REQUEST,
        _ => StatusCode::UNPROCESSABLE_ENTITY,
    }
}

/// As the command line writes it; a line without a file is a line of the request.
fn place_text(place: &Place) -> Option<String> {
    // The option stands by itself.
    let file = Place {
        option: None,
        ..place.clone()
    };
    let text = file.to_string();
    let text = text.trim_end_matches(": ");
    if !text.is_empty() {
        return Some(text.to_string());
    }
    let (line, column) = (place.line?, place.column?);
    Some(format!("line {line}, column {column}"))
}

/// Bytes of a media type.
pub fn response(media_type: &str, body: impl Into<Body>) -> Response {
    let mut response = Response::new(body.into());
    if let Ok(value) = HeaderValue::from_str(media_type) {
        response.headers_mut().insert(header::CONTENT_TYPE, value);
    }
    response
}

/// Bytes that are JSON.
pub fn json_response(body: impl Into<Body>) -> Response {
    response("application/json", body)
}

/// A value as JSON.
///
/// # Errors
/// If it has no form in JSON.
pub fn to_json(value: &impl Serialize) -> crate::error::Result<Vec<u8>> {
    serde_json::to_vec(value)
        .map_err(|e| Error::new("the answer cannot be written as JSON").because(e))
}
