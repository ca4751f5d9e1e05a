//! Pictures inside an SVG: embedded ones, within limits; linked ones are not read.

use super::super::limits::{MOST_PICTURE_BYTES, check};
use super::counts;
use crate::error::{Error, Result};
use image::ImageReader;
use resvg::usvg::{ImageHrefResolver, ImageKind, Options};
use std::io::Cursor;
use std::sync::{Arc, Mutex, PoisonError};

/// Most bytes that are counted for the pixels of all pictures inside, each time they are shown.
const MOST_INSIDE: u64 = 4 * MOST_PICTURE_BYTES;
/// Most letters of a linked file's name that are kept.
const LONGEST_NAME: usize = 200;
/// Bytes counted for a pixel: it is held once as decoded and once as drawn.
const BYTES_PER_PIXEL: u64 = 8;

/// What was found while the document was read.
#[derive(Default)]
pub(super) struct Inside(Mutex<Found>);

#[derive(Default)]
struct Found {
    bytes: u64,
    /// Of drawings inside.
    elements: u64,
    refused: Option<Error>,
    linked: Vec<String>,
}

impl Inside {
    /// Gives the renderer the embedded pictures, and remembers the linked ones.
    pub(super) fn resolver(found: &Arc<Self>) -> ImageHrefResolver<'static> {
        let (carried, linked) = (Arc::clone(found), Arc::clone(found));
        let open = ImageHrefResolver::default_data_resolver();
        ImageHrefResolver {
            resolve_data: Box::new(move |kind, data, options: &Options| {
                if !kind.contains("svg") {
                    carried.open(data)
                } else if data.starts_with(&[0x1F, 0x8B]) {
                    // A packed drawing could unpack to any length.
                    None
                } else {
                    carried.count(&data)?;
                    open(kind, data, options)
                }
            }),
            resolve_string: Box::new(move |name, _| {
                let mut found = linked.0.lock().unwrap_or_else(PoisonError::into_inner);
                let name: String = name.chars().take(LONGEST_NAME).collect();
                if !found.linked.contains(&name) {
                    found.linked.push(name);
                }
                None
            }),
        }
    }

    /// A picture recognised by its content, if its size is within limits; none if it cannot be
    /// read.
    fn open(&self, data: Arc<Vec<u8>>) -> Option<ImageKind> {
        let reader = ImageReader::new(Cursor::new(data.as_slice()));
        let reader = reader.with_guessed_format().ok()?;
        let kind = match reader.format()? {
            image::ImageFormat::Jpeg => ImageKind::JPEG,
            image::ImageFormat::Png => ImageKind::PNG,
            image::ImageFormat::Gif => ImageKind::GIF,
            image::ImageFormat::WebP => ImageKind::WEBP,
            _ => return None,
        };
        let (width, height) = reader.into_dimensions().ok()?;
        let bytes = u64::from(width) * u64::from(height) * BYTES_PER_PIXEL;
        let mut found = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        found.bytes = found.bytes.saturating_add(bytes);
        let allowed = check(width, height, bytes).and_then(|()| {
            if found.bytes > MOST_INSIDE {
                Err(Error::new("the pictures are too large in all")
                    .hint("make them smaller, or export the drawing as PNG"))
            } else {
                Ok(())
            }
        });
        match allowed {
            Ok(()) => Some(kind(Arc::clone(&data))),
            Err(error) => {
                found.refuse(&error);
                None
            }
        }
    }

    /// Counts what a drawing inside unfolds to; none if it is no drawing or unfolds to too much.
    fn count(&self, data: &[u8]) -> Option<()> {
        let text = std::str::from_utf8(data).ok()?;
        let counted = counts::check_bytes(data).and_then(|()| counts::read(text));
        let mut found = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let elements = match counted {
            Ok((_, elements)) => elements,
            Err(error) => {
                found.refuse(&error);
                return None;
            }
        };
        found.elements = found.elements.saturating_add(elements);
        match counts::check_elements(found.elements) {
            Ok(()) => Some(()),
            Err(error) => {
                found.refuse(&error);
                None
            }
        }
    }

    /// Names of the linked pictures, which are not shown.
    ///
    /// # Errors
    /// If one of those inside was too large.
    pub(super) fn linked(&self) -> Result<Vec<String>> {
        let mut found = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        match found.refused.take() {
            Some(error) => Err(error),
            None => Ok(std::mem::take(&mut found.linked)),
        }
    }
}

impl Found {
    /// Keeps the first reason why something inside is not shown.
    fn refuse(&mut self, error: &Error) {
        let mut inside = Error::new(format!("inside the SVG, {}", error.what()));
        if let Some(hint) = error.remedy() {
            inside = inside.hint(hint);
        }
        self.refused.get_or_insert(inside);
    }
}
