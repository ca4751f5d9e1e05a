//! The changes that CIEDE2000 itself decides after the filter: what the quadratic form only nearly says.
//!
//! In each sweep every group looks at all colours by what is felt of them ([`super::felt`]), at a few by the formula with its weights held, and at the best
//! two by the formula itself; then the moves are made one after the other, each if it still helps.

use super::felt::{Both, felt};
use super::model::{Model, State};
use super::view::{Changes, View};
use crate::lattice::Lattice;
use rayon::prelude::*;

/// Single changes of a group that are looked at beyond what is felt of them.
const LOOKED_AT: usize = 6;
/// Exchanges that are looked at.
const EXCHANGES: usize = 2;
/// Moves that are judged by the formula.
const JUDGED: usize = 2;
/// A single change that is felt to cost more, in mean differences of a point, is not looked at; nor an exchange that costs so much.
const TOO_DEAR: (f64, f64) = (4.0, 1.0);
/// Nor is a move judged that seems to cost more, in mean differences of a point.
const TOO_DEAR_TO_JUDGE: f64 = 0.5;
/// Groups that one task judges.
const AT_ONCE: usize = 32;
/// A gain must be more than rounding, in differences summed over points.
const LEAST_GAIN: f64 = 1e-4;
/// A sweep must gain this part to be followed by another.
const WORTH: f64 = 5e-4;

/// A change of one group, or of two.
#[derive(Debug, Clone, Copy)]
struct Move {
    group: usize,
    colour: usize,
    with: Option<(usize, usize)>,
}

/// What is asked for.
#[derive(Clone, Copy)]
pub(super) struct Finish<'a> {
    pub(super) model: &'a Model<'a>,
    /// Colours that may be used, rising.
    pub(super) allowed: &'a [usize],
    /// Price of a unit of unrest and loneliness in differences summed over points of one view.
    pub(super) unrest: f64,
    /// Sweeps, at most.
    pub(super) sweeps: usize,
}

/// How a move is judged at the points near it.
type Judge = fn(&View, &Lattice, Changes) -> f64;

