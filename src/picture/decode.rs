//! Bytes of a file to a [`Picture`], without a pixel being touched twice.

use super::limits::{MOST_DRAWN_PIXELS, MOST_PICTURE_BYTES, MOST_SIDE, check, check_decoding};
use super::source::Source;
use super::{Channels, Decoding, Depth, Orientation, Picture, profile, svg};
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::lattice::Lattice;
use image::error::ImageFormatHint;
use image::metadata::Orientation as Exif;
use image::{ColorType, ImageDecoder, ImageError, ImageFormat, ImageReader, Limits};
use std::io::Cursor;
use std::sync::Arc;

/// Decodes a PNG, JPEG, WebP, GIF (first frame), BMP, TIFF or SVG, recognised by its content; SVG
/// is rendered fine enough for `lattice`.
///
/// Cancellation is checked while the decoder reads the file. JPEG and WebP are read whole before a
/// pixel is made of them, and cannot be interrupted then; nor can a drawing in this process.
///
/// Not supported: CMYK profiles (the decoder's own conversion is used), more than 16 bits a number
/// (reduced to 16).
///
/// # Errors
/// If the bytes are no such picture, are cut short or damaged, or declare more than [`MOST_SIDE`]
/// pixels a side, [`MOST_PICTURE_BYTES`] in all, or more memory to decode than
/// [`super::MOST_DECODING_BYTES`]; or if the work is cancelled.
pub fn decode(bytes: Arc<Vec<u8>>, lattice: &Lattice, decoding: &Decoding) -> Result<Picture> {
    check_not_empty(&bytes)?;
    decoding.cancel.check()?;
    if svg::is_svg(&bytes) {
        #[cfg(feature = "svg")]
        return super::vector::render(&bytes, lattice, decoding);
        #[cfg(not(feature = "svg"))]
        return svg::render(&bytes, lattice, decoding);
    }
    read(open(bytes, &decoding.cancel)?, &decoding.cancel)
}

/// Bytes of memory that decoding takes at most: the pixels, and what the decoder holds beside them.
///
/// # Errors
/// As [`decode`], as far as the head of the file tells.
pub fn decoding_memory(bytes: &Arc<Vec<u8>>) -> Result<u64> {
    check_not_empty(bytes)?;
    if svg::is_svg(bytes) {
        return Ok(4 * u64::from(MOST_DRAWN_PIXELS));
    }
    Ok(open(Arc::clone(bytes), &Cancel::default())?.memory)
}

fn check_not_empty(bytes: &[u8]) -> Result<()> {
    if bytes.is_empty() {
        return Err(Error::new("the file is empty").hint("export the picture again"));
    }
    Ok(())
}

/// A picture of which the head has been read.
struct Opened {
    decoder: Box<dyn ImageDecoder>,
    profile: Option<Vec<u8>>,
    memory: u64,
}

/// Reads the head, and checks all limits.
fn open(bytes: Arc<Vec<u8>>, cancel: &Cancel) -> Result<Opened> {
    let mut reader = ImageReader::new(Source::new(Arc::clone(&bytes), cancel))
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
    let mut limits = Limits::default();
    limits.max_image_width = Some(u32::MAX);
    limits.max_image_height = Some(u32::MAX);
    limits.max_alloc = Some(MOST_PICTURE_BYTES + MOST_PICTURE_BYTES / 4);
    reader.limits(limits);
    let decoder = reader.into_decoder().map_err(damaged)?;
    let (width, height) = decoder.dimensions();
    check(width, height, decoder.total_bytes())?;
    let memory = decoder.total_bytes() + memory_beside(format, &bytes, &decoder);
    check_decoding(width, height, memory)?;
    Ok(Opened {
        decoder: Box::new(decoder),
        profile,
        memory,
    })
}

/// What the decoders of `image` 0.25.10 hold beside the pixels, as measured with pictures of 160
/// megapixels.
fn memory_beside(format: ImageFormat, bytes: &[u8], decoder: &impl ImageDecoder) -> u64 {
    let (width, height) = decoder.dimensions();
    let pixels = decoder.total_bytes();
    match format {
        // A coefficient of 16 bits for each number.
        ImageFormat::Jpeg if jpeg_is_progressive(bytes) => 2 * pixels,
        ImageFormat::WebP if decoder.color_type().has_alpha() && webp_is_lossless(bytes) => 0,
        // Red, green, blue and alpha, before alpha is dropped.
        ImageFormat::WebP => 4 * u64::from(width) * u64::from(height),
        // A copy in the decoder's own type.
        ImageFormat::Tiff => pixels,
        _ => 0,
    }
}

/// Whether a WebP is one lossless picture (RFC 9649, section 2.6).
fn webp_is_lossless(bytes: &[u8]) -> bool {
    bytes.get(12..16) == Some(b"VP8L")
}

fn tiff_profile(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut decoder = tiff::decoder::Decoder::new(Cursor::new(bytes)).ok()?;
    decoder.get_tag_u8_vec(tiff::tags::Tag::IccProfile).ok()
}

fn read(opened: Opened, cancel: &Cancel) -> Result<Picture> {
    let Opened {
        mut decoder,
        profile,
        ..
    } = opened;
    let (width, height) = decoder.dimensions();
    let orientation = decoder.orientation().unwrap_or(Exif::NoTransforms);
    let embedded = profile.or_else(|| decoder.icc_profile().unwrap_or(None));
    let colour_type = decoder.color_type();
    let mut data = vec![0; decoder.total_bytes() as usize];
    cancel.check()?;
    let read = decoder.read_image_boxed(&mut data);
    // A cancelled file seems to be damaged.
    cancel.check()?;
    read.map_err(damaged)?;
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
fn jpeg_is_whole(bytes: &[u8]) -> bool {
    jpeg_marks(bytes).any(|mark| mark == 0xD9)
}

/// Whether a JPEG is made of several scans (ITU-T T.81, table B.1: SOF2, SOF6, SOF10, SOF14).
fn jpeg_is_progressive(bytes: &[u8]) -> bool {
    jpeg_marks(bytes).any(|mark| [0xC2, 0xC6, 0xCA, 0xCE].contains(&mark))
}

/// The marks of a JPEG, up to the end of its last scan (ITU-T T.81, annex B): marks inside
/// entropy-coded data are followed by 00 or are restarts.
fn jpeg_marks(bytes: &[u8]) -> impl Iterator<Item = u8> {
    let mut at = 2;
    std::iter::from_fn(move || {
        loop {
            let two = bytes.get(at..at + 2)?.first_chunk::<2>()?;
            match *two {
                [0xFF, 0xFF] => at += 1,
                // Restarts and stuffed bytes of a scan, or marks without a length.
                [0xFF, 0x00 | 0x01 | 0xD0..=0xD8] => at += 2,
                [0xFF, 0xD9] => {
                    at = bytes.len();
                    return Some(0xD9);
                }
                [0xFF, mark] => {
                    let length = bytes.get(at + 2..at + 4)?.first_chunk::<2>()?;
                    at += 2 + usize::from(u16::from_be_bytes(*length)).max(2);
                    return Some(mark);
                }
                // Inside a scan: on to the next mark.
                _ => at += bytes[at..].iter().position(|&byte| byte == 0xFF)?,
            }
        }
    })
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
