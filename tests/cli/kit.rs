//! `upbead kit`.

mod refused;
mod several;

use crate::common::{Bench, Run, golden, repository, valid};
use std::fs;
use std::process::Stdio;

/// Fifteen beads on a closed band of 5 columns and 6 rows: 8 gull white, 7 buoy "red"; brass is not
/// in use.
const CHART: &str = "golden/chart/small.json";
/// Half a gram of white; enough red.
const OWNED: &str = "code,name,hex,grams,per_gram,price\n\
    quay-01,gull white,FAFAF6,0.5,201,0.40\n\
    quay-11,buoy red,CD2626,,,0.50\n";

fn chart() -> String {
    let text = fs::read_to_string(repository("tests").join(CHART)).unwrap();
    assert!(text.contains("\"columns\": 5"), "test file is broken");
    text
}

fn bench() -> Bench {
    let bench = Bench::new();
    bench.put("band.json", chart());
    bench.put("owned.csv", OWNED);
    bench
}

/// The text without its line breaks.
fn unbroken(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn kit(arguments: &[&str]) -> Run {
    bench().run(&[&["kit", "band.json"], arguments].concat())
}

/// 10% of 8 is 0.8 and of 7 is 0.7, each one bead more: 9 / 200 = 0.045 g and 8 / 200 = 0.04 g,
/// shown as 0.05 and 0.04.
#[test]
fn the_beads_of_one_ring_are_counted_and_weighed() {
    let run = kit(&[]).ok();
    assert_eq!(run.err, "");
    golden("kit/small.txt", &run.bytes);
    let json = kit(&["--json"]).ok().json();
    valid(&json, "kit");
    let colour = |at: usize| &json["colours"][at];
    assert_eq!(
        (&colour(0)["beads"], &colour(0)["beads_with_spare"]),
        (&8.into(), &9.into())
    );
    assert_eq!(
        (&colour(0)["grams"], &colour(1)["grams"]),
        (&0.045.into(), &0.04.into())
    );
    assert_eq!(colour(0)["per_gram_source"], "table");
    assert!(colour(0)["in_stock_grams"].is_null() && colour(0)["short_beads"].is_null());
    assert_eq!(
        json["colours"].as_array().unwrap().len(),
        2,
        "brass is not in use"
    );
    assert_eq!(json["total"]["beads_with_spare"], 17);
}

/// White: 96, and 10 of the 9.6 to spare: 106, at the palette's own 201 a gram 0.5274 g, 0.21 at
/// 0.40 a gram. Half a gram holds 100 whole beads, so 6 are short: 0.0299 g, 0.01. Red: 84 and 9
/// are 93, at 200 a gram 0.465 g, 0.23 at 0.50. Eleven rings take 88 and 9 white beads, which is
/// not above 100.
#[test]
fn twelve_rings_are_compared_with_the_stock() {
    let options = ["--palette", "owned.csv", "--make", "12"];
    golden("kit/twelve.txt", &kit(&options).ok().bytes);
    let csv = kit(&[&options[..], &["--as", "csv"]].concat()).ok();
    golden("kit/twelve.csv", &csv.bytes);
    let json = kit(&[&options[..], &["--json"]].concat()).ok();
    golden("kit/twelve.json", &json.bytes);

    let json = json.json();
    valid(&json, "kit");
    let (white, red) = (&json["colours"][0], &json["colours"][1]);
    assert_eq!(
        (&white["beads"], &white["beads_with_spare"]),
        (&96.into(), &106.into())
    );
    assert_eq!(
        (&white["grams"], &white["cost"]),
        (&0.527.into(), &0.21.into())
    );
    assert_eq!(
        (&white["short_beads"], &white["short_grams"]),
        (&6.into(), &0.03.into())
    );
    assert_eq!(white["cost_short"], 0.01);
    assert_eq!((&red["grams"], &red["cost"]), (&0.465.into(), &0.23.into()));
    assert_eq!(
        (&red["per_gram"], &white["per_gram"]),
        (&200.0.into(), &201.0.into())
    );
    assert_eq!(
        (&red["in_stock_grams"], &red["short_beads"]),
        (&serde_json::Value::Null, &0.into())
    );
    assert_eq!(
        (&json["enough_for"], &json["total"]["beads"]),
        (&11.into(), &180.into())
    );
}

/// Read back by another reader: what a spreadsheet would see.
#[test]
fn csv_has_a_header_and_a_row_a_colour() {
    let run = kit(&["--as", "csv", "--make", "3", "--spare", "0"]).ok();
    let mut reader = csv::Reader::from_reader(run.out.as_bytes());
    let heads = reader.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 2);
    let cell = |row: usize, head: &str| {
        let at = heads.iter().position(|one| one == head).unwrap();
        rows[row][at].to_string()
    };
    assert_eq!(cell(1, "name"), "buoy \"red\"");
    // 3 x 7 = 21, 21 / 200 = 0.105.
    assert_eq!(cell(1, "beads_with_spare"), "21");
    assert_eq!(cell(1, "grams"), "0.105");
    assert_eq!(cell(1, "in_stock_grams") + &cell(1, "cost"), "");
    assert!(run.out.lines().count() == 3 && run.out.ends_with("\r\n"));
}

