//! Text to glyphs: capitals by the rules of Unicode, accents set on their letters.

use super::alphabet::Glyph;
use super::{Alphabet, Direction, Height, either};
use crate::error::{Error, Result};
use crate::words::{shortened, shown};
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// What there is to write with, for people.
pub const ALPHABET: &str = "A to Z, 0 to 9, & . , - ' ! ? + ♥ ★, and accented Latin, Greek and \
    Cyrillic capitals";
/// Most characters of a text. Ours: more than any band shows.
const MOST: usize = 200;

/// What a line of text is made of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Item {
    /// A letter with its accents.
    Glyph(Glyph),
    /// A space.
    Space,
}

/// A text that is checked: what it is made of, by character.
pub(super) struct Text {
    /// As it was given, without spaces around it.
    pub(super) given: String,
    letters: Vec<Letter>,
}

/// A character of the text as it is set: a capital and its accents.
struct Letter {
    /// Its place in the text, from 1.
    number: usize,
    /// As it was given.
    given: char,
    base: char,
    marks: Vec<char>,
}

impl Text {
    /// Reads a text: composed (Unicode's form NFC), in capitals, and then letter and accents apart
    /// (NFD).
    ///
    /// # Errors
    /// If there is nothing to write, or too much.
    pub(super) fn new(text: &str) -> Result<Self> {
        let given = text.trim();
        let count = given.chars().count();
        if count == 0 {
            return Err(Error::usage("there are no letters to set").hint("write a name or a word"));
        }
        if count > MOST {
            return Err(Error::usage(format!("{count} letters are too many"))
                .hint(format!("keep to {MOST}")));
        }
        let mut letters: Vec<Letter> = Vec::new();
        for (at, own) in given.nfc().enumerate() {
            for letter in capitals(own).nfd() {
                match letters.last_mut() {
                    Some(last) if is_combining_mark(letter) && last.base != ' ' => {
                        last.marks.push(letter);
                    }
                    _ => letters.push(Letter {
                        number: at + 1,
                        given: own,
                        base: letter,
                        marks: Vec::new(),
                    }),
                }
            }
        }
        Ok(Self {
            given: shortened(&shown(given), 40),
            letters,
        })
    }

    /// The glyphs of an alphabet.
    ///
    /// # Errors
    /// If it lacks one: the error names the character, its place, and the alphabets that have it.
    pub(super) fn glyphs(&self, alphabet: &Alphabet) -> Result<Vec<Item>> {
        let items = self.letters.iter().map(|letter| {
            let found = letter.drawn(alphabet);
            found.ok_or_else(|| self.missing(letter, alphabet.direction))
        });
        items.collect()
    }

    fn missing(&self, letter: &Letter, direction: Direction) -> Error {
        let what = format!(
            "there is no '{}' to set here: character {} of '{}'",
            shown(&letter.given.to_string()),
            letter.number,
            self.given
        );
        let has = |alphabet: Result<&'static Alphabet>| {
            alphabet.is_ok_and(|alphabet| letter.drawn(alphabet).is_some())
        };
        let heights = Height::ALL.into_iter();
        let heights = heights.filter(|&height| has(Alphabet::along(height)));
        let heights: Vec<String> = heights.map(|height| height.to_string()).collect();
        let error = Error::usage(what);
        if !heights.is_empty() {
            return error.hint(format!(
                "letters along the band have it at a height of {}",
                either(&heights)
            ));
        }
        if direction == Direction::Along && has(Alphabet::across()) {
            return error.hint("letters across the band have it");
        }
        error.hint(format!("there are {ALPHABET}"))
    }
}

impl Letter {
    fn drawn(&self, alphabet: &Alphabet) -> Option<Item> {
        if self.base == ' ' {
            return Some(Item::Space);
        }
        let base = alphabet.glyph(self.base)?.clone();
        let marks = self.marks.iter();
        let glyph = marks
            .copied()
            .try_fold(base, |glyph, mark| alphabet.accented(&glyph, mark))?;
        Some(Item::Glyph(glyph))
    }
}

/// The capitals that a character is set in.
fn capitals(letter: char) -> String {
    match letter {
        // Unicode writes SS; the capital letter is since 2017 the other right form.
        'ß' => "ẞ".to_string(),
        // Apostrophes and dashes as they are typed elsewhere.
        '\u{2018}' | '\u{2019}' | '\u{02BC}' => "'".to_string(),
        '\u{2010}'..='\u{2015}' | '\u{2212}' => "-".to_string(),
        '\u{00A0}' => " ".to_string(),
        // A heart that is to be shown as a picture.
        '\u{FE0E}' | '\u{FE0F}' => String::new(),
        _ => letter.to_uppercase().collect(),
    }
}
