//! The search over the whole band: each of its parts in order, and calmer bands step by step.

use super::autocorrelation::of_one_bead;
use super::colour_set::{self, Candidate, Limit};
use super::difference_map::{DifferenceMap, weighted_mean};
use super::objective::{Objective, State};
use super::polish::Polish;
use super::starts::{Start, Starts};
use super::woven::Woven;
use super::{Goal, Job, NEAR, View, search, views};
use crate::colour::Light;
use crate::error::Result;
use crate::palette::Tone;
use crate::quantize::Problem;
use crate::quantize::calm;
use crate::quantize::measure::stray;
use crate::vision::band::{DISTANCES, Mosaic, POINTS};
use crate::vision::intruders::Spots;

/// Sweeps of a search, at most.
const SWEEPS: usize = 60;
/// Sweeps that CIEDE2000 decides, at most.
const POLISHING: usize = 8;
/// A band should be seen this much nearer to its picture than the nearest colours, or the prices of
/// what is woven are too high for it.
const GAIN: f64 = 0.96;
/// Stray beads that are few, whatever the nearest colours have.
const FEW: usize = 2;
/// What is left of them at the next try.
const EASE: f64 = 0.3;
/// No further try below this part.
const LEAST_EASE: f64 = 0.2;
/// Groups of a band that is searched on from what was found when its prices are eased: a search
/// from all starts takes seconds.
const LARGE: usize = 2000;
/// Points of a bead: those of its two cells.
const POINTS_OF_BEAD: f64 = (2 * POINTS) as f64;

/// The best band that the search finds, one colour a group.
///
/// A little calm is searched first, with the choice of colours; a calmer band is searched from
/// there in the same colours and taken where it is as calm, a livelier one where it is as lively.
pub(super) fn search_band(
    job: &Job,
    picture: &Mosaic,
    spots: &Spots,
    mut starts: Starts,
    goal: &Goal,
) -> Result<Vec<usize>> {
    let (usual, views) = (views(&DISTANCES), views(&goal.distances));
    let cancel = &job.settings.cancel;
    let woven = Woven::new(job, spots, &starts.nearest.chosen);
    cancel.check()?;
    if woven.is_flat {
        starts.in_colours_of_nearest();
    }
    let none = |_: usize, _: usize| 0.0;
    let mut objective = Objective::new(job.problem, job.tones, picture, &views, &none, cancel);
    objective.bounds = job.settings.bounds.as_ref();
    objective.intrusion.clone_from(&woven.intrusion);
    let blank = blank_maps(job, picture, &views)?;
    let maps = seen(job, picture, &blank, &starts.nearest.chosen);
    cancel.check()?;
    let mut band = Band {
        job,
        picture,
        woven: &woven,
        objective,
        nearest: Seen::of(&maps),
        // The price is per difference, the objective counts squares: near the mean
        // d(e²) = 2 e de.
        price: POINTS_OF_BEAD / (2.0 * weighted_mean(&maps).max(1.0)),
        blank,
        // From far away less of a bead is seen, and an error weighs less.
        unit: of_one_bead(job.problem.lattice, &views) / of_one_bead(job.problem.lattice, &usual),
        is_continued: false,
        ease: 1.0,
    };
    let wanted = calm::step_of(goal.calm);
    let mut found = band.searched(&starts, &starts.all, calm::FIRST)?;
    band.is_continued = true;
    for step in calm::FIRST + 1..=wanted {
        let next = band.searched(&starts, std::slice::from_ref(&found), step)?;
        if job.is_as_calm(&next.chosen, &found.chosen) {
            found = next;
        }
        if step >= calm::USUAL {
            found = band.fewer_stray_beads(&starts, found, calm::calm_of(step));
        }
    }
    for step in (wanted..calm::FIRST).rev() {
        (band.is_continued, band.ease) = (false, 1.0);
        let all = [&starts.all[..], &[found.clone()]].concat();
        let next = band.searched(&starts, &all, step)?;
        if job.is_as_calm(&found.chosen, &next.chosen) {
            found = next;
        }
    }
    Ok(found.chosen)
}

/// A map for each distance, without a band.
fn blank_maps(job: &Job, picture: &Mosaic, views: &[View]) -> Result<Vec<DifferenceMap>> {
    let map = |&view: &View| {
        job.settings.cancel.check()?;
        Ok(DifferenceMap::new(picture, view))
    };
    views.iter().map(map).collect()
}

