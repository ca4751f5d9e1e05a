//! The designer's picture, or a rendering, as the PDF holds it: a JPEG, so that a booklet stays
//! small enough to send.

use super::internal;
use crate::error::Result;
use crate::picture::Pixels;
use image::ExtendedColorType;
use image::codecs::jpeg::JpegEncoder;
use krilla::image::Image;

/// Quality of the JPEG, 1 to 100.
const QUALITY: u8 = 86;

pub(super) fn image(pixels: &Pixels) -> Result<Image> {
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, QUALITY)
        .encode(
            &pixels.rgb,
            pixels.width,
            pixels.height,
            ExtendedColorType::Rgb8,
        )
        .map_err(|cause| internal(&cause.to_string()))?;
    Image::from_jpeg(bytes.into(), true).map_err(|cause| internal(&cause))
}
