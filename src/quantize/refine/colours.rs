//! Which colours to use under a limit: one colour out, one in, as long as that helps; first by the quadratic form, then by the differences themselves.

use super::felt::{Both, felt};
use super::finish::Finish;
use super::model::{Model, State};
use super::search::{best_change, search};
use super::view::View;
use rayon::prelude::*;

/// Groups that may be searched again in all trials of a round.
const WORK: usize = 40_000;
/// Trials of a round, at least and at most.
const TRIALS: (usize, usize) = (6, 48);
/// Rounds, at most.
const ROUNDS: usize = 12;
/// Sweeps of a trial.
const SWEEPS: usize = 3;
/// Groups that may be searched again in all trials of a round that the differences themselves decide.
const SEEN_WORK: usize = 12_000;
/// Trials of such a round, at least and at most.
const SEEN_TRIALS: (usize, usize) = (2, 8);
/// Such rounds, at most.
const SEEN_ROUNDS: usize = 6;
/// Sweeps of such a trial.
const SEEN_SWEEPS: usize = 2;
/// A better choice of colours must be better by this part.
const LEAST_GAIN: f64 = 1e-4;

/// What may be chosen.
pub(super) struct Limit<'a> {
    /// Colours that may be used at all, rising.
    pub(super) free: &'a [usize],
    /// Colours that stay among those in use.
    pub(super) keep: &'a [usize],
}

/// Exchanges colours of `allowed` while that lowers the error, and searches on; `allowed` stays rising.
pub(super) fn improve(
    model: &Model,
    state: &mut State,
    allowed: &mut Vec<usize>,
    limit: &Limit,
    sweeps: usize,
) {
    let trials = (WORK / state.chosen.len()).clamp(TRIALS.0, TRIALS.1);
    for _ in 0..ROUNDS {
        if model.cancel.is_over() {
            return;
        }
        let steps = |group: usize| {
            let (slope, own) = (model.slope(state, group), state.chosen[group]);
            move |colour: usize| model.step(group, slope, own, colour)
        };
        let mut promising = promising(model, state, allowed, limit, steps);
        promising.truncate(trials);
        let total = model.total(state);
        let best = promising
            .into_par_iter()
            .filter_map(|(_, out, into)| tried(model, state, allowed, (out, into)))
            .min_by(|one, two| one.0.total_cmp(&two.0).then_with(|| one.2.cmp(&two.2)));
        match best {
            Some((least, found, colours)) if least < total - LEAST_GAIN * total.abs() => {
                *state = found;
                *allowed = colours;
                search(model, state, allowed, sweeps);
            }
            _ => return,
        }
    }
}

/// A choice of colours, and the band in it as it is seen.
pub(super) struct Shown {
    pub(super) state: State,
    pub(super) views: Vec<View>,
    /// Colours that may be used, rising.
    pub(super) allowed: Vec<usize>,
}

/// Exchanges colours while that lowers the differences that are seen, and finishes each band anew. `finish` says how; its own colours are those of `shown`.
pub(super) fn improve_seen(finish: &Finish, shown: &mut Shown, limit: &Limit) {
    let model = finish.model;
    let trials = (SEEN_WORK / model.fixed.len()).clamp(SEEN_TRIALS.0, SEEN_TRIALS.1);
    for _ in 0..SEEN_ROUNDS {
        if model.cancel.is_over() {
            return;
        }
        shown.views.iter_mut().for_each(View::feel);
        let groups = (0..model.fixed.len()).into_par_iter();
        let all: Vec<Both> = groups
            .map(|group| felt(model.wanted, &shown.views, group))
            .collect();
        let steps = |group: usize| {
            let (own, both) = (shown.state.chosen[group], all[group][0].and(&all[group][1]));
            move |colour: usize| both.step(model.apart(own, colour))
        };
        let mut promising = promising(model, &shown.state, &shown.allowed, limit, steps);
        promising.truncate(trials);
        let total = finish.total(&shown.state, &shown.views);
        let best = promising
            .into_par_iter()
            .filter_map(|(_, out, into)| exchanged(finish, shown, &all, (out, into)))
            .min_by(|one, two| {
                one.0
                    .total_cmp(&two.0)
                    .then_with(|| one.1.allowed.cmp(&two.1.allowed))
            });
        match best {
            Some((least, found)) if least < total * (1.0 - LEAST_GAIN) => *shown = found,
            _ => return,
        }
        let own = Finish {
            allowed: &shown.allowed,
            ..*finish
        };
        let fresh = vec![true; model.fixed.len()];
        own.finish(&mut shown.state, &mut shown.views, fresh);
    }
}

