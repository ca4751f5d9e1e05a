//! Answers: bytes, JSON, or a refusal in the same words as on the command line.

use crate::error::{Error, Place};
use axum::body::Body;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use serde_json::{Value, json};

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

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let (status, value) = match self {
            Self::Error(error) => (status(&error), json!({ "error": error_json(&error) })),
            Self::Server { status, what, hint } => {
                (status, json!({ "error": { "what": what, "hint": hint } }))
            }
            Self::Stale => (
                StatusCode::CONFLICT,
                json!({ "error": { "what": "a newer change replaced this" }, "stale": true }),
            ),
            Self::Gone(item) => {
                let what = format!("this {item} is no longer kept");
                let error = json!({ "what": what, "hint": "send it again" });
                (StatusCode::GONE, json!({ "error": error, "gone": true }))
            }
        };
        let mut response = json_response(value.to_string());
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

/// An error as JSON: `what`; `where`, `line`, `column`, `option` and `hint` where it has
/// them, the hint also in parts that name options.
pub fn error_json(error: &Error) -> Value {
    let place = error.place();
    let mut value = json!({ "what": error.what() });
    let mut put = |name: &str, found: Option<Value>| {
        if let Some(found) = found {
            value[name] = found;
        }
    };
    put("where", place_text(place).map(Value::from));
    put("line", place.line.map(Value::from));
    put("column", place.column.map(Value::from));
    put("option", place.option.as_deref().map(Value::from));
    put("hint", error.remedy().map(|hint| hint.to_string().into()));
    put("hint_parts", error.remedy().map(|hint| json!(hint)));
    value
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
