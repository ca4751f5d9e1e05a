//! `upbead fit`.

mod at_once;
mod refused;

use crate::common::{Bench, Run, golden};
use crate::schema::suits;
use serde_json::{Value, json};

fn fit(arguments: &[&str]) -> Run {
    Bench::new().run(&[&["fit"], arguments].concat())
}

fn answer(arguments: &[&str]) -> Value {
    fit(&[arguments, &["--json"]].concat()).ok().json()
}

/// What the warnings are about.
fn kinds(answer: &Value) -> Vec<&str> {
    let warnings = answer["warnings"].as_array().expect("warnings");
    warnings
        .iter()
        .map(|warning| warning["kind"].as_str().expect("a kind"))
        .collect()
}

/// How `near` describes its count of `rows`.
fn near(answer: &Value, rows: u64) -> Value {
    let near = answer["near"].as_array().expect("near");
    let found = near.iter().find(|near| near["rows"] == rows);
    found
        .unwrap_or_else(|| panic!("no {rows} rows in {answer}"))
        .clone()
}

fn reads_as(name: &str, arguments: &[&str]) {
    golden(name, &fit(arguments).ok().bytes);
}

#[test]
fn a_size_without_a_gauge_gives_a_range_of_rows() {
    reads_as("fit/size.txt", &["--size", "us7"]);
}

#[test]
fn a_short_swatch_says_how_far_it_can_be_trusted() {
    let swatch = ["--swatch", "20=17.2"];
    reads_as(
        "fit/swatch.txt",
        &[&["--size", "uk-n.5", "--columns", "4"], &swatch[..]].concat(),
    );
}

#[test]
fn a_band_that_fits_gives_its_own_rows() {
    let fits = ["--fits", "72=us7"];
    reads_as(
        "fit/fits.txt",
        &[&["--size", "d17.32mm", "--columns", "5"], &fits[..]].concat(),
    );
}

#[test]
fn a_size_below_a_scale_has_no_label_of_that_scale() {
    let beads = ["--columns", "5", "--bead", "15", "--prefer", "larger"];
    reads_as(
        "fit/small.txt",
        &[&["--size", "d11mm"], &beads[..]].concat(),
    );
}

#[test]
fn json_has_every_field() {
    let bench = Bench::new();
    let run = bench
        .run(&[
            "fit",
            "--size",
            "us7",
            "--swatch",
            "9x41=11.9x34.6",
            "--json",
        ])
        .ok();
    golden("fit/us7.json", &run.bytes);
}

/// Hand-worked in tests/tables/ring.rs: 74 rows of touching beads are 17.266606 mm inside,
/// 54.244643 round.
#[test]
fn touching_beads_close_round_us_7_with_74_rows() {
    let answer = answer(&["--size", "us7", "--columns", "9"]);
    assert_eq!(answer["rows"], 74);
    assert_eq!(answer["width_mm"], 11.7);
    assert_eq!(answer["pitch_mm"], 1.6);
    assert_eq!(answer["wanted_diameter_mm"], 17.323);
    assert_eq!(answer["gauge"], json!({"source": "touching"}));
    assert_eq!(answer["rows_range"], json!([68, 74]));
    assert_eq!(
        near(&answer, 74),
        json!({
            "rows": 74,
            "diameter_mm": 17.267,
            "circumference_mm": 54.245,
            "us": 6.93,
            "iso": 54,
            "uk": "N 1/2",
            "jp": 14,
        })
    );
}

/// 41 rows, 34.6 mm high: P = 2 (34.6 - 1.6)/40 = 1.65. 74 rows known to fit US 7: P = (17.3228 +
/// 1.6) 0.084805925 = 1.604766.
#[test]
fn a_swatch_or_a_band_that_fits_changes_the_answer() {
    let swatch = answer(&["--size", "us7", "--swatch", "41=34.6"]);
    assert_eq!(swatch["pitch_mm"], 1.65);
    assert_eq!(swatch["rows"], 72);
    assert_eq!(swatch["rows_range"], Value::Null);
    assert_eq!(
        swatch["gauge"],
        json!({"source": "swatch", "from": "swatch 41=34.6"})
    );

    let fits = answer(&["--size", "us8", "--fits", "74=us7"]);
    assert_eq!(fits["pitch_mm"], 1.605);
    assert_eq!(fits["rows"], 76);
    assert_eq!(near(&fits, 74)["us"], 7.0);

    let wide = answer(&[
        "--size",
        "us7",
        "--swatch",
        "9x41=11.9x34.6",
        "--columns",
        "18",
    ]);
    assert_eq!(wide["width_mm"], 23.8);
    assert_eq!(wide["gauge"]["column_mm"], 1.322);
}

