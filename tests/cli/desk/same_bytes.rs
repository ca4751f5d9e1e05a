//! What the desk makes is what the command line makes, byte for byte.

use super::client::Desk;
use crate::common::{Bench, repository};
use serde_json::{Value, json};

/// A desk in a folder that holds the samples and palettes for the command line.
pub fn prepared() -> Desk {
    let bench = Bench::new();
    for (folder, name) in [
        ("samples", "harbour-dusk.jpg"),
        ("samples", "kittiwake.png"),
        ("samples", "kittiwake.svg"),
        ("samples", "tide-line.png"),
        ("palettes", "shelf.csv"),
        ("palettes", "tin.csv"),
    ] {
        bench.put(name, std::fs::read(repository(folder).join(name)).unwrap());
    }
    Desk::open_with(bench, &[])
}

/// Charts both ways; `more` are options beyond picture and palette as the command line and as the
/// desk have them.
pub fn both(
    desk: &Desk,
    picture: &str,
    palette: &str,
    typed: &str,
    asked: &Value,
) -> (String, Value) {
    let words: Vec<&str> = typed.split(' ').collect();
    let call = [
        &[
            "chart",
            picture,
            "--palette",
            palette,
            "-o",
            "band.json",
            "--force",
            "--json",
        ][..],
        &words,
    ]
    .concat();
    let summary = desk.bench.run(&call).ok().json();
    let mut wish = asked.clone();
    wish["picture"] = json!(desk.picture(picture));
    wish["palette"] = json!({ "id": desk.palette(palette) });
    let mut told = desk.ask("chart?lane=chart&n=7", &wish).ok().json();
    let text = told["text"].as_str().unwrap().to_string();
    assert!(text == desk.bench.text("band.json"), "{typed}");
    assert_eq!(told["n"], 7);
    for field in [
        "rows",
        "beads",
        "width_mm",
        "inside_diameter_mm",
        "us",
        "rotated",
        "kept",
        "ground",
        "warnings",
        "difference",
        "colours",
    ] {
        assert!(summary.get(field).is_some(), "{field}");
        assert_eq!(told["summary"][field], summary[field], "{typed}: {field}");
    }
    (text, told.take())
}

/// Pictures with palettes and options, as for [`both`].
fn same(cases: &[(&str, &str, &str, Value)]) {
    let desk = prepared();
    for (picture, palette, typed, asked) in cases {
        both(&desk, picture, palette, typed, asked);
    }
}

#[test]
fn charts_are_the_same_bytes() {
    same(&[
        (
            "harbour-dusk.jpg",
            "tin.csv",
            "--size us7",
            json!({ "size": "us7" }),
        ),
        (
            "harbour-dusk.jpg",
            "shelf.csv",
            "--size us7 --colours 6 --dither diffuse --strength 0.7 --rotate 90 --title Dusk",
            json!({
                "size": "us7",
                "colours": 6,
                "dither": "diffuse",
                "strength": 0.7,
                "rotate": 90,
                "title": "Dusk",
            }),
        ),
        (
            "kittiwake.png",
            "tin.csv",
            "--rows 80 --columns 11 --place motif --ground quay-58 --mirror both --without \
             quay-01,quay-11 --bead 1.3x1.7x0.8",
            json!({
                "rows": 80,
                "columns": 11,
                "place": "motif",
                "ground": "quay-58",
                "mirror": "both",
                "without": ["quay-01", "quay-11"],
                "bead": "1.3x1.7x0.8",
            }),
        ),
        (
            "tide-line.png",
            "tin.csv",
            "--size d17.3mm --place repeat:4 --scaling stretch --margin 1 --keep quay-11 --crop \
             10,20,200,150 --prefer larger --swatch 40=33.6",
            json!({
                "size": "d17.3mm",
                "place": "repeat:4",
                "scaling": "stretch",
                "margin": 1,
                "keep": ["quay-11"],
                "crop": [10, 20, 200, 150],
                "prefer": "larger",
                "swatch": "40=33.6",
            }),
        ),
        (
            "kittiwake.svg",
            "tin.csv",
            "--open --rows 61 --columns 15 --bead 8",
            json!({ "open": true, "rows": 61, "columns": 15, "bead": 8 }),
        ),
    ]);
}

