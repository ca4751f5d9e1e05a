//! Repeats of a motif on the band, and the part of it that is shown larger.

use crate::artwork::Artwork;
use crate::lattice::Lattice;
use crate::picture::Crop;

/// How much of the motif's limiting side is kept where it is shown larger. Ours.
const KEPT: f64 = 0.7;
/// Room round a motif that is repeated, as a share of its sides. Ours.
const ROOM: f64 = 0.05;
/// Fewest repeats, as a share of those that would fit: with fewer, much of the band is bare. Ours.
const FULL: f64 = 0.6;

/// A motif on its band.
pub(super) struct Fitting<'a> {
    pub(super) artwork: &'a Artwork,
    pub(super) lattice: &'a Lattice,
    /// Whether it lies on its side.
    pub(super) turned: bool,
}

/// How much longer than wide, or wider than long, a motif is that is not cut: a word or a long
/// animal would lose its head. Ours.
const LONG: f64 = 1.6;
/// How much smaller a motif may become by a quarter turn. Ours.
const SMALLER: f64 = 0.6;

/// Repeats of an even count of rows each.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Repeats {
    pub(super) rows: u32,
    pub(super) count: u32,
}

impl Fitting<'_> {
    /// The motif's sides across and along the band, in pixels of the picture.
    fn sides(&self) -> Sides {
        let frame = &self.artwork.frame;
        let (width, height) = (f64::from(frame.width), f64::from(frame.height));
        if self.turned {
            Sides {
                across: height,
                along: width,
            }
        } else {
            Sides {
                across: width,
                along: height,
            }
        }
    }

    /// How often the motif fits one after another, in its own rows or in `others`.
    pub(super) fn repeats(&self, others: &[u32]) -> Option<Repeats> {
        let Sides { across, along } = self.sides();
        let (width, whole) = self.band();
        let one = width * along / across * (1.0 + ROOM);
        let of = |rows: u32| {
            let length = whole * f64::from(rows) / f64::from(self.lattice.rows());
            let fit = length / one;
            let even = |count: &u32| rows.is_multiple_of(2 * count);
            let count = (2..=fit as u32).rev().find(even)?;
            (f64::from(count) >= FULL * fit).then_some(Repeats { rows, count })
        };
        of(self.lattice.rows()).or_else(|| others.iter().find_map(|&rows| of(rows)))
    }

    /// The motif with a little room round it.
    pub(super) fn with_room(&self) -> Crop {
        let (frame, part) = (&self.artwork.frame, &self.artwork.part);
        let room = |side: u32| (f64::from(side) * ROOM / 2.0).ceil() as u32;
        let (wide, high) = (room(frame.width), room(frame.height));
        let x = frame.x.saturating_sub(wide).max(part.x);
        let y = frame.y.saturating_sub(high).max(part.y);
        let right = (frame.x + frame.width + wide).min(part.x + part.width);
        let bottom = (frame.y + frame.height + high).min(part.y + part.height);
        Crop {
            x,
            y,
            width: right - x,
            height: bottom - y,
        }
    }

    /// Whether the motif is about as large after a quarter turn.
    pub(super) fn turns(&self) -> bool {
        let Sides { across, along } = self.sides();
        let (width, length) = self.band();
        let now = (width / across).min(length / along);
        (width / along).min(length / across) >= SMALLER * now
    }

    fn band(&self) -> (f64, f64) {
        let lattice = self.lattice;
        (lattice.width().get(), lattice.picture_height().get())
    }

    /// The part of the motif that is larger on the band: what limits its size is cut. None of a
    /// motif that is longer than wide, or wider than long.
    pub(super) fn closer(&self) -> Option<Crop> {
        let Sides { across, along } = self.sides();
        if across.max(along) > LONG * across.min(along) {
            return None;
        }
        let (width, length) = self.band();
        // Across the band is down the picture where it lies on its side.
        let cuts_width = (width / across <= length / along) != self.turned;
        let frame = &self.artwork.frame;
        let symmetry = self.artwork.symmetry;
        let (wide, high) = (f64::from(frame.width), f64::from(frame.height));
        let closer = if cuts_width {
            let best = self.artwork.best_cut(wide * KEPT, high);
            let x = within(best.x, best.width, frame.x, frame.width, symmetry.sides);
            Crop {
                x,
                width: best.width,
                ..*frame
            }
        } else {
            let best = self.artwork.best_cut(wide, high * KEPT);
            let y = within(best.y, best.height, frame.y, frame.height, symmetry.ends);
            Crop {
                y,
                height: best.height,
                ..*frame
            }
        };
        Some(closer)
    }
}

struct Sides {
    across: f64,
    along: f64,
}

/// Where a part of length `kept` begins: at `best` as far as it is inside, or in the middle.
fn within(best: u32, kept: u32, start: u32, length: u32, middle: bool) -> u32 {
    let free = length.saturating_sub(kept);
    if middle {
        start + free / 2
    } else {
        best.clamp(start, start + free)
    }
}