impl Finish<'_> {
    /// Changes groups, those that are `fresh` first, sweep by sweep, as long as the mean difference over the views and what unlike neighbours cost falls.
    /// The state's field is out of date afterwards.
    pub(super) fn finish(&self, state: &mut State, views: &mut Vec<View>, mut fresh: Vec<bool>) {
        let mut best = (self.total(state, views), state.clone(), views.clone());
        for _ in 0..self.sweeps {
            if self.model.cancel.is_over() {
                break;
            }
            views.iter_mut().for_each(View::feel);
            let moves = self.wanted(state, views, &self.felt(views, &fresh), &fresh);
            fresh.fill(false);
            for one in moves {
                if self.model.cancel.is_over() {
                    break;
                }
                self.make_if_it_helps(state, views, one, &mut fresh);
            }
            views.iter_mut().for_each(View::judge);
            let (now, before) = (self.total(state, views), best.0);
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
    pub(super) fn total(&self, state: &State, views: &[View]) -> f64 {
        let of_view = |view: &View| view.errors.iter().sum::<f64>();
        let errors: f64 = views.iter().map(of_view).sum();
        let unrest = self.model.unrest(state) + self.model.loneliness(state);
        errors / views.len() as f64 + self.unrest * unrest
    }

    /// What is felt of the groups that are fresh and those beside them.
    fn felt(&self, views: &[View], fresh: &[bool]) -> Vec<Both> {
        let model = self.model;
        let asked = |group: usize| {
            let mut beside = model.links[group].iter();
            let open = !model.fixed[group] && !model.cancel.is_over();
            open && (fresh[group] || beside.any(|link| fresh[link.group]))
        };
        (0..fresh.len())
            .into_par_iter()
            .with_min_len(AT_ONCE)
            .map(|group| match asked(group) {
                true => felt(model.wanted, views, group),
                false => Both::default(),
            })
            .collect()
    }

    /// The best move of every group that is fresh, where one helps.
    fn wanted(&self, state: &State, views: &[View], all: &[Both], fresh: &[bool]) -> Vec<Move> {
        let mean = views.iter().map(View::mean).sum::<f64>() / views.len() as f64;
        let groups: Vec<usize> = (0..fresh.len())
            .filter(|&group| fresh[group] && !self.model.fixed[group])
            .collect();
        let gain =
            |one: Move, judge: Judge| self.gain(state, views, one, judge, |group| all[group]);
        groups
            .par_iter()
            .with_min_len(AT_ONCE)
            .filter_map(|&group| {
                if self.model.cancel.is_over() {
                    return None;
                }
                let moves = self.moves(state, views.len(), all, group, mean).into_iter();
                let mut moves: Vec<(f64, Move)> = moves
                    .map(|one| (gain(one, View::hunch), one))
                    .filter(|(gain, _)| *gain < TOO_DEAR_TO_JUDGE * mean)
                    .collect();
                moves.sort_by(|a, b| a.0.total_cmp(&b.0));
                moves.truncate(JUDGED);
                moves
                    .into_iter()
                    .map(|(_, one)| (gain(one, View::trial), one))
                    .min_by(|a, b| a.0.total_cmp(&b.0))
                    .filter(|(gain, _)| *gain < -LEAST_GAIN)
                    .map(|(_, one)| one)
            })
            .collect()
    }

    /// The moves of a group that are worth a look.
    fn moves(
        &self,
        state: &State,
        views: usize,
        all: &[Both],
        group: usize,
        mean: f64,
    ) -> Vec<Move> {
        let model = self.model;
        let (own, beads) = (
            state.chosen[group],
            model.wanted.together.beads_of(group).len(),
        );
        let step = |colour: usize| {
            let felt = all[group][0].and(&all[group][1]);
            let border = match model.lone > 0.0 {
                true => self.unrest * model.border(state, group, colour),
                false => 0.0,
            };
            felt.step(model.apart(own, colour)) / views as f64 + border
        };
        let may = |colour: usize| colour != own && model.has_room(state, &[(group, colour)]);
        let mut ranked: Vec<(f64, usize)> = self
            .allowed
            .iter()
            .filter(|&&colour| may(colour))
            .map(|&colour| (step(colour), colour))
            .filter(|(step, _)| *step < TOO_DEAR.0 * mean * beads as f64)
            .collect();
        ranked.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        ranked.truncate(LOOKED_AT);
        let mut colours: Vec<usize> = ranked.into_iter().map(|(_, colour)| colour).collect();
        if model.lone > 0.0 && model.is_lone(group, &|group| state.chosen[group]) {
            let beside = model.links[group]
                .iter()
                .map(|link| state.chosen[link.group]);
            let offered =
                |colour: &usize| self.allowed.binary_search(colour).is_ok() && may(*colour);
            for colour in beside.filter(offered) {
                if !colours.contains(&colour) {
                    colours.push(colour);
                }
            }
        }
        let single = |colour| Move {
            group,
            colour,
            with: None,
        };
        let mut moves: Vec<Move> = colours.into_iter().map(single).collect();
        let most = TOO_DEAR.1 * mean * beads as f64;
        let mut exchanges: Vec<(f64, usize)> = model.links[group]
            .iter()
            .filter(|link| !model.fixed[link.group] && state.chosen[link.group] != own)
            .filter(|link| model.may_exchange(state, group, link.group))
            .map(|link| {
                (
                    self.exchange(state, all, group, link.group) / views as f64,
                    link.group,
                )
            })
            .filter(|(step, _)| *step < most)
            .collect();
        exchanges.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        moves.extend(
            exchanges
                .into_iter()
                .take(EXCHANGES)
                .map(|(_, other)| Move {
                    group,
                    colour: state.chosen[other],
                    with: Some((other, own)),
                }),
        );
        moves
    }

    /// What an exchange is felt to bring: that of both changes, less what they undo of each other.
    fn exchange(&self, state: &State, all: &[Both], one: usize, two: usize) -> f64 {
        let model = self.model;
        let (to, back) = (
            model.apart(state.chosen[one], state.chosen[two]),
            model.apart(state.chosen[two], state.chosen[one]),
        );
        let (here, there) = (all[one][0].and(&all[one][1]), all[two][0].and(&all[two][1]));
        let common = model.common(one, two);
        let shared = std::array::from_fn(|at| common[at].max(0.0).sqrt() * to[at]);
        here.step(to) + there.step(back) - here.curve(shared) - there.curve(shared)
    }

    /// What a move brings: to the differences at the points near it and far from it, and to unrest.
    fn gain(
        &self,
        state: &State,
        views: &[View],
        one: Move,
        judge: Judge,
        all: impl Fn(usize) -> Both,
    ) -> f64 {
        let model = self.model;
        let changes = changes(one);
        let of_beads: Vec<(usize, [f64; 3])> = changes
            .iter()
            .flat_map(|&(group, colour)| model.of_beads(state, group, colour))
            .collect();
        let lattice = model.wanted.lattice;
        let near = views.iter().map(|view| judge(view, lattice, &of_beads));
        let far = changes.iter().map(|&(group, colour)| {
            let change = model.apart(state.chosen[group], colour);
            all(group)[1].step(change)
        });
        let seen = near.sum::<f64>() + far.sum::<f64>();
        let calm = match model.lone > 0.0 {
            true => {
                let borders = model.unrest_of(state, &changes);
                self.unrest * (borders + model.loneliness_of(state, &changes))
            }
            false => 0.0,
        };
        seen / views.len() as f64 + calm
    }

    /// Makes a move, if it still helps: what came before may have changed what it brings, and used up the beads that it needs.
    fn make_if_it_helps(
        &self,
        state: &mut State,
        views: &mut [View],
        one: Move,
        fresh: &mut [bool],
    ) {
        let model = self.model;
        let changes = changes(one);
        let now = |group: usize| felt(model.wanted, views, group);
        if !model.has_room(state, &changes)
            || self.gain(state, views, one, View::trial, now) >= -LEAST_GAIN
        {
            return;
        }
        for (group, colour) in changes {
            self.make(state, views, group, colour);
            fresh[group] = true;
            model.links[group]
                .iter()
                .for_each(|link| fresh[link.group] = true);
        }
    }

    /// Gives a group another colour, in the views too.
    pub(super) fn make(&self, state: &mut State, views: &mut [View], group: usize, colour: usize) {
        let beads: Vec<_> = self.model.of_beads(state, group, colour).collect();
        for view in views {
            for &(bead, change) in &beads {
                view.change(self.model.wanted.lattice, bead, change);
            }
        }
        self.model.take(state, group, colour);
    }
}

/// What each group changes to.
fn changes(one: Move) -> Vec<(usize, usize)> {
    let first = Some((one.group, one.colour));
    first.into_iter().chain(one.with).collect()
}
