//! `upbead show`.

use crate::common::{Bench, golden};
use resvg::usvg::roxmltree::{Document, Node};
use std::process::Stdio;
use upbead::bead::Bead;
use upbead::chart::{Chart, Made, Shade, write::write};
use upbead::colour::read_hex;
use upbead::lattice::{Lattice, Rows};
use upbead::palette::Finish;

fn shade(code: &str, name: &str, hex: &str, finish: Option<Finish>) -> Shade {
    Shade {
        code: code.to_string(),
        name: name.to_string(),
        srgb: read_hex(hex).expect("hex"),
        finish,
    }
}

/// A small ring: kelp green with a gold zigzag, and two white beads at its foot.
pub fn ring(columns: u32, rows: u32) -> Chart {
    let lattice = Lattice::new(Bead::default(), columns, Rows::closed(rows).unwrap()).unwrap();
    let beads = (0..lattice.len())
        .map(|at| {
            let (row, column) = lattice.position(at);
            match (row.get(), (row.get() + column.get()) / 2 % 3) {
                (1, 1) => 2,
                (_, 0) => 1,
                _ => 0,
            }
        })
        .collect();
    Chart {
        lattice,
        colours: vec![
            shade("quay-55", "kelp green", "2F5D50", Some(Finish::Matte)),
            shade("bell-08", "gold", "CDA048", Some(Finish::Metallic)),
            shade("quay-01", "gull white", "FAFAF6", None),
            shade("quay-99", "never used", "FF0000", None),
        ],
        beads,
        made: Made::default(),
        title: Some("Kelp & gold".to_string()),
        notes: None,
    }
}

pub fn bench(chart: &Chart) -> Bench {
    let bench = Bench::new();
    bench.put("band.json", write(chart));
    bench
}

/// The texts of an SVG with their places, in millimetres.
fn texts(document: &Document<'_>) -> Vec<(String, f64, f64)> {
    let texts = document.descendants().filter(|n| n.has_tag_name("text"));
    texts
        .map(|n| {
            (
                n.text().unwrap_or_default().to_string(),
                number(n, "x"),
                number(n, "y"),
            )
        })
        .collect()
}

fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).expect(name).parse().expect(name)
}

/// The beads of the band in an SVG: fill, centre in millimetres, size.
fn beads(document: &Document<'_>) -> Vec<(String, f64, f64, f64, f64)> {
    let band = document
        .descendants()
        .find(|n| n.attribute("aria-label") == Some("Band"))
        .expect("the band");
    let shape = |id: &str| {
        let id = id.trim_start_matches('#').replace('l', "b");
        document
            .descendants()
            .find(|n| n.attribute("id") == Some(&id))
    };
    band.descendants()
        .filter(|n| n.has_tag_name("use"))
        .map(|n| {
            let shape = shape(n.attribute("href").expect("href")).expect("shape");
            let (width, height) = (number(shape, "width"), number(shape, "height"));
            let fill = n.parent().unwrap().attribute("fill").expect("fill");
            let (x, y) = (number(n, "x") + width / 2.0, number(n, "y") + height / 2.0);
            (
                fill.trim_start_matches('#').to_string(),
                x,
                y,
                width,
                height,
            )
        })
        .collect()
}

#[test]
fn a_small_ring_as_plain_text() {
    let run = bench(&ring(7, 12)).run(&["show", "band.json"]).ok();
    assert!(
        run.out.is_ascii() || run.out.contains('×'),
        "{}",
        run.told()
    );
    assert!(!run.out.contains('\x1b'), "{}", run.told());
    golden("show/ring.txt", &run.bytes);
}

#[test]
fn a_small_ring_as_svg() {
    let bench = bench(&ring(7, 12));
    bench.run(&["show", "band.json", "--flat", "band.svg"]).ok();
    golden("show/ring.svg", &bench.get("band.svg"));
    let printed = bench.run(&["show", "band.json", "--flat", "-"]).ok();
    assert_eq!(printed.bytes, bench.get("band.svg"));
}

