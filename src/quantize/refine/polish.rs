//! Local search on CIEDE2000 itself, after the eye's filter: what the quadratic objective only
//! approximates.
//!
//! In each sweep every group weighs all colours by its quadratic model ([`super::quadratic`]), a
//! few by the formula with its weights held, and the best two by the formula itself. Then the moves
//! are made one after the other, each if it still helps.

use super::difference_map::{Changes, DifferenceMap, model_of_group, weighted_mean};
use super::objective::{Objective, State};
use super::quadratic::NearFar;
use crate::lattice::Lattice;
use rayon::prelude::*;

/// Colour changes of a group that are estimated beyond its model.
const ESTIMATED: usize = 6;
/// Exchanges that are estimated.
const EXCHANGES: usize = 2;
/// Moves that are computed by the formula.
const COMPUTED: usize = 2;
/// A colour change that the model says costs more is not estimated; in mean differences of a point.
const MOST_CHANGE: f64 = 4.0;
/// The same for an exchange.
const MOST_EXCHANGE: f64 = 1.0;
/// A move that the estimate says costs more is not computed; in mean differences of a point.
const MOST_ESTIMATE: f64 = 0.5;
/// Groups that one task handles.
const AT_ONCE: usize = 32;
/// A gain must be more than rounding, in differences summed over points.
const LEAST_GAIN: f64 = 1e-4;
/// A sweep must gain this part to be followed by another.
const LEAST_SWEEP: f64 = 5e-4;

/// A change of one group, or of two that exchange colours.
#[derive(Debug, Clone, Copy)]
struct Move {
    group: usize,
    colour: usize,
    with: Option<(usize, usize)>,
}

/// The search and its limits.
#[derive(Clone, Copy)]
pub(super) struct Polish<'a> {
    pub(super) objective: &'a Objective<'a>,
    /// Colours that may be used, rising.
    pub(super) allowed: &'a [usize],
    /// Price of a unit of what is woven, in differences summed over the points of one map.
    pub(super) price: f64,
    /// Sweeps, at most.
    pub(super) sweeps: usize,
}

/// How a move is weighed at the points near it.
type Weigh = fn(&DifferenceMap, &Lattice, Changes) -> f64;

