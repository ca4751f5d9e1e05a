//! Which colours to use under a limit: one out, one in, as long as that helps; first by the
//! quadratic objective, then by the differences themselves.

use super::difference_map::{DifferenceMap, model_of_group};
use super::objective::{Objective, State};
use super::polish::Polish;
use super::quadratic::NearFar;
use super::search::{best_change, search};
use rayon::prelude::*;

/// Groups that may be searched again in all trials of a round.
const WORK: usize = 40_000;
/// Trials of a round, at least and at most.
const TRIALS: (usize, usize) = (6, 48);
/// Rounds, at most.
const ROUNDS: usize = 12;
/// Sweeps of a trial.
const SWEEPS: usize = 3;
/// Groups that may be searched again in all trials of a round by the differences themselves.
const MAP_WORK: usize = 12_000;
/// Trials of such a round, at least and at most.
const MAP_TRIALS: (usize, usize) = (2, 8);
/// Groups that all such rounds look at, where a large band has fewer rounds for it.
const MAP_GROUPS: usize = 24_000;
/// Such rounds, at least and at most.
const MAP_ROUNDS: (usize, usize) = (2, 6);
/// Sweeps of such a trial.
const MAP_SWEEPS: usize = 2;
/// A better set of colours must be better by this part.
const LEAST_GAIN: f64 = 1e-4;

/// What may be chosen.
pub(super) struct Limit<'a> {
    /// Colours that may be used at all, rising.
    pub(super) free: &'a [usize],
    /// Colours that stay among those in use.
    pub(super) keep: &'a [usize],
}

/// A colour that goes and one that comes, and what that promises.
#[derive(Clone, Copy)]
struct Swap {
    promise: f64,
    out: usize,
    into: usize,
}

impl Swap {
    /// The colours after it, rising.
    fn of(&self, allowed: &[usize]) -> Vec<usize> {
        let stay = allowed.iter().copied().filter(|&at| at != self.out);
        let mut colours: Vec<usize> = stay.chain([self.into]).collect();
        colours.sort_unstable();
        colours
    }
}

/// Swaps colours of `allowed` while that lowers the objective, and searches on; `allowed` stays
/// rising.
pub(super) fn improve(
    objective: &Objective,
    state: &mut State,
    allowed: &mut Vec<usize>,
    limit: &Limit,
    sweeps: usize,
) {
    let trials = (WORK / state.chosen.len()).clamp(TRIALS.0, TRIALS.1);
    for _ in 0..ROUNDS {
        if objective.cancel.is_over() {
            return;
        }
        let steps = |group: usize| {
            let (slope, own) = (objective.slope(state, group), state.chosen[group]);
            let state: &State = state;
            move |colour: usize| {
                objective.error_step(group, slope, own, colour)
                    + objective.woven_step(state, group, colour)
            }
        };
        let mut promising = promising(objective, state, allowed, limit, steps);
        promising.truncate(trials);
        let total = objective.total(state);
        let best = promising
            .into_par_iter()
            .filter_map(|swap| swapped(objective, state, allowed, swap))
            .min_by(|one, two| one.0.total_cmp(&two.0).then_with(|| one.2.cmp(&two.2)));
        match best {
            Some((least, found, colours)) if least < total - LEAST_GAIN * total.abs() => {
                *state = found;
                *allowed = colours;
                search(objective, state, allowed, sweeps);
            }
            _ => return,
        }
    }
}

/// A set of colours, and the band in it as it is seen.
pub(super) struct Candidate {
    pub(super) state: State,
    pub(super) maps: Vec<DifferenceMap>,
    /// Colours that may be used, rising.
    pub(super) allowed: Vec<usize>,
}

/// Swaps colours while that lowers the differences themselves, and polishes each band anew;
/// `polish` says how.
pub(super) fn improve_filtered(polish: &Polish, candidate: &mut Candidate, limit: &Limit) {
    let objective = polish.objective;
    let trials = (MAP_WORK / objective.fixed.len()).clamp(MAP_TRIALS.0, MAP_TRIALS.1);
    let rounds = (MAP_GROUPS / objective.fixed.len()).clamp(MAP_ROUNDS.0, MAP_ROUNDS.1);
    for _ in 0..rounds {
        if objective.cancel.is_over() {
            return;
        }
        candidate.maps.iter_mut().for_each(DifferenceMap::linearise);
        let groups = (0..objective.fixed.len()).into_par_iter();
        let models: Vec<NearFar> = groups
            .map(|group| model_of_group(objective.problem, &candidate.maps, group))
            .collect();
        let (state, allowed) = (&candidate.state, &candidate.allowed);
        let steps = |group: usize| {
            let (own, model) = (state.chosen[group], models[group].both());
            move |colour: usize| {
                model.step(objective.colour_step(own, colour))
                    + polish.price * objective.woven_step(state, group, colour)
            }
        };
        let mut promising = promising(objective, state, allowed, limit, steps);
        promising.truncate(trials);
        let total = polish.total(state, &candidate.maps);
        let best = promising
            .into_par_iter()
            .filter_map(|swap| swapped_and_polished(polish, candidate, &models, swap))
            .min_by(|one, two| {
                let colours = || one.1.allowed.cmp(&two.1.allowed);
                one.0.total_cmp(&two.0).then_with(colours)
            });
        match best {
            Some((least, found)) if least < total * (1.0 - LEAST_GAIN) => *candidate = found,
            _ => return,
        }
        let own = Polish {
            allowed: &candidate.allowed,
            ..*polish
        };
        let fresh = vec![true; objective.fixed.len()];
        own.run(&mut candidate.state, &mut candidate.maps, fresh);
    }
}

