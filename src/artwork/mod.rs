//! What a picture is: its ground, whether it is drawn in few flat colours, its symmetry, whether it
//! repeats. The pipeline chooses from that what the designer did not.
//!
//! | part | finds |
//! |---|---|
//! | `cells` | the picture small enough to be read at once |
//! | `flat` | the flat colours of a drawing, and which of them each cell has |
//! | `ground` | what surrounds the motif: nothing, transparency or a plain colour |
//! | `symmetry` | mirror images |
//! | `period` | a pattern that repeats along the picture, or may be repeated |
//! | `cut` | the part of a photograph to keep where not all of it fits |
//! | `stroke` | lines that are finer than a bead |
//! | `coverage` | how much of each bead each flat colour covers |

mod cells;
mod coverage;
mod cut;
mod flat;
mod grid;
mod ground;
mod period;
mod stroke;
mod symmetry;
#[cfg(test)]
mod tests;

pub use coverage::{Coverage, Part, Tables, Widths};
pub use flat::{FlatArt, GROUND};
pub use ground::Ground;
pub use period::Period;
pub use symmetry::Symmetry;

use crate::error::Result;
use crate::picture::{Crop, Picture};
use cells::Cells;

/// What a picture, or a part of it, is.
#[derive(Debug, Clone, PartialEq)]
pub struct Artwork {
    /// The part that was read, in pixels of the upright picture.
    pub part: Crop,
    /// What surrounds the motif.
    pub ground: Ground,
    /// The smallest part that holds the motif; all that was read where there is no ground.
    pub frame: Crop,
    /// The flat colours, if it is drawn in few of them; none for continuous tone.
    pub flat: Option<FlatArt>,
    /// Mirror images within the frame.
    pub symmetry: Symmetry,
    /// The pattern that repeats along the picture.
    pub period: Option<Period>,
    /// Whether it is made of layers, as a landscape is: what is above differs from what is below
    /// more than left from right.
    pub level: bool,
    content: cut::Content,
}

/// Reads what the picture is, or the part of it in `crop`.
///
/// # Errors
/// If the picture's colour profile fails.
pub fn read(picture: &Picture, crop: Option<Crop>) -> Result<Artwork> {
    let cells = Cells::of(picture, crop)?;
    let flat = flat::find(&cells);
    let ground = ground::find(&cells, flat.as_ref());
    let flat = match ground {
        Ground::Plain(plain) => flat.map(|art| art.on_ground(plain)),
        Ground::None | Ground::Clear => flat,
    };
    let frame = ground::frame(&cells, &ground, flat.as_ref());
    let symmetry = symmetry::find(&cells, &ground, flat.as_ref(), &frame);
    let period = flat.as_ref().and_then(|art| period::find(art, &cells));
    Ok(Artwork {
        part: cells.part,
        frame: cells.pixels(&frame),
        symmetry,
        period,
        level: cut::is_level(&cells),
        content: cut::Content::of(&cells),
        flat,
        ground,
    })
}

impl Artwork {
    /// The part of the picture to keep of `width` by `height` pixels: that with most detail and
    /// colours.
    pub fn best_cut(&self, width: f64, height: f64) -> Crop {
        self.content.best(&self.part, width, height)
    }
}
