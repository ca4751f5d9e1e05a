//! Bands made of layers: `upbead chart design.json`, `--border` and `--back`, and what the other
//! verbs make of them.

mod refused;

use crate::chart::painted;
use crate::common::{Bench, Run, golden, repository};
use crate::schema::suits;
use serde_json::{Value, json};
use std::fs;

const RED: [u8; 4] = [0xCD, 0x26, 0x26, 255];
const WHITE: [u8; 4] = [0xFA, 0xFA, 0xF6, 255];
const CLEAR: [u8; 4] = [0, 0, 0, 0];

/// A folder with a few small pictures, and the palette of twelve colours.
fn bench() -> Bench {
    let bench = Bench::new();
    let palette = fs::read(repository("palettes/tin.csv")).unwrap();
    bench.put("tin.csv", palette);
    bench.put("red.png", painted(20, 20, |_, _| RED));
    bench.put("tall.png", painted(20, 400, |_, _| RED));
    bench.put("clear.png", painted(20, 20, |_, _| CLEAR));
    let steps = painted(20, 40, |_, y| if y < 20 { WHITE } else { RED });
    bench.put("steps.png", steps);
    bench
}

/// A design of these layers.
fn design(layers: Value) -> String {
    json!({ "format": "upbead-design", "version": 1, "layers": layers }).to_string()
}

/// Charts `design.json`, of these layers, into `band.json`.
fn charted(bench: &Bench, layers: Value, options: &str) -> Run {
    bench.put("design.json", design(layers));
    bench.line(&format!(
        "chart design.json --palette tin.csv -o band.json --force {options}"
    ))
}

/// That a run failed, with this in its message.
#[track_caller]
fn refused(run: &Run, status: i32, told: &str) {
    assert_eq!(run.status, Some(status), "{told}: {}", run.err);
    assert!(run.err.contains(told), "{told}: {}", run.err);
}

/// The rows of a chart, each bead by the first letter of its colour's name.
fn drawn(bench: &Bench, file: &str) -> Vec<String> {
    let chart: Value = serde_json::from_slice(&bench.get(file)).unwrap();
    let letter = |at: &Value| {
        let colour = &chart["colours"][at.as_u64().unwrap() as usize];
        colour["name"].as_str().unwrap().chars().next().unwrap()
    };
    let rows = chart["rows"].as_array().unwrap().iter();
    rows.map(|row| row.as_array().unwrap().iter().map(letter).collect())
        .collect()
}

/// The design that a chart's record has.
fn recorded(bench: &Bench, file: &str) -> Value {
    let chart: Value = serde_json::from_slice(&bench.get(file)).unwrap();
    let text = chart["made"]["options"]["design"].as_str().unwrap();
    serde_json::from_str(text).unwrap()
}

/// A folder with the sample design and what it is made of.
fn seaside() -> Bench {
    let bench = Bench::new();
    for name in [
        "samples/seaside.json",
        "samples/kittiwake.png",
        "samples/lighthouse.png",
        "samples/tide-line.png",
        "palettes/tin.csv",
    ] {
        let file = name.rsplit('/').next().unwrap();
        bench.put(file, fs::read(repository(name)).unwrap());
    }
    bench
}

const SEASIDE: &str = "chart seaside.json --palette tin.csv --columns 13 --rows 72 --force";

#[test]
fn the_sample_design_has_a_border_a_front_and_a_back() {
    let bench = seaside();
    let said = bench.line(&format!("{SEASIDE} -o band.json")).ok();
    golden("chart/seaside.json", &bench.get("band.json"));
    for told in [
        "border tide-line.png: columns 1 to 2 and 12 to 13, 9 repeats",
        "motif kittiwake.png: columns 3 to 11, rows 25 to 44",
        "motif lighthouse.png: columns 5 to 9, rows 57 to 13",
    ] {
        assert!(said.told().contains(told), "{}", said.told());
    }
    // The two edges are mirror images, and the border goes on behind the seam.
    for row in drawn(&bench, "band.json") {
        let letters: Vec<char> = row.chars().collect();
        assert_eq!(letters.first(), letters.last(), "{row}");
    }
    suits("design", &recorded(&bench, "band.json"));
}

