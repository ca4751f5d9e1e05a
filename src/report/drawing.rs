//! How a chart is drawn.

use crate::colour::{Srgb8, read_hex};
use crate::error::{Error, Result};
use crate::scene::{FlatOptions, Scale};

/// `--scale`: times true size, or `true`.
///
/// # Errors
/// If it cannot be read.
pub fn scale(text: Option<&str>) -> Result<Option<Scale>> {
    let read = |text| Scale::parse(text).map_err(|error| error.option("--scale"));
    text.map(read).transpose()
}

/// `--ground`: `white` (the usual one), `transparent` (none) or six hex digits.
///
/// # Errors
/// If it cannot be read.
pub fn ground(text: Option<&str>) -> Result<Option<Srgb8>> {
    let Some(text) = text else {
        return Ok(FlatOptions::default().ground);
    };
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

/// The ground where it has to have a colour.
///
/// # Errors
/// If it cannot be read, or is transparent.
pub fn opaque(text: Option<&str>, what: &str) -> Result<Srgb8> {
    ground(text)?.ok_or_else(|| {
        Error::usage(format!("{what} has no transparent ground"))
            .option("--ground")
            .hint("write white or six hex digits, the colour of the page")
    })
}

/// The options of a flat drawing from `--scale` and `--ground`: plain beads without letters.
///
/// # Errors
/// If either cannot be read.
pub fn flat_options(times: Option<&str>, on: Option<&str>) -> Result<FlatOptions> {
    Ok(FlatOptions {
        scale: scale(times)?.unwrap_or_default(),
        ground: ground(on)?,
        ..FlatOptions::default()
    })
}
