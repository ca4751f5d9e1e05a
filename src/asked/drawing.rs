//! How a flat chart is drawn.

use crate::colour::{Srgb8, read_hex};
use crate::error::{Error, Result};
use crate::scene::{FlatOptions, Scale};

/// The options of a flat drawing from `--scale` (times true size, or `true`) and `--ground` (`white`, `transparent` or six hex digits).
///
/// # Errors
/// If either cannot be read.
pub fn flat_options(scale: Option<&str>, on: Option<&str>) -> Result<FlatOptions> {
    let scale = match scale {
        None => Scale::default(),
        Some(text) => Scale::parse(text).map_err(|error| error.option("--scale"))?,
    };
    let ground = match on {
        None => FlatOptions::default().ground,
        Some(text) => ground(text)?,
    };
    Ok(FlatOptions { scale, ground })
}

/// `white`, `transparent` or six hex digits.
fn ground(text: &str) -> Result<Option<Srgb8>> {
    match text.to_ascii_lowercase().as_str() {
        "white" => Ok(Some(Srgb8::new(255, 255, 255))),
        "transparent" => Ok(None),
        digits => read_hex(digits).map(Some).ok_or_else(|| {
            Error::usage(format!("'{text}' is not a ground"))
                .option("--ground")
                .hint("write white, transparent or six hex digits, such as 18222B")
        }),
    }
}
