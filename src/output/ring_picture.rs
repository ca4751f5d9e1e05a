//! The ring's picture as files: a still as PNG, a loop as animated PNG or GIF; and as pixels for a
//! booklet's cover.
//!
//! | loop | colours | for |
//! |---|---|---|
//! | `.png` | one palette for all frames | pages; every current browser shows it |
//! | `.gif` | the same palette | messages and older programs |
//!
//! Both show the same pixels. One palette serves all frames, and colours are not dithered on the
//! ring, so that nothing flickers; the shadow on the ground, which never moves, has an ordered
//! dither.

mod animation;
mod apng;
mod cover;
mod drawing;
mod gif;
mod palette;
mod shadow;
mod still;

pub use animation::{Animation, MOST_COLOURS, animate};
pub use cover::{cover_picture, front_picture};
pub use drawing::RingDrawing;
pub use still::encode_still;

use super::unknown;
use crate::error::{Error, Result};
use std::path::Path;

/// Thousandths of a second for which a frame is shown: a multiple of ten, since GIF counts in
/// hundredths.
pub const DELAY: u16 = 100;

/// What kind of file a loop becomes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoopFormat {
    /// Animated PNG.
    Png,
    /// GIF.
    Gif,
}

impl LoopFormat {
    /// The format that a path's ending names, in any case.
    ///
    /// # Errors
    /// If the ending names none.
    pub fn of(path: &Path) -> Result<Self> {
        let endings = ["png", "gif"];
        let ending = path.extension().and_then(|ending| ending.to_str());
        match ending.map(str::to_ascii_lowercase).as_deref() {
            Some("png") => Ok(Self::Png),
            Some("gif") => Ok(Self::Gif),
            Some(other) => Err(unknown(
                &format!("'.{other}' is not a format for a loop"),
                other,
                &endings,
            )),
            None => Err(unknown(
                "a name without an ending does not say what to draw",
                "",
                &endings,
            )),
        }
    }
}

/// The loop as a file; `per_metre` is its density in pixels, which only PNG records.
///
/// # Errors
/// If the picture is too large for the format.
pub fn encode_loop(animation: &Animation, format: LoopFormat, per_metre: u32) -> Result<Vec<u8>> {
    match format {
        LoopFormat::Png => apng::encode(animation, per_metre),
        LoopFormat::Gif => gif::encode(animation),
    }
}

fn not_written(cause: impl std::error::Error + Send + Sync + 'static) -> Error {
    Error::new("the picture could not be written").because(cause)
}
