//! One picture of the ring as PNG, its density recorded.

use crate::colour::Encoder;
use crate::error::Result;
use crate::output::png::packed;
use crate::render::Photograph;

/// The picture as PNG of `per_metre` pixels to the metre; with `clear` the ground is transparent.
///
/// # Errors
/// If it cannot be written.
pub fn still(photograph: &Photograph, clear: bool, per_metre: u32) -> Result<Vec<u8>> {
    let table = Encoder::new();
    let colours: Vec<u8> = photograph
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
    let side = photograph.side as u32;
    // Light that changes from pixel to pixel gains little by a long search.
    let thorough = png::Compression::Fast;
    packed(&colours, (side, side), !clear, per_metre, thorough)
}
