//! Matching an 81 x 240 band to 240 colours on one thread, against judging every colour by the full formula.

mod common;

use common::{closed, file, harbour, paired};
use std::sync::Arc;
use upbead::drawer::{Nearest, Tone, by_brute_force};
use upbead::picture::{Arrangement, decode, plan};
use upbead::sample::sample;

fn main() {
    let tones = harbour().tones();
    let allowed: Vec<usize> = (0..tones.len()).collect();
    let nearest = Nearest::new(&tones, &allowed).expect("a palette");
    let lattice = closed(81, 240);
    for name in [
        "samples/harbour-dusk.jpg",
        "tests/data/pictures/coffee.jpg",
        "tests/data/pictures/astronaut.png",
    ] {
        let picture = decode(Arc::new(file(name)), &lattice).expect("a picture");
        let plan = plan(
            picture.upright(),
            picture.orientation,
            &lattice,
            &Arrangement::default(),
        )
        .expect("a plan");
        let wanted: Vec<Tone> = sample(&picture, &plan, &lattice)
            .expect("samples")
            .into_iter()
            .map(|sample| Tone::new(sample.light))
            .collect();
        let quick = || {
            wanted
                .iter()
                .map(|tone| nearest.find(tone))
                .collect::<Vec<_>>()
        };
        let plain = || -> Vec<usize> {
            wanted
                .iter()
                .map(|tone| by_brute_force(&tones, &allowed, tone.lab).expect("a colour"))
                .collect()
        };
        assert_eq!(quick(), plain());
        let (slow, fast, ratio) = paired(7, plain, quick);
        println!(
            "{name}: {} beads, 240 colours: brute force {:.1} ms, nearest {:.2} ms, {ratio:.1} times as fast, all alike",
            wanted.len(),
            slow * 1e3,
            fast * 1e3
        );
    }
}
