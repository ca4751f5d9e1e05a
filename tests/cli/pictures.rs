//! `upbead show --beads`, `--ring`, `--turntable` and `--seen`: read back by other decoders,
//! measured against formulas.

use super::show::{bench, picture, ring};
use crate::common::{Bench, golden_picture};
use image::codecs::{gif::GifDecoder, png::PngDecoder};
use image::{AnimationDecoder, Frame, RgbaImage};
use resvg::usvg::roxmltree::Document;
use std::f64::consts::PI;
use std::io::Cursor;
use upbead::chart::Chart;
use upbead::lattice::{Lattice, Rows};
use upbead::render::Camera;
use upbead::units::Mm;

/// The rows and columns in which a picture has opaque pixels: left, top, right, bottom.
fn opaque(picture: &RgbaImage) -> (f64, f64, f64, f64) {
    let mut found = (f64::MAX, f64::MAX, 0.0f64, 0.0f64);
    for (x, y, pixel) in picture.enumerate_pixels().filter(|(.., p)| p[3] == 255) {
        let (x, y) = (f64::from(x), f64::from(y));
        let _ = pixel;
        found = (
            found.0.min(x),
            found.1.min(y),
            found.2.max(x + 1.0),
            found.3.max(y + 1.0),
        );
    }
    found
}

/// The ring's outer radius by the closing formula of design.md, section 5: touching rollers of 1.6
/// mm, 37 round a column.
fn outer(rows: f64) -> f64 {
    1.6 / (2.0 * (PI / (rows / 2.0)).sin()) + 0.8
}

/// Looked at straight, a cylinder of radius r at a distance d reaches r d / sqrt(d^2 - r^2) up and
/// down in the plane through its middle (tangents from a point), and half its width to either side
/// of its nearest line, d / (d - r) times as large.
#[test]
fn the_ring_s_outline_has_the_size_that_geometry_gives_it() {
    for (columns, rows) in [(9, 74), (5, 40)] {
        let bench = bench(&ring(columns, rows));
        let call = [
            "show",
            "band.json",
            "--ring",
            "r.png",
            "--tilt",
            "0",
            "--backdrop",
            "transparent",
        ];
        bench
            .run(&[&call[..], &["--scale", "true", "--density", "400"]].concat())
            .ok();
        let (picture, per_metre) = picture(&bench.get("r.png"));
        let per_mm = f64::from(per_metre) / 1000.0;
        assert!((per_mm - 400.0 / 25.4).abs() < 0.1, "{per_mm}");
        let (left, top, right, bottom) = opaque(&picture);
        let r = outer(f64::from(rows));
        let d = Camera::facing(Mm::new(r)).eye.length();
        let high = 2.0 * r * d / (d * d - r * r).sqrt();
        let wide = 1.3 * f64::from(columns) * d / (d - r);
        let measured = ((right - left) / per_mm, (bottom - top) / per_mm);
        // A pixel at either edge, and rollers that stand 0.4% lower between their tops.
        assert!((measured.1 - high).abs() < 0.2, "{measured:?}, {high} high");
        assert!((measured.0 - wide).abs() < 0.2, "{measured:?}, {wide} wide");
        // Without a ground the corner is clear, and the shadow is neither clear nor opaque.
        assert_eq!(picture.get_pixel(0, 0)[3], 0);
        assert!(
            picture
                .pixels()
                .any(|p| p[3] > 60 && p[3] < 200 && p[0] == 0)
        );
    }
}

