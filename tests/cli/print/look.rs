//! What the booklet shows: pages, true size, keys that can be read, tags, fonts.

use super::{panel, print, ring};
use crate::pdf::{Drawn, Element, Pdf, text};
use lopdf::Object;
use std::sync::Arc;

/// ISO 216: A4 is 210 by 297 mm. ANSI/ASME Y14.1: size A is 8.5 by 11 inches.
#[test]
fn pages_have_the_size_of_the_paper() {
    let bench = ring();
    for (paper, wide, high) in [("a4", 210.0, 297.0), ("letter", 8.5 * 25.4, 11.0 * 25.4)] {
        for &(w, h) in &print(&bench, &["--paper", paper]).pages {
            assert!(
                (w - wide).abs() < 0.01 && (h - high).abs() < 0.01,
                "{paper}: {w} x {h}"
            );
        }
    }
}

fn figure<'a>(pdf: &'a Pdf, words: &str) -> &'a Element {
    let is = |e: &&Element| e.alt.as_ref().is_some_and(|alt| alt.contains(words));
    pdf.elements
        .iter()
        .find(is)
        .unwrap_or_else(|| panic!("no figure of {words}"))
}

/// Fills and places of the outlines that are filled.
fn filled(pdf: &Pdf, element: &Element) -> Vec<([f64; 3], [f64; 4])> {
    let drawn = pdf.drawn_by(element).into_iter();
    drawn
        .filter_map(|drawn| match drawn {
            Drawn::Outline {
                fill: Some(fill),
                within,
                ..
            } => Some((*fill, *within)),
            _ => None,
        })
        .collect()
}

fn middle(within: &[f64; 4]) -> (f64, f64) {
    ((within[0] + within[2]) / 2.0, (within[1] + within[3]) / 2.0)
}

/// A cylinder bead of size 11/0 is 1.3 mm long and 1.6 mm across (retailers' size guides): columns
/// 1.3 mm apart, rows 0.8 mm.
#[test]
fn beads_at_true_size_and_the_ruler_measure_what_they_say() {
    for paper in ["a4", "letter"] {
        let pdf = print(&ring(), &["--paper", paper]);
        let beads: Vec<(f64, f64)> = filled(&pdf, figure(&pdf, "At true size"))
            .iter()
            .filter(|(_, w)| {
                (1.4..1.6).contains(&(w[3] - w[1])) && (1.1..1.3).contains(&(w[2] - w[0]))
            })
            .map(|(_, within)| middle(within))
            .collect();
        let most = |value: fn(&(f64, f64)) -> f64| beads.iter().map(value).fold(f64::MIN, f64::max);
        let least =
            |value: fn(&(f64, f64)) -> f64| beads.iter().map(value).fold(f64::MAX, f64::min);
        assert_eq!(beads.len(), 407);
        let (wide, high) = (
            most(|b| b.0) - least(|b| b.0),
            most(|b| b.1) - least(|b| b.1),
        );
        assert!((wide - 10.0 * 1.3).abs() < 0.02, "{wide} mm across");
        assert!((high - 73.0 * 0.8).abs() < 0.02, "{high} mm");
        // Each bead on the lattice, within 0.02 mm.
        let (x0, y1) = (least(|b| b.0), most(|b| b.1));
        let on = |(x, y): &&(f64, f64)| {
            let (c, r) = ((x - x0) / 1.3, (y1 - y) / 0.8);
            (c - c.round()).abs() * 1.3 < 0.02 && (r - r.round()).abs() * 0.8 < 0.02
        };
        assert_eq!(beads.iter().filter(on).count(), 407);
        let ruler = figure(&pdf, "A ruler of 20 mm");
        let longest = pdf
            .drawn_by(ruler)
            .into_iter()
            .filter_map(|drawn| match drawn {
                Drawn::Outline { within, .. } => Some(within[2] - within[0]),
                Drawn::Words { .. } => None,
            });
        let longest = longest.fold(0.0, f64::max);
        assert!((longest - 20.0).abs() < 0.01, "{longest} mm");
    }
}

