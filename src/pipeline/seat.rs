//! Where a motif sits best on a narrow band: its size, and how it falls on the beads across and along.
//!
//! | step | looks at | by |
//! |---|---|---|
//! | coarse | five sizes, a quarter of a bead across, half a row along | the nearest colours, in the hand and worn |
//! | near | the best few, in steps half and a quarter as large | the same |
//! | last | the best three | the refined band, from all distances that count |
//!
//! The measure is the difference that is left after the eye's filters ([`crate::vision::band`]) between the band and the plain picture laid as the motif lies, summed over the band and shared out over
//! the motif's own area. Sizes are made comparable by looking at a motif of `s` times the largest from `s` times the distance: it then fills as much of the eye as the
//! largest would, and the beads are coarser against it. Without that the smallest would win, since a blot shows no error. And as a larger motif is worth having, the difference is divided
//! by `s`: a motif is made a tenth smaller only for a tenth less difference.
//!
//! The lattice repeats after a bead's length and diameter, so all ways to fall on it lie within half of either; the motif stays near the middle.
//! A motif that is the same left and right stays on the centre column, where its chart can be the same too; one that is the same both ends up, where it falls alike on the beads from both ends.

mod room;
#[cfg(test)]
mod tests;

use super::laid::{crisped, laid_on};
use super::{Options, ground};
use crate::cancel::Cancel;
use crate::colour::{Lab, Light, lab};
use crate::error::Result;
use crate::lattice::{Lattice, Rectangle, Rows};
use crate::palette::{Nearest, Tone};
use crate::picture::{Arrangement, Crop, Fit, Picture, Place, Plan, Seat, Spot, Turn, motif, plan};
use crate::quantize::assign::assign;
use crate::quantize::refine::{self, refine};
use crate::quantize::together::Together;
use crate::quantize::{self, Wanted};
use crate::sample::crisp::{Tiles, crisp};
use crate::sample::{Sample, Sheet};
use crate::units::Mm;
use crate::vision::band::{DISTANCES, FINE, Filters, Mosaic, POINTS, differences, points};
use crate::vision::quick::Quick;
use rayon::prelude::*;
use room::Room;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

/// The steps of the nearer search: size, and shares of a bead's length and diameter.
const STEPS: [(f64, f64, f64); 2] = [(0.025, 0.125, 0.125), (0.0125, 0.0625, 0.0625)];
/// Seats that the nearer search begins with, and those that are refined.
const KEPT: (usize, usize) = (5, 3);
/// Rows of ground that a trial has beyond either end of the motif.
const AROUND: u32 = 8;
/// Most beads of a trial; on more the motif sits in the middle, where a part of a bead no longer tells.
const MOST: usize = 6000;
/// A motif is symmetric if it differs from its mirror image by less than this share of its difference from the ground. Ours: above what pixels on the axis do.
const SYMMETRIC: f64 = 0.15;
/// A measure that is lower by less is no better.
const SAME: f64 = 1e-9;
/// The distances that seats are looked at from: in the hand and worn.
const NEAR: &[Mm] = &[DISTANCES[0], DISTANCES[1]];
/// How far a guess at one point's difference may be off: [`Quick`] and [`crate::colour::Judged::difference`] hold half of it.
const OFF: f64 = 2e-5;

/// A seat's measure, and the seat.
type Measured = (f64, Spot);

/// What bounds a measure.
struct Guess {
    at_least: f64,
    at_most: f64,
}

/// The arrangement with the seat of its motif decided and its frame found.
///
/// # Errors
/// If the picture cannot be read, or the arrangement or the choice of colours does not suit, or the cancel ends.
pub(super) fn seated(picture: &Picture, tones: &[Tone], options: &Options) -> Result<Arrangement> {
    let mut how = options.arrangement;
    let contained = matches!(how.fit, None | Some(Fit::Contain));
    if how.place != Place::Motif || how.seat == Seat::Middle || how.frame.is_some() {
        return Ok(how);
    }
    if how.seat == Seat::Best && !contained {
        how.seat = Seat::Middle;
        return Ok(how);
    }
    // A crop beyond the picture is refused before anything is looked for in it.
    lay(
        picture,
        options,
        &Arrangement {
            seat: Seat::Middle,
            ..how
        },
    )?;
    how.frame = Some(motif(
        picture,
        how.crop.unwrap_or(Crop::whole(picture.upright())),
    ));
    if let Seat::At(_) = how.seat {
        return Ok(how);
    }
    how.seat = Seat::At(match sought(picture, tones, options, how)? {
        None => MIDDLE,
        Some((search, room)) => search.best(&room)?,
    });
    Ok(how)
}

