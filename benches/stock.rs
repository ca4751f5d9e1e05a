//! Charts from a counted stock: time against the nearest colours alone, and how far groups of
//! several sizes stay from the proven bound.

mod common;

use common::{PICTURES, closed, harbour, light_of, seconds};
use upbead::lattice::{Axis, Lattice};
use upbead::palette::{Bound, Bounds, Tone};
use upbead::quantize::groups::Groups;
use upbead::quantize::{Problem, Settings, quantize};
use upbead::warning::Warning;

/// Every colour has its even share of the beads and a tenth more: whatever the picture wants much
/// of runs out.
fn even_shares(lattice: &Lattice, colours: usize) -> Bounds {
    let share = (lattice.len() * 11).div_ceil(colours * 10).max(4) as u64;
    let bound = |at: usize| Bound {
        name: format!("colour {at}"),
        most: Some(share),
    };
    Bounds::new((0..colours).map(bound).collect())
}

struct Band<'a> {
    lattice: Lattice,
    light: Vec<upbead::colour::Light>,
    tones: &'a [Tone],
}

impl Band<'_> {
    fn tell(&self, name: &str, mirror: &[Axis], limit: Option<usize>) {
        let groups = Groups::new(&self.lattice, mirror, None);
        let settled = vec![None; self.lattice.len()];
        let wanted = Problem {
            lattice: &self.lattice,
            light: &self.light,
            fixed: &settled,
            groups: &groups,
        };
        let free = Settings {
            limit,
            ..Settings::default()
        };
        // Under a limit the few have to hold all.
        let bounds = even_shares(&self.lattice, limit.unwrap_or(self.tones.len()));
        let bound = bounds.all().iter().cycle().take(self.tones.len());
        let stocked = Settings {
            bounds: Some(Bounds::new(bound.cloned().collect())),
            ..free.clone()
        };
        let runs = if self.lattice.len() > 10_000 { 1 } else { 5 };
        let plain = seconds(runs, || quantize(&wanted, self.tones, &free));
        let time = seconds(runs, || quantize(&wanted, self.tones, &stocked));
        let notes = match quantize(&wanted, self.tones, &stocked) {
            Ok(chosen) => chosen.warnings,
            Err(error) => return println!("{name}: {error}"),
        };
        let moved = notes.iter().find_map(|note| match note {
            Warning::FromStock { beads, .. } => Some(*beads),
            _ => None,
        });
        let gap = notes.iter().find_map(|note| match note {
            Warning::StockGap { gap } => {
                Some(gap.map_or("pooled".to_string(), |gap| format!("{gap:.5}")))
            }
            _ => None,
        });
        println!(
            "{name}: {:.0} ms, {:.1} times the nearest alone; {} of {} beads moved; gap {}",
            time * 1e3,
            time / plain,
            moved.unwrap_or(0),
            self.lattice.len(),
            gap.unwrap_or("0, proven".to_string())
        );
    }
}

fn main() {
    let all = harbour().tones();
    for (columns, rows) in [(9, 74), (21, 140), (81, 240), (201, 1000)] {
        let lattice = closed(columns, rows);
        // A hundred thousand beads of one picture say enough.
        let pictures = if lattice.len() > 20_000 {
            1
        } else {
            PICTURES.len()
        };
        for picture in &PICTURES[..pictures] {
            let light = light_of(picture, &lattice);
            for colours in [12, 48, 240] {
                let band = Band {
                    lattice,
                    light: light.clone(),
                    tones: &all[..colours],
                };
                let name = format!("{columns} x {rows}, {picture}, {colours} colours");
                band.tell(&name, &[], None);
                if lattice.len() > 20_000 {
                    continue;
                }
                band.tell(&format!("{name}, mirrored"), &[Axis::Columns], None);
                if colours > 8 {
                    band.tell(&format!("{name}, at most 8"), &[], Some(8));
                }
            }
        }
    }
}
