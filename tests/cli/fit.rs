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

/// tests/tables/ring.rs: 72 rows at 1.65 mm are 17.33 mm inside, US 7.01; a tight hand's 74 rows
/// are 17.27 mm, a loose one's 70 rows 17.36 mm.
#[test]
fn an_average_hand_closes_round_us_7_with_72_rows() {
    let answer = answer(&["--size", "us7", "--columns", "9"]);
    assert_eq!(answer["rows"], 72);
    assert_eq!(answer["first_try_row"], 70);
    assert_eq!(answer["width_mm"], 11.7);
    assert_eq!(answer["pitch_mm"], 1.65);
    assert_eq!(answer["wanted_diameter_mm"], 17.323);
    assert_eq!(answer["gauge"], json!({"source": "assumed"}));
    assert_eq!(answer["rows_range"], json!([70, 74]));
    assert_eq!(
        near(&answer, 72),
        json!({
            "rows": 72,
            "diameter_mm": 17.332,
            "circumference_mm": 54.449,
            "us": 7.01,
            "iso": 54,
            "uk": "N 1/2",
            "jp": 14,
            "hands": [
                {"diameter_mm": 16.758, "size": "6.31"},
                {"diameter_mm": 17.332, "size": "7.01"},
                {"diameter_mm": 17.905, "size": "7.72"},
            ],
        })
    );
    let hands = |rows| near(&answer, rows)["hands"].clone();
    assert_eq!(hands(74)[0], json!({"diameter_mm": 17.267, "size": "6.93"}));
    assert_eq!(hands(70)[2], json!({"diameter_mm": 17.365, "size": "7.05"}));
}

/// The table speaks the scale that was asked for, and so does the advice for a wide band.
#[test]
fn hands_are_compared_on_the_scale_that_was_asked_for() {
    let answer = answer(&["--size", "uk-n"]);
    assert_eq!(answer["scale"], "UK");
    assert_eq!(near(&answer, 72)["hands"][0]["size"], "M");
    assert_eq!(near(&answer, 72)["hands"][1]["size"], "N 1/2");
    let text = fit(&["--size", "uk-n"]).ok().out;
    assert!(
        text.contains("consider half a US size\n  up (uk-o): 72 rows"),
        "{text}"
    );
    assert!(!text.contains("us7"), "{text}");
}

/// The size may stand first, as it is said.
#[test]
fn a_size_needs_no_option() {
    let said = |call: &[&str]| fit(call).ok().out;
    assert_eq!(said(&["us7"]), said(&["--size", "us7"]));
    assert_eq!(
        said(&["uk-n", "--columns", "5"]),
        said(&["--columns", "5", "--size", "uk-n"])
    );
    let both = fit(&["us7", "--size", "us8"]);
    assert_eq!(both.status, Some(2), "{}", both.told());
}

/// Two size calculators go half a size up from 6 mm; wider bands go further.
#[test]
fn advice_for_width_grows_with_width() {
    let advised = |columns: &str, fits: &str| {
        let answer = answer(&["us7", "--columns", columns, "--fits", fits]);
        let warnings = answer["warnings"].as_array().expect("warnings").clone();
        let wide = warnings.iter().find(|one| one["kind"] == "wide_band");
        wide.map(|one| (one["us_sizes"].clone(), one["size"].clone()))
    };
    let narrow = "4x70=us7";
    assert_eq!(advised("4", narrow), None);
    assert_eq!(advised("9", narrow), Some((json!(0.5), json!("us7.5"))));
    assert_eq!(advised("12", narrow), Some((json!(0.75), json!("us7.75"))));
    assert_eq!(advised("21", narrow), Some((json!(1.0), json!("us8"))));
    // A band that fits at that width needs no more, and one of unknown width is taken as this one.
    assert_eq!(advised("9", "9x70=us7"), None);
    assert_eq!(advised("21", "70=us7"), None);
    assert_eq!(
        advised("21", "9x70=us7"),
        Some((json!(0.5), json!("us7.5")))
    );
}

