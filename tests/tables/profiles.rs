//! Orientation and colour profiles of pictures made by general-purpose libraries.

use crate::common::{number, repository, table};
use std::collections::BTreeMap;
use std::sync::Arc;
use upbead::bead::Bead;
use upbead::cancel::Cancel;
use upbead::colour::Light;
use upbead::lattice::{Lattice, Rows};
use upbead::picture::{Arrangement, Crop, Decoding, Rotation, Scaling, decode, plan};
use upbead::sample::sample;

/// The light of one pixel of the upright picture: a crop of that pixel stretched over a small band.
fn light_at(file: &str, x: u32, y: u32) -> Light {
    let lattice = Lattice::new(Bead::default(), 3, Rows::open(3).unwrap()).unwrap();
    let bytes = std::fs::read(repository("tests/data/profiles").join(file)).unwrap();
    let picture = decode(Arc::new(bytes), &lattice, &Decoding::default()).unwrap();
    assert_eq!(picture.notes, [], "{file}");
    let how = Arrangement {
        scaling: Some(Scaling::Stretch),
        rotation: Rotation::Quarters(0),
        crop: Some(Crop {
            x,
            y,
            width: 1,
            height: 1,
        }),
        ..Arrangement::default()
    };
    let plan = plan(picture.upright(), picture.orientation, &lattice, &how).unwrap();
    let samples = sample(&picture, &plan, &lattice, &Cancel::default()).unwrap();
    assert!(samples.iter().all(|s| s.alpha > 1.0 - 1e-9));
    samples[0].light
}

/// EXIF 2.3 tag 0x0112 in all eight values, and ICC.1:2010 matrix, grey and table profiles against
/// LittleCMS.
#[test]
fn orientation_and_profiles_are_honoured() {
    let mut files: BTreeMap<String, f64> = BTreeMap::new();
    for row in table("profiles.csv") {
        let light = light_at(
            &row["file"],
            number(&row, "x") as u32,
            number(&row, "y") as u32,
        );
        // Table profiles: moxcms and LittleCMS round differently on the way through L*a*b* nodes
        // (0.00034 seen).
        let least = if row["file"].starts_with("table_") {
            5e-4
        } else {
            0.0
        };
        let tolerance = number(&row, "tolerance").max(least);
        for (ours, column) in [(light.red, "r"), (light.green, "g"), (light.blue, "b")] {
            let off = (ours - number(&row, column)).abs();
            assert!(off <= tolerance, "{row:?}: {column} {ours}");
            let worst = files.entry(row["file"].clone()).or_default();
            *worst = worst.max(off);
        }
    }
    assert!(files.len() >= 30, "test file is broken");
}
