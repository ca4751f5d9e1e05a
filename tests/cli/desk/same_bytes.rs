//! What the desk makes is what the command line makes, byte for byte.

use super::client::Desk;
use crate::common::{Bench, number, repository, table};
use serde_json::{Value, json};
use std::io::Read;

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
        "difference",
        "colours",
        "warnings",
    ] {
        assert!(summary.get(field).is_some(), "{field}");
        assert_eq!(told["summary"][field], summary[field], "{typed}: {field}");
    }
    (text, told.take())
}

#[test]
fn charts_are_the_same_bytes() {
    let desk = prepared();
    let cases = [
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
    ];
    for (picture, palette, typed, asked) in cases {
        both(&desk, picture, palette, typed, &asked);
    }
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
    assert_eq!(chart["rows"].as_array().unwrap().len(), 74);
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

/// The kittiwake on navy.
fn gull(desk: &Desk) -> String {
    let wish = json!({ "size": "us7", "place": "motif", "ground": "quay-58" });
    let line = "--size us7 --place motif --ground quay-58";
    both(desk, "kittiwake.png", "tin.csv", line, &wish).0
}

#[test]
fn exported_files_are_the_same_bytes() {
    let desk = prepared();
    let text = gull(&desk);
    let palette = desk.palette("tin.csv");
    let export = |kind: &str, options: Value| {
        let about = json!({
            "chart": text,
            "name": "band.json",
            "palette": { "id": palette },
            "options": options,
        });
        desk.ask(&format!("export?kind={kind}"), &about).ok()
    };
    let printed = |words: &str| {
        let call: Vec<&str> = words.split(' ').collect();
        desk.bench.run(&call).ok().bytes
    };
    let drawn = |words: &str, file: &str| {
        printed(words);
        desk.bench.get(file)
    };
    assert!(export("chart", json!({})).body == desk.bench.get("band.json"));
    assert!(export("svg", json!({})).body == drawn("show band.json --flat a.svg", "a.svg"));
    assert!(
        export("svg", json!({ "scale": "true", "backdrop": "18222B" })).body
            == drawn(
                "show band.json --flat b.svg --scale true --backdrop 18222B",
                "b.svg"
            )
    );
    assert!(export("png", json!({})).body == drawn("show band.json --flat a.png", "a.png"));
    assert!(
        export(
            "png",
            json!({ "scale": 2, "density": 150, "backdrop": "transparent" })
        )
        .body
            == drawn(
                "show band.json --flat b.png --scale 2 --density 150 --backdrop transparent",
                "b.png"
            )
    );
    assert!(export("rows", json!({})).body == printed("weave band.json"));
    assert!(
        export(
            "rows",
            json!({ "start": "right", "from": "top", "as": "markdown", "keys": "short" })
        )
        .body
            == printed("weave band.json --start right --from top --as markdown --keys short")
    );
    assert!(export("kit-text", json!({})).body == printed("kit band.json --palette tin.csv"));
    assert!(
        export(
            "kit-csv",
            json!({ "make": 12, "spare": "25%", "thread": 0.13, "tail": 150 })
        )
        .body
            == printed(
                "kit band.json --palette tin.csv --make 12 --spare 25% --thread 0.13 --tail 150 \
                 --as csv"
            )
    );
    let lettered = json!({ "lettered": true, "scale": 5 });
    assert!(
        export("svg", lettered).body
            == drawn("show band.json --flat c.svg --lettered --scale 5", "c.svg")
    );
    assert!(
        export("beads", json!({ "density": 100 })).body
            == drawn("show band.json --flat c.png --beads --density 100", "c.png")
    );
    assert!(
        export(
            "ring",
            json!({ "pixels": 200, "turn": 20, "tilt": -10, "ground": "transparent" })
        )
        .body
            == drawn(
                "show band.json --ring d.png --pixels 200 --roll 20 --tilt -10 --backdrop \
                 transparent",
                "d.png"
            )
    );
    assert!(
        export("turntable", json!({ "pixels": 64, "frames": 8 })).body
            == drawn(
                "show band.json --turntable e.png --pixels 64 --frames 8",
                "e.png"
            )
    );
    assert!(
        export("pdf", json!({})).body
            == drawn("print band.json --palette tin.csv -o a.pdf", "a.pdf")
    );
    assert!(
        export(
            "pdf",
            json!({
                "paper": "letter",
                "by": "Kittiwake",
                "sizes": "us6..us8",
                "start": "right",
                "from": "top",
                "keys": "short",
                "swatch": "40=33.6",
            })
        )
        .body
            == drawn(
                "print band.json --palette tin.csv --paper letter --by Kittiwake --sizes us6..us8 \
                 --start right --from top --keys short --swatch 40=33.6 -o b.pdf",
                "b.pdf"
            )
    );
    let some = json!({ "rows": "20..35", "from": "top" });
    assert!(export("rows", some).body == printed("weave band.json --rows 20..35 --from top"));
    let far = json!({ "seen": "700,2000", "density": 200, "ground": "F5F0E6" });
    assert!(
        export("seen", far).body
            == drawn(
                "show band.json --seen 700,2000 g.png --density 200 --backdrop F5F0E6",
                "g.png"
            )
    );
    for form in ["gif", "png"] {
        let reply = export(
            "turntable",
            json!({ "pixels": 64, "frames": 8, "as": form }),
        );
        let disposition = reply.header("content-disposition").unwrap_or_default();
        assert!(disposition.contains(&format!(".{form}\"")), "{disposition}");
        let file = format!("loop.{form}");
        let call = format!("show band.json --turntable {file} --pixels 64 --frames 8");
        assert!(reply.body == drawn(&call, &file));
    }
    let cover = json!({
        "chart": text,
        "name": "band.json",
        "picture": desk.picture("harbour-dusk.jpg"),
        "options": { "note": "For a cold day", "title": "Gull" },
    });
    let words = ["--note", "For a cold day", "--title", "Gull", "-o", "c.pdf"];
    let call = ["print", "band.json", "--picture", "harbour-dusk.jpg"];
    desk.bench.run(&[&call[..], &words].concat()).ok();
    assert!(desk.ask("export?kind=pdf", &cover).ok().body == desk.bench.get("c.pdf"));
    let sight = desk.ask("seen?lane=seen&n=1", &json!({ "chart": text, "mm": 700 }));
    assert_eq!(sight.header("content-type"), Some("image/png"));
    assert!(sight.ok().body == drawn("show band.json --seen 700 f.png", "f.png"));
    let told = desk
        .ask("seen", &json!({ "chart": text, "mm": 7 }))
        .fails(400, "'7' is not a viewing distance");
    assert_eq!(told["option"], "seen");
    let reply = export("svg", json!({}));
    assert_eq!(
        reply.header("content-disposition"),
        Some("attachment; filename=\"band.svg\"; filename*=UTF-8''band.svg")
    );
    assert_eq!(reply.header("content-type"), Some("image/svg+xml"));
    reply.is_guarded();
}

#[test]
fn other_sizes_are_the_same_charts_and_table() {
    let desk = prepared();
    let text = gull(&desk);
    let about = json!({
        "chart": text,
        "name": "band.json",
        "options": { "sizes": "us6..us8", "step": 0.5, "prefer": "nearest" },
    });
    let zip = desk.ask("export?kind=sizes", &about).ok().body;
    assert!(zip == desk.ask("export?kind=sizes", &about).ok().body);
    desk.bench.put("sizes/none", "");
    let table = desk
        .bench
        .run(&[
            "resize",
            "band.json",
            "--sizes",
            "us6..us8",
            "--step",
            "0.5",
            "--prefer",
            "nearest",
            "-o",
            "sizes",
        ])
        .ok()
        .out;
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(zip)).unwrap();
    let mut names = Vec::new();
    for at in 0..archive.len() {
        let mut file = archive.by_index(at).unwrap();
        let mut text = String::new();
        file.read_to_string(&mut text).unwrap();
        let name = file.name().unwrap().to_string();
        if name.ends_with(".json") {
            assert!(text == desk.bench.text(&format!("sizes/{name}")), "{name}")
        } else {
            assert_eq!(text, table.replace("sizes/", ""))
        }
        names.push(name);
    }
    assert_eq!(
        names,
        [
            "band-us6.json",
            "band-us6.5.json",
            "band-us7.json",
            "band-us7.5.json",
            "band-us8.json",
            "band-sizes.txt"
        ]
    );
    // A picture that goes all round has no plain stretch to take rows from.
    let (text, _) = both(
        &desk,
        "harbour-dusk.jpg",
        "shelf.csv",
        "--size us7 --colours 6",
        &json!({ "size": "us7", "colours": 6 }),
    );
    let round = json!({ "chart": text, "name": "band.json", "options": { "sizes": "us1" } });
    let told = desk.ask("export?kind=sizes", &round);
    assert_eq!(told.status, 422, "{}", told.text());
    assert_eq!(told.json()["error"]["where"], "band.json");
}

