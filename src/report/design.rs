//! Where the picture goes, and which colours the beads may have.

use super::{Shape, calm, colours, crisp, distances, kit, of_option, words};
use crate::error::{Error, Result};
use crate::lattice::Axis;
use crate::palette::Palette;
use crate::picture::{Arrangement, Fit, Seat};
use crate::pipeline::{FromStock, Options};
use crate::quantize::{self, Dither, refine};
use crate::vision::band::DISTANCES;

/// Strength of dithering where none is given. Over 16 real pictures as seen at 700 mm, diffusion at half strength came nearer (mean CIEDE2000 7.7) than none (8.3).
pub const STRENGTH: f64 = 0.5;

/// How a picture of another shape fits its place, as it is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum FitWord {
    /// Fills the place.
    Cover,
    /// Shows all of it.
    Contain,
    /// Out of proportion.
    Stretch,
}

impl From<FitWord> for Fit {
    fn from(word: FitWord) -> Self {
        match word {
            FitWord::Cover => Self::Cover,
            FitWord::Contain => Self::Contain,
            FitWord::Stretch => Self::Stretch,
        }
    }
}

/// How neighbours mix, as it is typed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, clap::ValueEnum, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum DitherWord {
    /// Not at all.
    #[default]
    None,
    /// Errors are handed on.
    Diffuse,
    /// An even grain decides.
    Mask,
}

/// Which mirror images, as it is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum MirrorWord {
    /// Left and right.
    Columns,
    /// Both ends.
    Rows,
    /// Both.
    Both,
}

/// What was said of the design.
#[derive(Debug, Clone, Copy)]
pub struct Design<'a> {
    /// `--place`: `round`, `motif` or `repeat:N`.
    pub place: &'a str,
    /// `--seat`, with the place `motif`: `best`, `middle` or `SCALE,MM,MM`.
    pub seat: Option<&'a str>,
    /// `--turn`: `auto` or degrees.
    pub turn: &'a str,
    /// `--crop`: `X,Y,W,H`.
    pub crop: Option<&'a str>,
    /// `--fit`.
    pub fit: Option<FitWord>,
    /// `--margin`.
    pub margin: u32,
    /// `--ground`: a code.
    pub ground: Option<&'a str>,
    /// `--colours`.
    pub colours: Option<usize>,
    /// `--keep`: codes.
    pub keep: &'a [String],
    /// `--without`: codes.
    pub without: &'a [String],
    /// `--from-stock`.
    pub from_stock: bool,
    /// `--make`, with `--from-stock`: bands.
    pub make: Option<&'a str>,
    /// `--spare`, with `--from-stock`: percent.
    pub spare: Option<&'a str>,
    /// `--dither`.
    pub dither: DitherWord,
    /// `--strength`.
    pub strength: Option<f64>,
    /// `--refine`.
    pub refine: bool,
    /// `--seen`, with `--refine`: millimetres, parted by commas.
    pub seen: Option<&'a str>,
    /// `--calm`.
    pub calm: Option<f64>,
    /// `--crisp`.
    pub crisp: Option<f64>,
    /// `--mirror`.
    pub mirror: Option<MirrorWord>,
    /// `--title`.
    pub title: Option<&'a str>,
}

impl Default for Design<'_> {
    fn default() -> Self {
        Self {
            place: "round",
            seat: None,
            turn: "auto",
            crop: None,
            fit: None,
            margin: 0,
            ground: None,
            colours: None,
            keep: &[],
            without: &[],
            from_stock: false,
            make: None,
            spare: None,
            dither: DitherWord::None,
            strength: None,
            refine: false,
            seen: None,
            calm: None,
            crisp: None,
            mirror: None,
            title: None,
        }
    }
}