#[test]
fn a_band_that_fits_says_so_in_any_spelling_of_its_size() {
    for size in ["us7", "US 7", "d17.32mm", "54.42mm", "eu14.42"] {
        assert_eq!(
            answer(&["--size", size, "--fits", "72=us7"])["rows"],
            72,
            "{size}"
        );
    }
}

#[test]
fn of_two_counts_the_one_preferred_is_taken() {
    let rows = |prefer| answer(&["--size", "us8", "--prefer", prefer])["rows"].clone();
    assert_eq!(answer(&["--size", "us8"])["rows"], 76);
    assert_eq!(rows("smaller"), 76);
    assert_eq!(rows("nearest"), 78);
    assert_eq!(rows("larger"), 78);
}

#[test]
fn wide_bands_and_gauges_that_are_not_set_are_warned_of() {
    let wide = answer(&["--size", "us7"]);
    assert_eq!(
        kinds(&wide),
        [
            "smaller_count",
            "no_gauge",
            "wide_band",
            "measure_finger",
            "try_on"
        ]
    );
    assert_eq!(
        wide["warnings"][0]["text"],
        "74 is the smaller of the two row counts nearest to us7: a beaded band stretches with \
         wear; --prefer larger takes 76"
    );
    assert_eq!(wide["warnings"][1]["rows"], json!([68, 74]));
    assert_eq!(
        wide["warnings"][1]["text"],
        "no gauge set: tight weavers need 74 rows, loose ones as few as 68; measure a swatch and \
         set --swatch ROWS=MM"
    );
    assert_eq!(wide["warnings"][2]["width_mm"], 11.7);
    assert_eq!(
        wide["warnings"][2]["text"],
        "a band of 11.7 mm feels tighter than a narrow one: consider half a US size up (us7.5): \
         still 74 rows; the next count is 76"
    );
    let narrow = answer(&["--size", "us7", "--columns", "4", "--swatch", "60=48.8"]);
    assert_eq!(
        kinds(&narrow),
        ["smaller_count", "measure_finger", "try_on"]
    );
    let hardly = answer(&["--size", "us7", "--swatch", "61=52.6"]);
    assert_eq!(hardly["warnings"][0]["over_mm"], 0.042);
    assert_eq!(
        hardly["warnings"][0]["text"],
        "68 is the smaller of the two row counts nearest to us7: a beaded band stretches with \
         wear; but 70 rows are only 0.04 mm too large, and --prefer larger takes them"
    );
}

#[test]
fn a_remembered_gauge_is_used_from_then_on() {
    let bench = Bench::new();
    let kept = bench
        .run(&["fit", "--swatch", "9x41=11.9x34.6", "--remember"])
        .ok();
    let file = bench.path(".config/upbead/gauge.json");
    let file = file.to_str().expect("text");
    assert_eq!(
        kept.out,
        format!(
            "Bead:     11/0\n\
             Spacing:  1.65 mm from bead to bead\n\
             Gauge:    swatch 9x41=11.9x34.6\n\
             Kept in:  {file}\n"
        )
    );
    golden("fit/gauge.json", &bench.get(".config/upbead/gauge.json"));

    let later = bench.run(&["fit", "--size", "us7", "--json"]).ok().json();
    assert_eq!(later["rows"], 72);
    assert_eq!(later["width_mm"], 11.9);
    assert_eq!(
        later["gauge"],
        json!({"source": "file", "from": "swatch 9x41=11.9x34.6", "file": file, "column_mm": 1.322})
    );

    let typed = bench
        .run(&["fit", "--size", "us7", "--fits", "74=us7", "--json"])
        .ok()
        .json();
    assert_eq!(typed["rows"], 74);

    let other = bench
        .run(&["fit", "--size", "us7", "--bead", "10", "--json"])
        .ok()
        .json();
    assert_eq!(other["gauge"]["source"], "touching");
    assert_eq!(
        other["warnings"][1]["text"],
        "the gauge file has no gauge for beads of size 10/0"
    );
}

