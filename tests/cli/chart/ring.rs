//! The band's shape and the ring that it makes.

use super::{Chart, bench, chart, charted};
use crate::common::Bench;

fn halves() -> Bench {
    let bench = bench(&["tin.csv"]);
    let half = |x| if x < 18 { super::WHITE } else { super::BLACK };
    bench.put("halves.png", super::painted(36, 240, |x, _| half(x)));
    bench
}

#[test]
fn a_size_and_the_rows_that_close_round_it_give_the_same_chart() {
    let bench = halves();
    let by_size = charted(&bench, "halves.png", &["--size", "us7"]);
    let by_rows = charted(&bench, "halves.png", &["--rows", "72"]);
    assert_eq!(by_size.rows, by_rows.rows);
    let options = &by_size.value["made"]["options"];
    assert_eq!(
        (&options["size"], &options["pitch_mm"]),
        (&"us7".into(), &"1.65".into())
    );
    let larger = charted(&bench, "halves.png", &["--size", "US 9"]);
    assert!(larger.rows.len() > by_size.rows.len());
    assert_eq!(by_size.value["closed"], true);
}

#[test]
fn columns_are_as_many_as_asked() {
    let bench = halves();
    for (columns, beads) in [
        ("3", [2, 1]),
        ("8", [4, 4]),
        ("11", [6, 5]),
        ("1000", [500, 500]),
    ] {
        let read = charted(&bench, "halves.png", &["--rows", "6", "--columns", columns]);
        assert_eq!(read.columns.to_string(), columns);
        assert_eq!([read.rows[0].len(), read.rows[1].len()], beads);
    }
    assert_eq!(charted(&bench, "halves.png", &["--rows", "6"]).columns, 9);
}

#[test]
fn rows_and_columns_lie_where_the_picture_has_them() {
    let bench = halves();
    let read = charted(
        &bench,
        "halves.png",
        &["--rows", "74", "--scaling", "stretch", "--rotate", "0"],
    );
    assert_eq!(read.of_columns(1..=4), ["quay-01"].into());
    assert_eq!(read.of_columns(6..=9), ["quay-09"].into());
}

#[test]
fn a_bead_has_its_measures_and_small_beads_need_more_rows() {
    let bench = halves();
    let eleven = charted(&bench, "halves.png", &["--size", "us7"]);
    let bead = |read: &Chart| {
        let bead = &read.value["bead"];
        ["length_mm", "diameter_mm", "hole_mm"].map(|name| bead[name].as_f64().unwrap())
    };
    assert_eq!(bead(&eleven), [1.3, 1.6, 0.8]);
    let own = charted(
        &bench,
        "halves.png",
        &["--size", "us7", "--bead", "1.4x1.2x0.7"],
    );
    assert_eq!(bead(&own), [1.4, 1.2, 0.7]);
    assert!(own.rows.len() > eleven.rows.len());
    let fifteen = charted(&bench, "halves.png", &["--size", "us7", "--bead", "15"]);
    let eight = charted(&bench, "halves.png", &["--size", "us7", "--bead", "8"]);
    assert!(fifteen.rows.len() > eleven.rows.len() && eleven.rows.len() > eight.rows.len());
}

/// `upbead fit` is held to tables of its own; here it only has to give the same count.
#[test]
fn every_way_to_give_a_gauge_decides_the_rows_as_fit_says() {
    let bench = halves();
    bench
        .run(&[
            "fit",
            "--swatch",
            "41=33.6",
            "--remember",
            "--gauge",
            "class.json",
        ])
        .ok();
    let mut counts = std::collections::BTreeSet::new();
    for gauge in [
        &[][..],
        &["--prefer", "nearest"],
        &["--prefer", "larger"],
        &["--swatch", "41=33.6"],
        &["--fits", "70=us7"],
        &["--gauge", "class.json"],
    ] {
        let size = [&["--size", "us8"], gauge].concat();
        let fit = bench
            .run(&[&["fit", "--json"], &size[..]].concat())
            .ok()
            .json();
        let read = charted(&bench, "halves.png", &size);
        assert_eq!(fit["rows"], read.rows.len(), "{gauge:?}");
        counts.insert((gauge.first().copied(), read.rows.len()));
    }
    let count = |way| counts.iter().find(|(own, _)| *own == Some(way)).unwrap().1;
    assert_eq!(count("--fits"), 72);
    assert_eq!((count("--swatch"), count("--gauge")), (76, 76));
    assert!(counts.contains(&(None, 74)));
    assert!(counts.contains(&(Some("--prefer"), 76)));
}

#[test]
fn your_own_gauge_is_used_without_being_named() {
    let bench = halves();
    bench.run(&["fit", "--fits", "70=us7", "--remember"]).ok();
    let run = chart(&bench, "halves.png", &["--size", "us7"]).ok();
    assert_eq!(Chart::read(&bench, "band.json").rows.len(), 70);
    assert!(!run.out.contains("no gauge set"), "{}", run.told());
}

#[test]
fn an_open_strip_may_have_an_odd_count_and_does_not_close() {
    let bench = halves();
    let run = chart(&bench, "halves.png", &["--open", "--rows", "31"]).ok();
    let read = Chart::read(&bench, "band.json");
    assert_eq!(
        (read.rows.len(), &read.value["closed"]),
        (31, &false.into())
    );
    assert!(!run.out.contains("ring:"), "{}", run.told());
    let even = charted(
        &bench,
        "halves.png",
        &["--open", "--rows", "2", "--columns", "4"],
    );
    assert_eq!(even.rows.len(), 2);
}

/// Black along the lower edge only. Row 74 covers half rows 73 and 0 of a ring, so it takes half of
/// its light from there.
#[test]
fn a_ring_wraps_and_a_strip_does_not() {
    let bench = bench(&["tin.csv"]);
    bench.put(
        "foot.png",
        super::painted(
            9,
            74,
            |_, y| if y == 73 { super::BLACK } else { super::WHITE },
        ),
    );
    let how = ["--rows", "74", "--scaling", "stretch", "--rotate", "0"];
    let ring = charted(&bench, "foot.png", &how);
    assert!(
        ring.rows[73].iter().all(|code| code != "quay-01"),
        "{:?}",
        ring.rows[73]
    );
    let strip = charted(&bench, "foot.png", &[&how[..], &["--open"]].concat());
    assert!(strip.rows[73].iter().all(|code| code == "quay-01"));
    assert!(strip.rows[0].iter().all(|code| code != "quay-01"));
}
