//! The fast computations equal the plain ones, and the search ends where nothing helps.

use super::band::search_without_prices;
use super::colour_set::{Limit, improve};
use super::difference_map::DifferenceMap;
use super::difference_map::model_of_group;
use super::objective::{Objective, State};
use super::polish::Polish;
use super::search::search;
use super::{Goal, Job, refine, views};
use crate::bead::Bead;
use crate::cancel::Cancel;
use crate::colour::{Light, lab};
use crate::lattice::{Axis, Lattice, Rows};
use crate::palette::Tone;
use crate::quantize::calm::{edge, price};
use crate::quantize::groups::Groups;
use crate::quantize::measure::{Measure, measure};
use crate::quantize::{Problem, Settings};
use crate::units::Mm;
use crate::vision::band::{DISTANCES, Mosaic, TILES, squared_filter};
use crate::vision::gaussian::overlap;
use crate::vision::scielab::{Channel, opponent};
use proptest::prelude::*;

fn measured(picture: &Mosaic, lights: &[Light], chosen: &[usize], from: &[Mm]) -> Measure {
    measure(picture, lights, chosen, from, &Cancel::default())
}

/// Numbers from 0 to 1, the same for the same seed.
pub(super) struct Dice(pub(super) u64);

impl Dice {
    pub(super) fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 40) as f64 / (1u64 << 24) as f64
    }

    pub(super) fn light(&mut self) -> Light {
        Light::new(self.next(), self.next(), self.next())
    }
}

pub(super) fn lattice(columns: u32, rows: u32, closed: bool) -> Lattice {
    let rows = if closed {
        Rows::closed(rows)
    } else {
        Rows::open(rows)
    };
    Lattice::new(Bead::default(), columns, rows.unwrap()).unwrap()
}

/// A band with a picture, a palette and everything else that a search needs.
pub(super) struct Case {
    pub(super) lattice: Lattice,
    pub(super) picture: Mosaic,
    pub(super) light: Vec<Light>,
    pub(super) fixed: Vec<Option<usize>>,
    pub(super) groups: Groups,
    pub(super) tones: Vec<Tone>,
}

impl Case {
    pub(super) fn new(lattice: Lattice, seed: u64, colours: usize, mirror: &[Axis]) -> Self {
        let mut dice = Dice(seed);
        let (across, along) = (Mosaic::across(&lattice), Mosaic::along(&lattice));
        let (one, two) = (dice.light(), dice.light());
        let light = (0..across * along)
            .map(|at| {
                let slope = (at / across) as f64 / along as f64;
                let noise = dice.next() * 0.3;
                one * (slope * (0.7 + noise)) + two * ((1.0 - slope) * (0.7 + noise))
            })
            .collect();
        let picture = Mosaic { lattice, light };
        Self {
            light: picture.of_beads(),
            fixed: vec![None; lattice.len()],
            groups: Groups::new(&lattice, mirror, None),
            tones: (0..colours).map(|_| Tone::new(dice.light())).collect(),
            picture,
            lattice,
        }
    }

    /// Seen from all distances.
    fn objective<'a>(
        &self,
        problem: &'a Problem<'a>,
        unlike: &dyn Fn(usize, usize) -> f64,
    ) -> Objective<'a> {
        let cancel = Cancel::default();
        Objective::new(
            problem,
            &self.tones,
            &self.picture,
            &views(&DISTANCES),
            unlike,
            &cancel,
        )
    }

    pub(super) fn problem(&self) -> Problem<'_> {
        Problem {
            lattice: &self.lattice,
            light: &self.light,
            fixed: &self.fixed,
            groups: &self.groups,
        }
    }

    fn drawn(&self, seed: u64) -> Vec<usize> {
        let mut dice = Dice(seed);
        (0..self.groups.len())
            .map(|_| (dice.next() * self.tones.len() as f64) as usize)
            .collect()
    }
}

