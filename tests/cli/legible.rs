//! Crisp pictures, a motif's position, and how it stands out from its ground: `chart`, `refine` and
//! `compare`.

use crate::common::{Bench, repository};
use serde_json::Value;
use std::fs;

const CALL: [&str; 14] = [
    "chart",
    "--match",
    "nearest",
    "kittiwake.png",
    "--palette",
    "tin.csv",
    "--rows",
    "50",
    "--place",
    "motif",
    "--ground",
    "quay-58",
    "-o",
    "band.json",
];

fn bench() -> Bench {
    let bench = Bench::new();
    for name in [
        "samples/kittiwake.png",
        "samples/tide-line.png",
        "samples/fish-hook.png",
        "palettes/tin.csv",
    ] {
        let file = name.rsplit('/').next().unwrap();
        bench.put(file, fs::read(repository(name)).unwrap());
    }
    bench
}

fn read(bench: &Bench, name: &str) -> Value {
    serde_json::from_str(&bench.text(name)).unwrap()
}

fn option(chart: &Value, name: &str) -> Option<String> {
    chart["made"]["options"][name].as_str().map(String::from)
}

#[test]
fn a_motif_s_position_is_recorded_and_used_again() {
    let bench = bench();
    let run = bench
        .run(&[&CALL[..], &["--crisp", "--colours", "5"]].concat())
        .ok();
    let line = run.out.lines().find(|line| line.starts_with("motif: "));
    assert!(
        line.is_some_and(|line| line.contains(" mm, ")),
        "{}",
        run.told()
    );
    let chart = read(&bench, "band.json");
    let seat = option(&chart, "position").expect("a position");
    assert_eq!(option(&chart, "crisp").as_deref(), Some("1"));
    assert_eq!(option(&chart, "frame").as_deref(), Some("2,12,438,616"));
    // Asked for by its numbers, it gives the same chart.
    let again = ["--crisp", "--colours", "5", "--position", &seat, "--force"];
    bench.run(&[&CALL[..], &again].concat()).ok();
    assert_eq!(read(&bench, "band.json"), chart);
    // The whole picture in the middle is another way to lay it.
    let middle = [
        "--crisp",
        "--colours",
        "5",
        "--position",
        "middle",
        "--force",
    ];
    bench.run(&[&CALL[..], &middle].concat()).ok();
    let middle = read(&bench, "band.json");
    assert!(option(&middle, "position").is_none() && middle["rows"] != chart["rows"]);
}

/// What `--refine` said of the band is what `compare` says, with the position that the chart
/// names, of the picture as it is; and refining again lays the picture just so.
#[test]
fn compare_and_refine_place_the_picture_as_the_chart_says() {
    let bench = bench();
    let made = ["--crisp", "0.8", "--colours", "4", "--refine", "--json"];
    let told = bench.run(&[&CALL[..], &made].concat()).ok().json();
    let call = [
        "compare",
        "band.json",
        "--picture",
        "kittiwake.png",
        "--json",
    ];
    let compared = bench.run(&call).ok().json();
    assert_eq!(compared["seen"], told["refined"]["after"]["seen"]);
    assert_eq!(compared["legible"], told["legible"]);
    assert_eq!(compared["warnings"].as_array().unwrap().len(), 0);
    let crisped = bench
        .run(&[&call[..], &["--crisp", "0.8"]].concat())
        .ok()
        .json();
    assert_ne!(crisped["seen"], compared["seen"]);
    assert!(
        crisped["warnings"][0]["text"]
            .as_str()
            .unwrap()
            .contains("made crisp (0.8)")
    );
    let again = [
        "refine",
        "band.json",
        "--picture",
        "kittiwake.png",
        "-o",
        "again.json",
        "--json",
    ];
    let again = bench.run(&again).ok().json();
    assert_eq!(again["refined"]["before"], told["refined"]["after"]);
    let (one, two) = (read(&bench, "band.json"), read(&bench, "again.json"));
    for name in ["position", "frame", "crisp", "place"] {
        assert_eq!(option(&one, name), option(&two, name), "{name}");
        assert!(option(&one, name).is_some(), "{name}");
    }
}