fn lay(picture: &Picture, options: &Options, how: &Arrangement) -> Result<Plan> {
    plan(
        picture.upright(),
        picture.orientation,
        &options.lattice,
        how,
    )
}

/// What is searched, and where, once the frame is found; none if the motif is large.
fn sought<'a>(
    picture: &'a Picture,
    tones: &'a [Tone],
    options: &'a Options,
    framed: Arrangement,
) -> Result<Option<(Search<'a>, Room)>> {
    let framed = Arrangement {
        seat: Seat::At(MIDDLE),
        ..framed
    };
    let middle = lay(picture, options, &framed)?;
    let trials = trial_lattice(&options.lattice, &middle.lies)?;
    if trials.len() > MOST {
        return Ok(None);
    }
    let held = Arrangement {
        turn: Turn::Quarters(middle.turned / 90),
        ..framed
    };
    let search = Search::new(picture, tones, options, trials, held)?;
    let room = Room::new(options, &middle, search.same()?);
    Ok(Some((search, room)))
}

const MIDDLE: Spot = Spot {
    scale: 1.0,
    across: Mm::new(0.0),
    along: Mm::new(0.0),
};

/// A shorter band about the motif on which it falls on the beads just so: fewer rows by a multiple of four, which moves its middle by whole beads.
fn trial_lattice(lattice: &Lattice, lies: &Rectangle) -> Result<Lattice> {
    let half = lattice.bead().diameter.get() / 2.0;
    let needed = ((lies.top - lies.bottom).get() / half).ceil() as u32 + 2 * AROUND;
    let rows = lattice.rows();
    let fewer = rows.saturating_sub(needed) / 4 * 4;
    let rows = match lattice.is_closed() {
        true => Rows::closed(rows - fewer)?,
        false => Rows::open(rows - fewer)?,
    };
    Lattice::new(lattice.bead(), lattice.columns(), rows)
}

/// All that the seats of one motif have in common.
struct Search<'a> {
    picture: &'a Picture,
    sheet: Sheet,
    tones: &'a [Tone],
    options: &'a Options,
    lattice: Lattice,
    held: Arrangement,
    together: Together,
    ground: Option<usize>,
    /// The choice of colours as asked.
    choice: quantize::Options,
    /// The colours that the middle takes.
    nearest: Nearest,
    /// The bead under each point.
    points: Vec<Option<u32>>,
    filters: Mutex<HashMap<u64, Arc<Filters>>>,
}