fn fresh(objective: &Objective, state: &State) -> State {
    objective.state(&state.chosen)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn what_a_trial_says_is_what_a_change_brings(
        seed in 0u64..1_000_000, columns in 3u32..10, rows in 3u32..12,
        closed: bool, mirrored: bool, calm in 0.0..1.0,
    ) {
        let columns = if mirrored { columns | 1 } else { columns };
        let mirror: &[Axis] = if mirrored { &[Axis::Columns] } else { &[] };
        let case = Case::new(lattice(columns, rows * 2, closed), seed, 5, mirror);
        let problem = case.problem();
        let unlike = |a: usize, b: usize| {
            price(calm) * edge(lab(case.light[a]), lab(case.light[b]))
        };
        let mut objective = case.objective(&problem, &unlike);
        let mut prices = Dice(seed + 3);
        let table = 5 * case.groups.len();
        objective.intrusion = (0..table).map(|_| 40.0 * prices.next() as f32).collect();
        let mut state = objective.state(&case.drawn(seed + 1));
        let mut dice = Dice(seed + 2);
        for _ in 0..20 {
            let before = objective.total(&fresh(&objective, &state));
            let group = (dice.next() * state.chosen.len() as f64) as usize;
            let colour = (dice.next() * 5.0) as usize;
            let said = match objective.links[group].first().filter(|_| dice.next() < 0.5) {
                Some(link) if state.chosen[link.group] != state.chosen[group] => {
                    let said = objective.exchange(&state, group, link.group);
                    let (own, other) = (state.chosen[group], state.chosen[link.group]);
                    objective.recolour(&mut state, group, other);
                    objective.recolour(&mut state, link.group, own);
                    said
                }
                _ => {
                    let said = objective.change(&state, group, colour);
                    objective.recolour(&mut state, group, colour);
                    said
                }
            };
            let after = objective.total(&fresh(&objective, &state));
            let scale = before.abs() + after.abs() + 1.0;
            prop_assert!((after - before - said).abs() < 1e-9 * scale, "{before} {after} {said}");
            prop_assert!((objective.total(&state) - after).abs() < 1e-9 * scale);
        }
    }

    #[test]
    fn a_search_ends_where_no_change_and_no_exchange_helps(
        seed in 0u64..1_000_000, columns in 3u32..8, rows in 3u32..8,
        closed: bool, calm in 0.0..1.0,
    ) {
        let case = Case::new(lattice(columns, rows * 2, closed), seed, 6, &[]);
        let problem = case.problem();
        let unlike = |_: usize, _: usize| price(calm);
        let objective = case.objective(&problem, &unlike);
        let mut state = objective.state(&case.drawn(seed));
        let before = objective.total(&state);
        let allowed: Vec<usize> = (0..6).collect();
        prop_assert!(search(&objective, &mut state, &allowed, 200));
        prop_assert!(objective.total(&fresh(&objective, &state)) <= before + 1e-9);
        for group in 0..state.chosen.len() {
            for colour in 0..6 {
                prop_assert!(objective.change(&state, group, colour) > -1e-5);
            }
            for link in &objective.links[group] {
                if state.chosen[link.group] != state.chosen[group] {
                    prop_assert!(objective.exchange(&state, group, link.group) > -1e-5);
                }
            }
        }
    }

    #[test]
    fn a_refined_band_never_looks_further_from_its_picture(
        seed in 0u64..1_000_000, columns in 3u32..8, rows in 3u32..8,
        closed: bool, limit in 2usize..6,
    ) {
        let case = Case::new(lattice(columns, rows * 2, closed), seed, 7, &[]);
        let settings = Settings { limit: Some(limit), ..Default::default() };
        let goal = Goal { distances: DISTANCES.to_vec(), calm: 0.0 };
        let problem = case.problem();
        let refined = refine(&problem, &case.tones, &case.picture, None, &settings, &goal);
        let refined = refined.unwrap().value;
        let error = |chosen: &[usize]| -> f64 {
            let lights: Vec<Light> = chosen.iter().map(|&at| case.tones[at].light).collect();
            let measure = measured(&case.picture, &lights, chosen, &DISTANCES);
            // In the hand and worn counts double.
            measure.views.iter().zip([2.0, 2.0, 1.0]).map(|(view, share)| share * view.mean).sum()
        };
        prop_assert!(error(&refined.after) <= error(&refined.before) + 1e-4);
        let mut used = refined.after.clone();
        used.sort_unstable();
        used.dedup();
        prop_assert!(used.len() <= limit);
    }
}