/// The same motif elsewhere in its picture is the same motif.
#[test]
fn a_motif_moved_in_its_picture_gives_the_same_chart() {
    let bench = bench();
    let gull = image::open(repository("samples/kittiwake.png"))
        .unwrap()
        .to_rgba8();
    let (width, height) = gull.dimensions();
    let moved = |name: &str, left: u32, top: u32| {
        let mut sheet = image::RgbaImage::new(width + 90, height + 60);
        image::imageops::replace(&mut sheet, &gull, i64::from(left), i64::from(top));
        let mut bytes = std::io::Cursor::new(Vec::new());
        sheet.write_to(&mut bytes, image::ImageFormat::Png).unwrap();
        bench.put(name, bytes.into_inner());
    };
    moved("one.png", 0, 60);
    moved("two.png", 83, 7);
    let chart = |picture: &str| {
        let mut call = CALL;
        call[3] = picture;
        bench
            .run(&[&call[..], &["--crisp", "--force"]].concat())
            .ok();
        read(&bench, "band.json")
    };
    let (one, two, own) = (chart("one.png"), chart("two.png"), chart("kittiwake.png"));
    assert_eq!(
        (&one["rows"], option(&one, "position")),
        (&two["rows"], option(&two, "position"))
    );
    assert_eq!(one["rows"], own["rows"]);
    assert_ne!(option(&one, "frame"), option(&two, "frame"));
}

#[test]
fn one_thread_and_four_find_the_same_position() {
    let bench = bench();
    let bytes = |threads: &str| {
        let call = [
            &CALL[..],
            &["--crisp", "--colours", "5", "--refine", "--force", "--json"],
        ]
        .concat();
        let output = bench
            .command(&call)
            .env("RAYON_NUM_THREADS", threads)
            .output()
            .unwrap();
        let run = bench.ended(&call, output).ok();
        (bench.get("band.json"), run.bytes)
    };
    assert_eq!(bytes("1"), bytes("4"));
}

#[test]
fn a_mirrored_motif_lies_on_an_axis_of_its_band() {
    let bench = bench();
    let strip = CALL.map(|word| if word == "50" { "51" } else { word });
    let call = [&strip[..], &["--mirror", "both", "--open"]].concat();
    bench.run(&call).ok();
    let position = option(&read(&bench, "band.json"), "position").unwrap();
    assert!(position.ends_with(",0,0"), "{position}");
    // A ring has two kinds of axes: through the middle row, and through the next.
    let call = [&CALL[..], &["--mirror", "both", "--force"]].concat();
    bench.run(&call).ok();
    let chart = read(&bench, "band.json");
    let position = option(&chart, "position").unwrap();
    let axis = if position.ends_with(",0,-0.8") {
        24
    } else {
        25
    };
    assert!(axis == 24 || position.ends_with(",0,0"), "{position}");
    let rows = chart["rows"].as_array().unwrap();
    for row in 1..=50 {
        assert_eq!(rows[row - 1], rows[(2 * axis + 49 - row) % 50], "row {row}");
    }
}

#[test]
fn how_a_motif_reads_is_reported_as_text_and_json() {
    let bench = bench();
    let hook = "chart --match nearest \
        fish-hook.png --palette tin.csv --rows 50 --place motif --ground quay-01 \
        --colours 2 --crisp -o hook.json";
    let run = bench.run(&hook.split(' ').collect::<Vec<_>>()).ok();
    let start = "motif on gull white: reads well when worn (difference ";
    let line = run.out.lines().find(|line| line.starts_with(start));
    assert!(
        line.is_some_and(|line| line.contains("; lost from ")),
        "{}",
        run.told()
    );
    let call = ["compare", "hook.json", "--picture", "fish-hook.png"];
    let text = bench.run(&call).ok().out;
    let json = bench.run(&[&call[..], &["--json"]].concat()).ok().json();
    let table =
        "\nmotif on gull white, as the eye sees it\nseen from 300 mm   reads well    difference ";
    assert!(text.contains(table), "{text}");
    let legible = &json["legible"];
    assert_eq!(legible["ground"], "quay-01");
    assert_eq!(legible["seen"].as_array().unwrap().len(), 3);
    let lost = legible["lost_mm"].as_f64().unwrap();
    // From there it is lost, from nearer by it is not.
    for (from, lost_there) in [(lost * 0.95, false), (lost * 1.05, true)] {
        let seen = format!("{from:.0}");
        let json = bench
            .run(&[&call[..], &["--json", "--distances", &seen]].concat())
            .ok()
            .json();
        assert_eq!(
            json["legible"]["seen"][0]["reads"] == "lost",
            lost_there,
            "{json}"
        );
    }
    // A soft one: sandbar and herring grey differ by less than three to one.
    let soft = "chart --match nearest \
        kittiwake.png --palette tin.csv --rows 50 --place motif --ground quay-04 \
        --colours 2 --keep dune-42 --without quay-01,quay-11,quay-53 -o soft.json --json";
    let json = bench.run(&soft.split(' ').collect::<Vec<_>>()).ok().json();
    assert!(
        json["legible"]["seen"][1]["contrast"].as_f64().unwrap() < 3.0,
        "{json}"
    );
}