/// Relative luminance and contrast ratio as WCAG 2.2 defines them.
fn contrast(one: [f64; 3], other: [f64; 3]) -> f64 {
    let linear = |c: f64| {
        if c <= 0.04045 {
            c / 12.92
        } else {
            ((c + 0.055) / 1.055).powf(2.4)
        }
    };
    let luminance =
        |[r, g, b]: [f64; 3]| 0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b) + 0.05;
    let (one, other) = (luminance(one), luminance(other));
    one.max(other) / one.min(other)
}

/// WCAG 2.2, success criterion 1.4.3: text has a contrast of 4.5:1 at least.
#[test]
fn every_bead_has_its_key_and_every_key_can_be_read() {
    for bench in [ring(), panel()] {
        let pdf = print(&bench, &[]);
        let mut keys = 0;
        for figure in pdf.chapter("Chart").iter().filter(|e| e.role == "Figure") {
            let beads = filled(&pdf, figure);
            for drawn in pdf.drawn_by(figure) {
                let Drawn::Words {
                    colour, at, words, ..
                } = drawn
                else {
                    continue;
                };
                let under = beads
                    .iter()
                    .find(|(_, w)| w[0] < at.0 && at.0 < w[2] && w[1] < at.1 && at.1 < w[3]);
                if let Some((fill, _)) = under {
                    keys += 1;
                    assert!(contrast(*fill, *colour) >= 4.5, "{words} on {fill:?}");
                }
            }
        }
        let chart: serde_json::Value = serde_json::from_str(&bench.text("band.json")).unwrap();
        let beads: usize = chart["rows"]
            .as_array()
            .unwrap()
            .iter()
            .map(|row| row.as_array().unwrap().len())
            .sum();
        assert!(keys >= beads, "{keys} keys on {beads} beads");
    }
}

/// A booklet with all of its parts.
fn whole() -> Arc<Pdf> {
    print(
        &ring(),
        &[
            "--sizes",
            "us5..us9",
            "--palette",
            "tin.csv",
            "--picture",
            "bird.png",
        ],
    )
}

/// ISO 14289-1 (PDF/UA-1), as far as it can be read off: marked, titled, in a language; headings in
/// order; figures told.
#[test]
fn a_screen_reader_gets_title_language_headings_and_figures() {
    let pdf = whole();
    let catalog = pdf.catalog();
    assert_eq!(catalog.get(b"Lang").map(text).unwrap(), "en");
    let marked = catalog.get(b"MarkInfo").and_then(Object::as_dict).unwrap();
    assert_eq!(
        marked.get(b"Marked").and_then(Object::as_bool).ok(),
        Some(true)
    );
    let shown = catalog
        .get(b"ViewerPreferences")
        .and_then(Object::as_dict)
        .unwrap();
    assert_eq!(
        shown.get(b"DisplayDocTitle").and_then(Object::as_bool).ok(),
        Some(true)
    );
    assert!(catalog.get(b"Outlines").is_ok());
    let mut level = 0;
    for heading in pdf
        .elements
        .iter()
        .filter(|e| e.role.len() == 2 && e.role.starts_with('H'))
    {
        let own: usize = heading.role[1..].parse().unwrap();
        assert!(own <= level + 1, "{} after level {level}", heading.role);
        assert!(!heading.words.trim().is_empty());
        level = own;
    }
    let figures: Vec<&Element> = pdf.elements.iter().filter(|e| e.role == "Figure").collect();
    assert!(figures.len() > 8, "{}", figures.len());
    for figure in figures {
        assert!(
            figure.alt.as_ref().is_some_and(|alt| alt.len() > 10),
            "{figure:?}"
        );
    }
}

/// ISO 14289-1 (PDF/UA-1): everything is tagged once or decoration.
#[test]
fn a_screen_reader_gets_everything_once() {
    let pdf = whole();
    let mut said: Vec<(usize, i64)> = pdf.elements.iter().flat_map(|e| e.marks.clone()).collect();
    let all = said.len();
    said.sort_unstable();
    said.dedup();
    assert_eq!(said.len(), all, "something is said twice");
    for (page, drawn) in pdf.drawn.iter().enumerate() {
        for mark in drawn.iter().filter_map(Drawn::mark) {
            assert!(
                said.contains(&(page, mark)),
                "page {page}: {mark} is never said"
            );
        }
    }
}

