//! Error diffusion in linear light on the staggered lattice: row by row, back and forth, and on
//! across the seam of a closed band.
//!
//! A bead's error is passed on to its neighbours by [`super::kernel()`]. Shares that would fall
//! outside the band, or on beads already decided, go to the others instead. A closed band is worked
//! several times, each time starting with what the last pass carried across the seam; the pass kept
//! is the one whose end fits its beginning best.

use super::assign::fixed_colour;
use super::{Problem, Share, kernel};
use crate::cancel::Cancel;
use crate::colour::Light;
use crate::lattice::Row;
use crate::palette::{Nearest, Tone};

/// Passes over a closed band, at most.
const ROUNDS: usize = 8;

/// A colour of the palette for each bead, so that mixtures of neighbours give the light of the
/// picture.
///
/// `strength` from 0 (nearest colour) to 1 (all of the error is passed on). At full strength the
/// mean linear light of the band is kept, as far as the palette can mix it.
pub fn diffuse(
    problem: &Problem,
    tones: &[Tone],
    allowed: &[usize],
    nearest: &Nearest,
    strength: f64,
    cancel: &Cancel,
) -> Vec<usize> {
    let shares = kernel(problem.lattice.bead());
    let mut round = Round::new(problem, tones, allowed, nearest, &shares, strength);
    if !problem.lattice.is_closed() {
        round.work(cancel);
        return problem.groups.spread(&round.chosen);
    }
    let mut best: Option<(f64, Vec<usize>)> = None;
    for _ in 0..ROUNDS {
        let start = round.carry.clone();
        round.work(cancel);
        let gap: f64 = start
            .iter()
            .zip(&round.over_seam)
            .map(|(before, after)| (0..3).map(|i| (before[i] - after[i]).abs()).sum::<f64>())
            .sum();
        if best.as_ref().is_none_or(|(least, _)| gap < *least) {
            best = Some((gap, round.chosen.clone()));
        }
        if gap == 0.0 || cancel.is_over() {
            break;
        }
        round.carry = std::mem::replace(&mut round.over_seam, vec![[0.0; 3]; round.carry.len()]);
    }
    let of_groups = best.map(|(_, chosen)| chosen).unwrap_or_default();
    problem.groups.spread(&of_groups)
}

/// One pass over the band; everything is kept for groups of beads.
struct Round<'a> {
    problem: &'a Problem<'a>,
    tones: &'a [Tone],
    nearest: &'a Nearest,
    shares: &'a [Share],
    strength: f64,
    /// Mean light of the picture.
    target: Vec<[f64; 3]>,
    fixed: Vec<Option<usize>>,
    /// Least and most light that the colours give.
    reach: [(f64, f64); 3],
    /// Most error that a bead receives.
    span: [f64; 3],
    /// Error passed on, in light times beads.
    carry: Vec<[f64; 3]>,
    /// Error passed across the seam.
    over_seam: Vec<[f64; 3]>,
    chosen: Vec<usize>,
    done: Vec<bool>,
}

impl<'a> Round<'a> {
    fn new(
        problem: &'a Problem<'a>,
        tones: &'a [Tone],
        allowed: &[usize],
        nearest: &'a Nearest,
        shares: &'a [Share],
        strength: f64,
    ) -> Self {
        let groups = problem.groups.len();
        let reach = reach(tones, allowed);
        let target = (0..groups).map(|group| mean(problem, group)).collect();
        Self {
            problem,
            tones,
            nearest,
            shares,
            strength,
            target,
            fixed: (0..groups)
                .map(|group| fixed_colour(problem, problem.groups.beads_of(group)))
                .collect(),
            reach,
            span: reach.map(|(low, high)| high - low),
            carry: vec![[0.0; 3]; groups],
            over_seam: vec![[0.0; 3]; groups],
            chosen: vec![0; groups],
            done: vec![false; groups],
        }
    }