#[test]
fn a_band_that_fits_is_remembered_with_its_columns() {
    let bench = Bench::new();
    bench
        .run(&["fit", "--fits", "70=us7", "--columns", "11", "--remember"])
        .ok();
    let later = |columns: &str| {
        bench
            .run(&["fit", "us7", "--columns", columns, "--json"])
            .ok()
            .json()
    };
    assert_eq!(later("11")["gauge"]["from"], "fits 11x70=us7");
    assert!(!kinds(&later("11")).contains(&"wide_band"));
    assert!(kinds(&later("24")).contains(&"wide_band"));
}

/// 10/0, 8/0 and 15/0 have no published measures; 11/0 has, and own measures are the weaver's.
#[test]
fn a_size_without_published_measures_asks_for_a_swatch() {
    for bead in ["10", "8", "15"] {
        let answer = answer(&["us7", "--bead", bead]);
        assert!(kinds(&answer).contains(&"unsure_bead"), "{bead}");
    }
    for bead in ["11", "1.4x1.65x0.8"] {
        assert!(
            !kinds(&answer(&["us7", "--bead", bead])).contains(&"unsure_bead"),
            "{bead}"
        );
    }
    let text = fit(&["us7", "--bead", "8"]).ok().out;
    assert!(
        text.contains("weave a swatch, and measure ten of your beads"),
        "{text}"
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
    assert_eq!(answer(&["--size", "us8"])["rows"], 74);
    assert_eq!(rows("smaller"), 74);
    assert_eq!(rows("nearest"), 76);
    assert_eq!(rows("larger"), 76);
}

/// A tight hand's us5: 68 rows are 0.04 mm larger, which is hardly felt; 66 would be US 4.43.
#[test]
fn the_smaller_of_two_may_be_hardly_larger() {
    let answer = answer(&["us5", "--swatch", "41=33.6"]);
    assert_eq!(answer["pitch_mm"], 1.6);
    assert_eq!(answer["rows"], 68);
    assert_eq!(near(&answer, 66)["us"], 4.43);
    assert_eq!(answer["warnings"][0]["kind"], "hardly_larger");
    assert_eq!(answer["warnings"][0]["over_mm"], 0.044);
    assert_eq!(
        answer["warnings"][0]["text"],
        "68 rows are 0.04 mm larger than us5, which is hardly felt: up to 0.1 mm counts as fitting"
    );
}

#[test]
fn wide_bands_and_gauges_that_are_not_set_are_warned_of() {
    let wide = answer(&["--size", "us8"]);
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
        "74 is the smaller of the two row counts nearest to us8: a beaded band stretches with \
         wear; --prefer larger takes 76"
    );
    assert_eq!(wide["warnings"][1]["rows"], json!([72, 76]));
    assert_eq!(
        wide["warnings"][1]["text"],
        "no gauge set: an average hand is assumed, 1.65 mm from bead to bead (common practice, no \
         source); a tight hand needs 76 rows, a loose one 72; measure a swatch and set --swatch \
         ROWS=MM"
    );
    assert_eq!(wide["warnings"][2]["width_mm"], 11.7);
    assert_eq!(
        wide["warnings"][2]["text"],
        "a band of 11.7 mm feels tighter than a narrow one: consider half a US size up (us8.5): \
         76 rows"
    );
    let narrow = answer(&["--size", "us7", "--columns", "4", "--swatch", "60=48.8"]);
    assert_eq!(
        kinds(&narrow),
        ["smaller_count", "measure_finger", "try_on"]
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
    assert_eq!(other["gauge"]["source"], "assumed");
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
            "gauge": {"source": "fits", "from": "fits 9x74=us7"},
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

/// A ruler in inches: 1.32 in are 33.528 mm, and 2.14 in are 54.356 mm.
#[test]
fn lengths_may_be_in_inches() {
    let inches = answer(&["--size", "2.14in", "--swatch", "40=1.32\""]);
    let millimetres = answer(&["--size", "54.356mm", "--swatch", "40=33.528"]);
    for field in ["rows", "pitch_mm", "wanted_diameter_mm", "near"] {
        assert_eq!(inches[field], millimetres[field], "{field}");
    }
    assert_eq!(answer(&["d0.68in"])["wanted_diameter_mm"], 17.272);
}
