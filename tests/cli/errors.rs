//! What every error keeps to: short, in a weaver's words, with the option that was wrong.

use crate::common::{Bench, Run, repository};
use std::fs;

/// Most characters of an error with its hint.
const LONGEST: usize = 500;

/// What stands in the messages of libraries and in no message of ours.
const DEVELOPERS: [&str; 14] = [
    " { ",
    "::",
    "Some(",
    "None",
    "Err(",
    "f64",
    "u32",
    "usize",
    "invalid type",
    "invalid digit",
    "ChunkType",
    "Utf8Error",
    "os error",
    "panicked",
];

fn bench() -> Bench {
    let bench = Bench::new();
    for (folder, name) in [
        ("samples", "tide-line.png"),
        ("samples", "harbour-dusk.jpg"),
        ("palettes", "tin.csv"),
    ] {
        bench.put(name, fs::read(repository(folder).join(name)).unwrap());
    }
    bench
        .line("chart tide-line.png --palette tin.csv --size us7 -o band.json")
        .ok();
    bench
}

#[track_caller]
fn readable(run: &Run) {
    assert!([Some(1), Some(2)].contains(&run.status), "{}", run.told());
    let length = run.err.trim_end().chars().count();
    assert!(length <= LONGEST, "{length} characters\n{}", run.told());
    for word in DEVELOPERS {
        assert!(!run.err.contains(word), "{word}\n{}", run.told());
    }
}

/// Values of 4,000 characters: a word, and words.
fn long_values() -> [String; 2] {
    ["kelp".repeat(1000), "kelp ".repeat(800)]
}

const OPTIONS: &str = "size columns rows bead swatch fits gauge prefer colours keep without dither \
    strength place rotate crop scaling ground mirror match distances calm crisp preview kelp";

#[test]
fn an_error_is_short_however_long_the_value() {
    let bench = bench();
    for value in long_values() {
        for option in OPTIONS.split_whitespace() {
            let option = format!("--{option}");
            let call = [
                "chart",
                "tide-line.png",
                "--palette",
                "tin.csv",
                "-o",
                "x.json",
            ];
            readable(&bench.run(&[&call[..], &[option.as_str(), value.as_str()]].concat()));
        }
        readable(&bench.run(&["chart", "tide-line.png", "--palette", &value]));
        for verb in "chart show weave kit print check resize swap palette".split(' ') {
            readable(&bench.run(&[verb, &value]));
        }
        readable(&bench.run(&[&value]));
        readable(&bench.run(&["show", &format!("--{value}")]));
    }
}

#[test]
fn an_error_is_short_however_long_a_cell_or_a_field() {
    let bench = bench();
    let band = bench.text("band.json");
    for cell in long_values().map(|value| value.trim().to_string()) {
        for csv in [
            format!("{cell},name,hex\na,b,2F5D50\n"),
            format!("code,name,{cell}\na,b,2F5D50\n"),
            format!("code,name,hex\n{cell},b,{cell}\n"),
            format!("code,name,hex,finish\n{cell},b,2F5D50,{cell}\n"),
            format!("code,name,hex\n{cell},b,2F5D50\n{cell},b,2F5D50\n"),
            format!("code,name,hex,{cell},{cell}\na,b,2F5D50,,\n"),
        ] {
            bench.put("long.csv", csv);
            readable(&bench.line("palette long.csv"));
        }
        for json in [
            format!("{{\"format\": \"{cell}\"}}"),
            format!("{{\"format\": \"upbead-chart\", \"version\": 1, \"{cell}\": 1}}"),
            format!("{{\"format\": \"upbead-gauge\", \"version\": 1, \"{cell}\": 1}}"),
            band.replacen("\"columns\"", &format!("\"{cell}\""), 1),
            band.replacen("\"closed\": true", &format!("\"closed\": \"{cell}\""), 1),
        ] {
            bench.put("long.json", json);
            readable(&bench.line("show long.json"));
            readable(&bench.line("fit --size us7 --gauge long.json"));
        }
    }
}

#[test]
fn many_colours_that_are_not_in_the_palette_are_summed_up() {
    let bench = bench();
    let name = "a very long name of a colour by the sea";
    let rows: String = (0..60)
        .map(|at| format!("c{at},{name} {at},{:06X}\n", at * 4000))
        .collect();
    bench.put("many.csv", format!("code,name,hex\n{rows}"));
    bench.put("other.csv", format!("code,name,hex\nz,{name},FFFFFF\n"));
    bench
        .line("chart harbour-dusk.jpg --palette many.csv --size us7 --match nearest -o many.json")
        .ok();
    for verb in ["kit", "check"] {
        let run = bench.run(&[verb, "many.json", "--palette", "other.csv"]);
        if verb == "kit" {
            readable(&run);
            assert!(run.err.contains("\n  and "), "{}", run.told());
        }
    }
}

#[test]
fn damaged_pictures_are_refused_without_the_words_of_their_decoders() {
    const CALL: &str =
        "chart damaged --palette tin.csv --rows 6 --open --match nearest -o x.json --force";
    let bench = bench();
    let mut failed = 0;
    for name in ["tide-line.png", "harbour-dusk.jpg"] {
        let whole = bench.get(name);
        for at in 0..60 {
            let mut damaged = whole.clone();
            damaged[at] ^= 0x55;
            bench.put("damaged", damaged);
            let run = bench.line(CALL);
            if run.status != Some(0) {
                readable(&run);
                failed += 1;
            }
        }
        for most in [8, 30, 60, 200, whole.len() / 2] {
            bench.put("damaged", &whole[..most]);
            readable(&bench.line(CALL));
        }
    }
    assert!(failed > 50, "{failed}");
}

#[test]
fn empty_lists_and_negative_distances_name_their_option() {
    let bench = bench();
    let chart = "chart tide-line.png --palette tin.csv --size us7 -o x.json";
    let nothing = |option: &str| {
        format!("error: --{option}: no colour is named\nhint: name one, or leave --{option} out")
    };
    let beads = "error: --pin: no beads are named\n\
        hint: give rows, ranges of rows or row:column, such as 12,20..35,40:5";
    for (call, error) in [
        (format!("{chart} --keep="), nothing("keep")),
        (format!("{chart} --keep=,"), nothing("keep")),
        (format!("{chart} --without="), nothing("without")),
        (
            "refine band.json --picture tide-line.png --pin=".to_string(),
            beads.to_string(),
        ),
        (
            "show band.json --seen -1".to_string(),
            "error: --seen: '-1' is not the name of a PNG\nhint: end the name in .png".to_string(),
        ),
        (
            "show band.json --seen -1 far.png".to_string(),
            "error: --seen: '-1' is not a viewing distance\n\
             hint: write millimetres from 100 to 20000, such as 700, or up to 6 of them, such as \
             300,700,2000"
                .to_string(),
        ),
    ] {
        bench.line(&call).fails(2, &error);
    }
}
