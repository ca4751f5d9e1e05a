//! A small upright picture to look at, for example to choose a part of it.

use super::{Channels, Depth, Picture, Reading, convert_row};
use crate::colour::{Light, Srgb8, srgb8};
use crate::error::{Error, Result};
use image::imageops::FilterType;
use image::metadata::Orientation as Exif;
use image::{DynamicImage, ImageBuffer, ImageFormat, RgbaImage};
use std::io::Cursor;

/// Most pixels down, as a multiple of the width asked for: a picture for a band may be long.
const TALLEST: u32 = 4;

/// The picture upright as a PNG in sRGB, at most `width` pixels across, never enlarged.
///
/// For display only: scaled down in the picture's own encoding, then its profile applied. Charts
/// never use it.
///
/// # Errors
/// If the pixels are not what the picture says, or its profile fails.
pub fn thumbnail(picture: &Picture, width: u32) -> Result<Vec<u8>> {
    let upright = picture.upright();
    let scale = (f64::from(width) / f64::from(upright.width))
        .min(f64::from(width * TALLEST) / f64::from(upright.height))
        .min(1.0);
    let side = |pixels: u32| ((f64::from(pixels) * scale).round() as u32).max(1);
    let stored = stored(picture).ok_or_else(|| Error::new("the picture has no pixels"))?;
    let (across, down) = (side(picture.width), side(picture.height));
    let mut little = if scale < 1.0 {
        stored.resize_exact(across, down, FilterType::Triangle)
    } else {
        stored
    };
    little.apply_orientation(turned(picture));
    let shown = in_srgb(&little, &picture.reading, picture.channels)?;
    let mut file = Cursor::new(Vec::new());
    shown
        .write_to(&mut file, ImageFormat::Png)
        .map_err(|e| Error::new("the preview could not be written").because(e))?;
    Ok(file.into_inner())
}

/// The pixels as they are stored.
fn stored(picture: &Picture) -> Option<DynamicImage> {
    let (width, height) = (picture.width, picture.height);
    let bytes = || picture.data.clone();
    let numbers = || {
        let pairs = picture.data.as_chunks::<2>().0.iter();
        pairs
            .map(|&pair| u16::from_ne_bytes(pair))
            .collect::<Vec<u16>>()
    };
    match (
        picture.depth,
        picture.channels.colour,
        picture.channels.alpha,
    ) {
        (Depth::Eight, 1, false) => {
            ImageBuffer::from_raw(width, height, bytes()).map(DynamicImage::ImageLuma8)
        }
        (Depth::Eight, 1, true) => {
            ImageBuffer::from_raw(width, height, bytes()).map(DynamicImage::ImageLumaA8)
        }
        (Depth::Eight, _, false) => {
            ImageBuffer::from_raw(width, height, bytes()).map(DynamicImage::ImageRgb8)
        }
        (Depth::Eight, _, true) => {
            ImageBuffer::from_raw(width, height, bytes()).map(DynamicImage::ImageRgba8)
        }
        (Depth::Sixteen, 1, false) => {
            ImageBuffer::from_raw(width, height, numbers()).map(DynamicImage::ImageLuma16)
        }
        (Depth::Sixteen, 1, true) => {
            ImageBuffer::from_raw(width, height, numbers()).map(DynamicImage::ImageLumaA16)
        }
        (Depth::Sixteen, _, false) => {
            ImageBuffer::from_raw(width, height, numbers()).map(DynamicImage::ImageRgb16)
        }
        (Depth::Sixteen, _, true) => {
            ImageBuffer::from_raw(width, height, numbers()).map(DynamicImage::ImageRgba16)
        }
    }
}

/// The orientation in the terms of the library that rotates pixels.
fn turned(picture: &Picture) -> Exif {
    let how = picture.orientation;
    match (how.swap, how.flip_x, how.flip_y) {
        (false, false, false) => Exif::NoTransforms,
        (false, true, false) => Exif::FlipHorizontal,
        (false, true, true) => Exif::Rotate180,
        (false, false, true) => Exif::FlipVertical,
        (true, false, false) => Exif::Rotate90FlipH,
        (true, false, true) => Exif::Rotate90,
        (true, true, true) => Exif::Rotate270FlipH,
        (true, true, false) => Exif::Rotate270,
    }
}

/// The picture's own numbers as sRGB for a screen.
fn in_srgb(little: &DynamicImage, reading: &Reading, channels: Channels) -> Result<RgbaImage> {
    let numbers = little.to_rgba16();
    let (width, height) = numbers.dimensions();
    let mut shown = RgbaImage::new(width, height);
    for (pixel, out) in numbers.pixels().zip(shown.pixels_mut()) {
        let [r, g, b, alpha] = pixel.0;
        let light = light([r, g, b], reading, channels)?;
        let Srgb8 {
            red, green, blue, ..
        } = srgb8(light);
        out.0 = [red, green, blue, (alpha >> 8) as u8];
    }
    Ok(shown)
}

/// Linear light of one pixel with 16 bits a number.
fn light(numbers: [u16; 3], reading: &Reading, channels: Channels) -> Result<Light> {
    let channels_light = match reading {
        Reading::Curves { tables, .. } => std::array::from_fn(|at| {
            let table = &tables[at];
            let level = usize::from(numbers[at]) * (table.len() - 1) / usize::from(u16::MAX);
            f64::from(table[level]) / super::ONE
        }),
        Reading::Pixels { executor, .. } => {
            let unit = |number: u16| f64::from(number) / f64::from(u16::MAX);
            let mut row = vec![unit(numbers[0]), unit(numbers[1]), unit(numbers[2])];
            if channels.alpha {
                row.push(1.0);
            }
            let mut out = vec![0.0; row.len()];
            convert_row(executor.as_ref(), &row, &mut out)?;
            [out[0], out[1], out[2]]
        }
    };
    Ok(reading.light(channels_light))
}
