//! Letters on a band: `upbead chart --letters`, the layer of a design file, and what the other
//! verbs keep of them.

use crate::common::{Bench, Run, golden, repository};
use crate::schema::suits;
use serde_json::{Value, json};
use std::fs;

/// A folder with the palette of twelve colours and the dusk.
fn bench() -> Bench {
    let bench = Bench::new();
    for name in ["palettes/tin.csv", "samples/harbour-dusk.jpg"] {
        let file = name.rsplit('/').next().unwrap();
        bench.put(file, fs::read(repository(name)).unwrap());
    }
    bench
}

/// Charts letters on a plain band into `band.json`.
fn plain(bench: &Bench, letters: &str, options: &str) -> Run {
    let call = format!("chart --plain --palette tin.csv -o band.json --force {options}");
    let mut words: Vec<&str> = call.split_whitespace().collect();
    words.extend(["--letters", letters]);
    bench.run(&words)
}

fn read(bench: &Bench, file: &str) -> Value {
    serde_json::from_slice(&bench.get(file)).unwrap()
}

/// The rows of a chart from row 1, each bead by the first letter of its colour's name.
fn drawn(bench: &Bench, file: &str) -> Vec<String> {
    let chart = read(bench, file);
    let letter = |at: &Value| {
        let colour = &chart["colours"][at.as_u64().unwrap() as usize];
        colour["name"].as_str().unwrap().chars().next().unwrap()
    };
    let rows = chart["rows"].as_array().unwrap().iter();
    rows.map(|row| row.as_array().unwrap().iter().map(letter).collect())
        .collect()
}

/// The rows that show a colour, from the first to the last of them.
fn shown(bench: &Bench, file: &str, colour: char) -> Vec<String> {
    let rows = drawn(bench, file);
    let has = |row: &String| row.contains(colour);
    let first = rows.iter().position(has).expect("some ink");
    let last = rows.iter().rposition(has).expect("some ink");
    rows[first..=last].to_vec()
}

#[track_caller]
fn refused(run: &Run, status: i32, told: &str) {
    assert_eq!(run.status, Some(status), "{told}: {}", run.err);
    assert!(run.err.contains(told), "{told}: {}", run.err);
}

#[test]
fn letters_stand_on_a_plain_band_in_the_colour_of_the_highest_contrast() {
    let bench = bench();
    let run = plain(&bench, "Anna", "--rows 72").ok();
    golden("chart/letters.json", &bench.get("band.json"));
    let told =
        "letters Anna: 7 columns high, columns 2 to 8, 45 rows, in tar black; contrast 18 to 1";
    assert!(run.told().contains(told), "{}", run.told());
    assert!(!run.told().contains("shows only ground"), "{}", run.told());
    let dark = plain(&bench, "Anna", "--rows 72 --ground quay-09").ok();
    assert!(dark.told().contains("in gull white"), "{}", dark.told());
}

#[test]
fn the_record_is_a_design_that_suits_its_schema() {
    let bench = bench();
    plain(
        &bench,
        "Zoë",
        "--rows 90 --letters-repeat 2 --letters-clear",
    )
    .ok();
    let text = read(&bench, "band.json")["made"]["options"]["design"].clone();
    let design: Value = serde_json::from_str(text.as_str().unwrap()).unwrap();
    suits("design", &design);
    assert_eq!(
        design["layers"],
        json!([{
            "kind": "letters", "text": "Zoë", "ink": "quay-09", "height": 7,
            "direction": "along", "repeats": 2, "at": "front", "clear": true
        }])
    );
}

#[test]
fn a_faint_ink_is_told() {
    let bench = bench();
    let run = plain(&bench, "Ida", "--rows 72 --ground gull --ink quay-58");
    refused(&run, 2, "gull");
    let run = plain(&bench, "Ida", "--rows 72 --ground quay-01 --ink quay-04");
    assert_eq!(run.status, Some(0), "{}", run.err);
    let told = "low for reading; choose another colour with --ink CODE";
    assert!(run.told().contains(told), "{}", run.told());
}

#[test]
fn letters_win_over_a_picture_and_may_have_ground_around_them() {
    let bench = bench();
    let call = "chart harbour-dusk.jpg --palette tin.csv --rows 72 --ground quay-01 --force \
                --ink quay-09 --letters";
    for (file, last) in [("bare.json", None), ("clear.json", Some("--letters-clear"))] {
        let mut words: Vec<&str> = call.split_whitespace().collect();
        words.extend(["LOVE", "-o", file]);
        words.extend(last);
        bench.run(&words).ok();
    }
    plain(&bench, "LOVE", "--rows 72 --ground quay-01 --ink quay-09").ok();
    let alone = drawn(&bench, "band.json");
    for file in ["bare.json", "clear.json"] {
        for (row, own) in drawn(&bench, file).iter().zip(&alone) {
            let inked = own.chars().zip(row.chars()).filter(|(own, _)| *own == 't');
            assert!(inked.clone().all(|(_, bead)| bead == 't'), "{file}: {row}");
        }
    }
    let white = |file: &str| drawn(&bench, file).concat().matches('g').count();
    assert!(white("clear.json") > white("bare.json") + 20);
}

