//! Pictures of charts that were damaged as scanning and sending damages them: the share of beads
//! that `read` gets right, by kind and strength.

use crate::common::repository;
use image::codecs::jpeg::JpegEncoder;
use image::{ImageFormat, Rgb, RgbImage, imageops};
use std::fs;
use std::io::Cursor;
use upbead::cancel::Cancel;
use upbead::output::Kind;
use upbead::output::drawing::FlatDrawing;
use upbead::picture::Decoding;
use upbead::reading::read;
use upbead::request::{BeadStyleRequest, DrawingRequest, ReadRequest};
use upbead::{Chart, ChartRequest, Palette, RingSize, Source, chart};

fn palette() -> Palette {
    let text = fs::read_to_string(repository("palettes/tin.csv")).unwrap();
    Palette::read(&text, "tin").unwrap()
}

/// A sample as a chart of 9 columns.
fn charted(name: &str) -> Chart {
    let bytes = fs::read(repository("samples").join(name)).unwrap();
    let mut request = ChartRequest::default();
    request.ring.size = Some("us4".parse::<RingSize>().unwrap());
    chart(Source::new(name, bytes), &palette(), &request)
        .unwrap()
        .value
}

/// Its flat drawing as pixels, beads about 20 pixels long.
fn drawn(chart: &Chart) -> RgbImage {
    let options = serde_json::json!({"density": "120"});
    let drawing: DrawingRequest = serde_json::from_value(options).unwrap();
    let flat = FlatDrawing::new(Kind::Png, &drawing, BeadStyleRequest::default()).unwrap();
    let png = flat.draw(chart, |_| {}).unwrap();
    image::load_from_memory(&png).unwrap().to_rgb8()
}

/// Pixels of a drawn bead's length: 1.3 mm at 3.5 times its size and 120 dots per inch.
const DRAWN: f64 = 1.3 * 3.5 * 120.0 / 25.4;

/// A kind of damage.
#[derive(Debug, Clone, Copy)]
enum Damage {
    None,
    /// Degrees clockwise.
    Turned(f64),
    /// Standard deviation in pixels.
    Blurred(f32),
    /// Quality from 1 to 100.
    Jpeg(u8),
    /// Share of the light that is missing at the far corner.
    Shaded(f64),
    /// Largest step of each channel up or down.
    Noisy(u8),
    /// Pixels of a bead's length, of about 21 as drawn.
    Scaled(f64),
    /// Turned, blurred, shaded, noisy and packed as JPEG, all of it little.
    Scanned(f64),
}

/// Turned about its middle; what comes in from outside is white.
fn turned(picture: &RgbImage, degrees: f64) -> RgbImage {
    let (sine, cosine) = degrees.to_radians().sin_cos();
    let (width, height) = picture.dimensions();
    let (middle_x, middle_y) = (f64::from(width) / 2.0, f64::from(height) / 2.0);
    RgbImage::from_fn(width, height, |x, y| {
        let (u, v) = (f64::from(x) - middle_x, f64::from(y) - middle_y);
        let x = (u * cosine + v * sine + middle_x) as f32;
        let y = (v * cosine - u * sine + middle_y) as f32;
        imageops::interpolate_bilinear(picture, x, y).unwrap_or(Rgb([255; 3]))
    })
}

fn each(picture: &RgbImage, change: impl Fn(f64, f64, f64, usize) -> f64) -> RgbImage {
    let (width, height) = picture.dimensions();
    RgbImage::from_fn(width, height, |x, y| {
        let (u, v) = (
            f64::from(x) / f64::from(width),
            f64::from(y) / f64::from(height),
        );
        let at = (y * width + x) as usize * 3;
        let mut channel = 0;
        Rgb(picture.get_pixel(x, y).0.map(|value| {
            channel += 1;
            change(f64::from(value), u, v, at + channel)
                .round()
                .clamp(0.0, 255.0) as u8
        }))
    })
}

fn jpeg(picture: &RgbImage, quality: u8) -> Vec<u8> {
    let mut bytes = Vec::new();
    let encoder = JpegEncoder::new_with_quality(&mut bytes, quality);
    picture.write_with_encoder(encoder).unwrap();
    bytes
}

fn png(picture: &RgbImage) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, ImageFormat::Png).unwrap();
    bytes.into_inner()
}