impl Design<'_> {
    /// The options of a chart of `shape` in the colours of `palette`.
    ///
    /// # Errors
    /// If a word is not known, a code is not in the palette, or they contradict one another or the shape.
    pub fn options(&self, shape: &Shape, palette: &Palette) -> Result<Options> {
        let mirror = self.axes(shape)?;
        let ground = match self.ground {
            None => None,
            Some(code) => Some(
                palette
                    .find(code)
                    .map_err(|error| of_option(error, "--ground"))?,
            ),
        };
        Ok(Options {
            lattice: shape.lattice,
            arrangement: self.arrangement(shape)?,
            ground,
            crisp: self.crisp.map(crisp).transpose()?.unwrap_or_default(),
            mirror,
            choice: quantize::Options {
                dither: self.dither()?,
                fine: self.fine()?,
                ..colours::choice(self.colours, self.keep, self.without, ground, palette)?
            },
            title: self.title.map(str::to_string),
            stock: self.stock()?,
            length: shape.length.clone(),
        })
    }

    fn axes(&self, shape: &Shape) -> Result<Vec<Axis>> {
        let mirror = match self.mirror {
            None => vec![],
            Some(MirrorWord::Columns) => vec![Axis::Columns],
            Some(MirrorWord::Rows) => vec![Axis::Rows],
            Some(MirrorWord::Both) => vec![Axis::Columns, Axis::Rows],
        };
        for &axis in &mirror {
            shape
                .lattice
                .check_mirror(axis)
                .map_err(|error| of_option(error, "--mirror"))?;
        }
        Ok(mirror)
    }

    fn arrangement(&self, shape: &Shape) -> Result<Arrangement> {
        let arrangement = Arrangement {
            place: words::place(self.place)?,
            fit: self.fit.map(Fit::from),
            turn: words::turn(self.turn)?,
            crop: self.crop.map(words::crop).transpose()?,
            margin: self.margin,
            seat: self.seat()?,
            frame: None,
        };
        arrangement.check(&shape.lattice)?;
        Ok(arrangement)
    }

    fn seat(&self) -> Result<Seat> {
        match self.seat {
            Some(_) if self.place != "motif" => Err(Error::usage("only a motif has a seat")
                .option("--seat")
                .hint("add --place motif")),
            Some(word) => words::seat(word),
            None => Ok(Seat::Best),
        }
    }

    fn stock(&self) -> Result<Option<FromStock>> {
        let of_stock = [("--make", self.make), ("--spare", self.spare)];
        match of_stock.iter().find(|(_, given)| given.is_some()) {
            Some((option, _)) if !self.from_stock => {
                return Err(Error::usage("the beads in the drawer are not counted")
                    .option(option)
                    .hint("add --from-stock"));
            }
            _ => {}
        }
        if !self.from_stock {
            return Ok(None);
        }
        Ok(Some(FromStock {
            bands: self.make.map_or(Ok(1), kit::bands)?,
            spare: self.spare.map_or(Ok(0.0), kit::spare)?,
        }))
    }

    fn fine(&self) -> Result<Option<refine::Options>> {
        let calm = self.calm.map(calm).transpose()?.unwrap_or_default();
        let seen = match (self.refine, self.seen) {
            (true, Some(seen)) => distances(seen)?,
            (true, None) => DISTANCES.to_vec(),
            (false, None) => Vec::new(),
            (false, Some(_)) => {
                return Err(Error::usage("nothing is refined for a distance")
                    .option("--seen")
                    .hint("add --refine"));
            }
        };
        Ok((self.refine || calm > 0.0).then_some(refine::Options { seen, calm }))
    }

    fn dither(&self) -> Result<Dither> {
        let strength = match (self.strength, self.dither) {
            (Some(_), DitherWord::None) => {
                return Err(Error::usage("there is nothing to give a strength to")
                    .option("--strength")
                    .hint("add --dither diffuse or --dither mask"));
            }
            (Some(strength), _) if !(0.0..=1.0).contains(&strength) => {
                return Err(
                    Error::usage(format!("a strength of {strength} is out of range"))
                        .option("--strength")
                        .hint("give a number from 0 to 1"),
                );
            }
            (strength, _) => strength.unwrap_or(STRENGTH),
        };
        Ok(match self.dither {
            DitherWord::None => Dither::None,
            DitherWord::Diffuse => Dither::Diffuse(strength),
            DitherWord::Mask => Dither::Mask(strength),
        })
    }
}
