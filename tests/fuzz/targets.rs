//! What each fuzz target does with its bytes: they reach the reader as a stranger's file would, and
//! what is read is used. Nothing may panic, and what is written must be read back the same.
//!
//! The fuzz crate and the test that replays the corpus (`tests/laws/fuzz_corpus.rs`) both include
//! this file.

#[path = "targets/desk.rs"]
mod desk;
#[path = "targets/options.rs"]
mod options;

use image::codecs::png::PngEncoder;
use image::{ExtendedColorType, ImageEncoder, ImageReader};
use std::io::Cursor;
use std::path::Path;
use std::sync::Arc;
use upbead::artwork;
use upbead::cancel::Cancel;
use upbead::lattice::Rows;
use upbead::output;
use upbead::output::print::Matter;
use upbead::palette::alike;
use upbead::picture::{Arrangement, Decoding, decode, is_svg, plan, thumbnail};
use upbead::report::kit::{InStock, KitReport};
use upbead::report::palette::PaletteReport;
use upbead::report::weave::{WeaveReport, WovenBand};
use upbead::request::{KitRequest, PaletteRequest, PrintRequest};
use upbead::ring::GaugeFile;
use upbead::sample::sample;
use upbead::scene::{FlatOptions, flat};
use upbead::{Bead, Chart, CheckRequest, Lattice, Palette, WeaveRequest};

/// What a target does with its bytes.
pub type Target = fn(&[u8]);

/// Each target by its name, which is that of its folder in `corpus/` too.
pub const TARGETS: [(&str, Target); 8] = [
    ("picture", picture),
    ("metadata", metadata),
    ("svg", svg),
    ("palette", palette),
    ("gauge", gauge),
    ("chart", chart),
    ("options", options::options),
    ("desk", desk::desk),
];

/// Larger pictures are decoded well, but too seldom in an hour.
const MOST_PIXELS: u64 = 1 << 16;
/// Nothing is made of larger charts, and larger ones are not printed, for the same reason.
const MOST_BEADS: usize = 2000;
const MOST_PRINTED: usize = 60;

/// Three colours in stock.
const COLOURS: &str = "code,name,hex\ng,herring grey,BBBEC1\nn,jersey navy,1C3261\n\
                       r,buoy red,CD2626\n";

/// A picture file.
fn picture(bytes: &[u8]) {
    let reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format();
    let size = reader.ok().and_then(|reader| reader.into_dimensions().ok());
    if size.is_some_and(|(width, height)| u64::from(width) * u64::from(height) > MOST_PIXELS) {
        return;
    }
    if !is_svg(bytes) {
        sampled(bytes);
    }
}

/// A drawing.
fn svg(bytes: &[u8]) {
    if is_svg(bytes) {
        sampled(bytes);
    }
}

/// A picture with these bytes as its colour profile or its EXIF data; the first byte says which.
fn metadata(bytes: &[u8]) {
    let Some((&kind, data)) = bytes.split_first() else {
        return;
    };
    let kinds = [
        (ExtendedColorType::L8, 1),
        (ExtendedColorType::Rgb8, 3),
        (ExtendedColorType::La16, 4),
        (ExtendedColorType::Rgba16, 8),
    ];
    let (colour, per_pixel) = kinds[usize::from(kind >> 1) % kinds.len()];
    let pixels: Vec<u8> = (0..4 * 6 * per_pixel).map(|at| (at * 37) as u8).collect();
    let mut file = Vec::new();
    let mut encoder = PngEncoder::new(&mut file);
    let put = if kind & 1 == 0 {
        encoder.set_icc_profile(data.to_vec())
    } else {
        encoder.set_exif_metadata(data.to_vec())
    };
    put.expect("a PNG holds both");
    encoder
        .write_image(&pixels, 4, 6, colour)
        .expect("a PNG of 4 by 6");
    sampled(&file);
}

/// Decodes a picture, and uses its pixels, orientation and profile as a chart does.
fn sampled(bytes: &[u8]) {
    let lattice = Lattice::new(Bead::default(), 3, Rows::open(6).expect("six rows"));
    let lattice = lattice.expect("a small band");
    let decoding = Decoding::default();
    let Ok(picture) = decode(Arc::new(bytes.to_vec()), &lattice, &decoding) else {
        return;
    };
    let _ = thumbnail(&picture, 16);
    let _ = artwork::read(&picture, None);
    let how = Arrangement::default();
    if let Ok(plan) = plan(picture.upright(), picture.orientation, &lattice, &how) {
        let _ = sample(&picture, &plan, &lattice, &Cancel::default());
    }
}

/// A palette: written and read again, its near pairs, and its report.
fn palette(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    let Ok(palette) = Palette::read(text, "fuzzed") else {
        return;
    };
    let written = upbead::palette::write::write(&palette);
    let again = Palette::read(&written, "fuzzed").expect("a palette that was written");
    assert_eq!(again.colours(), palette.colours());
    let never = Cancel::default();
    let _ = alike(&palette.tones(), 3.0, &never);
    if let Ok(report) = PaletteReport::new(&palette, &PaletteRequest::default(), &never) {
        output::palette::text(&report, true);
    }
}

/// A gauge file, written and read again.
fn gauge(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    if let Ok(gauges) = GaugeFile::parse(text) {
        let written = gauges.text().expect("gauges that were read");
        let again = GaugeFile::parse(&written).expect("gauges that were written");
        assert_eq!(again, gauges);
        gauges.beads();
    }
}

/// A chart: written and read again, then everything that is made of it.
fn chart(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    let Ok(chart) = Chart::read(text) else {
        return;
    };
    read_back(&chart);
    if chart.beads.len() > MOST_BEADS {
        return;
    }
    woven(&chart);
    let colours = Palette::read(COLOURS, "three").expect("a palette");
    let file = Path::new("three.csv");
    let stock = InStock {
        file,
        palette: &colours,
    };
    if let Ok(kit) = KitReport::new(&KitRequest::default(), &chart, Some(stock)) {
        output::kit::text(&kit);
        output::kit::csv(&kit);
    }
    if let Ok(found) = upbead::check(&chart, Some(&colours), &CheckRequest::default()) {
        output::check::text(&found, Path::new("band.json"));
    }
    output::text(&chart, true);
    output::svg(&flat(&chart, &FlatOptions::default()));
    if chart.beads.len() <= MOST_PRINTED {
        printed(chart);
    }
}

fn woven(chart: &Chart) {
    let request = WeaveRequest::default();
    let band = || WovenBand::new(chart, &request, Some("band"));
    if let Ok(band) = band() {
        let report = WeaveReport::of(&band);
        output::weave::text(&report);
        output::weave::markdown(&report);
        output::weave::json(&report);
    }
    if let Ok(band) = band() {
        let _ = output::weave::page(band);
    }
}

fn printed(chart: Chart) {
    let request = PrintRequest::default();
    let typed = request.typed().expect("the usual booklet");
    let matter = Matter {
        charts: vec![chart],
        files: vec![Path::new("band.json")],
        palette: None,
        ways: Vec::new(),
        picture: None,
    };
    let _ = request.printed(typed, matter);
}

fn read_back(chart: &Chart) {
    let written = chart.to_text();
    let again = Chart::read(&written).expect("a chart that was written");
    assert_eq!(&again, chart);
}
