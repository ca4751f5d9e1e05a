//! Names and values from outside never reach the terminal as more than letters: no control
//! character, no second line, no mark that turns the line round.

#![cfg(unix)]

use crate::common::{Bench, Run, repository};
use std::fs;

/// Sets a title, colours, clears, fakes a line, moves by C1, reverses, isolates, separates.
const EVIL: &str =
    "\u{1b}]0;owned\u{7}\u{1b}[31m\rred\nerror: faked\u{9b}2J\u{202e}der\u{2066}\u{200f}\u{2028}x";

fn is_hidden(letter: char) -> bool {
    letter.is_control()
        || "\u{61c}\u{200e}\u{200f}\u{2028}\u{2029}\u{202a}\u{202b}\u{202c}\u{202d}\u{202e}\
            \u{2066}\u{2067}\u{2068}\u{2069}"
            .contains(letter)
}

/// Nothing hidden but line ends, and no line that the evil name has begun.
#[track_caller]
fn harmless(run: &Run) {
    // CSV ends its lines so.
    let out = run.out.replace("\r\n", "\n");
    for (stream, text) in [("out", &out), ("err", &run.err)] {
        let hidden = text
            .chars()
            .find(|letter| is_hidden(*letter) && *letter != '\n');
        assert_eq!(hidden, None, "{stream}\n{}", run.told().escape_debug());
        let faked = text.lines().any(|line| line.starts_with("error: faked"));
        assert!(!faked, "{stream}\n{}", run.told());
    }
}

/// A file name: as evil, without what names cannot have.
fn evil_name(ending: &str) -> String {
    EVIL.replace('/', "") + ending
}

fn bench() -> Bench {
    let bench = Bench::new();
    for (folder, name) in [("samples", "tide-line.png"), ("palettes", "tin.csv")] {
        bench.put(name, fs::read(repository(folder).join(name)).unwrap());
    }
    let row =
        |code: &str, name: &str, hex: &str| format!("\"{code}{EVIL}\",\"{name}{EVIL}\",{hex},1\n");
    let csv = "code,name,hex,grams\n".to_string()
        + &row("a", "sand", "E8D8B0")
        + &row("b", "sea", "1C3261")
        + &row("c", "sea too", "1C3262")
        + &row("d", "foam", "FFFFFF");
    bench.put("evil.csv", &csv);
    bench.put(&evil_name(".csv"), &csv);
    let line = EVIL.replace(['\n', '\r'], "");
    bench.put(
        "evil.gpl",
        format!("GIMP Palette\nName: {line}\n#\n1 2 3\t{line}\n200 210 220\tsand{line}\n"),
    );
    bench.put(&evil_name(".png"), bench.get("tide-line.png"));
    let gauge = format!(
        "{{\"format\": \"upbead-gauge\", \"version\": 1, \"gauges\": [{{\"bead\": {{\"length_mm\": 1.3, \
         \"diameter_mm\": 1.6, \"hole_mm\": 0.8}}, \"pitch_mm\": 1.65, \"from\": {}}}]}}",
        serde_json::Value::from(EVIL)
    );
    bench.put("gauge.json", gauge);
    bench
        .run(&[
            "chart",
            "tide-line.png",
            "--palette",
            "evil.csv",
            "--rows",
            "72",
            "-o",
            "band.json",
        ])
        .ok();
    let text = bench.text("band.json");
    let mut chart: serde_json::Value = serde_json::from_str(&text).unwrap();
    chart["title"] = EVIL.into();
    chart["notes"] = EVIL.into();
    bench.put("band.json", chart.to_string());
    bench.put(&evil_name(".json"), chart.to_string());
    bench
}

