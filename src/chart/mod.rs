//! The chart: which colour each bead of a band has, and the file that holds it.

mod mend;
pub mod read;
pub mod resize;
pub mod write;

use crate::colour::Srgb8;
use crate::lattice::{Column, Lattice, Row};
use crate::palette::{Colour, Finish, Palette};

/// What a chart file calls itself.
pub const FORMAT: &str = "upbead-chart";
/// The version of the format that is written, and the only one that is read.
pub const VERSION: u32 = 1;
/// Most colours of a chart.
pub const MOST_COLOURS: usize = 65_535;
/// The JSON Schema of chart files, draft 2020-12.
pub const SCHEMA: &str = include_str!("schema.json");

/// A colour that the chart uses.
#[derive(Debug, Clone, PartialEq)]
pub struct Shade {
    /// The owner's code; unique in the chart.
    pub code: String,
    /// As a weaver says it aloud.
    pub name: String,
    /// How it looks.
    pub srgb: Srgb8,
    /// Its surface, where stated.
    pub finish: Option<Finish>,
}

/// How a chart was made, so that it can be made again.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Made {
    /// The picture's file name, without its folder.
    pub source: String,
    /// SHA-256 of the picture's bytes, in hex.
    pub sha256: String,
    /// The options in use, as name and value, in a fixed order.
    pub options: Vec<(String, String)>,
    /// Version of the program.
    pub version: String,
}

/// A band with a colour for each bead.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    /// The band's shape.
    pub lattice: Lattice,
    /// The colours in use.
    pub colours: Vec<Shade>,
    /// For each bead, in lattice order, its colour's place in `colours`.
    pub beads: Vec<u16>,
    /// How it was made.
    pub made: Made,
    /// What the designer calls it.
    pub title: Option<String>,
    /// What the designer wants to say.
    pub notes: Option<String>,
}

impl From<&Colour> for Shade {
    fn from(colour: &Colour) -> Self {
        Self {
            code: colour.code.clone(),
            name: colour.name.clone(),
            srgb: colour.srgb,
            finish: colour.finish,
        }
    }
}

impl Made {
    /// The value of an option that was in use.
    pub fn option(&self, name: &str) -> Option<&str> {
        let found = self.options.iter().find(|(known, _)| known == name);
        found.map(|(_, value)| value.as_str())
    }
}

impl Chart {
    /// A band of palette colours: `chosen` has each bead's place in the palette, in lattice order.
    /// The chart's colours are those in use, in the palette's order.
    pub fn of_palette(lattice: Lattice, palette: &Palette, chosen: &[usize], made: Made) -> Self {
        let mut place = vec![None; palette.colours().len()];
        for &at in chosen {
            place[at] = Some(0);
        }
        let mut colours = Vec::new();
        for (place, colour) in place.iter_mut().zip(palette.colours()) {
            if place.is_some() {
                *place = Some(colours.len() as u16);
                colours.push(Shade::from(colour));
            }
        }
        Self {
            lattice,
            colours,
            beads: chosen.iter().filter_map(|&at| place[at]).collect(),
            made,
            title: None,
            notes: None,
        }
    }

    /// The colours of `row` in column order.
    pub fn row(&self, row: Row) -> &[u16] {
        &self.beads[self.lattice.span_of(row)]
    }

    /// The colour of the bead at `(row, column)`, if there is a bead.
    pub fn shade(&self, row: Row, column: Column) -> Option<&Shade> {
        let index = self.lattice.index(row, column)?;
        Some(&self.colours[usize::from(self.beads[index])])
    }

    /// The place in `colours` of the ground that the record names, if that is one of them.
    pub fn recorded_ground(&self) -> Option<u16> {
        let mut options = self.made.options.iter();
        let code = &options.find(|(name, _)| name == "ground")?.1;
        let at = self.colours.iter().position(|shade| shade.code == *code)?;
        u16::try_from(at).ok()
    }

    /// Degrees clockwise by which the picture was rotated onto the band, as the record says; 0
    /// where it says nothing. At 90 its left edge is at the end of the band, at 270 at row 1.
    pub fn rotated(&self) -> u32 {
        // Version 0.1 called it `turn`.
        let recorded = self.made.option("rotate").or(self.made.option("turn"));
        recorded
            .and_then(|degrees| degrees.parse().ok())
            .unwrap_or(0)
    }

    /// Whether its picture lies along the band, as the record says.
    pub fn is_lengthwise(&self) -> bool {
        self.rotated() % 180 == 90
    }

    /// How many beads each colour has, in the order of `colours`.
    pub fn counts(&self) -> Vec<usize> {
        let mut counts = vec![0; self.colours.len()];
        for &colour in &self.beads {
            counts[usize::from(colour)] += 1;
        }
        counts
    }

    /// The colour that most beads have; of two that are as frequent, the first one.
    pub fn most_frequent(&self) -> usize {
        let counts = self.counts();
        let most = (0..counts.len()).rev().max_by_key(|&at| counts[at]);
        most.unwrap_or(0)
    }
}