impl Polish<'_> {
    /// Changes groups, those that are `fresh` first, sweep by sweep, as long as the mean difference
    /// over the maps and the cost of what is woven falls. The state's gradient is out of
    /// date afterwards.
    pub(super) fn run(
        &self,
        state: &mut State,
        maps: &mut Vec<DifferenceMap>,
        mut fresh: Vec<bool>,
    ) {
        let mut best = (self.total(state, maps), state.clone(), maps.clone());
        for _ in 0..self.sweeps {
            if self.objective.cancel.is_over() {
                break;
            }
            maps.iter_mut().for_each(DifferenceMap::linearise);
            let moves = self.best_moves(state, maps, &self.models(maps, &fresh), &fresh);
            fresh.fill(false);
            for one in moves {
                if self.objective.cancel.is_over() {
                    break;
                }
                self.apply_if_better(state, maps, one, &mut fresh);
            }
            maps.iter_mut().for_each(DifferenceMap::update);
            let (now, before) = (self.total(state, maps), best.0);
            if now < before {
                best = (now, state.clone(), maps.clone());
            }
            if now > before * (1.0 - LEAST_SWEEP) || !fresh.contains(&true) {
                break;
            }
        }
        (_, *state, *maps) = best;
    }

    /// Differences summed over the points, mean over the maps, and the cost of what is woven.
    pub(super) fn total(&self, state: &State, maps: &[DifferenceMap]) -> f64 {
        let of_map = |map: &DifferenceMap| map.share * map.differences.iter().sum::<f64>();
        let differences: f64 = maps.iter().map(of_map).sum();
        differences + self.price * self.objective.woven_cost(state)
    }

    /// The models of the groups that are fresh and of those beside them.
    fn models(&self, maps: &[DifferenceMap], fresh: &[bool]) -> Vec<NearFar> {
        let objective = self.objective;
        let needed = |group: usize| {
            let mut beside = objective.links[group].iter();
            let open = !objective.fixed[group] && !objective.cancel.is_over();
            open && (fresh[group] || beside.any(|link| fresh[link.group]))
        };
        (0..fresh.len())
            .into_par_iter()
            .with_min_len(AT_ONCE)
            .map(|group| {
                if needed(group) {
                    model_of_group(objective.problem, maps, group)
                } else {
                    NearFar::default()
                }
            })
            .collect()
    }

    /// The best move of every group that is fresh, where one helps.
    fn best_moves(
        &self,
        state: &State,
        maps: &[DifferenceMap],
        models: &[NearFar],
        fresh: &[bool],
    ) -> Vec<Move> {
        let mean = weighted_mean(maps);
        let groups: Vec<usize> = (0..fresh.len())
            .filter(|&group| fresh[group] && !self.objective.fixed[group])
            .collect();
        let gain =
            |one: Move, weigh: Weigh| self.gain(state, maps, one, weigh, |group| models[group]);
        groups
            .par_iter()
            .with_min_len(AT_ONCE)
            .filter_map(|&group| {
                if self.objective.cancel.is_over() {
                    return None;
                }
                let look = Look {
                    polish: self,
                    state,
                    models,
                    mean,
                };
                let moves = look.moves(group).into_iter();
                let mut moves: Vec<(f64, Move)> = moves
                    .map(|one| (gain(one, DifferenceMap::estimate), one))
                    .filter(|(gain, _)| *gain < MOST_ESTIMATE * mean)
                    .collect();
                moves.sort_by(|a, b| a.0.total_cmp(&b.0));
                moves.truncate(COMPUTED);
                moves
                    .into_iter()
                    .map(|(_, one)| (gain(one, DifferenceMap::trial), one))
                    .min_by(|a, b| a.0.total_cmp(&b.0))
                    .filter(|(gain, _)| *gain < -LEAST_GAIN)
                    .map(|(_, one)| one)
            })
            .collect()
    }

    /// By how much a move changes the total: differences near and far, and what is woven.
    fn gain(
        &self,
        state: &State,
        maps: &[DifferenceMap],
        one: Move,
        weigh: Weigh,
        model: impl Fn(usize) -> NearFar,
    ) -> f64 {
        let objective = self.objective;
        let changes = changes(one);
        let of_beads: Vec<(usize, [f64; 3])> = changes
            .iter()
            .flat_map(|&(group, colour)| objective.bead_steps(state, group, colour))
            .collect();
        let lattice = objective.problem.lattice;
        let near = maps
            .iter()
            .map(|map| map.share * weigh(map, lattice, &of_beads));
        let far = changes.iter().map(|&(group, colour)| {
            let change = objective.colour_step(state.chosen[group], colour);
            model(group).far.step(change)
        });
        let differences = near.sum::<f64>() + far.sum::<f64>();
        differences + self.price * objective.woven_change(state, &changes)
    }

    /// Makes a move if it still helps: earlier moves may have changed what it brings, and used up
    /// the beads that it needs.
    fn apply_if_better(
        &self,
        state: &mut State,
        maps: &mut [DifferenceMap],
        one: Move,
        fresh: &mut [bool],
    ) {
        let objective = self.objective;
        let changes = changes(one);
        let now = |group: usize| model_of_group(objective.problem, maps, group);
        if !objective.has_beads(state, &changes)
            || self.gain(state, maps, one, DifferenceMap::trial, now) >= -LEAST_GAIN
        {
            return;
        }
        for (group, colour) in changes {
            self.apply(state, maps, group, colour);
            fresh[group] = true;
            objective.links[group]
                .iter()
                .for_each(|link| fresh[link.group] = true);
        }
    }

    /// Gives a group another colour, in the maps too.
    pub(super) fn apply(
        &self,
        state: &mut State,
        maps: &mut [DifferenceMap],
        group: usize,
        colour: usize,
    ) {
        let beads: Vec<_> = self.objective.bead_steps(state, group, colour).collect();
        for map in maps {
            for &(bead, change) in &beads {
                map.change(self.objective.problem.lattice, bead, change);
            }
        }
        self.objective.recolour_only(state, group, colour);
    }
}

