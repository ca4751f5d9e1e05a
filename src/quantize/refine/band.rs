//! The search over the whole band: each of its parts in order.

use super::colour_set::{self, Candidate, Limit};
use super::difference_map::DifferenceMap;
use super::objective::{Objective, State};
use super::polish::Polish;
use super::starts::{Start, within_capacity};
use super::{Goal, Job, search};
use crate::colour::{Light, lab};
use crate::error::Result;
use crate::palette::Tone;
use crate::quantize::Problem;
use crate::quantize::calm::{self, edge, price};
use crate::units::Mm;
use crate::vision::band::{Mosaic, POINTS};

/// Sweeps of a search, at most.
const SWEEPS: usize = 60;
/// Sweeps that CIEDE2000 decides, at most.
const POLISHING: usize = 8;
/// Points of a bead: those of its two cells.
const POINTS_OF_BEAD: f64 = (2 * POINTS) as f64;

/// The best band that the search finds, one colour a group.
pub(super) fn search_band(
    job: &Job,
    picture: &Mosaic,
    starts: Vec<Start>,
    goal: &Goal,
) -> Result<Vec<usize>> {
    let (problem, settings) = (job.problem, job.settings);
    let cancel = &settings.cancel;
    let light = picture.of_beads();
    let price = price(goal.calm);
    let unlike = |one: usize, two: usize| {
        if price > 0.0 {
            price * edge(lab(light[one]), lab(light[two]))
        } else {
            0.0
        }
    };
    let mut objective = Objective::new(
        problem,
        job.tones,
        picture,
        &goal.distances,
        &unlike,
        cancel,
    );
    objective.stray_price = calm::stray_price(goal.calm);
    objective.bounds = settings.bounds.as_ref();
    let band = Band {
        job,
        picture,
        objective: &objective,
        blank: blank_maps(job, picture, goal)?,
    };
    let Some(best) = band.best_start(starts) else {
        return Ok(Vec::new());
    };
    cancel.check()?;
    // The price is per difference, the objective counts squares: near the mean d(e²) = 2 e de.
    let border_price = POINTS_OF_BEAD / (2.0 * mean(&best.maps).max(1.0));
    let least = band.worth(&best, border_price);
    let before = best.state.chosen.clone();
    let found = band.improved(best, price, border_price)?;
    Ok(if band.worth(&found, border_price) <= least {
        found.state.chosen
    } else {
        before
    })
}

/// A map for each distance, without a band.
fn blank_maps(job: &Job, picture: &Mosaic, goal: &Goal) -> Result<Vec<DifferenceMap>> {
    let map = |&distance: &Mm| {
        job.settings.cancel.check()?;
        Ok(DifferenceMap::new(picture, distance))
    };
    goal.distances.iter().map(map).collect()
}

/// A search over one band.
struct Band<'a> {
    job: &'a Job<'a>,
    picture: &'a Mosaic,
    objective: &'a Objective<'a>,
    blank: Vec<DifferenceMap>,
}

impl Band<'_> {
    /// The maps of a band in these colours, one a group.
    fn maps(&self, chosen: &[usize]) -> Vec<DifferenceMap> {
        let lights = lights(self.job.problem, self.job.tones, chosen);
        let band = self.picture.with_bead_colours(&lights).planes();
        let mut maps = self.blank.clone();
        let cancel = &self.job.settings.cancel;
        for map in maps.iter_mut().take_while(|_| !cancel.is_over()) {
            map.set_band(&band);
        }
        maps
    }

    /// Of several bands to start from the one that looks best.
    fn best_start(&self, starts: Vec<Start>) -> Option<Candidate> {
        let mut best: Option<(f64, Start, Vec<DifferenceMap>)> = None;
        let mut known: Vec<Vec<usize>> = Vec::new();
        for start in starts {
            if known.contains(&start.chosen) {
                continue;
            }
            known.push(start.chosen.clone());
            let maps = self.maps(&start.chosen);
            let error = mean(&maps);
            if best.as_ref().is_none_or(|(least, ..)| error < *least) {
                best = Some((error, start, maps));
            }
        }
        best.map(|(_, start, maps)| Candidate {
            state: self.objective.state(&start.chosen),
            maps,
            allowed: start.allowed,
        })
    }

    /// Mean difference of a point, borders and stray beads included.
    fn worth(&self, band: &Candidate, border_price: f64) -> f64 {
        let objective = self.objective;
        let maps = &band.maps;
        let calm = objective.border_cost(&band.state) + objective.stray_cost(&band.state);
        let beads = self.job.problem.lattice.len() as f64;
        maps.iter().map(DifferenceMap::mean).sum::<f64>() / maps.len() as f64
            + border_price * calm / (POINTS_OF_BEAD * beads)
    }

    /// The band after calming, search, exchange of colours and polish.
    fn improved(&self, start: Candidate, price: f64, border_price: f64) -> Result<Candidate> {
        let (objective, settings) = (self.objective, self.job.settings);
        let Candidate {
            mut state,
            mut allowed,
            ..
        } = start;
        if price > 0.0 {
            self.calm_first(&mut state, &allowed, price);
        }
        search::search(objective, &mut state, &allowed, SWEEPS);
        let limit = Limit {
            free: self.job.free,
            keep: &settings.keep,
        };
        let limited = settings
            .limit
            .is_some_and(|limit| limit < self.job.free.len());
        if limited {
            colour_set::improve(objective, &mut state, &mut allowed, &limit, SWEEPS);
        }
        let mut maps = self.maps(&state.chosen);
        settings.cancel.check()?;
        let polish = Polish {
            objective,
            allowed: &allowed.clone(),
            price: border_price,
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

    /// Takes what calming alone would choose, if the objective is lower then.
    fn calm_first(&self, state: &mut State, allowed: &[usize], price: f64) {
        let job = self.job;
        let (problem, cancel) = (job.problem, &job.settings.cancel);
        let calm = calm::calmed(problem, job.tones, allowed, &state.chosen, price, cancel);
        let Some(calm) = within_capacity(job, allowed, calm) else {
            return;
        };
        let calm = self.objective.state(&calm);
        if self.objective.total(&calm) < self.objective.total(state) {
            *state = calm;
        }
    }
}

fn mean(maps: &[DifferenceMap]) -> f64 {
    maps.iter().map(DifferenceMap::mean).sum::<f64>() / maps.len().max(1) as f64
}

fn lights(problem: &Problem, tones: &[Tone], chosen: &[usize]) -> Vec<Light> {
    let lights: Vec<Light> = chosen.iter().map(|&colour| tones[colour].light).collect();
    problem.groups.spread(&lights)
}