/// The field of one bead, by its definition: the filter twice over the bead's rectangle, integrated
/// over another's.
#[test]
fn the_field_of_a_bead_is_the_filter_over_both_rectangles() {
    let case = Case::new(lattice(7, 12, false), 5, 2, &[]);
    let problem = case.problem();
    let objective = Objective::new(
        &problem,
        &case.tones,
        &case.picture,
        &views(&DISTANCES[..1]),
        &|_, _| 0.0,
        &Cancel::default(),
    );
    let one = objective.state(&vec![0; case.lattice.len()]);
    let mut other = one.clone();
    let bead = 20;
    objective.recolour(&mut other, bead, 1);
    let bead_at = |bead: usize| {
        let (row, column) = case.lattice.position(bead);
        let (x, y) = case.lattice.centre(row, column);
        (x.get(), y.get())
    };
    let change: Vec<f64> = (0..3)
        .map(|at| opponent(case.tones[1].light)[at] - opponent(case.tones[0].light)[at])
        .collect();
    // The scales of each bead looked at, and of the one that changes, are those of a single bead's
    // own change.
    for to in [20, 21, 17, 24, 3] {
        let ((x, y), (u, v)) = (bead_at(bead), bead_at(to));
        let mut sum = 0.0;
        for channel in Channel::ALL {
            let cross_term: f64 = squared_filter(channel, DISTANCES[0])
                .into_iter()
                .map(|(s, weight)| {
                    weight * overlap(x - u, 1.3, 1.3, s) * overlap(y - v, 1.6, 1.6, s) / 2.08
                })
                .sum();
            let at = channel as usize;
            sum += cross_term
                * objective.scale_of(bead)[at]
                * objective.scale_of(to)[at]
                * change[at]
                * change[at];
        }
        let slope = |state: &State| objective.slope(state, to);
        let (before, after) = (slope(&one), slope(&other));
        let got: f64 = (0..3).map(|at| (after[at] - before[at]) * change[at]).sum();
        assert!(
            (got - sum).abs() < 1e-6 * sum.abs().max(1.0),
            "{to}: {got} {sum}"
        );
    }
}

/// Against all bands of two colours on 13 beads.
#[test]
fn tiny_bands_come_out_near_the_best_of_all() {
    let mut exact = 0;
    for seed in 0..12 {
        let case = Case::new(lattice(3, 9, false), seed, 2, &[]);
        let problem = case.problem();
        let objective = case.objective(&problem, &|_, _| 4.0);
        let count = case.lattice.len();
        let mut state = objective.state(&vec![0; count]);
        search(&objective, &mut state, &[0, 1], 200);
        let found = objective.total(&state);
        // One bead after the other changes, as a Gray code counts.
        let mut all = objective.state(&vec![0; count]);
        let mut total = objective.total(&all);
        let (mut least, mut greatest) = (total, total);
        for step in 1u32..1 << count {
            let bead = step.trailing_zeros() as usize;
            let colour = 1 - all.chosen[bead];
            total += objective.change(&all, bead, colour);
            objective.recolour(&mut all, bead, colour);
            least = least.min(total);
            greatest = greatest.max(total);
        }
        assert!(found >= least - 1e-6);
        assert!(
            found - least <= 0.05 * (greatest - least),
            "{seed}: {found} {least} {greatest}"
        );
        exact += usize::from(found - least < 1e-6);
    }
    assert!(exact >= 6, "only {exact} of 12 are the best");
}

/// The least total of all bands in `colours`, walking over all of them bead by bead.
fn least_of(objective: &Objective, state: &mut State, colours: &[usize], bead: usize) -> f64 {
    if bead == state.chosen.len() {
        return objective.total(state);
    }
    let all = colours.iter().map(|&colour| {
        objective.recolour(state, bead, colour);
        least_of(objective, state, colours, bead + 1)
    });
    all.fold(f64::INFINITY, f64::min)
}

