//! Charts from a counted stock, whatever the picture and the bounds.

use proptest::prelude::*;
use upbead::bead::Bead;
use upbead::cancel::Cancel;
use upbead::colour::{Lab, Light, ciede2000, lab};
use upbead::lattice::{Axis, Lattice, Row, Rows};
use upbead::palette::{Bound, Bounds, Tone};
use upbead::quantize::calm;
use upbead::quantize::groups::Groups;
use upbead::quantize::measure::measure;
use upbead::quantize::refine::{self, refine};
use upbead::quantize::{Dither, Problem, Settings, quantize};
use upbead::vision::band::{DISTANCES, Mosaic};

const COLOURS: usize = 6;

fn any_light() -> impl Strategy<Value = Light> {
    (0.0..1.0, 0.0..1.0, 0.0..1.0).prop_map(|(r, g, b)| Light::new(r, g, b))
}

#[derive(Debug)]
struct Case {
    lattice: Lattice,
    light: Vec<Light>,
    tones: Vec<Tone>,
    groups: Groups,
    fixed: Vec<Option<usize>>,
}

impl Case {
    fn chosen(&self, options: &Settings) -> upbead::error::Result<Vec<usize>> {
        let wanted = Problem {
            lattice: &self.lattice,
            light: &self.light,
            fixed: &self.fixed,
            groups: &self.groups,
        };
        quantize(&wanted, &self.tones, options).map(|noted| noted.value)
    }

    fn total(&self, chosen: &[usize]) -> f64 {
        let apart = |bead: usize| ciede2000(lab(self.light[bead]), self.tones[chosen[bead]].lab);
        (0..chosen.len()).map(apart).sum()
    }
}

fn any_case() -> impl Strategy<Value = Case> {
    (prop::sample::select(vec![3u32, 5, 7]), 3..=6u32, 0..4usize)
        .prop_flat_map(|(columns, pairs, mirror)| {
            let lattice =
                Lattice::new(Bead::default(), columns, Rows::closed(2 * pairs).unwrap()).unwrap();
            let ends = Axis::Rows(Row::new(pairs));
            let both = [Axis::Columns, ends];
            let axes = [&[], &both[..1], &both[1..], &both[..]][mirror];
            let beads = lattice.len();
            (
                prop::collection::vec(any_light(), beads),
                prop::collection::vec(any_light(), COLOURS),
                prop::collection::vec(prop::bool::weighted(0.15), beads),
                Just((lattice, Groups::new(&lattice, axes, None))),
            )
        })
        .prop_map(|(light, colours, ground, (lattice, groups))| Case {
            lattice,
            light,
            tones: colours.into_iter().map(Tone::new).collect(),
            groups,
            fixed: ground
                .into_iter()
                .map(|ground| ground.then_some(0))
                .collect(),
        })
}

fn any_dither() -> impl Strategy<Value = Dither> {
    prop_oneof![
        Just(Dither::None),
        (0.0..1.0).prop_map(Dither::Diffuse),
        (0.0..1.0).prop_map(Dither::Mask)
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]


    #[test]
    fn bounds_limits_groups_and_the_ground_hold(
        case in any_case(),
        shares in prop::collection::vec(0.05..1.0f64, COLOURS),
        loose in 1.0..2.0f64,
        limit in prop::option::of(2..COLOURS),
        dither in any_dither(),
    ) {
        let beads = case.light.len() as f64;
        let sum: f64 = shares.iter().sum();
        let most: Vec<u64> = shares
            .iter()
            .enumerate()
            .map(|(at, share)| {
                (beads * loose * share / sum) as u64 + if at == 0 { beads as u64 } else { 0 }
            })
            .collect();
        let bound = |&most: &u64| Bound {
            name: "colour".to_string(),
            most: Some(most),
        };
        let options = Settings {
            limit,
            keep: vec![0],
            without: vec![],
            dither,
            bounds: Some(Bounds::new(most.iter().map(bound).collect())),
            ..Settings::default()
        };
        // The first colour has enough for all that is left, so there is always a way.
        let chosen = case.chosen(&options).unwrap();
        let mut counts = vec![0u64; COLOURS];
        for (bead, &at) in chosen.iter().enumerate() {
            counts[at] += 1;
            let group = case.groups.beads_of(case.groups.group_of(bead));
            prop_assert!(group.iter().all(|&other| chosen[other as usize] == at));
            if case.fixed[bead].is_some() {
                prop_assert_eq!(at, 0);
            }
        }
        prop_assert!(
            counts.iter().zip(&most).all(|(count, most)| count <= most),
            "{:?} {:?}",
            counts,
            most
        );
        let used = counts.iter().filter(|&&count| count > 0).count();
        prop_assert!(used <= limit.unwrap_or(COLOURS).max(1));
        if dither == Dither::None {
            // Bounds only cost, and looser bounds never cost more.
            let free = case
                .chosen(&Settings {
                    bounds: None,
                    ..options.clone()
                })
                .unwrap();
            prop_assert!(limit.is_some() || case.total(&free) <= case.total(&chosen) + 1e-3);
            let more = |&most: &u64| Bound {
                name: "colour".to_string(),
                most: Some(most + 2),
            };
            let looser = Settings {
                bounds: Some(Bounds::new(most.iter().map(more).collect())),
                ..options
            };
            let looser = case.total(&case.chosen(&looser).unwrap());
            prop_assert!(limit.is_some() || looser <= case.total(&chosen) + 1e-3);
        }
    }
}