#[test]
fn names_that_a_spreadsheet_would_compute_are_made_harmless() {
    let names = [
        ("=1+1", "'=1+1"),
        ("+49 40", "'+49 40"),
        ("-sea", "'-sea"),
        ("@SUM(A1)", "'@SUM(A1)"),
        (
            "=HYPERLINK(\"https://harbour.example\",\"x\")",
            "'=HYPERLINK(\"https://harbour.example\",\"x\")",
        ),
        ("＝1+1", "'＝1+1"),
        ("\t=1+1", "'\u{fffd}=1+1"),
        ("\r=1+1", "'\u{fffd}=1+1"),
        ("sea - green", "sea - green"),
        ("'sea", "'sea"),
    ];
    let bench = bench();
    let original = bench.text("band.json");
    for (name, cell) in names {
        let mut chart: serde_json::Value = serde_json::from_str(&original).unwrap();
        chart["colours"][0]["name"] = name.into();
        bench.put("band.json", chart.to_string());
        let run = bench.line("kit band.json --as csv").ok();
        let mut reader = csv::Reader::from_reader(run.out.as_bytes());
        let row = reader.records().next().unwrap().unwrap();
        assert_eq!(&row[1], cell);
        let warned = run
            .err
            .contains("would be a formula: an apostrophe stands before it");
        assert_eq!(warned, cell != name, "{}", run.told());
    }
}

#[test]
fn the_thread_is_itemised_and_its_items_add_up() {
    let json = kit(&["--json", "--make", "7", "--tail", "150"]).ok().json();
    let thread = &json["thread"];
    let items = thread["items"].as_array().unwrap();
    let length = |item: &serde_json::Value| item["length_mm"].as_f64().unwrap();
    let sum: f64 = items.iter().map(length).sum();
    let each = thread["each_mm"].as_f64().unwrap();
    assert!((sum - each).abs() < 0.01, "{sum} {each}");
    assert!((thread["all_mm"].as_f64().unwrap() - 7.0 * each).abs() < 0.01);
    assert_eq!(items[0]["item"], "tail");
    assert_eq!(length(&items[0]), 150.0);
    // 15 beads of 1.3 mm are passed at least once each.
    assert!(length(&items[1]) > 15.0 * 1.3);
}

/// A tail is woven in over four legs of beads, which here takes more than 10 mm: both places say
/// the length that the thread has.
#[test]
fn a_tail_that_is_too_short_is_made_longer_and_stated_once() {
    let run = kit(&["--tail", "10"]).ok();
    let listed = run
        .out
        .lines()
        .find_map(|line| line.split_once("  tail left at the stopper bead"))
        .map(|(length, _)| length.trim().to_string())
        .expect("the tail in the list");
    assert!(
        unbroken(&run.out).contains(&format!(
            "- a tail of 10 mm is too short to weave in; the thread includes {listed}"
        )),
        "{}",
        run.told()
    );
    let json = kit(&["--tail", "10", "--json"]).ok().json();
    valid(&json, "kit");
    let warning = &json["warnings"][0];
    let tail = &json["thread"]["items"][0];
    assert_eq!(
        (&warning["kind"], &warning["asked_mm"], &warning["tail_mm"]),
        (&"tail_lengthened".into(), &10.0.into(), &tail["length_mm"])
    );
    let parts = warning["parts"].as_array().unwrap();
    assert!(parts.iter().all(serde_json::Value::is_string), "{warning}");
}

