//! `upbead set`, `shift`, `flip` and `repeat`.

use crate::common::{Bench, Run, golden, repository};
use crate::schema::suits;
use serde_json::Value;
use std::fs;

/// A tide line with one gull on a ring of 9 columns and 12 rows.
const GULL: &str = include_str!("../data/gull.json");

fn bench() -> Bench {
    let bench = Bench::new();
    bench.put("gull.json", GULL);
    bench.put("tin.csv", fs::read(repository("palettes/tin.csv")).unwrap());
    bench
}

/// What was printed, and below it the rows of the chart that was written, the last one on top.
fn written(bench: &Bench, run: &Run, name: &str) -> Vec<u8> {
    let rows = rows(bench, name);
    let rows = rows.as_array().unwrap().iter().enumerate().rev();
    let line = |(at, row): (usize, &Value)| {
        let beads = row.as_array().unwrap().iter();
        let beads: Vec<String> = beads.map(Value::to_string).collect();
        let indent = if at % 2 == 0 { "" } else { "  " };
        format!("{:2}  {indent}{}\n", at + 1, beads.join("   "))
    };
    format!("{}\n{}", run.out, rows.map(line).collect::<String>()).into_bytes()
}

fn rows(bench: &Bench, name: &str) -> Value {
    let chart: Value = serde_json::from_slice(&bench.get(name)).unwrap();
    chart["rows"].clone()
}

#[test]
fn beads_are_set_by_row_and_column_with_their_mirror_images() {
    let bench = bench();
    let run = bench
        .line("set gull.json 1:9=foam 2..3:7..=f 6:8=s --mirror columns -o mended.json")
        .ok();
    golden("mend/set.txt", &written(&bench, &run, "mended.json"));
    bench.line("check mended.json").ok();
    // The later one counts where two overlap, and beads that are so already do not count.
    let run = bench
        .line("set gull.json ..:..=f 5:5=s 1:1=f -o - --mirror none")
        .ok();
    assert!(
        run.err.starts_with("chart: 42 of 54 beads changed\n"),
        "{}",
        run.told()
    );
    assert_eq!(run.json()["rows"][4], serde_json::json!([1, 1, 0, 1, 1]));
}

#[test]
fn a_bead_set_and_set_back_gives_the_same_chart() {
    let bench = bench();
    bench.line("set gull.json 6:8=s 1:1=s --force").ok();
    assert_ne!(bench.text("gull.json"), GULL);
    let run = bench.line("set gull.json 6:8=b 1:1=f --force --json").ok();
    suits("mend", &run.json());
    assert_eq!(run.json()["changed"], 2);
    assert_eq!(bench.text("gull.json"), GULL);
}

#[test]
fn colours_of_a_palette_are_added_to_the_chart() {
    let bench = bench();
    let run = bench
        .line("set gull.json 11:..=quay-09 --palette tin.csv --force")
        .ok();
    golden("mend/set-palette.txt", &run.bytes);
    let chart: Value = serde_json::from_slice(&bench.get("gull.json")).unwrap();
    assert_eq!(chart["colours"][3]["code"], "quay-09");
    assert_eq!(chart["rows"][10], serde_json::json!([3, 3, 3, 3, 3]));
}

#[test]
fn a_shifted_pattern_comes_back() {
    let bench = bench();
    let run = bench
        .line("shift gull.json --up 4 --right -2 -o moved.json")
        .ok();
    golden("mend/shift.txt", &written(&bench, &run, "moved.json"));
    bench
        .line("shift moved.json --up -4 --right 2 --force")
        .ok();
    assert_eq!(bench.text("moved.json"), bench.text("gull.json"));
    let run = bench.line("shift gull.json --up 12 --force").ok();
    assert_eq!(run.out, "gull.json: no bead changed\n");
    assert_eq!(bench.text("gull.json"), GULL);
}

#[test]
fn a_chart_flipped_twice_is_the_same() {
    let bench = bench();
    for way in ["columns", "rows", "both"] {
        let flip = |from: &str, to: &str| {
            bench
                .line(&format!("flip {from} --mirror {way} -o {to}"))
                .ok()
        };
        flip("gull.json", "once.json");
        flip("once.json", "twice.json");
        assert_ne!(
            rows(&bench, "once.json"),
            rows(&bench, "gull.json"),
            "{way}"
        );
        assert_eq!(bench.text("twice.json"), GULL, "{way}");
        fs::remove_file(bench.path("once.json")).unwrap();
        fs::remove_file(bench.path("twice.json")).unwrap();
    }
    let run = bench.line("flip gull.json -o flipped.json").ok();
    golden("mend/flip.txt", &written(&bench, &run, "flipped.json"));
}

