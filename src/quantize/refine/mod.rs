//! The band optimised whole, for the eye at a distance: direct search on the error that is left after S-CIELAB's filters.
//!
//! | step | does |
//! |---|---|
//! | [`model`] | the error as a quadratic form, so that a trial costs the same whatever the size of the band |
//! | [`search`] | single changes and exchanges of neighbours until none helps |
//! | [`colours`] | under a limit: one colour out, one in, as long as that helps |
//! | [`finish`] | the changes that CIEDE2000 itself decides after the filter, found by what is [`felt`] of them |
//!
//! With *calm* unlike neighbours cost something too ([`super::calm`]), less so across edges of the picture. The best of the nearest colours, of diffusion and of
//! what was there before is where the search starts; it never ends worse. Where the drawer is counted ([`super::stock`]),
//! each of them is brought within its bounds first, and no step of the search leaves them. Everything runs in a fixed order on any number of threads.

mod colours;
mod felt;
mod finish;
mod model;
mod search;
mod stamp;
mod table;
#[cfg(test)]
mod tests;
mod view;

use super::calm::{self, edge, price};
use super::stock::{self, Room};
use super::{Dither, Options as Choice, Wanted, allowed, assign, diffuse, mask, no_colours};
use crate::cancel::Cancel;
use crate::colour::{Light, lab};
use crate::error::Result;
use crate::palette::{Nearest, Tone};
use crate::units::Mm;
use crate::vision::band::Mosaic;
use crate::warning::{Warned, Warning};
use colours::{Limit, Shown};
use finish::Finish;
use model::{Model, State};
use view::View;

/// Strength of the diffusion that a search may start from.
const STRENGTH: f64 = 0.5;
/// Sweeps of a search, at most.
const SWEEPS: usize = 60;
/// Sweeps that CIEDE2000 decides, at most.
const FINISHING: usize = 8;

/// What is wanted beside the choice of colours.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Options {
    /// Distances that count, each as much; none searches nothing and only calms.
    pub seen: Vec<Mm>,
    /// How much calm is worth, 0 to 1.
    pub calm: f64,
}

/// What there was before, to begin with: a place in the palette for each bead.
pub type Before<'a> = Option<&'a [usize]>;

/// Colours before and after, a place in the palette for each bead.
#[derive(Debug, Clone, PartialEq)]
pub struct Refined {
    /// What there was, or what plain choice gives.
    pub before: Vec<usize>,
    /// What was found.
    pub after: Vec<usize>,
}

/// A band to begin with, one colour a group, and the colours that it may use.
struct Start {
    chosen: Vec<usize>,
    allowed: Vec<usize>,
}

/// Chooses colours for the whole band as it is seen; `picture` is its light tile by tile.
///
/// # Errors
/// As [`super::choose()`].
pub fn refine(
    wanted: &Wanted,
    tones: &[Tone],
    picture: &Mosaic,
    before: Before,
    choice: &Choice,
    options: &Options,
) -> Result<Warned<Refined>> {
    let mut notes = Vec::new();
    let (bounds, cancel) = (choice.bounds.as_ref(), &choice.cancel);
    let room = bounds.map(|bounds| Room::new(wanted, tones, bounds, before.is_some(), cancel));
    let room = room.transpose()?;
    let room = room.as_ref();
    let own = allowed(wanted, tones, choice, room, &mut notes)?;
    cancel.check()?;
    let nearest = Nearest::new(tones, &own).ok_or_else(no_colours)?;
    let plain = match choice.dither {
        Dither::None => assign::assign(wanted, &nearest, cancel),
        Dither::Diffuse(strength) => {
            diffuse::diffuse(wanted, tones, &own, &nearest, strength, cancel)
        }
        Dither::Mask(strength) => mask::choose(wanted, tones, &own, &nearest, strength, cancel),
    };
    cancel.check()?;
    let kept = |beads: Vec<usize>, dithered: bool, notes: &mut Vec<Warning>| match room {
        None => Ok(beads),
        Some(room) => stock::within(wanted, tones, &own, room, beads, dithered, notes),
    };
    let mut told = Vec::new();
    let plain = kept(plain, choice.dither != Dither::None, &mut told)?;
    notes.extend(told.into_iter().filter_map(bound));
    let free: Vec<usize> = (0..tones.len())
        .filter(|at| !choice.without.contains(at))
        .collect();
    let mut starts = vec![Start {
        chosen: grouped(wanted, &plain),
        allowed: own.clone(),
    }];
    if let Some(beads) = before {
        let start = start_of(wanted, beads, &own, &free, choice);
        starts.extend(start.and_then(|start| {
            Some(Start {
                chosen: roomy(wanted, tones, &start.allowed, room, start.chosen)?,
                ..start
            })
        }));
    }
    let seen = !options.seen.is_empty();
    if seen {
        let others = [
            (assign::assign(wanted, &nearest, cancel), false),
            (
                diffuse::diffuse(wanted, tones, &own, &nearest, STRENGTH, cancel),
                true,
            ),
        ];
        // There are beads enough, as the plain choice has shown.
        let others = others
            .into_iter()
            .filter_map(|(beads, dithered)| kept(beads, dithered, &mut Vec::new()).ok());
        starts.extend(others.map(|beads| Start {
            chosen: grouped(wanted, &beads),
            allowed: own.clone(),
        }));
    }
    let after = match seen {
        true => searched(
            wanted,
            tones,
            picture,
            starts,
            (&free, choice, room),
            options,
        )?,
        false => {
            let start = starts.swap_remove(starts.len() - 1);
            let price = calm::PLAIN * price(options.calm);
            calmed_within(wanted, tones, &start, (room, cancel), price)
        }
    };
    cancel.check()?;
    let after = wanted.together.spread(&after);
    debug_assert!(bounds.is_none_or(|bounds| bounds.allow(&counts(&after, tones.len()))));
    Ok(Warned {
        value: Refined {
            before: before.map_or(plain, <[usize]>::to_vec),
            after,
        },
        notes,
    })
}

