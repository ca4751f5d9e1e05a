//! A report as a JSON document.

use crate::error::{Error, Result};
use crate::words::escaped;
use serde::Serialize;

/// The document, indented, with its line end.
///
/// # Errors
/// If the report cannot be written as JSON, which would be a bug.
pub fn document(report: &impl Serialize) -> Result<String> {
    let text = serde_json::to_string_pretty(report).map_err(|error| {
        Error::new("internal error: a report cannot be written as JSON").because(error)
    })?;
    Ok(escaped(&text) + "\n")
}

/// A number with four decimals, for reports.
pub fn short(number: f64) -> f64 {
    (number * 1e4).round() / 1e4
}