#[test]
fn every_verb_shows_evil_names_as_letters() {
    let bench = bench();
    let (csv, png, json) = (evil_name(".csv"), evil_name(".png"), evil_name(".json"));
    let (csv, png, json) = (csv.as_str(), png.as_str(), json.as_str());
    let calls: &[&[&str]] = &[
        &[
            "chart",
            png,
            "--palette",
            csv,
            "--size",
            "us7",
            "-o",
            "new\u{1b}[2J\n.json",
            "--preview",
            "p\u{9b}\n.png",
        ],
        &[
            "chart",
            png,
            "--palette",
            "evil.gpl",
            "--size",
            "us7",
            "-o",
            "g.json",
            "--place",
            "motif",
        ],
        &[
            "chart",
            png,
            "--palette",
            csv,
            "--size",
            "us7",
            "--json",
            "-o",
            "h.json",
        ],
        &["chart", png, "--palette", csv, "--size", "us7", "-o", "-"],
        &[
            "chart",
            png,
            "--palette",
            csv,
            "--size",
            "us7",
            "--from-stock",
            "-o",
            "s.json",
        ],
        &[
            "propose",
            png,
            "--palette",
            csv,
            "--size",
            "us7",
            "--columns",
            "7",
        ],
        &[
            "propose",
            png,
            "--palette",
            csv,
            "--size",
            "us7",
            "--columns",
            "7",
            "--take",
            "1",
            "-o",
            "t\n.json",
        ],
        &["refine", json, "--picture", png, "--palette", csv],
        &["compare", json, "--picture", png],
        &["compare", json, "--picture", png, "--json"],
        &["show", json],
        &["show", json, "--flat", "-"],
        &["weave", json],
        &["weave", json, "--as", "markdown"],
        &["weave", json, "--json"],
        &["print", json, "-o", "\u{1b}[31m\n.pdf"],
        &["kit", json, "--palette", csv],
        &["kit", json, "--palette", csv, "--as", "csv"],
        &["kit", json, "--palette", csv, "--json"],
        &["check", json, "--palette", csv],
        &[
            "resize",
            json,
            "--sizes",
            "us7..us9",
            "--nearest",
            "-o",
            ".",
            "--gauge",
            "gauge.json",
        ],
        &["swap", json, "--palette", "tin.csv"],
        &["swap", json, "--palette", csv, "-o", "swapped\n.json"],
        &["palette", csv],
        &["palette", csv, "--json"],
        &["palette", "evil.gpl"],
        &["fit", "--size", "us7", "--gauge", "gauge.json"],
        &["fit", "--size", "us7", "--gauge", "gauge.json", "--json"],
        &[
            "fit",
            "--fits",
            "74=us7",
            "--remember",
            "--gauge",
            "mine\u{1b}\n.json",
        ],
    ];
    for call in calls {
        harmless(&bench.run(call).ok());
    }
}

#[test]
fn every_error_shows_evil_names_and_values_as_letters() {
    let bench = bench();
    let missing = format!("missing{EVIL}");
    let missing = missing.as_str();
    let broken = format!("broken{EVIL}");
    bench.put(
        &broken,
        format!("code,name,hex\n\"{EVIL}\",\"{EVIL}\",\"{EVIL}\"\n"),
    );
    let field = serde_json::Value::from(EVIL);
    bench.put(
        "broken.json",
        format!("{{\"format\": \"upbead-chart\", {field}: 1}}"),
    );
    bench.put("gauge.bad", format!("{{\"format\": {field}}}"));
    let broken = broken.as_str();
    let files: &[&[&str]] = &[
        &["chart", missing, "--palette", "tin.csv"],
        &["chart", "tide-line.png", "--palette", missing],
        &["chart", "tide-line.png", "--palette", broken],
        &["chart", broken, "--palette", "tin.csv"],
        &[
            "chart",
            "tide-line.png",
            "--palette",
            "tin.csv",
            "-o",
            "no\u{1b}\n/x.json",
        ],
        &[
            "chart",
            "tide-line.png",
            "--palette",
            "tin.csv",
            "--gauge",
            "gauge.bad",
            "--size",
            "us7",
        ],
        &["show", "broken.json"],
        &["show", missing],
        &["fit", "--size", "us7", "--gauge", "gauge.bad"],
        &["swap", "band.json", "--palette", missing],
        &["compare", "band.json", "--picture", broken],
        &["resize", "band.json", "--sizes", "us7", "-o", missing],
        &["desk", "--chart", "broken.json", "--no-open"],
        &["desk", "--palette", broken, "--no-open"],
        &[missing],
        &["chart", "--\u{1b}[31mx\n\u{202e}"],
    ];
    let mut calls: Vec<Vec<&str>> = files.iter().map(|call| call.to_vec()).collect();
    let charting = [
        "size",
        "columns",
        "rows",
        "bead",
        "swatch",
        "fits",
        "gauge",
        "prefer",
        "colours",
        "keep",
        "without",
        "pin",
        "dither",
        "place",
        "rotate",
        "crop",
        "scaling",
        "ground",
        "mirror",
        "match",
        "preview",
        "crisp",
        "calm",
        "distance",
        "distances",
        "margin",
        "strength",
    ];
    for option in charting {
        let flag: &str = Box::leak(format!("--{option}").into_boxed_str());
        calls.push(vec![
            "chart",
            "tide-line.png",
            "--palette",
            "tin.csv",
            "-o",
            "x.json",
            flag,
            EVIL,
        ]);
    }
    for (verb, options) in [
        ("show", &["flat", "ring", "turntable", "seen"][..]),
        ("weave", &["rows", "page", "as", "start", "keys"]),
        (
            "kit",
            &["make", "spare", "thread", "needle", "as", "palette"],
        ),
        ("print", &["paper", "sizes", "title", "palette", "picture"]),
        ("check", &["palette", "make"]),
    ] {
        for option in options {
            let flag: &str = Box::leak(format!("--{option}").into_boxed_str());
            calls.push(vec![verb, "band.json", flag, EVIL]);
        }
    }
    for call in &calls {
        let run = bench.run(call);
        assert_ne!(run.status, None, "{}", run.told());
        harmless(&run);
        let lines: Vec<&str> = run.err.lines().collect();
        let errors = lines
            .iter()
            .filter(|line| line.starts_with("error: "))
            .count();
        assert!(errors <= 1, "{}", run.told());
    }
}