/// The same steps in every run: a linear congruential generator (Knuth, MMIX).
fn step(at: usize, most: u8) -> f64 {
    let mut state = at as u64;
    for _ in 0..3 {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
    }
    ((state >> 40) as f64 / f64::from(1u32 << 24) * 2.0 - 1.0) * f64::from(most)
}

impl Damage {
    fn done(self, picture: &RgbImage) -> Vec<u8> {
        match self {
            Self::None => png(picture),
            Self::Turned(degrees) => png(&turned(picture, degrees)),
            Self::Blurred(sigma) => png(&imageops::blur(picture, sigma)),
            Self::Jpeg(quality) => jpeg(picture, quality),
            // A share of light is its power 1/2.2 as encoded.
            Self::Shaded(share) => png(&each(picture, |value, u, v, _| {
                value * (1.0 - share * (u + v) / 2.0).powf(1.0 / 2.2)
            })),
            Self::Noisy(most) => png(&each(picture, |value, _, _, at| value + step(at, most))),
            Self::Scaled(length) => {
                let side = |pixels: u32| (f64::from(pixels) * length / DRAWN).round() as u32;
                let (width, height) = picture.dimensions();
                let kernel = imageops::FilterType::CatmullRom;
                png(&imageops::resize(
                    picture,
                    side(width),
                    side(height),
                    kernel,
                ))
            }
            Self::Scanned(degrees) => {
                let picture = imageops::blur(&turned(picture, degrees), 0.8);
                let shaded = each(&picture, |value, u, v, at| {
                    value * (1.0 - 0.15 * (u + v) / 2.0).powf(1.0 / 2.2) + step(at, 6)
                });
                jpeg(&shaded, 85)
            }
        }
    }
}

/// Share of the beads that have the right colour, and how many are said to be doubtful; nothing is
/// right in a band of another shape.
fn right(chart: &Chart, bytes: Vec<u8>) -> (f64, usize) {
    let request = ReadRequest::default();
    let decoding = Decoding::from(&Cancel::default());
    let Ok(back) = read("scan", bytes, &palette(), &request, &decoding) else {
        return (0.0, 0);
    };
    if back.chart.lattice != chart.lattice {
        return (0.0, 0);
    }
    let code =
        |chart: &Chart, bead: usize| chart.colours[usize::from(chart.beads[bead])].code.clone();
    let all = chart.beads.len();
    let right = (0..all).filter(|&bead| code(chart, bead) == code(&back.chart, bead));
    (right.count() as f64 / all as f64, back.doubts.len())
}

/// Every kind of damage that is read without a wrong bead.
const READ: [Damage; 19] = [
    Damage::None,
    Damage::Turned(0.5),
    Damage::Turned(-1.0),
    Damage::Turned(2.0),
    Damage::Turned(-3.0),
    Damage::Blurred(1.0),
    Damage::Blurred(2.0),
    Damage::Jpeg(90),
    Damage::Jpeg(60),
    Damage::Shaded(0.1),
    Damage::Shaded(0.25),
    Damage::Noisy(8),
    Damage::Scaled(6.0),
    Damage::Scaled(8.0),
    Damage::Scaled(12.0),
    Damage::Scaled(40.0),
    Damage::Scanned(0.7),
    Damage::Scanned(-1.5),
    Damage::Scanned(3.0),
];

#[test]
fn damaged_pictures_of_charts_are_read_well_enough() {
    let charts = ["tide-line.png", "kittiwake.png"].map(charted);
    let pictures = charts.each_ref().map(drawn);
    let mut wrong = 0;
    for (number, damage) in READ.into_iter().enumerate() {
        let at = number % charts.len();
        let (share, doubts) = right(&charts[at], damage.done(&pictures[at]));
        println!("{damage:?}: {share}, {doubts} doubtful");
        wrong += usize::from(share < 1.0);
    }
    assert_eq!(wrong, 0, "the shares are above");
}

#[test]
fn a_picture_without_a_grid_is_an_error_and_no_chart() {
    for name in [
        "kittiwake.png",
        "harbour-dusk.jpg",
        "lobster-pot.png",
        "tray.jpg",
    ] {
        let bytes = fs::read(repository("samples").join(name)).unwrap();
        let decoding = Decoding::from(&Cancel::default());
        let error = read(name, bytes, &palette(), &ReadRequest::default(), &decoding).unwrap_err();
        assert_eq!(
            error.what(),
            "no grid of beads is found in this picture",
            "{name}"
        );
    }
}
