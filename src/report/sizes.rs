//! Several sizes at once.

use crate::error::{Error, Result};

/// The step between the sizes of a range, from `--step`: 1 where nothing was typed, or 0.5.
///
/// # Errors
/// If it is another.
pub fn step(text: Option<&str>) -> Result<f64> {
    let number = text.map_or(Ok(1.0), |text| text.trim().parse());
    number
        .ok()
        .filter(|step: &f64| [0.5, 1.0].contains(step))
        .ok_or_else(|| {
            Error::usage(format!(
                "'{}' is not a step between sizes",
                text.unwrap_or_default()
            ))
            .option("--step")
            .hint("give 1 for whole sizes or 0.5 for halves")
        })
}