#[test]
fn the_sample_design_suits_its_schema() {
    let text = fs::read_to_string(repository("samples/seaside.json")).unwrap();
    suits("design", &serde_json::from_str(&text).unwrap());
}

#[test]
fn the_number_of_threads_does_not_matter() {
    let bench = seaside();
    for threads in ["1", "3"] {
        let call = format!("{SEASIDE} --colours 7 -o band-{threads}.json");
        let mut command = bench.command(&call.split_whitespace().collect::<Vec<_>>());
        let output = command.env("RAYON_NUM_THREADS", threads).output().unwrap();
        assert!(output.status.success());
    }
    assert_eq!(bench.get("band-1.json"), bench.get("band-3.json"));
}

/// Sides of a border that is not the same left and right, on odd and even numbers of columns.
#[test]
fn the_right_border_is_the_mirror_image_of_the_left() {
    let bench = bench();
    let split = painted(40, 40, |x, _| if x < 20 { WHITE } else { RED });
    bench.put("split.png", split);
    let border = json!([
        { "kind": "ground", "colour": "jersey navy" },
        { "kind": "border", "file": "split.png", "columns": 2 },
    ]);
    charted(&bench, border.clone(), "--columns 9 --rows 12").ok();
    let rows = drawn(&bench, "band.json");
    assert_eq!([rows[0].as_str(), rows[1].as_str()], ["gjjjg", "bjjb"]);
    charted(&bench, border, "--columns 8 --rows 12").ok();
    let rows = drawn(&bench, "band.json");
    assert_eq!([rows[0].as_str(), rows[1].as_str()], ["gjjb", "bjjg"]);
    for (edge, rows) in [("left", ["gjjjj", "bjjj"]), ("right", ["jjjjg", "jjjb"])] {
        let border = json!([
            { "kind": "ground", "colour": "jersey navy" },
            { "kind": "border", "file": "split.png", "columns": 2, "edges": edge },
        ]);
        charted(&bench, border, "--columns 9 --rows 12").ok();
        assert_eq!(drawn(&bench, "band.json")[..2], rows);
    }
}

#[test]
fn a_motif_is_where_its_layer_says() {
    let bench = bench();
    let at = |at: Value| {
        let layers = json!([
            { "kind": "ground", "colour": "jersey navy" },
            { "kind": "motif", "file": "red.png", "at": at, "columns": 3, "position": "middle" },
        ]);
        charted(&bench, layers, "--columns 9 --rows 40").ok();
        let rows = drawn(&bench, "band.json");
        let red = |row: &&String| row.contains('b');
        (
            rows.iter().filter(red).count(),
            rows[19].contains('b'),
            rows[39].contains('b'),
        )
    };
    let (front, in_the_middle, at_the_seam) = at(json!("front"));
    assert!((4..=6).contains(&front) && in_the_middle && !at_the_seam);
    // The same beads, on over the seam.
    assert_eq!(at(json!("back")), (front, false, true));
    assert_eq!(at(json!(20)), (front, true, false));
}

#[test]
fn upper_layers_win_and_transparent_parts_do_not() {
    let bench = bench();
    let ring = painted(60, 60, |x, y| {
        let is_inside = (20..40).contains(&x) && (20..40).contains(&y);
        if is_inside { CLEAR } else { WHITE }
    });
    bench.put("ring.png", ring);
    let red = json!({ "kind": "picture", "file": "red.png", "place": "round" });
    let ring = json!({ "kind": "motif", "file": "ring.png" });
    charted(&bench, json!([red, ring]), "--columns 9 --rows 40").ok();
    let rows = drawn(&bench, "band.json");
    let middle = &rows[19];
    assert!(
        middle.starts_with('g') && middle.contains('b') && middle.ends_with('g'),
        "{middle}"
    );
    assert!(!rows[39].contains('g'), "{}", rows[39]);
    // The other way round, the ring is hidden, which is told.
    let said = charted(&bench, json!([ring, red]), "--columns 9 --rows 40").ok();
    assert!(
        said.told().contains("nothing of the motif ring.png shows"),
        "{}",
        said.told()
    );
    assert!(
        drawn(&bench, "band.json")
            .concat()
            .chars()
            .all(|bead| bead == 'b')
    );
}

