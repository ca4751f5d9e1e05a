//! Which colours are used: the limit, what is kept in or left out, dithering.

use super::{Chart, bench, chart, charted, painted};
use crate::common::Bench;
use std::fmt::Write;

const DUSK: &str = "harbour-dusk.jpg";

fn dusk() -> Bench {
    bench(&["tin.csv", DUSK])
}

#[test]
fn a_limit_is_kept_and_more_colours_never_do_worse() {
    let bench = dusk();
    let mut before = f64::INFINITY;
    for limit in 1..=12 {
        let text = limit.to_string();
        let json = chart(
            &bench,
            DUSK,
            &["--rows", "74", "--colours", &text, "--json"],
        )
        .ok()
        .json();
        let read = Chart::read(&bench, "band.json");
        assert!(read.codes().len() <= limit, "{limit}");
        let difference = json["difference"].as_f64().unwrap();
        assert!(
            difference <= before + 1e-9,
            "{limit}: {difference} after {before}"
        );
        before = difference;
    }
    let free = charted(&bench, DUSK, &["--rows", "74"]);
    assert_eq!(
        free.rows,
        charted(&bench, DUSK, &["--rows", "74", "--colours", "12"]).rows
    );
}

#[test]
fn a_ground_that_shows_counts_as_one_colour() {
    let bench = bench(&["tin.csv", "kittiwake.png"]);
    let how = [
        "--rows",
        "74",
        "--place",
        "motif",
        "--ground",
        "quay-11",
        "--colours",
        "2",
    ];
    let read = charted(&bench, "kittiwake.png", &how);
    assert_eq!(read.codes().len(), 2);
    assert!(read.codes().contains("quay-11"));
}

#[test]
fn a_limit_beyond_the_palette_gives_a_warning() {
    let bench = dusk();
    let run = chart(
        &bench,
        DUSK,
        &["--rows", "74", "--colours", "99", "--without", "quay-11"],
    )
    .ok();
    assert!(
        run.out
            .contains("note: up to 99 colours allowed, but only 11 to choose from\n"),
        "{}",
        run.told()
    );
    let all = chart(&bench, DUSK, &["--rows", "74", "--colours", "12"]).ok();
    assert!(!all.out.contains("were allowed"), "{}", all.told());
}

#[test]
fn colours_are_kept_in_or_left_out() {
    let bench = dusk();
    let limited = ["--rows", "74", "--colours", "3"];
    let plain = charted(&bench, DUSK, &limited);
    let left_out: Vec<String> = plain.codes().into_iter().map(String::from).collect();
    let without = charted(
        &bench,
        DUSK,
        &[&limited[..], &["--without", &left_out.join(",")]].concat(),
    );
    assert!(without.codes().is_disjoint(&plain.codes()));
    let every = charted(&bench, DUSK, &["--rows", "74"]);
    let other = every
        .codes()
        .into_iter()
        .find(|code| !plain.codes().contains(code))
        .expect("another");
    let kept = charted(&bench, DUSK, &[&limited[..], &["--keep", other]].concat());
    assert!(kept.codes().contains(other) && kept.codes().len() <= 3);
    assert_eq!(kept.option("keep"), Some(other));
    // Given one by one or in a list, with blanks and doubles.
    let list = format!("{}, {} ,,{}", left_out[0], left_out[1], left_out[0]);
    let apart = ["--without", &left_out[0], "--without", &left_out[1]];
    assert_eq!(
        charted(
            &bench,
            DUSK,
            &[&limited[..], &["--without", &list]].concat()
        ),
        charted(&bench, DUSK, &[&limited[..], &apart].concat())
    );
}

#[test]
fn a_colour_kept_in_that_no_bead_uses_gives_a_warning() {
    let bench = bench(&["tin.csv"]);
    bench.put("white.png", painted(9, 40, |_, _| super::WHITE));
    let how = ["--rows", "74", "--colours", "2", "--keep", "quay-11"];
    let run = chart(&bench, "white.png", &how).ok();
    assert!(
        run.out
            .contains("note: buoy red was to be kept, but no bead comes nearest to it\n"),
        "{}",
        run.told()
    );
}

#[test]
fn dithering_mixes_by_its_strength() {
    let bench = dusk();
    let none = charted(&bench, DUSK, &["--rows", "74", "--dither", "none"]);
    assert_eq!(none, charted(&bench, DUSK, &["--rows", "74"]));
    let mut whole = Vec::new();
    for way in ["diffuse", "mask"] {
        let with = |strength: &str| {
            let how = ["--rows", "74", "--dither", way, "--strength", strength];
            charted(&bench, DUSK, &how)
        };
        assert_eq!(with("0").rows, none.rows, "{way}");
        assert_ne!(with("1").rows, none.rows, "{way}");
        assert_ne!(with("1").rows, with("0.5").rows, "{way}");
        assert_eq!(
            with("0.5"),
            charted(&bench, DUSK, &["--rows", "74", "--dither", way])
        );
        whole.push(with("1").rows);
    }
    assert_ne!(whole[0], whole[1]);
}

/// A flat mid grey in black and white: at full strength the mean light is the picture's, 0.2158605
/// (sRGB 128, IEC 61966-2-1).
#[test]
fn at_full_strength_dithering_keeps_the_mean_light() {
    let bench = bench(&[]);
    bench.put("tin.csv", "code,name,hex\nw,white,FFFFFF\nb,black,000000\n");
    bench.put("grey.png", painted(20, 100, |_, _| [128, 128, 128, 255]));
    for way in ["diffuse", "mask"] {
        let how = [
            "--rows",
            "148",
            "--columns",
            "15",
            "--dither",
            way,
            "--strength",
            "1",
        ];
        let read = charted(&bench, "grey.png", &how);
        let beads: Vec<&String> = read.rows.iter().flatten().collect();
        let white = beads.iter().filter(|code| **code == "w").count();
        let mean = white as f64 / beads.len() as f64;
        assert!((mean - 0.215_860_5).abs() < 0.01, "{way}: {mean}");
    }
}

#[test]
fn a_palette_of_one_colour_gives_a_plain_band() {
    let bench = dusk();
    bench.put("tin.csv", "code,name,hex\nk,kelp,2F5D50\n");
    let read = charted(
        &bench,
        DUSK,
        &["--rows", "74", "--dither", "diffuse", "--colours", "1"],
    );
    assert_eq!(read.codes(), ["k"].into());
}

#[test]
fn a_palette_of_ten_thousand_colours_works_with_and_without_a_limit() {
    let bench = dusk();
    let mut text = String::from("code,name,hex\n");
    for at in 0u32..10_000 {
        // An odd factor visits every colour once; the pattern has no meaning.
        let hex = at.wrapping_mul(9_301_633) % (1 << 24);
        writeln!(text, "c{at},colour {at},{hex:06x}").unwrap();
    }
    bench.put("tin.csv", text);
    let free = charted(&bench, DUSK, &["--rows", "74"]);
    assert!(free.codes().len() > 100);
    let limited = charted(&bench, DUSK, &["--rows", "74", "--colours", "8"]);
    assert_eq!(limited.codes().len(), 8);
}
