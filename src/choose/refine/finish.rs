//! The last changes, decided by CIEDE2000 itself after the filter: what the quadratic form only nearly says.

use super::model::{Model, State};
use super::search::best_change;
use super::view::View;
use rayon::prelude::*;

/// Sweeps, at most.
const SWEEPS: usize = 4;
/// Single changes of a group that are judged: those that cost least by the quadratic form.
const JUDGED: usize = 4;
/// A change that costs more by the quadratic form, in squared mean differences of a bead, is not judged.
const TOO_DEAR: f64 = 6.0;
/// Groups that one task judges.
const AT_ONCE: usize = 32;
/// A gain must be more than rounding, in differences summed over points.
const LEAST_GAIN: f64 = 1e-4;
/// A sweep must gain this part to be followed by another.
const WORTH: f64 = 1e-3;

/// A change of one group, or an exchange of two.
#[derive(Debug, Clone, Copy)]
struct Move {
    group: usize,
    colour: usize,
    with: Option<usize>,
}

/// Changes what the quadratic form leaves, sweep by sweep, as long as the mean difference over the views and what unlike neighbours cost falls.
/// `unrest` is the price of a unit of unrest and loneliness in differences summed over points of one view.
pub(super) fn finish(
    model: &Model,
    state: &mut State,
    views: &mut Vec<View>,
    allowed: &[usize],
    unrest: f64,
) {
    let mut fresh = vec![true; state.chosen.len()];
    let mut best = (
        total(model, state, views, unrest),
        state.clone(),
        views.clone(),
    );
    for _ in 0..SWEEPS {
        if model.patience.is_over() {
            break;
        }
        let moves = wanted(model, state, views, allowed, unrest, &fresh);
        fresh.fill(false);
        for one in moves {
            // What came before may have changed what this one brings, and used up the beads that it needs.
            let changes: Vec<_> = changes(state, one).into_iter().flatten().collect();
            if model.has_room(state, &changes)
                && gain(model, state, views, one, unrest) < -LEAST_GAIN
            {
                for group in make(model, state, views, one).into_iter().flatten() {
                    fresh[group] = true;
                    model.links[group]
                        .iter()
                        .for_each(|link| fresh[link.group] = true);
                }
            }
        }
        views.iter_mut().for_each(View::judge);
        let now = total(model, state, views, unrest);
        let before = best.0;
        if now < before {
            best = (now, state.clone(), views.clone());
        }
        if now > before * (1.0 - WORTH) || !fresh.contains(&true) {
            break;
        }
    }
    (_, *state, *views) = best;
}

/// Differences summed over the points, mean over the views, and what unlike neighbours cost.
fn total(model: &Model, state: &State, views: &[View], unrest: f64) -> f64 {
    let errors: f64 = views
        .iter()
        .map(|view| view.errors.iter().sum::<f64>())
        .sum();
    errors / views.len() as f64 + unrest * (model.unrest(state) + model.loneliness(state))
}

/// The best move of every group that is fresh, where one helps.
fn wanted(
    model: &Model,
    state: &State,
    views: &[View],
    allowed: &[usize],
    unrest: f64,
    fresh: &[bool],
) -> Vec<Move> {
    let mean = views.iter().map(View::mean).sum::<f64>() / views.len() as f64;
    let dear = TOO_DEAR * mean * mean;
    let groups: Vec<usize> = (0..fresh.len())
        .filter(|&group| fresh[group] && !model.fixed[group])
        .collect();
    groups
        .par_iter()
        .with_min_len(AT_ONCE)
        .filter_map(|&group| {
            moves(model, state, group, allowed, dear)
                .into_iter()
                .map(|one| (gain(model, state, views, one, unrest), one))
                .min_by(|a, b| a.0.total_cmp(&b.0))
                .filter(|(gain, _)| *gain < -LEAST_GAIN)
                .map(|(_, one)| one)
        })
        .collect()
}

/// The moves of a group that are worth judging.
fn moves(model: &Model, state: &State, group: usize, allowed: &[usize], dear: f64) -> Vec<Move> {
    let dear = dear * model.wanted.together.beads_of(group).len() as f64;
    let mut left = allowed.to_vec();
    let mut moves = Vec::new();
    for _ in 0..JUDGED {
        let Some((change, colour)) = best_change(model, state, group, &left) else {
            break;
        };
        if change > dear {
            break;
        }
        left.retain(|&other| other != colour);
        moves.push(Move {
            group,
            colour,
            with: None,
        });
    }
    let own = state.chosen[group];
    if model.lone > 0.0 && model.is_lone(group, &|group| state.chosen[group]) {
        let mut beside: Vec<usize> = model.links[group]
            .iter()
            .map(|link| state.chosen[link.group])
            .filter(|&colour| left.contains(&colour) && model.has_room(state, &[(group, colour)]))
            .collect();
        beside.sort_unstable();
        beside.dedup();
        moves.extend(beside.into_iter().map(|colour| Move {
            group,
            colour,
            with: None,
        }));
    }
    let exchange = model.links[group]
        .iter()
        .filter(|link| !model.fixed[link.group] && state.chosen[link.group] != own)
        .filter(|link| model.may_exchange(state, group, link.group))
        .map(|link| (model.exchange(state, group, link.group), link.group))
        .filter(|(change, _)| *change <= 2.0 * dear)
        .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    moves.extend(exchange.map(|(_, with)| Move {
        group,
        colour: state.chosen[with],
        with: Some(with),
    }));
    moves
}

/// What each group changes to.
fn changes(state: &State, one: Move) -> [Option<(usize, usize)>; 2] {
    [
        Some((one.group, one.colour)),
        one.with.map(|with| (with, state.chosen[one.group])),
    ]
}

/// What a move brings: to the differences at the points near it, and to unrest.
fn gain(model: &Model, state: &State, views: &[View], one: Move, unrest: f64) -> f64 {
    let changes: Vec<(usize, usize)> = changes(state, one).into_iter().flatten().collect();
    let of_beads: Vec<(usize, [f64; 3])> = changes
        .iter()
        .flat_map(|&(group, colour)| model.of_beads(state, group, colour))
        .collect();
    let lattice = model.wanted.lattice;
    let seen: f64 = views
        .iter()
        .map(|view| view.trial(lattice, &of_beads))
        .sum();
    let calm = match model.lone > 0.0 {
        true => {
            let borders = model.unrest_of(state, &changes);
            unrest * (borders + model.loneliness_of(state, &changes))
        }
        false => 0.0,
    };
    seen / views.len() as f64 + calm
}

/// Makes a move; the groups that changed.
fn make(model: &Model, state: &mut State, views: &mut [View], one: Move) -> [Option<usize>; 2] {
    let changes = changes(state, one);
    for &(group, colour) in changes.iter().flatten() {
        let beads: Vec<_> = model.of_beads(state, group, colour).collect();
        views.par_iter_mut().for_each(|view| {
            for &(bead, change) in &beads {
                view.change(model.wanted.lattice, bead, change);
            }
        });
        model.set(state, group, colour);
    }
    changes.map(|change| change.map(|(group, _)| group))
}
