//! A loop as animated PNG (PNG specification, third edition: acTL, fcTL, fdAT): first frame whole,
//! then what differs.

use super::{Animation, DELAY, not_written};
use crate::error::Result;

pub(super) fn encode(animation: &Animation, per_metre: u32) -> Result<Vec<u8>> {
    let side = animation.side as u32;
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, side, side);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_palette(animation.palette_bytes());
    // Neighbouring indices are not neighbouring colours: filters would only spoil repeats.
    encoder.set_compression(png::Compression::High);
    encoder.set_filter(png::Filter::NoFilter);
    encoder.set_source_srgb(png::SrgbRenderingIntent::Perceptual);
    encoder.set_pixel_dims(Some(png::PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: png::Unit::Meter,
    }));
    encoder
        .set_animated(animation.frames.len() as u32, 0)
        .map_err(not_written)?;
    encoder.set_frame_delay(DELAY, 1000).map_err(not_written)?;
    encoder
        .set_dispose_op(png::DisposeOp::None)
        .map_err(not_written)?;
    encoder
        .set_blend_op(png::BlendOp::Source)
        .map_err(not_written)?;
    let mut writer = encoder.write_header().map_err(not_written)?;
    for (at, patch) in animation.patches().iter().enumerate() {
        if at > 0 {
            // The position is set to 0 first: the writer refuses a size that does not fit at the
            // old one.
            writer.set_frame_position(0, 0).map_err(not_written)?;
            writer
                .set_frame_dimension(patch.width as u32, patch.height as u32)
                .map_err(not_written)?;
            writer
                .set_frame_position(patch.left as u32, patch.top as u32)
                .map_err(not_written)?;
        }
        writer
            .write_image_data(&patch.pixels)
            .map_err(not_written)?;
    }
    writer.finish().map_err(not_written)?;
    Ok(bytes)
}
