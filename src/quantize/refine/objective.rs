//! The error of a band as a quadratic form, so that a trial costs the same whatever the size of the
//! band.
//!
//! Every bead differs from its picture by `d`, its colour's opponent values less the picture's,
//! each channel scaled by how much CIEDE2000 counts it there (`s`). The error is the sum of the
//! squared difference after the eye's filter, `E = Σ |F * (s d)|²`, which by the filter's
//! autocorrelation `A` over the beads' own rectangles is `Σ_i Σ_j s_i d_i A(i - j) s_j d_j`, and a
//! linear term for the detail of the picture that is finer than a bead. With `g_i = Σ_j A(i - j)
//! s_j d_j` at hand, a change of bead `i` by `c` adds `2 s_i g_i c + s_i² A(0) c²`; only a change
//! that is made visits the neighbours.

use super::View;
use super::autocorrelation::Autocorrelation;
use crate::cancel::Cancel;
use crate::colour::{Light, ciede2000};
use crate::lattice::Lattice;
use crate::palette::{Bounds, Tone};
use crate::quantize::Problem;
use crate::quantize::assign::fixed_colour;
use crate::vision::band::{Mosaic, filtered_twice, lab_of};
use crate::vision::scielab::{Channel, opponent};

/// Steps in luminance, red-green and blue-yellow over which the weight of a channel is taken: about
/// the distance of neighbouring colours of a palette.
const STEPS: [f64; 3] = [0.03, 0.015, 0.03];
/// Joint spread, in lengths of a bead, below which detail finer than a bead counts.
const FELT: f64 = 2.0;

/// What does not change during a search. Colours are indices into the palette.
pub(super) struct Objective<'a> {
    pub(super) problem: &'a Problem<'a>,
    /// Opponent values of the palette.
    pub(super) colours: Vec<[f64; 3]>,
    /// Opponent values of the picture under each bead.
    target: Vec<[f64; 3]>,
    /// Scale of each channel at each bead.
    scale: Vec<[f64; 3]>,
    /// Linear term of each bead, scaled.
    detail: Vec<[f64; 3]>,
    autocorrelation: Autocorrelation,
    /// Quadratic term of each group.
    square: Vec<[f64; 3]>,
    /// The groups that touch each group, and how much an unlike neighbour costs.
    pub(super) links: Vec<Vec<Link>>,
    /// Whether a group keeps its colour.
    pub(super) fixed: Vec<bool>,
    /// What a stray bead costs, in units of the error.
    pub(super) stray_price: f64,
    /// What each colour costs each group as an intruder, group after group, in units of the error;
    /// empty if nothing.
    pub(super) intrusion: Vec<f32>,
    /// So many times that.
    pub(super) intrusion_factor: f64,
    /// How many beads of each colour there are; none means enough of all.
    pub(super) bounds: Option<&'a Bounds>,
    /// Cancels the work.
    pub(super) cancel: Cancel,
    /// Whether beads of a group touch one another.
    touches_itself: Vec<bool>,
}

/// A group beside another.
#[derive(Debug, Clone, Copy)]
pub(super) struct Link {
    pub(super) group: usize,
    /// What it costs if the two differ, in units of the error.
    pub(super) weight: f64,
}

/// Colours of the groups, and the gradient that tells the effect of any change.
#[derive(Clone)]
pub(super) struct State {
    pub(super) chosen: Vec<usize>,
    /// Beads of each colour, fixed ones too.
    pub(super) counts: Vec<u64>,
    /// `g` of the head of this module.
    field: [Vec<f64>; 3],
}

