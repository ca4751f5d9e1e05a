//! Mean light of beads against an independent integration of real pictures.

use crate::common::{number, repository, table};
use std::collections::BTreeMap;
use std::sync::Arc;
use upbead::bead::Bead;
use upbead::cancel::Cancel;
use upbead::lattice::{Column, Lattice, Row, Rows};
use upbead::picture::{Arrangement, Decoding, Rotation, Scaling, decode, plan};
use upbead::sample::{Sample, sample};

fn samples(row: &BTreeMap<String, String>) -> (Lattice, Vec<Sample>) {
    let rows: u32 = row["rows"].parse().unwrap();
    let rows = match row["closed"].as_str() {
        "1" => Rows::closed(rows).unwrap(),
        _ => Rows::open(rows).unwrap(),
    };
    let lattice = Lattice::new(Bead::default(), row["columns"].parse().unwrap(), rows).unwrap();
    let bytes = std::fs::read(repository("tests/data/pictures").join(&row["picture"])).unwrap();
    let picture = decode(Arc::new(bytes), &lattice, &Decoding::default()).unwrap();
    let how = Arrangement {
        scaling: Some(match row["fit"].as_str() {
            "cover" => Scaling::Cover,
            _ => Scaling::Stretch,
        }),
        rotation: Rotation::Quarters(row["turn"].parse::<u32>().unwrap() / 90),
        ..Arrangement::default()
    };
    let plan = plan(picture.upright(), picture.orientation, &lattice, &how).unwrap();
    (
        lattice,
        sample(&picture, &plan, &lattice, &Cancel::default()).unwrap(),
    )
}

/// Exact overlaps of pixels and beads in rational numbers (numpy); the table's own tolerance is
/// 1e-6 but for JPEG.
#[test]
fn beads_hold_the_exact_mean_of_linear_light() {
    let mut cases: BTreeMap<String, (Lattice, Vec<Sample>)> = BTreeMap::new();
    let rows = table("sampling.csv");
    assert!(rows.len() > 200, "test file is broken");
    for row in rows {
        let key = ["picture", "columns", "rows", "closed", "fit", "turn"].map(|k| row[k].as_str());
        let (lattice, samples) = cases.entry(key.join(" ")).or_insert_with(|| samples(&row));
        let place = |name: &str| row[name].parse::<u32>().unwrap();
        let index = lattice
            .index(Row::new(place("row")), Column::new(place("column")))
            .expect("test file is broken");
        let Sample { light, alpha } = samples[index];
        for (ours, column) in [
            (light.red, "r"),
            (light.green, "g"),
            (light.blue, "b"),
            (alpha, "a"),
        ] {
            let off = (ours - number(&row, column)).abs();
            assert!(off <= number(&row, "tolerance"), "{row:?}: {column} {ours}");
        }
    }
    assert!(cases.len() >= 10, "test file is broken");
}