    /// Works every row once, in alternating direction.
    fn work(&mut self, cancel: &Cancel) {
        for (done, fixed) in self.done.iter_mut().zip(&self.fixed) {
            *done = fixed.is_some();
        }
        for (group, fixed) in self.fixed.iter().enumerate() {
            if let Some(colour) = fixed {
                self.chosen[group] = *colour;
            }
        }
        for row in self.problem.lattice.all_rows() {
            if cancel.is_over() {
                return;
            }
            let span = self.problem.lattice.span_of(row);
            match row.get() % 2 {
                1 => span.for_each(|bead| self.decide(bead, row, 1)),
                _ => span.rev().for_each(|bead| self.decide(bead, row, -1)),
            }
        }
    }

    fn decide(&mut self, bead: usize, row: Row, way: i64) {
        let group = self.problem.groups.group_of(bead);
        if self.done[group] {
            return;
        }
        self.done[group] = true;
        let size = self.problem.groups.beads_of(group).len() as f64;
        let carried: [f64; 3] = std::array::from_fn(|i| {
            let carried = self.carry[group][i] / size;
            carried.clamp(-self.span[i], self.span[i])
        });
        let target = self.target[group];
        let colour = self.nearest.find(&Tone::new(Light::new(
            target[0] + carried[0],
            target[1] + carried[1],
            target[2] + carried[2],
        )));
        self.chosen[group] = colour;
        let given = self.tones[colour].light;
        let given = [given.red, given.green, given.blue];
        // What no mixture reaches is not passed on: it would smear into the next part of the
        // picture.
        let error = std::array::from_fn(|i| {
            let within = target[i].clamp(self.reach[i].0, self.reach[i].1);
            (within + carried[i] - given[i]) * size * self.strength
        });
        self.hand_on(bead, row, way, error);
    }

    /// Passes `error` to the neighbours that are still open, in proportion to their shares.
    fn hand_on(&mut self, bead: usize, row: Row, way: i64, error: [f64; 3]) {
        let lattice = self.problem.lattice;
        let mut takers: [Option<(usize, bool, f64)>; 4] = [None; 4];
        let mut total = 0.0;
        for (taker, share) in takers.iter_mut().zip(self.shares) {
            let Some(neighbour) = lattice.step(bead, share.rows, share.columns * way) else {
                continue;
            };
            let over = i64::from(row.get()) + share.rows > i64::from(lattice.rows());
            let group = self.problem.groups.group_of(neighbour);
            let open = if over {
                self.fixed[group].is_none()
            } else {
                !self.done[group]
            };
            if open {
                *taker = Some((group, over, share.weight));
                total += share.weight;
            }
        }
        for (group, over, weight) in takers.into_iter().flatten() {
            let pot = if over {
                &mut self.over_seam[group]
            } else {
                &mut self.carry[group]
            };
            for (sum, part) in pot.iter_mut().zip(error) {
                *sum += part * weight / total;
            }
        }
    }
}

/// Least and most light of each channel among the colours.
fn reach(tones: &[Tone], allowed: &[usize]) -> [(f64, f64); 3] {
    let mut reach = [(f64::INFINITY, f64::NEG_INFINITY); 3];
    for &at in allowed {
        let light = tones[at].light;
        for (bounds, value) in reach.iter_mut().zip([light.red, light.green, light.blue]) {
            *bounds = (bounds.0.min(value), bounds.1.max(value));
        }
    }
    reach
}

/// Mean light of the picture on a group.
pub(super) fn mean(problem: &Problem, group: usize) -> [f64; 3] {
    let beads = problem.groups.beads_of(group);
    let mut sum = [0.0; 3];
    for &bead in beads {
        let light = problem.light[bead as usize];
        sum[0] += light.red;
        sum[1] += light.green;
        sum[2] += light.blue;
    }
    sum.map(|sum| sum / beads.len() as f64)
}