#[test]
fn beads_of_the_ring_are_seen_where_they_stand() {
    // One gold bead in a black band: at turn 0 and tilt 0, row N/2 is in the middle of the picture,
    // and column 3 of 9 left of it.
    let mut chart = ring(9, 74);
    chart.colours[0].srgb = upbead::colour::Srgb8::new(0, 0, 0);
    chart.colours[1].srgb = upbead::colour::Srgb8::new(0xFF, 0xD0, 0x40);
    let marked = chart.lattice.index(
        upbead::lattice::Row::new(37),
        upbead::lattice::Column::new(3),
    );
    chart.beads = vec![0; chart.lattice.len()];
    chart.beads[marked.unwrap()] = 1;
    let bench = bench(&chart);
    let call = [
        "show",
        "band.json",
        "--ring",
        "r.png",
        "--tilt",
        "0",
        "--pixels",
        "500",
        "--scale",
        "true",
    ];
    bench.run(&call).ok();
    let (picture, per_metre) = picture(&bench.get("r.png"));
    let mut middle = (0.0, 0.0, 0.0);
    for (x, y, pixel) in picture
        .enumerate_pixels()
        .filter(|(.., p)| i32::from(p[0]) - i32::from(p[2]) > 60)
    {
        let _ = pixel;
        middle = (
            middle.0 + f64::from(x) + 0.5,
            middle.1 + f64::from(y) + 0.5,
            middle.2 + 1.0,
        );
    }
    let (x, y) = (middle.0 / middle.2 - 250.0, middle.1 / middle.2 - 250.0);
    let per_mm = f64::from(per_metre) / 1000.0;
    // Centre of column 3 is 2.6 mm left of the middle, on a surface that is r nearer to an eye at a
    // distance of 12 r.
    let scale = 12.0 / 11.0;
    assert!((x / per_mm + 2.6 * scale).abs() < 0.15, "{}", x / per_mm);
    assert!((y / per_mm).abs() < 0.6, "{}", y / per_mm);
}

fn frames<'a>(decoder: impl AnimationDecoder<'a>) -> Vec<Frame> {
    decoder.into_frames().collect_frames().expect("frames")
}

/// A band with a loop of twelve frames as `l.png` and `l.gif`.
fn looped() -> Bench {
    let bench = bench(&ring(7, 30));
    for file in ["l.png", "l.gif"] {
        let options = "--pixels 150 --frames 12 --roll 5";
        bench
            .line(&format!("show band.json --turntable {file} {options}"))
            .ok();
    }
    bench
}

fn png_frames(bench: &Bench) -> Vec<Frame> {
    let bytes = Cursor::new(bench.get("l.png"));
    frames(PngDecoder::new(bytes).unwrap().apng().unwrap())
}

/// Mean difference of their levels.
fn off(one: &RgbaImage, other: &RgbaImage) -> f64 {
    let off = one
        .iter()
        .zip(other.iter())
        .map(|(a, b)| f64::from(a.abs_diff(*b)));
    off.sum::<f64>() / one.len() as f64
}

#[test]
fn loops_are_read_by_other_decoders_and_show_the_same() {
    let bench = looped();
    let png = png_frames(&bench);
    let gif = frames(GifDecoder::new(Cursor::new(bench.get("l.gif"))).unwrap());
    for frames in [&png, &gif] {
        assert_eq!(frames.len(), 12);
        for (frame, other) in frames.iter().zip(&png) {
            assert_eq!(frame.delay().numer_denom_ms(), (100, 1));
            assert!(frame.buffer() == other.buffer(), "the formats differ");
        }
    }
    // The first frame is the still picture, up to a palette of 64 colours.
    bench
        .line("show band.json --ring r.png --pixels 150 --roll 5")
        .ok();
    let still = image::load_from_memory(&bench.get("r.png"))
        .unwrap()
        .to_rgba8();
    assert!(
        off(png[0].buffer(), &still) < 3.0,
        "{}",
        off(png[0].buffer(), &still)
    );
}

#[test]
fn the_step_of_a_loop_over_its_seam_is_like_every_other() {
    let png = png_frames(&looped());
    let steps: Vec<f64> = (0..12)
        .map(|at| off(png[at].buffer(), png[(at + 1) % 12].buffer()))
        .collect();
    let mean = steps[..11].iter().sum::<f64>() / 11.0;
    assert!(
        mean > 1.0 && steps[11] < 1.3 * mean && steps[11] > 0.7 * mean,
        "{steps:?}"
    );
    // What is ground in the first frame and stays so never changes: a strip along the lower edge,
    // where the shadow is.
    let floor = |frame: &Frame| -> Vec<u8> {
        let rows = 140..150;
        rows.flat_map(|y| (0..150).flat_map(move |x| frame.buffer().get_pixel(x, y).0))
            .collect()
    };
    assert!(png.iter().all(|frame| floor(frame) == floor(&png[0])));
}

