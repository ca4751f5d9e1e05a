//! The pages as sheets of paper: what stays together on one, what is pictured, and what has the
//! stated size when another program renders it.

use super::{pdftotext, print, ring, strip};
use crate::common::{Bench, repository};
use crate::pdf::{Drawn, Element, Pdf};
use image::GenericImageView;
use lopdf::Object;
use std::fs;
use std::process::Command;

/// A folder with the harbour at dusk, 9 by 74 beads in 12 colours: hardly a row without a change.
fn dusk() -> Bench {
    let bench = Bench::new();
    for file in ["samples/harbour-dusk.jpg", "palettes/harbour.csv"] {
        let name = file.rsplit('/').next().unwrap();
        bench.put(name, fs::read(repository(file)).unwrap());
    }
    let call = "chart --match nearest \
        harbour-dusk.jpg --palette harbour.csv --colours 12 --columns 9 --rows 74 \
        -o band.json";
    bench.run(&call.split(' ').collect::<Vec<_>>()).ok();
    bench
}

/// The page that an element begins on.
fn page(element: &Element) -> Option<usize> {
    element.marks.first().map(|mark| mark.0)
}

fn heading<'a>(pdf: &'a Pdf, words: &str) -> &'a Element {
    let is = |e: &&Element| e.role.starts_with('H') && e.words.trim() == words;
    let found = pdf.elements.iter().find(is);
    found.unwrap_or_else(|| panic!("no heading {words}"))
}

#[test]
fn what_belongs_together_stands_on_one_page() {
    for (bench, columns) in [(ring(), 11), (dusk(), 9)] {
        for paper in ["a4", "letter"] {
            let pdf = print(&bench, &["--paper", paper]);
            let told = format!("{columns} columns on {paper}");
            assert_eq!(pdf.pages.len(), 6, "{told}");
            // All rows of a ring on one sheet, to lay beside the mat.
            let mut of_rows: Vec<usize> =
                pdf.chapter("Row by row").iter().filter_map(page).collect();
            of_rows.dedup();
            assert_eq!(of_rows.len(), 1, "{told}: rows on pages {of_rows:?}");
            let finish = page(heading(&pdf, "Finish"));
            for words in [
                "Close the band",
                "Thread",
                "If something goes wrong",
                "Take care",
            ] {
                assert_eq!(page(heading(&pdf, words)), finish, "{told}: {words}");
            }
            let size = page(heading(&pdf, "Your size"));
            for words in ["Weave a swatch", "Rows by hand and size", "Try on"] {
                assert_eq!(page(heading(&pdf, words)), size, "{told}: {words}");
            }
            // True size beside the large chart.
            assert_eq!(
                page(heading(&pdf, "True size")),
                page(heading(&pdf, "Chart"))
            );
            assert_no_heading_is_alone(&pdf);
        }
    }
}

/// What a heading is about begins on its own page.
fn assert_no_heading_is_alone(pdf: &Pdf) {
    for (at, element) in pdf.elements.iter().enumerate() {
        if element.role.len() == 2 && element.role.starts_with('H') {
            let next = pdf.elements[at + 1..].iter().find_map(page);
            assert_eq!(next, page(element), "{} stands alone", element.words);
        }
    }
}

#[test]
fn strips_and_odd_shapes_keep_headings_with_what_follows() {
    let bench = ring();
    for (columns, rows, paper) in [
        ("25", "53", "a4"),
        ("6", "31", "letter"),
        ("40", "90", "a4"),
    ] {
        strip(&bench, columns, rows);
        let pdf = print(&bench, &["--paper", paper]);
        assert_no_heading_is_alone(&pdf);
        let care = page(heading(&pdf, "Take care"));
        assert_eq!(care, page(heading(&pdf, "Thread")), "{columns} by {rows}");
    }
}

/// The bytes of the only picture in the file.
fn picture(pdf: &Pdf) -> Option<Vec<u8>> {
    pdf.document.objects.values().find_map(|object| {
        let stream = object.as_stream().ok()?;
        let image = stream.dict.get(b"Subtype").and_then(Object::as_name).ok()? == b"Image";
        image.then(|| stream.content.clone())
    })
}

