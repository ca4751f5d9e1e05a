//! One frame in a palette as lossless WebP: the bitstream of RFC 9649, section 3.
//!
//! Of its means, those that suit few flat colours are used: the palette (colour indexing), copies of what came before, and one set of prefix codes.

mod bits;
mod copies;
mod prefix;

use crate::colour::Srgb8;
use bits::Bits;
use copies::{Piece, pieces};
use prefix::Prefix;

/// Fewest colours of a palette whose pixels are not packed several to one (section 4.4).
const UNPACKED: usize = 17;
/// Symbols for green and for lengths of copies (section 5.2.2), for the other components, and for distances.
const GREEN: usize = 256 + 24;
const OTHER: usize = 256;
const DISTANCES: usize = 40;

/// The bytes of a VP8L chunk: `codes` are places in the palette, row by row.
pub(super) fn written(codes: &[u8], width: usize, palette: &[Srgb8]) -> Vec<u8> {
    let height = codes.len() / width;
    let mut out = Bits::default();
    out.put(0x2f, 8);
    out.put(width as u32 - 1, 14);
    out.put(height as u32 - 1, 14);
    // No alpha; version 0.
    out.put(0, 4);
    // A transform follows, of kind 3: colour indexing.
    out.put(1, 1);
    out.put(3, 2);
    table(palette, &mut out);
    // No more transforms, no colour cache, one set of prefix codes for the whole picture.
    out.put(0, 3);
    let blank = |green: u8| [255, 0, green, 0];
    let pixels: Vec<[u8; 4]> = codes.iter().map(|code| blank(*code)).collect();
    image(&pixels, pieces(codes, width), &mut out);
    out.done()
}

/// The palette as a picture one pixel high, each colour less the one before (section 4.4).
fn table(palette: &[Srgb8], out: &mut Bits) {
    let mut colours: Vec<[u8; 4]> = palette
        .iter()
        .map(|c| [255, c.red, c.green, c.blue])
        .collect();
    let last = colours.last().copied().unwrap_or([255, 0, 0, 0]);
    colours.resize(colours.len().max(UNPACKED), last);
    out.put(colours.len() as u32 - 1, 8);
    // No colour cache.
    out.put(0, 1);
    let mut before = [0u8; 4];
    let less: Vec<[u8; 4]> = colours
        .into_iter()
        .map(|colour| {
            let less = [0, 1, 2, 3].map(|at| colour[at].wrapping_sub(before[at]));
            before = colour;
            less
        })
        .collect();
    let plain = vec![Piece::Pixel; less.len()];
    image(&less, plain, out);
}

/// Five prefix codes, and the pixels in them: green or a length, red, blue, alpha; a distance after a length.
fn image(pixels: &[[u8; 4]], pieces: Vec<Piece>, out: &mut Bits) {
    let mut counts = [GREEN, OTHER, OTHER, OTHER, DISTANCES].map(|size| vec![0u32; size]);
    walk(pixels, &pieces, |which, symbol, _| {
        counts[which][symbol] += 1
    });
    let codes = counts.map(|counts| Prefix::new(&counts));
    for code in &codes {
        code.write(out);
    }
    walk(pixels, &pieces, |which, symbol, (extra, bits)| {
        codes[which].put(symbol, out);
        out.put(extra, bits);
    });
}

/// Every symbol in its order: which code, the symbol, and the bits after it.
fn walk(pixels: &[[u8; 4]], pieces: &[Piece], mut each: impl FnMut(usize, usize, (u32, u32))) {
    let mut at = 0;
    for piece in pieces {
        match *piece {
            Piece::Pixel => {
                let [alpha, red, green, blue] = pixels[at].map(usize::from);
                for (which, symbol) in [green, red, blue, alpha].into_iter().enumerate() {
                    each(which, symbol, (0, 0));
                }
                at += 1;
            }
            Piece::Copy { length, distance } => {
                let (symbol, extra) = copies::split(length);
                each(0, 256 + symbol, extra);
                let (symbol, extra) = copies::split(distance);
                each(4, symbol, extra);
                at += length;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A RIFF file round one chunk.
    fn file(chunk: &[u8]) -> Vec<u8> {
        let mut body = b"WEBPVP8L".to_vec();
        body.extend((chunk.len() as u32).to_le_bytes());
        body.extend(chunk);
        if chunk.len() % 2 == 1 {
            body.push(0);
        }
        let mut file = b"RIFF".to_vec();
        file.extend((body.len() as u32).to_le_bytes());
        file.extend(body);
        file
    }

    fn check(codes: &[u8], width: usize, palette: &[Srgb8]) {
        let bytes = file(&written(codes, width, palette));
        let picture = image::load_from_memory_with_format(&bytes, image::ImageFormat::WebP);
        let picture = picture.expect("a picture").to_rgb8();
        assert_eq!(picture.width() as usize, width);
        let colours = codes.iter().map(|code| palette[usize::from(*code)]);
        for (at, (pixel, colour)) in picture.pixels().zip(colours).enumerate() {
            assert_eq!(pixel.0, [colour.red, colour.green, colour.blue], "{at}");
        }
    }

    #[test]
    fn another_decoder_reads_the_same_pixels() {
        let colour = |at: usize| Srgb8::new((at * 37) as u8, (at * 101) as u8, (at * 7) as u8);
        for (width, height, colours) in [
            (1, 1, 1),
            (5, 3, 2),
            (64, 40, 20),
            (37, 61, 96),
            (300, 210, 256),
        ] {
            let palette: Vec<Srgb8> = (0..colours).map(colour).collect();
            let mut state = 7u32;
            let mut noise = |_| {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                ((state >> 16) as usize % colours) as u8
            };
            let noisy: Vec<u8> = (0..width * height).map(&mut noise).collect();
            check(&noisy, width, &palette);
            // Stripes, shifted copies and flat parts.
            let drawn = |at: usize| ((at % width / 5 + at / width / 3) % colours) as u8;
            let drawn: Vec<u8> = (0..width * height).map(drawn).collect();
            check(&drawn, width, &palette);
            check(&vec![(colours - 1) as u8; width * height], width, &palette);
        }
    }
}