#[test]
fn a_chart_is_read_from_standard_input() {
    let chart = ring(7, 12);
    let file = bench(&chart).run(&["show", "band.json"]).ok();
    let piped = Bench::new()
        .run_with(&["show", "-"], write(&chart).as_bytes())
        .ok();
    assert_eq!(file.out, piped.out);
}

#[test]
fn at_true_size_the_svg_is_measured_in_millimetres() {
    let bench = bench(&ring(9, 74));
    bench
        .run(&["show", "band.json", "--flat", "band.svg", "--scale", "true"])
        .ok();
    let text = bench.text("band.svg");
    let document = Document::parse(&text).unwrap();
    let root = document.root_element();
    let view: Vec<&str> = root.attribute("viewBox").unwrap().split(' ').collect();
    assert_eq!(
        root.attribute("width"),
        Some(format!("{}mm", view[2]).as_str())
    );
    assert_eq!(
        root.attribute("height"),
        Some(format!("{}mm", view[3]).as_str())
    );
    let beads = beads(&document);
    assert_eq!(beads.len(), 333);
    // From design.md, section 3: centres 1.3 mm apart across and 0.8 mm from row to row.
    let across = |pick: fn(f64, f64) -> f64, axis: fn(&(String, f64, f64, f64, f64)) -> f64| {
        beads.iter().map(axis).reduce(pick).unwrap()
    };
    assert!((across(f64::max, |b| b.1) - across(f64::min, |b| b.1) - 8.0 * 1.3).abs() < 0.002);
    assert!((across(f64::max, |b| b.2) - across(f64::min, |b| b.2) - 73.0 * 0.8).abs() < 0.002);
    assert!(
        beads
            .iter()
            .all(|b| b.3 < 1.3 && b.3 > 1.2 && b.4 < 1.6 && b.4 > 1.5)
    );
    assert!(text.contains("20 mm when printed at true size"));
}

#[test]
fn rows_are_numbered_with_row_1_at_the_bottom() {
    let bench = bench(&ring(9, 74));
    bench.run(&["show", "band.json", "--flat", "band.svg"]).ok();
    let text = bench.text("band.svg");
    let document = Document::parse(&text).unwrap();
    let rows: Vec<(u32, f64)> = texts(&document)
        .iter()
        .filter_map(|(words, _, y)| Some((words.parse().ok()?, *y)))
        .collect();
    let mut numbers: Vec<u32> = rows.iter().map(|row| row.0).collect();
    numbers.sort_unstable();
    assert_eq!(numbers, (1..=74).collect::<Vec<u32>>());
    let y = |wanted| rows.iter().find(|row| row.0 == wanted).unwrap().1;
    assert!((1..74).all(|row| y(row) > y(row + 1)));
    let lowest = beads(&document)
        .iter()
        .map(|b| b.2)
        .reduce(f64::max)
        .unwrap();
    assert!(
        (y(1) - lowest).abs() < 1.5,
        "row 1's number stands beside its beads"
    );
}

#[test]
fn colours_stand_beside_the_band_with_their_counts() {
    let bench = bench(&ring(9, 74));
    bench.run(&["show", "band.json", "--flat", "band.svg"]).ok();
    let text = bench.text("band.svg");
    let document = Document::parse(&text).unwrap();
    let words: Vec<String> = texts(&document).into_iter().map(|text| text.0).collect();
    let counts = ring(9, 74).counts();
    for (name, count) in [
        ("kelp green", counts[0]),
        ("gold", counts[1]),
        ("gull white", counts[2]),
    ] {
        let at = words.iter().position(|w| w == name).expect(name);
        assert!(
            words[at..at + 3].contains(&format!("× {count}")),
            "{words:?}"
        );
    }
    assert!(words.contains(&"quay-55, matte".to_string()));
    assert!(words.contains(&"Kelp & gold".to_string()));
    assert!(
        words.contains(&"9 columns, 74 rows, 333 beads, 11.7 × 59.2 mm, size 11/0".to_string())
    );
    assert!(words.iter().any(|w| w.starts_with("Row 74 zips to row 1")));
    assert!(!text.contains("never used"));
}

