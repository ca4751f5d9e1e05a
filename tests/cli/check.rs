//! `upbead check`.

use crate::common::{Bench, golden, repository, valid};
use serde_json::{Value, json};
use std::fs;

const COLOURS: [(&str, &str, &str); 7] = [
    ("n", "navy", "1C3261"),
    ("w", "white", "FAFAF6"),
    ("r", "red", "CD2626"),
    ("b", "brass", "C89A3F"),
    ("g", "green", "497427"),
    ("t", "teal", "2D847B"),
    ("k", "black", "111111"),
];

/// A chart's text: the colour of the bead in each row and column, both from 1.
fn chart(
    columns: u32,
    rows: u32,
    colours: &[(&str, &str, &str)],
    colour: impl Fn(u32, u32) -> usize,
) -> String {
    let of_row = |row: u32| -> Vec<usize> {
        let filled = (1..=columns).filter(|column| column % 2 == row % 2);
        filled.map(|column| colour(row, column)).collect()
    };
    json!({
        "format": "upbead-chart",
        "version": 1,
        "bead": { "length_mm": 1.3, "diameter_mm": 1.6, "hole_mm": 0.8 },
        "columns": columns,
        "closed": true,
        "colours": colours.iter().map(|(code, name, hex)| json!({
            "code": code,
            "name": name,
            "hex": hex,
        })).collect::<Vec<_>>(),
        "rows": (1..=rows).map(of_row).collect::<Vec<_>>(),
        "made": { "source": "", "sha256": "", "options": {}, "version": "" },
    })
    .to_string()
}

/// Two colours in stripes along the band: nothing to find.
fn stripes(_: u32, column: u32) -> usize {
    usize::from(column > 4)
}

/// The findings of one kind.
#[track_caller]
fn found(text: &str, more: &[&str], kind: &str) -> Vec<Value> {
    let bench = Bench::new();
    bench.put("band.json", text);
    bench.put(
        "tin.csv",
        "code,name,hex,grams,per_gram\nn,navy,1C3261,1,200\nw,white,FAFAF6,,\n",
    );
    let json = bench
        .run(&[&["check", "band.json", "--json"], more].concat())
        .ok()
        .json();
    valid(&json, "check");
    let all = json["findings"].as_array().unwrap();
    assert_eq!(json["count"], all.len());
    let mut findings = all.clone();
    findings.retain(|finding| finding["kind"] == kind);
    findings
}

#[track_caller]
fn one(text: &str, more: &[&str], kind: &str) -> Value {
    let findings = found(text, more, kind);
    assert_eq!(findings.len(), 1, "{findings:?}");
    findings[0].clone()
}

fn greys() -> Vec<(String, String)> {
    (0..10)
        .map(|at| {
            (
                format!("grey {at}"),
                format!("{0:02X}{0:02X}{0:02X}", 20 + 23 * at),
            )
        })
        .collect()
}

#[test]
fn a_chart_without_findings_says_so_in_one_line() {
    let bench = Bench::new();
    let text = chart(9, 40, &COLOURS[..2], stripes);
    bench.put("band.json", &text);
    let run = bench.run(&["check", "band.json", "--strict"]).ok();
    assert_eq!(
        (run.out.as_str(), run.err.as_str()),
        ("band.json: No problems found.\n", "")
    );
    let run = bench.run_with(&["check", "-"], text.as_bytes()).ok();
    assert_eq!(run.out, "standard input: No problems found.\n");
    let json = bench.run(&["check", "band.json", "--json"]).ok().json();
    assert_eq!(
        json,
        json!({ "columns": 9, "rows": 40, "beads": 180, "count": 0, "findings": [] })
    );
}