#[test]
fn facts_are_what_the_verbs_print_as_json() {
    let desk = prepared();
    let (text, told) = both(
        &desk,
        "harbour-dusk.jpg",
        "tin.csv",
        "--size us7 --colours 7",
        &json!({ "size": "us7", "colours": 7 }),
    );
    let json = |words: &str| {
        let call: Vec<&str> = words.split(' ').collect();
        desk.bench.run(&call).ok().json()
    };
    let palette = desk.palette("tin.csv");
    let facts = desk
        .ask(
            "facts?lane=facts&n=3",
            &json!({
                "chart": text,
                "palette": { "id": palette },
                "make": 5,
                "spare": 20,
                "name": "band.json",
            }),
        )
        .ok()
        .json();
    assert_eq!(facts["n"], 3);
    assert_eq!(
        facts["kit"],
        json("kit band.json --palette tin.csv --make 5 --spare 20 --json")
    );
    assert_eq!(
        facts["findings"],
        json("check band.json --palette tin.csv --make 5 --json")["findings"]
    );
    assert_eq!(facts["missing"], Value::Null);
    assert_eq!(facts["width_mm"], 11.7);
    assert_eq!(
        facts["ring"]["diameter_mm"],
        told["summary"]["inside_diameter_mm"]
    );
    // The same keys as in the rows, for each of the chart's colours.
    let rows = desk
        .bench
        .run(&["weave", "band.json", "--keys", "short"])
        .ok()
        .out;
    let keys = facts["keys"].as_array().unwrap();
    let colours = facts["kit"]["colours"].as_array().unwrap();
    assert!(keys.len() == colours.len() && keys.len() > 3, "{facts}");
    for (key, colour) in keys.iter().zip(colours) {
        let name = colour["name"].as_str().unwrap();
        let line = rows
            .lines()
            .find(|line| line.contains(&format!(" {name} (")));
        let key = key.as_str().unwrap();
        assert!(
            line.unwrap().starts_with(&format!("{key} ")),
            "{key}\n{rows}"
        );
    }
    let refused = desk.ask("facts", &json!({ "chart": text, "thread": 9 }));
    let refused = refused.fails(400, "'9' is not a thread");
    assert_eq!(refused["option"], "thread");
    let refused = desk.ask("facts", &json!({ "chart": text, "lenght": 900 }));
    let refused = refused.fails(400, "'lenght' is not an option here");
    assert_eq!(refused["hint"], "did you mean length?");
    let plain = desk.ask("facts", &json!({ "chart": text })).ok().json();
    assert_eq!(plain["kit"], json("kit band.json --json"));
    assert_eq!(plain["n"], Value::Null);

    // A palette without the chart's colours: the kit's own words, and the rest all the same.
    let other = desk
        .post(
            "palette?name=three.csv",
            b"code,name,hex\na,dune,D8C39A\nb,dulse,7A2E3B\n",
        )
        .ok()
        .json();
    let facts = desk
        .ask(
            "facts",
            &json!({ "chart": text, "palette": { "id": other["id"] } }),
        )
        .ok()
        .json();
    let what = facts["missing"]["what"].as_str().unwrap();
    assert!(
        what.contains("colours of the chart are not in this palette"),
        "{what}"
    );
    assert_eq!(facts["missing"]["where"], "three.csv");
    assert!(
        facts["findings"].to_string().contains("not-in-palette"),
        "{facts}"
    );

    let woven = desk
        .ask(
            "weave",
            &json!({ "chart": text, "start": "right", "from": "top", "name": "band.json" }),
        )
        .ok();
    assert!(
        woven.body
            == desk
                .bench
                .run(&[
                    "weave",
                    "band.json",
                    "--start",
                    "right",
                    "--from",
                    "top",
                    "--json"
                ])
                .ok()
                .bytes
    );

    let read = desk
        .post("read?name=band.json", text.replace("\n", "\r\n").as_bytes())
        .ok()
        .json();
    assert_eq!(read["text"], json!(text));

    let bytes = desk.bench.get("tin.csv");
    let told = desk.post("palette?name=tin.csv", &bytes).ok().json();
    let printed = json("palette tin.csv --json");
    assert_eq!(told["colours"], printed["colours"]);
    assert_eq!(told["alike"], printed["pairs"]);
    assert_eq!(told["name"], "tin");
}

