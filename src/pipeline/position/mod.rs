//! Where a motif is best placed on a narrow band: its size, and its place on the beads across and
//! along.
//!
//! | step | tries | compares |
//! |---|---|---|
//! | coarse | five sizes, a quarter of a bead across, half a row along | nearest colours, near by |
//! | near | the best few, in steps half and a quarter as large | the same |
//! | last | the best three | the refined band, from all viewing distances |
//!
//! The measure is the difference that is left after the eye's filters ([`crate::vision::band`])
//! between the band and the plain picture in the same place, summed over the band and divided by
//! the motif's own area. Sizes are made comparable by looking at a motif of `s` times the largest
//! from `s` times the distance: it then has the size in the eye that the largest would have, and
//! the beads are coarser compared with it. Without that the smallest would win, since a blot shows
//! no error. And as a larger motif is worth having, the difference is divided by `s`: a motif is
//! made a tenth smaller only for a tenth less difference.
//!
//! The lattice repeats after a bead's length and diameter, so all positions relative to the beads
//! are within half of either; the motif stays near the middle. A motif that is the same left and
//! right stays on the centre column, where its chart can be symmetric too; one that is the same
//! both ends up stays where both ends meet the beads alike: in the middle, or on a closed band one
//! row beside it, so that the centre column has a bead in the motif's middle row or has none.
//!
//! A drawing of flat colours is placed where its beads miss least of it (`drawing`).

mod drawing;
mod range;
#[cfg(test)]
mod tests;

use super::target::{crisped, over_ground};
use super::{Decoded, Options, ground};
use crate::cancel::Cancel;
use crate::colour::{Lab, Light, lab};
use crate::error::Result;
use crate::lattice::{Lattice, Rectangle, Rows};
use crate::palette::{Nearest, Tone};
use crate::picture::{
    Arrangement, Crop, Picture, Place, Placement, Plan, Position, Rotation, Scaling, motif, plan,
};
use crate::quantize::assign::assign;
use crate::quantize::groups::Groups;
use crate::quantize::refine::{self, refine_unchecked};
use crate::quantize::{self, Problem};
use crate::sample::crisp::{Tiles, crisp};
use crate::sample::{Sample, SummedArea};
use crate::units::Mm;
use crate::vision::band::{DISTANCES, Filters, Mosaic, POINTS, TILES, differences, points};
use crate::vision::fast_lab::FastLab;
use range::{Range, Step};
use rayon::prelude::*;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

/// The steps of the nearer search.
const STEPS: [Step; 2] = [
    Step {
        scale: 0.025,
        across: 0.125,
        along: 0.125,
    },
    Step {
        scale: 0.0125,
        across: 0.0625,
        along: 0.0625,
    },
];
/// Positions that the nearer search starts from, and those that are refined.
const KEPT: (usize, usize) = (5, 3);
/// Rows of ground that a trial has beyond either end of the motif.
const AROUND: u32 = 8;
/// Most beads of a trial; on more the motif is in the middle, where a part of a bead makes no
/// difference.
const MOST: usize = 6000;
/// A motif is symmetric if it differs from its mirror image by less than this share of its
/// difference from the ground. Ours: above the effect of pixels on the axis.
const SYMMETRIC: f64 = 0.15;
/// A measure that is lower by less is no better.
const SAME: f64 = 1e-9;
/// The viewing distances of the coarse and near search: in the hand and worn.
const NEAR: &[Mm] = &[DISTANCES[0], DISTANCES[1]];
/// Error of an estimate of one point's difference: [`FastLab`] and
/// [`crate::colour::PreparedLab::difference`] each have at most half of it.
const OFF: f64 = 2e-5;

/// The measure of a position, and the position.
type Candidate = (f64, Placement);

/// Bounds of a measure.
struct Bounds {
    at_least: f64,
    at_most: f64,
}

