//! What is true of each piece of artwork: `tests/data/artwork/truth.json`.

use image::RgbaImage;
use serde::Deserialize;
use std::fs;
use std::path::{Path, PathBuf};
use upbead::colour::{Srgb8, read_hex};

/// Which way up a piece has to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Upright {
    /// It stands.
    Up,
    /// Its width runs along the band.
    Along,
    /// Either will do.
    Any,
}

/// A symmetry of the upright picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Alike {
    /// Left and right are alike.
    Columns,
    /// Top and bottom are alike.
    Rows,
}

/// A part that must still be there.
#[derive(Debug, Clone, Deserialize)]
pub struct Part {
    /// What it is.
    pub name: String,
    /// Its colour in hex.
    pub colour: String,
    /// Left, top, width and height in pixels.
    #[serde(rename = "box")]
    pub area: [f64; 4],
}

/// One row of the file; `tests/data/artwork/README.md` says what each key holds.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Truth {
    pub file: String,
    pub kind: String,
    pub ground: Option<String>,
    pub colours: Option<Vec<String>>,
    pub axes: Vec<Alike>,
    pub strokes: Option<usize>,
    pub holes: Option<usize>,
    pub tile: Option<f64>,
    pub upright: Upright,
    pub parts: Vec<Part>,
}

/// A piece of artwork and what is true of it.
pub struct Piece {
    pub truth: Truth,
    pub bytes: Vec<u8>,
    pub pixels: RgbaImage,
}

impl Piece {
    /// The file's name without folder and ending.
    pub fn name(&self) -> &str {
        let stem = Path::new(&self.truth.file).file_stem();
        stem.and_then(|stem| stem.to_str()).unwrap_or_default()
    }
}

/// The folder of the artwork.
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/artwork")
}

/// Every piece, in the order of the file.
pub fn pieces() -> Vec<Piece> {
    let text = fs::read_to_string(folder().join("truth.json")).expect("truth.json");
    let all: Vec<Truth> = serde_json::from_str(&text).expect("truth.json can be read");
    let piece = |truth: Truth| {
        let bytes = fs::read(folder().join(&truth.file)).expect("a piece of artwork");
        let pixels = image::load_from_memory(&bytes)
            .expect("a picture")
            .to_rgba8();
        Piece {
            truth,
            bytes,
            pixels,
        }
    };
    all.into_iter().map(piece).collect()
}

/// A colour of the file: `#` and six hex digits.
pub fn colour(hex: &str) -> Srgb8 {
    read_hex(hex.trim_start_matches('#')).expect("six hex digits")
}
