//! The frames of a loop in one palette for all of them, and what changes from frame to
//! frame.

use super::palette::{NearestColour, choose_colours};
use super::shadow::{dithered, ramp};
use crate::colour::{Encoder, Srgb8};
use crate::render::RingImage;
use rayon::prelude::*;

/// Most colours of a loop: enough that shading looks smooth, few enough that the file stays small.
pub const MOST_COLOURS: usize = 64;

/// A loop in one palette.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Animation {
    /// Pixels a side.
    pub side: usize,
    /// At most 256 colours.
    pub palette: Vec<Srgb8>,
    /// For each frame and pixel, the colour's index in the palette.
    pub frames: Vec<Vec<u8>>,
}

/// A frame in 8 bits, before it has its palette.
struct Frame {
    side: usize,
    colours: Vec<Srgb8>,
    on_ring: Vec<bool>,
}

/// So many frames, from 1, in one palette; `render` makes one frame by its number, from 0.
pub fn animate(count: u32, render: impl Fn(u32) -> RingImage + Sync) -> Animation {
    let table = Encoder::new();
    let frames: Vec<Frame> = (0..count)
        .into_par_iter()
        .map(|at| {
            let image = render(at);
            let colour = |p: &[f32; 4]| table.srgb8([p[0], p[1], p[2]]);
            Frame {
                side: image.side,
                colours: image.pixels.iter().map(colour).collect(),
                on_ring: image.on_ring,
            }
        })
        .collect();
    let side = frames[0].side;
    let ground = ground(&frames);
    let shadow = ramp(of_ground(&frames[0].colours, &ground, true));
    let ring = frames
        .iter()
        .flat_map(|frame| of_ground(&frame.colours, &ground, false));
    let mut palette = choose_colours(ring, MOST_COLOURS - shadow.len());
    let own = palette.len();
    palette.extend(&shadow);
    let nearest = NearestColour::new(&palette[..own]);
    let indexed = |frame: &Frame| {
        let index = |at: usize| {
            if ground[at] {
                own as u8 + dithered(frame.colours[at], &shadow, at % side, at / side)
            } else {
                nearest.index(frame.colours[at])
            }
        };
        (0..frame.colours.len()).map(index).collect()
    };
    let frames = frames.par_iter().map(indexed).collect();
    Animation {
        side,
        palette,
        frames,
    }
}

/// The pixels that show the ground in every frame, and the same colour.
fn ground(frames: &[Frame]) -> Vec<bool> {
    let first = &frames[0];
    (0..first.colours.len())
        .map(|at| {
            frames
                .iter()
                .all(|frame| !frame.on_ring[at] && frame.colours[at] == first.colours[at])
        })
        .collect()
}

/// The colours of the pixels that are ground, or those of all others.
fn of_ground<'a>(
    colours: &'a [Srgb8],
    ground: &'a [bool],
    wanted: bool,
) -> impl Iterator<Item = Srgb8> + 'a {
    let all = colours.iter().zip(ground);
    all.filter(move |(_, ground)| **ground == wanted)
        .map(|(colour, _)| *colour)
}

/// A part of a frame that differs from the frame before it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Patch {
    pub(super) left: usize,
    pub(super) top: usize,
    pub(super) width: usize,
    pub(super) height: usize,
    /// Indices in the palette, row by row.
    pub(super) pixels: Vec<u8>,
}

impl Patch {
    /// The smallest part that holds all pixels in which two frames differ; one pixel where none do.
    ///
    /// Its left and upper edges are even, as in every loop that this program wrote.
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
        let (width, height) = (high.0 - left, high.1 - top);
        let row = |y: usize| {
            let start = y * side + left;
            after[start..start + width].iter().copied()
        };
        Self {
            left,
            top,
            width,
            height,
            pixels: (top..top + height).flat_map(row).collect(),
        }
    }
}

impl Animation {
    /// The frames as patches: the first whole, each other what differs from the one before.
    pub(super) fn patches(&self) -> Vec<Patch> {
        let side = self.side;
        let mut all = vec![Patch {
            left: 0,
            top: 0,
            width: side,
            height: side,
            pixels: self.frames[0].clone(),
        }];
        let pairs = self.frames.windows(2);
        all.extend(pairs.map(|pair| Patch::between(&pair[0], &pair[1], side)));
        all
    }

    /// Red, green and blue of each colour of the palette.
    pub(super) fn palette_bytes(&self) -> Vec<u8> {
        let colours = self.palette.iter();
        colours.flat_map(|c| [c.red, c.green, c.blue]).collect()
    }
}