/// The arrangement with the position of its motif decided and its frame found.
///
/// # Errors
/// If the picture cannot be read, the arrangement or the choice of colours does not suit, or the
/// work is cancelled.
pub(super) fn positioned(
    decoded: &Decoded,
    tones: &[Tone],
    options: &Options,
) -> Result<Arrangement> {
    let picture = &decoded.picture;
    let mut arrangement = options.arrangement;
    let contained = matches!(arrangement.scaling, None | Some(Scaling::Contain));
    if arrangement.place != Place::Motif
        || arrangement.position == Position::Middle
        || arrangement.frame.is_some()
    {
        return Ok(arrangement);
    }
    if arrangement.position == Position::Best && !contained {
        arrangement.position = Position::Middle;
        return Ok(arrangement);
    }
    // A crop beyond the picture is refused before anything is searched in it.
    plan_for(
        picture,
        options,
        &Arrangement {
            position: Position::Middle,
            ..arrangement
        },
    )?;
    let part = arrangement.crop;
    arrangement.frame = Some(if options.flat {
        decoded.artwork(part)?.frame
    } else {
        motif(picture, part.unwrap_or(Crop::whole(picture.upright())))
    });
    if let Position::At(_) = arrangement.position {
        return Ok(arrangement);
    }
    if options.flat {
        let artwork = decoded.artwork(part)?;
        let found = drawing::best(picture, &artwork, options, arrangement)?;
        arrangement.position = Position::At(found);
        return Ok(arrangement);
    }
    arrangement.position = Position::At(match search_for(picture, tones, options, arrangement)? {
        None => MIDDLE,
        Some((search, range)) => search.best(&range)?,
    });
    Ok(arrangement)
}

fn plan_for(picture: &Picture, options: &Options, arrangement: &Arrangement) -> Result<Plan> {
    plan(
        picture.upright(),
        picture.orientation,
        &options.lattice,
        arrangement,
    )
}

/// The search and its range, once the frame is found; none if the motif is large.
fn search_for<'a>(
    picture: &'a Picture,
    tones: &'a [Tone],
    options: &'a Options,
    framed: Arrangement,
) -> Result<Option<(Search<'a>, Range)>> {
    let framed = Arrangement {
        position: Position::At(MIDDLE),
        ..framed
    };
    let middle = plan_for(picture, options, &framed)?;
    let trials = trial_lattice(&options.lattice, &middle.area)?;
    if trials.len() > MOST {
        return Ok(None);
    }
    let held = Arrangement {
        rotation: Rotation::Quarters(middle.rotated / 90),
        ..framed
    };
    let search = Search::new(picture, tones, options, trials, held)?;
    let range = Range::new(options, &middle, search.same()?);
    Ok(Some((search, range)))
}

const MIDDLE: Placement = Placement {
    scale: 1.0,
    across: Mm::new(0.0),
    along: Mm::new(0.0),
};

/// A shorter band around the motif on which it meets the beads in the same way: fewer rows by a
/// multiple of four, which moves its middle by whole beads.
fn trial_lattice(lattice: &Lattice, area: &Rectangle) -> Result<Lattice> {
    let half = lattice.bead().diameter.get() / 2.0;
    let needed = ((area.top - area.bottom).get() / half).ceil() as u32 + 2 * AROUND;
    let rows = lattice.rows();
    let fewer = rows.saturating_sub(needed) / 4 * 4;
    let rows = if lattice.is_closed() {
        Rows::closed(rows - fewer)?
    } else {
        Rows::open(rows - fewer)?
    };
    Lattice::new(lattice.bead(), lattice.columns(), rows)
}

/// What all positions of one motif have in common.
struct Search<'a> {
    picture: &'a Picture,
    table: SummedArea,
    tones: &'a [Tone],
    options: &'a Options,
    lattice: Lattice,
    held: Arrangement,
    ground: Option<usize>,
    /// The choice of colours, without dither and stock.
    choice: quantize::Settings,
    /// The colours that the motif takes in the middle.
    nearest: Nearest,
    /// The bead under each point.
    points: Vec<Option<u32>>,
    filters: Mutex<HashMap<u64, Arc<Filters>>>,
}

/// The motif in one position: the light that each bead should give, and the plain picture.
struct Trial {
    plan: Plan,
    light: Vec<Light>,
    fixed: Vec<Option<usize>>,
    groups: Groups,
    plain: Mosaic,
}

