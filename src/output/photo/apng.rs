//! A loop as animated PNG (PNG specification, third edition: acTL, fcTL, fdAT): first frame whole, then what differs.

use super::{DELAY, Reel, patches, refused};
use crate::error::Result;

pub(super) fn written(reel: &Reel, per_metre: u32) -> Result<Vec<u8>> {
    let side = reel.side as u32;
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, side, side);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_color(png::ColorType::Indexed);
    let palette: Vec<u8> = reel
        .palette
        .iter()
        .flat_map(|c| [c.red, c.green, c.blue])
        .collect();
    encoder.set_palette(palette);
    // Neighbouring numbers of a palette are no neighbouring colours: filters would only spoil repeats.
    encoder.set_compression(png::Compression::High);
    encoder.set_filter(png::Filter::NoFilter);
    encoder.set_source_srgb(png::SrgbRenderingIntent::Perceptual);
    encoder.set_pixel_dims(Some(png::PixelDimensions {
        xppu: per_metre,
        yppu: per_metre,
        unit: png::Unit::Meter,
    }));
    encoder
        .set_animated(reel.frames.len() as u32, 0)
        .map_err(refused)?;
    encoder.set_frame_delay(DELAY, 1000).map_err(refused)?;
    encoder
        .set_dispose_op(png::DisposeOp::None)
        .map_err(refused)?;
    encoder
        .set_blend_op(png::BlendOp::Source)
        .map_err(refused)?;
    let mut writer = encoder.write_header().map_err(refused)?;
    for (at, (patch, codes)) in patches(reel).iter().enumerate() {
        if at > 0 {
            // The place is set to 0 first: a writer refuses a size that does not fit at the old place.
            writer.set_frame_position(0, 0).map_err(refused)?;
            writer
                .set_frame_dimension(patch.width as u32, patch.height as u32)
                .map_err(refused)?;
            writer
                .set_frame_position(patch.left as u32, patch.top as u32)
                .map_err(refused)?;
        }
        writer.write_image_data(codes).map_err(refused)?;
    }
    writer.finish().map_err(refused)?;
    Ok(bytes)
}
