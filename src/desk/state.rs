//! What all requests share: the files the desk was started with, its limits and its caches.

use super::cache::Cache;
use super::latest::{Job, Latest};
use super::limits::{
    KEPT_FOLLOW_BYTES, KEPT_FOLLOW_PAGES, KEPT_PALETTES, KEPT_PICTURE_BYTES, KEPT_PICTURES,
    KEPT_PIXEL_BYTES, MAX_PALETTE, PIXEL_MEMORY,
};
use super::memory::Memory;
use super::response::Refusal;
use super::token::Token;
use super::uploads::Uploads;
use super::workers::Workers;
use crate::error::{Error, Result};
use crate::files::Private;
use crate::palette::Palette;
use crate::picture::{Decoding, Drawer, Size};
use crate::pipeline::{self, Decoded, Source};
use axum::http::HeaderValue;
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};
use tokio::sync::OwnedSemaphorePermit;

/// A file's name and its text.
#[derive(Debug, Clone)]
pub struct NamedText {
    /// The name, without folders.
    pub name: String,
    /// The text.
    pub text: String,
}

/// Files that the page opens when it starts.
#[derive(Debug, Clone, Default)]
pub struct StartFiles {
    /// A chart.
    pub chart: Option<NamedText>,
    /// The owner's palette.
    pub palette: Option<NamedText>,
}

/// A picture that the page sent.
pub struct Picture {
    /// SHA-256 of the file, in hex.
    pub id: String,
    /// The file's name.
    pub name: String,
    /// The file's bytes.
    pub bytes: Arc<Vec<u8>>,
    /// Bytes of memory that decoding it takes.
    pub memory: usize,
    /// Its upright size; a drawing, which has no pixels of its own, has the size of its preview.
    pub size: Size,
}

impl Picture {
    /// The picture as the pipeline reads it.
    pub fn source(&self, decoding: Decoding) -> Source {
        Source::new(self.name.clone(), self.bytes.to_vec()).decoded_by(decoding)
    }

    /// An error with this picture's name as its place, unless it is about an option.
    pub fn blame(&self, error: Error) -> Error {
        match error.place().option {
            None => error.file(Path::new(&self.name)),
            Some(_) => error,
        }
    }
}

/// A palette and its file.
pub struct NamedPalette {
    /// The palette.
    pub palette: Palette,
    /// The file's name.
    pub file: String,
    /// The file's text.
    pub text: String,
}

/// A follow-along page.
pub struct FollowPage {
    /// The page.
    pub html: String,
    /// Its content security policy.
    pub policy: HeaderValue,
}

/// What all requests share.
pub struct Desk {
    /// The port that the desk listens on.
    pub port: u16,
    /// The secret in its address.
    pub token: Token,
    /// Files that the page opens when it starts.
    pub start: StartFiles,
    /// The file that opens the page in a browser, until it has.
    pub launch: Mutex<Option<Private>>,
    /// Where drawings are drawn.
    pub drawer: Drawer,
    /// Memory for request bodies.
    pub uploads: Uploads,
    /// Memory for pictures that are decoded.
    pub pixel_memory: Memory,
    /// The worker pool.
    pub workers: Workers,
    /// The newest request of each lane.
    pub latest: Latest,
    /// Pictures by their id.
    pub pictures: Cache<Picture>,
    /// The decoded pixels of the picture in use.
    pub pixels: Cache<Decoded>,
    /// Results of the last charts' stages.
    pub memory: pipeline::Cache,
    /// The same of the charts that were proposed beside them.
    pub proposed: pipeline::Cache,
    /// Palettes by their id.
    pub palettes: Cache<NamedPalette>,
    /// Follow-along pages by their id.
    pub follow_pages: Cache<FollowPage>,
}

impl Desk {
    /// A desk with empty caches.
    ///
    /// # Errors
    /// If the system gives no random numbers for the token.
    pub fn new(port: u16, start: StartFiles, drawer: Drawer) -> Result<Self> {
        Ok(Self {
            port,
            token: Token::new()?,
            start,
            launch: Mutex::default(),
            drawer,
            uploads: Uploads::new(),
            pixel_memory: Memory::new(PIXEL_MEMORY, "the desk has too many large pictures to read"),
            workers: Workers::new(),
            latest: Latest::default(),
            pictures: Cache::new("picture", KEPT_PICTURES, KEPT_PICTURE_BYTES),
            pixels: Cache::new("picture", 1, KEPT_PIXEL_BYTES),
            memory: pipeline::Cache::default(),
            proposed: pipeline::Cache::default(),
            palettes: Cache::new("palette", KEPT_PALETTES, KEPT_PALETTES * MAX_PALETTE),
            follow_pages: Cache::new("page", KEPT_FOLLOW_PAGES, KEPT_FOLLOW_BYTES),
        })
    }

    /// Removes the file that opens the page, now that it has.
    pub fn launched(&self) {
        self.launch
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .take();
    }

    /// Memory for the pixels of a picture, to be held as long as they are worked on. Where they are
    /// too many to be kept, those that are kept make room.
    ///
    /// # Errors
    /// [`Refusal::Stale`] if a newer request replaces this one; 503 if it waits too long.
    pub async fn reserve_pixels(
        &self,
        job: &Job,
        bytes: usize,
    ) -> std::result::Result<OwnedSemaphorePermit, Refusal> {
        let permit = tokio::select! {
            biased;
            () = job.clone().replaced() => return Err(Refusal::Stale),
            permit = self.pixel_memory.reserve(bytes) => permit?,
        };
        if bytes > KEPT_PIXEL_BYTES {
            self.pixels.clear();
        }
        Ok(permit)
    }

    /// How a job's pictures are decoded.
    pub fn decoding(&self, job: &Job) -> Decoding {
        Decoding {
            drawer: self.drawer,
            cancel: job.cancel(),
        }
    }
}