impl<'a> Search<'a> {
    fn new(
        picture: &'a Picture,
        tones: &'a [Tone],
        options: &'a Options,
        lattice: Lattice,
        held: Arrangement,
    ) -> Result<Self> {
        let middle = plan(picture.upright(), picture.orientation, &lattice, &held)?;
        let table = SummedArea::new(picture, &middle.tiles[0].window, &options.choice.cancel)?;
        let choice = quantize::Settings {
            bounds: None,
            refine: None,
            dither: quantize::Dither::None,
            ..options.choice.clone()
        };
        let samples = means(
            &table.sample_tiles(&middle, &lattice, TILES as u32),
            &lattice,
        );
        let opaque = picture.is_opaque();
        let ground = ground::is_shown(&samples)
            .then(|| ground::choose(&samples, opaque, tones, options.ground, &lattice, &choice));
        let mut search = Self {
            picture,
            table,
            tones,
            options,
            points: points(&lattice),
            lattice,
            held,
            ground,
            nearest: quantize::nearest(tones, &choice)?,
            choice,
            filters: Mutex::default(),
        };
        let more = ground.filter(|at| !search.choice.keep.contains(at));
        search.choice.keep.extend(more);
        if search.choice.limit.is_some() {
            let trial = search.trial(&MIDDLE)?;
            let used = quantize::quantize(&search.problem(&trial), tones, &search.choice)?.value;
            let without = (0..tones.len()).filter(|at| !used.contains(at)).collect();
            search.nearest = quantize::nearest(
                tones,
                &quantize::Settings {
                    without,
                    ..search.choice.clone()
                },
            )?;
        }
        Ok(search)
    }

    /// Whether the motif is the same left and right, and the same both ends up: whether it differs
    /// little from its mirror image, compared with how it differs from the ground.
    fn same(&self) -> Result<[bool; 2]> {
        let trial = self.trial(&MIDDLE)?;
        let ground = self.ground.map(|at| self.tones[at].lab);
        let tiles: Vec<Lab> = trial.plain.light.iter().map(|&light| lab(light)).collect();
        let (across, along) = (Mosaic::across(&self.lattice), Mosaic::along(&self.lattice));
        let stands: f64 = tiles
            .iter()
            .map(|&tile| ground.map_or(0.0, |ground| apart(tile, ground)))
            .sum();
        let turned = |other: &dyn Fn(usize, usize) -> usize| -> f64 {
            let each = |at: usize| apart(tiles[at], tiles[other(at % across, at / across)]);
            (0..tiles.len()).map(each).sum()
        };
        Ok([
            turned(&|x, y| y * across + across - 1 - x) <= SYMMETRIC * stands,
            turned(&|x, y| (along - 1 - y) * across + x) <= SYMMETRIC * stands,
        ])
    }

    /// The best position found.
    fn best(&self, range: &Range) -> Result<Placement> {
        let mut candidates: Vec<Candidate> = self
            .best_of(None, range.coarse(), KEPT.0)?
            .into_par_iter()
            .map(|candidate| {
                STEPS.into_iter().try_fold(candidate, |best, step| {
                    let beside = range.steps_from(&best.1, step);
                    Ok(self.best_of(Some(best), beside, 1)?[0])
                })
            })
            .collect::<Result<_>>()?;
        ranked(&mut candidates, KEPT.1);
        let mut last: Vec<Candidate> = candidates
            .into_par_iter()
            .map(|(_, placement)| Ok((self.refined(&placement)?, placement)))
            .collect::<Result<_>>()?;
        ranked(&mut last, 1);
        Ok(last.first().map_or(MIDDLE, |candidate| candidate.1))
    }