#[test]
fn a_seam_that_breaks_the_motif_is_measured() {
    let greys = greys();
    let greys: Vec<(&str, &str, &str)> = greys
        .iter()
        .map(|(name, hex)| (name.as_str(), name.as_str(), hex.as_str()))
        .collect();
    // From black to white, and at the seam back in one step.
    let ramp = chart(9, 40, &greys, |row, _| (row as usize - 1) / 4);
    let seam = one(&ramp, &[], "seam");
    assert_eq!(seam["rows"], json!([40, 1]));
    assert!(
        seam["measure"].as_f64().unwrap() > 3.0 * seam["limit"].as_f64().unwrap(),
        "{seam}"
    );
    // There and back again, it closes.
    let there_and_back = chart(9, 40, &greys, |row, _| (row.min(41 - row) as usize - 1) / 2);
    assert!(found(&there_and_back, &[], "seam").is_empty());
    // Two halves have the same edge in the middle: that is the design.
    let halves = chart(9, 40, &COLOURS[..2], |row, _| usize::from(row > 20));
    assert!(found(&halves, &[], "seam").is_empty());
}

#[test]
fn colours_that_look_alike_are_named_if_both_are_in_use() {
    let colours = [
        ("n", "navy", "1C3261"),
        ("m", "midnight", "1D3362"),
        ("w", "white", "FAFAF6"),
    ];
    let alike = one(&chart(9, 40, &colours, stripes), &[], "alike");
    assert_eq!(
        (&alike["colours"], &alike["limit"]),
        (&json!(["n", "m"]), &json!(3.0))
    );
    assert!(
        alike["hint"].as_str().unwrap().contains("--without n"),
        "{alike}"
    );
    let unused = chart(9, 40, &colours, |row, column| 2 * stripes(row, column));
    assert!(found(&unused, &[], "alike").is_empty());
}

#[test]
fn a_colour_for_one_or_two_beads_and_stray_beads_are_located() {
    let with = |places: &'static [(u32, u32)]| {
        chart(9, 40, &COLOURS[..3], move |row, column| {
            if places.contains(&(row, column)) {
                2
            } else {
                stripes(row, column)
            }
        })
    };
    let two = with(&[(12, 4), (14, 4)]);
    let few = one(&two, &[], "few");
    assert_eq!(
        few["beads"],
        json!([{ "row": 12, "column": 4 }, { "row": 14, "column": 4 }])
    );
    assert_eq!(
        (&few["measure"], &few["limit"], &few["colours"]),
        (&json!(2), &json!(3), &json!(["r"]))
    );
    assert!(found(&two, &[], "alone").is_empty(), "they touch");
    assert!(found(&with(&[(12, 4), (14, 4), (16, 4)]), &[], "few").is_empty());
    // Not touching; then a line of one row.
    let alone = one(&with(&[(12, 4), (20, 4), (30, 4)]), &[], "alone");
    assert_eq!(alone["rows"], json!([12, 20, 30]));
    assert!(found(&with(&[(12, 2), (12, 4), (12, 6)]), &[], "alone").is_empty());
}

#[test]
fn many_stray_beads_are_summed_up() {
    // Noise: the high bits of a mixed number, in seven colours.
    let noise = |row: u32, column: u32| {
        let mixed = (row * 1_000 + column).wrapping_mul(2_654_435_761);
        ((mixed ^ (mixed >> 15)).wrapping_mul(2_246_822_519) >> 16) as usize % 7
    };
    let speckled = chart(9, 42, &COLOURS, noise);
    let alone = one(&speckled, &[], "alone");
    let count = alone["measure"].as_u64().unwrap();
    let said = format!("many beads are stray: {count} of 189, ");
    assert!(
        count > 30 && alone["text"].as_str().unwrap().starts_with(&said),
        "{alone}"
    );
    assert!(
        alone["hint"].as_str().unwrap().contains("--dither none"),
        "{alone}"
    );
    // The same noise in seven steps from white to black: nearly every bead lies between two others.
    let ramp = [
        "FAFAF6", "D2D2D0", "AAAAA8", "828280", "5A5A59", "323231", "111111",
    ];
    let ramp = ramp.map(|hex| (hex, hex, hex));
    let hint = one(&chart(9, 42, &ramp, noise), &[], "alone")["hint"].clone();
    assert!(hint.as_str().unwrap().contains("--crisp 1"), "{hint}");
    // In seven colours no two neighbours alike either, but regular: that is a pattern.
    let regular = chart(9, 42, &COLOURS, |row, column| {
        (row + 3 * column) as usize % 7
    });
    assert!(found(&regular, &[], "alone").is_empty());
}

