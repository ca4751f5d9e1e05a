//! Time and memory from 10 thousand to a million beads.

mod common;

use common::{closed, file, harbour, mib, peak_mib, seconds};
use upbead::chart::write::write;
use upbead::pipeline::{Options, Source, make};
use upbead::quantize::{self, Dither};
use upbead::request::Mirror;

fn main() {
    let palette = harbour();
    let bytes = file("samples/harbour-dusk.jpg");
    for (name, dither, limit) in [
        ("nearest", Dither::None, None),
        ("diffuse", Dither::Diffuse(0.5), None),
        ("mask", Dither::Mask(0.5), None),
        ("8 colours", Dither::None, Some(8)),
    ] {
        for (columns, rows) in [(100, 200), (316, 632), (1000, 2000)] {
            let options = Options {
                lattice: closed(columns, rows),
                arrangement: Default::default(),
                ground: None,
                crisp: 0.0,
                simplify: 0.0,
                flat: false,
                mirror: Mirror::None,
                choice: quantize::Settings {
                    dither,
                    limit,
                    ..Default::default()
                },
                title: None,
                design: None,
                stock: None,
                length: vec![],
            };
            let work = || {
                let source = Source::new("dusk.jpg", bytes.clone());
                write(
                    &make(source, &palette, &options)
                        .expect("a chart")
                        .value
                        .chart,
                )
            };
            let peak = peak_mib(work);
            let time = seconds(3, work);
            let beads = options.lattice.len();
            println!(
                "{name}: {beads} beads: {:.0} ms, {:.2} µs a bead, peak {}",
                time * 1e3,
                time * 1e6 / beads as f64,
                mib(peak)
            );
        }
    }
}
