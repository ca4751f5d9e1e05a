//! `upbead propose`.

use crate::common::{Bench, repository};
use crate::schema::suits;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;

/// A folder with artwork of each kind, drawn, photographed and as SVG, and the palettes.
fn bench() -> Bench {
    let bench = Bench::new();
    for (name, path) in [
        ("fox.png", "tests/data/artwork/fox.png"),
        ("word.png", "tests/data/artwork/word-sea.png"),
        ("waves.png", "tests/data/artwork/waves-4.png"),
        ("dusk.jpg", "samples/harbour-dusk.jpg"),
        ("gull.svg", "samples/kittiwake.svg"),
        ("tin.csv", "palettes/tin.csv"),
        ("shelf.csv", "palettes/shelf.csv"),
    ] {
        bench.put(name, fs::read(repository(path)).unwrap());
    }
    bench
}

/// The proposals of a call, as JSON.
#[track_caller]
fn proposals(bench: &Bench, call: &str) -> Vec<Value> {
    let json = bench.line(&format!("propose {call} --json")).ok().json();
    suits("propose", &json);
    json["proposals"].as_array().unwrap().clone()
}

fn text<'a>(one: &'a Value, field: &str) -> &'a str {
    one[field]
        .as_str()
        .unwrap_or_else(|| panic!("{field}: {one:#}"))
}

fn chart(bytes: &[u8]) -> Value {
    serde_json::from_slice(bytes).unwrap()
}

/// The colour of each bead, by code.
fn codes(chart: &Value) -> Vec<String> {
    let rows = chart["rows"].as_array().unwrap();
    let beads = rows.iter().flat_map(|row| row.as_array().unwrap());
    beads
        .map(|at| chart["colours"][at.as_u64().unwrap() as usize]["code"].to_string())
        .collect()
}

/// The chart that a proposal's command makes.
#[track_caller]
fn made(bench: &Bench, one: &Value) -> Vec<u8> {
    let typed = text(one, "command").strip_prefix("upbead ").unwrap();
    bench.line(typed).ok();
    bench.get(typed.rsplit_once(" -o ").unwrap().1)
}

#[test]
fn every_kind_of_artwork_has_four_to_six_ways_that_differ() {
    let bench = bench();
    for art in ["fox.png", "word.png", "waves.png", "dusk.jpg", "gull.svg"] {
        let call = format!("{art} --palette tin.csv --size us7");
        let all = proposals(&bench, &call);
        assert!((4..=6).contains(&all.len()), "{art}: {}", all.len());
        assert_eq!(text(&all[0], "way"), "as_read");
        let names: BTreeSet<&str> = all.iter().map(|one| text(one, "name")).collect();
        assert_eq!(names.len(), all.len(), "{art}: {names:?}");
        // Repeats are even in all of them.
        let warnings = all.iter().flat_map(|one| {
            let warnings = one["summary"]["warnings"].as_array().unwrap();
            warnings.iter().map(|one| text(one, "text"))
        });
        for warning in warnings {
            assert!(
                !warning.contains("do not divide evenly"),
                "{art}: {warning}"
            );
        }
        // A pattern and a photograph show it; charting each way takes as long again.
        if !["waves.png", "dusk.jpg"].contains(&art) {
            continue;
        }
        let charts: Vec<Value> = all.iter().map(|one| chart(&made(&bench, one))).collect();
        for (at, one) in charts.iter().enumerate() {
            for other in &charts[..at] {
                let (one, other) = (codes(one), codes(other));
                let unlike = one.iter().zip(&other).filter(|(one, other)| one != other);
                let unlike = unlike.count() as f64 / one.len() as f64;
                assert!(
                    one.len() != other.len() || unlike >= 0.04,
                    "{art} {at}: {unlike}"
                );
            }
        }
    }
}

#[test]
fn the_chart_that_is_taken_is_the_one_that_its_command_makes() {
    for call in [
        "fox.png --palette tin.csv --columns 13 --size uk-n --prefer nearest",
        "waves.png --palette shelf.csv --size us7 --columns 7 --without quay-58,quay-09",
        "dusk.jpg --palette tin.csv --open --rows 91 --from-stock --make 2 --spare 10%",
    ] {
        let bench = bench();
        // The first is held to the verb `chart` below, and figures of all to their commands.
        let one = proposals(&bench, call).pop().unwrap();
        let taken = format!("propose {call} --take {} -o taken.json", one["number"]);
        bench.line(&taken).ok();
        let command = text(&one, "command");
        assert!(bench.get("taken.json") == made(&bench, &one), "{command}");
    }
}

#[test]
fn the_first_is_the_chart_that_the_verb_chart_makes() {
    let bench = bench();
    let call = "fox.png --palette shelf.csv --size us7";
    let chart = bench.line(&format!("chart {call} -o chart.json")).ok();
    let taken = bench.line(&format!("propose {call} --take 1")).ok();
    assert!(bench.get("chart.json") == bench.get("fox.json"));
    let told = chart.out.replace("chart.json", "fox.json");
    assert_eq!(taken.out, told);
    // As JSON too.
    let json = |verb: &str| {
        let run = bench.line(&format!("{verb} {call} -o a.json --json --force"));
        run.ok().json()
    };
    assert_eq!(json("propose --take 1"), json("chart"));
}

