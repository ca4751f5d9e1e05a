//! Designs that lie along the band: the cover and the lying ring show them as their picture stands.

use super::print;
use crate::common::Bench;
use crate::pdf::{Drawn, Pdf};
use image::GenericImageView;
use std::process::Command;

/// Four quarters: dark above light at the left, red above blue at the right.
const QUARTERS: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="400" height="80">
<rect width="200" height="40" fill="#111111"/><rect y="40" width="200" height="40" fill="#FAFAF6"/>
<rect x="200" width="200" height="40" fill="#CD2626"/>
<rect x="200" y="40" width="200" height="40" fill="#1F4FA0"/></svg>"##;
const PALETTE: &str = "code,name,hex\ng,gull white,FAFAF6\nh,bay blue,1F4FA0\n\
    t,tar black,111111\nb,buoy red,CD2626\n";

fn band(rotate: &str) -> Bench {
    let bench = Bench::new();
    bench.put("four.svg", QUARTERS);
    bench.put("four.csv", PALETTE);
    let call = [
        "chart",
        "four.svg",
        "--palette",
        "four.csv",
        "--size",
        "us7",
    ];
    let how = ["--place", "round", "--match", "nearest", "--rotate", rotate];
    let out = ["-o", "band.json"];
    bench.run(&[&call[..], &how, &out].concat()).ok();
    bench
}

/// The middles of the beads of one fill.
struct Beads {
    fill: [f64; 3],
    places: Vec<(f64, f64)>,
}

/// The mean place of the beads of each fill on a strip that shows `what`, and what it shows in
/// words.
fn strip(pdf: &Pdf, what: &str) -> (Vec<([f64; 3], f64, f64)>, String) {
    let is = |alt: &String| alt.contains(what);
    let found = pdf.elements.iter().find(|e| e.alt.as_ref().is_some_and(is));
    let element = found.expect("no such strip");
    let mut all: Vec<Beads> = Vec::new();
    for drawn in pdf.drawn_by(element) {
        if let Drawn::Outline {
            fill: Some(fill),
            within: [left, top, right, bottom],
            ..
        } = drawn
        {
            let middle = ((left + right) / 2.0, (top + bottom) / 2.0);
            match all.iter_mut().find(|beads| beads.fill == *fill) {
                Some(beads) => beads.places.push(middle),
                None => all.push(Beads {
                    fill: *fill,
                    places: vec![middle],
                }),
            }
        }
    }
    let mean = |beads: Beads| {
        let count = beads.places.len() as f64;
        let (x, y) = beads
            .places
            .iter()
            .fold((0.0, 0.0), |sum, place| (sum.0 + place.0, sum.1 + place.1));
        (beads.fill, x / count, y / count)
    };
    let alt = element.alt.clone().unwrap_or_default();
    (all.into_iter().map(mean).collect(), alt)
}

/// Whether the picture stands upright on a strip: dark at the upper left, light below it, red at
/// the upper right, blue below that; so far from left to right.
fn is_upright(pdf: &Pdf, what: &str, end: &str, wide: f64) {
    let (places, alt) = strip(pdf, what);
    assert!(alt.contains(end), "{alt}");
    let place = |red: f64, blue: f64| {
        let near = |fill: &[f64; 3]| (fill[0] - red).abs() < 0.02 && (fill[2] - blue).abs() < 0.02;
        let found = places.iter().find(|(fill, ..)| near(fill));
        let (_, x, y) = found.unwrap_or_else(|| panic!("{end}: no {red} in {places:?}"));
        (*x, *y)
    };
    let [dark, light] = [place(0.067, 0.067), place(0.98, 0.965)];
    let [red, blue] = [place(0.804, 0.149), place(0.122, 0.627)];
    let high = wide / 10.0;
    assert!(
        dark.1 + high < light.1 && red.1 + high < blue.1,
        "{end}: {places:?}"
    );
    assert!(
        dark.0 + wide < red.0 && light.0 + wide < blue.0,
        "{end}: {places:?}"
    );
}

const ENDS: [(&str, &str); 2] = [("90", "row 1 at the right"), ("270", "row 1 at the left")];

/// Laid along the band either way.
#[test]
fn a_picture_laid_along_the_band_stands_upright_on_the_cover() {
    for (rotate, end) in ENDS {
        is_upright(
            &print(&band(rotate), &[]),
            "lying along the page",
            end,
            50.0,
        );
    }
}

/// Beside the table of each colourway, and on the contact sheet.
#[test]
fn a_picture_laid_along_the_band_stands_upright_in_its_colourways() {
    for (rotate, end) in ENDS {
        let bench = band(rotate);
        bench.put("ways.csv", "colour,As it is,Other\nt,,b\nb,,t\n");
        is_upright(
            &print(&bench, &["--ways", "ways.csv"]),
            "As it is: the flat strip",
            end,
            20.0,
        );
        bench
            .line("swap band.json --ways ways.csv -o sheet.pdf")
            .ok();
        let sheet = Pdf::read(&bench.get("sheet.pdf"));
        is_upright(&sheet, "As it is: the flat strip", end, 20.0);
        let shows = |alt: &str| {
            let mut all = sheet.elements.iter().filter_map(|one| one.alt.as_deref());
            all.any(|own| own.contains(alt))
        };
        assert!(shows("Other: the ring as it will look"));
    }
}

