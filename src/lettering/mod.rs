//! Lettering: capitals drawn for this lattice, set with even spacing and laid on a band.
//!
//! Beads of neighbouring columns are half a bead apart, so that a font made for a square grid does
//! not fit: these letters are drawn bead by bead. A stroke along a column is a run of its beads, a
//! stroke across the columns zigzags by half a bead from one to the next, and a diagonal moves on
//! half a bead a column.
//!
//! | alphabet | capitals |
//! |---|---|
//! | `along5`, `along7` | 5 and 7 columns high, strokes of one bead, reading along the band |
//! | `along9` | 9 columns high, stems of two beads, reading along the band |
//! | `across` | 5 to 7 columns wide, 9 rows high, one above the other along the band |
//!
//! Text along the band reads with row 1 at the left and column 1 at the top. Text across it is
//! upright where row 1 is at the bottom, and its first letter is the uppermost. Both read right on
//! the outside of a worn band, which is the side that a chart shows.
//!
//! | part | does |
//! |---|---|
//! | `alphabet` | reads the drawings |
//! | `accents` | sets accents on capitals |
//! | `text` | text to glyphs |
//! | `spacing` | glyphs to a line of text |
//! | `place` | a line of text to beads of a band |

mod accents;
mod alphabet;
mod place;
mod spacing;
mod text;

#[cfg(test)]
mod tests;

pub use alphabet::{Alphabet, Glyph, Point};
pub use place::{Lettering, Letters, layout};
pub use text::ALPHABET;

use crate::error::{Error, Result};
use std::fmt;
use std::str::FromStr;

/// Which way text reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
pub enum Direction {
    /// Along the band, the finger's way round.
    #[default]
    Along,
    /// Across the band, letter above letter.
    Across,
}

impl Direction {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Along, Self::Across];

    /// As requests and design files write it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Along => "along",
            Self::Across => "across",
        }
    }
}

impl fmt::Display for Direction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl FromStr for Direction {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let found = Self::ALL.into_iter().find(|own| own.word() == text.trim());
        found.ok_or_else(|| {
            Error::usage(format!("'{}' is no direction of letters", text.trim()))
                .hint("write along or across")
        })
    }
}

/// How many columns high capitals are that read along the band.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Height {
    /// 5 columns.
    Five,
    /// 7 columns.
    Seven,
    /// 9 columns.
    Nine,
}

impl Height {
    /// All, the smallest first.
    pub const ALL: [Self; 3] = [Self::Five, Self::Seven, Self::Nine];

    /// The columns.
    pub const fn columns(self) -> u32 {
        match self {
            Self::Five => 5,
            Self::Seven => 7,
            Self::Nine => 9,
        }
    }
}

impl fmt::Display for Height {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.columns().fmt(f)
    }
}

impl FromStr for Height {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let own = |height: &Self| height.to_string() == text.trim();
        Self::ALL.into_iter().find(own).ok_or_else(|| {
            Error::usage(format!(
                "there are no letters '{}' columns high",
                text.trim()
            ))
            .hint("give 5, 7 or 9, or leave it out for the largest that fits")
        })
    }
}

/// `5`, `5 or 7`, `5, 7 or 9`.
fn either(all: &[String]) -> String {
    match all {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}
