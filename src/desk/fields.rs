//! Fields that several requests have.

use super::response::{Refusal, refuse};
use crate::chart::{Chart, read};
use crate::error::Result;
use axum::http::StatusCode;
use std::path::Path;

/// The name of a chart's file, where the page gives none.
pub const CHART_NAME: &str = "band.json";

/// A palette by the id that the desk gave it.
#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PaletteId {
    /// The id.
    pub id: String,
}

/// `?name=N`: the name of a file.
#[derive(serde::Deserialize)]
pub struct FileName {
    name: Option<String>,
}

impl FileName {
    /// The name, or `default` where there is none.
    ///
    /// # Errors
    /// As [`file_name`].
    pub fn or(self, default: &str) -> std::result::Result<String, Refusal> {
        let name = self.name.filter(|name| !name.is_empty());
        file_name(name.as_deref().unwrap_or(default))
    }

    /// The name of a chart's file.
    ///
    /// # Errors
    /// As [`file_name`].
    pub fn of_chart(self) -> std::result::Result<String, Refusal> {
        self.or(CHART_NAME)
    }
}

/// Checks that a name is a file's name and not a path.
///
/// # Errors
/// 400 if it is not, or has more than 200 characters.
pub fn file_name(name: &str) -> std::result::Result<String, Refusal> {
    let forbidden = |letter: char| letter.is_control() || ['/', '\\'].contains(&letter);
    let valid = !name.is_empty()
        && name.chars().count() <= 200
        && !name.chars().any(forbidden)
        && ![".", ".."].contains(&name);
    if valid {
        Ok(name.to_string())
    } else {
        Err(refuse(
            StatusCode::BAD_REQUEST,
            "that is not a file name",
            "give a name without folders, of at most 200 characters",
        ))
    }
}

/// The name of a chart's file, as the page gives it or the usual one.
///
/// # Errors
/// As [`file_name`].
pub fn chart_name(name: Option<&str>) -> std::result::Result<String, Refusal> {
    file_name(name.unwrap_or(CHART_NAME))
}

/// Reads the text of a chart's file of that name.
///
/// # Errors
/// If it is no chart; the place is in that file.
pub fn parse_chart(text: &str, name: &str) -> Result<Chart> {
    read::read(text).map_err(|error| error.file(Path::new(name)))
}
