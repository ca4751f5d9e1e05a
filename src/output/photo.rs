//! The ring's picture as files: one still as PNG, a loop as animated PNG, WebP or GIF; and as pixels for a booklet's cover.
//!
//! | loop | colours | for |
//! |---|---|---|
//! | `.png` | one palette for all frames | pages; every current browser shows it |
//! | `.webp` | the same palette | pages; about as small |
//! | `.gif` | the same palette | messages and older programs |
//!
//! All three show the same pixels. One palette serves all frames, and colours are not dithered on the ring, so that nothing flickers; the shadow on the
//! ground, which never moves, is dithered by its place.

mod apng;
mod close;
mod gif;
mod palette;
mod still;
mod vp8l;
mod webp;

pub use close::close;
pub use palette::{MOST_COLOURS, Reel, reel};
pub use still::still;

use super::unknown;
use crate::error::{Error, Result};
use std::path::Path;

/// Thousandths of a second for which a frame is shown: a multiple of ten, since GIF counts in hundredths.
pub const DELAY: u16 = 100;
/// Frames of a loop where nobody asks for another number.
pub const FRAMES: u32 = 48;
/// Fewest and most frames.
pub const FRAMES_BETWEEN: (u32, u32) = (8, 240);

/// What kind of file a loop becomes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Motion {
    /// Animated PNG.
    Png,
    /// Animated WebP, lossless.
    Webp,
    /// GIF.
    Gif,
}

impl Motion {
    /// The kind that a path's ending names, in any case.
    ///
    /// # Errors
    /// If the ending names none.
    pub fn of(path: &Path) -> Result<Self> {
        let endings = ["png", "webp", "gif"];
        let ending = path.extension().and_then(|ending| ending.to_str());
        match ending.map(str::to_ascii_lowercase).as_deref() {
            Some("png") => Ok(Self::Png),
            Some("webp") => Ok(Self::Webp),
            Some("gif") => Ok(Self::Gif),
            Some(other) => Err(unknown(
                &format!("'.{other}' is no kind of moving picture"),
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

/// The loop as a file; `per_metre` is its density, which only PNG records.
///
/// # Errors
/// If the picture is too large for the format.
pub fn moving(reel: &Reel, kind: Motion, per_metre: u32) -> Result<Vec<u8>> {
    match kind {
        Motion::Png => apng::written(reel, per_metre),
        Motion::Webp => webp::written(reel),
        Motion::Gif => gif::written(reel),
    }
}

fn refused(cause: impl std::error::Error + Send + Sync + 'static) -> Error {
    Error::new("the picture could not be written").because(cause)
}

/// A part of a picture that is drawn anew.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Patch {
    left: usize,
    top: usize,
    width: usize,
    height: usize,
}

impl Patch {
    /// The least part, with even left and upper edges as WebP asks, that holds all pixels in which two frames differ; one pixel where none do.
    fn between(before: &[u8], after: &[u8], side: usize) -> Self {
        let (mut low, mut high) = ((side, side), (0, 0));
        for (at, _) in before
            .iter()
            .zip(after)
            .enumerate()
            .filter(|(_, (a, b))| a != b)
        {
            let (x, y) = (at % side, at / side);
            low = (low.0.min(x), low.1.min(y));
            high = (high.0.max(x + 1), high.1.max(y + 1));
        }
        if high == (0, 0) {
            (low, high) = ((0, 0), (1, 1));
        }
        let (left, top) = (low.0 / 2 * 2, low.1 / 2 * 2);
        Self {
            left,
            top,
            width: high.0 - left,
            height: high.1 - top,
        }
    }

    const fn whole(side: usize) -> Self {
        Self {
            left: 0,
            top: 0,
            width: side,
            height: side,
        }
    }

    fn cut(&self, frame: &[u8], side: usize) -> Vec<u8> {
        (self.top..self.top + self.height)
            .flat_map(|y| {
                let start = y * side + self.left;
                frame[start..start + self.width].iter().copied()
            })
            .collect()
    }
}

/// The frames as patches: the first whole, each other what differs from the one before.
fn patches(reel: &Reel) -> Vec<(Patch, Vec<u8>)> {
    let side = reel.side;
    let mut all = vec![(Patch::whole(side), reel.frames[0].clone())];
    for pair in reel.frames.windows(2) {
        let patch = Patch::between(&pair[0], &pair[1], side);
        all.push((patch, patch.cut(&pair[1], side)));
    }
    all
}