#[test]
fn the_cover_shows_the_ring_with_its_motif_in_front() {
    let bench = ring();
    let pdf = print(&bench, &[]);
    let shows = "Band: the closed ring as it will look, seen from the side.";
    let figure = pdf
        .elements
        .iter()
        .find(|e| e.alt.as_deref() == Some(shows));
    assert_eq!(figure.and_then(page), Some(0));
    let ring = image::load_from_memory(&picture(&pdf).expect("a picture")).unwrap();
    // 74 mm on paper: at least 200 dots an inch.
    assert!(
        ring.width().max(ring.height()) >= 580,
        "{:?}",
        ring.dimensions()
    );
    let white = |x: u32, y: u32| ring.get_pixel(x, y).0[..3].iter().all(|part| *part > 150);
    // The ground is the paper; the gull, white and light grey, is in the middle of the front; from
    // behind all is navy.
    assert!(white(1, 1) && white(ring.width() - 2, 1));
    let share = |from: f64, to: f64| {
        let (w, h) = (ring.width(), ring.height());
        let rows = (h as f64 * from) as u32..(h as f64 * to) as u32;
        let all: Vec<bool> = rows
            .flat_map(|y| (w / 5..w / 2).map(move |x| (x, y)))
            .map(|(x, y)| white(x, y))
            .collect();
        all.iter().filter(|white| **white).count() as f64 / all.len() as f64
    };
    let front = share(0.35, 0.6);
    assert!(front > 0.3, "{front}");
    // A designer's picture takes its place; a strip has none.
    let own = print(&bench, &["--picture", "bird.png"]);
    assert!(!own.elements.iter().any(|e| e.alt.as_deref() == Some(shows)));
    let call = "chart --match nearest \
        bird.png --palette tin.csv --open --columns 9 --rows 31 --force -o band.json";
    bench.run(&call.split(' ').collect::<Vec<_>>()).ok();
    assert_eq!(picture(&print(&bench, &[])), None);
}

/// Dots in a millimetre of what is rendered: 600 an inch.
const DOTS: f64 = 600.0 / 25.4;

/// A part of a page as poppler renders it, in millimetres: left, top, width, height. None where
/// that is not installed.
fn rendered(
    bench: &Bench,
    page: usize,
    [left, top, wide, high]: [f64; 4],
) -> Option<image::GrayImage> {
    let dots = |mm: f64| ((mm * DOTS).round() as i64).to_string();
    let page = (page + 1).to_string();
    let call = Command::new("pdftoppm")
        .args([
            "-r",
            "600",
            "-gray",
            "-png",
            "-singlefile",
            "-f",
            &page,
            "-l",
            &page,
        ])
        .args([
            "-x",
            &dots(left),
            "-y",
            &dots(top),
            "-W",
            &dots(wide),
            "-H",
            &dots(high),
        ])
        .arg(bench.path("a.pdf"))
        .arg(bench.path("page"))
        .status();
    if call.is_err() {
        eprintln!("pdftoppm is not installed: nothing was tested");
        return None;
    }
    let bytes = bench.get("page.png");
    Some(image::load_from_memory(&bytes).unwrap().to_luma8())
}

/// Where dark stretches of a millimetre or more, beads and the ruler, begin and end along a line of
/// pixels.
fn dark(line: impl Iterator<Item = u8>) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (at, light) in line.enumerate() {
        match runs.last_mut() {
            _ if light > 160 => {}
            Some(last) if last.1 == at => last.1 = at + 1,
            _ => runs.push((at, at + 1)),
        }
    }
    runs.retain(|(from, to)| (to - from) as f64 > DOTS);
    runs
}

/// From the beginning of the first stretch to that of the last, in millimetres.
fn span(runs: &[(usize, usize)]) -> f64 {
    (runs[runs.len() - 1].0 - runs[0].0) as f64 / DOTS
}

fn figure<'a>(pdf: &'a Pdf, words: &str) -> &'a Element {
    let is = |e: &&Element| e.alt.as_ref().is_some_and(|alt| alt.contains(words));
    let found = pdf.elements.iter().find(is);
    found.unwrap_or_else(|| panic!("no {words}"))
}

/// Left, top, right and bottom of the outlines of an element that are as wide as told, in mm.
fn places(pdf: &Pdf, element: &Element, wide: std::ops::Range<f64>) -> Vec<[f64; 4]> {
    let drawn = pdf.drawn_by(element).into_iter();
    drawn
        .filter_map(|drawn| match drawn {
            Drawn::Outline { within, .. } if wide.contains(&(within[2] - within[0])) => {
                Some(*within)
            }
            _ => None,
        })
        .collect()
}

/// In the pixels of the rendered page, in mm.
fn longest_line_of_the_ruler(bench: &Bench, pdf: &Pdf) -> f64 {
    let ruler = figure(pdf, "A ruler of 20 mm");
    let [x, y, end, _] = places(pdf, ruler, 15.0..25.0)[0];
    let around = [x - 3.0, y - 0.5, end - x + 6.0, 1.0];
    let band = rendered(bench, page(ruler).unwrap(), around).unwrap();
    (0..band.height())
        .flat_map(|y| dark((0..band.width()).map(|x| band.get_pixel(x, y).0[0])))
        .map(|(a, b)| (b - a) as f64 / DOTS)
        .fold(0.0, f64::max)
}