/// 0 plays in each format.
#[test]
fn loops_play_for_ever() {
    let bench = looped();
    let find = |name, mark: &[u8]| -> usize {
        let bytes = bench.get(name);
        bytes
            .windows(mark.len())
            .position(|w| w == mark)
            .expect("a mark")
            + mark.len()
    };
    let at = find("l.png", b"acTL");
    assert_eq!(bench.get("l.png")[at..at + 8], [0, 0, 0, 12, 0, 0, 0, 0]);
    let at = find("l.gif", b"NETSCAPE2.0");
    assert_eq!(bench.get("l.gif")[at..at + 4], [3, 1, 0, 0]);
}

#[test]
fn beads_are_drawn_as_beads_in_both_kinds_of_file() {
    let bench = bench(&ring(9, 74));
    for file in ["b.svg", "b.png"] {
        bench
            .run(&["show", "band.json", "--flat", file, "--beads"])
            .ok();
    }
    let text = bench.text("b.svg");
    let document = Document::parse(&text).unwrap();
    let sheens: Vec<_> = document
        .descendants()
        .filter(|n| n.has_tag_name("linearGradient") && n.attribute("id").unwrap().starts_with('s'))
        .collect();
    // Three of the four colours are used.
    assert_eq!(sheens.len(), 3);
    let (picture, per_metre) = picture(&bench.get("b.png"));
    let scale = f64::from(per_metre) / 1000.0;
    let band = document
        .descendants()
        .find(|n| n.attribute("aria-label") == Some("Band"))
        .unwrap();
    let body = document
        .descendants()
        .find(|n| n.attribute("id") == Some("b0"))
        .unwrap();
    let body = body.first_element_child().unwrap();
    let size = |name| body.attribute(name).unwrap().parse::<f64>().unwrap();
    let mut checked = 0;
    for bead in band.descendants().filter(|n| n.has_tag_name("use")) {
        let at = |name| bead.attribute(name).unwrap().parse::<f64>().unwrap();
        let fill = bead.parent_element().unwrap().attribute("fill").unwrap();
        let sheen = sheens
            .iter()
            .find(|s| fill == format!("url(#{})", s.attribute("id").unwrap()))
            .unwrap();
        for stop in sheen.children().filter(|n| n.is_element()) {
            let offset: f64 = stop.attribute("offset").unwrap().parse().unwrap();
            if !(0.15..0.8).contains(&offset) {
                continue;
            }
            let hex = stop.attribute("stop-color").unwrap();
            let colour = upbead::colour::read_hex(hex).unwrap();
            let x = (at("x") + size("width") / 2.0) * scale;
            let y = (at("y") + size("height") * offset) * scale;
            let pixel = picture.get_pixel(x as u32, y as u32);
            for (got, want) in pixel.0.iter().zip([colour.red, colour.green, colour.blue]) {
                // A pixel is a thirtieth of a bead, and light changes over it.
                assert!(got.abs_diff(want) < 14, "{hex} at {offset}: {pixel:?}");
            }
            checked += 1;
        }
    }
    assert!(checked > 1000, "{checked}");
    assert!(text.len() < 60_000, "{}", text.len());
}

/// A dark band on white: where half of the ground's light is left, its edge is.
fn width_in_mm(picture: &RgbaImage, per_metre: u32, y: u32) -> f64 {
    let dark = (0..picture.width())
        .filter(|x| picture.get_pixel(*x, y)[1] < 170)
        .count();
    dark as f64 / f64::from(per_metre) * 1000.0
}