#[test]
fn what_is_asked_for_holds_in_every_proposal() {
    let bench = bench();
    let asked = "--ground quay-11 --colours 3 --rotate 90 --calm 0.2";
    let all = proposals(
        &bench,
        &format!("fox.png --palette shelf.csv --size us7 {asked}"),
    );
    assert!(all.len() > 1);
    for one in &all {
        let command = text(one, "command");
        for option in [
            "--ground quay-11",
            "--colours 3",
            "--rotate 90",
            "--calm 0.2",
        ] {
            assert!(command.contains(option), "{command}");
        }
        let summary = &one["summary"];
        assert!(
            summary["colours"].as_array().unwrap().len() <= 3,
            "{summary:#}"
        );
        assert_eq!(
            (&summary["ground"], &summary["rotated"]),
            (&"quay-11".into(), &90.into())
        );
        let way = text(one, "way");
        assert!(
            !["ground", "colours", "rotated", "calmer"].contains(&way),
            "{way}"
        );
    }
}

#[test]
fn figures_are_those_of_the_chart() {
    let bench = bench();
    for one in proposals(&bench, "dusk.jpg --palette tin.csv --size us7") {
        let own = made(&bench, &one);
        bench.put("own.json", &own);
        let compared = bench.line("compare own.json --picture dusk.jpg --json");
        let compared = compared.ok().json();
        for figure in ["stray_beads", "colour_changes"] {
            assert_eq!(one["summary"][figure], compared[figure], "{one:#}");
        }
        assert_eq!(one["summary"]["columns"], chart(&own)["columns"]);
    }
}

#[test]
fn a_picture_of_one_colour_has_one_way_and_says_why() {
    let bench = bench();
    let blank = image::RgbImage::from_pixel(40, 200, image::Rgb([0xCD, 0x26, 0x26]));
    blank.save(bench.path("plain.png")).unwrap();
    let run = bench
        .line("propose plain.png --palette tin.csv --size us7")
        .ok();
    assert!(
        run.out.starts_with("plain.png: 1 way to chart it\n"),
        "{}",
        run.told()
    );
    let few = "note: other ways change fewer than 4 in 100 beads, or cannot be made on this band\n";
    assert!(run.out.contains(few), "{}", run.told());
    bench
        .line("propose plain.png --palette tin.csv --size us7 --take 2 -o a.json")
        .fails(
            2,
            "error: --take: there is no proposal 2\nhint: there is only 1",
        );
}

/// The pixels of a picture.
fn drawn(bench: &Bench, name: &str) -> image::RgbImage {
    image::load_from_memory(&bench.get(name)).unwrap().to_rgb8()
}

#[test]
fn the_picture_shows_every_proposal_in_its_colours() {
    let bench = bench();
    let call = "propose fox.png --palette shelf.csv --size us7 -o all.png";
    let run = bench.line(&format!("{call} --json")).ok();
    let json = run.json();
    assert_eq!(json["sheet"], "all.png");
    let picture = drawn(&bench, "all.png");
    let seen: BTreeSet<[u8; 3]> = picture.pixels().map(|pixel| pixel.0).collect();
    for one in json["proposals"].as_array().unwrap() {
        for colour in one["summary"]["colours"].as_array().unwrap() {
            let hex = u32::from_str_radix(text(colour, "hex"), 16).unwrap();
            let [_, red, green, blue] = hex.to_be_bytes();
            assert!(seen.contains(&[red, green, blue]), "{colour}");
        }
    }
}

#[test]
fn threads_change_nothing() {
    let bench = bench();
    let made = |threads: &str| {
        let name = format!("{threads}.png");
        let call = format!("propose dusk.jpg --palette tin.csv --size us7 -o {name}");
        let words: Vec<&str> = call.split(' ').collect();
        let mut command = bench.command(&words);
        let output = command.env("RAYON_NUM_THREADS", threads).output().unwrap();
        let run = bench.ended(&words, output).ok();
        (run.out.replace(&name, "all.png"), bench.get(&name))
    };
    assert!(made("1") == made("4"));
}

#[test]
fn calls_that_cannot_be_met_are_refused() {
    let bench = bench();
    bench.put("there.png", "mine");
    let call = "propose fox.png --palette tin.csv --size us7";
    let refused = |more: &str, error: &str| {
        bench.line(&format!("{call} {more}")).fails(2, error);
    };
    for number in ["0", "9"] {
        let run = bench.line(&format!("{call} --take {number} -o a.json"));
        let error = format!("error: --take: there is no proposal {number}\nhint: give a number");
        assert!(run.err.starts_with(&error), "{}", run.told());
        assert_eq!(run.status, Some(2));
    }
    refused(
        "-o proposals.json",
        "error: -o: 'proposals.json' is not the name of a PNG\n\
         hint: end the name in .png; --take NUMBER writes a chart",
    );
    refused(
        "-o proposals.svg",
        "error: -o: 'proposals.svg' is not the name of a PNG\n\
         hint: end the name in .png; --take NUMBER writes a chart",
    );
    refused(
        "--take 2 -o band.png",
        "error: -o: 'band.png' would be a picture, and a chart is JSON\n\
         hint: end its name in .json, or leave out --take",
    );
    refused(
        "--take 2 -o - --json",
        "error: --json: the summary and the chart cannot both go to standard output\n\
         hint: give the chart a file with -o",
    );
    refused(
        "-o fox.png",
        "error: -o: 'fox.png' is read and cannot be written over\nhint: choose another name",
    );
    bench
        .line("propose fox.png --palette tin.csv --rows 75")
        .fails(
            2,
            "error: --rows: 75 rows do not close into a ring\n\
             hint: use 74 or 76; an even count lets the last row zip to the first",
        );
    let run = bench.line(&format!("{call} -o there.png"));
    assert_eq!(run.status, Some(1), "{}", run.told());
    assert!(run.err.contains("there.png"), "{}", run.told());
    assert_eq!(bench.text("there.png"), "mine");
    bench.line(&format!("{call} -o there.png --force")).ok();
    assert_ne!(bench.get("there.png"), b"mine");
}
