//! From the light that falls on each bead to a colour for each bead.
//!
//! | step | does |
//! |---|---|
//! | [`groups`] | which beads share a colour: mirror images, repeats |
//! | [`limit`] | which colours of the palette may be used at all |
//! | [`assign`] | the nearest of them for each bead |
//! | [`diffuse`], [`mask`] | or one that lets neighbouring beads mix to the light of the picture |
//! | [`flat`] | a drawing of few flat colours, colour by colour |
//! | [`stock`] | where beads are counted, the best chart that they allow |
//! | [`swap`] | a finished chart in the colours of another palette |
//! | [`mod@refine`] | or the whole band improved for viewing distance |
//! | [`calm`] | with a price on unlike neighbours |
//! | [`measure`] | how far the band looks from its picture, its colour changes and stray beads |

pub mod assign;
pub mod calm;
pub mod diffuse;
pub mod flat;
pub mod groups;
mod kernel;
pub mod limit;
pub mod mask;
pub mod measure;
pub mod refine;
pub mod stock;
pub mod swap;

pub use kernel::{Share, kernel, visible_noise};

use crate::cancel::Cancel;
use crate::colour::Light;
use crate::error::{Error, Result};
use crate::lattice::Lattice;
use crate::palette::{Bounds, Nearest, Tone};
use crate::request::Strength;
use crate::warning::{Warned, Warning};
use groups::Groups;

/// How neighbouring beads mix.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Dither {
    /// Not at all: each bead takes the nearest colour.
    #[default]
    None,
    /// By error diffusion; strength 0 to 1.
    Diffuse(f64),
    /// By a threshold mask; strength 0 to 1.
    Mask(f64),
}

/// How colours are chosen; colours are indices into the palette.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Settings {
    /// Most colours; none is as many as there are.
    pub limit: Option<usize>,
    /// Colours that count among those used, whatever the limit.
    pub keep: Vec<usize>,
    /// Colours that must not be used.
    pub without: Vec<usize>,
    /// How neighbours mix.
    pub dither: Dither,
    /// How many beads of each colour there are; none means enough of all.
    pub bounds: Option<Bounds>,
    /// What the whole band is optimised for, if it is.
    pub refine: Option<refine::Goal>,
    /// Cancels the work.
    pub cancel: Cancel,
    /// Earlier selections under a limit, if they are kept.
    pub cache: limit::Cache,
}

impl Settings {
    /// Makes sure that every value is in its range, for a palette of so many colours.
    ///
    /// # Errors
    /// If one is not.
    pub fn check(&self, colours: usize) -> Result<()> {
        if self.limit == Some(0) {
            return Err(Error::usage("a band has at least one colour")
                .option("colours")
                .hint("allow 1 or more, or leave the limit out"));
        }
        let outside = |at: &&usize| **at >= colours;
        if let Some(at) = self.keep.iter().chain(&self.without).find(outside) {
            return Err(Error::usage(format!(
                "place {at} is not in a palette of {colours} colours"
            )));
        }
        if let Dither::Diffuse(strength) | Dither::Mask(strength) = self.dither {
            Strength::new(strength).map_err(|error| error.of_option("strength"))?;
        }
        self.refine.as_ref().map_or(Ok(()), refine::Goal::check)
    }
}

/// The beads of a band and the light that each should give, in lattice order.
pub struct Problem<'a> {
    /// The band's shape.
    pub lattice: &'a Lattice,
    /// The light that each bead should give.
    pub light: &'a [Light],
    /// Beads whose colour is fixed: its index in the palette.
    pub fixed: &'a [Option<usize>],
    /// Which beads share a colour.
    pub groups: &'a Groups,
}

/// A colour of the palette for each bead, in lattice order.
///
/// # Errors
/// If a value is out of range, the colours ruled out leave none, more are to be kept than the limit
/// allows, there are too few beads, or the work is cancelled.
pub fn quantize(
    problem: &Problem,
    tones: &[Tone],
    settings: &Settings,
) -> Result<Warned<Vec<usize>>> {
    settings.check(tones.len())?;
    let mut notes = Vec::new();
    let (bounds, cancel) = (settings.bounds.as_ref(), &settings.cancel);
    let capacity = bounds.map(|bounds| stock::Capacity::new(problem, tones, bounds, false, cancel));
    let capacity = capacity.transpose()?;
    let allowed = allowed(problem, tones, settings, capacity.as_ref(), &mut notes)?;
    cancel.check()?;
    let nearest = Nearest::new(tones, &allowed).ok_or_else(no_colours)?;
    let value = plain_choice(problem, tones, &allowed, &nearest, settings);
    cancel.check()?;
    let dithered = settings.dither != Dither::None;
    let value = match &capacity {
        None => value,
        Some(capacity) => stock::fit_to_stock(
            problem, tones, &allowed, capacity, value, dithered, &mut notes,
        )?,
    };
    Ok(Warned {
        value,
        warnings: notes,
    })
}

/// The nearest colours, or dithered ones, as if there were enough beads of each.
fn plain_choice(
    problem: &Problem,
    tones: &[Tone],
    allowed: &[usize],
    nearest: &Nearest,
    settings: &Settings,
) -> Vec<usize> {
    let cancel = &settings.cancel;
    match settings.dither {
        Dither::None => assign::assign(problem, nearest, cancel),
        Dither::Diffuse(strength) => {
            diffuse::diffuse(problem, tones, allowed, nearest, strength, cancel)
        }
        Dither::Mask(strength) => mask::dither(problem, tones, allowed, nearest, strength, cancel),
    }
}

/// All colours that are not ruled out, prepared for searching.
///
/// # Errors
/// If there is none.
pub fn nearest(tones: &[Tone], settings: &Settings) -> Result<Nearest> {
    Nearest::new(tones, &free(tones, settings)).ok_or_else(no_colours)
}

fn free(tones: &[Tone], settings: &Settings) -> Vec<usize> {
    let out = |at: &usize| settings.without.contains(at);
    (0..tones.len()).filter(|at| !out(at)).collect()
}

/// The colours that may be used, rising.
fn allowed(
    problem: &Problem,
    tones: &[Tone],
    settings: &Settings,
    capacity: Option<&stock::Capacity>,
    notes: &mut Vec<Warning>,
) -> Result<Vec<usize>> {
    let free = free(tones, settings);
    if free.is_empty() {
        return Err(no_colours());
    }
    let Some(asked) = settings.limit else {
        return Ok(free);
    };
    if settings.keep.len() > asked {
        return Err(Error::usage(format!(
            "{} colours are to be kept, but only {asked} allowed",
            settings.keep.len()
        ))
        .option("colours")
        .hint("allow more colours or keep fewer; the ground counts as one"));
    }
    if asked > free.len() {
        notes.push(Warning::FewerColours {
            asked,
            there: free.len(),
        });
    }
    if asked >= free.len() {
        return Ok(free);
    }
    match capacity {
        None => {
            let items = limit::items(problem, free.len());
            let cache = &settings.cache;
            Ok(cache.select(
                &items,
                tones,
                &free,
                &settings.keep,
                asked,
                &settings.cancel,
            ))
        }
        Some(capacity) => stock::limited_colours(problem, tones, &free, settings, asked, capacity),
    }
}

fn no_colours() -> Error {
    Error::usage("no colour is left to choose from")
        .option("without")
        .hint("rule out fewer colours")
}
