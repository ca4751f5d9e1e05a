//! Matching an 81 x 240 band to 240 colours on one thread, against judging every colour by the full
//! formula.

mod common;

use common::{PICTURES, closed, harbour, light_of, paired};
use upbead::palette::{Nearest, Tone, by_brute_force};

fn main() {
    let tones = harbour().tones();
    let allowed: Vec<usize> = (0..tones.len()).collect();
    let nearest = Nearest::new(&tones, &allowed).expect("a palette");
    let lattice = closed(81, 240);
    for name in PICTURES {
        let wanted: Vec<Tone> = light_of(name, &lattice)
            .into_iter()
            .map(Tone::new)
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
            "{name}: {} beads, 240 colours: brute force {:.1} ms, nearest {:.2} ms, {ratio:.1} \
             times as fast, all alike",
            wanted.len(),
            slow * 1e3,
            fast * 1e3
        );
    }
}
