//! How far two colours may differ to be called alike.

use crate::error::{Error, Result};

/// Largest difference that may be asked for; beyond it any two colours differ at a glance.
const MOST_BELOW: f64 = 20.0;

/// A CIEDE2000 difference from 0 to 20, `--below`.
///
/// # Errors
/// If it is none.
pub fn below(text: &str) -> Result<f64> {
    let number = text.trim().parse::<f64>().ok();
    number
        .filter(|number| (0.0..=MOST_BELOW).contains(number))
        .map(|number| number + 0.0)
        .ok_or_else(|| {
            Error::usage(format!("'{text}' is not a difference"))
                .option("--below")
                .hint("give a number from 0 to 20, such as 3")
        })
}