/// Three of eight colours on a band of seven beads, against all 56 sets of three and all bands in
/// each: 17 of 20 are the best there is, and the worst misses 0.5% of the gain over a plain band.
#[test]
fn a_limit_of_colours_comes_out_near_the_best_of_all_sets() {
    let (mut exact, mut worst) = (0, 0.0f64);
    for seed in 0..20 {
        let case = Case::new(lattice(3, 5, false), 1000 + seed, 8, &[]);
        let problem = case.problem();
        let objective = case.objective(&problem, &|_, _| 0.0);
        let free: Vec<usize> = (0..8).collect();
        let mut own = crate::quantize::limit::select(
            &crate::quantize::limit::items(&problem, 8),
            &case.tones,
            &free,
            &[],
            3,
            &Cancel::default(),
        );
        let mut state = objective.state(&vec![own[0]; case.lattice.len()]);
        let far = objective.total(&state);
        search(&objective, &mut state, &own, 200);
        let limit = Limit {
            free: &free,
            keep: &[],
        };
        improve(&objective, &mut state, &mut own, &limit, 200);
        let found = objective.total(&state);
        let mut least = f64::INFINITY;
        for one in 0..8 {
            for two in 0..one {
                for three in 0..two {
                    least = least.min(least_of(&objective, &mut state, &[three, two, one], 0));
                }
            }
        }
        assert!(found >= least - 1e-6, "{seed}: {found} {least}");
        // Of what the search gains over one plain colour.
        let gap = (found - least) / (far - least);
        exact += usize::from(found - least < 1e-6);
        worst = worst.max(gap);
    }
    assert!(exact >= 15 && worst < 0.02, "{exact} {worst}");
}

fn lights_of(case: &Case, chosen: &[usize]) -> Vec<Light> {
    chosen.iter().map(|&at| case.tones[at].light).collect()
}

/// Two of five colours on a band of eight beads, by the mean difference that is seen, against all
/// ten sets of two and all bands in each: of 20 such bands 17 are the best there is, and the worst
/// is 4.6% off.
#[test]
fn a_limited_band_is_seen_near_the_best_of_all() {
    let settings = Settings {
        limit: Some(2),
        ..Default::default()
    };
    let (mut exact, mut worst) = (0, 0.0f64);
    for seed in 0..12 {
        let case = Case::new(lattice(3, 5, false), 500 + seed, 5, &[]);
        let seen = |chosen: &[usize]| {
            let lights = lights_of(&case, chosen);
            measured(&case.picture, &lights, chosen, &DISTANCES[1..2]).views[0].mean
        };
        let problem = case.problem();
        let job = Job {
            problem: &problem,
            tones: &case.tones,
            settings: &settings,
            capacity: None,
            free: &[0, 1, 2, 3, 4],
        };
        let own = crate::quantize::allowed(&problem, &case.tones, &settings, None, &mut vec![]);
        let mut starts = job.starts(&own.unwrap(), None, true, &mut vec![]).unwrap();
        let start = starts.all.swap_remove(0);
        let found = search_without_prices(&job, &case.picture, start, &DISTANCES[1..2]);
        let found = seen(&found.unwrap());
        let count = case.lattice.len();
        let mut least = f64::INFINITY;
        for one in 0..5 {
            for two in 0..one {
                for code in 0..1u32 << count {
                    let chosen: Vec<usize> = (0..count)
                        .map(|bead| if code >> bead & 1 == 0 { one } else { two })
                        .collect();
                    least = least.min(seen(&chosen));
                }
            }
        }
        // The search's own difference is within 1e-5 of the formula's.
        assert!(found >= least - 1e-4, "{seed}: {found} {least}");
        exact += usize::from(found < least + 1e-4);
        worst = worst.max(found / least - 1.0);
    }
    assert!(exact >= 8 && worst < 0.05, "{exact} {worst}");
}

