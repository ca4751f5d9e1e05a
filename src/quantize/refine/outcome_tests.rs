//! What a search promises of its result: calm in steps, flat artwork, grey pictures.

use super::tests::{Case, Dice, lattice};
use super::{Goal, refine};
use crate::colour::Light;
use crate::palette::Tone;
use crate::quantize::measure::{changes, stray};
use crate::quantize::{Settings, quantize};
use crate::units::Mm;
use crate::vision::band::{DISTANCES, Mosaic};
use proptest::prelude::*;

/// What `refine` makes of a case.
fn refined(case: &Case, distances: &[Mm], calm: f64) -> Vec<usize> {
    let goal = Goal {
        distances: distances.to_vec(),
        calm,
    };
    let settings = Settings::default();
    let found = refine(
        &case.problem(),
        &case.tones,
        &case.picture,
        None,
        &settings,
        &goal,
    );
    found.unwrap().value.after
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6))]

    #[test]
    fn more_calm_never_gives_more_colour_changes_or_stray_beads(
        seed in 0u64..1_000_000, colours in 3usize..14, closed: bool, searched: bool,
    ) {
        let case = Case::new(lattice(7, 20, closed), seed, colours, &[]);
        let distances = if searched { &DISTANCES[..] } else { &[] };
        let mut before: Option<(usize, usize)> = None;
        for step in 0..=10 {
            let calm = f64::from(step) / 10.0;
            let band = refined(&case, distances, calm);
            let now = (changes(&case.lattice, &band), stray(&case.lattice, &band));
            if let Some(before) = before {
                prop_assert!(now.0 <= before.0 && now.1 <= before.1, "{calm}: {before:?} {now:?}");
            }
            before = Some(now);
        }
    }

    /// Stripes of four colours across the band, in a palette of colours near to each and between
    /// them.
    #[test]
    fn flat_artwork_gets_no_colour_that_the_nearest_colours_lack(
        seed in 0u64..1_000_000, stripe in 5usize..30,
    ) {
        let mut case = Case::new(lattice(9, 40, true), seed, 30, &[]);
        let mut dice = Dice(seed + 1);
        let four: Vec<Light> = (0..4).map(|_| dice.light()).collect();
        let across = Mosaic::across(&case.lattice);
        for (at, light) in case.picture.light.iter_mut().enumerate() {
            *light = four[at / across / stripe % 4];
        }
        case.light = case.picture.of_beads();
        let nearest = quantize(&case.problem(), &case.tones, &Settings::default());
        let nearest = nearest.unwrap().value;
        for colour in refined(&case, &DISTANCES, 0.0) {
            prop_assert!(nearest.contains(&colour));
        }
    }

    /// Between two greys a mean of red and teal would come nearer from far away.
    #[test]
    fn a_grey_picture_stays_grey(seed in 0u64..1_000_000) {
        let mut case = Case::new(lattice(9, 30, true), seed, 1, &[]);
        for light in &mut case.picture.light {
            *light = Light::new(light.green, light.green, light.green);
        }
        case.light = case.picture.of_beads();
        let greys = [0.02, 0.2, 0.8].map(|grey| Light::new(grey, grey, grey));
        let hues = [Light::new(0.5, 0.3, 0.3), Light::new(0.3, 0.5, 0.5)];
        case.tones = greys.iter().chain(&hues).map(|&light| Tone::new(light)).collect();
        let band = refined(&case, &DISTANCES, 0.4);
        prop_assert!(band.iter().all(|&colour| colour < 3), "{band:?}");
    }
}
