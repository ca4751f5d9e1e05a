//! One picture of the ring as PNG, its density recorded.

use crate::colour::Encoder;
use crate::error::Result;
use crate::output::png::{Raster, encode_png};
use crate::render::RingImage;

/// The picture as PNG of `per_metre` pixels to the metre; with `clear` its backdrop is transparent.
///
/// # Errors
/// If it cannot be written.
pub fn encode_still(image: &RingImage, clear: bool, per_metre: u32) -> Result<Vec<u8>> {
    let table = Encoder::new();
    let data: Vec<u8> = image
        .pixels
        .iter()
        .flat_map(|&[red, green, blue, alpha]| {
            let full = if clear && alpha > 0.0 {
                1.0 / alpha
            } else {
                1.0
            };
            let colour = table.srgb8([red * full, green * full, blue * full]);
            let alpha = (alpha * 255.0).round() as u8;
            let all = [colour.red, colour.green, colour.blue, alpha];
            all.into_iter().take(if clear { 4 } else { 3 })
        })
        .collect();
    let raster = Raster {
        width: image.side as u32,
        height: image.side as u32,
        opaque: !clear,
        per_metre,
        data: &data,
    };
    // Light that changes from pixel to pixel gains little by a long search.
    encode_png(&raster, png::Compression::Fast)
}