    /// The best so many of a measured position and others, in the nearest colours. Bounds rule out
    /// most of them: only those that may be among the best are measured.
    fn best_of(
        &self,
        known: Option<Candidate>,
        placements: Vec<Placement>,
        most: usize,
    ) -> Result<Vec<Candidate>> {
        let bounded: Vec<(Bounds, Placement)> = placements
            .into_par_iter()
            .map(|placement| Ok((self.bounded(&placement)?, placement)))
            .collect::<Result<_>>()?;
        let mut at_most: Vec<f64> = bounded.iter().map(|(bounds, _)| bounds.at_most).collect();
        at_most.extend(known.map(|candidate| candidate.0));
        at_most.sort_by(f64::total_cmp);
        let bar = at_most.get(most - 1).copied().unwrap_or(f64::INFINITY);
        let measured = bounded
            .into_par_iter()
            .filter(|(bounds, _)| bounds.at_least <= bar + SAME)
            .map(|(_, placement)| Ok((self.measured(&placement)?, placement)));
        let mut candidates: Vec<Candidate> = known.map(Ok).into_iter().collect::<Result<_>>()?;
        candidates.extend(measured.collect::<Result<Vec<Candidate>>>()?);
        ranked(&mut candidates, most);
        Ok(candidates)
    }

    fn trial(&self, placement: &Placement) -> Result<Trial> {
        let cancel = self.cancel();
        cancel.check()?;
        let arrangement = Arrangement {
            position: Position::At(*placement),
            ..self.held
        };
        let lattice = &self.lattice;
        let plan = plan(
            self.picture.upright(),
            self.picture.orientation,
            lattice,
            &arrangement,
        )?;
        let tiles = self.table.sample_tiles(&plan, lattice, TILES as u32);
        let samples = means(&tiles, lattice);
        let axes = self.options.mirror.axes(lattice, placement.along);
        let beyond = self.ground.map(|at| self.tones[at].light);
        let plain = Mosaic {
            lattice: *lattice,
            light: over_ground(&tiles, beyond),
        };
        let tiles = Tiles {
            lattice,
            parts: TILES,
            light: &plain.light,
        };
        Ok(Trial {
            plan,
            light: crisp(
                &tiles,
                &over_ground(&samples, beyond),
                self.options.crisp,
                cancel,
            ),
            fixed: ground::fixed(&samples, self.ground),
            groups: Groups::new(lattice, &axes, None),
            plain,
        })
    }

    fn cancel(&self) -> &Cancel {
        &self.options.choice.cancel
    }

    fn problem<'s>(&'s self, trial: &'s Trial) -> Problem<'s> {
        Problem {
            lattice: &self.lattice,
            light: &trial.light,
            fixed: &trial.fixed,
            groups: &trial.groups,
        }
    }

    /// The measure of a position in the nearest colours.
    fn measured(&self, placement: &Placement) -> Result<f64> {
        let trial = self.trial(placement)?;
        let chosen = assign(&self.problem(&trial), &self.nearest, self.cancel());
        Ok(self.measure(&trial, placement, &chosen, NEAR))
    }

    /// The bounds of that measure.
    fn bounded(&self, placement: &Placement) -> Result<Bounds> {
        let trial = self.trial(placement)?;
        let lights = self.lights(&assign(&self.problem(&trial), &self.nearest, self.cancel()));
        let plain = trial.plain.planes();
        let bounds = self.mean(&trial, placement, NEAR, |filters| {
            let band = filters.filter_beads(&self.lattice, &lights);
            let band = band.unwrap_or_else(|| {
                filters.filter(&trial.plain.with_bead_colours(&lights).planes())
            });
            let both = filters.filter(&plain).into_iter().zip(band);
            both.zip(&self.points)
                .filter(|(_, bead)| bead.is_some())
                .map(|((one, two), _)| {
                    let two = FastLab::new(two).prepared();
                    FastLab::new(one).prepared().difference(&two)
                })
                .sum()
        });
        let off = OFF * self.points.len() as f64 / self.area(&trial) / placement.scale;
        Ok(Bounds {
            at_least: bounds - off,
            at_most: bounds + off,
        })
    }

