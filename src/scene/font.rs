//! The one typeface, and how wide its letters are: read from the font's own tables, so that every face breaks lines alike.
//!
//! Not promised: kerning and marks are left out, which makes words a few hundredths wider here than where they are drawn.

use super::{Figures, Weight};
use crate::units::Mm;
use std::sync::OnceLock;

/// Inter Regular, a subset (see its README).
pub const REGULAR: &[u8] = include_bytes!("../output/font/inter-regular.ttf");
/// Inter SemiBold, a subset.
pub const SEMIBOLD: &[u8] = include_bytes!("../output/font/inter-semibold.ttf");
/// Name of the family.
pub const FAMILY: &str = "Inter";

/// Height of capitals and figures over the em (`OS/2` table, sCapHeight 1490 of 2048).
pub const CAPITALS: f64 = 1490.0 / 2048.0;
/// Width of a tabular figure over the em (`tnum` glyphs of the regular weight, 1328 of 2048; semibold has 1325).
pub const FIGURE: f64 = 1328.0 / 2048.0;

/// Width over the em of a letter that the font lacks: about that of a capital; East Asian letters and pictures take a whole em.
const UNKNOWN: (f64, f64) = (0.66, 1.0);
/// First of the scripts whose letters fill a square.
const SQUARE: char = '\u{1100}';

/// How wide a line of text is.
pub fn width(words: &str, size: Mm, weight: Weight, figures: Figures) -> Mm {
    let font = match weight {
        Weight::Regular => regular(),
        Weight::Semibold => semibold(),
    };
    let ems = words.chars().map(|letter| match figures {
        Figures::Tabular if letter.is_ascii_digit() => FIGURE,
        _ => font.advance(letter),
    });
    size * ems.sum::<f64>()
}

/// Whether the font has a glyph for `letter`.
pub fn has(letter: char) -> bool {
    regular().glyph(letter).is_some()
}

fn regular() -> &'static Font {
    static FONT: OnceLock<Font> = OnceLock::new();
    FONT.get_or_init(|| Font::new(REGULAR))
}

fn semibold() -> &'static Font {
    static FONT: OnceLock<Font> = OnceLock::new();
    FONT.get_or_init(|| Font::new(SEMIBOLD))
}

/// A run of characters with glyphs of their own (OpenType `cmap`, format 4).
#[derive(Debug, Clone, Copy)]
struct Segment {
    first: u16,
    last: u16,
    delta: u16,
    /// Where the glyph of `first` stands in the font's bytes; none if the delta alone tells.
    listed: Option<usize>,
}

/// The tables of a font that tell widths; empty where the bytes are no font.
#[derive(Debug, Default)]
struct Font {
    bytes: &'static [u8],
    segments: Vec<Segment>,
    advances: Vec<f64>,
}

impl Font {
    fn new(bytes: &'static [u8]) -> Self {
        let read = || Some((segments(bytes)?, advances(bytes)?));
        let (segments, advances) = read().unwrap_or_default();
        Self {
            bytes,
            segments,
            advances,
        }
    }

    fn advance(&self, letter: char) -> f64 {
        let known = self
            .glyph(letter)
            .and_then(|glyph| self.advances.get(glyph).or(self.advances.last()));
        match known {
            Some(advance) => *advance,
            None if letter >= SQUARE => UNKNOWN.1,
            None => UNKNOWN.0,
        }
    }

    /// OpenType `cmap`, format 4: the first segment whose end is not before the character.
    fn glyph(&self, letter: char) -> Option<usize> {
        let code = u16::try_from(u32::from(letter)).ok()?;
        let at = self.segments.partition_point(|segment| segment.last < code);
        let segment = self.segments.get(at).filter(|s| s.first <= code)?;
        let glyph = match segment.listed {
            None => code.wrapping_add(segment.delta),
            Some(at) => {
                let listed = u16_at(self.bytes, at + 2 * usize::from(code - segment.first))?;
                listed.wrapping_add(segment.delta)
            }
        };
        (glyph != 0).then_some(usize::from(glyph))
    }
}

fn u16_at(bytes: &[u8], at: usize) -> Option<u16> {
    let pair = bytes.get(at..at + 2)?;
    Some(u16::from_be_bytes([pair[0], pair[1]]))
}

fn u32_at(bytes: &[u8], at: usize) -> Option<usize> {
    Some(usize::from(u16_at(bytes, at)?) << 16 | usize::from(u16_at(bytes, at + 2)?))
}

/// Where the table `tag` starts.
fn table(bytes: &[u8], tag: &[u8; 4]) -> Option<usize> {
    let count = usize::from(u16_at(bytes, 4)?);
    let mut entries = (0..count).map(|entry| 12 + 16 * entry);
    let entry = entries.find(|&at| bytes.get(at..at + 4) == Some(tag))?;
    u32_at(bytes, entry + 8)
}

/// `hmtx`, over the em of `head`, as many as `hhea` says.
fn advances(bytes: &[u8]) -> Option<Vec<f64>> {
    let em = f64::from(u16_at(bytes, table(bytes, b"head")? + 18)?);
    let count = usize::from(u16_at(bytes, table(bytes, b"hhea")? + 34)?);
    let metrics = table(bytes, b"hmtx")?;
    (0..count)
        .map(|glyph| Some(f64::from(u16_at(bytes, metrics + 4 * glyph)?) / em))
        .collect()
}

/// `cmap`, format 4, of the Windows platform.
fn segments(bytes: &[u8]) -> Option<Vec<Segment>> {
    let cmap = table(bytes, b"cmap")?;
    let count = usize::from(u16_at(bytes, cmap + 2)?);
    let starts: Option<Vec<usize>> = (0..count)
        .map(|entry| Some(cmap + u32_at(bytes, cmap + 8 + 8 * entry)?))
        .collect();
    let start = starts?
        .into_iter()
        .find(|&at| u16_at(bytes, at) == Some(4))?;
    let doubled = usize::from(u16_at(bytes, start + 6)?);
    (0..doubled / 2)
        .map(|segment| {
            let last = start + 14 + 2 * segment;
            let first = last + doubled + 2;
            let (delta, offset) = (first + doubled, first + 2 * doubled);
            let listed = match usize::from(u16_at(bytes, offset)?) {
                0 => None,
                distance => Some(offset + distance),
            };
            Some(Segment {
                first: u16_at(bytes, first)?,
                last: u16_at(bytes, last)?,
                delta: u16_at(bytes, delta)?,
                listed,
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Advances as the `hmtx` table lists them, read by an independent program: one 833, zero 1292 of 2048; semibold 866 and 1351.
    #[test]
    fn widths_are_those_of_the_font() {
        let em = Mm::new(2048.0);
        let wide = |words, weight| width(words, em, weight, Figures::Running).get();
        assert_eq!(wide("1", Weight::Regular), 833.0);
        assert_eq!(wide("10", Weight::Regular), 833.0 + 1292.0);
        assert_eq!(wide("10", Weight::Semibold), 866.0 + 1351.0);
        let tabular = width("111", em, Weight::Regular, Figures::Tabular);
        assert_eq!(tabular.get(), 3.0 * 1328.0);
    }

    #[test]
    fn the_font_has_latin_greek_and_cyrillic_and_lacks_the_rest() {
        for letter in ['a', 'Ž', 'ω', 'я', '×', '√'] {
            assert!(has(letter), "{letter}");
        }
        for letter in ['海', 'א', '\u{1F41A}'] {
            assert!(!has(letter), "{letter}");
        }
        let two = width("海海", Mm::new(3.0), Weight::Regular, Figures::Running);
        assert_eq!(two.get(), 6.0);
    }
}
