//! The nearest colour is the one that brute force finds, whatever the palette and the colour.

use crate::common::repository;
use proptest::prelude::*;
use std::sync::Arc;
use upbead::bead::Bead;
use upbead::cancel::Cancel;
use upbead::colour::{Light, Srgb8, light};
use upbead::lattice::{Lattice, Rows};
use upbead::palette::{self, Nearest, Tone, by_brute_force};
use upbead::picture::{Arrangement, Decoding, decode, plan};
use upbead::sample::sample;

fn any_palette() -> impl Strategy<Value = Vec<Tone>> {
    // Half of the palettes are crowded, so that ties and near ties come up.
    let wide = prop::collection::vec(any::<[u8; 3]>(), 1..300);
    let crowded = prop::collection::vec([100..110u8, 90..100u8, 120..130u8], 1..300);
    prop_oneof![wide, crowded].prop_map(|colours| {
        colours
            .iter()
            .map(|c| Tone::new(light(Srgb8::new(c[0], c[1], c[2]))))
            .collect()
    })
}

/// Light a little beyond what sRGB can show, as wide profiles and diffusion make it.
fn any_light() -> impl Strategy<Value = Light> {
    [-0.2..1.3f64, -0.2..1.3f64, -0.2..1.3f64].prop_map(|[r, g, b]| Light::new(r, g, b))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]


    #[test]
    fn the_tree_finds_what_brute_force_finds(
        tones in any_palette(),
        wanted in prop::collection::vec(any_light(), 50),
    ) {
        let allowed: Vec<usize> = (0..tones.len())
            .filter(|at| tones.len() < 3 || at % 3 != 1)
            .collect();
        let nearest = Nearest::new(&tones, &allowed).unwrap();
        for light in wanted {
            let tone = Tone::new(light);
            prop_assert_eq!(
                Some(nearest.find(&tone)),
                by_brute_force(&tones, &allowed, tone.lab)
            );
            prop_assert_eq!(
                nearest.find_for_all(&[(tone.lab, 1.0)]),
                nearest.find(&tone)
            );
        }
    }
}

#[test]
fn ten_thousand_equal_colours_give_the_first() {
    let tones = vec![Tone::new(Light::new(0.2, 0.2, 0.2)); 10_000];
    let allowed: Vec<usize> = (0..tones.len()).collect();
    let nearest = Nearest::new(&tones, &allowed).unwrap();
    assert_eq!(nearest.find(&Tone::new(Light::new(0.3, 0.1, 0.2))), 0);
}

/// Every bead of every picture that the tests and samples hold, in each shipped palette.
#[test]
fn every_bead_of_every_picture_gets_the_colour_that_brute_force_finds() {
    let lattice = Lattice::new(Bead::default(), 21, Rows::closed(80).unwrap()).unwrap();
    let mut beads = 0;
    for folder in ["samples", "tests/data/pictures"] {
        let mut paths: Vec<_> = std::fs::read_dir(repository(folder))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| {
                path.extension()
                    .is_some_and(|end| end == "png" || end == "jpg" || end == "svg")
            })
            .collect();
        paths.sort();
        assert!(paths.len() >= 5, "{folder} has lost its pictures");
        for path in paths {
            let picture = decode(
                Arc::new(std::fs::read(&path).unwrap()),
                &lattice,
                &Decoding::default(),
            )
            .unwrap();
            let plan = plan(
                picture.upright(),
                picture.orientation,
                &lattice,
                &Arrangement::default(),
            )
            .unwrap();
            let wanted: Vec<Tone> = sample(&picture, &plan, &lattice, &Cancel::default())
                .unwrap()
                .iter()
                .map(|sample| Tone::new(sample.light))
                .collect();
            for palette in ["tin", "shelf", "harbour"] {
                let palette =
                    palette::read::open(&repository(&format!("palettes/{palette}.csv"))).unwrap();
                let tones = palette.tones();
                let allowed: Vec<usize> = (0..tones.len()).collect();
                let nearest = Nearest::new(&tones, &allowed).unwrap();
                for tone in &wanted {
                    assert_eq!(
                        Some(nearest.find(tone)),
                        by_brute_force(&tones, &allowed, tone.lab),
                        "{}",
                        path.display()
                    );
                    beads += 1;
                }
            }
        }
    }
    assert!(beads > 30_000);
}
