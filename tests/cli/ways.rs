//! `upbead swap --map`, `--ways` and `--suggest`: one design in other colours.

use crate::common::{Bench, golden, repository};
use crate::pdf::{Element, Pdf};
use crate::schema::suits;
use serde_json::Value;
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;
use std::fs;
use upbead::Chart;

const GULL: &str = include_str!("../data/gull.json");

/// Night, dawn, and one that keeps the beak.
const TABLE: &str = "colour,Night,Dawn over water,as it is\n\
                     s,tar black,quay-58,\n\
                     foam,quay-04,quay-01,\n\
                     beak yellow,buoy red,buoy red,b\n";

fn bench() -> Bench {
    let bench = Bench::new();
    bench.put("gull.json", GULL);
    bench.put("ways.csv", TABLE);
    for name in ["tin.csv", "shelf.csv"] {
        bench.put(name, fs::read(repository("palettes").join(name)).unwrap());
    }
    fs::create_dir(bench.path("ways")).unwrap();
    bench
}

fn chart(bench: &Bench, name: &str) -> Chart {
    Chart::read(&bench.text(name)).unwrap()
}

fn codes(chart: &Chart) -> Vec<&str> {
    chart.colours.iter().map(|one| one.code.as_str()).collect()
}

#[test]
fn a_map_replaces_the_colours_that_it_names() {
    let bench = bench();
    let run = bench
        .line("swap gull.json --map s=quay-09,b=buoy_red --palette tin.csv -o night.json")
        .status;
    assert_eq!(run, Some(1), "names have blanks, not underscores");
    let words = [
        "swap",
        "gull.json",
        "--map",
        "s=quay-09,b=buoy red",
        "--palette",
        "tin.csv",
        "-o",
        "night.json",
    ];
    let run = bench.run(&words).ok();
    golden("ways/map.txt", &run.bytes);
    let (old, new) = (chart(&bench, "gull.json"), chart(&bench, "night.json"));
    assert_eq!(codes(&new), ["quay-09", "f", "quay-11"]);
    assert_eq!(old.beads, new.beads);
    // The record names the design, and a digest of its file.
    assert_eq!(new.made.option("colourway_of"), Some("gull"));
    let digest = new.made.option("colourway_of_sha256").unwrap().to_string();
    assert_eq!(digest.len(), 64);
    // A colourway of a colourway is of the same design.
    bench
        .line("swap night.json --map f=quay-04 --palette tin.csv -o fog.json")
        .ok();
    let fog = chart(&bench, "fog.json");
    assert_eq!(fog.made.option("colourway_of"), Some("gull"));
    assert_eq!(
        fog.made.option("colourway_of_sha256"),
        Some(digest.as_str())
    );
}

#[test]
fn a_map_and_its_inverse_give_the_same_chart() {
    let bench = bench();
    bench
        .line("swap gull.json --map s=quay-09,f=b,b=f --palette tin.csv -o there.json")
        .ok();
    // The chart that it goes back to has the old colours.
    bench.put("old.csv", "code,name,hex\ns,slate sea,3A4C5E\n");
    bench
        .line("swap there.json --map quay-09=s,b=f,f=b --palette old.csv -o back.json")
        .ok();
    let (old, there, back) = (
        chart(&bench, "gull.json"),
        chart(&bench, "there.json"),
        chart(&bench, "back.json"),
    );
    assert_eq!(codes(&there), ["quay-09", "b", "f"]);
    assert_eq!((&back.colours, &back.beads), (&old.colours, &old.beads));
}

