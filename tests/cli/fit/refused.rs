//! What `upbead fit` refuses.

use super::fit;
use crate::common::Bench;

const WAYS: &str = "hint: write us7, us6.5, uk-n, uk-n.5, iso54, jp14, eu14, 54.4mm or 2.14in \
    (inner circumference), d17.3mm or d0.68in (inside diameter)";
const MEASURE: &str = "hint: measure in mm, count rows zigzag over two neighbouring columns, and \
    give the bead size with --bead";
const SWATCH: &str = "hint: write rows = height in mm, such as 20=17.2, or in inches, such as \
    20=0.68in, or columns x rows = width x height, such as 9x20=11.9x17.2";

/// What is said of a number or a letter alone.
fn no_scale(text: &str, choice: &str) -> String {
    format!("'{text}' does not say its scale\nhint: which scale is it? write {choice}")
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
        plain("54.4", &no_scale("54.4", "iso54.4, jp54.4 or 54.4mm")),
        plain("n", &no_scale("n", "uk-n")),
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

/// An option besides a good size.
fn refused(option: &str, value: &str, error: &str) {
    fit(&["--size", "us7", option, value]).fails(2, &format!("error: {option}: {error}"));
}

#[test]
fn text_that_is_not_a_gauge_is_refused() {
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
}

#[test]
fn text_that_is_not_a_band_that_fits_is_refused() {
    for text in ["", "74", "x=us7"] {
        refused(
            "--fits",
            text,
            &format!(
                "'{text}' is not a band that fits\n\
                 hint: write rows = ring size, such as 74=us7, or columns x rows, such as 9x74=us7"
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
}

#[test]
fn beads_and_columns_out_of_range_are_refused() {
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

/// Each text as a gauge file, with what is said of it.
fn broken_gauges(cases: &[(String, &str)]) {
    for (text, error) in cases {
        let bench = Bench::new();
        bench.put("mine.json", text);
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
fn files_that_are_not_gauge_files_are_refused() {
    broken_gauges(&[
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
    ]);
}

const BEAD: &str = r#""bead": {"length_mm": 1.3, "diameter_mm": 1.6, "hole_mm": 0.8}"#;

fn gauge_file(entries: &str) -> String {
    format!("{{\"format\": \"upbead-gauge\", \"version\": 1, \"gauges\": [\n{entries}\n]}}")
}

#[test]
fn broken_gauges_are_refused_with_their_place() {
    let entry = |from: &str, pitch: &str| gauge_file(&format!("{{{from}{BEAD}, {pitch}}}"));
    let good = format!(r#"{{{BEAD}, "pitch_mm": 1.6, "from": ""}}"#);
    broken_gauges(&[
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
            gauge_file(&good.replace("0.8", "1.8")),
            "2:10: not a gauge file: a hole of 1.8 mm does not fit a bead of 1.6 mm",
        ),
        (
            gauge_file(&format!("{good},\n {good}")),
            "3:2: not a gauge file: this bead has a gauge already",
        ),
    ]);
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
