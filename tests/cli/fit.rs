//! `upbead fit`.

use crate::common::{Bench, Run, golden};
use crate::schema::suits;
use serde_json::{Value, json};

const WAYS: &str = "hint: write us7, us6.5, uk-n, uk-n.5, iso54, jp14, eu14, 54.4mm (inner \
    circumference) or d17.3mm (inside diameter)";
const MEASURE: &str = "hint: measure in mm, count rows zigzag over two neighbouring columns, and \
    give the bead size with --bead";
const SWATCH: &str = "hint: write rows = height in mm, such as 20=17.2, or columns x rows = width \
    x height, such as 9x20=11.9x17.2";

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
fn text_that_is_not_a_size_is_refused() {
    let range = |text: &str, range: &str| {
        (
            text.to_string(),
            format!(
                "'{text}' is out of range\n\
                 hint: write {range}; rings from 8 to 40 mm inside are accepted"
            ),
        )
    };
    let plain = |text: &str, error: &str| (text.to_string(), error.to_string());
    let cases = [
        range("us99", "us0 to us34"),
        range("usNaN", "us0 to us34"),
        range("usinf", "us0 to us34"),
        range("iso0", "iso26 to iso125"),
        range("jp0", "jp1 to jp82"),
        range("uk-z+99", "uk-a to uk-z+45"),
        range("infmm", "25.2mm to 125.6mm"),
        range("dNaNmm", "d8mm to d40mm"),
        plain(
            "us-3",
            "'us-3' is out of range\nhint: write us3, without the dash",
        ),
        plain(
            "eu54",
            "'eu54' is out of range\n\
             hint: write eu0 to eu40, the circumference less 40; for a circumference of 54 mm \
             write iso54",
        ),
        plain(
            "17.3mm",
            "'17.3mm' is out of range\n\
             hint: write 25.2mm to 125.6mm, the inner circumference; for the inside diameter write \
             d17.3mm",
        ),
        plain(
            "d54mm",
            "'d54mm' is out of range\n\
             hint: write d8mm to d40mm, the inside diameter; for the inner circumference write \
             54mm",
        ),
        plain(
            "54.4",
            "'54.4' does not say its scale\nhint: write iso54.4, jp54.4 or 54.4mm",
        ),
        plain("n", "'n' does not say its scale\nhint: write uk-n"),
        plain(
            "uk7",
            "'uk7' is not a UK size\nhint: UK sizes are letters: write uk-n, uk-n.5 or uk-z+1",
        ),
        plain("NaN", &format!("'NaN' is not a ring size\n{WAYS}")),
        plain("seven", &format!("'seven' is not a ring size\n{WAYS}")),
        plain("", &format!("the ring size is empty\n{WAYS}")),
    ];
    for (text, error) in cases {
        fit(&["--size", &text]).fails(2, &format!("error: --size: {error}"));
    }
}

#[test]
fn text_that_is_not_a_gauge_is_refused() {
    let refused = |option: &str, value: &str, error: &str| {
        fit(&["--size", "us7", option, value]).fails(2, &format!("error: {option}: {error}"));
    };
    for text in [
        "",
        "20",
        "20=x",
        "20=-17",
        "20=NaN",
        "20=inf",
        "20.5=17",
        "9x20=17.2",
        "9x20x1=1x1x1",
    ] {
        refused(
            "--swatch",
            text,
            &format!("'{text}' is not a swatch\n{SWATCH}"),
        );
    }
    let small = "hint: weave 40 rows or more: a longer swatch measures better";
    refused(
        "--swatch",
        "2=2.4",
        &format!("'2=2.4' is too small a swatch\n{small}"),
    );
    refused(
        "--swatch",
        "0x20=11.9x17.2",
        &format!("'0x20=11.9x17.2' is too small a swatch\n{small}"),
    );
    let range = "is out of range; accepted: from 1.28 mm to 2.4 mm";
    refused(
        "--swatch",
        "20=33",
        &format!("a bead-to-bead spacing of 3.31 mm {range}\n{MEASURE}"),
    );
    refused(
        "--fits",
        "36=us7",
        &format!("a bead-to-bead spacing of 3.29 mm {range}\n{MEASURE}"),
    );
    refused(
        "--swatch",
        "9x41=33x34.6",
        "a column width of 3.67 mm is out of range; accepted: from 1.04 mm to 1.95 mm\n\
         hint: give columns before rows, and width before height, such as 9x20=11.9x17.2",
    );
    for text in ["", "74", "x=us7"] {
        refused(
            "--fits",
            text,
            &format!(
                "'{text}' is not a band that fits\nhint: write rows = ring size, such as 74=us7"
            ),
        );
    }
    refused(
        "--fits",
        "75=us7",
        "75 rows do not close into a ring\n\
         hint: use 74 or 76; an even count lets the last row zip to the first",
    );
    refused(
        "--fits",
        "4=us7",
        "4 rows cannot be charted\nhint: use 6 to 20,000 rows",
    );
    refused(
        "--fits",
        "74=us99",
        "'us99' is out of range\n\
         hint: write us0 to us34; rings from 8 to 40 mm inside are accepted",
    );
    refused(
        "--bead",
        "12",
        "'12' is not a bead size\n\
         hint: write 11, 10, 8 or 15, or length x diameter x hole in mm, such as 1.3x1.6x0.8",
    );
    refused(
        "--columns",
        "2",
        "2 columns cannot be woven\n\
         hint: use 3 to 1000; a ring usually has 5 to 15, and an odd count has a centre column",
    );
}