#[test]
fn charts_improved_or_placed_by_hand_are_the_same_bytes() {
    same(&[
        (
            "kittiwake.png",
            "tin.csv",
            "--rows 40 --columns 7 --colours 5 --refine --distances 700,1500 --calm 0.4",
            json!({
                "rows": 40,
                "columns": 7,
                "colours": 5,
                "refine": true,
                "distances": "700,1500",
                "calm": 0.4,
            }),
        ),
        (
            "kittiwake.png",
            "tin.csv",
            "--rows 40 --columns 7 --place motif --colours 5 --crisp 0.7",
            json!({ "rows": 40, "columns": 7, "place": "motif", "colours": 5, "crisp": 0.7 }),
        ),
        (
            "kittiwake.png",
            "tin.csv",
            "--rows 40 --columns 7 --place motif --position 0.9,0.1,0.2",
            json!({ "rows": 40, "columns": 7, "place": "motif", "position": "0.9,0.1,0.2" }),
        ),
        (
            "kittiwake.png",
            "tin.csv",
            "--rows 40 --columns 7 --calm 0.8 --from-stock --make 2 --spare 10%",
            json!({
                "rows": 40,
                "columns": 7,
                "calm": 0.8,
                "from_stock": true,
                "make": 2,
                "spare": "10%",
            }),
        ),
    ]);
}

/// A drawing has no pixels of its own: the part that was marked in the preview is the same part of
/// the drawing.
#[test]
fn a_part_of_a_drawing_is_cropped_in_the_pixels_of_the_band() {
    let desk = prepared();
    let bytes = desk.bench.get("kittiwake.svg");
    let told = desk.post("picture?name=kittiwake.svg", &bytes).ok().json();
    let (width, height) = (
        told["width"].as_u64().unwrap(),
        told["height"].as_u64().unwrap(),
    );
    let wish = json!({
        "picture": told["id"],
        "palette": { "id": desk.palette("tin.csv") },
        "rows": 120,
        "columns": 31,
        "crop": [width / 4, height / 4, width / 2, height / 2],
        "rotate": 0,
        "place": "motif",
    });
    let text = desk.chart(&wish);
    let chart: Value = serde_json::from_str(&text).unwrap();
    let crop = chart["made"]["options"]["crop"].as_str().unwrap();
    let numbers: Vec<u64> = crop.split(',').map(|n| n.parse().unwrap()).collect();
    assert!(
        numbers[2] > width / 2,
        "the band asks for finer pixels: {crop}"
    );
    let call = [
        "chart",
        "kittiwake.svg",
        "--palette",
        "tin.csv",
        "--rows",
        "120",
        "--columns",
        "31",
        "--crop",
        crop,
        "--rotate",
        "0",
        "--place",
        "motif",
        "-o",
        "part.json",
    ];
    desk.bench.run(&call).ok();
    assert!(text == desk.bench.text("part.json"));
}

#[test]
fn a_plain_band_is_a_chart_of_one_colour() {
    let desk = prepared();
    let palette = desk.palette("tin.csv");
    let text = desk.chart(&json!({
        "palette": { "id": palette },
        "size": "us7",
        "ground": "quay-58",
        "title": "Blank",
    }));
    let chart: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(chart["colours"].as_array().unwrap().len(), 1);
    assert_eq!(chart["colours"][0]["code"], "quay-58");
    assert_eq!(chart["rows"].as_array().unwrap().len(), 72);
    assert_eq!(chart["made"]["options"]["ground"], "quay-58");
    desk.bench
        .run(&[
            "chart",
            "--plain",
            "--palette",
            "tin.csv",
            "--size",
            "us7",
            "--ground",
            "quay-58",
            "--title",
            "Blank",
        ])
        .ok();
    assert!(text == desk.bench.text("band.json"));
    desk.bench.run(&["check", "band.json"]).ok();
    let schema: Value = serde_json::from_str(upbead::chart::SCHEMA).unwrap();
    assert!(jsonschema::is_valid(&schema, &chart));
    let by_itself = desk
        .ask(
            "chart",
            &json!({ "palette": { "id": palette }, "size": "us7" }),
        )
        .ok()
        .json();
    assert!(
        by_itself["summary"]["warnings"]
            .to_string()
            .contains("the ground is gull white"),
        "{by_itself}"
    );
    let told = desk
        .ask(
            "chart",
            &json!({ "palette": { "id": palette }, "size": "us7", "dither": "mask" }),
        )
        .fails(400, "a plain band has no picture to do this with");
    assert_eq!(told["option"], "dither");
}