#[test]
fn rows_are_repeated_over_the_band_or_so_many_times() {
    let bench = bench();
    let run = bench.line("repeat gull.json --rows 6..9 -o full.json").ok();
    golden("mend/repeat.txt", &written(&bench, &run, "full.json"));
    let run = bench
        .line("repeat gull.json --rows 6..9 --times 5 -o five.json")
        .ok();
    assert!(
        run.out.contains("rows: 12 before, 20 after"),
        "{}",
        run.told()
    );
    let (full, five) = (rows(&bench, "full.json"), rows(&bench, "five.json"));
    // The part begins with an even row: row 1 is its first odd one.
    let part = &full.as_array().unwrap()[6..10];
    assert!(five.as_array().unwrap().chunks(4).all(|rows| rows == part));
    bench.line("check five.json").ok();
}

/// Calls of `set` that are refused: the call, the status, the error.
const BAD_SETS: &[(&str, i32, &str)] = &[
    (
        "set gull.json 6:5=foam --force",
        2,
        "error: gull.json: there is no bead in row 6, column 5\n\
         hint: row 6 has beads in the columns 2, 4, 6 and 8",
    ),
    (
        "set gull.json 13:1=foam --force",
        2,
        "error: gull.json: there is no row 13 in '13:1=foam'\n\
         hint: the rows of this band are 1..12",
    ),
    (
        "set gull.json 1:..10=foam --force",
        2,
        "error: gull.json: there is no column 10 in '1:..10=foam'\n\
         hint: the columns of this band are 1..9",
    ),
    (
        "set gull.json 1:1=foamy --force",
        1,
        "error: gull.json: no colour has the code or name 'foamy'\n  other colours \
         than the chart's come from --palette\n\
         hint: did you mean f?",
    ),
    (
        "set gull.json 1:1 --force",
        2,
        "error: '1:1' names no colour\n\
         hint: write ROWS:COLUMNS=COLOUR, such as 40:4=navy or 12..14:3=gold",
    ),
    (
        "set gull.json 1:1=s",
        2,
        "error: nothing says where the changed chart goes\n\
         hint: add --force to change the chart in place, or name a file with -o",
    ),
    (
        "set gull.json 1:1=s --palette tin.csv -o tin.csv --force",
        2,
        "error: -o: 'tin.csv' is read and cannot be written over\nhint: choose another name",
    ),
    (
        "set - 1:1=s --json",
        2,
        "error: --json: the chart and what changed cannot both go to standard output\n\
         hint: give the chart a file with -o",
    ),
];

/// Calls of the others.
const BAD_MOVES: &[(&str, i32, &str)] = &[
    (
        "shift gull.json --force",
        2,
        "error: nothing says how far to shift the pattern\n\
         hint: add --up, such as --up 2, or --right, such as --right 2",
    ),
    (
        "shift gull.json --up 3 --force",
        2,
        "error: gull.json: the beads would fall between beads: one of rows and columns is \
         odd\nhint: move it by an even number of rows and an even number of columns",
    ),
    (
        "shift gull.json --up 3 --right 1 --force",
        2,
        "error: gull.json: a band of 9 columns cannot move by an odd number: odd and even \
         columns differ in length\n\
         hint: move it by an even number of rows and an even number of columns",
    ),
    (
        "repeat gull.json --rows 5..9 --force",
        2,
        "error: gull.json: rows 5..9 are 5 rows: an odd number cannot be repeated, since odd \
         and even rows differ\nhint: take 5..8 or 5..10",
    ),
    (
        "repeat gull.json --rows 2..9 --force",
        1,
        "error: gull.json: 8 rows do not go evenly into the 12 rows of the ring\n\
         hint: add --times 1 for 8 rows or --times 2 for 16 rows",
    ),
    (
        "repeat gull.json --rows 9..14 --force",
        2,
        "error: --rows: there is no row 14 in this band\nhint: its rows are 1..12",
    ),
    (
        "repeat gull.json --rows 1..2 --times 2 --force",
        2,
        "error: --times: 4 rows cannot be charted\nhint: use 6 to 20,000 rows",
    ),
];

#[test]
fn wrong_arguments_are_refused_with_their_own_message() {
    let bench = bench();
    for (call, status, error) in BAD_SETS.iter().chain(BAD_MOVES) {
        bench.line(call).fails(*status, error);
    }
    assert_eq!(bench.text("gull.json"), GULL);
    assert_eq!(bench.listing(), "gull.json tin.csv");
}
