//! Words to glyphs of the embedded typeface: kerning, accents in their place, figures of one width
//! where they stand in columns.
//!
//! A letter that is not in the typeface is drawn as `□`, and is still itself when the text is
//! copied or read aloud.

use super::internal;
use crate::error::Result;
use crate::scene::{Figures, Weight, font};
use harfrust::{Feature, FontRef, ShapeOptions, ShaperData, Tag, UnicodeBuffer};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use std::collections::HashMap;

/// Drawn for letters that are not in the typeface: U+25A1.
const SUBSTITUTE: char = '□';

/// The typeface, and the words shaped so far.
pub(super) struct Typeface {
    regular: Face,
    semibold: Face,
}

struct Face {
    font: Font,
    shapes: ShaperData,
    bytes: &'static [u8],
    em: f32,
    shaped: HashMap<(String, bool), Shaped>,
}

/// A line of glyphs.
#[derive(Clone)]
pub(super) struct Shaped {
    pub(super) glyphs: Vec<KrillaGlyph>,
    /// Width over the em.
    pub(super) width: f32,
}

impl Typeface {
    pub(super) fn new() -> Result<Self> {
        Ok(Self {
            regular: Face::new(font::REGULAR)?,
            semibold: Face::new(font::SEMIBOLD)?,
        })
    }

    /// The font and the glyphs for words.
    pub(super) fn shape(
        &mut self,
        words: &str,
        weight: Weight,
        figures: Figures,
    ) -> (Font, Shaped) {
        let face = match weight {
            Weight::Regular => &mut self.regular,
            Weight::Semibold => &mut self.semibold,
        };
        (
            face.font.clone(),
            face.shape(words, figures == Figures::Tabular),
        )
    }
}

impl Face {
    fn new(bytes: &'static [u8]) -> Result<Self> {
        let unreadable = || internal("the embedded typeface cannot be read");
        let font = Font::new(bytes.into(), 0).ok_or_else(unreadable)?;
        let parsed = FontRef::new(bytes).map_err(|_| unreadable())?;
        Ok(Self {
            em: font.units_per_em(),
            font,
            shapes: ShaperData::new(&parsed),
            bytes,
            shaped: HashMap::new(),
        })
    }

    fn shape(&mut self, words: &str, tabular: bool) -> Shaped {
        let key = (words.to_string(), tabular);
        if let Some(known) = self.shaped.get(&key) {
            return known.clone();
        }
        let shaped = self.shape_anew(words, tabular);
        self.shaped.insert(key, shaped.clone());
        shaped
    }

    fn shape_anew(&self, words: &str, tabular: bool) -> Shaped {
        let nothing = Shaped {
            glyphs: Vec::new(),
            width: 0.0,
        };
        let Ok(parsed) = FontRef::new(self.bytes) else {
            return nothing;
        };
        // Where each byte of what is shaped stands in the words.
        let mut shown = String::new();
        let mut places = Vec::new();
        for (at, letter) in words.char_indices() {
            let letter = if font::has(letter) {
                letter
            } else {
                SUBSTITUTE
            };
            shown.push(letter);
            places.extend(std::iter::repeat_n(at, letter.len_utf8()));
        }
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(&shown);
        buffer.guess_segment_properties();
        let features = [Feature::new(Tag::new(b"tnum"), 1, ..)];
        let options = ShapeOptions::new().features(if tabular { &features } else { &[] });
        let shaper = self.shapes.shaper(&parsed).build();
        let run = shaper.shape(buffer, options);
        let starts: Vec<usize> = run
            .glyph_infos()
            .iter()
            .map(|info| places.get(info.cluster as usize).copied().unwrap_or(0))
            .collect();
        let em = self.em;
        let glyphs: Vec<KrillaGlyph> = run
            .glyph_infos()
            .iter()
            .zip(run.glyph_positions())
            .enumerate()
            .map(|(at, (info, place))| {
                // A cluster ends where the next one starts; all its glyphs stand for all of it.
                let next = starts[at..].iter().find(|start| **start > starts[at]);
                KrillaGlyph::new(
                    GlyphId::new(info.glyph_id),
                    place.x_advance as f32 / em,
                    place.x_offset as f32 / em,
                    place.y_offset as f32 / em,
                    place.y_advance as f32 / em,
                    starts[at]..next.copied().unwrap_or(words.len()),
                    None,
                )
            })
            .collect();
        let width = glyphs.iter().map(|glyph| glyph.x_advance).sum();
        Shaped { glyphs, width }
    }
}