impl<'a> Objective<'a> {
    /// `picture` is the picture's light, tile by tile; `unlike` what two unlike neighbours cost, in
    /// units of the error.
    pub(super) fn new(
        problem: &'a Problem<'a>,
        tones: &[Tone],
        picture: &Mosaic,
        views: &[View],
        unlike: &dyn Fn(usize, usize) -> f64,
        cancel: &Cancel,
    ) -> Self {
        let lattice = problem.lattice;
        let light = picture.of_beads();
        let target: Vec<[f64; 3]> = light.iter().map(|&light| opponent(light)).collect();
        let scale = |&target: &[f64; 3]| {
            if cancel.is_over() {
                [1.0; 3]
            } else {
                weights(target)
            }
        };
        let scale: Vec<[f64; 3]> = target.iter().map(scale).collect();
        let detail = detail(lattice, picture, &light, &scale, views, cancel);
        let autocorrelation = Autocorrelation::new(lattice, views);
        let groups = problem.groups.len();
        let mut objective = Self {
            problem,
            colours: tones.iter().map(|tone| opponent(tone.light)).collect(),
            target,
            scale,
            detail,
            autocorrelation,
            square: Vec::new(),
            links: links(problem, unlike),
            stray_price: 0.0,
            intrusion: Vec::new(),
            intrusion_factor: 1.0,
            bounds: None,
            cancel: cancel.clone(),
            touches_itself: touches_itself(problem),
            fixed: (0..groups)
                .map(|group| fixed_colour(problem, problem.groups.beads_of(group)).is_some())
                .collect(),
        };
        objective.square = (0..groups)
            .map(|group| objective.cross_term(group, group))
            .collect();
        objective
    }

    /// What unlike neighbours cost from now on, in units of the error, by beads.
    pub(super) fn set_borders(&mut self, unlike: &dyn Fn(usize, usize) -> f64) {
        self.links = links(self.problem, unlike);
    }

    /// Scale of each channel at a bead.
    #[cfg(test)]
    pub(super) fn scale_of(&self, bead: usize) -> [f64; 3] {
        self.scale[bead]
    }

    fn lattice(&self) -> &Lattice {
        self.problem.lattice
    }