    /// The measure of a position when the band is refined.
    fn refined(&self, placement: &Placement) -> Result<f64> {
        let trial = self.trial(placement)?;
        let asked = self.options.choice.refine.clone().unwrap_or_default();
        let distances = if asked.distances.is_empty() {
            DISTANCES.to_vec()
        } else {
            asked.distances
        };
        let fine = refine::Goal {
            distances: distances
                .iter()
                .map(|&distance| distance * placement.scale)
                .collect(),
            calm: asked.calm,
        };
        let judged = crisped(trial.plain.clone(), &trial.light, self.options.crisp);
        let problem = self.problem(&trial);
        let refined = refine_unchecked(&problem, self.tones, &judged, None, &self.choice, &fine)?;
        Ok(self.measure(&trial, placement, &refined.value.after, &distances))
    }

    /// Mean difference over the motif's area, from nearer the smaller the motif is, and divided by
    /// its size.
    fn measure(
        &self,
        trial: &Trial,
        placement: &Placement,
        chosen: &[usize],
        distances: &[Mm],
    ) -> f64 {
        let band = trial.plain.with_bead_colours(&self.lights(chosen)).planes();
        let plain = trial.plain.planes();
        self.mean(trial, placement, distances, |filters| {
            let both = [&plain, &band].map(|one| filters.filter(one));
            differences(&both[0], &both[1], &self.lattice).iter().sum()
        })
    }

    /// That mean, where `sum` is the sum of the differences from one distance.
    fn mean(
        &self,
        trial: &Trial,
        placement: &Placement,
        distances: &[Mm],
        sum: impl Fn(&Filters) -> f64,
    ) -> f64 {
        let points = self.area(trial);
        let apart = |&distance: &Mm| sum(&self.filters(distance * placement.scale)) / points;
        distances.iter().map(apart).sum::<f64>() / distances.len() as f64 / placement.scale
    }

    fn lights(&self, chosen: &[usize]) -> Vec<Light> {
        chosen.iter().map(|&at| self.tones[at].light).collect()
    }

    /// The motif's own area, in points.
    fn area(&self, trial: &Trial) -> f64 {
        let bead = self.lattice.bead();
        let area = &trial.plan.area;
        let area = (area.right - area.left).get() * (area.top - area.bottom).get();
        let cell = bead.length.get() * bead.diameter.get() / 2.0;
        area / cell * POINTS as f64
    }

    /// The eye's filters from a distance: there are few sizes, and many positions of each.
    fn filters(&self, distance: Mm) -> Arc<Filters> {
        let mut known = self.filters.lock().unwrap_or_else(PoisonError::into_inner);
        let filters = known
            .entry(distance.get().to_bits())
            .or_insert_with(|| Arc::new(Filters::new(&self.lattice, distance)));
        Arc::clone(filters)
    }
}

/// The best so many, each better than those before it in the list by more than rounding.
fn ranked(candidates: &mut Vec<(f64, Placement)>, most: usize) {
    // A stable sort by steps of the least difference: equal positions stay in their order.
    candidates.sort_by_key(|candidate| (candidate.0 / SAME).round() as i64);
    let mut kept: Vec<(f64, Placement)> = Vec::new();
    for candidate in candidates.iter() {
        if kept.len() < most && !kept.iter().any(|other| other.1 == candidate.1) {
            kept.push(*candidate);
        }
    }
    *candidates = kept;
}

fn apart(one: Lab, other: Lab) -> f64 {
    let (l, a, b) = (one.l - other.l, one.a - other.a, one.b - other.b);
    (l * l + a * a + b * b).sqrt()
}

/// What falls on each bead: the mean of its tiles.
fn means(tiles: &[Sample], lattice: &Lattice) -> Vec<Sample> {
    let nothing = Sample {
        light: Light::new(0.0, 0.0, 0.0),
        alpha: 0.0,
    };
    let mut sums = vec![nothing; lattice.len()];
    for (bead, tile) in Mosaic::beads(lattice).into_iter().zip(tiles) {
        if let Some(bead) = bead {
            let sum = &mut sums[bead as usize];
            sum.light += tile.light;
            sum.alpha += tile.alpha;
        }
    }
    let count = (2 * TILES * TILES) as f64;
    for sum in &mut sums {
        sum.light /= count;
        // Whole tiles whose sum is only rounded below one are whole.
        sum.alpha = (sum.alpha / count).min(1.0);
    }
    sums
}