/// Where there is no ground there is no motif, and nothing is said.
#[test]
fn a_band_without_a_ground_says_nothing_about_a_motif() {
    let bench = bench();
    let call = "chart --match nearest \
        tide-line.png --palette tin.csv --rows 72 --place repeat:4 --colours 5 -o tide.json";
    let run = bench.run(&call.split(' ').collect::<Vec<_>>()).ok();
    assert!(!run.out.contains("motif"), "{}", run.told());
    let call = [
        "compare",
        "tide.json",
        "--picture",
        "tide-line.png",
        "--json",
    ];
    let json = bench.run(&call).ok().json();
    assert!(json["legible"].is_null(), "{json}");
    let json = bench
        .run(&[
            "chart",
            "--match",
            "nearest",
            "tide-line.png",
            "--palette",
            "tin.csv",
            "--rows",
            "72",
            "--json",
            "-o",
            "other.json",
        ])
        .ok()
        .json();
    assert!(
        json.get("position").is_none() && json["legible"].is_null(),
        "{json}"
    );
}

#[test]
fn a_crispness_out_of_range_is_refused() {
    let bench = bench();
    let call = |more: &[&str]| bench.run(&[&CALL[..], more].concat());
    call(&["--crisp", "1.5"]).fails(
        2,
        "error: --crisp: a crispness of 1.5 is out of range\nhint: give a number from 0 to 1",
    );
    call(&["--crisp", "-0.1"]).fails(
        2,
        "error: --crisp: a crispness of -0.1 is out of range\nhint: give a number from 0 to 1",
    );
    bench.run(&CALL).ok();
    bench
        .line("compare band.json --picture kittiwake.png --crisp 7")
        .fails(
            2,
            "error: --crisp: a crispness of 7 is out of range\nhint: give a number from 0 to 1",
        );
}

#[test]
fn what_is_no_position_of_a_motif_is_refused() {
    let bench = bench();
    let call = |more: &[&str]| bench.run(&[&CALL[..], more].concat());
    for wrong in ["left", "0.9,0.2", "0,0,0", "1.2,0,0", "0.5,nan,0"] {
        call(&["--position", wrong]).fails(
            2,
            &format!(
                "error: --position: '{wrong}' is no position of a motif\n\
                hint: write best, middle, or a size from 0.1 to 1 and millimetres to the right and \
                up, such as 0.9,0.2,-0.4"
            ),
        );
    }
    let run = call(&["--position", "0.9,3,0"]);
    assert_eq!(run.status, Some(2), "{}", run.told());
    assert!(
        run.err.contains(
            "--position: kittiwake.png: a motif of that size, so far from the \
             middle, reaches beyond the band\n\
             hint: move it by at most 0.585 mm across and "
        ),
        "{}",
        run.told()
    );
    bench
        .line("chart --match nearest kittiwake.png --palette tin.csv --rows 50 --position best")
        .fails(
            2,
            "error: --position: only a motif has a position\nhint: add --place motif",
        );
    assert!(!bench.listing().contains("json"), "{}", bench.listing());
}

#[test]
fn a_record_that_was_spoilt_by_hand_is_named() {
    let bench = bench();
    bench.run(&CALL).ok();
    let spoilt = bench
        .text("band.json")
        .replace("\"position\": \"", "\"position\": \"x");
    bench.put("spoilt.json", spoilt);
    let run = bench.run(&["compare", "spoilt.json", "--picture", "kittiwake.png"]);
    assert_eq!(run.status, Some(1), "{}", run.told());
    assert!(
        run.err.contains("the option 'position' under 'made': 'x"),
        "{}",
        run.told()
    );
}
