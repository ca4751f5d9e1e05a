//! The best 8 colours of 240 for an 81 x 240 band: time, and what the search gains over greedy choice alone.

mod common;

use common::{closed, file, harbour, seconds};
use std::sync::Arc;
use upbead::choose::limit::{Costs, best_set, greedy_set, items};
use upbead::choose::together::Together;
use upbead::choose::{Options, Wanted, choose};
use upbead::picture::{Arrangement, decode, plan};
use upbead::sample::sample;

fn main() {
    let tones = harbour().tones();
    let free: Vec<usize> = (0..tones.len()).collect();
    for (columns, rows) in [(9, 74), (81, 240)] {
        let lattice = closed(columns, rows);
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
            let light: Vec<_> = sample(&picture, &plan, &lattice)
                .expect("samples")
                .into_iter()
                .map(|s| s.light)
                .collect();
            let together = Together::alone(lattice.len());
            let settled = vec![None; lattice.len()];
            let wanted = Wanted {
                lattice: &lattice,
                light: &light,
                settled: &settled,
                together: &together,
            };
            for count in [4, 8, 16] {
                let options = Options {
                    limit: Some(count),
                    ..Options::default()
                };
                let time = seconds(5, || choose(&wanted, &tones, &options).expect("colours"));
                let costs = Costs::new(&items(&wanted, free.len()), &tones, &free);
                let greedy = costs.total(&greedy_set(&costs, &[], count));
                let best = costs.total(&best_set(&costs, &[], count));
                println!(
                    "{columns} x {rows}, {name}, {count} colours: {:.0} ms; greedy alone costs {:.2}% more",
                    time * 1e3,
                    (greedy / best - 1.0) * 100.0
                );
            }
        }
    }
}