/// The band after one colour went and another came, and its total; none if there are too few beads of the others.
fn exchanged(
    finish: &Finish,
    shown: &Shown,
    all: &[Both],
    (out, into): (usize, usize),
) -> Option<(f64, Shown)> {
    let model = finish.model;
    if model.cancel.is_over() {
        return None;
    }
    let mut allowed: Vec<usize> = shown
        .allowed
        .iter()
        .copied()
        .filter(|&at| at != out)
        .collect();
    allowed.push(into);
    allowed.sort_unstable();
    let finish = Finish {
        allowed: &allowed,
        sweeps: SEEN_SWEEPS,
        ..*finish
    };
    let (mut state, mut views) = (shown.state.clone(), shown.views.clone());
    let mut fresh = vec![false; state.chosen.len()];
    for group in 0..state.chosen.len() {
        let (own, both) = (state.chosen[group], all[group][0].and(&all[group][1]));
        let step = |colour: usize| both.step(model.apart(own, colour));
        if own != out {
            fresh[group] = step(into) < 0.0;
            continue;
        }
        let best = allowed
            .iter()
            .filter(|&&colour| model.has_room(&state, &[(group, colour)]))
            .min_by(|&&one, &&two| step(one).total_cmp(&step(two)).then(one.cmp(&two)));
        finish.make(&mut state, &mut views, group, *best?);
        fresh[group] = true;
        model.links[group]
            .iter()
            .for_each(|link| fresh[link.group] = true);
    }
    views.iter_mut().for_each(View::judge);
    finish.finish(&mut state, &mut views, fresh);
    Some((
        finish.total(&state, &views),
        Shown {
            state,
            views,
            allowed,
        },
    ))
}

/// The state after one colour went and another came, and its total; none if there are too few beads of the others.
fn tried(
    model: &Model,
    state: &State,
    allowed: &[usize],
    (out, into): (usize, usize),
) -> Option<(f64, State, Vec<usize>)> {
    if model.cancel.is_over() {
        return None;
    }
    let mut colours: Vec<usize> = allowed.iter().copied().filter(|&at| at != out).collect();
    colours.push(into);
    colours.sort_unstable();
    let mut state = state.clone();
    for group in 0..state.chosen.len() {
        if state.chosen[group] == out
            && let Some((_, colour)) = best_change(model, &state, group, &colours)
        {
            model.set(&mut state, group, colour);
        }
    }
    if state.counts[out] > 0 {
        return None;
    }
    search(model, &mut state, &colours, SWEEPS);
    Some((model.total(&state), state, colours))
}

/// Pairs of a colour to go and one to come, with what each promises if every group changed alone; the best first.
fn promising<Step: Fn(usize) -> f64>(
    model: &Model,
    state: &State,
    allowed: &[usize],
    limit: &Limit,
    steps: impl Fn(usize) -> Step,
) -> Vec<(f64, usize, usize)> {
    let coming: Vec<usize> = limit
        .free
        .iter()
        .copied()
        .filter(|at| !allowed.contains(at) && model.most(*at) > 0)
        .collect();
    let width = coming.len();
    let mut gain = vec![0.0; width];
    // By colour in use: what its own groups gain, and what they lose if it goes.
    let mut own_gain = vec![0.0; width * allowed.len()];
    let mut loss = vec![0.0; width * allowed.len()];
    let place = |colour: usize| allowed.binary_search(&colour);
    for (group, &own) in state.chosen.iter().enumerate() {
        let skipped = model.fixed[group] || model.cancel.is_over();
        let (false, Ok(place)) = (skipped, place(own)) else {
            continue;
        };
        let step = steps(group);
        let others = allowed.iter().filter(|&&colour| colour != own);
        let best = others
            .map(|&colour| step(colour))
            .fold(f64::INFINITY, f64::min);
        for (at, &colour) in coming.iter().enumerate() {
            let change = step(colour);
            gain[at] += change.min(0.0);
            own_gain[place * width + at] += change.min(0.0);
            loss[place * width + at] += change.min(best);
        }
    }
    let fixed = |colour: usize| {
        let mut groups = state.chosen.iter().zip(&model.fixed);
        groups.any(|(&chosen, &fixed)| fixed && chosen == colour)
    };
    let beads: u64 = allowed.iter().map(|&colour| state.counts[colour]).sum();
    let hold = |out: usize, into: usize| {
        let stay = allowed.iter().copied().filter(|&colour| colour != out);
        let most = stay.chain([into]).map(|colour| model.most(colour));
        most.fold(0, u64::saturating_add) >= beads
    };
    let mut pairs = Vec::new();
    for (place, &out) in allowed.iter().enumerate() {
        if limit.keep.contains(&out) || fixed(out) {
            continue;
        }
        for (at, &into) in coming.iter().enumerate() {
            if !hold(out, into) {
                continue;
            }
            let own = place * width + at;
            pairs.push((loss[own] + gain[at] - own_gain[own], out, into));
        }
    }
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
    pairs
}
