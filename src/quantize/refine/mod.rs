//! The whole band improved for viewing distance: direct search on the error that is left after
//! S-CIELAB's filters.
//!
//! | part | does |
//! |---|---|
//! | `starts` | bands to start from |
//! | `objective` | the error as a quadratic form: a trial costs the same for any band |
//! | `search` | single changes and exchanges of neighbours until none helps |
//! | `colour_set` | under a limit: one colour out, one in, as long as that helps |
//! | `polish` | changes by CIEDE2000, found by a `quadratic` model of a `difference_map` |
//!
//! With *calm* unlike neighbours cost something too ([`super::calm`]), less so across edges of the
//! picture. The search starts from the best of the nearest colours, of diffusion and of what was
//! there before, and never ends worse. Where the stock is counted ([`super::stock`]), each of these
//! is brought within it first, and no step of the search leaves it. Everything runs in a fixed
//! order on any number of threads.

mod autocorrelation;
mod band;
mod colour_set;
mod difference_map;
mod footprint;
mod objective;
mod polish;
mod quadratic;
mod search;
mod starts;
#[cfg(test)]
mod tests;

use super::calm::{self, price};
use super::stock::Capacity;
use super::{Problem, Settings, allowed, free};
use crate::error::Result;
use crate::palette::Tone;
use crate::request::{Calm, Distances};
use crate::units::Mm;
use crate::vision::band::Mosaic;
use crate::warning::Warned;
use starts::{Starts, within_capacity};

/// What the whole band is optimised for.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Goal {
    /// Viewing distances, each of equal weight; none searches nothing and only calms.
    pub distances: Vec<Mm>,
    /// How much equal neighbours are preferred, 0 to 1.
    pub calm: f64,
}

impl Goal {
    /// Makes sure that every value is in its range.
    ///
    /// # Errors
    /// If one is not.
    pub fn check(&self) -> Result<()> {
        let distances = Distances::new(self.distances.clone());
        distances.map_err(|error| error.of_option("distances"))?;
        let calm = Calm::new(self.calm);
        calm.map_err(|error| error.of_option("calm"))?;
        Ok(())
    }
}

/// The colours of an earlier chart to start from: an index in the palette for each bead.
pub type Before<'a> = Option<&'a [usize]>;

/// Colours before and after, an index in the palette for each bead.
#[derive(Debug, Clone, PartialEq)]
pub struct Refined {
    /// The earlier chart's, or the plain choice.
    pub before: Vec<usize>,
    /// What was found.
    pub after: Vec<usize>,
}

/// What a refinement works with.
#[derive(Clone, Copy)]
struct Job<'a> {
    problem: &'a Problem<'a>,
    tones: &'a [Tone],
    settings: &'a Settings,
    /// Beads of each colour, where they are counted.
    capacity: Option<&'a Capacity<'a>>,
    /// Colours that are not ruled out, rising.
    free: &'a [usize],
}

/// Chooses colours for the whole band as it is seen; `picture` is its light tile by tile.
///
/// # Errors
/// As [`super::quantize()`]; and if a value of `goal` is out of range.
pub fn refine(
    problem: &Problem,
    tones: &[Tone],
    picture: &Mosaic,
    before: Before,
    settings: &Settings,
    goal: &Goal,
) -> Result<Warned<Refined>> {
    goal.check()?;
    refine_unchecked(problem, tones, picture, before, settings, goal)
}

/// [`refine()`] for distances out of range: a smaller motif is compared from nearer.
pub(crate) fn refine_unchecked(
    problem: &Problem,
    tones: &[Tone],
    picture: &Mosaic,
    before: Before,
    settings: &Settings,
    goal: &Goal,
) -> Result<Warned<Refined>> {
    settings.check(tones.len())?;
    let mut notes = Vec::new();
    let (bounds, cancel) = (settings.bounds.as_ref(), &settings.cancel);
    let pinned = before.is_some();
    let capacity = bounds.map(|bounds| Capacity::new(problem, tones, bounds, pinned, cancel));
    let capacity = capacity.transpose()?;
    let own = allowed(problem, tones, settings, capacity.as_ref(), &mut notes)?;
    cancel.check()?;
    let job = Job {
        problem,
        tones,
        settings,
        capacity: capacity.as_ref(),
        free: &free(tones, settings),
    };
    let search = !goal.distances.is_empty();
    let Starts { plain, mut all } = job.starts(&own, before, search, &mut notes)?;
    let after = if search {
        band::search_band(&job, picture, all, goal)?
    } else {
        let start = all.swap_remove(all.len() - 1);
        job.calmed(&start, calm::PLAIN * price(goal.calm))
    };
    cancel.check()?;
    let after = problem.groups.spread(&after);
    debug_assert!(bounds.is_none_or(|bounds| bounds.allow(&counts(&after, tones.len()))));
    Ok(Warned {
        value: Refined {
            before: before.map_or(plain, <[usize]>::to_vec),
            after,
        },
        warnings: notes,
    })
}

/// Beads of each of so many colours.
fn counts(beads: &[usize], colours: usize) -> Vec<u64> {
    let mut counts = vec![0; colours];
    beads.iter().for_each(|&colour| counts[colour] += 1);
    counts
}

impl Job<'_> {
    /// A band calmed without a search; where the stock spoils that, it stays as it is.
    fn calmed(&self, start: &starts::Start, price: f64) -> Vec<usize> {
        let (problem, tones) = (self.problem, self.tones);
        let cancel = &self.settings.cancel;
        let calm = calm::calmed(problem, tones, &start.allowed, &start.chosen, price, cancel);
        if self.capacity.is_none() {
            return calm;
        }
        let cost = |chosen: &[usize]| calm::cost(problem, tones, chosen, price);
        within_capacity(self, &start.allowed, calm)
            .filter(|calm| cost(calm) < cost(&start.chosen))
            .unwrap_or_else(|| start.chosen.clone())
    }
}
