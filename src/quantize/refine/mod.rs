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
//! there before, and never ends worse by its own objective; a band with more stray beads than the
//! nearest colours gives way to those. Where the stock is counted ([`super::stock`]), each of these
//! is brought within it first, and no step of the search leaves it. Everything runs in a fixed
//! order on any number of threads.

mod autocorrelation;
mod band;
mod colour_set;
mod difference_map;
mod footprint;
mod objective;
#[cfg(test)]
mod outcome_tests;
mod polish;
mod quadratic;
mod search;
mod starts;
#[cfg(test)]
mod tests;
mod woven;

use super::calm::{self, Prices, edge};
use super::stock::Capacity;
use super::{Problem, Settings, allowed, free};
use crate::colour::{Lab, lab};
use crate::error::Result;
use crate::palette::Tone;
use crate::request::{Calm, Distances};
use crate::units::Mm;
use crate::vision::band::Mosaic;
use crate::vision::intruders::Spots;
use crate::warning::Warned;
/// Distances up to this count double.
const NEAR: Mm = Mm::new(1000.0);

use starts::{Start, within_capacity};

/// What the whole band is optimised for.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Goal {
    /// Viewing distances, those within a metre of double weight; none searches nothing and only
    /// calms.
    pub distances: Vec<Mm>,
    /// How much equal neighbours are preferred, 0 to 1 in tenths.
    pub calm: f64,
}

/// The calm of a band that is searched, unless another is asked for.
pub fn usual_calm() -> f64 {
    calm::calm_of(calm::USUAL)
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

/// A viewing distance and its part of the mean over all.
#[derive(Debug, Clone, Copy)]
struct View {
    distance: Mm,
    share: f64,
}

/// The distances with their weights: a band is mostly seen in the hand and worn, so that two of the
/// usual three count twice.
fn views(distances: &[Mm]) -> Vec<View> {
    let weight = |distance: Mm| if distance <= NEAR { 2.0 } else { 1.0 };
    let all: f64 = distances.iter().map(|&distance| weight(distance)).sum();
    let view = |&distance: &Mm| View {
        distance,
        share: weight(distance) / all,
    };
    distances.iter().map(view).collect()
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
    let spots = (!goal.distances.is_empty()).then(|| Spots::new(picture));
    let settings = &in_greys(settings, tones, spots.as_ref());
    let mut notes = Vec::new();
    let (bounds, cancel) = (settings.bounds.as_ref(), &settings.cancel);
    let pinned = before.is_some();
    let capacity = bounds.map(|bounds| Capacity::new(problem, tones, bounds, pinned, cancel));
    let capacity = capacity.transpose()?.map(Capacity::for_search);
    let own = allowed(problem, tones, settings, capacity.as_ref(), &mut notes)?;
    cancel.check()?;
    let job = Job {
        problem,
        tones,
        settings,
        capacity: capacity.as_ref(),
        free: &free(tones, settings),
    };
    let mut starts = job.starts(&own, before, !goal.distances.is_empty(), &mut notes)?;
    let plain = starts.plain.clone();
    let after = if let Some(spots) = &spots {
        band::search_band(&job, picture, spots, starts, goal)?
    } else {
        let last = starts.all.swap_remove(starts.all.len() - 1);
        job.calmed_stepwise(last, goal.calm)
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

/// The settings for a picture that is searched: a grey one in greys alone, unless beads are
/// counted.
fn in_greys(settings: &Settings, tones: &[Tone], spots: Option<&Spots>) -> Settings {
    let mut settings = settings.clone();
    if let Some(spots) = spots.filter(|_| settings.bounds.is_none()) {
        let out = woven::out_of_grey(spots, tones, &settings);
        settings.without.extend(out);
    }
    settings
}

/// Beads of each of so many colours.
fn counts(beads: &[usize], colours: usize) -> Vec<u64> {
    let mut counts = vec![0; colours];
    beads.iter().for_each(|&colour| counts[colour] += 1);
    counts
}

impl Job<'_> {
    /// A band calmed without a search, step by step.
    fn calmed_stepwise(&self, mut found: Start, calm: f64) -> Vec<usize> {
        let problem = self.problem;
        let light: Vec<Lab> = problem.light.iter().map(|&light| lab(light)).collect();
        for step in 1..=calm::step_of(calm) {
            if self.settings.cancel.is_over() {
                break;
            }
            let price = calm::PLAIN * calm::price(calm::calm_of(step));
            let unlike = |one: usize, two: usize| price * edge(light[one], light[two]);
            let prices = Prices {
                unlike: &unlike,
                intrusion: &[],
                factor: 1.0,
            };
            let calmer = self.calmed(&found, &prices);
            if self.is_as_calm(&calmer, &found.chosen) {
                found.chosen = calmer;
            }
        }
        found.chosen
    }

    /// Whether one band, a colour a group, has no more colour changes and stray beads than another.
    fn is_as_calm(&self, one: &[usize], other: &[usize]) -> bool {
        let beads = |chosen: &[usize]| self.problem.groups.spread(chosen);
        calm::is_as_calm(self.problem.lattice, &beads(one), &beads(other))
    }

    /// A band calmed without a search; where the stock spoils that, it stays as it is.
    fn calmed(&self, start: &Start, prices: &Prices) -> Vec<usize> {
        let (problem, tones) = (self.problem, self.tones);
        let cancel = &self.settings.cancel;
        let calm = calm::calmed(
            problem,
            tones,
            &start.allowed,
            &start.chosen,
            prices,
            cancel,
        );
        if self.capacity.is_none() {
            return calm;
        }
        let cost = |chosen: &[usize]| calm::cost(problem, tones, chosen, prices);
        within_capacity(self, &start.allowed, calm)
            .filter(|calm| cost(calm) < cost(&start.chosen))
            .unwrap_or_else(|| start.chosen.clone())
    }
}