#[test]
fn names_with_markup_stay_words_in_every_output() {
    let mut chart = ring(7, 12);
    chart.colours[0].name = "a <b> & \"c\" 'd' ]]>\u{1b}[31m".to_string();
    chart.colours[1].name = "θαλασσινό, сумерки".to_string();
    chart.title = Some("</svg> & more".to_string());
    let bench = bench(&chart);
    bench.run(&["show", "band.json", "--flat", "band.svg"]).ok();
    let text = bench.text("band.svg");
    let document = Document::parse(&text).unwrap();
    let words: Vec<String> = texts(&document).into_iter().map(|text| text.0).collect();
    assert!(
        words.contains(&"a <b> & \"c\" 'd' ]]> [31m".to_string()),
        "{words:?}"
    );
    assert!(words.contains(&"θαλασσινό, сумерки".to_string()));
    assert!(words.contains(&"</svg> & more".to_string()));
    let plain = bench.run(&["show", "band.json"]).ok();
    assert!(
        !plain.out.contains('\x1b') && plain.out.contains("a <b> & \"c\""),
        "{}",
        plain.told()
    );
    bench.run(&["show", "band.json", "--flat", "band.png"]).ok();
}

/// Pixels, and pixels in a metre, by another decoder than the one that wrote.
pub fn picture(bytes: &[u8]) -> (image::RgbaImage, u32) {
    let picture = image::load_from_memory(bytes)
        .expect("a picture")
        .to_rgba8();
    let at = bytes
        .windows(4)
        .position(|w| w == b"pHYs")
        .expect("a density");
    let word = |at: usize| u32::from_be_bytes(bytes[at..at + 4].try_into().unwrap());
    assert_eq!(
        (word(at + 4), bytes[at + 12]),
        (word(at + 8), 1),
        "square pixels, in metres"
    );
    (picture, word(at + 4))
}

#[test]
fn a_png_shows_the_beads_where_the_svg_has_them_and_records_its_density() {
    for options in [
        &[][..],
        &["--scale", "true"],
        &["--density", "150"],
        &["--backdrop", "transparent"],
    ] {
        let bench = bench(&ring(9, 74));
        let with = |file| [&["show", "band.json", "--flat", file], options].concat();
        bench.run(&with("band.png")).ok();
        let svg: Vec<&str> = with("band.svg")
            .into_iter()
            .filter(|o| *o != "--density" && *o != "150")
            .collect();
        bench.run(&svg).ok();
        let (picture, per_metre) = picture(&bench.get("band.png"));
        assert_eq!(
            per_metre,
            if options.contains(&"150") {
                5906
            } else {
                11811
            }
        );
        let text = bench.text("band.svg");
        let document = Document::parse(&text).unwrap();
        let scale = f64::from(per_metre) / 1000.0;
        let view = document.root_element().attribute("viewBox").unwrap();
        let sizes: Vec<f64> = view.split(' ').map(|n| n.parse().unwrap()).collect();
        assert!((f64::from(picture.width()) - sizes[2] * scale).abs() < 1.0);
        assert!((f64::from(picture.height()) - sizes[3] * scale).abs() < 1.0);
        for (fill, x, y, ..) in beads(&document) {
            let pixel = picture.get_pixel((x * scale) as u32, (y * scale) as u32);
            let hex = format!("{:02X}{:02X}{:02X}", pixel[0], pixel[1], pixel[2]);
            assert_eq!((hex, pixel[3]), (fill, 255), "at {x} mm, {y} mm");
        }
        let clear = options.contains(&"transparent");
        assert_eq!(picture.get_pixel(1, 1)[3], if clear { 0 } else { 255 });
    }
}

#[test]
fn the_same_chart_gives_the_same_picture_on_any_number_of_threads() {
    let bench = bench(&ring(31, 90));
    for threads in ["1", "5"] {
        let name = format!("{threads}.png");
        let mut command = bench.command(&["show", "band.json", "--flat", &name]);
        assert!(
            command
                .env("RAYON_NUM_THREADS", threads)
                .status()
                .unwrap()
                .success()
        );
    }
    assert!(bench.get("1.png") == bench.get("5.png"));
}

