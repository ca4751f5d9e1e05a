//! Symmetry, bead for bead.

use super::{Chart, bench, charted};

/// Asserts that left and right are alike.
#[track_caller]
fn mirrored_across(read: &Chart) {
    for row in &read.rows {
        let back: Vec<&String> = row.iter().rev().collect();
        assert_eq!(row.iter().collect::<Vec<_>>(), back);
    }
}

/// Asserts that both ends are alike: row `r` and row `N - r` of a ring, whose axis runs through row
/// `N`.
#[track_caller]
fn mirrored_along(read: &Chart) {
    let rows = read.rows.len();
    for row in 1..rows {
        assert_eq!(read.rows[row - 1], read.rows[rows - row - 1], "row {row}");
    }
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