/// What a search says of the drawer: which colours it could do with more of.
fn bound(note: Warning) -> Option<Warning> {
    match note {
        Warning::FromStock { names, .. } => Some(Warning::KeptToStock { names }),
        // How far the plain choice is from the best says nothing of the search.
        _ => None,
    }
}

/// Beads of each of so many colours.
fn counts(beads: &[usize], colours: usize) -> Vec<u64> {
    let mut counts = vec![0; colours];
    beads.iter().for_each(|&colour| counts[colour] += 1);
    counts
}

/// Colours of groups, as little changed as the room asks for; none if the colours that are allowed have too few beads.
fn roomy(
    wanted: &Wanted,
    tones: &[Tone],
    allowed: &[usize],
    room: Option<&Room>,
    chosen: Vec<usize>,
) -> Option<Vec<usize>> {
    let Some(room) = room else {
        return Some(chosen);
    };
    let beads = wanted.together.spread(&chosen);
    let within = stock::within(wanted, tones, allowed, room, beads, true, &mut Vec::new());
    Some(grouped(wanted, &within.ok()?))
}

/// Calmed without a search; where the drawer spoils that, what there was stays.
fn calmed_within(
    wanted: &Wanted,
    tones: &[Tone],
    start: &Start,
    (room, cancel): (Option<&Room>, &Cancel),
    price: f64,
) -> Vec<usize> {
    let calm = calm::calmed(wanted, tones, &start.allowed, &start.chosen, price, cancel);
    if room.is_none() {
        return calm;
    }
    let cost = |chosen: &[usize]| calm::cost(wanted, tones, chosen, price);
    roomy(wanted, tones, &start.allowed, room, calm)
        .filter(|calm| cost(calm) < cost(&start.chosen))
        .unwrap_or_else(|| start.chosen.clone())
}

/// The colour of each group: that of a settled bead, or of its first.
fn grouped(wanted: &Wanted, beads: &[usize]) -> Vec<usize> {
    (0..wanted.together.len())
        .map(|group| {
            let of_group = wanted.together.beads_of(group);
            assign::settled(wanted, of_group).unwrap_or(beads[of_group[0] as usize])
        })
        .collect()
}

