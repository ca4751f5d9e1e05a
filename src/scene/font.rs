//! The one typeface, and how wide its letters are: read from the font itself, so that every output
//! format breaks lines at the same places.
//!
//! Not promised: kerning and marks are left out, which makes words a few hundredths wider here than
//! where they are drawn.

use super::{Figures, Weight};
use crate::units::Mm;
use skrifa::charmap::Charmap;
use skrifa::instance::{LocationRef, Size};
use skrifa::metrics::GlyphMetrics;
use skrifa::{FontRef, MetadataProvider};
use std::sync::OnceLock;

/// Inter Regular, a subset (see its README).
pub const REGULAR: &[u8] = include_bytes!("../output/font/inter-regular.ttf");
/// Inter SemiBold, a subset.
pub const SEMIBOLD: &[u8] = include_bytes!("../output/font/inter-semibold.ttf");
/// Name of the family.
pub const FAMILY: &str = "Inter";

/// Height of capitals and figures over the em (`OS/2` table, sCapHeight 1490 of 2048).
pub const CAPITALS: f64 = 1490.0 / 2048.0;
/// Width of a tabular figure over the em (`tnum` glyphs of the regular weight, 1328 of 2048;
/// semibold has 1325).
pub const FIGURE: f64 = 1328.0 / 2048.0;

/// Width over the em of a letter that is not in the font: about that of a capital.
const MISSING: f64 = 0.66;
/// The same for East Asian letters and emoji, which fill a square.
const MISSING_SQUARE: f64 = 1.0;
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
        _ => advance(font, letter),
    });
    size * ems.sum::<f64>()
}

/// Whether the font has a glyph for `letter`.
pub fn has(letter: char) -> bool {
    regular().is_some_and(|font| font.characters.map(letter).is_some())
}

/// Which glyph each character has, how wide each glyph is, and the em in the same units.
struct Font {
    characters: Charmap<'static>,
    glyphs: GlyphMetrics<'static>,
    em: f64,
}

impl Font {
    /// None if the bytes are no font.
    fn new(bytes: &'static [u8]) -> Option<Self> {
        let font = FontRef::new(bytes).ok()?;
        // Font units: a size would round every width to 1/64.
        let (size, location) = (Size::unscaled(), LocationRef::default());
        Some(Self {
            characters: font.charmap(),
            glyphs: font.glyph_metrics(size, location),
            em: f64::from(font.metrics(size, location).units_per_em),
        })
    }
}

fn regular() -> Option<&'static Font> {
    static FONT: OnceLock<Option<Font>> = OnceLock::new();
    FONT.get_or_init(|| Font::new(REGULAR)).as_ref()
}

fn semibold() -> Option<&'static Font> {
    static FONT: OnceLock<Option<Font>> = OnceLock::new();
    FONT.get_or_init(|| Font::new(SEMIBOLD)).as_ref()
}

fn advance(font: Option<&Font>, letter: char) -> f64 {
    let known = font.and_then(|font| {
        let glyph = font.characters.map(letter)?;
        Some(f64::from(font.glyphs.advance_width(glyph)?) / font.em)
    });
    match known {
        Some(advance) => advance,
        None if letter >= SQUARE => MISSING_SQUARE,
        None => MISSING,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeMap;

    /// Widths in units of 2048 to the em, regular and semibold, by an independent program.
    fn table() -> BTreeMap<char, [f64; 2]> {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/font_widths.csv");
        let text = std::fs::read_to_string(path).unwrap();
        let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
        rows.map(|row| {
            let cells: Vec<&str> = row.split(',').collect();
            let code = u32::from_str_radix(cells[0], 16).unwrap();
            let width = |at: usize| cells[at].parse().unwrap();
            (char::from_u32(code).unwrap(), [width(1), width(2)])
        })
        .collect()
    }

    #[test]
    fn every_width_is_the_one_that_another_program_reads() {
        let em = Mm::new(2048.0);
        let table = table();
        assert_eq!(table.len(), 794, "the table is cut short");
        for (letter, widths) in table {
            for (weight, wanted) in [Weight::Regular, Weight::Semibold].into_iter().zip(widths) {
                let word = letter.to_string();
                let running = width(&word, em, weight, Figures::Running);
                assert_eq!(running.get(), wanted, "{letter:?} {weight:?}");
            }
        }
        let running = width("10", em, Weight::Semibold, Figures::Running);
        assert_eq!(running.get(), 866.0 + 1351.0);
        let tabular = width("111", em, Weight::Regular, Figures::Tabular);
        assert_eq!(tabular.get(), 3.0 * 1328.0);
    }

    #[test]
    fn the_font_has_the_letters_of_the_table_and_no_others() {
        let table = table();
        for letter in (0..0x2_0000).filter_map(char::from_u32) {
            assert_eq!(has(letter), table.contains_key(&letter), "{letter:?}");
        }
        let two = width("海海", Mm::new(3.0), Weight::Regular, Figures::Running);
        assert_eq!(two.get(), 6.0);
        let hebrew = width("אא", Mm::new(3.0), Weight::Regular, Figures::Running);
        assert_eq!(hebrew.get(), 6.0 * 0.66);
    }

    #[test]
    fn capitals_are_as_high_as_the_font_says() {
        for bytes in [REGULAR, SEMIBOLD] {
            let font = FontRef::new(bytes).unwrap();
            let metrics = font.metrics(Size::unscaled(), LocationRef::default());
            assert_eq!(metrics.cap_height, Some((CAPITALS * 2048.0) as f32));
        }
    }
}