/// What the moves of a sweep are looked for with.
struct Look<'a> {
    polish: &'a Polish<'a>,
    state: &'a State,
    models: &'a [NearFar],
    /// Mean difference of a point.
    mean: f64,
}

impl Look<'_> {
    /// The moves of a group that are worth an estimate.
    fn moves(&self, group: usize) -> Vec<Move> {
        let single = |colour| Move {
            group,
            colour,
            with: None,
        };
        let mut moves: Vec<Move> = self.colours(group).into_iter().map(single).collect();
        moves.extend(self.exchanges(group));
        moves
    }

    fn beads(&self, group: usize) -> f64 {
        let groups = self.polish.objective.problem.groups;
        groups.beads_of(group).len() as f64
    }

    /// Whether a group may take another colour.
    fn may_take(&self, group: usize, colour: usize) -> bool {
        colour != self.state.chosen[group]
            && self
                .polish
                .objective
                .has_beads(self.state, &[(group, colour)])
    }

    /// Other colours for a group: the best by its model, and for a stray bead those beside it.
    fn colours(&self, group: usize) -> Vec<usize> {
        let (objective, state) = (self.polish.objective, self.state);
        let own = state.chosen[group];
        let model = self.models[group].both();
        let step = |colour: usize| {
            let woven = self.polish.price * objective.woven_step(state, group, colour);
            model.step(objective.colour_step(own, colour)) + woven
        };
        let most = MOST_CHANGE * self.mean * self.beads(group);
        let mut ranked: Vec<(f64, usize)> = self
            .polish
            .allowed
            .iter()
            .filter(|&&colour| self.may_take(group, colour))
            .map(|&colour| (step(colour), colour))
            .filter(|(step, _)| *step < most)
            .collect();
        ranked.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        ranked.truncate(ESTIMATED);
        let mut colours: Vec<usize> = ranked.into_iter().map(|(_, colour)| colour).collect();
        let stray =
            objective.stray_price > 0.0 && objective.is_stray(group, &|group| state.chosen[group]);
        if stray {
            for link in &objective.links[group] {
                let colour = state.chosen[link.group];
                let offered = self.polish.allowed.binary_search(&colour).is_ok()
                    && self.may_take(group, colour);
                if offered && !colours.contains(&colour) {
                    colours.push(colour);
                }
            }
        }
        colours
    }

    /// The best exchanges of a group with those beside it.
    fn exchanges(&self, group: usize) -> Vec<Move> {
        let (objective, state) = (self.polish.objective, self.state);
        let own = state.chosen[group];
        let most = MOST_EXCHANGE * self.mean * self.beads(group);
        let mut exchanges: Vec<(f64, usize)> = objective.links[group]
            .iter()
            .filter(|link| !objective.fixed[link.group] && state.chosen[link.group] != own)
            .filter(|link| objective.may_exchange(state, group, link.group))
            .map(|link| (self.exchange(group, link.group), link.group))
            .filter(|(step, _)| *step < most)
            .collect();
        exchanges.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        exchanges
            .into_iter()
            .take(EXCHANGES)
            .map(|(_, other)| Move {
                group,
                colour: state.chosen[other],
                with: Some((other, own)),
            })
            .collect()
    }

    /// What the models say of an exchange: both changes, less what they undo of each other.
    fn exchange(&self, one: usize, two: usize) -> f64 {
        let objective = self.polish.objective;
        let (first, second) = (self.state.chosen[one], self.state.chosen[two]);
        let to = objective.colour_step(first, second);
        let back = objective.colour_step(second, first);
        let (here, there) = (self.models[one].both(), self.models[two].both());
        let shared_part = objective.shared_part(one, two);
        let shared = std::array::from_fn(|at| shared_part[at].max(0.0).sqrt() * to[at]);
        here.step(to) + there.step(back) - here.second_order(shared) - there.second_order(shared)
    }
}

/// What each group changes to.
fn changes(one: Move) -> Vec<(usize, usize)> {
    let first = Some((one.group, one.colour));
    first.into_iter().chain(one.with).collect()
}
