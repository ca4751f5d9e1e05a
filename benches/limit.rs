//! The best 8 colours of 240 for an 81 x 240 band: time, and what the search gains over greedy
//! choice alone.

mod common;

use common::{PICTURES, closed, harbour, light_of, seconds};
use upbead::cancel::Cancel;
use upbead::quantize::groups::Groups;
use upbead::quantize::limit::{Costs, best_set, greedy_set, items};
use upbead::quantize::{Problem, Settings, quantize};

fn main() {
    let tones = harbour().tones();
    let free: Vec<usize> = (0..tones.len()).collect();
    for (columns, rows) in [(9, 74), (81, 240)] {
        let lattice = closed(columns, rows);
        for name in PICTURES {
            let light = light_of(name, &lattice);
            let groups = Groups::alone(lattice.len());
            let settled = vec![None; lattice.len()];
            let wanted = Problem {
                lattice: &lattice,
                light: &light,
                fixed: &settled,
                groups: &groups,
            };
            for count in [4, 8, 16] {
                let options = Settings {
                    limit: Some(count),
                    ..Settings::default()
                };
                let time = seconds(5, || quantize(&wanted, &tones, &options).expect("colours"));
                let costs = Costs::new(
                    &items(&wanted, free.len()),
                    &tones,
                    &free,
                    &Cancel::default(),
                );
                let greedy = costs.total(&greedy_set(&costs, &[], count));
                let best = costs.total(&best_set(&costs, &[], count, &Cancel::default()));
                println!(
                    "{columns} x {rows}, {name}, {count} colours: {:.0} ms; greedy alone costs \
                     {:.2}% more",
                    time * 1e3,
                    (greedy / best - 1.0) * 100.0
                );
            }
        }
    }
}