#[test]
fn a_layer_has_only_the_colours_that_it_may_have() {
    let bench = bench();
    let layers = json!([
        { "kind": "picture", "file": "steps.png", "place": "round", "treatment": "crisp" },
        { "kind": "motif", "file": "steps.png", "columns": 5, "colours": ["tar black", "quay-58"] },
    ]);
    charted(&bench, layers.clone(), "--columns 9 --rows 40").ok();
    let beads = drawn(&bench, "band.json").concat();
    for colour in ['g', 'b', 't', 'j'] {
        assert!(beads.contains(colour), "{colour} in {beads}");
    }
    // They count towards the limit of the whole band.
    let said = charted(&bench, layers, "--columns 9 --rows 40 --colours 1");
    said.fails_with(
        2,
        "error: --colours: 2 colours are to be kept, but only 1 allowed\n\
         hint: allow more colours or keep fewer; the ground counts as one\n",
    );
}

#[test]
fn a_mirror_and_a_limit_hold_for_the_whole_band() {
    let bench = seaside();
    bench
        .line(&format!(
            "{SEASIDE} -o band.json --mirror columns --colours 5"
        ))
        .ok();
    let rows = drawn(&bench, "band.json");
    for row in &rows {
        assert_eq!(*row, row.chars().rev().collect::<String>());
    }
    let chart: Value = serde_json::from_slice(&bench.get("band.json")).unwrap();
    assert!(chart["colours"].as_array().unwrap().len() <= 5);
}

#[test]
fn a_design_of_one_picture_is_that_picture_s_chart() {
    let bench = seaside();
    for (picture, layer, options) in [
        ("kittiwake.png", json!({}), "--ground quay-58"),
        (
            "tide-line.png",
            json!({ "place": "repeat:4" }),
            "--place repeat:4",
        ),
    ] {
        let mut layer = layer;
        layer["kind"] = "picture".into();
        layer["file"] = picture.into();
        let mut layers = vec![layer];
        if options.contains("ground") {
            layers.insert(0, json!({ "kind": "ground", "colour": "quay-58" }));
        }
        charted(&bench, layers.into(), "--columns 9 --rows 72").ok();
        bench
            .line(&format!(
                "chart {picture} --palette tin.csv --columns 9 --rows 72 -o plain.json --force \
                 {options}"
            ))
            .ok();
        assert_eq!(
            bench.text("band.json"),
            bench.text("plain.json"),
            "{picture}"
        );
    }
}

#[test]
fn options_add_layers_without_a_file() {
    let bench = seaside();
    let more = "--columns 13 --rows 72 --ground quay-58";
    bench
        .line(&format!(
            "chart kittiwake.png --border tide-line.png --border-columns 2 --back lighthouse.png \
             --palette tin.csv {more} -o flags.json"
        ))
        .ok();
    let layers = json!([
        { "kind": "picture", "file": "kittiwake.png" },
        { "kind": "border", "file": "tide-line.png", "columns": 2 },
        { "kind": "motif", "file": "lighthouse.png", "at": "back" },
    ]);
    charted(&bench, layers, more).ok();
    assert_eq!(drawn(&bench, "flags.json"), drawn(&bench, "band.json"));
    assert_eq!(
        recorded(&bench, "flags.json"),
        recorded(&bench, "band.json")
    );
}

#[test]
fn a_size_gives_the_rows_in_which_a_border_repeats() {
    let bench = bench();
    let layers = json!([
        { "kind": "ground", "colour": "jersey navy" },
        { "kind": "border", "file": "steps.png", "columns": 2 },
    ]);
    // 74 is twice a prime number.
    let said = charted(&bench, layers, "--columns 9 --size us8").ok();
    let told = "72 rows in place of 74, so that the border repeats evenly";
    assert!(said.told().contains(told), "{}", said.told());
    assert_eq!(drawn(&bench, "band.json").len(), 72);
}

