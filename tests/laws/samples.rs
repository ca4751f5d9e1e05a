//! Every sample becomes a chart with every mirror, place and a few limits: small bands, no panic.

use crate::common::repository;
use rayon::prelude::*;
use std::sync::Arc;
use upbead::bead::Bead;
use upbead::chart::Chart;
use upbead::lattice::{Lattice, Rows};
use upbead::palette::Palette;
use upbead::palette::read::read;
use upbead::picture::{Arrangement, Decoding, Place, Position};
use upbead::pipeline::{Cache, Decoded, Options, decoded, make_decoded};
use upbead::quantize;
use upbead::request::Mirror;
use upbead::units::Mm;

const MIRRORS: [Mirror; 4] = [Mirror::None, Mirror::Columns, Mirror::Rows, Mirror::Both];
const LIMITS: [usize; 2] = [1, 3];
const PLACES: [Place; 3] = [Place::Round, Place::Motif, Place::Repeat(2)];

fn tin() -> Palette {
    let text = std::fs::read_to_string(repository("palettes/tin.csv")).unwrap();
    read(&text, "tin").unwrap()
}

/// The samples that are read from pixels; the drawings beside them are the same artwork.
fn samples(lattice: &Lattice) -> Vec<Arc<Decoded>> {
    let mut files: Vec<_> = std::fs::read_dir(repository("samples"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| {
            path.extension()
                .is_some_and(|ending| ending == "png" || ending == "jpg")
        })
        .collect();
    files.sort();
    assert!(files.len() >= 9, "the samples are gone");
    files
        .par_iter()
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            let bytes = Arc::new(std::fs::read(path).unwrap());
            Arc::new(decoded(name, bytes, lattice, &Decoding::default()).unwrap())
        })
        .collect()
}

fn options(lattice: Lattice, place: Place, mirror: Mirror, limit: usize) -> Options {
    Options {
        lattice,
        arrangement: Arrangement {
            place,
            position: Position::Middle,
            ..Arrangement::default()
        },
        ground: (place == Place::Motif).then_some(0),
        crisp: 0.0,
        simplify: 0.0,
        flat: false,
        mirror,
        choice: quantize::Settings {
            limit: Some(limit),
            ..quantize::Settings::default()
        },
        title: None,
        design: None,
        stock: None,
        length: Vec::new(),
    }
}

/// With both mirrors a slanting motif may be covered by its own ground: then no bead is left to
/// choose a colour for, which a search for colours must bear.
#[test]
fn every_sample_has_a_chart_with_every_mirror_place_and_limit() {
    let lattice = Lattice::new(Bead::default(), 7, Rows::closed(30).unwrap()).unwrap();
    let palette = tin();
    for sample in samples(&lattice) {
        // The picture is sampled once for all limits.
        let memory = Cache::default();
        for place in PLACES {
            for mirror in MIRRORS {
                for limit in LIMITS {
                    let options = options(lattice, place, mirror, limit);
                    let case = format!("{} {place:?} {mirror:?} {limit}", sample.name);
                    let made = make_decoded(Arc::clone(&sample), &palette, &options, &memory)
                        .unwrap_or_else(|error| panic!("{case}: {error}"));
                    check(&made.value.chart, mirror, limit, &case);
                }
            }
        }
    }
}

fn check(chart: &Chart, mirror: Mirror, limit: usize, case: &str) {
    let used = chart.colours.len();
    assert!(used <= limit, "{case}: {used} colours");
    for axis in mirror.axes(&chart.lattice, Mm::new(0.0)) {
        for bead in 0..chart.lattice.len() {
            let image = chart.lattice.mirrored(bead, axis).unwrap();
            assert_eq!(chart.beads[bead], chart.beads[image], "{case}");
        }
    }
}