/// What there was before, if it keeps to the limit.
fn start_of(
    wanted: &Wanted,
    beads: &[usize],
    own: &[usize],
    free: &[usize],
    choice: &Choice,
) -> Option<Start> {
    let chosen = grouped(wanted, beads);
    let mut used: Vec<usize> = chosen.iter().chain(&choice.keep).copied().collect();
    used.sort_unstable();
    used.dedup();
    // A colour that is left out now may be there still: nobody searches with it, but nobody takes it away unasked.
    let allowed = match choice.limit {
        None => free.to_vec(),
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
    Some(Start { chosen, allowed })
}

/// The best band that the search finds, one colour a group.
fn searched(
    wanted: &Wanted,
    tones: &[Tone],
    picture: &Mosaic,
    starts: Vec<Start>,
    (free, choice, room): (&[usize], &Choice, Option<&Room>),
    options: &Options,
) -> Result<Vec<usize>> {
    let cancel = &choice.cancel;
    let light = picture.of_beads();
    let price = price(options.calm);
    let unlike = |one: usize, two: usize| match price > 0.0 {
        true => price * edge(lab(light[one]), lab(light[two])),
        false => 0.0,
    };
    let mut model = Model::new(wanted, tones, picture, &options.seen, &unlike, cancel);
    model.lone = calm::lone(options.calm);
    model.bounds = choice.bounds.as_ref();
    let model = model;
    let seen = options.seen.iter();
    let view = |&distance: &Mm| {
        cancel.check()?;
        Ok(View::new(picture, distance))
    };
    let blank: Vec<View> = seen.map(view).collect::<Result<_>>()?;
    let views = |chosen: &[usize]| -> Vec<View> {
        let band = picture.woven(&lights(wanted, tones, chosen)).planes();
        let mut views = blank.clone();
        for view in views.iter_mut().take_while(|_| !cancel.is_over()) {
            view.show(&band);
        }
        views
    };
    let Some((first, start, mut shown)) = best_start(&model, starts, views) else {
        return Ok(Vec::new());
    };
    cancel.check()?;
    let mean = mean(&shown);
    // A difference is felt as it is, the quadratic form counts its square: near the mean d(e²) = 2 e de.
    let points = (2 * crate::vision::band::POINTS) as f64;
    let unrest = points / (2.0 * mean.max(1.0));
    let worth = |views: &[View], state: &State| {
        views.iter().map(View::mean).sum::<f64>() / views.len() as f64
            + unrest * (model.unrest(state) + model.loneliness(state))
                / (points * wanted.lattice.len() as f64)
    };
    let least = worth(&shown, &first);
    let mut state = first.clone();
    let mut allowed = start.allowed.clone();
    if price > 0.0 {
        calm_first(&model, &mut state, tones, (&allowed, room), price);
    }
    search::search(&model, &mut state, &allowed, SWEEPS);
    let limit = Limit {
        free,
        keep: &choice.keep,
    };
    let limited = choice.limit.is_some_and(|limit| limit < free.len());
    if limited {
        colours::improve(&model, &mut state, &mut allowed, &limit, SWEEPS);
    }
    shown = views(&state.chosen);
    cancel.check()?;
    let finish = Finish {
        model: &model,
        allowed: &allowed,
        unrest,
        sweeps: FINISHING,
    };
    finish.finish(&mut state, &mut shown, vec![true; first.chosen.len()]);
    if limited {
        let allowed = allowed.clone();
        let mut band = Shown {
            state,
            views: shown,
            allowed,
        };
        colours::improve_seen(&finish, &mut band, &limit);
        (state, shown) = (band.state, band.views);
    }
    Ok(match worth(&shown, &state) <= least {
        true => state.chosen,
        false => first.chosen,
    })
}

/// Of several beginnings the one that is seen best.
fn best_start(
    model: &Model,
    starts: Vec<Start>,
    views: impl Fn(&[usize]) -> Vec<View>,
) -> Option<(State, Start, Vec<View>)> {
    let mut best: Option<(f64, Start, Vec<View>)> = None;
    let mut known: Vec<Vec<usize>> = Vec::new();
    for start in starts {
        if known.contains(&start.chosen) {
            continue;
        }
        known.push(start.chosen.clone());
        let shown = views(&start.chosen);
        let error = mean(&shown);
        if best.as_ref().is_none_or(|(least, ..)| error < *least) {
            best = Some((error, start, shown));
        }
    }
    best.map(|(_, start, shown)| (model.state(&start.chosen), start, shown))
}

/// Takes what calming alone would choose, if the whole comes cheaper so.
fn calm_first(
    model: &Model,
    state: &mut State,
    tones: &[Tone],
    (allowed, room): (&[usize], Option<&Room>),
    price: f64,
) {
    let (wanted, cancel) = (model.wanted, &model.cancel);
    let calm = calm::calmed(wanted, tones, allowed, &state.chosen, price, cancel);
    let Some(calm) = roomy(model.wanted, tones, allowed, room, calm) else {
        return;
    };
    let calm = model.state(&calm);
    if model.total(&calm) < model.total(state) {
        *state = calm;
    }
}

fn mean(views: &[View]) -> f64 {
    views.iter().map(View::mean).sum::<f64>() / views.len().max(1) as f64
}

fn lights(wanted: &Wanted, tones: &[Tone], chosen: &[usize]) -> Vec<Light> {
    let lights: Vec<Light> = chosen.iter().map(|&colour| tones[colour].light).collect();
    wanted.together.spread(&lights)
}