#[test]
fn options_that_do_not_go_together_are_refused() {
    fit(&["--size", "us7", "--swatch", "41=34.6", "--fits", "74=us7"]).fails(
        2,
        "error: --fits: a swatch and a band that fits cannot both set the gauge\n\
         hint: leave out --swatch or --fits",
    );
    fit(&["--size", "us7", "--remember"]).fails(
        2,
        "error: --remember: there is no gauge to remember\n\
         hint: add --swatch ROWS=MM or --fits ROWS=SIZE",
    );
    fit(&["--swatch", "41=34.6", "--remember", "--gauge", "-"]).fails(
        2,
        "error: --gauge: a gauge is remembered in a file\n\
         hint: name a file, or leave --gauge out for your own",
    );
    fit(&[]).fails(
        2,
        "error: --size: no ring size was given\nhint: give one, such as --size us7",
    );
    fit(&["--swatch", "41=34.6"]).fails(
        2,
        "error: --size: no ring size was given\nhint: give one, such as --size us7",
    );
    fit(&["--size", "us7", "--force"]).fails(
        2,
        "error: --force: without a gauge to remember none is replaced\n\
         hint: add --remember, or leave out --force",
    );
}

#[test]
fn broken_gauge_files_are_refused_with_their_place() {
    let file = |entries: &str| {
        format!("{{\"format\": \"upbead-gauge\", \"version\": 1, \"gauges\": [\n{entries}\n]}}")
    };
    let bead = r#""bead": {"length_mm": 1.3, "diameter_mm": 1.6, "hole_mm": 0.8}"#;
    let entry = |from: &str, pitch: &str| file(&format!("{{{from}{bead}, {pitch}}}"));
    let good = format!(r#"{{{bead}, "pitch_mm": 1.6, "from": ""}}"#);
    let cases = [
        (String::new(), "1:1: not a gauge file: it ends too early"),
        ("swatch".into(), "1:1: not a gauge file: expected value"),
        (
            "[]".into(),
            "1:2: not a gauge file: invalid length 0, expected an object with format, version and \
             gauges",
        ),
        (
            "{\n  \"format\": \"upbead-gauge\",\n  \"version\": 2\n}".into(),
            "3:14: not a gauge file: version 2 is not known; this upbead reads version 1",
        ),
        (
            entry(r#""from": "é", "#, r#""pitch_mm": 4"#),
            "2:91: not a gauge file: a bead-to-bead spacing of 4 mm is out of range; accepted: \
             from 1.28 mm to 2.4 mm",
        ),
        (
            entry("", r#""pitch_mm": -1.6, "from": """#),
            "2:78: not a gauge file: a bead-to-bead spacing of -1.6 mm is out of range; accepted: \
             from 1.28 mm to 2.4 mm",
        ),
        (
            entry("", r#""pitch_mm": 1.6, "column_mm": 3, "from": """#),
            "2:96: not a gauge file: a column width of 3 mm is out of range; accepted: from 1.04 \
             mm to 1.95 mm",
        ),
        (
            entry("", r#""pitch_mm": 1e999, "from": """#),
            "2:82: not a gauge file: number out of range",
        ),
        (
            entry("", r#""pitch_mm": "1.6", "from": """#),
            "2:82: not a gauge file: invalid type: string \"1.6\", expected a number",
        ),
        (
            entry("", r#""pitch": 1.6, "from": """#),
            "2:72: not a gauge file: unknown field `pitch`, expected one of `bead`, `pitch_mm`, \
             `column_mm`, `from`",
        ),
        (
            entry("", r#""pitch_mm": 1.6"#),
            "2:81: not a gauge file: missing field `from`",
        ),
        (
            file(&good.replace("0.8", "1.8")),
            "2:10: not a gauge file: a hole of 1.8 mm does not fit a bead of 1.6 mm",
        ),
        (
            file(&format!("{good},\n {good}")),
            "3:2: not a gauge file: this bead has a gauge already",
        ),
    ];
    for (text, error) in cases {
        let bench = Bench::new();
        bench.put("mine.json", &text);
        let run = bench.run(&["fit", "--size", "us7", "--gauge", "mine.json"]);
        run.fails(
            1,
            &format!(
                "error: mine.json:{error}\n\
                 hint: correct it there, or name another file with --gauge"
            ),
        );
    }
}

#[test]
fn a_gauge_file_that_is_missing_or_cut_short_is_named() {
    fit(&["--size", "us7", "--gauge", "mine.json"]).fails(
        1,
        "error: mine.json: cannot read: no such file or directory\n\
         hint: check the spelling and the folder",
    );
    let bench = Bench::new();
    bench
        .run(&[
            "fit",
            "--swatch",
            "41=34.6",
            "--remember",
            "--gauge",
            "mine.json",
        ])
        .ok();
    let whole = bench.get("mine.json");
    for end in 0..whole.len() - 2 {
        bench.put("mine.json", &whole[..end]);
        let run = bench.run(&["fit", "--size", "us7", "--gauge", "mine.json"]);
        assert_eq!(run.status, Some(1), "{}", run.told());
        assert!(run.err.starts_with("error: mine.json:"), "{}", run.told());
    }
}

/// A broken file of the person's own is named too, but does not stand in the way of a gauge that is
/// typed.
#[test]
fn a_broken_remembered_gauge_is_named_and_can_be_overridden() {
    let bench = Bench::new();
    let own = bench.put(".config/upbead/gauge.json", "{}");
    bench.run(&["fit", "--size", "us7"]).fails(
        1,
        &format!(
            "error: {}:1:2: not a gauge file: missing field `format`\n\
             hint: correct it there, or name another file with --gauge",
            own.display()
        ),
    );
    bench
        .run(&["fit", "--size", "us7", "--swatch", "41=34.6"])
        .ok();
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