#[test]
fn rows_that_change_colour_far_more_often_than_most_are_named() {
    let busy = |changes: u32| {
        chart(25, 40, &COLOURS[..2], move |row, column| {
            usize::from(row == 13 && column <= 2 * changes && column % 4 == 3)
        })
    };
    let busiest = one(&busy(12), &[], "busy");
    assert_eq!(
        (&busiest["rows"], &busiest["changes"], &busiest["limit"]),
        (&json!([13]), &json!([12]), &json!(4))
    );
    assert!(found(&busy(4), &[], "busy").is_empty());
}

#[test]
fn beads_that_are_short_are_counted_and_colours_not_in_stock_are_named() {
    // 4 of 9 columns in 40 rows are navy: 80 beads; 200 are there.
    let text = chart(9, 40, &COLOURS[..2], stripes);
    let stock = |make: &str| found(&text, &["--palette", "tin.csv", "--make", make], "short");
    assert!(stock("2").is_empty());
    let short = &stock("3")[0];
    assert_eq!(
        (&short["measure"], &short["limit"], &short["short"]),
        (&json!(240), &json!(200), &json!(40))
    );
    let foreign = chart(9, 40, &COLOURS[1..3], stripes);
    let lacking = one(&foreign, &["--palette", "tin.csv"], "not-in-palette");
    assert_eq!(
        (&lacking["colours"], &lacking["nearest"]),
        (&json!(["r"]), &json!("n"))
    );
}

#[test]
fn a_long_thread_is_joined_after_named_rows() {
    let text = chart(9, 200, &COLOURS[..2], stripes);
    let long = one(&text, &[], "thread");
    let rows: Vec<u64> = long["rows"]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| row.as_u64().unwrap())
        .collect();
    assert_eq!(long["limit"], 1400.0);
    assert!(rows.len() >= 2 && rows.is_sorted() && rows[0] > 2, "{long}");
    // The pieces are about equal: none is longer by two rows than another, and each is comfortable.
    let gaps: Vec<u64> = rows.windows(2).map(|pair| pair[1] - pair[0]).collect();
    assert!(
        gaps.iter().all(|gap| gap.abs_diff(rows[0]) <= 3),
        "{rows:?}"
    );
    assert!(long["piece_mm"].as_f64().unwrap() <= 1400.0, "{long}");
    assert!(found(&text, &["--length", "5000"], "thread").is_empty());
}

#[test]
fn holes_that_get_too_full_are_named() {
    let text = chart(9, 40, &COLOURS[..2], stripes);
    let full = one(&text, &["--thread", "0.35"], "holes");
    assert_eq!((&full["limit"], &full["needle"]), (&json!(3), &json!("12")));
    assert!(full["measure"].as_u64().unwrap() > 3, "{full}");
    assert!(found(&text, &[], "holes").is_empty());
}

/// A chart with a bit of everything, and what its owner has.
fn troubled() -> Bench {
    let bench = Bench::new();
    let text = chart(25, 74, &COLOURS[..4], |row, column| match (row, column) {
        (13, _) => usize::from(column % 4 == 1),
        (30, 4) | (50, 10) => 2,
        (62, 12 | 14) => 3,
        _ => stripes(row, column),
    });
    bench.put("band.json", text);
    bench.put(
        "tin.csv",
        "code,name,hex,grams,per_gram\n\
         n,navy,1C3261,0.5,200\n\
         w,white,FAFAF6,,\n\
         r,red,CD2626,,\n\
         b,brass,C89A3F,,\n",
    );
    bench
}

const TROUBLED: [&str; 6] = [
    "check",
    "band.json",
    "--palette",
    "tin.csv",
    "--thread",
    "0.35",
];

#[test]
fn findings_fail_only_if_strict() {
    let bench = troubled();
    let run = bench.run(&TROUBLED).ok();
    let strict = bench.run(&[&TROUBLED[..], &["--strict"]].concat());
    assert_eq!(
        (strict.status, strict.err.as_str()),
        (Some(1), ""),
        "{}",
        strict.told()
    );
    assert_eq!(strict.out, run.out);
}

#[test]
fn findings_read_well() {
    golden("check/band.txt", &troubled().run(&TROUBLED).ok().bytes);
}

