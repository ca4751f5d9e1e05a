//! Pictures inside an SVG: embedded ones, within limits; linked ones are not read.

use super::super::limits::{MOST_PICTURE_BYTES, check};
use crate::error::{Error, Result};
use crate::warning::Warning;
use image::ImageReader;
use resvg::usvg::{ImageHrefResolver, ImageKind, Options};
use std::io::Cursor;
use std::sync::{Arc, Mutex, PoisonError};

/// Most bytes that are counted for the pixels of all pictures inside, each time they are shown.
const MOST_INSIDE: u64 = 4 * MOST_PICTURE_BYTES;
/// Bytes counted for a pixel: it is held once as decoded and once as drawn.
const BYTES_PER_PIXEL: u64 = 8;

/// What was found while the document was read.
#[derive(Default)]
pub(super) struct Inside(Mutex<Found>);

#[derive(Default)]
struct Found {
    bytes: u64,
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
                    open(kind, data, options)
                }
            }),
            resolve_string: Box::new(move |name, _| {
                let mut found = linked.0.lock().unwrap_or_else(PoisonError::into_inner);
                if !found.linked.iter().any(|known| known == name) {
                    found.linked.push(name.to_string());
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
                let mut inside = Error::new(format!("inside the SVG, {}", error.what()));
                if let Some(hint) = error.remedy() {
                    inside = inside.hint(hint);
                }
                found.refused.get_or_insert(inside);
                None
            }
        }
    }

    /// Warnings about pictures that are not shown.
    ///
    /// # Errors
    /// If one of them was too large.
    pub(super) fn notes(&self) -> Result<Vec<Warning>> {
        let mut found = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(error) = found.refused.take() {
            return Err(error);
        }
        let linked = std::mem::take(&mut found.linked);
        Ok(linked
            .into_iter()
            .map(|name| Warning::LinkedPicture { name })
            .collect())
    }
}