/// A wide band would be too high along the page: it is drawn smaller where its picture lies along
/// it, and left out where it does not.
#[test]
fn a_wide_band_has_its_strip_if_its_picture_lies_along_it() {
    let bench = band("90");
    let call = [
        "chart",
        "four.svg",
        "--palette",
        "four.csv",
        "--size",
        "us7",
    ];
    let wide = ["--columns", "21", "--match", "nearest", "-o", "wide.json"];
    for (rotate, has) in [("90", true), ("0", false)] {
        let how = ["--place", "round", "--rotate", rotate, "--force"];
        bench.run(&[&call[..], &wide, &how].concat()).ok();
        let pdf = bench.run(&["print", "wide.json", "-o", "-"]).ok().bytes;
        let mut shown = Pdf::read(&pdf).elements.into_iter();
        let strip = shown.any(|one| one.alt.is_some_and(|alt| alt.contains("along the page")));
        assert_eq!(strip, has, "{rotate}");
    }
}

/// `pdfinfo` of poppler finds nothing to complain of. Where it is not installed this holds nothing.
#[test]
fn pdfinfo_has_nothing_to_complain_of() {
    let bench = band("90");
    bench.run(&["print", "band.json", "-o", "a.pdf"]).ok();
    let Ok(output) = Command::new("pdfinfo").arg(bench.path("a.pdf")).output() else {
        eprintln!("pdfinfo is not installed: nothing was tested");
        return;
    };
    let [told, faults] = [output.stdout, output.stderr].map(|b| String::from_utf8(b).unwrap());
    assert_eq!(faults, "");
    assert!(told.contains("Tagged:          yes"), "{told}");
}

/// What is seen in the upper left, lower left, upper right and lower right quarter of the band in a
/// picture of a lying ring, left and right of its middle.
fn quarters(picture: &image::DynamicImage) -> [&'static str; 4] {
    let (w, h) = (picture.width() as f64, picture.height() as f64);
    // The four colours, each with what is darker of it in the picture.
    let named = |x: f64, y: f64| {
        let mut counts = [("dark", 0), ("light", 0), ("red", 0), ("blue", 0)];
        for (dx, dy) in (-6..=6).flat_map(|x| (-6..=6).map(move |y| (x, y))) {
            let at = (x * w + f64::from(dx), y * h + f64::from(dy));
            let [r, g, b, _] = picture.get_pixel(at.0 as u32, at.1 as u32).0.map(i32::from);
            let name = match (r - b, (r + g + b) / 3) {
                (40.., _) => 2,
                (..-40, _) => 3,
                (_, ..90) => 0,
                _ => 1,
            };
            counts[name].1 += 1;
        }
        counts
            .into_iter()
            .max_by_key(|(_, count)| *count)
            .unwrap()
            .0
    };
    [(0.40, 0.43), (0.40, 0.66), (0.60, 0.43), (0.60, 0.66)].map(|(x, y)| named(x, y))
}

const UPRIGHT: [&str; 4] = ["dark", "light", "red", "blue"];

#[test]
fn a_lying_ring_shows_a_picture_along_the_band_upright() {
    for rotate in ["90", "270"] {
        let bench = band(rotate);
        let call = [
            "show",
            "band.json",
            "--ring",
            "a.png",
            "--lying",
            "--pixels",
            "400",
        ];
        bench.run(&call).ok();
        let picture = image::load_from_memory(&bench.get("a.png")).unwrap();
        assert_eq!(quarters(&picture), UPRIGHT, "{rotate}");
        let turned = [
            &call[..3],
            &["b.png", "--lying", "--pixels", "400", "--roll", "180"],
        ];
        bench.run(&turned.concat()).ok();
        // From behind its ends meet, the right one at the left.
        let behind = image::load_from_memory(&bench.get("b.png")).unwrap();
        assert_eq!(
            quarters(&behind),
            ["red", "blue", "dark", "light"],
            "{rotate}"
        );
    }
}

#[test]
fn the_booklet_s_cover_has_the_lying_ring_of_such_a_design() {
    let bench = band("90");
    let pdf = print(&bench, &[]);
    let lying = |pdf: &Pdf| {
        let mut shown = pdf.elements.iter().filter_map(|one| one.alt.as_deref());
        shown.any(|alt| alt.ends_with("lying on a stand."))
    };
    assert!(lying(&pdf));
    assert!(!lying(&print(&band("0"), &[])));
}

#[test]
fn a_lying_ring_is_of_a_ring_picture_and_seen_from_above() {
    let bench = band("90");
    let refused = |options: &[&str], error: &str| {
        bench
            .run(&[&["show", "band.json"], options].concat())
            .fails(2, error);
    };
    refused(
        &["--flat", "a.png", "--lying"],
        "error: --lying: this is only for --ring and --turntable\nhint: leave it out",
    );
    refused(
        &["--ring", "a.png", "--lying", "--tilt", "-5"],
        "error: --tilt: a lying ring is not seen from below\nhint: give 0 to 90",
    );
    let call = ["show", "band.json", "--turntable", "a.gif", "--lying"];
    let small = ["--pixels", "64", "--frames", "8"];
    bench.run(&[&call[..], &small].concat()).ok();
    assert!(bench.get("a.gif").starts_with(b"GIF89a"));
}
