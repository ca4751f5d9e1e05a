//! What the owner has: palettes and the nearest colour in them.

mod alike;
mod bounds;
mod currency;
mod nearest;
pub mod read;
mod weight;
pub mod write;

pub use alike::{Alike, HARD_TO_TELL, Pair, alike};
pub use bounds::{Bound, Bounds};
pub use currency::Currency;
pub use nearest::{Nearest, by_brute_force};
pub use weight::{PerGram, Source, of_glass, with_spare};

use crate::colour::{Lab, Light, Oklab, Srgb8, lab, light, oklab};
use crate::error::{Error, Result, nearest_names};
use crate::units::{Grams, grouped};
use std::fmt;

/// How a bead's surface looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Finish {
    /// Shiny and not seen through.
    Opaque,
    /// Etched, without shine.
    Matte,
    /// Seen through.
    Transparent,
    /// Shines like metal.
    Metallic,
    /// A pearly coat.
    Lustre,
}

impl Finish {
    /// Every finish.
    pub const ALL: [Self; 5] = [
        Self::Opaque,
        Self::Matte,
        Self::Transparent,
        Self::Metallic,
        Self::Lustre,
    ];

    /// The word in files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Opaque => "opaque",
            Self::Matte => "matte",
            Self::Transparent => "transparent",
            Self::Metallic => "metallic",
            Self::Lustre => "lustre",
        }
    }

    /// The finish that `word` names, in any case.
    pub fn read(word: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|finish| finish.word().eq_ignore_ascii_case(word))
    }
}

impl fmt::Display for Finish {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// One colour of bead that the owner has.
#[derive(Debug, Clone, PartialEq)]
pub struct Colour {
    /// The owner's code; unique in its palette.
    pub code: String,
    /// As a weaver says it aloud.
    pub name: String,
    /// How it looks.
    pub srgb: Srgb8,
    /// Its surface, where stated.
    pub finish: Option<Finish>,
    /// How much the owner has; none means enough.
    pub grams: Option<Grams>,
    /// Beads in a gram, where stated.
    pub per_gram: Option<f64>,
    /// Price of a gram, where stated, in the owner's money.
    pub price: Option<f64>,
    /// Grams in a pack as it is sold, where stated.
    pub per_pack: Option<Grams>,
    /// Cells of columns that the program does not know, in the order of [`Palette::extra`].
    pub extra: Vec<String>,
}

/// The colours that the owner has, in the order of their file.
#[derive(Debug, Clone, PartialEq)]
pub struct Palette {
    /// The file's name without folder and ending, or the name that the file gives itself.
    pub name: String,
    /// At least one colour.
    colours: Vec<Colour>,
    /// Heads of columns that the program does not know but keeps.
    pub extra: Vec<String>,
    /// What the prices are in, where stated.
    pub currency: Option<Currency>,
}

/// A colour in the three forms that the choice of colours works with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tone {
    /// For averaging.
    pub light: Light,
    /// For judging.
    pub lab: Lab,
    /// For searching.
    pub oklab: Oklab,
}

impl Tone {
    /// The three forms of one linear colour.
    pub fn new(light: Light) -> Self {
        Self {
            light,
            lab: lab(light),
            oklab: oklab(light),
        }
    }
}

impl Palette {
    /// A palette of `colours` with unique codes, and no currency.
    ///
    /// # Errors
    /// If there is no colour, or a code stands twice.
    pub fn new(name: impl Into<String>, colours: Vec<Colour>, extra: Vec<String>) -> Result<Self> {
        if colours.is_empty() {
            return Err(Error::new("the palette has no colours")
                .hint("give each colour a line: code,name,hex"));
        }
        let mut codes = std::collections::HashSet::new();
        if let Some(twice) = colours.iter().find(|colour| !codes.insert(&colour.code)) {
            return Err(
                Error::new(format!("the code '{}' stands twice", twice.code))
                    .hint("give each colour a code of its own"),
            );
        }
        Ok(Self {
            name: name.into(),
            colours,
            extra,
            currency: None,
        })
    }

    /// The colours, in the order of the file.
    pub fn colours(&self) -> &[Colour] {
        &self.colours
    }

    /// The tones of the colours, in the same order.
    pub fn tones(&self) -> Vec<Tone> {
        self.colours
            .iter()
            .map(|colour| Tone::new(light(colour.srgb)))
            .collect()
    }

    /// The codes of the colours whose code or part of the name is nearest to what was typed, best
    /// first.
    pub(crate) fn near(&self, typed: &str) -> Vec<&str> {
        let named = |name: &str| {
            let colour = self.colours.iter().find(|colour| colour.name == name);
            colour.map(|colour| colour.code.as_str())
        };
        let codes = nearest_names(
            typed,
            self.colours.iter().map(|colour| colour.code.as_str()),
        );
        if !codes.is_empty() {
            return codes;
        }
        // A word of a name is what people remember.
        let worded = self
            .colours
            .iter()
            .filter(|colour| {
                colour
                    .name
                    .split_whitespace()
                    .any(|word| word.eq_ignore_ascii_case(typed))
            })
            .map(|colour| colour.code.as_str());
        let worded: Vec<&str> = worded.take(3).collect();
        if worded.is_empty() {
            nearest_names(
                typed,
                self.colours.iter().map(|colour| colour.name.as_str()),
            )
            .into_iter()
            .filter_map(named)
            .collect()
        } else {
            worded
        }
    }

    /// Where the colour stands that has this code or, in any case, this name.
    ///
    /// # Errors
    /// If there is none (the nearest codes are named), or several have the name.
    pub fn find(&self, typed: &str) -> Result<usize> {
        if let Some(at) = self.colours.iter().position(|colour| colour.code == typed) {
            return Ok(at);
        }
        let named = |at: &usize| self.colours[*at].name.to_lowercase() == typed.to_lowercase();
        let named: Vec<usize> = (0..self.colours.len()).filter(named).collect();
        if let [at] = named[..] {
            return Ok(at);
        }
        if !named.is_empty() {
            let codes = named
                .iter()
                .take(3)
                .map(|&at| self.colours[at].code.as_str());
            let codes: Vec<&str> = codes.collect();
            let what = format!("{} colours are called '{typed}'", grouped(named.len()));
            return Err(Error::new(what).hint(format!("give the code: {}", codes.join(" or "))));
        }
        let error = Error::new(format!("no colour has the code or name '{typed}'"));
        let near = self.near(typed);
        Err(match near[..] {
            [] => error.hint("`upbead palette FILE` lists the codes"),
            _ => error.hint(format!("did you mean {}?", near.join(" or "))),
        })
    }
}