/// The maps of a band in these colours, one a group.
fn seen(
    job: &Job,
    picture: &Mosaic,
    blank: &[DifferenceMap],
    chosen: &[usize],
) -> Vec<DifferenceMap> {
    let lights = lights(job.problem, job.tones, chosen);
    let band = picture.with_bead_colours(&lights).planes();
    let mut maps = blank.to_vec();
    let cancel = &job.settings.cancel;
    for map in maps.iter_mut().take_while(|_| !cancel.is_over()) {
        map.set_band(&band);
    }
    maps
}

/// How far a band looks from its picture.
#[derive(Clone, Copy)]
struct Seen {
    /// From the least distance.
    closest: f64,
    /// From where it is mostly seen, within a metre; from all distances if none is.
    near: f64,
    /// From all distances.
    all: f64,
}

impl Seen {
    fn of(maps: &[DifferenceMap]) -> Self {
        let is_near = |map: &&DifferenceMap| map.distance <= NEAR;
        let none = !maps.iter().any(|map| is_near(&map));
        let near = maps.iter().filter(|map| none || is_near(map));
        let least = maps
            .iter()
            .min_by(|one, two| one.distance.get().total_cmp(&two.distance.get()));
        Self {
            closest: least.map_or(0.0, DifferenceMap::mean),
            near: near.map(|map| map.share * map.mean()).sum(),
            all: weighted_mean(maps),
        }
    }

    /// Whether it looks no further than a part of the other, and from the least distance no
    /// further than all of it.
    fn is_within(self, part: f64, other: Self) -> bool {
        self.closest <= other.closest
            && self.near <= part * other.near
            && self.all <= part * other.all
    }
}

/// A band that was found.
struct Found {
    start: Start,
    seen: Seen,
}

/// A search over one band.
struct Band<'a> {
    job: &'a Job<'a>,
    picture: &'a Mosaic,
    woven: &'a Woven,
    objective: Objective<'a>,
    blank: Vec<DifferenceMap>,
    /// How much of a bead is seen, over that from the usual distances: the factor of all prices.
    unit: f64,
    /// Whether a band of another calm or of other prices is searched on: its colours are kept.
    is_continued: bool,
    /// The part of the prices that is asked; a calmer band begins where the one before it ended.
    ease: f64,
    /// How the nearest colours look.
    nearest: Seen,
    /// Price of a unit of what is woven, in differences summed over the points of one map.
    price: f64,
}

