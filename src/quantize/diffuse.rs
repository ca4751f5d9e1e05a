//! Error diffusion in linear light on the staggered lattice: row by row, back and forth, and on across the seam of a closed band.
//!
//! What a bead's colour lacks is handed to its neighbours by [`super::kernel()`]. Shares that would fall outside the band, or on beads already decided, go to
//! the others instead. A closed band is worked round several times, each time starting with what the last round handed across the seam; the round
//! kept is the one whose end fits its beginning best.

use super::assign::settled;
use super::{Share, Wanted, kernel};
use crate::cancel::Cancel;
use crate::colour::Light;
use crate::lattice::Row;
use crate::palette::{Nearest, Tone};

/// Rounds worked on a closed band, at most.
const ROUNDS: usize = 8;

/// A colour of the palette for each bead, so that mixtures of neighbours give the light wanted.
///
/// `strength` from 0 (nearest colour) to 1 (all of the error goes on). At full strength the mean linear light of the band is kept, as far as the palette can mix it.
pub fn diffuse(
    wanted: &Wanted,
    tones: &[Tone],
    allowed: &[usize],
    nearest: &Nearest,
    strength: f64,
    cancel: &Cancel,
) -> Vec<usize> {
    let shares = kernel(wanted.lattice.bead());
    let mut round = Round::new(wanted, tones, allowed, nearest, &shares, strength);
    if !wanted.lattice.is_closed() {
        round.work(cancel);
        return wanted.together.spread(&round.chosen);
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
    wanted.together.spread(&of_groups)
}

/// One working of the band; all that is kept is kept for groups of beads.
struct Round<'a> {
    wanted: &'a Wanted<'a>,
    tones: &'a [Tone],
    nearest: &'a Nearest,
    shares: &'a [Share],
    strength: f64,
    /// Mean light wanted.
    target: Vec<[f64; 3]>,
    settled: Vec<Option<usize>>,
    /// Least and most light that the colours give.
    reach: [(f64, f64); 3],
    /// Most that a bead is handed.
    span: [f64; 3],
    /// Handed on, in light times beads.
    carry: Vec<[f64; 3]>,
    /// Handed across the seam.
    over_seam: Vec<[f64; 3]>,
    chosen: Vec<usize>,
    done: Vec<bool>,
}

impl<'a> Round<'a> {
    fn new(
        wanted: &'a Wanted<'a>,
        tones: &'a [Tone],
        allowed: &[usize],
        nearest: &'a Nearest,
        shares: &'a [Share],
        strength: f64,
    ) -> Self {
        let groups = wanted.together.len();
        let reach = reach(tones, allowed);
        let target = (0..groups).map(|group| mean(wanted, group)).collect();
        Self {
            wanted,
            tones,
            nearest,
            shares,
            strength,
            target,
            settled: (0..groups)
                .map(|group| settled(wanted, wanted.together.beads_of(group)))
                .collect(),
            reach,
            span: reach.map(|(low, high)| high - low),
            carry: vec![[0.0; 3]; groups],
            over_seam: vec![[0.0; 3]; groups],
            chosen: vec![0; groups],
            done: vec![false; groups],
        }
    }

    /// Works every row once, the way alternating.
    fn work(&mut self, cancel: &Cancel) {
        for (done, settled) in self.done.iter_mut().zip(&self.settled) {
            *done = settled.is_some();
        }
        for (group, settled) in self.settled.iter().enumerate() {
            if let Some(colour) = settled {
                self.chosen[group] = *colour;
            }
        }
        for row in self.wanted.lattice.all_rows() {
            if cancel.is_over() {
                return;
            }
            let span = self.wanted.lattice.span_of(row);
            match row.get() % 2 {
                1 => span.for_each(|bead| self.decide(bead, row, 1)),
                _ => span.rev().for_each(|bead| self.decide(bead, row, -1)),
            }
        }
    }

    fn decide(&mut self, bead: usize, row: Row, way: i64) {
        let group = self.wanted.together.group_of(bead);
        if self.done[group] {
            return;
        }
        self.done[group] = true;
        let size = self.wanted.together.beads_of(group).len() as f64;
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
        // What no mixture reaches is not handed on: it would smear into the next part of the picture.
        let error = std::array::from_fn(|i| {
            let within = target[i].clamp(self.reach[i].0, self.reach[i].1);
            (within + carried[i] - given[i]) * size * self.strength
        });
        self.hand_on(bead, row, way, error);
    }

    /// Hands `error` to the neighbours that are still open, in the proportion of their shares.
    fn hand_on(&mut self, bead: usize, row: Row, way: i64, error: [f64; 3]) {
        let lattice = self.wanted.lattice;
        let mut takers: [Option<(usize, bool, f64)>; 4] = [None; 4];
        let mut total = 0.0;
        for (taker, share) in takers.iter_mut().zip(self.shares) {
            let Some(neighbour) = lattice.step(bead, share.rows, share.columns * way) else {
                continue;
            };
            let over = i64::from(row.get()) + share.rows > i64::from(lattice.rows());
            let group = self.wanted.together.group_of(neighbour);
            let open = match over {
                true => self.settled[group].is_none(),
                false => !self.done[group],
            };
            if open {
                *taker = Some((group, over, share.weight));
                total += share.weight;
            }
        }
        for (group, over, weight) in takers.into_iter().flatten() {
            let pot = match over {
                true => &mut self.over_seam[group],
                false => &mut self.carry[group],
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

/// Mean light wanted of a group.
pub(super) fn mean(wanted: &Wanted, group: usize) -> [f64; 3] {
    let beads = wanted.together.beads_of(group);
    let mut sum = [0.0; 3];
    for &bead in beads {
        let light = wanted.light[bead as usize];
        sum[0] += light.red;
        sum[1] += light.green;
        sum[2] += light.blue;
    }
    sum.map(|sum| sum / beads.len() as f64)
}
