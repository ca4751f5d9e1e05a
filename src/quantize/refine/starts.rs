//! Bands that a search may start from: the plain choice, the earlier chart, the nearest colours and
//! diffusion.

use super::{Before, Job};
use crate::error::Result;
use crate::palette::Nearest;
use crate::quantize::{Dither, Problem, assign, diffuse, no_colours, plain_choice, stock};
use crate::warning::Warning;

/// Strength of the diffusion that a search may start from.
const STRENGTH: f64 = 0.5;

/// A band to start from, one colour a group, and the colours that it may use, rising.
#[derive(Clone)]
pub(super) struct Start {
    pub(super) chosen: Vec<usize>,
    pub(super) allowed: Vec<usize>,
}

/// The plain choice bead by bead, the nearest colours, and all bands to start from.
pub(super) struct Starts {
    pub(super) plain: Vec<usize>,
    pub(super) nearest: Start,
    pub(super) all: Vec<Start>,
}

impl Starts {
    /// Only what uses no other colours than the nearest colours do.
    pub(super) fn in_colours_of_nearest(&mut self) {
        let mut used = self.nearest.chosen.clone();
        used.sort_unstable();
        used.dedup();
        self.all
            .retain(|start| start.chosen.iter().all(|at| used.binary_search(at).is_ok()));
        self.nearest.allowed = used;
        for start in &mut self.all {
            start.allowed.clone_from(&self.nearest.allowed);
        }
    }
}

impl Job<'_> {
    /// Bands to start from in the colours `own`; more of them for a search than for calming alone.
    ///
    /// # Errors
    /// If there are too few beads, or the work is cancelled.
    pub(super) fn starts(
        &self,
        own: &[usize],
        before: Before,
        search: bool,
        notes: &mut Vec<Warning>,
    ) -> Result<Starts> {
        let (problem, tones, settings) = (self.problem, self.tones, self.settings);
        let cancel = &settings.cancel;
        let nearest = Nearest::new(tones, own).ok_or_else(no_colours)?;
        let start = |beads: &[usize]| Start {
            chosen: of_groups(problem, beads),
            allowed: own.to_vec(),
        };
        let plain = plain_choice(problem, tones, own, &nearest, settings);
        cancel.check()?;
        let mut of_stock = Vec::new();
        let dithered = settings.dither != Dither::None;
        let plain = self.in_stock(own, plain, dithered, &mut of_stock)?;
        notes.extend(of_stock.into_iter().filter_map(kept_to_stock));
        let mut all = vec![start(&plain)];
        all.extend(before.and_then(|beads| self.earlier(beads, own)));
        let mut closest = start(&plain);
        if search {
            let assigned = assign::assign(problem, &nearest, cancel);
            let diffused = diffuse::diffuse(problem, tones, own, &nearest, STRENGTH, cancel);
            // There are enough beads, as the plain choice has shown.
            let within = |beads: Vec<usize>, dithered: bool| {
                let beads = self.in_stock(own, beads, dithered, &mut Vec::new());
                beads.ok().map(|beads| start(&beads))
            };
            closest = within(assigned, false).unwrap_or(closest);
            all.push(closest.clone());
            all.extend(within(diffused, true));
        }
        Ok(Starts {
            plain,
            nearest: closest,
            all,
        })
    }

    /// Beads with as little changed as the stock asks for.
    fn in_stock(
        &self,
        own: &[usize],
        beads: Vec<usize>,
        dithered: bool,
        notes: &mut Vec<Warning>,
    ) -> Result<Vec<usize>> {
        match self.capacity {
            None => Ok(beads),
            Some(capacity) => {
                let (problem, tones) = (self.problem, self.tones);
                stock::fit_to_stock(problem, tones, own, capacity, beads, dithered, notes)
            }
        }
    }

    /// The earlier chart, if it keeps to the limit and the stock.
    fn earlier(&self, beads: &[usize], own: &[usize]) -> Option<Start> {
        let chosen = of_groups(self.problem, beads);
        let mut used: Vec<usize> = chosen.iter().chain(&self.settings.keep).copied().collect();
        used.sort_unstable();
        used.dedup();
        // A colour that is ruled out now may still be there: the search does not use it, but does
        // not take it away unasked.
        let allowed = match self.settings.limit {
            None => self.free.to_vec(),
            Some(limit) if used.len() > limit => return None,
            Some(limit) => {
                let more = own
                    .iter()
                    .filter(|at| !used.contains(at))
                    .take(limit - used.len());
                let mut all: Vec<usize> = used.iter().chain(more).copied().collect();
                all.sort_unstable();
                all
            }
        };
        let chosen = within_capacity(self, &allowed, chosen)?;
        Some(Start { chosen, allowed })
    }
}

/// What a search says of the stock: which colours it could do with more of. How far the plain
/// choice is from the best says nothing of the search.
fn kept_to_stock(note: Warning) -> Option<Warning> {
    match note {
        Warning::FromStock { names, .. } => Some(Warning::KeptToStock { names }),
        _ => None,
    }
}

/// Colours of groups, as little changed as the stock asks for; none if the allowed colours have too
/// few beads.
pub(super) fn within_capacity(
    job: &Job,
    allowed: &[usize],
    chosen: Vec<usize>,
) -> Option<Vec<usize>> {
    if job.capacity.is_none() {
        return Some(chosen);
    }
    let beads = job.problem.groups.spread(&chosen);
    let within = job.in_stock(allowed, beads, true, &mut Vec::new());
    Some(of_groups(job.problem, &within.ok()?))
}

/// The colour of each group: that of a fixed bead, or of its first.
fn of_groups(problem: &Problem, beads: &[usize]) -> Vec<usize> {
    (0..problem.groups.len())
        .map(|group| {
            let of_group = problem.groups.beads_of(group);
            assign::fixed_colour(problem, of_group).unwrap_or(beads[of_group[0] as usize])
        })
        .collect()
}
