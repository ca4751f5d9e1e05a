//! Bytes of a file to a [`Picture`], without a pixel being touched twice.

use super::limits::{MOST_PICTURE_BYTES, MOST_SIDE, check};
use super::{Channels, Decoding, Depth, Orientation, Picture, profile, svg};
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::lattice::Lattice;
use image::error::ImageFormatHint;
use image::metadata::Orientation as Exif;
use image::{ColorType, ImageDecoder, ImageError, ImageFormat, ImageReader, Limits};
use std::io::Cursor;
use std::sync::Arc;

/// File bytes that are dropped as soon as the decoder has what it needs of them.
struct Shared(Arc<Vec<u8>>);

impl AsRef<[u8]> for Shared {
    fn as_ref(&self) -> &[u8] {
        &self.0
    }
}

/// Decodes a PNG, JPEG, WebP, GIF (first frame), BMP, TIFF or SVG, recognised by its content; SVG
/// is rendered fine enough for `lattice`.
///
/// A decoder cannot be interrupted: cancellation is checked before and after the pixels are read,
/// or a drawing is drawn in this process.
///
/// Not supported: CMYK profiles (the decoder's own conversion is used), more than 16 bits a number
/// (reduced to 16).
///
/// # Errors
/// If the bytes are no such picture, are cut short or damaged, or declare more than [`MOST_SIDE`]
/// pixels a side or [`MOST_PICTURE_BYTES`] in all; or if the work is cancelled.
pub fn decode(bytes: Arc<Vec<u8>>, lattice: &Lattice, decoding: &Decoding) -> Result<Picture> {
    if bytes.is_empty() {
        return Err(Error::new("the file is empty").hint("export the picture again"));
    }
    decoding.cancel.check()?;
    if svg::is_svg(&bytes) {
        #[cfg(feature = "svg")]
        return super::vector::render(&bytes, lattice, decoding);
        #[cfg(not(feature = "svg"))]
        return svg::render(&bytes, lattice, decoding);
    }
    let reader = ImageReader::new(Cursor::new(Shared(Arc::clone(&bytes))))
        .with_guessed_format()
        .map_err(|e| damaged(ImageError::IoError(e)))?;
    let Some(format) = reader.format() else {
        return Err(unknown());
    };
    if format == ImageFormat::Jpeg && !jpeg_is_whole(&bytes) {
        return Err(cut_short());
    }
    let profile = match format {
        // `image` 0.25.10 finds no profile in a TIFF that other readers find; its own reader does.
        ImageFormat::Tiff => tiff_profile(&bytes),
        _ => None,
    };
    drop(bytes);
    read(reader, profile, &decoding.cancel)
}

fn tiff_profile(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut decoder = tiff::decoder::Decoder::new(Cursor::new(bytes)).ok()?;
    decoder.get_tag_u8_vec(tiff::tags::Tag::IccProfile).ok()
}

fn read(
    mut reader: ImageReader<Cursor<Shared>>,
    profile: Option<Vec<u8>>,
    cancel: &Cancel,
) -> Result<Picture> {
    let mut limits = Limits::default();
    limits.max_image_width = Some(u32::MAX);
    limits.max_image_height = Some(u32::MAX);
    limits.max_alloc = Some(MOST_PICTURE_BYTES + MOST_PICTURE_BYTES / 4);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(damaged)?;
    let (width, height) = decoder.dimensions();
    check(width, height, decoder.total_bytes())?;
    let orientation = decoder.orientation().unwrap_or(Exif::NoTransforms);
    let embedded = profile.or_else(|| decoder.icc_profile().unwrap_or(None));
    let colour_type = decoder.color_type();
    let mut data = vec![0; decoder.total_bytes() as usize];
    cancel.check()?;
    decoder.read_image(&mut data).map_err(damaged)?;
    cancel.check()?;
    let (channels, depth, data) = layout(colour_type, data)?;
    let mut notes = Vec::new();
    let reading = profile::reading(embedded.as_deref(), channels, depth, &mut notes);
    Ok(Picture {
        width,
        height,
        channels,
        depth,
        data,
        orientation: upright(orientation),
        reading,
        notes,
    })
}