#[test]
fn wrong_arguments_are_refused_with_a_hint_and_nothing_is_written() {
    let bench = bench(&ring(7, 12));
    let there = bench.listing();
    let cases: [(&[&str], &str); 8] = [
        (
            &["--flat", "band.jpg"],
            "error: --flat: '.jpg' is no kind of picture\nhint: end the name in .svg or .png",
        ),
        (
            &["--flat", "band.pngg"],
            "error: --flat: '.pngg' is no kind of picture\nhint: did you mean .png?",
        ),
        (
            &["--flat", "band"],
            "error: --flat: a name without an ending does not say what to draw\n\
             hint: end the name in .svg or .png",
        ),
        (
            &["--flat", "b.svg", "--density", "300"],
            "error: --density: an SVG has no pixels\nhint: leave it out, or draw a PNG",
        ),
        (
            &["--flat", "b.png", "--density", "5"],
            "error: --density: a density of 5 dots per inch is out of range\nhint: give 30 to 1200",
        ),
        (
            &["--flat", "b.png", "--scale", "0"],
            "error: --scale: '0' is not a scale\n\
             hint: write true for true size, or how many times true size, from 0.1 to 50",
        ),
        (
            &["--flat", "b.png", "--scale", "NaN"],
            "error: --scale: 'NaN' is not a scale\n\
             hint: write true for true size, or how many times true size, from 0.1 to 50",
        ),
        (
            &["--flat", "b.png", "--backdrop", "kelp"],
            "error: --backdrop: 'kelp' is not a backdrop\n\
             hint: write white, transparent or six hex digits, such as 18222B",
        ),
    ];
    for (options, error) in cases {
        bench
            .run(&[&["show", "band.json"], options].concat())
            .fails(2, error);
        assert_eq!(bench.listing(), there);
    }
}

#[test]
fn a_density_that_is_asked_for_is_kept_or_refused() {
    let bench = bench(&ring(81, 240));
    let run = bench.run(&["show", "band.json", "--flat", "b.png", "--density", "1200"]);
    assert_eq!(run.status, Some(2), "{}", run.told());
    assert!(
        run.err
            .contains("more than 40,000,000 pixels at 1200 dots per inch"),
        "{}",
        run.told()
    );
    assert!(run.err.contains("hint: give at most "), "{}", run.told());
    assert_eq!(bench.listing(), "band.json");
    let lowered = bench
        .run(&["show", "band.json", "--flat", "b.png", "--scale", "10"])
        .ok();
    assert!(
        lowered.err.starts_with("note: drawn at "),
        "{}",
        lowered.told()
    );
    let (picture, per_metre) = picture(&bench.get("b.png"));
    assert!(f64::from(picture.width()) * f64::from(picture.height()) < 40.1e6);
    assert!(per_metre < 11811, "{per_metre}");
}

#[test]
fn an_existing_picture_is_replaced_only_with_force() {
    let bench = bench(&ring(7, 12));
    bench.put("b.svg", "mine");
    let call = ["show", "band.json", "--flat", "b.svg"];
    bench.run(&call).fails(
        1,
        "error: b.svg: the file exists\nhint: choose another name, or add --force to replace it",
    );
    assert_eq!(bench.text("b.svg"), "mine");
    bench.run(&[&call[..], &["--force"]].concat()).ok();
    assert!(bench.text("b.svg").starts_with("<svg"));
    assert_eq!(bench.listing(), "b.svg band.json");
}