/// A face that has fields in place of flags finds the options apart from the words.
#[test]
fn options_in_a_hint_stand_apart_from_its_words() {
    let json = troubled()
        .run(&[&TROUBLED[..], &["--json"]].concat())
        .ok()
        .json();
    let mut options = 0;
    for finding in json["findings"].as_array().unwrap() {
        for part in finding["hint_parts"].as_array().unwrap() {
            let words = part.as_str().unwrap_or_default();
            assert!(!words.contains("--"), "{finding}");
            options += usize::from(part["option"].is_string());
        }
    }
    assert!(options >= 3, "{json}");
}

#[test]
fn findings_are_json_for_programs() {
    let run = troubled().run(&[&TROUBLED[..], &["--json"]].concat()).ok();
    valid(&run.json(), "check");
    golden("check/band.json", &run.bytes);
}

#[test]
fn values_out_of_range_are_refused() {
    let bench = Bench::new();
    bench.put("band.json", chart(9, 40, &COLOURS[..2], stripes));
    bench.put("odd.json", chart(9, 41, &COLOURS[..2], stripes));
    bench.put("tin.csv", "code,name,hex\nn,navy,1C3261\n");
    let odd = bench.run(&["check", "odd.json"]);
    assert_eq!(odd.status, Some(1));
    assert!(
        odd.err
            .contains("41 rows do not close into a ring\nhint: use 40 or 42"),
        "{}",
        odd.told()
    );
    for (more, status, error) in [
        (
            vec!["--thread", "0"],
            2,
            "--thread: '0' is not a thread\nhint: give millimetres from 0.05 to 1, such as 0.15",
        ),
        (
            vec!["--thread", "0.8"],
            2,
            "--thread: a thread of 0.8 mm does not go through a hole of 0.8 mm\n\
             hint: give a thread that is thinner than the hole",
        ),
        (
            vec!["--length", "-3"],
            2,
            "--length: '-3' is not a length of thread\n\
             hint: give millimetres from 500 to 20,000, such as 1400",
        ),
        (
            vec!["--palette", "tin.csv", "--make", "0"],
            2,
            "--make: '0' is not a number of bands to make\n\
             hint: give a whole number from 1 to 100,000",
        ),
        (
            vec!["--make", "2"],
            2,
            "--make: the beads in stock are not checked\nhint: add --palette, or leave --make out",
        ),
    ] {
        let call = [&["check", "band.json"], &more[..]].concat();
        bench.run(&call).fails(status, &format!("error: {error}"));
    }
    bench.run(&["check", "-", "--palette", "-"]).fails(
        2,
        "error: --palette: chart and palette cannot both come from standard input\n\
         hint: name a file for one of them",
    );
}

#[test]
fn a_large_panel_is_checked() {
    let bench = Bench::new();
    bench.put(
        "panel.json",
        chart(81, 240, &COLOURS, |row, column| {
            ((row / 7) * (column / 5)) as usize % 7
        }),
    );
    bench.put("tin.csv", fs::read(repository("palettes/tin.csv")).unwrap());
    let json = bench.run(&["check", "panel.json", "--json"]).ok().json();
    let findings = json["findings"].as_array().unwrap();
    let kinds: Vec<&Value> = findings.iter().map(|finding| &finding["kind"]).collect();
    // Squares of seven rows in seven colours, which come again after 98 rows of the same parity.
    assert_eq!(kinds, ["repeat", "thread"]);
    assert_eq!(findings[0]["fitting"], json!([196, 294, 98, 392]));
    // The thread for 9,720 beads comes in 27 pieces: 26 rows where a new one begins.
    assert_eq!(findings[1]["rows"].as_array().unwrap().len(), 26);
}