#[test]
fn letters_are_upright_in_both_directions() {
    let bench = bench();
    plain(&bench, "L", "--rows 24 --letters-height 5 --ink quay-09").ok();
    // Row 1 first: the stem is where the text begins, the foot at the right of the chart.
    assert_eq!(
        shown(&bench, "band.json", 't'),
        ["gtttg", "gttg", "gggtg", "gggg", "gggtg", "gggg", "gggtg"]
    );
}

#[test]
fn resizing_keeps_letters_whole() {
    let bench = bench();
    plain(&bench, "MAREN", "--size us7 --letters-height 5").ok();
    fs::create_dir(bench.path("sizes")).unwrap();
    let before = shown(&bench, "band.json", 't');
    bench
        .line("resize band.json --sizes us6,us9 -o sizes --force")
        .ok();
    let mut files: Vec<_> = fs::read_dir(bench.path("sizes")).unwrap().collect();
    assert!(files.len() >= 2, "two sizes");
    for file in files.drain(..) {
        let name = format!("sizes/{}", file.unwrap().file_name().to_string_lossy());
        assert_eq!(shown(&bench, &name, 't'), before, "{name}");
    }
}

#[test]
fn refining_keeps_letters_whole() {
    let bench = bench();
    let call = "chart harbour-dusk.jpg --palette tin.csv --rows 40 --columns 7 --letters HI --ink \
                quay-09 --letters-clear -o band.json --force";
    bench.line(call).ok();
    bench
        .line("refine band.json --picture harbour-dusk.jpg -o finer.json")
        .ok();
    let design = |file: &str| read(&bench, file)["made"]["options"]["design"].clone();
    assert_eq!(design("band.json"), design("finer.json"));
    plain(&bench, "HI", "--rows 40 --columns 7 --ink quay-09").ok();
    let alone = drawn(&bench, "band.json");
    for (row, own) in drawn(&bench, "finer.json").iter().zip(&alone) {
        let inked = own.chars().zip(row.chars()).filter(|(own, _)| *own == 't');
        assert!(inked.clone().all(|(_, bead)| bead == 't'), "{row}");
    }
}

#[test]
fn what_cannot_be_set_is_refused_before_anything_is_written() {
    let bench = bench();
    for (letters, options, told) in [
        (
            "A@B",
            "--rows 72",
            "--letters: there is no '@' to set here: character 2 of 'A@B'",
        ),
        (
            "ANNA",
            "--rows 40 --letters-height 7",
            "--letters: 'ANNA' at a height of 7 is 45 rows",
        ),
        (
            "É",
            "--rows 72 --columns 7",
            "--letters: 'É' at a height of 5 takes 8 columns",
        ),
        (
            "ANNA",
            "--rows 72 --letters-height 6",
            "letters '6' columns high",
        ),
        (
            "ANNA",
            "--rows 72 --letters-repeat 0",
            "--letters: letters that stand nowhere",
        ),
        (
            "ANNA",
            "--rows 72 --border x.png",
            "--border: a plain band has letters at most",
        ),
        (
            "ANNA",
            "--rows 72 --ink sky",
            "--ink: no colour has the code or name 'sky'",
        ),
        (" ", "--rows 72", "--letters: there are no letters to set"),
    ] {
        let run = plain(&bench, letters, options);
        refused(&run, 2, told);
    }
    assert!(!bench.path("band.json").exists());
    let run = bench.line("chart --plain --palette tin.csv --rows 72 --letters-height 5");
    refused(&run, 2, "--letters-height: there are no letters for this");
    let run = bench
        .line("chart harbour-dusk.jpg --palette tin.csv --rows 72 --letters HI --mirror columns");
    refused(
        &run,
        2,
        "--mirror: a band with letters has no mirror image that can be read",
    );
}

#[test]
fn a_design_file_has_letters_at_a_row() {
    let bench = bench();
    let design = |layer: Value| {
        let ground = json!({ "kind": "ground", "colour": "gull white" });
        let all = json!({ "format": "upbead-design", "version": 1, "layers": [ground, layer] });
        bench.put("design.json", all.to_string());
        bench.line("chart design.json --palette tin.csv --rows 72 -o band.json --force")
    };
    let run = design(json!({
        "kind": "letters", "text": "IDA", "at": "back", "height": 7, "ink": "tar black"
    }));
    assert_eq!(run.status, Some(0), "{}", run.err);
    let rows = drawn(&bench, "band.json");
    assert!(
        rows[71].contains('t') || rows[0].contains('t'),
        "over the seam"
    );
    assert!(!rows[35].contains('t'), "nothing at the front");
    for (layer, told) in [
        (
            json!({ "kind": "letters", "text": "IDA", "height": 6 }),
            "columns high",
        ),
        (json!({ "kind": "letters", "text": "" }), "'text' is empty"),
        (
            json!({ "kind": "letters", "text": "IDA", "at": 90 }),
            "row 90, and the band has 72",
        ),
        (
            json!({ "kind": "letters", "text": "IDA", "direction": "up" }),
            "along or across",
        ),
        (
            json!({ "kind": "letters", "text": "IDA", "inks": "x" }),
            "'inks'",
        ),
        (
            json!({ "kind": "letters", "text": "A@" }),
            "character 2 of 'A@'",
        ),
    ] {
        let run = design(layer);
        assert_ne!(run.status, Some(0), "{told}");
        assert!(run.err.contains(told), "{told}: {}", run.err);
    }
}
