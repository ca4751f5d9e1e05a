//! A chart and its summary, whole, for a person to read.

use super::{bench, chart};
use crate::common::{Bench, Run, golden};

fn kittiwake(bench: &Bench) -> Run {
    let how = [
        "--columns",
        "7",
        "--rows",
        "12",
        "--place",
        "motif",
        "--ground",
        "quay-58",
    ];
    let more = ["--title", "Kittiwake", "--preview", "svg"];
    chart(bench, "kittiwake.svg", &[&how[..], &more].concat()).ok()
}

#[test]
fn a_small_motif() {
    let bench = bench(&["tin.csv", "kittiwake.svg"]);
    kittiwake(&bench);
    let text = bench.text("band.json");
    // The version of the program is no part of what is held.
    let version = format!("\"version\": \"{}\"", env!("CARGO_PKG_VERSION"));
    assert!(text.contains(&version), "{text}");
    let text = text.replace(&version, "\"version\": \"(this)\"");
    golden("chart/kittiwake.json", text.as_bytes());
}

#[test]
fn a_summary_for_a_person() {
    let run = kittiwake(&bench(&["tin.csv", "kittiwake.svg"]));
    golden("chart/kittiwake.txt", &run.bytes);
}

#[test]
fn a_summary_for_programs() {
    let bench = bench(&["tin.csv", "lighthouse.svg"]);
    let how = [
        "--size",
        "us7",
        "--swatch",
        "40=33.6",
        "--mirror",
        "columns",
        "--colours",
        "4",
        "--json",
    ];
    let run = chart(&bench, "lighthouse.svg", &how).ok();
    golden("chart/lighthouse.json", &run.bytes);
}