#[test]
fn the_desk_opens_with_the_files_it_was_given() {
    let bench = Bench::new();
    let tin = std::fs::read(repository("palettes/tin.csv")).unwrap();
    bench.put("owned.csv", &tin);
    bench.put(
        "tide.png",
        std::fs::read(repository("samples/tide-line.png")).unwrap(),
    );
    bench
        .run(&[
            "chart",
            "tide.png",
            "--palette",
            "owned.csv",
            "--size",
            "us7",
            "-o",
            "band.json",
        ])
        .ok();
    bench
        .run(&["fit", "--swatch", "40=33.6", "--remember"])
        .ok();
    let text = bench.text("band.json");
    let desk = Desk::open_with(bench, &["band.json", "--palette", "owned.csv"]);
    let begin = desk.get("begin").ok().json();
    assert_eq!(begin["file"], json!({ "name": "band.json", "text": text }));
    assert_eq!(begin["palettes"][0]["name"], "owned.csv");
    assert_eq!(
        begin["palettes"][0]["text"].as_str().unwrap().as_bytes(),
        tin
    );
    assert_eq!(begin["palettes"].as_array().unwrap().len(), 4);
    assert_eq!(begin["gauge"]["from"], "swatch 40=33.6");
    assert!(begin["sizes"].as_array().unwrap().contains(&json!("us7.5")));
    assert_eq!(begin["beads"][0]["length_mm"], 1.3);
    for offered in [
        "chart",
        "svg",
        "png",
        "beads",
        "ring",
        "turntable",
        "pdf",
        "page",
        "rows",
        "kit-text",
        "kit-csv",
        "sizes",
        "weave",
        "follow",
        "seen",
        "calm",
    ] {
        assert!(
            begin["offers"]
                .as_array()
                .unwrap()
                .contains(&json!(offered))
        );
    }
    // The weaver's own gauge counts, as it does on the command line.
    let wish = json!({
        "picture": desk.picture("tide-line.png"),
        "palette": { "id": desk.palette("tin.csv") },
        "size": "us7",
    });
    let chart: Value = serde_json::from_str(&desk.chart(&wish)).unwrap();
    desk.bench.put("tide-line.png", desk.bench.get("tide.png"));
    desk.bench.put("tin.csv", &tin);
    desk.bench
        .run(&[
            "chart",
            "tide-line.png",
            "--palette",
            "tin.csv",
            "--size",
            "us7",
            "-o",
            "again.json",
        ])
        .ok();
    let again: Value = serde_json::from_str(&desk.bench.text("again.json")).unwrap();
    assert_eq!(chart, again);
    let listing = desk.bench.listing();
    desk.ask("facts", &json!({ "chart": text })).ok();
    assert_eq!(desk.bench.listing(), listing, "the desk writes nothing");
}

