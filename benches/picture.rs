//! A 24-megapixel JPEG to a ring chart, against decoding that file alone with the same decoder.

mod common;

use common::{closed, harbour, mib, paired, peak_mib, photograph};
use image::{ImageDecoder, ImageReader};
use std::io::Cursor;
use upbead::pipeline::{Options, Source, make};
use upbead::request::Mirror;

fn decode(bytes: &[u8]) -> Vec<u8> {
    let decoder = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .expect("bytes")
        .into_decoder()
        .expect("a JPEG");
    let mut pixels = vec![0; decoder.total_bytes() as usize];
    decoder.read_image(&mut pixels).expect("whole");
    pixels
}

fn main() {
    let bytes = photograph(6000, 4000);
    let palette = harbour();
    let options = Options {
        lattice: closed(9, 74),
        arrangement: Default::default(),
        ground: None,
        crisp: 0.0,
        simplify: 0.0,
        flat: false,
        mirror: Mirror::None,
        choice: Default::default(),
        title: None,
        design: None,
        stock: None,
        length: vec![],
    };
    let chart = || {
        let source = Source::new("big.jpg", bytes.clone());
        make(source, &palette, &options).expect("a chart")
    };
    let (whole, alone, ratio) = paired(9, chart, || decode(&bytes));
    println!(
        "24-megapixel JPEG ({} kB) to 9 x 74: {:.0} ms, decoding alone {:.0} ms, ratio {ratio:.3}",
        bytes.len() / 1000,
        whole * 1e3,
        alone * 1e3
    );
    let pixels = 6000.0 * 4000.0 * 3.0 / 1024.0 / 1024.0;
    let peak = peak_mib(chart);
    println!(
        "peak memory {}, decoded picture {pixels:.1} MiB, ratio {:.2}",
        mib(peak),
        peak.unwrap_or_default() / pixels
    );
}
