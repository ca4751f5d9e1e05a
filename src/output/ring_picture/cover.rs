//! The ring for the cover of a booklet: its motif to the front, cropped to ring and shadow, on
//! white.

use crate::chart::Chart;
use crate::colour::{Encoder, Srgb8};
use crate::error::Result;
use crate::lattice::Row;
use crate::picture::Pixels;
use crate::render::{Pose, RingImage, RingScene};

/// Pixels a side before it is cropped: about 250 dots per inch as the cover prints it, and about
/// 165 in a booklet of several designs, which would be large and slow. Ours.
const SIDE: usize = 960;
const SIDE_OF_SEVERAL: usize = 640;
/// The backdrop.
const PAPER: Srgb8 = Srgb8::new(255, 255, 255);
/// A pixel with every component from here is paper: the last trace of the shadow, which no printer
/// shows. Ours.
const WHITE: u8 = 253;

/// The ring of a closed chart as it will look, cropped to what is seen of it; `designs` is how many
/// the booklet has.
///
/// # Errors
/// If the chart is not closed.
pub fn cover_picture(chart: &Chart, designs: usize) -> Result<Pixels> {
    let side = if designs > 1 { SIDE_OF_SEVERAL } else { SIDE };
    Ok(cropped(&motif_to_front(chart, side)?))
}

/// The ring of a closed chart, its motif to the front, in a square of `side` pixels on white.
///
/// # Errors
/// If the chart is not closed.
pub fn front_picture(chart: &Chart, side: usize) -> Result<Pixels> {
    let image = motif_to_front(chart, side)?;
    Ok(Pixels {
        width: side as u32,
        height: side as u32,
        rgb: encoded(&image).concat(),
    })
}

fn motif_to_front(chart: &Chart, side: usize) -> Result<RingImage> {
    let rows = f64::from(chart.lattice.rows());
    let roll = (rows / 2.0 - front(chart)) / rows * 360.0;
    // A picture that was laid along the band is seen level.
    let pose = if chart.is_lengthwise() {
        Pose::lying(chart)
    } else {
        Pose::default()
    };
    let scene = RingScene::new(chart, &pose, Some(PAPER))?;
    Ok(scene.render(roll, side))
}

/// The row in the middle of the busiest third of a closed band: there the motif is.
fn front(chart: &Chart) -> f64 {
    let rows = chart.lattice.rows() as usize;
    let changes = |row: usize| {
        let beads = chart.row(Row::new((row % rows) as u32 + 1));
        beads.windows(2).filter(|pair| pair[0] != pair[1]).count()
    };
    let window = (rows / 3).max(1);
    let busy = |first: usize| (first..first + window).map(changes).sum::<usize>();
    let mut best = (0, 0);
    for first in 0..rows {
        if busy(first) > best.0 {
            best = (busy(first), first);
        }
    }
    (best.1 as f64 + window as f64 / 2.0) % rows as f64 + 1.0
}

/// Red, green and blue of each pixel.
fn encoded(image: &RingImage) -> Vec<[u8; 3]> {
    let table = Encoder::new();
    let all = image.pixels.iter();
    all.map(|&[red, green, blue, _]| {
        let colour = table.srgb8([red, green, blue]);
        [colour.red, colour.green, colour.blue]
    })
    .collect()
}

/// Encoded, without the white round it.
fn cropped(image: &RingImage) -> Pixels {
    let side = image.side;
    let colours = encoded(image);
    let inked = |at: usize| colours[at].iter().any(|&part| part < WHITE);
    let across: Vec<usize> = (0..side)
        .filter(|x| (0..side).any(|y| inked(y * side + x)))
        .collect();
    let down: Vec<usize> = (0..side)
        .filter(|y| (0..side).any(|x| inked(y * side + x)))
        .collect();
    let ends = |all: &[usize]| match (all.first(), all.last()) {
        (Some(&first), Some(&last)) => (first, last + 1),
        _ => (0, side),
    };
    let ((left, right), (top, bottom)) = (ends(&across), ends(&down));
    let rgb = (top..bottom)
        .flat_map(|y| &colours[y * side + left..y * side + right])
        .flatten()
        .copied()
        .collect();
    Pixels {
        width: (right - left) as u32,
        height: (bottom - top) as u32,
        rgb,
    }
}
