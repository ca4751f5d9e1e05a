//! A loop as animated WebP: the container of RFC 9649, section 2.7 (RIFF with VP8X, ANIM, ANMF), lossless frames inside.

use super::{DELAY, Reel, patches, vp8l};
use crate::error::{Error, Result};
use rayon::prelude::*;

/// Most pixels a side of a lossless frame.
const MOST: usize = 16_384;

pub(super) fn written(reel: &Reel) -> Result<Vec<u8>> {
    if reel.side > MOST {
        return Err(
            Error::new(format!("a WebP has at most {MOST} pixels a side"))
                .hint("give fewer --pixels"),
        );
    }
    let mut body = b"WEBP".to_vec();
    // Only the flag for animation; then width and height less one.
    let mut head = vec![0x02, 0, 0, 0];
    head.extend(three(reel.side - 1));
    head.extend(three(reel.side - 1));
    chunk(&mut body, b"VP8X", &head);
    // A hint for the ground of the canvas, blue first, and how often: 0 is for ever.
    chunk(&mut body, b"ANIM", &[255, 255, 255, 255, 0, 0]);
    let frames: Vec<Vec<u8>> = patches(reel)
        .into_par_iter()
        .map(|(patch, codes)| {
            let mut frame = Vec::new();
            for number in [
                patch.left / 2,
                patch.top / 2,
                patch.width - 1,
                patch.height - 1,
            ] {
                frame.extend(three(number));
            }
            frame.extend(three(usize::from(DELAY)));
            // Do not blend, do not dispose.
            frame.push(0x02);
            let picture = vp8l::written(&codes, patch.width, &reel.palette);
            chunk(&mut frame, b"VP8L", &picture);
            frame
        })
        .collect();
    for frame in frames {
        chunk(&mut body, b"ANMF", &frame);
    }
    let mut file = Vec::new();
    chunk(&mut file, b"RIFF", &body);
    Ok(file)
}

/// 24 bits, lowest byte first.
fn three(number: usize) -> [u8; 3] {
    let [one, two, three, ..] = number.to_le_bytes();
    [one, two, three]
}

/// Name, length, bytes, and one more where the length is odd.
fn chunk(out: &mut Vec<u8>, name: &[u8; 4], bytes: &[u8]) {
    out.extend(name);
    out.extend((bytes.len() as u32).to_le_bytes());
    out.extend(bytes);
    if bytes.len() % 2 == 1 {
        out.push(0);
    }
}