#[test]
fn a_band_at_a_distance_has_the_angle_it_has_from_there() {
    let lattice = Lattice::new(Default::default(), 9, Rows::open(41).unwrap()).unwrap();
    let plain = ring(9, 74);
    let mut chart = Chart {
        lattice,
        beads: vec![0; lattice.len()],
        ..plain
    };
    chart.colours[0].srgb = upbead::colour::Srgb8::new(0x1C, 0x32, 0x61);
    let bench = bench(&chart);
    for (far, scale, density) in [
        ("300", "true", "300"),
        ("700", "true", "300"),
        ("600", "2", "200"),
    ] {
        let call = [
            "show",
            "band.json",
            "--seen",
            far,
            "s.png",
            "--scale",
            scale,
            "--density",
            density,
            "--force",
        ];
        bench.run(&call).ok();
        let (picture, per_metre) = picture(&bench.get("s.png"));
        let times = scale.parse::<f64>().unwrap_or(1.0);
        // Similar triangles: 11.7 mm at `far` cover what 11.7 * 300 / far cover at 300 mm.
        let wanted = 11.7 * 300.0 / far.parse::<f64>().unwrap() * times;
        let middle = f64::from(per_metre) / 1000.0 * (6.0 + 3.5 + 16.8 * wanted / 11.7);
        let measured = width_in_mm(&picture, per_metre, middle as u32);
        assert!(
            (measured - wanted).abs() < 0.2,
            "{far}: {measured} for {wanted}"
        );
    }
    // With a file alone: three distances, and the picture is wider.
    bench.run(&["show", "band.json", "--seen", "all.png"]).ok();
    bench
        .run(&["show", "band.json", "--seen", "300,700,2000", "same.png"])
        .ok();
    assert!(bench.get("all.png") == bench.get("same.png"));
}

/// Draws a small ring and compares it with the picture of that name.
fn looks_as_it_did(name: &str, options: &[&str]) {
    let bench = bench(&ring(7, 30));
    bench.run(&[&["show", "band.json"], options].concat()).ok();
    golden_picture(&format!("show/{name}"), &bench.get(name), 0.3);
}

#[test]
fn the_picture_of_the_ring_is_unchanged() {
    looks_as_it_did(
        "ring-view.png",
        &["--ring", "ring-view.png", "--pixels", "120"],
    );
}

#[test]
fn the_picture_of_the_beads_is_unchanged() {
    let options = [
        "--flat",
        "ring-beads.png",
        "--beads",
        "--scale",
        "2",
        "--density",
        "60",
    ];
    looks_as_it_did("ring-beads.png", &options);
}

#[test]
fn the_picture_of_the_band_at_three_distances_is_unchanged() {
    looks_as_it_did(
        "ring-seen.png",
        &["--seen", "ring-seen.png", "--density", "80"],
    );
}

#[test]
fn pictures_are_the_same_on_any_number_of_threads() {
    let bench = bench(&ring(7, 30));
    let small = ["--pixels", "90"];
    let calls: [Vec<&str>; 4] = [
        [&["--ring", "a.png"], &small[..]].concat(),
        [&["--turntable", "a.gif", "--frames", "8"], &small[..]].concat(),
        [&["--turntable", "a.png", "--frames", "8"], &small[..]].concat(),
        vec!["--seen", "a.png", "--density", "80"],
    ];
    for options in calls {
        let name = options.iter().find(|o| o.starts_with("a.")).unwrap();
        let made: Vec<Vec<u8>> = ["1", "2", "5"]
            .into_iter()
            .map(|threads| {
                let call = [&["show", "band.json", "--force"], &options[..]].concat();
                let mut command = bench.command(&call);
                assert!(
                    command
                        .env("RAYON_NUM_THREADS", threads)
                        .status()
                        .unwrap()
                        .success()
                );
                bench.get(name)
            })
            .collect();
        assert!(made[0] == made[1] && made[1] == made[2], "{options:?}");
    }
}

/// Each of the calls fails as told and leaves the folder as it was.
fn refused_with_nothing_written(cases: &[(&[&str], &str)]) {
    let bench = bench(&ring(7, 12));
    let there = bench.listing();
    for (options, error) in cases {
        bench
            .run(&[&["show", "band.json"], *options].concat())
            .fails(2, error);
        assert_eq!(bench.listing(), there);
    }
}

