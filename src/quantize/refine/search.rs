//! Direct search: single changes and exchanges of neighbours, until none helps.

use super::model::{Model, State};

/// A gain must be more than rounding: a part of the error of one bead that is off by one unit.
const LEAST_GAIN: f64 = 1e-6;
/// Sweeps, at most; a search ends long before.
const SWEEPS: usize = 200;

/// The best other colour for a group among `allowed` that there are beads of, with what it brings.
pub(super) fn best_change(
    model: &Model,
    state: &State,
    group: usize,
    allowed: &[usize],
) -> Option<(f64, usize)> {
    let own = state.chosen[group];
    let slope = model.slope(state, group);
    // Most neighbours have one of a few colours: the rest cost alike.
    let mut all = 0.0;
    let mut like = 0.0;
    for link in &model.links[group] {
        let other = state.chosen[link.group];
        all += f64::from(link.weight > 0.0) * link.weight;
        like += f64::from(other == own) * link.weight;
    }
    let mut best: Option<(f64, usize)> = None;
    for &colour in allowed.iter().filter(|&&colour| colour != own) {
        if !model.has_room(state, &[(group, colour)]) {
            continue;
        }
        let mut change = model.step(group, slope, own, colour) + like;
        if all > 0.0 {
            for link in &model.links[group] {
                change -= f64::from(state.chosen[link.group] == colour) * link.weight;
            }
        }
        if best.is_none_or(|(least, _)| change < least) {
            best = Some((change, colour));
        }
    }
    best
}

/// Changes single groups and exchanges neighbours in lattice order until nothing helps, or `sweeps` are over. Returns whether it came to rest.
pub(super) fn search(model: &Model, state: &mut State, allowed: &[usize], sweeps: usize) -> bool {
    let groups = state.chosen.len();
    let mut fresh = vec![true; groups];
    let mut whole = true;
    for _ in 0..sweeps.min(SWEEPS) {
        let mut changed = false;
        for group in 0..groups {
            if model.cancel.is_over() {
                return false;
            }
            if model.fixed[group] || !std::mem::take(&mut fresh[group]) {
                continue;
            }
            if let Some(touched) = improve(model, state, group, allowed) {
                changed = true;
                for group in touched.into_iter().flatten() {
                    wake(model, &mut fresh, group);
                }
            }
        }
        match (changed, whole) {
            (false, true) => return true,
            // What was not looked at again may have changed by what happened far away.
            (false, false) => fresh.fill(true),
            (true, _) => {}
        }
        whole = !changed;
    }
    false
}

/// A group and those about it are to be looked at again.
fn wake(model: &Model, fresh: &mut [bool], group: usize) {
    fresh[group] = true;
    for link in &model.links[group] {
        fresh[link.group] = true;
        for next in &model.links[link.group] {
            fresh[next.group] = true;
        }
    }
}

/// The best change or exchange of one group, if any helps; the groups that changed.
fn improve(
    model: &Model,
    state: &mut State,
    group: usize,
    allowed: &[usize],
) -> Option<[Option<usize>; 2]> {
    let mut best = best_change(model, state, group, allowed)
        .filter(|(change, _)| *change < -LEAST_GAIN)
        .map(|(change, colour)| (change, colour, None));
    let own = state.chosen[group];
    for link in &model.links[group] {
        let other = state.chosen[link.group];
        if model.fixed[link.group] || other == own {
            continue;
        }
        let change = model.exchange(state, group, link.group);
        if change < best.map_or(-LEAST_GAIN, |(least, ..)| least)
            && model.may_exchange(state, group, link.group)
        {
            best = Some((change, other, Some(link.group)));
        }
    }
    let (_, colour, with) = best?;
    model.set(state, group, colour);
    if let Some(with) = with {
        model.set(state, with, own);
    }
    Some([Some(group), with])
}