    fn beads(&self, group: usize) -> impl Iterator<Item = usize> + '_ {
        self.problem
            .groups
            .beads_of(group)
            .iter()
            .map(|&bead| bead as usize)
    }

    /// The mixed second derivative of two groups.
    fn cross_term(&self, one: usize, two: usize) -> [f64; 3] {
        let mut sum = [0.0; 3];
        for from in self.beads(one) {
            for to in self.beads(two) {
                let between = self.autocorrelation.between(self.lattice(), from, to);
                for channel in 0..3 {
                    sum[channel] +=
                        self.scale[from][channel] * self.scale[to][channel] * between[channel];
                }
            }
        }
        sum
    }

    /// The state of these colours, one a group.
    pub(super) fn state(&self, chosen: &[usize]) -> State {
        let mut state = State {
            chosen: chosen.to_vec(),
            counts: vec![0; self.colours.len()],
            field: std::array::from_fn(|channel| {
                self.detail.iter().map(|detail| detail[channel]).collect()
            }),
        };
        for (group, &colour) in chosen.iter().enumerate() {
            if self.cancel.is_over() {
                break;
            }
            state.counts[colour] += self.size(group);
            for bead in self.beads(group) {
                let off = self.off(bead, colour);
                self.autocorrelation
                    .spread(self.lattice(), bead, off, &mut state.field);
            }
        }
        state
    }

    /// Number of beads in a group.
    fn size(&self, group: usize) -> u64 {
        self.problem.groups.beads_of(group).len() as u64
    }

    /// Most beads of a colour; `u64::MAX` is enough.
    pub(super) fn bead_limit(&self, colour: usize) -> u64 {
        self.bounds.map_or(u64::MAX, |bounds| bounds.most(colour))
    }

    /// Whether there are beads for groups to take these colours, all at once.
    pub(super) fn has_beads(&self, state: &State, changes: &[(usize, usize)]) -> bool {
        self.bounds.is_none()
            || changes.iter().all(|&(_, colour)| {
                let mut count = state.counts[colour];
                for &(group, to) in changes {
                    count += if to == colour { self.size(group) } else { 0 };
                    count -= if state.chosen[group] == colour {
                        self.size(group)
                    } else {
                        0
                    };
                }
                count <= self.bead_limit(colour)
            })
    }

    /// Whether there are beads for two groups to take each other's colour: groups of different size
    /// need some.
    pub(super) fn may_exchange(&self, state: &State, one: usize, two: usize) -> bool {
        let changes = [(one, state.chosen[two]), (two, state.chosen[one])];
        self.has_beads(state, &changes)
    }

    /// `s d` of a bead in a colour.
    fn off(&self, bead: usize, colour: usize) -> [f64; 3] {
        std::array::from_fn(|channel| {
            let off = self.colours[colour][channel] - self.target[bead][channel];
            self.scale[bead][channel] * off
        })
    }

    /// The error of a state, from its gradient, relative to that of beads in any colour; below 0
    /// where the picture has finer detail.
    pub(super) fn error(&self, state: &State) -> f64 {
        let mut sum = 0.0;
        for (group, &colour) in state.chosen.iter().enumerate() {
            for bead in self.beads(group) {
                let off = self.off(bead, colour);
                for (channel, off) in off.into_iter().enumerate() {
                    sum += off * (state.field[channel][bead] + self.detail[bead][channel]);
                }
            }
        }
        sum
    }

    /// What unlike neighbours cost in a state.
    fn border_cost(&self, state: &State) -> f64 {
        let mut sum = 0.0;
        for (group, links) in self.links.iter().enumerate() {
            for link in links.iter().filter(|link| link.group > group) {
                if state.chosen[link.group] != state.chosen[group] {
                    sum += link.weight;
                }
            }
        }
        sum
    }

    /// What a colour costs a group as an intruder.
    #[inline]
    pub(super) fn intrusion(&self, group: usize, colour: usize) -> f64 {
        let at = group * self.colours.len() + colour;
        self.intrusion
            .get(at)
            .map_or(0.0, |&price| self.intrusion_factor * f64::from(price))
    }

    /// What intruders cost in a state.
    fn intrusion_cost(&self, state: &State) -> f64 {
        let groups = state.chosen.iter().enumerate();
        groups
            .map(|(group, &colour)| self.intrusion(group, colour))
            .sum()
    }

    /// Error, borders and intruders: what single changes lower.
    pub(super) fn total(&self, state: &State) -> f64 {
        self.error(state) + self.border_cost(state) + self.intrusion_cost(state)
    }

    /// All that a state costs beside its error.
    pub(super) fn woven_cost(&self, state: &State) -> f64 {
        self.border_cost(state) + self.stray_cost(state) + self.intrusion_cost(state)
    }

    /// How that changes if some groups take other colours.
    pub(super) fn woven_change(&self, state: &State, changes: &[(usize, usize)]) -> f64 {
        let intrusion = changes.iter().map(|&(group, colour)| {
            self.intrusion(group, colour) - self.intrusion(group, state.chosen[group])
        });
        let stray = if self.stray_price > 0.0 {
            self.stray_change(state, changes)
        } else {
            0.0
        };
        intrusion.sum::<f64>() + self.border_change(state, changes) + stray
    }

    /// How much more a group would cost in `colour`, beside its error and but for stray beads.
    pub(super) fn woven_step(&self, state: &State, group: usize, colour: usize) -> f64 {
        let intrusion = self.intrusion(group, colour) - self.intrusion(group, state.chosen[group]);
        intrusion + self.border_step(state, group, colour)
    }

    /// The gradient of a group: the linear term of a change.
    pub(super) fn slope(&self, state: &State, group: usize) -> [f64; 3] {
        let mut sum = [0.0; 3];
        for bead in self.beads(group) {
            for (channel, sum) in sum.iter_mut().enumerate() {
                *sum += self.scale[bead][channel] * state.field[channel][bead];
            }
        }
        sum
    }

    /// How a change of `group` to `colour` changes the error alone, given its slope.
    pub(super) fn error_step(
        &self,
        group: usize,
        slope: [f64; 3],
        from: usize,
        colour: usize,
    ) -> f64 {
        let (square, from, to) = (self.square[group], self.colours[from], self.colours[colour]);
        let mut sum = 0.0;
        for channel in 0..3 {
            let change = to[channel] - from[channel];
            sum += change * (2.0 * slope[channel] + square[channel] * change);
        }
        sum
    }

    /// How a change of `group` to `colour` changes the total.
    pub(super) fn change(&self, state: &State, group: usize, colour: usize) -> f64 {
        let own = state.chosen[group];
        let step = self.error_step(group, self.slope(state, group), own, colour);
        step + self.woven_step(state, group, colour)
    }

    /// How an exchange of colours between two groups changes the total.
    pub(super) fn exchange(&self, state: &State, one: usize, two: usize) -> f64 {
        let (first, second) = (state.chosen[one], state.chosen[two]);
        let cross_term = self.cross_term(one, two);
        let mut cross = 0.0;
        for (channel, cross_term) in cross_term.iter().enumerate() {
            let change = self.colours[second][channel] - self.colours[first][channel];
            cross -= 2.0 * cross_term * change * change;
        }
        // Each change alone takes the other group as it is: their own border stays as it was.
        let border: f64 = self.links[one]
            .iter()
            .filter(|link| link.group == two)
            .map(|link| 2.0 * link.weight)
            .sum();
        self.change(state, one, second) + self.change(state, two, first) + cross + border
    }

    /// How the opponent values of a group's beads change if it takes `colour`.
    pub(super) fn bead_steps<'b>(
        &'b self,
        state: &State,
        group: usize,
        colour: usize,
    ) -> impl Iterator<Item = (usize, [f64; 3])> + use<'a, 'b> {
        let (from, to) = (self.colours[state.chosen[group]], self.colours[colour]);
        let change = std::array::from_fn(|at| to[at] - from[at]);
        self.beads(group).map(move |bead| (bead, change))
    }

    /// How the cost of borders changes if some groups take other colours.
    fn border_change(&self, state: &State, changes: &[(usize, usize)]) -> f64 {
        let new = |group: usize| {
            let change = changes.iter().find(|change| change.0 == group);
            change.map_or(state.chosen[group], |change| change.1)
        };
        let mut sum = 0.0;
        for &(group, colour) in changes {
            for link in &self.links[group] {
                let both = changes.iter().any(|change| change.0 == link.group);
                let now = f64::from(new(link.group) != colour);
                let before = f64::from(state.chosen[link.group] != state.chosen[group]);
                // A border between two groups that change is counted from both sides.
                sum += link.weight * (now - before) * if both { 0.5 } else { 1.0 };
            }
        }
        sum
    }

    /// Whether a group is stray: nothing of its colour touches it.
    pub(super) fn is_stray(&self, group: usize, colour: &impl Fn(usize) -> usize) -> bool {
        let own = colour(group);
        let like = |link: &Link| colour(link.group) == own;
        !self.touches_itself[group] && !self.links[group].iter().any(like)
    }

    /// What stray beads cost in a state.
    fn stray_cost(&self, state: &State) -> f64 {
        let alone = |group: &usize| self.is_stray(*group, &|group| state.chosen[group]);
        let beads = |group: usize| self.problem.groups.beads_of(group).len();
        let count: usize = (0..state.chosen.len()).filter(alone).map(beads).sum();
        self.stray_price * count as f64
    }

    /// How that changes if some groups take other colours.
    fn stray_change(&self, state: &State, changes: &[(usize, usize)]) -> f64 {
        let before = |group: usize| state.chosen[group];
        let after = |group: usize| {
            let change = changes.iter().find(|change| change.0 == group);
            change.map_or(state.chosen[group], |change| change.1)
        };
        let mut touched: Vec<usize> = Vec::new();
        for &(group, _) in changes {
            touched.push(group);
            touched.extend(self.links[group].iter().map(|link| link.group));
        }
        touched.sort_unstable();
        touched.dedup();
        let count = |group: usize| {
            let beads = self.problem.groups.beads_of(group).len() as f64;
            let now = f64::from(self.is_stray(group, &after));
            beads * (now - f64::from(self.is_stray(group, &before)))
        };
        self.stray_price * touched.into_iter().map(count).sum::<f64>()
    }

    /// What two colours differ by, in opponent values.
    pub(super) fn colour_step(&self, from: usize, to: usize) -> [f64; 3] {
        std::array::from_fn(|at| self.colours[to][at] - self.colours[from][at])
    }

    /// How much of the effect of a change of `one` is where `two` has its own, channel by channel:
    /// 1 for the same group.
    pub(super) fn shared_part(&self, one: usize, two: usize) -> [f64; 3] {
        let cross_term = self.cross_term(one, two);
        let (one, two) = (self.square[one], self.square[two]);
        std::array::from_fn(|at| cross_term[at] / (one[at] * two[at]).sqrt())
    }

    /// How much more the borders of a group would cost if it took `colour`.
    fn border_step(&self, state: &State, group: usize, colour: usize) -> f64 {
        let own = state.chosen[group];
        let of_link = |link: &Link| {
            let other = state.chosen[link.group];
            link.weight * (f64::from(other != colour) - f64::from(other != own))
        };
        self.links[group].iter().map(of_link).sum()
    }

    /// Gives a group another colour and leaves the gradient as it is: [`Objective::total`],
    /// [`Objective::change`] and [`Objective::exchange`] are wrong after it.
    pub(super) fn recolour_only(&self, state: &mut State, group: usize, colour: usize) {
        let from = std::mem::replace(&mut state.chosen[group], colour);
        state.counts[from] -= self.size(group);
        state.counts[colour] += self.size(group);
    }

    /// Gives a group another colour.
    pub(super) fn recolour(&self, state: &mut State, group: usize, colour: usize) {
        let from = std::mem::replace(&mut state.chosen[group], colour);
        state.counts[from] -= self.size(group);
        state.counts[colour] += self.size(group);
        let (from, to) = (self.colours[from], self.colours[colour]);
        for bead in self.problem.groups.beads_of(group) {
            let bead = *bead as usize;
            let change = std::array::from_fn(|at| self.scale[bead][at] * (to[at] - from[at]));
            self.autocorrelation
                .spread(self.problem.lattice, bead, change, &mut state.field);
        }
    }
}

