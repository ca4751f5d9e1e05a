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
    let gauge = serde_json::json!({
        "format": "upbead-gauge",
        "version": 1,
        "gauges": [{
            "bead": { "length_mm": 1.3, "diameter_mm": 1.6, "hole_mm": 0.8 },
            "pitch_mm": 1.65,
            "from": EVIL,
        }],
    });
    let gauge = gauge.to_string();
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

/// Calls that succeed; words in capitals stand for evil names.
const VERBS: [&str; 29] = [
    "chart PNG --palette CSV --size us7 -o NEW.json --preview NEW.png",
    "chart PNG --palette evil.gpl --size us7 -o g.json --place motif",
    "chart PNG --palette CSV --size us7 --json -o h.json",
    "chart PNG --palette CSV --size us7 -o -",
    "chart PNG --palette CSV --size us7 --from-stock -o s.json",
    "propose PNG --palette CSV --size us7 --columns 7",
    "propose PNG --palette CSV --size us7 --columns 7 --take 1 -o NEW2.json",
    "refine JSON --picture PNG --palette CSV",
    "compare JSON --picture PNG",
    "compare JSON --picture PNG --json",
    "show JSON",
    "show JSON --flat -",
    "weave JSON",
    "weave JSON --as markdown",
    "weave JSON --json",
    "print JSON -o NEW.pdf",
    "kit JSON --palette CSV",
    "kit JSON --palette CSV --as csv",
    "kit JSON --palette CSV --json",
    "check JSON --palette CSV",
    "resize JSON --sizes us7..us9 --nearest -o . --gauge gauge.json",
    "swap JSON --palette tin.csv",
    "swap JSON --palette CSV -o NEW3.json",
    "palette CSV",
    "palette CSV --json",
    "palette evil.gpl",
    "fit --size us7 --gauge gauge.json",
    "fit --size us7 --gauge gauge.json --json",
    "fit --fits 74=us7 --remember --gauge NEW4.json",
];

#[test]
fn every_verb_shows_evil_names_as_letters() {
    let bench = bench();
    for call in VERBS {
        let evil = |word: &str| match word {
            "PNG" => evil_name(".png"),
            "CSV" => evil_name(".csv"),
            "JSON" => evil_name(".json"),
            word => word.replace("NEW", "new\u{1b}[2J\u{9b}\n\u{202e}"),
        };
        let words: Vec<String> = call.split(' ').map(evil).collect();
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        harmless(&bench.run(&words).ok());
    }
}

/// Calls that fail; `MISSING` and `BROKEN` are files with evil names, `EVIL` is a value.
const FILES: [&str; 16] = [
    "chart MISSING --palette tin.csv",
    "chart tide-line.png --palette MISSING",
    "chart tide-line.png --palette BROKEN",
    "chart BROKEN --palette tin.csv",
    "chart tide-line.png --palette tin.csv -o EVIL/x.json",
    "chart tide-line.png --palette tin.csv --gauge gauge.bad --size us7",
    "show broken.json",
    "show MISSING",
    "fit --size us7 --gauge gauge.bad",
    "swap band.json --palette MISSING",
    "compare band.json --picture BROKEN",
    "resize band.json --sizes us7 -o MISSING",
    "desk broken.json --no-open",
    "desk --palette BROKEN --no-open",
    "EVIL",
    "chart --EVIL",
];

/// A call and the options of it that are given an evil value.
const OPTIONS: [(&str, &str); 6] = [
    (
        "chart tide-line.png --palette tin.csv -o x.json",
        "size columns rows bead swatch fits gauge prefer colours keep without dither place rotate \
         crop scaling ground mirror match preview crisp calm distances margin strength",
    ),
    ("show band.json", "flat ring turntable seen"),
    ("weave band.json", "rows page as start keys"),
    ("kit band.json", "make spare thread needle as palette"),
    ("print band.json", "paper sizes title palette picture"),
    ("check band.json", "palette make"),
];

#[test]
fn every_error_shows_evil_names_and_values_as_letters() {
    let bench = bench();
    let broken = format!("broken{EVIL}");
    bench.put(
        &broken,
        format!("code,name,hex\n\"{EVIL}\",\"{EVIL}\",\"{EVIL}\"\n"),
    );
    let field = serde_json::Value::from(EVIL);
    let chart = format!("{{\"format\": \"upbead-chart\", {field}: 1}}");
    bench.put("broken.json", chart);
    bench.put("gauge.bad", format!("{{\"format\": {field}}}"));
    let files = FILES.map(str::to_string).into_iter();
    let options = OPTIONS.iter().flat_map(|(call, options)| {
        let options = options.split_whitespace();
        options.map(move |option| format!("{call} --{option} EVIL"))
    });
    for call in files.chain(options) {
        let evil = |word: &str| {
            let word = word.replace("MISSING", &format!("missing{EVIL}"));
            word.replace("BROKEN", &broken).replace("EVIL", EVIL)
        };
        let words: Vec<String> = call.split(' ').map(evil).collect();
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let run = bench.run(&words);
        assert!(run.status.is_some(), "{}", run.told());
        harmless(&run);
        let errors = run.err.lines().filter(|line| line.starts_with("error: "));
        assert!(errors.count() <= 1, "{}", run.told());
    }
}
