//! What the desk answers: bytes, JSON, or a refusal in the same words as on the command line.

use crate::error::{Error, Place};
use crate::words::flag;
use axum::body::Body;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use serde_json::{Value, json};

/// What a handler returns.
pub type Answer = std::result::Result<Response, Refusal>;

/// Why there is no other answer.
#[derive(Debug)]
pub enum Refusal {
    /// The library said so.
    Error(Box<Error>),
    /// The server said so: a status, what is wrong, what to do.
    Server(StatusCode, String, String),
    /// A newer request of the same lane came in between.
    Stale,
    /// A picture or a palette is not kept any more.
    Gone(&'static str),
}

impl From<Error> for Refusal {
    fn from(error: Error) -> Self {
        Self::Error(Box::new(error))
    }
}

/// A refusal of the server's own.
pub fn refuse(status: StatusCode, what: impl Into<String>, hint: impl Into<String>) -> Refusal {
    Refusal::Server(status, what.into(), hint.into())
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let (status, value) = match self {
            Self::Error(error) => (status(&error), json!({ "error": told(&error) })),
            Self::Server(status, what, hint) => {
                (status, json!({ "error": { "what": what, "hint": hint } }))
            }
            Self::Stale => (
                StatusCode::CONFLICT,
                json!({ "error": { "what": "a newer change replaced this" }, "stale": true }),
            ),
            Self::Gone(what) => (
                StatusCode::GONE,
                json!({ "error": { "what": format!("this {what} is not kept any more"), "hint": "send it again" }, "gone": true }),
            ),
        };
        let mut response = bytes("application/json", value.to_string());
        *response.status_mut() = status;
        response
    }
}

/// The material could not be used, or the request could not be understood.
fn status(error: &Error) -> StatusCode {
    match error.status() {
        2 => StatusCode::BAD_REQUEST,
        _ => StatusCode::UNPROCESSABLE_ENTITY,
    }
}

/// An error as JSON: `what`; `where`, `line`, `column`, `option` and `hint` where there are any.
pub fn told(error: &Error) -> Value {
    let place = error.place();
    let mut value = json!({ "what": error.what() });
    let mut put = |name: &str, found: Option<Value>| {
        if let Some(found) = found {
            value[name] = found;
        }
    };
    put("where", shown(place).map(Value::from));
    put("line", place.line.map(Value::from));
    put("column", place.column.map(Value::from));
    put(
        "option",
        place.option.as_deref().map(|name| flag(name).into()),
    );
    put("hint", error.remedy().map(|hint| hint.to_string().into()));
    value
}

/// As the command line says it; a line without a file is a line of what was sent.
fn shown(place: &Place) -> Option<String> {
    let text = place.to_string();
    let text = text.trim_end_matches(": ");
    match (text.is_empty(), place.line, place.column) {
        (false, ..) => Some(text.to_string()),
        (true, Some(line), Some(column)) => Some(format!("line {line}, column {column}")),
        _ => None,
    }
}

/// Bytes of a kind.
pub fn bytes(kind: &str, body: impl Into<Body>) -> Response {
    let mut response = Response::new(body.into());
    if let Ok(kind) = HeaderValue::from_str(kind) {
        response.headers_mut().insert(header::CONTENT_TYPE, kind);
    }
    response
}

/// A value as JSON.
pub fn as_json(value: &impl Serialize) -> crate::error::Result<Vec<u8>> {
    serde_json::to_vec(value)
        .map_err(|e| Error::new("the answer cannot be written as JSON").because(e))
}