impl Band<'_> {
    /// The best band found at a step of calm, with the colours it may use. Prices are eased where
    /// they leave it hardly nearer to the picture than the nearest colours; where it is seen worse
    /// than those still, they are kept, calmed.
    fn searched(&mut self, starts: &Starts, all: &[Start], step: u32) -> Result<Start> {
        let amount = calm::searched_calm(step);
        let mut all = all.to_vec();
        loop {
            let found = self.searched_at(starts, &all, amount)?;
            if found.seen.is_within(GAIN, self.nearest) {
                return Ok(found.start);
            }
            if self.ease < LEAST_EASE {
                return Ok(if found.seen.is_within(1.0, self.nearest) {
                    found.start
                } else {
                    self.nearest_calmed(starts, calm::calm_of(step))
                });
            }
            self.ease *= EASE;
            if found.start.chosen.len() >= LARGE {
                self.is_continued = true;
                all = vec![found.start];
            }
        }
    }

    /// The band, unless it has more stray beads than the nearest colours: then those, calmed. Stray
    /// beads mix few colours to look nearer to the picture, and are slow to weave.
    fn fewer_stray_beads(&self, starts: &Starts, found: Start, calm: f64) -> Start {
        let problem = self.job.problem;
        let stray = |chosen: &[usize]| stray(problem.lattice, &problem.groups.spread(chosen));
        let own = stray(&found.chosen);
        if own <= FEW || own <= stray(&starts.nearest.chosen) {
            return found;
        }
        let plain = self.nearest_calmed(starts, calm);
        if self.job.is_as_calm(&plain.chosen, &found.chosen) {
            plain
        } else {
            found
        }
    }

    /// The nearest colours, calmed.
    fn nearest_calmed(&self, starts: &Starts, calm: f64) -> Start {
        Start {
            chosen: self.job.calmed_stepwise(starts.nearest.clone(), calm),
            allowed: starts.nearest.allowed.clone(),
        }
    }

    /// The best band found for a part of the prices.
    fn searched_at(&mut self, starts: &Starts, all: &[Start], calm: f64) -> Result<Found> {
        let (job, woven) = (self.job, self.woven);
        let factor = self.ease * woven.coarseness * self.unit;
        let intrusion = factor.max(self.unit);
        let border = calm::price(calm);
        let unlike = |one: usize, two: usize| factor * woven.unlike(border, one, two);
        self.objective.set_borders(&unlike);
        self.objective.stray_price = factor * calm::stray_price(calm);
        self.objective.intrusion_factor = intrusion;
        let calmed = Start {
            chosen: job.calmed(&starts.nearest, &woven.prices(&unlike, intrusion)),
            allowed: starts.nearest.allowed.clone(),
        };
        let best = self.best_start(all, calmed);
        job.settings.cancel.check()?;
        let least = self.worth(&best);
        let before = Found {
            seen: Seen::of(&best.maps),
            start: Start {
                chosen: best.state.chosen.clone(),
                allowed: best.allowed.clone(),
            },
        };
        let found = self.improved(best)?;
        Ok(if self.worth(&found) <= least {
            Found {
                seen: Seen::of(&found.maps),
                start: Start {
                    chosen: found.state.chosen,
                    allowed: found.allowed,
                },
            }
        } else {
            before
        })
    }

    /// Of several bands to start from the best by the whole objective; `calmed` is one of them.
    fn best_start(&self, starts: &[Start], calmed: Start) -> Candidate {
        let objective = &self.objective;
        let cost = |state: &State| objective.error(state) + objective.woven_cost(state);
        let mut known = vec![calmed.chosen.clone()];
        let mut state = objective.state(&calmed.chosen);
        let mut best = (cost(&state), calmed);
        for start in starts {
            if known.contains(&start.chosen) {
                continue;
            }
            known.push(start.chosen.clone());
            let own = objective.state(&start.chosen);
            let total = cost(&own);
            if total < best.0 {
                best = (total, start.clone());
                state = own;
            }
        }
        Candidate {
            maps: seen(self.job, self.picture, &self.blank, &state.chosen),
            state,
            allowed: best.1.allowed,
        }
    }

    /// Mean difference of a point, with what is woven.
    fn worth(&self, band: &Candidate) -> f64 {
        let woven = self.objective.woven_cost(&band.state);
        let beads = self.job.problem.lattice.len() as f64;
        weighted_mean(&band.maps) + self.price * woven / (POINTS_OF_BEAD * beads)
    }

    /// The band after calming, search, exchange of colours and polish.
    fn improved(&self, start: Candidate) -> Result<Candidate> {
        let (objective, settings) = (&self.objective, self.job.settings);
        let Candidate {
            mut state,
            mut allowed,
            ..
        } = start;
        search::search(objective, &mut state, &allowed, SWEEPS);
        let limit = Limit {
            free: self.job.free,
            keep: &settings.keep,
        };
        let is_less = |limit: usize| limit < self.job.free.len() && !self.woven.is_flat;
        let limited = !self.is_continued && settings.limit.is_some_and(is_less);
        if limited {
            colour_set::improve(objective, &mut state, &mut allowed, &limit, SWEEPS);
        }
        let mut maps = seen(self.job, self.picture, &self.blank, &state.chosen);
        settings.cancel.check()?;
        let polish = Polish {
            objective,
            allowed: &allowed.clone(),
            price: self.price,
            sweeps: POLISHING,
        };
        let fresh = vec![true; state.chosen.len()];
        polish.run(&mut state, &mut maps, fresh);
        let mut band = Candidate {
            state,
            maps,
            allowed,
        };
        if limited {
            colour_set::improve_filtered(&polish, &mut band, &limit);
        }
        Ok(band)
    }
}

fn lights(problem: &Problem, tones: &[Tone], chosen: &[usize]) -> Vec<Light> {
    let lights: Vec<Light> = chosen.iter().map(|&colour| tones[colour].light).collect();
    problem.groups.spread(&lights)
}

/// A search by the seen error alone from one band, for comparison with all bands there are.
#[cfg(test)]
pub(super) fn search_without_prices(
    job: &Job,
    picture: &Mosaic,
    start: Start,
    distances: &[crate::units::Mm],
) -> Result<Vec<usize>> {
    let views = views(distances);
    let cancel = &job.settings.cancel;
    let woven = Woven::none(job.problem.lattice.len());
    let none = |_: usize, _: usize| 0.0;
    let band = Band {
        job,
        picture,
        woven: &woven,
        objective: Objective::new(job.problem, job.tones, picture, &views, &none, cancel),
        blank: blank_maps(job, picture, &views)?,
        unit: 1.0,
        is_continued: false,
        ease: 1.0,
        nearest: Seen {
            closest: f64::INFINITY,
            near: f64::INFINITY,
            all: f64::INFINITY,
        },
        price: 0.0,
    };
    let best = band.best_start(&[], start);
    Ok(band.improved(best)?.state.chosen)
}
