//! Symmetry, bead for bead.

use super::{Chart, bench, charted};
use crate::common::repository;

/// Asserts that left and right are alike.
#[track_caller]
fn mirrored_across(read: &Chart) {
    for row in &read.rows {
        let back: Vec<&String> = row.iter().rev().collect();
        assert_eq!(row.iter().collect::<Vec<_>>(), back);
    }
}

/// Asserts that both ends of a ring are alike: row `r` and row `N - r`.
#[track_caller]
fn mirrored_along(read: &Chart) {
    let differs = differing_about(read, read.rows.len() / 2);
    assert!(differs.is_empty(), "rows {differs:?}");
}

/// The rows of a ring that differ from their mirror images about row `axis`.
fn differing_about(read: &Chart, axis: usize) -> Vec<usize> {
    let count = read.rows.len();
    let image = |row: usize| (2 * axis + count - row - 1) % count;
    (1..=count)
        .filter(|&row| read.rows[row - 1] != read.rows[image(row)])
        .collect()
}

const WAYS: [&[&str]; 4] = [
    &[],
    &["--colours", "5"],
    &["--dither", "diffuse"],
    &["--dither", "mask", "--strength", "1"],
];

#[test]
fn mirrored_columns_are_alike_bead_for_bead() {
    let bench = bench(&["tin.csv", "harbour-dusk.jpg"]);
    for way in WAYS {
        for columns in ["9", "7", "5"] {
            let how = [
                &["--rows", "74", "--columns", columns, "--rotate", "0"],
                way,
            ]
            .concat();
            let plain = charted(&bench, "harbour-dusk.jpg", &how);
            let read = charted(
                &bench,
                "harbour-dusk.jpg",
                &[&how[..], &["--mirror", "columns"]].concat(),
            );
            mirrored_across(&read);
            assert_ne!(read.rows, plain.rows);
            assert!(
                plain.rows.iter().any(|row| row.iter().ne(row.iter().rev())),
                "the picture is symmetric itself"
            );
        }
    }
}

/// The centre column is its own mirror image: without dithering nothing else has a say in it.
#[test]
fn the_centre_column_of_an_odd_band_stays_its_own() {
    let bench = bench(&["tin.csv", "harbour-dusk.jpg"]);
    for (columns, centre) in [("9", 5), ("7", 4), ("11", 6)] {
        let how = ["--rows", "74", "--columns", columns, "--rotate", "0"];
        let plain = charted(&bench, "harbour-dusk.jpg", &how);
        let read = charted(
            &bench,
            "harbour-dusk.jpg",
            &[&how[..], &["--mirror", "columns"]].concat(),
        );
        for row in 1..=74 {
            assert_eq!(read.at(row, centre), plain.at(row, centre), "row {row}");
        }
    }
}

#[test]
fn mirrored_rows_are_alike_bead_for_bead() {
    let bench = bench(&["tin.csv", "harbour-dusk.jpg"]);
    for way in WAYS {
        for columns in ["9", "8"] {
            let how = [
                "--rows",
                "74",
                "--columns",
                columns,
                "--rotate",
                "0",
                "--mirror",
                "rows",
            ];
            let read = charted(&bench, "harbour-dusk.jpg", &[&how[..], way].concat());
            mirrored_along(&read);
            assert!(read.rows.iter().any(|row| row.iter().ne(row.iter().rev())));
        }
    }
    let how = [
        "--rows", "31", "--open", "--mirror", "rows", "--rotate", "0",
    ];
    let strip = charted(&bench, "harbour-dusk.jpg", &how);
    assert!(strip.rows.iter().eq(strip.rows.iter().rev()));
}

#[test]
fn both_mirrors_hold_at_once() {
    let bench = bench(&["tin.csv", "harbour-dusk.jpg"]);
    for way in WAYS {
        let how = ["--rows", "74", "--mirror", "both", "--rotate", "0"];
        let read = charted(&bench, "harbour-dusk.jpg", &[&how[..], way].concat());
        mirrored_across(&read);
        mirrored_along(&read);
        assert_eq!(read.option("mirror"), Some("both"));
    }
}

/// A wheel with an odd count of beads in its hub needs a row with a bead in the centre column.
#[test]
fn both_ends_of_a_ring_are_mirrored_about_the_middle_of_the_motif() {
    let bench = bench(&["tin.csv"]);
    let wheel = repository("tests/data/artwork/wheel.png");
    bench.put("wheel.png", std::fs::read(wheel).unwrap());
    let options = ["--place", "motif", "--mirror", "both"];
    let made = |more: &[&str]| {
        let read = charted(&bench, "wheel.png", &[&options[..], more].concat());
        mirrored_across(&read);
        read
    };
    for (rows, position, axis) in [
        ("72", "0.9,0,0", 36),
        ("72", "0.9,0,-0.8", 35),
        ("72", "0.9,0,-0.4", 36),
        ("72", "0.9,0,0.8", 37),
        ("72", "0.9,0,8", 46),
        ("74", "0.9,0,-0.8", 36),
    ] {
        let read = made(&["--rows", rows, "--position", position]);
        let differs = differing_about(&read, axis);
        assert!(differs.is_empty(), "{rows} {position}: rows {differs:?}");
        assert!(!differing_about(&read, axis + 1).is_empty());
    }
    let strip = made(&["--rows", "73", "--open", "--position", "0.9,0,-0.8"]);
    assert!(strip.rows.iter().eq(strip.rows.iter().rev()));
}

/// The hub lies on a row with a bead in the centre column, whichever row is in the middle.
#[test]
fn the_best_position_of_a_motif_chooses_the_row_of_its_middle() {
    let bench = bench(&["tin.csv"]);
    let wheel = repository("tests/data/artwork/wheel.png");
    bench.put("wheel.png", std::fs::read(wheel).unwrap());
    for (rows, axis) in [("72", 35), ("74", 37)] {
        let call = format!("chart wheel.png --palette tin.csv --rows {rows} -o band.json --force");
        bench.line(&call).ok();
        let read = Chart::read(&bench, "band.json");
        assert_eq!(read.option("mirror"), Some("both"));
        mirrored_across(&read);
        let differs = differing_about(&read, axis);
        assert!(differs.is_empty(), "{rows}: rows {differs:?}");
    }
}