#[test]
fn a_table_makes_many_colourways_at_once() {
    let bench = bench();
    let run = bench
        .line("swap gull.json --ways ways.csv --palette tin.csv -o ways")
        .ok();
    golden("ways/table.txt", &run.bytes);
    let mut made: Vec<String> = fs::read_dir(bench.path("ways"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    made.sort();
    assert_eq!(
        made,
        [
            "gull-as-it-is.json",
            "gull-dawn-over-water.json",
            "gull-night.json",
            "gull-ways.pdf",
            "gull-ways.png"
        ]
    );
    let same = chart(&bench, "ways/gull-as-it-is.json");
    let old = chart(&bench, "gull.json");
    assert_eq!((&same.colours, &same.beads), (&old.colours, &old.beads));
    let dawn = chart(&bench, "ways/gull-dawn-over-water.json");
    assert_eq!(codes(&dawn), ["quay-58", "quay-01", "quay-11"]);
    assert_eq!(dawn.made.option("colourway"), Some("Dawn over water"));
    let json = bench
        .line("swap gull.json --ways ways.csv --palette tin.csv -o ways --force --json")
        .ok()
        .json();
    suits("ways", &json);
    assert_eq!(json["ways"][0]["changed"], 54);
    assert_eq!(json["ways"][2]["changed"], 0);
    // Tabs and semicolons, as spreadsheets write them.
    for mark in ["\t", ";"] {
        bench.put("ways.csv", TABLE.replace(',', mark));
        let again = bench
            .line("swap gull.json --ways ways.csv --palette tin.csv -o ways --force --json")
            .ok();
        assert_eq!(again.json(), json);
    }
}

#[test]
fn a_sheet_alone_has_the_charts_beside_it() {
    let bench = bench();
    let call = "swap gull.json --ways ways.csv --palette tin.csv -o";
    bench.line(&format!("{call} ways/sheet.png")).ok();
    assert!(bench.get("ways/sheet.png").starts_with(b"\x89PNG"));
    assert!(bench.path("ways/gull-night.json").is_file());
    assert_eq!(fs::read_dir(bench.path("ways")).unwrap().count(), 4);
    // Nothing is replaced unasked, and then nothing is written.
    bench
        .line(&format!("{call} ways/sheet.pdf"))
        .fails_with(1, "error: ways/gull-night.json: the file exists");
    assert!(!bench.path("ways/sheet.pdf").exists());
    bench.line(&format!("{call} ways/sheet.PDF --force")).ok();
    assert!(bench.get("ways/sheet.PDF").starts_with(b"%PDF"));
}

#[test]
fn a_record_s_digest_is_that_of_the_design_s_file() {
    let bench = bench();
    let written = chart(&bench, "gull.json").to_text();
    bench.put("gull.json", &written);
    bench
        .line("swap gull.json --map s=quay-09 --palette tin.csv -o night.json")
        .ok();
    let digest = Sha256::digest(written.as_bytes());
    let digest: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
    let night = chart(&bench, "night.json");
    assert_eq!(
        night.made.option("colourway_of_sha256"),
        Some(digest.as_str())
    );
    // Reading checks it.
    bench.put(
        "bad.json",
        bench.text("night.json").replace(&digest, "12ab"),
    );
    bench.line("show bad.json").fails_with(
        1,
        "error: bad.json:31:30: the option 'colourway_of_sha256' under 'made': '12ab' is not a \
         SHA-256\n\
         hint: write 64 hex digits, or take that option out",
    );
    bench.put(
        "bad.json",
        bench
            .text("night.json")
            .replace("\"colourway_of\": \"gull\"", "\"colourway_of\": \"\""),
    );
    bench.line("show bad.json").fails_with(
        1,
        "error: bad.json:30:23: the option 'colourway_of' under 'made': the name is empty",
    );
}

#[test]
fn two_colours_that_become_one_are_told() {
    let bench = bench();
    let run = bench.line("swap gull.json --map b=f -o one.json").ok();
    let told = "  - two colours of the design are both foam now\n";
    assert!(run.out.ends_with(told), "{}", run.told());
    assert_eq!(codes(&chart(&bench, "one.json")), ["s", "f"]);
}

#[test]
fn a_design_of_layers_keeps_them_in_its_colourways() {
    let bench = bench();
    for name in [
        "seaside.json",
        "tide-line.png",
        "kittiwake.png",
        "lighthouse.png",
    ] {
        bench.put(name, fs::read(repository("samples").join(name)).unwrap());
    }
    bench
        .line("chart seaside.json --palette tin.csv --size us7 --columns 11 -o band.json")
        .ok();
    bench
        .line("swap band.json --map quay-58=quay-09 --palette tin.csv -o night.json")
        .ok();
    let (old, night) = (chart(&bench, "band.json"), chart(&bench, "night.json"));
    assert_eq!(old.made.option("colourway_of"), None);
    assert_eq!(night.made.option("colourway_of"), Some("band"));
    assert!(old.made.option("design").is_some(), "test file is broken");
    assert_eq!(night.made.option("design"), old.made.option("design"));
}

/// How many pixels of each third of a picture, from the left, are of exactly this colour.
fn thirds(picture: &image::RgbImage, colour: [u8; 3]) -> [usize; 3] {
    let mut counts = [0; 3];
    for (x, _, pixel) in picture.enumerate_pixels() {
        if pixel.0 == colour {
            counts[(x * 3 / picture.width()) as usize] += 1;
        }
    }
    counts
}

#[test]
fn the_contact_sheet_shows_each_colourway_in_its_place() {
    let bench = bench();
    bench
        .line("swap gull.json --ways ways.csv --palette tin.csv -o ways/sheet.png")
        .ok();
    let sheet = image::load_from_memory(&bench.get("ways/sheet.png")).unwrap();
    let sheet = sheet.to_rgb8();
    // 210 mm at 200 dots per inch.
    assert_eq!(sheet.width(), 1654);
    // 40 beads of the ground in each strip, of which at least a square of 7 pixels is plain.
    let grounds = [[0x11, 0x11, 0x11], [0x1C, 0x32, 0x61], [0x3A, 0x4C, 0x5E]];
    for (at, colour) in grounds.into_iter().enumerate() {
        let counts = thirds(&sheet, colour);
        for (third, count) in counts.into_iter().enumerate() {
            assert_eq!(count > 40 * 49, third == at, "{colour:?}: {counts:?}");
        }
    }
}

#[test]
fn the_sheet_on_paper_is_read_in_order() {
    let bench = bench();
    bench
        .line("swap gull.json --ways ways.csv --palette tin.csv -o ways")
        .ok();
    let pdf = Pdf::read(&bench.get("ways/gull-ways.pdf"));
    assert_eq!(pdf.info(b"Title").as_deref(), Some("Gull"));
    assert_eq!(pdf.pages.len(), 1);
    let line = |element: &Element| {
        let words = element.alt.as_deref().unwrap_or(&element.words);
        format!("{}: {}\n", element.role, words.trim())
    };
    let read: String = pdf.elements.iter().map(line).collect();
    golden("ways/read.txt", read.as_bytes());
}

#[test]
fn suggested_colourways_differ_and_keep_what_is_light_and_dark() {
    let bench = bench();
    let call = "swap gull.json --suggest 5 --palette shelf.csv -o ways --json --force";
    let run = bench.line(call).ok();
    let json = run.json();
    suits("ways", &json);
    let ways = json["ways"].as_array().unwrap();
    assert_eq!(ways.len(), 5);
    let mut seen = BTreeSet::new();
    for way in ways {
        assert_eq!(way["together"], serde_json::json!([]), "{way:#}");
        assert_eq!(way["turned"], serde_json::json!([]), "{way:#}");
        let codes = way["colours"].as_array().unwrap().iter();
        let codes: Vec<&Value> = codes.map(|one| &one["to"]["code"]).collect();
        assert!(seen.insert(format!("{codes:?}")), "{way:#}");
        let contrast = |of: &Value| of["contrast"].as_f64().unwrap();
        assert!(contrast(way) >= 0.7 * contrast(&json).min(3.0), "{way:#}");
    }
    // The same for any number of threads.
    let words: Vec<&str> = call.split(' ').collect();
    let before = bench.get("ways/gull-ways.png");
    let output = bench
        .command(&words)
        .env("RAYON_NUM_THREADS", "1")
        .output()
        .unwrap();
    assert_eq!(bench.ended(&words, output).ok().out, run.out);
    assert_eq!(bench.get("ways/gull-ways.png"), before);
}

#[test]
fn where_the_palette_has_too_few_colours_fewer_colourways_are_suggested() {
    let bench = bench();
    let run = bench
        .line("swap gull.json --suggest 12 --palette tin.csv -o ways")
        .ok();
    golden("ways/suggest.txt", &run.bytes);
    assert!(run.out.contains("of 12 colourways"), "{}", run.told());
    let own = "code,name,hex\ns,slate sea,3A4C5E\nf,foam,E8ECEA\nb,beak yellow,E3B23C\n";
    bench.put("own.csv", own);
    bench
        .line("swap gull.json --suggest 3 --palette own.csv -o ways --force")
        .fails(
            1,
            "error: gull.json: no colours of own give this design another look that reads as \
             well\nhint: use a palette with more colours, or choose them with --map",
        );
}

/// Calls that are refused: the call, the status, the error.
const BAD: &[(&str, i32, &str)] = &[
    (
        "swap gull.json",
        2,
        "error: nothing says which colours take the place of the chart's\n\
         hint: add --palette, --map, --ways or --suggest",
    ),
    (
        "swap gull.json --map s=quay-9 --palette tin.csv",
        1,
        "error: gull.json: no colour has the code or name 'quay-9'\n\
         hint: did you mean quay-09 or quay-29 or quay-01?",
    ),
    (
        "swap gull.json --map s=f,s=b",
        2,
        "error: --map: 's' is replaced twice\nhint: name each colour of the chart once",
    ),
    (
        "swap gull.json --map s",
        2,
        "error: --map: 's' does not say which colour becomes which\n\
         hint: write OLD=NEW, such as navy-1=quay-09, with commas between them",
    ),
    (
        "swap gull.json --map s=f --suggest 3",
        2,
        "error: --suggest: --map and --suggest cannot both choose the colours\n\
         hint: leave one of them out",
    ),
    (
        "swap gull.json --suggest 3 -o ways",
        2,
        "error: --suggest: suggestions need the palette of your beads\n\
         hint: add --palette, such as --palette owned.csv",
    ),
    (
        "swap gull.json --suggest 99 --palette tin.csv -o ways",
        2,
        "error: --suggest: '99' is not a number of colourways\n\
         hint: give a whole number from 1 to 24",
    ),
    (
        "swap gull.json --ways ways.csv",
        2,
        "error: -o: nothing says where the colourways go\n\
         hint: name a folder or a sheet with -o, such as -o ways or -o ways.png",
    ),
    (
        "swap gull.json --ways ways.csv -o none",
        2,
        "error: -o: there is no folder 'none'\n\
         hint: make the folder first, or name a sheet that ends in .png or .pdf",
    ),
    (
        "swap - --ways - -o ways",
        2,
        "error: --ways: chart and table cannot both come from standard input\n\
         hint: name a file for one of them",
    ),
    (
        "swap gull.json --ways ways.csv -o ways",
        1,
        "error: ways.csv:2:3: no colour has the code or name 'tar black'\n  other colours than \
         the chart's come from --palette\nhint: `upbead palette FILE` lists the codes",
    ),
];

#[test]
fn wrong_arguments_are_refused_with_their_own_message() {
    let bench = bench();
    for (call, status, error) in BAD {
        bench.line(call).fails(*status, error);
    }
    assert_eq!(fs::read_dir(bench.path("ways")).unwrap().count(), 0);
}

#[test]
fn a_wrong_table_is_refused_with_its_place() {
    let bench = bench();
    for (table, error) in [
        (
            "colour,night\ns,f,b\n",
            "2:5: this row has 3 cells, not 2\nhint: give each row as many cells as the first; \
             an empty cell keeps the colour",
        ),
        (
            "colour,night\ns,f\nslate sea,b\n",
            "3:1: 'slate sea' stands twice\n\
             hint: line 2 has it too; give each colour of the design one line",
        ),
        (
            "colour,night,NIGHT\ns,f,b\n",
            "1:14: two colourways are called 'NIGHT'\nhint: give each a name of its own",
        ),
        (
            "colour\ns\n",
            "1:7: the first line names no colourways\nhint: write the name of each colourway \
             after the first cell, such as colour,night,dawn",
        ),
        (
            "colour,night\nsleet,f\n",
            "2:1: no colour has the code or name 'sleet'\n  the design has s (slate sea), f \
             (foam), b (beak yellow)\nhint: did you mean s?",
        ),
    ] {
        bench.put("ways.csv", table);
        bench
            .line("swap gull.json --ways ways.csv -o ways")
            .fails(1, &format!("error: ways.csv:{error}"));
    }
    bench.put("ways.csv", "colour,a b,a-b\ns,f,b\n");
    bench
        .line("swap gull.json --ways ways.csv -o ways")
        .fails_with(
            1,
            "error: the colourway 'a-b' would have the same file as another",
        );
    assert_eq!(fs::read_dir(bench.path("ways")).unwrap().count(), 0);
}