/// How much CIEDE2000 counts a step in each channel.
fn weights(target: [f64; 3]) -> [f64; 3] {
    let own = lab_of(target);
    std::array::from_fn(|channel| {
        let moved = |step: f64| {
            let mut moved = target;
            moved[channel] += step;
            ciede2000(own, lab_of(moved)) / STEPS[channel]
        };
        (moved(STEPS[channel]) + moved(-STEPS[channel])) / 2.0
    })
}

/// The linear term of each bead by the detail of the picture that is finer than a bead.
fn detail(
    lattice: &Lattice,
    picture: &Mosaic,
    light: &[Light],
    scale: &[[f64; 3]],
    views: &[View],
    cancel: &Cancel,
) -> Vec<[f64; 3]> {
    let (length, diameter) = (lattice.bead().length.get(), lattice.bead().diameter.get());
    let beads = Mosaic::beads(lattice);
    let area = length * diameter;
    let mut detail = vec![[0.0; 3]; lattice.len()];
    for channel in Channel::ALL {
        let at = channel as usize;
        let tiles: Vec<f64> = beads
            .iter()
            .zip(&picture.light)
            .map(|(bead, &own)| {
                bead.map_or(0.0, |bead| {
                    let bead = bead as usize;
                    scale[bead][at] * (opponent(light[bead] - own)[at])
                })
            })
            .collect();
        for &View { distance, share } in views {
            if cancel.is_over() {
                return detail;
            }
            let felt = filtered_twice(lattice, tiles.clone(), channel, distance, FELT * length);
            for (bead, detail) in detail.iter_mut().enumerate() {
                let (row, column) = lattice.position(bead);
                let cell = lattice.half_rows_of(row)[0] * lattice.columns() + column.get() - 1;
                detail[at] += share * felt[cell as usize] / area;
            }
        }
    }
    detail
}