#[test]
fn wrong_arguments_for_loops_are_refused_and_nothing_is_written() {
    refused_with_nothing_written(&[
        (
            &["--ring", "r.jpg"],
            "error: --ring: 'r.jpg' is not the name of a PNG\nhint: end the name in .png",
        ),
        (
            &["--turntable", "r.mp4"],
            "error: --turntable: '.mp4' is not a format for a loop\n\
             hint: end the name in .png or .gif",
        ),
        (
            &["--turntable", "r.webp"],
            "error: --turntable: '.webp' is not a format for a loop\n\
             hint: end the name in .png or .gif",
        ),
        (
            &["--turntable", "r.apng"],
            "error: --turntable: '.apng' is not a format for a loop\nhint: did you mean .png?",
        ),
        (
            &["--turntable", "r.gif", "--frames", "2"],
            "error: --frames: a loop of 2 frames is out of range\nhint: give 8 to 240",
        ),
        (
            &["--turntable", "r.gif", "--backdrop", "transparent"],
            "error: --backdrop: a turntable cannot have a transparent backdrop\n\
             hint: write white or six hex digits, the colour of the page",
        ),
    ]);
}

#[test]
fn wrong_arguments_for_pictures_are_refused_and_nothing_is_written() {
    refused_with_nothing_written(&[
        (
            &["--ring", "r.png", "--tilt", "120"],
            "error: --tilt: a tilt of 120 degrees is out of range\nhint: give -90 to 90",
        ),
        (
            &["--ring", "r.png", "--roll", "NaN"],
            "error: --roll: a roll of NaN degrees is out of range\nhint: give -360 to 360",
        ),
        (
            &["--ring", "r.png", "--pixels", "20"],
            "error: --pixels: a picture of 20 pixels a side is out of range\nhint: give 64 to 4096",
        ),
        (
            &["--ring", "r.png", "--scale", "50"],
            "error: --scale: a picture of 7919 pixels a side is out of range\n\
             hint: keep to 64 to 4096 pixels",
        ),
        (
            &[
                "--ring",
                "r.png",
                "--pixels",
                "200",
                "--scale",
                "2",
                "--density",
                "300",
            ],
            "error: --pixels: pixels, scale and density cannot all be given\n\
             hint: leave out --pixels, --scale or --density; it follows from the others",
        ),
        (
            &["--ring", "r.png", "--density", "5"],
            "error: --density: a density of 5 dots per inch is out of range\nhint: give 30 to 1200",
        ),
        (
            &["--seen", "5", "s.png"],
            "error: --seen: '5' is not a viewing distance\n\
             hint: write millimetres from 100 to 20000, such as 700, or up to 6 of them, such as \
             300,700,2000",
        ),
        (
            &["--seen", "700", "s.svg"],
            "error: --seen: 's.svg' is not the name of a PNG\nhint: end the name in .png",
        ),
        (
            &["--seen", "s.png", "--backdrop", "transparent"],
            "error: --backdrop: a band seen from a distance cannot have a transparent backdrop\n\
             hint: write white or six hex digits, the colour of the page",
        ),
    ]);
}

#[test]
fn options_of_one_picture_are_refused_for_another() {
    let bench = bench(&ring(7, 12));
    let there = bench.listing();
    for options in [
        &["--flat", "a.png", "--ring", "b.png"][..],
        &["--flat", "a.png", "--roll", "20"],
        &["--ring", "a.png", "--beads"],
        &["--ring", "a.png", "--frames", "20"],
        &["--pixels", "300"],
    ] {
        let run = bench.run(&[&["show", "band.json"], options].concat());
        assert_eq!(run.status, Some(2), "{}", run.told());
        assert_eq!(bench.listing(), there);
    }
}

#[test]
fn an_open_strip_has_no_ring_picture() {
    let lattice = Lattice::new(Default::default(), 7, Rows::open(11).unwrap()).unwrap();
    let chart = Chart {
        beads: vec![0; lattice.len()],
        lattice,
        ..ring(7, 12)
    };
    let bench = bench(&chart);
    for options in [["--ring", "r.png"], ["--turntable", "r.gif"]] {
        bench
            .run(&[&["show", "band.json"], &options[..]].concat())
            .fails(
                1,
                "error: the chart is a flat strip, not a ring\n\
                 hint: draw it with --flat; only a closed band has a ring picture",
            );
    }
    assert_eq!(bench.listing(), "band.json");
}