/// What the decoder's colour type means for us; floating-point pixels become 16-bit ones.
fn layout(kind: ColorType, data: Vec<u8>) -> Result<(Channels, Depth, Vec<u8>)> {
    use ColorType as C;
    use Depth::{Eight, Sixteen};
    let (colour, alpha, depth) = match kind {
        C::L8 => (1, false, Eight),
        C::La8 => (1, true, Eight),
        C::Rgb8 => (3, false, Eight),
        C::Rgba8 => (3, true, Eight),
        C::L16 => (1, false, Sixteen),
        C::La16 => (1, true, Sixteen),
        C::Rgb16 => (3, false, Sixteen),
        C::Rgba16 => (3, true, Sixteen),
        C::Rgb32F | C::Rgba32F => {
            let channels = Channels {
                colour: 3,
                alpha: kind == C::Rgba32F,
            };
            return Ok((channels, Sixteen, sixteen_from_float(&data)));
        }
        _ => {
            return Err(Error::new("pixels of this kind are not read")
                .hint("export the picture with 8 or 16 bits a channel"));
        }
    };
    Ok((Channels { colour, alpha }, depth, data))
}

fn sixteen_from_float(data: &[u8]) -> Vec<u8> {
    data.as_chunks::<4>()
        .0
        .iter()
        .flat_map(|&four| {
            let value = f32::from_ne_bytes(four).clamp(0.0, 1.0);
            ((value * 65535.0).round() as u16).to_ne_bytes()
        })
        .collect()
}

/// EXIF 2.3, tag 0x0112, as a rule for coordinates.
fn upright(exif: Exif) -> Orientation {
    let (swap, flip_x, flip_y) = match exif {
        Exif::NoTransforms => (false, false, false),
        Exif::FlipHorizontal => (false, true, false),
        Exif::Rotate180 => (false, true, true),
        Exif::FlipVertical => (false, false, true),
        Exif::Rotate90FlipH => (true, false, false),
        Exif::Rotate90 => (true, false, true),
        Exif::Rotate270FlipH => (true, true, true),
        Exif::Rotate270 => (true, true, false),
    };
    Orientation {
        swap,
        flip_x,
        flip_y,
    }
}

/// Whether a JPEG reaches its end mark: the decoder itself fills what is missing with grey.
///
/// Walks the segments up to the last scan (ITU-T T.81, annex B): marks inside entropy-coded data
/// are followed by 00 or are restarts.
fn jpeg_is_whole(bytes: &[u8]) -> bool {
    let mut at = 2;
    while let Some(&[mark, kind]) = bytes.get(at..at + 2).and_then(|two| two.first_chunk::<2>()) {
        match (mark, kind) {
            (0xFF, 0xD9) => return true,
            (0xFF, 0xFF) => at += 1,
            // Restarts and stuffed bytes of a scan, or marks without a length.
            (0xFF, 0x00 | 0x01 | 0xD0..=0xD8) => at += 2,
            (0xFF, _) => {
                let Some(&[high, low]) = bytes
                    .get(at + 2..at + 4)
                    .and_then(|two| two.first_chunk::<2>())
                else {
                    return false;
                };
                at += 2 + usize::from(u16::from_be_bytes([high, low])).max(2);
            }
            // Inside a scan: on to the next mark.
            _ => match bytes[at..].iter().position(|&byte| byte == 0xFF) {
                Some(next) => at += next,
                None => return false,
            },
        }
    }
    false
}

fn unknown() -> Error {
    Error::new("this is not a picture that can be read")
        .hint("use PNG, JPEG, WebP, GIF, BMP, TIFF or SVG")
}

fn cut_short() -> Error {
    Error::new("the picture is cut short").hint("copy or export it again")
}

fn damaged(error: ImageError) -> Error {
    match error {
        ImageError::IoError(e) if e.kind() == std::io::ErrorKind::UnexpectedEof => cut_short(),
        ImageError::Unsupported(ref kind) => match kind.format_hint() {
            ImageFormatHint::Exact(format) => Error::new(format!(
                "this kind of {} picture is not read",
                format.extensions_str()[0].to_uppercase()
            ))
            .hint("export it as PNG with 8 or 16 bits a channel"),
            _ => unknown(),
        }
        .because(error),
        ImageError::Limits(_) => Error::new("the picture needs too much memory to decode")
            .hint(format!(
                "keep it under {} MiB of pixels and {MOST_SIDE} a side",
                MOST_PICTURE_BYTES >> 20
            ))
            .because(error),
        _ => Error::new("the picture is damaged")
            .hint("copy or export it again")
            .because(error),
    }
}