/// A thread that is a little too long is no reason for a join: 1.4 m is comfortable, and up to 2 m
/// one piece still does.
#[test]
fn a_thread_between_one_and_two_metres_is_noted_and_not_cut() {
    let rows = |rows| one(&chart(9, rows, &COLOURS[..2], stripes), &[], "thread");
    for count in [80, 100] {
        let long = rows(count);
        let length = long["measure"].as_f64().unwrap();
        assert!(length > 1400.0 && length <= 2000.0, "{long}");
        assert_eq!(long["rows"], json!([]));
        let hint = long["hint"].as_str().unwrap();
        assert!(hint.starts_with("one piece still does"), "{hint}");
    }
    let long = rows(130);
    assert!(long["measure"].as_f64().unwrap() > 2000.0, "{long}");
    assert!(!long["rows"].as_array().unwrap().is_empty(), "{long}");
    // Who is used to longer threads is advised to join later, too.
    let text = chart(9, 130, &COLOURS[..2], stripes);
    let long = one(&text, &["--length", "1900"], "thread");
    assert_eq!(long["rows"], json!([]));
}

/// Dots that the design repeats are meant; a dot beside them is not.
#[test]
fn regular_dots_edge_dots_and_herringbone_are_no_stray_beads() {
    let dots = |row: u32, column: u32| usize::from(row % 6 == 1 && column % 4 == 1);
    let edge = |row: u32, column: u32| usize::from(row % 8 == 3 && column == 1);
    let slanted = |row: u32, column: u32| usize::from((row + 3 * column).is_multiple_of(16));
    let zigzag = |row: u32, column: u32| {
        let to = if row % 12 < 6 { row % 6 } else { 6 - row % 6 };
        usize::from(column == 2 + to && row.is_multiple_of(2))
    };
    let bands: [&dyn Fn(u32, u32) -> usize; 4] = [&dots, &edge, &slanted, &zigzag];
    for (at, band) in bands.into_iter().enumerate() {
        let text = chart(9, 72, &COLOURS[..2], band);
        assert!(found(&text, &[], "alone").is_empty(), "band {at}");
    }
    let more = |row, column| match (row, column) {
        (40, 6) => 1,
        _ => dots(row, column),
    };
    let stray = one(&chart(9, 72, &COLOURS[..2], more), &[], "alone");
    assert_eq!(stray["beads"], json!([{ "row": 40, "column": 6 }]));
}

/// Pairs as `upbead palette` names them for the shelf: mussel grey and steel are alike worn, amber
/// and sea lettuce to red-weak sight, herring grey and seafoam to green-weak sight.
#[test]
fn colours_that_are_alike_worn_or_to_weak_sight_are_named() {
    for (one, other, sight, said) in [
        ("4E5456", "545962", "full", "hard to tell apart: "),
        ("E5A332", "7AB22D", "protan", "to red-weak sight (protan)"),
        ("BBBEC1", "79D3BF", "deutan", "to green-weak sight (deutan)"),
    ] {
        let colours = [("a", "one", one), ("b", "other", other)];
        let worn = found(&chart(9, 40, &colours, stripes), &[], "alike-worn");
        let of = worn.iter().find(|finding| finding["sight"] == sight);
        let of = of.unwrap_or_else(|| panic!("{sight}: {worn:?}"));
        assert_eq!(of["colours"], json!(["a", "b"]));
        assert!(of["text"].as_str().unwrap().contains(said), "{of}");
    }
    let apart = chart(9, 40, &COLOURS[..2], stripes);
    assert!(found(&apart, &[], "alike-worn").is_empty());
}

#[test]
fn a_repeat_that_does_not_divide_the_rows_is_named_with_the_rows_that_fit() {
    let band = |row: u32, _| usize::from(row % 8 < 3);
    let repeat = one(&chart(9, 74, &COLOURS[..2], band), &[], "repeat");
    assert_eq!(
        (&repeat["measure"], &repeat["unit"]),
        (&json!(8), &json!("rows"))
    );
    assert_eq!(repeat["fitting"], json!([72, 80, 64, 88]));
    assert!(found(&chart(9, 72, &COLOURS[..2], band), &[], "repeat").is_empty());
    // Motifs on a ground whose gap at the seam has two rows more: so sizes are made.
    let motifs = |row: u32, column: u32| {
        let at = (row + 8) % 18;
        usize::from(at < 9 && (column + at) % 9 < 4)
    };
    let broken = chart(9, 74, &COLOURS[..2], motifs);
    assert!(found(&broken, &[], "repeat").is_empty());
}
