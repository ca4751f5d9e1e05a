//! From the light that falls on each bead to a colour for each bead.
//!
//! | step | does |
//! |---|---|
//! | [`together`] | which beads decide together: mirror images, repeats |
//! | [`limit`] | which colours of the palette may be used at all |
//! | [`assign`] | the nearest of them for each bead |
//! | [`diffuse`], [`mask`] | or one that lets neighbouring beads mix to the colour wanted |
//! | [`stock`] | where only so many beads of each are there, the best that they allow |
//! | [`swap`] | a finished chart in the colours of another palette |
//! | [`mod@refine`] | or the band optimised whole, as it is seen from a distance |
//! | [`calm`] | with a price on unlike neighbours |
//! | [`measure`] | how far the band looks from its picture, and how restless it is |

pub mod assign;
pub mod calm;
pub mod diffuse;
mod kernel;
pub mod limit;
pub mod mask;
pub mod measure;
pub mod refine;
pub mod stock;
pub mod swap;
pub mod together;

pub use kernel::{Share, kernel, seen_noise};

use crate::cancel::Cancel;
use crate::colour::Light;
use crate::error::{Error, Result};
use crate::lattice::Lattice;
use crate::palette::{Bounds, Nearest, Tone};
use crate::warning::{Warned, Warning};
use together::Together;

/// How neighbouring beads are let mix.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Dither {
    /// Not at all: each bead takes the nearest colour.
    #[default]
    None,
    /// The error of each bead goes on to its neighbours; strength 0 to 1.
    Diffuse(f64),
    /// An even, fine-grained mask decides between near colours; strength 0 to 1.
    Mask(f64),
}

/// What is wanted of the choice; places are places in the palette.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Options {
    /// Most colours; none is as many as there are.
    pub limit: Option<usize>,
    /// Colours that stay to choose from whatever the limit.
    pub keep: Vec<usize>,
    /// Colours that must not be used.
    pub without: Vec<usize>,
    /// How neighbours mix.
    pub dither: Dither,
    /// How many beads of each colour there are; none means enough of all.
    pub bounds: Option<Bounds>,
    /// What the whole band is optimised for, if it is.
    pub fine: Option<refine::Options>,
    /// Whether the chart is still wanted.
    pub cancel: Cancel,
    /// What an earlier choice under the same limit found, if that is remembered.
    pub known: limit::Known,
}

/// The beads and what is wanted of them, in lattice order.
pub struct Wanted<'a> {
    /// The band's shape.
    pub lattice: &'a Lattice,
    /// The light that each bead should give.
    pub light: &'a [Light],
    /// Beads whose colour is settled: its place in the palette.
    pub settled: &'a [Option<usize>],
    /// Which beads decide together.
    pub together: &'a Together,
}

/// A colour of the palette for each bead, in lattice order.
///
/// # Errors
/// If what must not be used leaves no colour, more are to be kept than the limit allows, there are too few beads, or the cancel ends.
pub fn choose(wanted: &Wanted, tones: &[Tone], options: &Options) -> Result<Warned<Vec<usize>>> {
    let mut notes = Vec::new();
    let (bounds, cancel) = (options.bounds.as_ref(), &options.cancel);
    let room = bounds.map(|bounds| stock::Room::new(wanted, tones, bounds, false, cancel));
    let room = room.transpose()?;
    let allowed = allowed(wanted, tones, options, room.as_ref(), &mut notes)?;
    cancel.check()?;
    let nearest = Nearest::new(tones, &allowed).ok_or_else(no_colours)?;
    let value = match options.dither {
        Dither::None => assign::assign(wanted, &nearest, cancel),
        Dither::Diffuse(strength) => {
            diffuse::diffuse(wanted, tones, &allowed, &nearest, strength, cancel)
        }
        Dither::Mask(strength) => mask::choose(wanted, tones, &allowed, &nearest, strength, cancel),
    };
    cancel.check()?;
    let dithered = options.dither != Dither::None;
    let value = match &room {
        None => value,
        Some(room) => stock::within(wanted, tones, &allowed, room, value, dithered, &mut notes)?,
    };
    Ok(Warned { value, notes })
}

/// All colours that are not ruled out, prepared for searching.
///
/// # Errors
/// If there is none.
pub fn nearest(tones: &[Tone], options: &Options) -> Result<Nearest> {
    Nearest::new(tones, &free(tones, options)).ok_or_else(no_colours)
}

fn free(tones: &[Tone], options: &Options) -> Vec<usize> {
    let out = |at: &usize| options.without.contains(at);
    (0..tones.len()).filter(|at| !out(at)).collect()
}

/// The colours that may be used, rising.
fn allowed(
    wanted: &Wanted,
    tones: &[Tone],
    options: &Options,
    room: Option<&stock::Room>,
    notes: &mut Vec<Warning>,
) -> Result<Vec<usize>> {
    let free = free(tones, options);
    if free.is_empty() {
        return Err(no_colours());
    }
    let Some(asked) = options.limit else {
        return Ok(free);
    };
    if options.keep.len() > asked {
        return Err(Error::usage(format!(
            "{} colours are to be kept, but only {asked} allowed",
            options.keep.len()
        ))
        .option("--colours")
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
    match room {
        None => {
            let items = limit::items(wanted, free.len());
            let known = &options.known;
            Ok(known.choose(&items, tones, &free, &options.keep, asked, &options.cancel))
        }
        Some(room) => stock::few(wanted, tones, &free, options, asked, room),
    }
}

fn no_colours() -> Error {
    Error::usage("no colour is left to choose from")
        .option("--without")
        .hint("rule out fewer colours")
}
