//! Limits that keep a small file from becoming a huge picture.

use crate::error::{Error, Result};
use crate::units::grouped;

/// Longest side of a picture, in pixels.
pub const MOST_SIDE: u32 = 65_535;
/// Most bytes of decoded pixels: 512 MiB, about 178 megapixels in 8-bit colour.
pub const MOST_PICTURE_BYTES: u64 = 512 << 20;
/// Most pixels of a drawing; for a larger band it is drawn more coarsely.
pub const MOST_DRAWN_PIXELS: u32 = 32_000_000;
/// Most bytes of memory for decoding: 640 MiB, the pixels among them.
pub const MOST_DECODING_BYTES: u64 = 640 << 20;

/// Checks what a picture declares, before a pixel is read.
///
/// # Errors
/// If it declares no pixels, or more than the limits allow.
pub fn check(width: u32, height: u32, bytes: u64) -> Result<()> {
    if width == 0 || height == 0 {
        return Err(Error::new("the picture has no pixels").hint("export it again"));
    }
    if width > MOST_SIDE || height > MOST_SIDE || bytes > MOST_PICTURE_BYTES {
        return Err(Error::new(format!(
            "the picture declares {} x {} pixels, which is too large",
            grouped(width as usize),
            grouped(height as usize)
        ))
        .hint("make it smaller: a few thousand pixels a side are plenty for a band"));
    }
    Ok(())
}

/// Checks what decoding takes, before it does.
///
/// # Errors
/// If it is more than the limit allows.
pub fn check_decoding(width: u32, height: u32, bytes: u64) -> Result<()> {
    if bytes > MOST_DECODING_BYTES {
        return Err(Error::new(format!(
            "the picture of {} x {} pixels takes {} MiB of memory to read; at most {} are allowed",
            grouped(width as usize),
            grouped(height as usize),
            grouped(bytes.div_ceil(1 << 20) as usize),
            MOST_DECODING_BYTES >> 20
        ))
        .hint("make it smaller, or save it as PNG: a few thousand pixels a side are plenty"));
    }
    Ok(())
}
