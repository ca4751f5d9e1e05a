//! Colours read from a photograph of bead piles.

use super::rounding::thousandths;
use crate::colour::hex;
use crate::error::{Error, Result};
use crate::palette::Palette;
use crate::palette_photo::{Doubt, Photograph, read};
use crate::picture::{Decoding, decode};
use crate::request::{PhotoRequest, photo_band};
use schemars::JsonSchema;
use serde::{Serialize, Serializer};
use std::path::Path;
use std::sync::Arc;

/// What a photograph of bead piles shows.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PhotoReport {
    /// Where the palette went; none is standard output.
    pub palette: Option<String>,
    /// The photograph's file; `-` is standard input.
    pub photo: String,
    /// The paper.
    pub paper: PaperReport,
    /// The piles, in reading order.
    pub piles: Vec<PileReport>,
}

/// The paper under the piles; shares have three decimals.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PaperReport {
    /// Its colour as photographed, where it is lightest; six hex digits.
    pub hex: String,
    /// Light where it is weakest over light where it is strongest.
    #[serde(serialize_with = "thousandths")]
    pub evenness: f64,
    /// Share of the photograph that is bare paper.
    #[serde(serialize_with = "thousandths")]
    pub bare: f64,
}

/// A pile; numbers have three decimals.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PileReport {
    /// Code of its colour.
    pub code: String,
    /// Name of its colour.
    pub name: String,
    /// Six hex digits.
    pub hex: String,
    /// Its middle, in pixels from the left.
    #[serde(serialize_with = "thousandths")]
    pub x: f64,
    /// From the top.
    #[serde(serialize_with = "thousandths")]
    pub y: f64,
    /// Share of the photograph that it covers.
    #[serde(serialize_with = "thousandths")]
    pub share: f64,
    /// Median difference (CIEDE2000) of its pixels from its colour.
    #[serde(serialize_with = "thousandths")]
    pub spread: f64,
    /// Why its colour may be wrong, in a word or two each.
    #[serde(serialize_with = "words")]
    #[schemars(with = "Vec<String>")]
    pub doubts: Vec<Doubt>,
}

/// A palette read from a photograph, and what the photograph shows.
pub struct PhotoPalette {
    /// The palette.
    pub palette: Palette,
    /// What the photograph shows.
    pub report: PhotoReport,
}

/// A photograph, and the palette to make from it.
#[derive(Debug, Clone, Copy)]
pub struct Photo<'a> {
    /// The photograph's file.
    pub file: &'a Path,
    /// Where the palette goes; none is standard output.
    pub palette: Option<&'a Path>,
}

impl PhotoPalette {
    /// Reads a photograph; the palette is called as its file is, or else as the photograph.
    ///
    /// # Errors
    /// If it cannot be read, shows no piles or no paper, or a place is outside it.
    pub fn read(
        photo: Photo,
        bytes: Vec<u8>,
        request: &PhotoRequest,
        decoding: &Decoding,
    ) -> Result<Self> {
        let options = request.options()?;
        let in_photo = |error: Error| {
            // A place outside is the option's fault, not the file's.
            if error.place().option.is_some() {
                error
            } else {
                error.file(photo.file)
            }
        };
        let decoded = decode(Arc::new(bytes), &photo_band()?, decoding).map_err(in_photo)?;
        let piles = read(&decoded, &options).map_err(in_photo)?;
        let named = photo.palette.unwrap_or(photo.file);
        let stem = named.file_stem().unwrap_or(named.as_os_str());
        let palette = piles.palette(&stem.to_string_lossy())?;
        let report = PhotoReport::of(photo, &piles, &palette);
        Ok(Self { palette, report })
    }
}

impl PhotoReport {
    fn of(photo: Photo, read: &Photograph, palette: &Palette) -> Self {
        let piles = read.piles.iter().zip(palette.colours());
        let piles = piles.map(|(pile, colour)| PileReport {
            code: colour.code.clone(),
            name: colour.name.clone(),
            hex: hex(colour.srgb),
            x: pile.x,
            y: pile.y,
            share: pile.share,
            spread: pile.spread,
            doubts: pile.doubts.clone(),
        });
        Self {
            palette: photo.palette.map(|file| file.to_string_lossy().into()),
            photo: photo.file.to_string_lossy().into(),
            paper: PaperReport {
                hex: hex(read.tint),
                evenness: read.evenness,
                bare: read.bare,
            },
            piles: piles.collect(),
        }
    }
}

fn words<S: Serializer>(doubts: &[Doubt], serializer: S) -> std::result::Result<S::Ok, S::Error> {
    serializer.collect_seq(doubts.iter().map(|doubt| doubt.word()))
}