/// The motif in one seat: what the beads are asked to show, and the plain picture.
struct Shown {
    plan: Plan,
    light: Vec<Light>,
    settled: Vec<Option<usize>>,
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
        let sheet = Sheet::new(picture, &middle.tiles[0].window, &options.choice.cancel)?;
        let choice = quantize::Options {
            bounds: None,
            fine: None,
            dither: quantize::Dither::None,
            ..options.choice.clone()
        };
        let samples = means(&sheet.finely(&middle, &lattice, FINE as u32), &lattice);
        let opaque = picture.is_opaque();
        let ground = ground::wanted(&samples)
            .then(|| ground::choose(&samples, opaque, tones, options.ground, &lattice, &choice));
        let together = Together::new(&lattice, &options.mirror, None);
        let mut search = Self {
            picture,
            sheet,
            tones,
            options,
            together,
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
            let shown = search.shown(&MIDDLE)?;
            let used = quantize::choose(&search.wanted(&shown), tones, &search.choice)?.value;
            let without = (0..tones.len()).filter(|at| !used.contains(at)).collect();
            search.nearest = quantize::nearest(
                tones,
                &quantize::Options {
                    without,
                    ..search.choice.clone()
                },
            )?;
        }
        Ok(search)
    }

    /// Whether the motif is the same left and right, and the same both ends up: turned over it differs little, against how it differs from the ground.
    fn same(&self) -> Result<[bool; 2]> {
        let shown = self.shown(&MIDDLE)?;
        let ground = self.ground.map(|at| self.tones[at].lab);
        let tiles: Vec<Lab> = shown.plain.light.iter().map(|&light| lab(light)).collect();
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

    /// The best seat that is found.
    fn best(&self, room: &Room) -> Result<Spot> {
        let mut seats: Vec<Measured> = self
            .best_of(None, room.coarse(), KEPT.0)?
            .into_par_iter()
            .map(|seat| {
                STEPS.into_iter().try_fold(seat, |best, step| {
                    let beside = room.beside(&best.1, step);
                    Ok(self.best_of(Some(best), beside, 1)?[0])
                })
            })
            .collect::<Result<_>>()?;
        ranked(&mut seats, KEPT.1);
        let mut last: Vec<Measured> = seats
            .into_par_iter()
            .map(|(_, spot)| Ok((self.refined(&spot)?, spot)))
            .collect::<Result<_>>()?;
        ranked(&mut last, 1);
        Ok(last.first().map_or(MIDDLE, |seat| seat.1))
    }

    /// The best so many of a seat that is measured and others, in the nearest colours. A guess rules out most of them: only those are measured that may be among the best.
    fn best_of(
        &self,
        known: Option<Measured>,
        spots: Vec<Spot>,
        most: usize,
    ) -> Result<Vec<Measured>> {
        let guessed: Vec<(Guess, Spot)> = spots
            .into_par_iter()
            .map(|spot| Ok((self.guessed(&spot)?, spot)))
            .collect::<Result<_>>()?;
        let mut at_most: Vec<f64> = guessed.iter().map(|(guess, _)| guess.at_most).collect();
        at_most.extend(known.map(|seat| seat.0));
        at_most.sort_by(f64::total_cmp);
        let bar = at_most.get(most - 1).copied().unwrap_or(f64::INFINITY);
        let measured = guessed
            .into_par_iter()
            .filter(|(guess, _)| guess.at_least <= bar + SAME)
            .map(|(_, spot)| Ok((self.quickly(&spot)?, spot)));
        let mut seats: Vec<Measured> = known.map(Ok).into_iter().collect::<Result<_>>()?;
        seats.extend(measured.collect::<Result<Vec<Measured>>>()?);
        ranked(&mut seats, most);
        Ok(seats)
    }

    fn shown(&self, spot: &Spot) -> Result<Shown> {
        let cancel = self.cancel();
        cancel.check()?;
        let how = Arrangement {
            seat: Seat::At(*spot),
            ..self.held
        };
        let lattice = &self.lattice;
        let plan = plan(
            self.picture.upright(),
            self.picture.orientation,
            lattice,
            &how,
        )?;
        let tiles = self.sheet.finely(&plan, lattice, FINE as u32);
        let samples = means(&tiles, lattice);
        let beyond = self.ground.map(|at| self.tones[at].light);
        let plain = Mosaic {
            lattice: *lattice,
            light: laid_on(&tiles, beyond),
        };
        let tiles = Tiles {
            lattice,
            parts: FINE,
            light: &plain.light,
        };
        Ok(Shown {
            plan,
            light: crisp(
                &tiles,
                &laid_on(&samples, beyond),
                self.options.crisp,
                cancel,
            ),
            settled: ground::settled(&samples, self.ground),
            plain,
        })
    }

    fn cancel(&self) -> &Cancel {
        &self.options.choice.cancel
    }

    fn wanted<'s>(&'s self, shown: &'s Shown) -> Wanted<'s> {
        Wanted {
            lattice: &self.lattice,
            light: &shown.light,
            settled: &shown.settled,
            together: &self.together,
        }
    }

    /// The measure of a seat in the nearest colours.
    fn quickly(&self, spot: &Spot) -> Result<f64> {
        let shown = self.shown(spot)?;
        let chosen = assign(&self.wanted(&shown), &self.nearest, self.cancel());
        Ok(self.measure(&shown, spot, &chosen, NEAR))
    }

    /// Between what bounds it lies.
    fn guessed(&self, spot: &Spot) -> Result<Guess> {
        let shown = self.shown(spot)?;
        let lights = self.lights(&assign(&self.wanted(&shown), &self.nearest, self.cancel()));
        let plain = shown.plain.planes();
        let guess = self.mean(&shown, spot, NEAR, |filters| {
            let band = filters.woven(&self.lattice, &lights);
            let band = band.unwrap_or_else(|| filters.seen(&shown.plain.woven(&lights).planes()));
            let both = filters.seen(&plain).into_iter().zip(band);
            both.zip(&self.points)
                .filter(|(_, bead)| bead.is_some())
                .map(|((one, two), _)| {
                    let two = Quick::new(two).judged();
                    Quick::new(one).judged().difference(&two)
                })
                .sum()
        });
        let off = OFF * self.points.len() as f64 / self.area(&shown) / spot.scale;
        Ok(Guess {
            at_least: guess - off,
            at_most: guess + off,
        })
    }

    /// The measure of a seat when the band is refined.
    fn refined(&self, spot: &Spot) -> Result<f64> {
        let shown = self.shown(spot)?;
        let asked = self.options.choice.fine.clone().unwrap_or_default();
        let distances = match asked.seen.is_empty() {
            true => DISTANCES.to_vec(),
            false => asked.seen,
        };
        let fine = refine::Options {
            seen: distances
                .iter()
                .map(|&distance| distance * spot.scale)
                .collect(),
            calm: asked.calm,
        };
        let judged = crisped(shown.plain.clone(), &shown.light, self.options.crisp);
        let wanted = self.wanted(&shown);
        let refined = refine(&wanted, self.tones, &judged, None, &self.choice, &fine)?;
        Ok(self.measure(&shown, spot, &refined.value.after, &distances))
    }

    /// Mean difference over the motif's area, seen from so much nearer as the motif is smaller, and dearer by as much.
    fn measure(&self, shown: &Shown, spot: &Spot, chosen: &[usize], distances: &[Mm]) -> f64 {
        let band = shown.plain.woven(&self.lights(chosen)).planes();
        let plain = shown.plain.planes();
        self.mean(shown, spot, distances, |filters| {
            let both = [&plain, &band].map(|one| filters.seen(one));
            differences(&both[0], &both[1], &self.lattice).iter().sum()
        })
    }

    /// That mean, where `sum` is the sum of the differences from one distance.
    fn mean(
        &self,
        shown: &Shown,
        spot: &Spot,
        distances: &[Mm],
        sum: impl Fn(&Filters) -> f64,
    ) -> f64 {
        let points = self.area(shown);
        let apart = |&distance: &Mm| sum(&self.filters(distance * spot.scale)) / points;
        distances.iter().map(apart).sum::<f64>() / distances.len() as f64 / spot.scale
    }

    fn lights(&self, chosen: &[usize]) -> Vec<Light> {
        chosen.iter().map(|&at| self.tones[at].light).collect()
    }

    /// The motif's own area, in points.
    fn area(&self, shown: &Shown) -> f64 {
        let bead = self.lattice.bead();
        let lies = &shown.plan.lies;
        let area = (lies.right - lies.left).get() * (lies.top - lies.bottom).get();
        let cell = bead.length.get() * bead.diameter.get() / 2.0;
        area / cell * POINTS as f64
    }

    /// The eye's filters from a distance: there are few sizes, and many seats of each.
    fn filters(&self, distance: Mm) -> Arc<Filters> {
        let mut known = self.filters.lock().unwrap_or_else(PoisonError::into_inner);
        let filters = known
            .entry(distance.get().to_bits())
            .or_insert_with(|| Arc::new(Filters::new(&self.lattice, distance)));
        Arc::clone(filters)
    }
}

/// The best so many, each better than those before it in the list by more than rounding.
fn ranked(seats: &mut Vec<(f64, Spot)>, most: usize) {
    // A stable sort by steps of the least difference: equal seats stay in their order.
    seats.sort_by_key(|seat| (seat.0 / SAME).round() as i64);
    let mut kept: Vec<(f64, Spot)> = Vec::new();
    for seat in seats.iter() {
        if kept.len() < most && !kept.iter().any(|other| other.1 == seat.1) {
            kept.push(*seat);
        }
    }
    *seats = kept;
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
    let count = (2 * FINE * FINE) as f64;
    for sum in &mut sums {
        sum.light /= count;
        // Whole tiles that sum to nearly one are whole.
        sum.alpha = (sum.alpha / count).min(1.0);
    }
    sums
}
