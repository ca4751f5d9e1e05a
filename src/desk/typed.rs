//! Values of requests: options by the command line's long names, as figures or as text.

use super::answer::{Refusal, refuse};
use axum::extract::{FromRequestParts, Query};
use axum::http::StatusCode;
use axum::http::request::Parts;
use serde::de::{Deserialize, DeserializeOwned, Deserializer, Error as _};

/// What stands behind the question mark of an address; refused as JSON where it cannot be read.
pub struct Behind<T>(pub T);

impl<T: DeserializeOwned, S: Sync> FromRequestParts<S> for Behind<T> {
    type Rejection = Refusal;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Refusal> {
        let Query(told) = Query::try_from_uri(&parts.uri).map_err(|e| {
            refuse(
                StatusCode::BAD_REQUEST,
                format!("the address cannot be read: {}", e.body_text()),
                "ask as the desk's page does",
            )
        })?;
        Ok(Self(told))
    }
}

/// Text, or a number written as one would type it.
#[derive(Debug, Clone, PartialEq)]
pub struct Word(pub String);

impl<'de> Deserialize<'de> for Word {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        match serde_json::Value::deserialize(deserializer)? {
            serde_json::Value::String(text) => Ok(Self(text)),
            serde_json::Value::Number(number) => Ok(Self(number.to_string())),
            other => Err(D::Error::custom(format!(
                "{other} is neither text nor a number"
            ))),
        }
    }
}

/// What was typed, if anything was.
pub fn word(word: &Option<Word>) -> Option<&str> {
    word.as_ref().map(|word| word.0.as_str())
}

/// `?name=N`: what a file is called.
#[derive(serde::Deserialize)]
pub struct Name {
    name: Option<String>,
}

impl Name {
    /// The name without folders, or `usual` where there is none.
    pub fn checked(self, usual: &str) -> Result<String, Refusal> {
        let name = self.name.filter(|name| !name.is_empty());
        Ok(match name {
            None => usual.to_string(),
            Some(name) => file_name(&name)?.to_string(),
        })
    }
}

/// A name as it is given, if it is a file's name and no path.
pub fn file_name(name: &str) -> Result<&str, Refusal> {
    let plain = !name.is_empty()
        && name.chars().count() <= 200
        && !name
            .chars()
            .any(|letter| letter.is_control() || ['/', '\\'].contains(&letter))
        && ![".", ".."].contains(&name);
    match plain {
        true => Ok(name),
        false => Err(refuse(
            StatusCode::BAD_REQUEST,
            "that is not a file's name",
            "give a name without folders, of at most 200 letters",
        )),
    }
}

/// What a chart is called: as the page says, or as usual.
pub fn checked(name: &Option<String>) -> Result<String, Refusal> {
    Ok(file_name(name.as_deref().unwrap_or(super::work::USUAL_NAME))?.to_string())
}
