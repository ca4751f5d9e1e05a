//! A photograph of bead piles on white paper to a palette.
//!
//! | step | does |
//! |---|---|
//! | `paper` | which pixels are paper, and a smooth surface of light over all of it |
//! | `spots` | where the piles lie: found, on a grid, or at given spots |
//! | `pile` | one colour for each pile, highlights, holes and shadows left out |
//! | `names` | plain words for the colours |
//!
//! Each pixel's light is divided by the paper's light at the same place and multiplied by what
//! white paper reflects: that takes out the lamp's colour and its fall-off at once. What is left is
//! the reflectance in the three broad bands of a camera, not a spectrum: two lamps can still give a
//! bead two colours.

mod names;
mod paper;
mod pile;
mod spots;

pub use names::name;
pub use spots::Spots;

use crate::colour::{Light, Srgb8, srgb8};
use crate::error::{Error, Result};
use crate::palette::{Colour, Palette};
use crate::picture::{Picture, Size};
use crate::sample::grid;
pub use paper::Paper;

/// Cells along the longer side of the grid that stands for the photograph. Ours: a bead is then a
/// few cells wide.
const CELLS: usize = 1000;
/// What white paper reflects: L* 95, 0.876. Ours: common office paper is about as light, no source.
pub const PAPER: f64 = 0.876;
/// Least side of a photograph, in pixels. Ours.
const LEAST_SIDE: u32 = 32;
/// Most piles. Ours.
pub const MOST_PILES: usize = 1000;

/// A place on the upright photograph: pixels from the left and from the top.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// From the left.
    pub x: f64,
    /// From the top.
    pub y: f64,
}

impl Point {
    /// The same place on a grid of cells of so many pixels.
    fn in_cells(self, scale: f64) -> Self {
        Self {
            x: self.x / scale,
            y: self.y / scale,
        }
    }
}

/// What is known of the photograph.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Hints {
    /// Where the piles lie.
    pub spots: Spots,
    /// A place where the paper is bare, in pixels of the upright photograph; none lets the program
    /// find the paper.
    pub white: Option<Point>,
}

/// Why a pile's colour may be wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doubt {
    /// Little of it shows.
    Small,
    /// Its beads are not of one colour.
    Mixed,
    /// Much of it is so bright that the camera lost its colour.
    TooBright,
    /// It hardly differs from the paper.
    LikePaper,
    /// It touches the edge of the photograph.
    AtEdge,
}

/// One pile.
#[derive(Debug, Clone, PartialEq)]
pub struct Pile {
    /// Its middle, in pixels of the upright photograph.
    pub x: f64,
    /// From the top.
    pub y: f64,
    /// Reflectance, as linear sRGB.
    pub light: Light,
    /// Median difference (CIEDE2000) of its pixels from that.
    pub spread: f64,
    /// Share of the photograph that it covers.
    pub share: f64,
    /// Why the colour may be wrong.
    pub doubts: Vec<Doubt>,
}

impl Pile {
    /// Its colour for a palette; what sRGB cannot show is clipped.
    pub fn srgb(&self) -> Srgb8 {
        srgb8(self.light)
    }
}

/// What the photograph shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Photograph {
    /// The piles, in reading order.
    pub piles: Vec<Pile>,
    /// Share of the photograph that is bare paper.
    pub bare: f64,
    /// The colour of the paper as it was photographed, where it is lightest.
    pub tint: Srgb8,
    /// Light where it is weakest over light where it is strongest.
    pub evenness: f64,
}

/// Reads the piles in a photograph.
///
/// # Errors
/// If the photograph is tiny, shows no paper or no pile, or a spot or the white place is outside
/// it.
pub fn read(photo: &Picture, hints: &Hints) -> Result<Photograph> {
    let Size { width, height } = photo.upright();
    if width.min(height) < LEAST_SIDE {
        return Err(Error::new(format!(
            "a photograph of {width} x {height} pixels shows no beads"
        ))
        .hint("give one of at least a few hundred pixels a side"));
    }
    let grid = grid(photo, CELLS)?;
    let scale = f64::from(width) / grid.width as f64;
    hints.check(width, height)?;
    let inside = hints.spots.inside(&grid, scale);
    let white = hints.white.map(|white| white.in_cells(scale));
    let paper = Paper::find(&grid, white, &inside)?;
    let spots = spots::find(&grid, &paper, &hints.spots, scale)?;
    let mut piles: Vec<Pile> = spots
        .iter()
        .map(|spot| pile::read(&grid, &paper, spot))
        .collect();
    for pile in &mut piles {
        (pile.x, pile.y) = (pile.x * scale, pile.y * scale);
    }
    Ok(Photograph {
        piles,
        bare: paper.share(),
        tint: paper.tint(),
        evenness: paper.evenness(),
    })
}

impl Hints {
    fn check(&self, width: u32, height: u32) -> Result<()> {
        let within = |at: Point| {
            (0.0..f64::from(width)).contains(&at.x) && (0.0..f64::from(height)).contains(&at.y)
        };
        let outside = |at: Point, option: &str| {
            Error::usage(format!(
                "{},{} lies outside the photograph of {width} x {height} pixels",
                at.x, at.y
            ))
            .option(option)
            .hint("count pixels from the left and from the top of the upright photograph")
        };
        if let Spots::At(places) = &self.spots
            && let Some(&place) = places.iter().find(|place| !within(**place))
        {
            return Err(outside(place, "--spots"));
        }
        match self.white {
            Some(place) if !within(place) => Err(outside(place, "--white")),
            _ => Ok(()),
        }
    }
}

impl Photograph {
    /// The palette: codes `p-01` and on, plain names, and a column `sure` that says `yes` or why a
    /// colour may be wrong.
    ///
    /// # Errors
    /// Never with at least one pile, which a photograph that was read has.
    pub fn palette(&self, name: &str) -> Result<Palette> {
        let digits = self.piles.len().to_string().len().max(2);
        let names = names::unique(self.piles.iter().map(|pile| pile.light));
        let colours = self.piles.iter().zip(names).enumerate();
        let colours = colours.map(|(at, (pile, name))| Colour {
            code: format!("p-{:0digits$}", at + 1),
            name,
            srgb: pile.srgb(),
            finish: None,
            grams: None,
            per_gram: None,
            price: None,
            per_pack: None,
            extra: vec![if pile.doubts.is_empty() {
                "yes".to_string()
            } else {
                let words: Vec<&str> = pile.doubts.iter().map(|doubt| doubt.word()).collect();
                words.join(" and ")
            }],
        });
        Palette::new(name, colours.collect(), vec!["sure".to_string()])
    }
}

impl Doubt {
    /// In a word or two, for a cell.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Small => "small",
            Self::Mixed => "mixed",
            Self::TooBright => "too bright",
            Self::LikePaper => "like the paper",
            Self::AtEdge => "at the edge",
        }
    }
}