#[test]
fn the_folder_for_settings_is_the_user_s_own() {
    let bench = Bench::new();
    let arguments = ["fit", "--fits", "74=us7", "--remember", "--json"];
    let output = bench
        .command(&arguments)
        .env("XDG_CONFIG_HOME", bench.path("settings"))
        .output()
        .expect("the program starts");
    let run = bench.ended(&arguments, output).ok();
    let file = bench.path("settings/upbead/gauge.json");
    assert_eq!(
        run.json(),
        json!({
            "pitch_mm": 1.605,
            "bead": {"length_mm": 1.3, "diameter_mm": 1.6, "hole_mm": 0.8},
            "gauge": {"source": "fits", "from": "fits 74=us7"},
            "remembered": file,
        })
    );
    assert!(file.exists());
}

#[test]
fn a_gauge_for_the_same_bead_is_replaced_only_with_force() {
    let bench = Bench::new();
    let remember = |swatch: &str, more: &[&str]| {
        bench.run(
            &[
                &[
                    "fit",
                    "--gauge",
                    "new/mine.json",
                    "--remember",
                    "--swatch",
                    swatch,
                ],
                more,
            ]
            .concat(),
        )
    };
    remember("41=34.6", &[]).ok();
    remember("41=34.6", &[]).ok();
    remember("41=34.2", &["--bead", "1.31x1.62x0.8"]).ok();
    let before = bench.text("new/mine.json");
    remember("41=33.6", &[]).fails(
        1,
        "error: new/mine.json: another gauge for 11/0 beads is remembered: 1.65 mm from swatch \
         41=34.6\n\
         hint: add --force to replace it",
    );
    assert_eq!(bench.text("new/mine.json"), before);
    remember("41=33.6", &["--force"]).ok();
    let both: Value = serde_json::from_str(&bench.text("new/mine.json")).expect("JSON");
    assert_eq!(both["gauges"][0]["pitch_mm"], 1.6);
    assert_eq!(both["gauges"][1]["bead"]["diameter_mm"], 1.62);

    let read = bench
        .run(&["fit", "--size", "us7", "--gauge", "new/mine.json", "--json"])
        .ok();
    assert_eq!(read.json()["rows"], 74);
    assert_eq!(bench.listing(), "new");
}

#[test]
fn a_file_that_is_no_gauge_file_is_never_replaced() {
    let bench = Bench::new();
    bench.put("band.json", "{\n  \"format\": \"upbead-chart\"\n}\n");
    bench
        .run(&[
            "fit",
            "--swatch",
            "41=34.6",
            "--remember",
            "--force",
            "--gauge",
            "band.json",
        ])
        .fails(
            1,
            "error: band.json:2:13: not a gauge file: the format 'upbead-chart' is not \
             'upbead-gauge'\n\
             hint: correct it there, or name another file with --gauge",
        );
    assert_eq!(
        bench.text("band.json"),
        "{\n  \"format\": \"upbead-chart\"\n}\n"
    );
}

#[test]
fn help_is_one_short_line_an_option() {
    let help = fit(&["-h"]).ok();
    let options = help
        .out
        .lines()
        .filter(|line| line.trim_start().starts_with('-'));
    for line in options {
        let text = line
            .trim_start()
            .split_once("  ")
            .map_or("", |(_, text)| text.trim());
        assert!(!text.is_empty() && text.chars().count() <= 54, "{line}");
    }
}

#[test]
fn what_is_printed_for_programs_suits_its_schema() {
    let bench = Bench::new();
    let check = |of: &str, arguments: &[&str]| {
        suits(
            of,
            &bench.run(&[arguments, &["--json"]].concat()).ok().json(),
        );
    };
    check("fit", &["fit", "--size", "us7"]);
    check(
        "fit",
        &[
            "fit", "--size", "d11mm", "--bead", "15", "--prefer", "larger",
        ],
    );
    let swatch = ["fit", "--size", "us7", "--swatch", "9x20=11.9x17.2"];
    check("fit", &[&swatch[..], &["--remember"]].concat());
    check("fit", &["fit", "--size", "uk-n"]);
    check(
        "gauge",
        &["fit", "--fits", "74=us7", "--remember", "--force"],
    );
}