/// A picture that is finer than the beads: each tile is its bead's light, brightened or dimmed.
fn picture(case: &Case, noise: &[f64]) -> Mosaic {
    let bare = Mosaic {
        lattice: case.lattice,
        light: vec![
            Light::new(0.0, 0.0, 0.0);
            Mosaic::across(&case.lattice) * Mosaic::along(&case.lattice)
        ],
    };
    let mut picture = bare.with_bead_colours(&case.light);
    let dim = |(at, light): (usize, &mut Light)| *light *= noise[at % noise.len()];
    picture.light.iter_mut().enumerate().for_each(dim);
    picture
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]


    #[test]
    fn refined_and_calmed_bands_keep_to_the_bounds(
        mut case in any_case(),
        noise in prop::collection::vec(0.6..1.0f64, 17),
        shares in prop::collection::vec(0.05..1.0f64, COLOURS),
        loose in 0.95..1.6f64,
        limit in prop::option::of(3..COLOURS),
        dither in any_dither(),
        searched: bool,
        calm in prop::sample::select(vec![0.0, 0.4, 1.0]),
        again: bool,
    ) {
        let picture = picture(&case, &noise);
        case.light = picture.of_beads();
        let beads = case.light.len();
        let sum: f64 = shares.iter().sum();
        let most = |share: &f64| (beads as f64 * loose * share / sum).ceil() as u64;
        let most: Vec<u64> = shares.iter().map(most).collect();
        let bound = |&most: &u64| Bound {
            name: "colour".to_string(),
            most: Some(most),
        };
        let options = Settings {
            limit,
            keep: vec![0],
            without: vec![],
            dither,
            bounds: Some(Bounds::new(most.iter().map(bound).collect())),
            ..Settings::default()
        };
        let fine = refine::Goal {
            distances: if searched {
                DISTANCES.to_vec()
            } else {
                Vec::new()
            },
            calm,
        };
        let wanted = Problem {
            lattice: &case.lattice,
            light: &case.light,
            fixed: &case.fixed,
            groups: &case.groups,
        };
        // What there was may be anything, more than there are beads for too.
        let before: Vec<usize> = (0..beads)
            .map(|bead| (noise[bead % 17] * 100.0) as usize % COLOURS)
            .collect();
        let before = again.then_some(&before[..]);
        let plain = case.chosen(&options);
        let refined = refine(&wanted, &case.tones, &picture, before, &options, &fine);
        let (Ok(plain), Ok(refined)) = (&plain, &refined) else {
            // Too few beads are too few either way.
            prop_assert_eq!(plain.is_ok(), refined.is_ok());
            return Ok(());
        };
        let after = &refined.value.after;
        let mut counts = vec![0u64; COLOURS];
        for (bead, &at) in after.iter().enumerate() {
            counts[at] += 1;
            let group = case.groups.beads_of(case.groups.group_of(bead));
            prop_assert!(group.iter().all(|&other| after[other as usize] == at));
            prop_assert!(case.fixed[group[0] as usize].is_none_or(|own| own == at));
        }
        prop_assert!(
            counts.iter().zip(&most).all(|(count, most)| count <= most),
            "{:?} {:?}",
            counts,
            most
        );
        prop_assert!(counts.iter().filter(|&&count| count > 0).count() <= limit.unwrap_or(COLOURS));
        if searched && calm == 0.0 {
            let error = |chosen: &[usize]| -> f64 {
                let lights: Vec<Light> = chosen.iter().map(|&at| case.tones[at].light).collect();
                let cancel = Cancel::default();
                let views = measure(&picture, &lights, chosen, &DISTANCES, &cancel).views;
                // In the hand and worn counts double.
                views.iter().zip([2.0, 2.0, 1.0]).map(|(apart, share)| share * apart.mean).sum()
            };
            // A dithered band may be nearer from far away: it pays for nothing that is woven.
            let nearest = Settings {
                dither: Dither::None,
                ..options.clone()
            };
            let nearest = case.chosen(&nearest).unwrap();
            prop_assert!(
                error(after) <= error(&nearest) + 1e-4,
                "{} {}",
                error(after),
                error(&nearest)
            );
        }
        if !searched && before.is_none() {
            // Calm counts in steps.
            let price = calm::PLAIN * calm::price(calm::calm_of(calm::step_of(calm)));
            let light: Vec<Lab> = wanted.light.iter().map(|&light| lab(light)).collect();
            let unlike = |one: usize, two: usize| price * calm::edge(light[one], light[two]);
            let prices = calm::Prices { unlike: &unlike, intrusion: &[], factor: 1.0 };
            let cost = |beads: &[usize]| {
                let of_group = |group: usize| beads[case.groups.beads_of(group)[0] as usize];
                let chosen: Vec<usize> = (0..case.groups.len()).map(of_group).collect();
                calm::cost(&wanted, &case.tones, &chosen, &prices)
            };
            prop_assert!(cost(after) <= cost(plain) * (1.0 + 1e-9));
        }
    }
}
