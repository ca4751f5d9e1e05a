//! Contact sheets: each piece of artwork beside its flat charts, for a person to look at.

use super::score::Scored;
use super::score::truth::Piece;
use image::imageops::{FilterType, overlay, resize};
use image::{Rgb, RgbImage, RgbaImage};
use std::path::Path;
use upbead::chart::Chart;

/// Pixels a millimetre of a chart.
const SCALE: f64 = 4.0;
/// Width and height of the room for the artwork.
const ROOM: (u32, u32) = (150, 236);
/// Width and height of a chart with its frame.
const STRIP: (u32, u32) = (56, 262);
/// Pieces side by side, and rows of them on a page.
const PAGE: (u32, u32) = (5, 5);
const PAPER: Rgb<u8> = Rgb([214, 214, 218]);
const PASSED: Rgb<u8> = Rgb([40, 150, 60]);
const FAILED: Rgb<u8> = Rgb([200, 60, 50]);

/// Writes the pages as `first-chart-N.png` into a folder; a green frame marks what can be woven.
pub fn write(scored: &[Scored], folder: &Path) -> image::ImageResult<()> {
    let pieces: Vec<&[Scored]> = scored
        .chunk_by(|a, b| std::ptr::eq(a.piece, b.piece))
        .collect();
    let most = pieces.iter().map(|charts| charts.len()).max().unwrap_or(0) as u32;
    let cell = (ROOM.0 + most * STRIP.0 + 14, STRIP.1);
    for (number, page) in pieces.chunks((PAGE.0 * PAGE.1) as usize).enumerate() {
        let rows = (page.len() as u32).div_ceil(PAGE.0);
        let mut sheet = RgbImage::from_pixel(PAGE.0 * cell.0, rows * cell.1, PAPER);
        for (at, charts) in page.iter().enumerate() {
            let (x, y) = (at as u32 % PAGE.0 * cell.0, at as u32 / PAGE.0 * cell.1);
            show(&mut sheet, charts[0].piece, x, y);
            for (next, one) in charts.iter().enumerate() {
                let left = x + ROOM.0 + next as u32 * STRIP.0;
                let frame = if one.reasons.is_empty() {
                    PASSED
                } else {
                    FAILED
                };
                if let Some(chart) = &one.chart {
                    draw(&mut sheet, chart, left, y + 4, frame);
                }
            }
        }
        sheet.save(folder.join(format!("first-chart-{}.png", number + 1)))?;
    }
    Ok(())
}

fn show(sheet: &mut RgbImage, piece: &Piece, x: u32, y: u32) {
    let art: &RgbaImage = &piece.pixels;
    let (wide, high) = (f64::from(art.width()), f64::from(art.height()));
    let scale = (f64::from(ROOM.0 - 8) / wide).min(f64::from(ROOM.1) / high);
    let size = |side: f64| ((side * scale).round() as u32).max(1);
    let small = resize(art, size(wide), size(high), FilterType::Triangle);
    let mut under = image::DynamicImage::ImageRgb8(sheet.clone()).to_rgba8();
    overlay(&mut under, &small, i64::from(x + 4), i64::from(y + 8));
    *sheet = image::DynamicImage::ImageRgba8(under).to_rgb8();
}

/// Every bead as a brick, row 1 at the bottom, in a frame.
fn draw(sheet: &mut RgbImage, chart: &Chart, left: u32, top: u32, frame: Rgb<u8>) {
    let lattice = &chart.lattice;
    let high = (lattice.flat_height().get() * SCALE).round() as u32;
    let wide = (lattice.width().get() * SCALE).round() as u32;
    for y in 0..high + 6 {
        for x in 0..wide + 6 {
            if x < 2 || y < 2 || x >= wide + 4 || y >= high + 4 {
                set(sheet, left + x, top + y, frame);
            }
        }
    }
    for bead in 0..lattice.len() {
        let (row, column) = lattice.position(bead);
        let area = lattice.rectangle(row, column);
        let srgb = chart.colours[usize::from(chart.beads[bead])].srgb;
        let colour = Rgb([srgb.red, srgb.green, srgb.blue]);
        let edge = |mm: f64| (mm * SCALE).round() as u32;
        for y in edge(area.bottom.get())..edge(area.top.get()) {
            for x in edge(area.left.get())..edge(area.right.get()) {
                set(sheet, left + 3 + x, top + 2 + high - y.min(high), colour);
            }
        }
    }
}

fn set(sheet: &mut RgbImage, x: u32, y: u32, colour: Rgb<u8>) {
    if let Some(pixel) = sheet.get_pixel_mut_checked(x, y) {
        *pixel = colour;
    }
}