#[test]
fn previews_are_upright_and_small() {
    let desk = prepared();
    let id = desk.picture("harbour-dusk.jpg");
    let told = desk
        .post("picture?name=a.jpg", &desk.bench.get("harbour-dusk.jpg"))
        .ok()
        .json();
    assert_eq!(told["id"], json!(id));
    assert_eq!(told["mime"], "image/jpeg");
    let reply = desk.get(&format!("picture/{id}?width=120")).ok();
    assert_eq!(reply.header("content-type"), Some("image/png"));
    let little = image::load_from_memory(&reply.body).unwrap();
    let (width, height) = (
        told["width"].as_f64().unwrap(),
        told["height"].as_f64().unwrap(),
    );
    assert_eq!(little.width(), 120);
    assert_eq!(little.height(), (120.0 * height / width).round() as u32);
    // By another way: the decoder's own picture, scaled by the same library, in sRGB.
    let whole = image::load_from_memory(&desk.bench.get("harbour-dusk.jpg")).unwrap();
    let expected = whole
        .resize_exact(120, little.height(), image::imageops::FilterType::Triangle)
        .to_rgb8();
    let worst = little
        .to_rgb8()
        .iter()
        .zip(expected.iter())
        .map(|(one, other)| one.abs_diff(*other))
        .max();
    assert!(worst <= Some(1), "{worst:?}");
    desk.get(&format!("picture/{id}?width=0"))
        .fails(400, "a preview cannot be 0 pixels wide");
    desk.get("picture/abc")
        .fails(410, "this picture is no longer kept");
}

