//! Any picture file as pixels in memory: decoded, its profile and orientation read, and placed on
//! the band.
//!
//! Pixels are never rotated nor converted as a whole: orientation changes the *coordinates*
//! ([`Plan`]), and light is decoded through small tables while it is averaged ([`crate::sample`]).

mod decode;
mod decoding;
mod limits;
mod motif;
mod place;
mod profile;
mod source;
mod svg;
mod thumbnail;
#[cfg(feature = "svg")]
mod vector;

pub use decode::{decode, decoding_memory};
pub use decoding::{Decoding, Drawer};
pub use limits::{MOST_DECODING_BYTES, MOST_PICTURE_BYTES, MOST_SIDE};
pub use motif::motif;
pub use place::{
    Arrangement, Crop, Line, Map, Place, Placement, Plan, Position, Rotation, Scaling, Tile, plan,
    plan_in,
};
pub use profile::{ONE, Reading, convert_row};
pub use svg::is_svg;
pub use thumbnail::thumbnail;
#[cfg(feature = "cli")]
pub use vector::{DRAW, serve as serve_drawing};

use crate::warning::Warning;

/// How the numbers of a pixel are stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Depth {
    /// One byte a number.
    Eight,
    /// Two bytes a number, in the machine's order.
    Sixteen,
}

/// Grey or colour, with or without alpha.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Channels {
    /// 1 or 3.
    pub colour: usize,
    /// Whether an alpha follows; not premultiplied.
    pub alpha: bool,
}

impl Channels {
    /// Numbers in a pixel.
    pub const fn count(self) -> usize {
        self.colour + self.alpha as usize
    }
}

/// Width and height in pixels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Size {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
}

/// How stored pixels become upright: stored coordinates swap, then count from the far side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Orientation {
    /// Whether the stored x runs along the upright y.
    pub swap: bool,
    /// Whether the stored x counts from the far side.
    pub flip_x: bool,
    /// Whether the stored y counts from the far side.
    pub flip_y: bool,
}

/// A decoded picture.
pub struct Picture {
    /// Stored width in pixels.
    pub width: u32,
    /// Stored height in pixels.
    pub height: u32,
    /// What a pixel holds.
    pub channels: Channels,
    /// How a number is stored.
    pub depth: Depth,
    /// Rows from the top, without gaps.
    pub data: Vec<u8>,
    /// How it becomes upright.
    pub orientation: Orientation,
    /// How its numbers become light.
    pub reading: Reading,
    /// Warnings from decoding.
    pub notes: Vec<Warning>,
}

impl Picture {
    /// Whether every pixel is opaque: many files have an alpha channel that is never used.
    pub fn is_opaque(&self) -> bool {
        let (count, bytes) = match self.depth {
            Depth::Eight => (self.channels.count(), 1),
            Depth::Sixteen => (self.channels.count(), 2),
        };
        let alpha = self.channels.colour * bytes;
        !self.channels.alpha
            || self
                .data
                .chunks_exact(count * bytes)
                .all(|pixel| pixel[alpha..].iter().all(|&byte| byte == u8::MAX))
    }

    /// Width and height as seen upright.
    pub const fn upright(&self) -> Size {
        if self.orientation.swap {
            Size {
                width: self.height,
                height: self.width,
            }
        } else {
            Size {
                width: self.width,
                height: self.height,
            }
        }
    }
}

/// A small picture, upright, in 8-bit sRGB.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pixels {
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// Red, green and blue of each pixel, from the top, without gaps.
    pub rgb: Vec<u8>,
}
