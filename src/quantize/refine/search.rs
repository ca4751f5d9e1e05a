//! Direct search: single changes and exchanges of neighbours, until none helps.

use super::objective::{Objective, State};

/// A gain must be more than rounding: a part of the error of one bead that is off by one unit.
const LEAST_GAIN: f64 = 1e-6;
/// Sweeps, at most; a search ends long before.
const SWEEPS: usize = 200;

/// The best other colour for a group among `allowed` that has beads left, with the change of the
/// total.
pub(super) fn best_change(
    objective: &Objective,
    state: &State,
    group: usize,
    allowed: &[usize],
) -> Option<(f64, usize)> {
    let own = state.chosen[group];
    let slope = objective.slope(state, group);
    // Most neighbours have one of a few colours: all other colours cost the same.
    let mut all = 0.0;
    let mut like = 0.0;
    for link in &objective.links[group] {
        let other = state.chosen[link.group];
        all += f64::from(link.weight > 0.0) * link.weight;
        like += f64::from(other == own) * link.weight;
    }
    let intrusion = objective.intrusion(group, own);
    let mut best: Option<(f64, usize)> = None;
    for &colour in allowed.iter().filter(|&&colour| colour != own) {
        if !objective.has_beads(state, &[(group, colour)]) {
            continue;
        }
        let step = objective.error_step(group, slope, own, colour);
        let mut change = step + like + objective.intrusion(group, colour) - intrusion;
        if all > 0.0 {
            for link in &objective.links[group] {
                change -= f64::from(state.chosen[link.group] == colour) * link.weight;
            }
        }
        if best.is_none_or(|(least, _)| change < least) {
            best = Some((change, colour));
        }
    }
    best
}

/// Changes single groups and exchanges neighbours in lattice order until nothing helps, or `sweeps`
/// are over. Returns whether nothing helps any more.
pub(super) fn search(
    objective: &Objective,
    state: &mut State,
    allowed: &[usize],
    sweeps: usize,
) -> bool {
    let groups = state.chosen.len();
    let mut fresh = vec![true; groups];
    let mut whole = true;
    for _ in 0..sweeps.min(SWEEPS) {
        let mut changed = false;
        for group in 0..groups {
            if objective.cancel.is_over() {
                return false;
            }
            if objective.fixed[group] || !std::mem::take(&mut fresh[group]) {
                continue;
            }
            if let Some(touched) = improve(objective, state, group, allowed) {
                changed = true;
                for group in touched.into_iter().flatten() {
                    wake(objective, &mut fresh, group);
                }
            }
        }
        match (changed, whole) {
            (false, true) => return true,
            // Groups not looked at again may have changed by what happened far away.
            (false, false) => fresh.fill(true),
            (true, _) => {}
        }
        whole = !changed;
    }
    false
}

/// A group and those around it are to be looked at again.
fn wake(objective: &Objective, fresh: &mut [bool], group: usize) {
    fresh[group] = true;
    for link in &objective.links[group] {
        fresh[link.group] = true;
        for next in &objective.links[link.group] {
            fresh[next.group] = true;
        }
    }
}

/// The best change or exchange of one group, if any helps; the groups that changed.
fn improve(
    objective: &Objective,
    state: &mut State,
    group: usize,
    allowed: &[usize],
) -> Option<[Option<usize>; 2]> {
    let mut best = best_change(objective, state, group, allowed)
        .filter(|(change, _)| *change < -LEAST_GAIN)
        .map(|(change, colour)| (change, colour, None));
    let own = state.chosen[group];
    for link in &objective.links[group] {
        let other = state.chosen[link.group];
        if objective.fixed[link.group] || other == own {
            continue;
        }
        let change = objective.exchange(state, group, link.group);
        if change < best.map_or(-LEAST_GAIN, |(least, ..)| least)
            && objective.may_exchange(state, group, link.group)
        {
            best = Some((change, other, Some(link.group)));
        }
    }
    let (_, colour, with) = best?;
    objective.recolour(state, group, colour);
    if let Some(with) = with {
        objective.recolour(state, with, own);
    }
    Some([Some(group), with])
}