/// Maps updated bead by bead, against maps of the band as it is then; and the prediction of a
/// trial, against its result.
#[test]
fn what_is_followed_is_what_is_seen() {
    for (closed, mirror) in [(true, &[Axis::Columns][..]), (false, &[])] {
        let case = Case::new(lattice(7, 24, closed), 77, 5, mirror);
        let problem = case.problem();
        let objective = case.objective(&problem, &|_, _| 0.0);
        let polish = Polish {
            objective: &objective,
            allowed: &[0, 1, 2, 3, 4],
            price: 0.0,
            sweeps: 1,
        };
        let mut state = objective.state(&case.drawn(4));
        let band = |state: &State| {
            let beads = case.groups.spread(&state.chosen);
            case.picture.with_bead_colours(&lights_of(&case, &beads))
        };
        let mut maps: Vec<DifferenceMap> = views(&DISTANCES)
            .into_iter()
            .map(|view| DifferenceMap::new(&case.picture, view))
            .collect();
        maps.iter_mut()
            .for_each(|map| map.set_band(&band(&state).planes()));
        let mut dice = Dice(8);
        let (mut said, mut came) = (0.0, 0.0);
        for _ in 0..60 {
            let group = (dice.next() * state.chosen.len() as f64) as usize;
            let colour = (dice.next() * 5.0) as usize;
            let before = polish.total(&state, &maps);
            maps.iter_mut().for_each(DifferenceMap::linearise);
            let changes: Vec<_> = objective.bead_steps(&state, group, colour).collect();
            let near = maps
                .iter()
                .map(|map| map.share * map.trial(&case.lattice, &changes));
            let far = model_of_group(&problem, &maps, group)
                .far
                .step(objective.colour_step(state.chosen[group], colour));
            let one = near.sum::<f64>() + far;
            polish.apply(&mut state, &mut maps, group, colour);
            maps.iter_mut().for_each(DifferenceMap::update);
            let after = polish.total(&state, &maps);
            said += (after - before - one).abs();
            came += (after - before).abs();
        }
        let followed: Vec<f64> = maps.iter().map(DifferenceMap::mean).collect();
        maps.iter_mut()
            .for_each(|map| map.set_band(&band(&state).planes()));
        for (followed, map) in followed.iter().zip(&maps) {
            assert!(
                (followed - map.mean()).abs() < 2e-3 * map.mean(),
                "{followed}"
            );
        }
        // Between near and far only some of the points are looked at.
        assert!(said < 0.15 * came, "{said} of {came}");
    }
}

/// A closed band has no first row: moved by two rows, picture and beads alike, it has the same
/// error.
#[test]
fn turning_a_closed_band_changes_nothing() {
    let lattice = lattice(5, 14, true);
    let case = Case::new(lattice, 3, 4, &[]);
    let turned = Mosaic {
        lattice,
        light: {
            let mut light = case.picture.light.clone();
            light.rotate_right(2 * TILES * Mosaic::across(&lattice));
            light
        },
    };
    let chosen = case.drawn(9);
    let turned_chosen: Vec<usize> = (0..lattice.len())
        .map(|bead| chosen[lattice.step(bead, -2, 0).unwrap()])
        .collect();
    let lights = |chosen: &[usize]| -> Vec<Light> {
        chosen.iter().map(|&at| case.tones[at].light).collect()
    };
    let one = measured(&case.picture, &lights(&chosen), &chosen, &DISTANCES);
    let two = measured(&turned, &lights(&turned_chosen), &turned_chosen, &DISTANCES);
    for (one, two) in one.views.iter().zip(&two.views) {
        assert!((one.mean - two.mean).abs() < 1e-9 && (one.p95 - two.p95).abs() < 1e-9);
    }
    assert_eq!((one.changes, one.stray), (two.changes, two.stray));
    let problem = case.problem();
    let light = turned.of_beads();
    let turned_problem = Problem {
        light: &light,
        ..case.problem()
    };
    let first = case.objective(&problem, &|_, _| 1.0);
    let second = Objective::new(
        &turned_problem,
        &case.tones,
        &turned,
        &views(&DISTANCES),
        &|_, _| 1.0,
        &Cancel::default(),
    );
    let (first, second) = (
        first.total(&first.state(&chosen)),
        second.total(&second.state(&turned_chosen)),
    );
    assert!(
        (first - second).abs() < 1e-7 * first.abs().max(1.0),
        "{first} {second}"
    );
}

#[test]
fn mirror_images_and_pins_hold() {
    let lattice = lattice(7, 12, true);
    let axes = [Axis::Columns, lattice.ends_axis(Mm::new(0.0))];
    let mut case = Case::new(lattice, 11, 6, &axes);
    for bead in [3, 17] {
        for &other in case.groups.beads_of(case.groups.group_of(bead)) {
            case.fixed[other as usize] = Some(5);
        }
    }
    for calm in [0.0, 0.5] {
        let goal = Goal {
            distances: DISTANCES.to_vec(),
            calm,
        };
        let refined = refine(
            &case.problem(),
            &case.tones,
            &case.picture,
            None,
            &Settings::default(),
            &goal,
        );
        let after = refined.unwrap().value.after;
        for bead in 0..lattice.len() {
            for axis in axes {
                let image = lattice.mirrored(bead, axis).unwrap();
                assert_eq!(after[bead], after[image]);
            }
        }
        assert!(after[3] == 5 && after[17] == 5);
    }
}