/// The band after a swap, and its total; none if there are too few beads of the other colours.
fn swapped_and_polished(
    polish: &Polish,
    candidate: &Candidate,
    models: &[NearFar],
    swap: Swap,
) -> Option<(f64, Candidate)> {
    let objective = polish.objective;
    if objective.cancel.is_over() {
        return None;
    }
    let allowed = swap.of(&candidate.allowed);
    let polish = Polish {
        allowed: &allowed,
        sweeps: MAP_SWEEPS,
        ..*polish
    };
    let (mut state, mut maps) = (candidate.state.clone(), candidate.maps.clone());
    let mut fresh = vec![false; state.chosen.len()];
    for group in 0..state.chosen.len() {
        let (own, model) = (state.chosen[group], models[group].both());
        let step = |colour: usize| {
            model.step(objective.colour_step(own, colour))
                + polish.price * objective.woven_step(&state, group, colour)
        };
        if own != swap.out {
            fresh[group] = step(swap.into) < 0.0;
            continue;
        }
        let best = allowed
            .iter()
            .filter(|&&colour| objective.has_beads(&state, &[(group, colour)]))
            .min_by(|&&one, &&two| step(one).total_cmp(&step(two)).then(one.cmp(&two)));
        polish.apply(&mut state, &mut maps, group, *best?);
        fresh[group] = true;
        objective.links[group]
            .iter()
            .for_each(|link| fresh[link.group] = true);
    }
    maps.iter_mut().for_each(DifferenceMap::update);
    polish.run(&mut state, &mut maps, fresh);
    let total = polish.total(&state, &maps);
    let candidate = Candidate {
        state,
        maps,
        allowed,
    };
    Some((total, candidate))
}

/// The state after a swap, its total and colours; none if there are too few beads of the other
/// colours.
fn swapped(
    objective: &Objective,
    state: &State,
    allowed: &[usize],
    swap: Swap,
) -> Option<(f64, State, Vec<usize>)> {
    if objective.cancel.is_over() {
        return None;
    }
    let colours = swap.of(allowed);
    let mut state = state.clone();
    for group in 0..state.chosen.len() {
        if state.chosen[group] == swap.out
            && let Some((_, colour)) = best_change(objective, &state, group, &colours)
        {
            objective.recolour(&mut state, group, colour);
        }
    }
    if state.counts[swap.out] > 0 {
        return None;
    }
    search(objective, &mut state, &colours, SWEEPS);
    Some((objective.total(&state), state, colours))
}

/// What the colours that may come would gain, if every group changed by itself.
struct Promise {
    /// Number of colours that may come.
    width: usize,
    gain: Vec<f64>,
    /// By colour in use: what its own groups gain.
    own_gain: Vec<f64>,
    /// By colour in use: what its own groups lose if it goes.
    loss: Vec<f64>,
}

impl Promise {
    fn new<Step: Fn(usize) -> f64>(
        objective: &Objective,
        state: &State,
        allowed: &[usize],
        coming: &[usize],
        steps: impl Fn(usize) -> Step,
    ) -> Self {
        let width = coming.len();
        let mut promise = Self {
            width,
            gain: vec![0.0; width],
            own_gain: vec![0.0; width * allowed.len()],
            loss: vec![0.0; width * allowed.len()],
        };
        for (group, &own) in state.chosen.iter().enumerate() {
            let skipped = objective.fixed[group] || objective.cancel.is_over();
            let (false, Ok(place)) = (skipped, allowed.binary_search(&own)) else {
                continue;
            };
            let step = steps(group);
            let others = allowed.iter().filter(|&&colour| colour != own);
            let best = others
                .map(|&colour| step(colour))
                .fold(f64::INFINITY, f64::min);
            for (at, &colour) in coming.iter().enumerate() {
                let change = step(colour);
                promise.gain[at] += change.min(0.0);
                promise.own_gain[place * width + at] += change.min(0.0);
                promise.loss[place * width + at] += change.min(best);
            }
        }
        promise
    }

    fn of(&self, place: usize, at: usize) -> f64 {
        let own = place * self.width + at;
        self.loss[own] + self.gain[at] - self.own_gain[own]
    }
}

/// Swaps with what each promises if every group changed by itself, the best first.
fn promising<Step: Fn(usize) -> f64>(
    objective: &Objective,
    state: &State,
    allowed: &[usize],
    limit: &Limit,
    steps: impl Fn(usize) -> Step,
) -> Vec<Swap> {
    let free = limit.free.iter().copied();
    let coming: Vec<usize> = free
        .filter(|at| !allowed.contains(at) && objective.bead_limit(*at) > 0)
        .collect();
    let promise = Promise::new(objective, state, allowed, &coming, steps);
    let fixed = |colour: usize| {
        let mut groups = state.chosen.iter().zip(&objective.fixed);
        groups.any(|(&chosen, &fixed)| fixed && chosen == colour)
    };
    let beads: u64 = allowed.iter().map(|&colour| state.counts[colour]).sum();
    let hold = |out: usize, into: usize| {
        let stay = allowed.iter().copied().filter(|&colour| colour != out);
        let most = stay
            .chain([into])
            .map(|colour| objective.bead_limit(colour));
        most.fold(0, u64::saturating_add) >= beads
    };
    let mut swaps = Vec::new();
    for (place, &out) in allowed.iter().enumerate() {
        if limit.keep.contains(&out) || fixed(out) {
            continue;
        }
        for (at, &into) in coming.iter().enumerate() {
            if hold(out, into) {
                swaps.push(Swap {
                    promise: promise.of(place, at),
                    out,
                    into,
                });
            }
        }
    }
    swaps.sort_by(|a, b| {
        let colours = (a.out, a.into).cmp(&(b.out, b.into));
        a.promise.total_cmp(&b.promise).then(colours)
    });
    swaps
}