#[test]
fn a_design_is_refined_and_compared_beside_all_its_pictures() {
    let bench = seaside();
    bench.line(&format!("{SEASIDE} -o band.json")).ok();
    let measured = |chart: &str| {
        let call = format!("compare {chart} --picture seaside.json --json");
        let json = bench.line(&call).ok().json();
        json["seen"][0]["mean"].as_f64().unwrap()
    };
    let before = measured("band.json");
    bench
        .line("refine band.json --picture kittiwake.png --pin 1..20 -o finer.json")
        .ok();
    assert!(measured("finer.json") <= before);
    let (old, new) = (drawn(&bench, "band.json"), drawn(&bench, "finer.json"));
    assert_eq!(old[..20], new[..20]);
    assert_eq!(
        recorded(&bench, "band.json"),
        recorded(&bench, "finer.json")
    );
    // Neither writes over a picture, and what is missing is named.
    let over = bench.line("refine band.json --picture seaside.json -o tide-line.png --force");
    refused(
        &over,
        2,
        "'tide-line.png' is read and cannot be written over",
    );
    fs::remove_file(bench.path("tide-line.png")).unwrap();
    let missing = bench.line("refine band.json --picture seaside.json -o finer.json --force");
    refused(
        &missing,
        1,
        "tide-line.png: cannot read: no such file or directory",
    );
}

#[test]
fn other_sizes_keep_motifs_whole_and_repeat_the_border() {
    let bench = seaside();
    bench.line(&format!("{SEASIDE} -o band.json")).ok();
    fs::create_dir(bench.path("sizes")).unwrap();
    let call = "resize band.json --sizes us6,us7,us9 --nearest -o sizes";
    let said = bench.line(call).ok();
    assert!(said.out.contains("without rows 17 to 24"), "{}", said.out);
    let design = drawn(&bench, "band.json");
    let border = |row: &String| (row.chars().next(), row.chars().last());
    for (size, rows, repeats) in [("us6", 64, 8), ("us7", 72, 9), ("us9", 80, 10)] {
        let file = format!("sizes/band-{size}.json");
        let drawn = drawn(&bench, &file);
        assert_eq!(drawn.len(), rows);
        // Eight rows to a repeat, all round.
        for at in 0..rows {
            assert_eq!(
                border(&drawn[at]),
                border(&drawn[(at + 8) % rows]),
                "{size}"
            );
        }
        let motif = &design[24..44];
        assert!(
            drawn.windows(motif.len()).any(|part| part == motif),
            "{size}"
        );
        let layers = &recorded(&bench, &file)["layers"];
        assert_eq!(layers[1]["repeats"], repeats);
        // What the record says is what a refined chart keeps.
        let call = format!("compare {file} --picture seaside.json --json");
        let beads = bench.line(&call).ok().json()["beads"]["mean"]
            .as_f64()
            .unwrap();
        assert!(beads < 8.0, "{size}: {beads}");
    }
    let told = bench.line("resize band.json --sizes us8 -o sizes");
    refused(
        &told,
        1,
        "which its borders do not divide: they add or remove 8 rows at a time",
    );
}

/// A chart keeps its design file, whose name it would have.
#[test]
fn a_chart_of_a_design_has_a_name_of_its_own() {
    let bench = bench();
    let layers = json!([{ "kind": "motif", "file": "red.png", "columns": 3 }]);
    bench.put("tide.json", design(layers));
    bench
        .line("chart tide.json --palette tin.csv --columns 9 --rows 40")
        .ok();
    assert_eq!(drawn(&bench, "tide-chart.json").len(), 40);
    let over = bench.line("chart tide.json --palette tin.csv --rows 40 -o tide.json --force");
    refused(&over, 2, "-o: ");
}