/// ISO 14289-1 (PDF/UA-1).
#[test]
fn lists_and_tables_are_nested_as_they_should_be() {
    let pdf = whole();
    let parents = |role: &str| -> Vec<String> {
        let mut found = Vec::new();
        for (at, element) in pdf
            .elements
            .iter()
            .enumerate()
            .filter(|(_, e)| e.role == role)
        {
            let above = pdf.elements[..at]
                .iter()
                .rev()
                .find(|e| e.depth < element.depth);
            found.push(above.map_or(String::new(), |e| e.role.clone()));
        }
        found
    };
    for (role, parent) in [
        ("LI", "L"),
        ("LBody", "LI"),
        ("Lbl", "LI"),
        ("TR", "Table"),
        ("TD", "TR"),
        ("TH", "TR"),
    ] {
        let parents = parents(role);
        assert!(
            !parents.is_empty() && parents.iter().all(|p| p == parent),
            "{role} in {parents:?}"
        );
    }
}

#[test]
fn the_only_fonts_are_embedded_and_their_letters_known() {
    let pdf = print(&ring(), &[]);
    let mut fonts = 0;
    for object in pdf.document.objects.values() {
        let Ok(font) = object.as_dict() else { continue };
        let kind = font
            .get(b"Type")
            .and_then(Object::as_name)
            .unwrap_or_default();
        if kind == b"FontDescriptor" {
            fonts += 1;
            let name =
                String::from_utf8_lossy(font.get(b"FontName").and_then(Object::as_name).unwrap())
                    .into_owned();
            assert!(name.contains("+Inter-"), "{name}");
            let embedded = [&b"FontFile2"[..], b"FontFile3"]
                .iter()
                .any(|key| font.get(key).is_ok());
            assert!(embedded, "{name} is not embedded");
        }
    }
    assert_eq!(fonts, 2);
    for drawn in pdf.drawn.iter().flatten() {
        if let Drawn::Words { words, .. } = drawn {
            assert!(!words.contains('\u{FFFD}'), "{words}");
        }
    }
}

#[test]
fn a_ring_is_small_and_the_same_bytes_every_time() {
    let bench = ring();
    let mut made = Vec::new();
    for threads in ["1", "4"] {
        let arguments = ["print", "band.json", "--sizes", "us5..us9", "-o", "-"];
        let output = bench
            .command(&arguments)
            .env("RAYON_NUM_THREADS", threads)
            .output()
            .unwrap();
        made.push(bench.ended(&arguments, output).ok().bytes);
    }
    assert!(made[0] == made[1]);
    assert!(made[0].len() < 300_000, "{} bytes", made[0].len());
}

/// The picture keeps its sides' proportion, and is small enough to send.
#[test]
fn a_picture_stands_on_the_cover() {
    let bench = ring();
    let plain = print(&bench, &[]);
    let pdf = print(&bench, &["--picture", "bird.png"]);
    let alt = "A picture of the finished work";
    assert!(figure(&pdf, alt).marks[0].0 == 0);
    assert!(
        !plain
            .elements
            .iter()
            .any(|e| e.alt.as_ref().is_some_and(|a| a.contains(alt)))
    );
    let image = pdf.document.objects.values().find_map(|object| {
        let stream = object.as_stream().ok()?;
        let image = stream.dict.get(b"Subtype").and_then(Object::as_name).ok()? == b"Image";
        image.then(|| stream.dict.clone())
    });
    let image = image.expect("an image");
    let side = |key: &[u8]| image.get(key).and_then(Object::as_i64).unwrap();
    // The sample is 440 by 640 pixels.
    assert_eq!((side(b"Width"), side(b"Height")), (440, 640));
}

/// The flat drawing carries the same keys where beads are large enough for letters.
#[test]
fn a_drawing_can_carry_the_keys_too() {
    let bench = ring();
    let drawn = |options: &[&str]| {
        let call = ["show", "band.json", "--flat", "-"];
        bench.run(&[&call[..], options].concat()).ok().out
    };
    let keys = |svg: &str| svg.matches(">jn</text>").count();
    // One more in the list of colours beside the band.
    assert_eq!(keys(&drawn(&["--lettered"])), 333 + 1);
    assert_eq!(keys(&drawn(&[])), 0);
    assert_eq!(keys(&drawn(&["--lettered", "--scale", "true"])), 1);
}