/// Measured in the pixels of another program, within 0.2 mm. A bead of size 11/0 is 1.3 mm long and
/// 1.6 mm across (retailers' size guides).
#[test]
fn the_true_size_chart_and_the_ruler_measure_true_when_rendered() {
    let bench = ring();
    for paper in ["a4", "letter"] {
        let pdf = print(&bench, &["--paper", paper]);
        bench
            .line(&format!("print band.json --paper {paper} --force -o a.pdf"))
            .ok();
        // Where to look; what is measured are the pixels.
        let chart = figure(&pdf, "At true size");
        let mut beads = places(&pdf, chart, 1.1..1.3);
        beads.retain(|w| (1.4..1.6).contains(&(w[3] - w[1])));
        let least = |side: usize| beads.iter().map(|w| w[side]).fold(f64::MAX, f64::min);
        let most = |side: usize| beads.iter().map(|w| w[side]).fold(f64::MIN, f64::max);
        let page = page(chart).unwrap();
        let (left, top) = (least(0), least(1));
        // Row 55, all navy, and the column at the right, in which every bead is dark.
        let row_55 = most(3) - 54.0 * 0.8 - 0.75;
        let around = [left - 1.0, row_55 - 0.1, most(2) - left + 2.0, 0.2];
        let Some(line) = rendered(&bench, page, around) else {
            return;
        };
        let middle = line.height() / 2;
        let runs = dark((0..line.width()).map(|x| line.get_pixel(x, middle).0[0]));
        assert_eq!(runs.len(), 6, "{runs:?}");
        let wide = span(&runs);
        assert!((wide - 5.0 * 2.0 * 1.3).abs() < 0.2, "{paper}: {wide} mm");
        let column = [most(2) - 0.8, top - 0.4, 0.2, most(3) - top + 0.8];
        let line = rendered(&bench, page, column).unwrap();
        let runs = dark((0..line.height()).map(|y| line.get_pixel(line.width() / 2, y).0[0]));
        assert_eq!(runs.len(), 37, "{runs:?}");
        let high = span(&runs);
        assert!((high - 36.0 * 1.6).abs() < 0.2, "{paper}: {high} mm");
        let longest = longest_line_of_the_ruler(&bench, &pdf);
        assert!((longest - 20.0).abs() < 0.2, "{paper}: {longest} mm");
    }
}

/// `pdffonts` of poppler: name, kind, encoding, embedded, subset, with letters known. Where it is
/// not installed this holds nothing.
#[test]
fn pdffonts_finds_every_font_embedded() {
    let bench = ring();
    bench.run(&["print", "band.json", "-o", "a.pdf"]).ok();
    let Ok(output) = Command::new("pdffonts").arg(bench.path("a.pdf")).output() else {
        eprintln!("pdffonts is not installed: nothing was tested");
        return;
    };
    let text = String::from_utf8(output.stdout).unwrap();
    let fonts: Vec<&str> = text.lines().skip(2).collect();
    assert_eq!(fonts.len(), 2, "{text}");
    for font in fonts {
        let words: Vec<&str> = font.split_whitespace().rev().collect();
        // From the right: object and generation, letters known, subset, embedded.
        assert_eq!(words[2..5], ["yes", "yes", "yes"], "{text}");
    }
}

/// `pdftotext` of poppler finds each colour's beads, as `upbead kit` counts them, on its line.
/// Where it is not installed this holds nothing.
#[test]
fn pdftotext_finds_the_kit_s_counts() {
    let bench = dusk();
    bench.run(&["print", "band.json", "-o", "a.pdf"]).ok();
    let Some(text) = pdftotext(&bench, &["-layout", "-l", "1"]) else {
        return;
    };
    let kit = bench.run(&["kit", "band.json", "--json"]).ok().json();
    for colour in kit["colours"].as_array().unwrap() {
        let [code, name] = [&colour["code"], &colour["name"]].map(|v| v.as_str().unwrap());
        let line = text.lines().find(|line| line.contains(code));
        let line = line.unwrap_or_else(|| panic!("no {code} in\n{text}"));
        let words: Vec<&str> = line.split_whitespace().collect();
        let counts = [&colour["beads"], &colour["beads_with_spare"]].map(|v| v.to_string());
        assert!(
            line.contains(name) && words[words.len() - 3..words.len() - 1] == counts,
            "{line}"
        );
    }
}
