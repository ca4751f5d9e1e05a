//! Medians of several runs, ratios of pairs run in turn, peak memory. Linux tells the peak;
//! elsewhere it is left out.

#![allow(dead_code)]

use std::hint::black_box;
use std::sync::Arc;
use std::time::Instant;
use upbead::bead::Bead;
use upbead::cancel::Cancel;
use upbead::colour::Light;
use upbead::lattice::{Lattice, Rows};
use upbead::palette::{Palette, read};
use upbead::picture::{Arrangement, Decoding, decode, plan};
use upbead::sample::sample;

/// Seconds that one run takes: median of `runs` after one that does not count.
pub fn seconds<T>(runs: usize, mut work: impl FnMut() -> T) -> f64 {
    black_box(work());
    let times = (0..runs).map(|_| timed(&mut work)).collect();
    median(times)
}

/// Seconds of two kinds of work run in turn, and the median ratio of the pairs, first over second.
pub fn paired<A, B>(
    runs: usize,
    mut first: impl FnMut() -> A,
    mut second: impl FnMut() -> B,
) -> (f64, f64, f64) {
    black_box(first());
    black_box(second());
    let pairs: Vec<(f64, f64)> = (0..runs)
        .map(|_| (timed(&mut first), timed(&mut second)))
        .collect();
    (
        median(pairs.iter().map(|pair| pair.0).collect()),
        median(pairs.iter().map(|pair| pair.1).collect()),
        median(pairs.iter().map(|pair| pair.0 / pair.1).collect()),
    )
}

fn timed<T>(work: &mut impl FnMut() -> T) -> f64 {
    let start = Instant::now();
    black_box(work());
    start.elapsed().as_secs_f64()
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

/// Peak memory in MiB while `work` runs, above what was in use before.
pub fn peak_mib<T>(work: impl FnOnce() -> T) -> Option<f64> {
    let field = |name: &str| -> Option<f64> {
        let status = std::fs::read_to_string("/proc/self/status").ok()?;
        let line = status.lines().find(|line| line.starts_with(name))?;
        line.split_whitespace().nth(1)?.parse::<f64>().ok()
    };
    std::fs::write("/proc/self/clear_refs", "5").ok()?;
    let before = field("VmRSS:")?;
    black_box(work());
    Some((field("VmHWM:")? - before) / 1024.0)
}

/// `12.3 MiB`, or a dash.
pub fn mib(peak: Option<f64>) -> String {
    peak.map_or("-".to_string(), |peak| format!("{peak:.1} MiB"))
}

/// A file of the repository.
pub fn file(path: &str) -> Vec<u8> {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    std::fs::read(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// The shipped palette of 240 colours.
pub fn harbour() -> Palette {
    let text = String::from_utf8(file("palettes/harbour.csv")).expect("text");
    read::read(&text, "harbour").expect("a palette")
}

/// A closed band of size 11/0.
pub fn closed(columns: u32, rows: u32) -> Lattice {
    Lattice::new(Bead::default(), columns, Rows::closed(rows).expect("even")).expect("a band")
}

/// `samples/harbour-dusk.jpg` enlarged to `width` by `height` with a little fixed noise, as a JPEG
/// of quality 90: as heavy to decode as a photograph.
pub fn photograph(width: u32, height: u32) -> Vec<u8> {
    let small = image::load_from_memory(&file("samples/harbour-dusk.jpg"))
        .expect("a picture")
        .to_rgb8();
    let mut large =
        image::imageops::resize(&small, width, height, image::imageops::FilterType::Triangle);
    let mut state = 1u32;
    for pixel in large.pixels_mut() {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let noise = (state >> 28) as i32 - 8;
        pixel.0 = pixel
            .0
            .map(|level| (i32::from(level) + noise).clamp(0, 255) as u8);
    }
    let mut bytes = Vec::new();
    let mut encoder = image::codecs::jpeg::JpegEncoder::new_with_quality(&mut bytes, 90);
    encoder.encode_image(&large).expect("a JPEG");
    bytes
}

/// The light that a picture of the repository throws on each bead of a band.
pub fn light_of(name: &str, lattice: &Lattice) -> Vec<Light> {
    let picture = decode(Arc::new(file(name)), lattice, &Decoding::default()).expect("a picture");
    let plan = plan(
        picture.upright(),
        picture.orientation,
        lattice,
        &Arrangement::default(),
    )
    .expect("a plan");
    sample(&picture, &plan, lattice, &Cancel::default())
        .expect("samples")
        .into_iter()
        .map(|sample| sample.light)
        .collect()
}

/// Two pictures of our own and a photograph.
pub const PICTURES: [&str; 3] = [
    "samples/harbour-dusk.jpg",
    "tests/data/pictures/coffee.jpg",
    "tests/data/pictures/buoys.png",
];