/// Against values by independent programs, as in `tables/profiles.rs`; 8-bit levels add 0.005, as
/// the head of the table says.
#[test]
fn previews_honour_orientation_and_profiles() {
    let desk = Desk::open();
    let linear = |level: u8| match f64::from(level) / 255.0 {
        low if low <= 0.04045 => low / 12.92,
        level => ((level + 0.055) / 1.055).powf(2.4),
    };
    let mut files: std::collections::BTreeMap<String, image::RgbImage> = Default::default();
    for row in table("profiles.csv") {
        let file = row["file"].clone();
        let little = files.entry(file.clone()).or_insert_with(|| {
            let bytes = std::fs::read(repository("tests/data/profiles").join(&file)).unwrap();
            let told = desk
                .post(&format!("picture?name={file}"), &bytes)
                .ok()
                .json();
            let id = told["id"].as_str().unwrap();
            let preview = desk.get(&format!("picture/{id}")).ok();
            let little = image::load_from_memory(&preview.body).unwrap().to_rgb8();
            assert_eq!(
                json!([little.width(), little.height()]),
                json!([told["width"], told["height"]])
            );
            little
        });
        let pixel = little.get_pixel(number(&row, "x") as u32, number(&row, "y") as u32);
        let tolerance = number(&row, "tolerance") + 0.005;
        for (level, column) in pixel.0.into_iter().zip(["r", "g", "b"]) {
            let off = (linear(level) - number(&row, column).clamp(0.0, 1.0)).abs();
            assert!(off <= tolerance, "{row:?}: {column} {}", linear(level));
        }
    }
    assert!(files.len() >= 30, "test file is broken");
}

/// Every kind of file that can be charted can be previewed.
#[test]
fn every_picture_that_is_read_has_a_preview() {
    let desk = Desk::open();
    let mut seen = 0;
    for entry in std::fs::read_dir(repository("tests/data/odd")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_string();
        if name.ends_with(".md") {
            continue;
        }
        let told = desk.post(
            &format!("picture?name={name}"),
            &std::fs::read(&path).unwrap(),
        );
        if name.starts_with("unread-") {
            assert_eq!(told.status, 422, "{name}: {}", told.text());
            continue;
        }
        let id = told.ok().json()["id"].as_str().unwrap().to_string();
        let preview = desk.get(&format!("picture/{id}?width=8")).ok();
        assert_eq!(
            image::load_from_memory(&preview.body).unwrap().width(),
            8,
            "{name}"
        );
        seen += 1;
    }
    assert!(seen > 30, "test file is broken");
}