#[test]
fn percent_may_be_written_or_not() {
    let ten = kit(&[]).ok();
    for spare in ["10", "10%", "10 %", "10.0%", " 10"] {
        assert_eq!(kit(&["--spare", spare]).ok().out, ten.out, "{spare}");
    }
    let beads = |spare| {
        let json = kit(&["--spare", spare, "--json"]).ok().json();
        json["colours"][0]["beads_with_spare"].as_u64().unwrap()
    };
    // 8 and none, 8 and 12.5% = 1 exactly, 8 and 8, 8 and 80.
    assert_eq!(["0", "12.5%", "100%", "1000"].map(beads), [8, 9, 16, 88]);
}

#[test]
fn a_size_without_published_measures_says_so() {
    let size = |length: &str, diameter: &str, hole: &str| {
        let bench = bench();
        let measures =
            format!("\"length_mm\": {length}, \"diameter_mm\": {diameter}, \"hole_mm\": {hole}");
        let text = chart().replace(
            "\"length_mm\": 1.3, \"diameter_mm\": 1.6, \"hole_mm\": 0.8",
            &measures,
        );
        bench.put("band.json", text);
        bench.run(&["kit", "band.json"]).ok().out
    };
    let weigh = "weigh 100 of yours, and write per_gram into your palette";
    let fine = size("1", "1.3", "0.65");
    assert!(
        unbroken(&fine).contains(&format!(
            "- 400 beads a gram is computed from measures of 15/0 without a source: {weigh}"
        )),
        "{fine}"
    );
    assert!(fine.contains("Needle:  size 12 or finer"), "{fine}");
    // pi/4 (1.6^2 - 0.8^2) 1.4 = 2.1112 mm^3, at 2.5 mg 5.278 mg: 189.5 a gram.
    let own = size("1.4", "1.6", "0.8");
    assert!(own.contains("Grams:   189 beads a gram\n"), "{own}");
    let note =
        format!("- 189 beads a gram is computed from the glass of a 1.4x1.6x0.8 bead: {weigh}");
    assert!(unbroken(&own).contains(&note), "{own}");
}

#[test]
fn the_same_code_with_another_look_is_noted() {
    let bench = bench();
    bench.put("owned.csv", OWNED.replace("FAFAF6", "BBBEC1"));
    let run = bench
        .run(&["kit", "band.json", "--palette", "owned.csv"])
        .ok();
    assert!(
        unbroken(&run.out).contains(
            "- quay-01 is FAFAF6 in the chart and BBBEC1 in the palette, \
             difference 14.2: check that it is the same bead"
        ),
        "{}",
        run.told()
    );
    bench.put("owned.csv", OWNED.replace("FAFAF6", "F7FAF6"));
    let run = bench
        .run(&["kit", "band.json", "--palette", "owned.csv"])
        .ok();
    assert!(
        !run.out.contains("in the palette, difference"),
        "{}",
        run.told()
    );
}

#[test]
fn the_cost_leaves_out_colours_without_a_price() {
    let bench = bench();
    bench.put("owned.csv", OWNED.replace(",0.50", ","));
    let arguments = ["kit", "band.json", "--palette", "owned.csv", "--make", "12"];
    let run = bench.run(&arguments).ok();
    assert!(
        run.out
            .contains("no price for buoy \"red\"; the sums leave them out"),
        "{}",
        run.told()
    );
    let json = bench
        .run(&[&arguments[..], &["--json"]].concat())
        .ok()
        .json();
    assert_eq!(
        (&json["total"]["cost"], &json["colours"][1]["cost"]),
        (&0.21.into(), &serde_json::Value::Null)
    );
}

/// Thread of 0.4 mm is a quarter of the 0.8 mm hole's section, and 0.75 (0.64 - 0.09) / 0.16 = 2.58
/// lie beside the finest needle: three passes.
#[test]
fn holes_that_are_too_full_name_no_needle() {
    let run = kit(&["--thread", "0.4"]).ok();
    assert!(
        run.out
            .contains("Needle:  none goes through; the fullest hole takes"),
        "{}",
        run.told()
    );
    assert!(
        unbroken(&run.out).contains("never force a needle"),
        "{}",
        run.told()
    );
    assert!(kit(&["--thread", "0.4", "--json"]).ok().json()["needle"].is_null());
}

#[test]
fn a_closed_pipe_is_no_error() {
    let bench = bench();
    let arguments = ["kit", "band.json", "--json"];
    let mut child = bench
        .command(&arguments)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    drop(child.stdout.take());
    let run = bench.ended(
        &arguments,
        child.wait_with_output().expect("the program ends"),
    );
    assert_eq!(
        (run.status, run.err.as_str()),
        (Some(0), ""),
        "{}",
        run.told()
    );
}