/// Whether beads of each group touch one another.
fn touches_itself(problem: &Problem) -> Vec<bool> {
    let touches = |bead: usize, group: usize| {
        let mut neighbours = problem.lattice.neighbours(bead);
        neighbours.any(|other| problem.groups.group_of(other.index) == group)
    };
    (0..problem.groups.len())
        .map(|group| {
            let mut beads = problem.groups.beads_of(group).iter();
            beads.any(|&bead| touches(bead as usize, group))
        })
        .collect()
}

/// The groups that touch each group.
fn links(problem: &Problem, unlike: &dyn Fn(usize, usize) -> f64) -> Vec<Vec<Link>> {
    let mut links: Vec<Vec<Link>> = vec![Vec::new(); problem.groups.len()];
    for bead in 0..problem.lattice.len() {
        let own = problem.groups.group_of(bead);
        for neighbour in problem.lattice.neighbours(bead) {
            let other = problem.groups.group_of(neighbour.index);
            if neighbour.index < bead || other == own {
                continue;
            }
            let weight = unlike(bead, neighbour.index);
            for (one, two) in [(own, other), (other, own)] {
                match links[one].iter_mut().find(|link| link.group == two) {
                    Some(link) => link.weight += weight,
                    None => links[one].push(Link { group: two, weight }),
                }
            }
        }
    }
    links
}