#[test]
fn outputs_that_cannot_be_written_are_named_before_the_chart_is_read() {
    let bench = Bench::new();
    bench
        .run(&["show", "none.json", "--flat", "no/where.svg"])
        .fails(
            1,
            "error: no/where.svg: there is no folder 'no'\nhint: make the folder first",
        );
    bench.run(&["show", "none.json"]).fails(
        1,
        "error: none.json: cannot read: no such file or directory\n\
         hint: check the spelling and the folder",
    );
    let options = bench.run(&["show", "none.json", "--scale", "2"]);
    assert_eq!(options.status, Some(2), "{}", options.told());
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_an_error() {
    let bench = bench(&ring(7, 12));
    std::os::unix::fs::symlink("/dev/full", bench.path("full.svg")).unwrap();
    bench
        .run(&["show", "band.json", "--flat", "full.svg"])
        .fails(
            1,
            "error: full.svg: cannot write: no space left on device\n\
             hint: free some space or choose another disk",
        );
    let full = std::fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .unwrap();
    let call = ["show", "band.json"];
    let output = bench.command(&call).stdout(full).output().unwrap();
    let run = bench.ended(&call, output);
    assert_eq!(run.status, Some(1), "{}", run.told());
    assert!(
        run.err.contains("no space left on device"),
        "{}",
        run.told()
    );
}

#[test]
fn a_closed_pipe_is_no_error() {
    let bench = bench(&ring(81, 2000));
    for options in [&[][..], &["--flat", "-"]] {
        let mut child = bench
            .command(&[&["show", "band.json"], options].concat())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(output.status.code(), Some(0));
        assert!(output.stderr.is_empty());
    }
}

#[test]
fn no_colour_is_printed_without_a_terminal() {
    let bench = bench(&ring(7, 12));
    for (name, value) in [
        ("NO_COLOR", "1"),
        ("TERM", "xterm-256color"),
        ("COLORTERM", "truecolor"),
    ] {
        let output = bench
            .command(&["show", "band.json"])
            .env(name, value)
            .output()
            .unwrap();
        assert!(
            output.status.success() && !output.stdout.contains(&0x1b),
            "{name}"
        );
    }
}

#[test]
fn a_broken_chart_writes_nothing() {
    let bench = bench(&ring(7, 12));
    let whole = bench.text("band.json");
    bench.put("band.json", &whole[..whole.len() / 2]);
    let run = bench.run(&["show", "band.json", "--flat", "b.png"]);
    assert_eq!(run.status, Some(1), "{}", run.told());
    assert!(run.err.starts_with("error: band.json:"), "{}", run.told());
    assert_eq!(bench.listing(), "band.json");
}

/// The texts of one group of the drawing.
fn texts_of(svg: &str, label: &str) -> Vec<String> {
    let document = Document::parse(svg).expect("XML");
    let is_group = |node: &Node| node.attribute("aria-label") == Some(label);
    let Some(group) = document.descendants().find(is_group) else {
        return Vec::new();
    };
    let texts = group.descendants().filter(|node| node.has_tag_name("text"));
    texts
        .filter_map(|node| node.text().map(String::from))
        .collect()
}

#[test]
fn the_ground_can_be_left_without_keys() {
    let chart = ring(9, 24);
    let bench = bench(&chart);
    let keys = |option: &str| {
        bench
            .run(&["show", "band.json", "--flat", "a.svg", option, "--force"])
            .ok();
        let svg = bench.text("a.svg");
        (texts_of(&svg, "Keys"), texts_of(&svg, "Colours"))
    };
    let (all, table) = keys("--lettered");
    let (motif, same) = keys("--blank-ground");
    let counts = chart.counts();
    assert_eq!(all.len(), counts.iter().sum::<usize>());
    assert_eq!(motif.len(), counts.iter().sum::<usize>() - counts[0]);
    assert!(
        !motif.contains(&"kg".to_string()) && all.contains(&"kg".to_string()),
        "{all:?}"
    );
    assert_eq!(table, same);
}

/// As in the booklet: on the side from which the row is worked.
#[test]
fn row_numbers_stand_where_a_row_is_worked_from() {
    let bench = bench(&ring(9, 24));
    bench.run(&["show", "band.json", "--flat", "a.svg"]).ok();
    let svg = bench.text("a.svg");
    let document = Document::parse(&svg).expect("XML");
    let middle = texts(&document)
        .iter()
        .map(|(_, x, _)| *x)
        .fold(0.0, f64::max)
        / 4.0;
    let weave = bench.run(&["weave", "band.json", "--json"]).ok().json();
    for row in weave["rows"].as_array().unwrap() {
        let number = row["row"].to_string();
        let numbers = texts_of(&svg, "Row numbers");
        assert!(numbers.contains(&number), "{number} in {numbers:?}");
        let all = texts(&document);
        let x = all.iter().find(|(words, _, _)| *words == number).unwrap().1;
        let at_left = row["travel"] == "right";
        assert_eq!(x < middle, at_left, "row {number} at {x}, middle {middle}");
    }
}
