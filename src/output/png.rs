//! A scene as PNG, its pixel density recorded so that it prints at the size the scene states.
//!
//! Beads are painted straight into the pixels, strip by strip on all cores: a tree of a million
//! nodes would be too heavy. Marks and words go through the SVG of the same scene, with the
//! embedded font and no other.

mod relief;

use super::svg::{Purpose, svg_for};
use crate::colour::Srgb8;
use crate::error::{Error, Result};
use crate::picture::Pixels;
use crate::request::DENSITIES;
use crate::scene::{Beads, Item, Placed, Scene, Shape, font};
use crate::units::{INCH, Mm, decimals, grouped};
use rayon::prelude::*;
use resvg::tiny_skia::{Color, FillRule, Paint, Path, PathBuilder, Pixmap, PixmapMut, Transform};
use resvg::usvg;
use std::sync::{Arc, OnceLock};

/// Density where nobody asks for one, in dots per inch.
pub const DENSITY: f64 = 300.0;
/// Most pixels of a picture: 40 megapixels.
pub const MOST_PIXELS: f64 = 40e6;
/// Rows of pixels that are painted together.
const STRIP: usize = 256;

/// A picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The file.
    pub bytes: Vec<u8>,
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// Pixels in a metre, as the file records it.
    pub per_metre: u32,
}

impl Picture {
    /// Dots per inch, as the file records it.
    pub fn density(&self) -> f64 {
        f64::from(self.per_metre) * INCH / 1000.0
    }
}

/// The scene as a PNG of `density` dots per inch.
///
/// With no density it is 300, or as much as 40 megapixels allow; what was used is recorded in the
/// file. The same scene gives the same bytes, whatever the number of threads.
///
/// # Errors
/// If the density asked for is not 30 to 1200 or needs more than 40 megapixels, or if the scene is
/// too large even at the lowest.
pub fn png(scene: &Scene, density: Option<f64>) -> Result<Picture> {
    let per_metre = pixels_per_metre(scene, density)?;
    let scale = f64::from(per_metre) / 1000.0;
    let pixels = |mm: Mm| (mm.get() * scale - 1e-6).ceil().max(1.0) as u32;
    let (width, height) = (pixels(scene.width), pixels(scene.height));
    let mut pixmap = Pixmap::new(width, height)
        .ok_or_else(|| Error::new("the picture is too large").hint("give a smaller --scale"))?;
    if let Some(backdrop) = scene.backdrop {
        pixmap.fill(opaque(backdrop));
    }
    paint_beads(scene, scale, &mut pixmap);
    paint_words(scene, scale, &mut pixmap)?;
    let bytes = encoded(&pixmap, scene.backdrop.is_some(), per_metre)?;
    Ok(Picture {
        bytes,
        width,
        height,
        per_metre,
    })
}

/// Checks the density, or finds the highest that is allowed.
pub(super) fn pixels_per_metre(scene: &Scene, density: Option<f64>) -> Result<u32> {
    let inches = (scene.width.get() / INCH) * (scene.height.get() / INCH);
    let highest = (MOST_PIXELS / inches).sqrt();
    let (least, most) = DENSITIES;
    let used = match density {
        None => DENSITY.min(highest.floor()),
        Some(asked) if !(least..=most).contains(&asked) => {
            return Err(Error::usage(format!(
                "{} dots per inch cannot be drawn",
                decimals(asked, 2)
            ))
            .option("--density")
            .hint(format!("give {least} to {most}")));
        }
        Some(asked) => asked,
    };
    let size = format!(
        "{} × {} mm",
        decimals(scene.width.get(), 1),
        decimals(scene.height.get(), 1)
    );
    let bound = grouped(MOST_PIXELS as usize);
    if used < least {
        return Err(
            Error::usage(format!("a drawing of {size} is too large for a picture"))
                .hint("give a smaller --scale, or write an .svg"),
        );
    }
    if used > highest {
        return Err(Error::usage(format!(
            "a drawing of {size} has more than {bound} pixels at {} dots per inch",
            decimals(used, 2)
        ))
        .option("--density")
        .hint(format!(
            "give at most {}, a smaller --scale, or write an .svg",
            highest.floor()
        )));
    }
    Ok((used / INCH * 1000.0).round() as u32)
}

/// Paints every bead of the scene; strips are independent, so that threads cannot change a pixel.
pub(super) fn paint_beads(scene: &Scene, scale: f64, pixmap: &mut Pixmap) {
    let mut all = Vec::new();
    gather(&scene.items, &mut all);
    let width = pixmap.width();
    let strip_bytes = STRIP * width as usize * 4;
    pixmap
        .data_mut()
        .par_chunks_mut(strip_bytes)
        .enumerate()
        .for_each(|(at, bytes)| {
            let rows = (bytes.len() / (width as usize * 4)) as u32;
            let Some(mut strip) = PixmapMut::from_bytes(bytes, width, rows) else {
                return;
            };
            let above = (at * STRIP) as f64;
            for beads in &all {
                paint_strip(scene, beads, scale, above, &mut strip);
            }
        });
}

fn gather<'a>(items: &'a [Item], all: &mut Vec<&'a Beads>) {
    for item in items {
        match item {
            Item::Group(group) => gather(&group.items, all),
            Item::Beads(beads) => all.push(beads),
            _ => {}
        }
    }
}

/// Paints the beads that reach into the strip which starts `above` pixels down.
fn paint_strip(scene: &Scene, beads: &Beads, scale: f64, above: f64, strip: &mut PixmapMut<'_>) {
    let shape = &beads.shape;
    let inner = Shape {
        width: shape.width - shape.outline * 2.0,
        height: shape.height - shape.outline * 2.0,
        corner: shape.corner - shape.outline,
        ..*shape
    };
    let (Some(outer), Some(inner)) = (path(shape, scale), path(&inner, scale)) else {
        return;
    };
    let paints: Vec<[Paint<'_>; 2]> = scene
        .paints
        .iter()
        .map(|paint| {
            [
                brush(paint.shade.srgb),
                brush(paint.outline.unwrap_or(paint.shade.srgb)),
            ]
        })
        .collect();
    let end = above + f64::from(strip.height());
    let relief = shape
        .relief
        .map(|relief| relief::Stamps::new(scene, shape, &relief, scale));
    let reaches = |bead: &&Placed| {
        let top = bead.top.get() * scale;
        top < end + 1.0 && top + shape.height.get() * scale > above - 1.0
    };
    for bead in beads.placed.iter().filter(reaches) {
        let paint = usize::from(bead.paint);
        if let Some(relief) = &relief {
            let (x, y) = (bead.left.get() * scale, bead.top.get() * scale - above);
            let place = Transform::from_translate(x as f32, y as f32);
            relief.stamp(paint, place, &outer, strip);
            continue;
        }
        let [fill, line] = &paints[paint];
        let mut stamp = |path: &Path, paint, inset: Mm| {
            let x = (bead.left + inset).get() * scale;
            let y = (bead.top + inset).get() * scale - above;
            let place = Transform::from_translate(x as f32, y as f32);
            strip.fill_path(path, paint, FillRule::Winding, place, None);
        };
        if scene.paints[paint].outline.is_some() {
            stamp(&outer, line, Mm::new(0.0));
            stamp(&inner, fill, shape.outline);
        } else {
            stamp(&outer, fill, Mm::new(0.0));
        }
    }
}

/// A rectangle with round corners, its upper left corner at 0.
fn path(shape: &Shape, scale: f64) -> Option<Path> {
    /// Control point of a quarter circle: 4/3 (sqrt 2 - 1), the usual cubic approximation.
    const QUARTER: f32 = 0.552_284_8;
    let pixels = |mm: Mm| (mm.get() * scale) as f32;
    let (w, h) = (pixels(shape.width), pixels(shape.height));
    let r = pixels(shape.corner).max(0.0);
    let k = r * (1.0 - QUARTER);
    let mut path = PathBuilder::new();
    path.move_to(r, 0.0);
    path.line_to(w - r, 0.0);
    path.cubic_to(w - k, 0.0, w, k, w, r);
    path.line_to(w, h - r);
    path.cubic_to(w, h - k, w - k, h, w - r, h);
    path.line_to(r, h);
    path.cubic_to(k, h, 0.0, h - k, 0.0, h - r);
    path.line_to(0.0, r);
    path.cubic_to(0.0, k, k, 0.0, r, 0.0);
    path.close();
    path.finish()
}

fn opaque(colour: Srgb8) -> Color {
    Color::from_rgba8(colour.red, colour.green, colour.blue, 255)
}

fn brush(colour: Srgb8) -> Paint<'static> {
    let mut paint = Paint::default();
    paint.set_color(opaque(colour));
    paint
}

/// Puts a picture at a position, as far as there is room.
pub(super) fn paste(pixmap: &mut Pixmap, picture: &Pixels, left: usize, top: usize) {
    let (across, down) = (pixmap.width() as usize, pixmap.height() as usize);
    let (width, height) = (picture.width as usize, picture.height as usize);
    let data = pixmap.data_mut();
    for y in 0..height.min(down.saturating_sub(top)) {
        for x in 0..width.min(across.saturating_sub(left)) {
            let from = (y * width + x) * 3;
            let to = ((top + y) * across + left + x) * 4;
            data[to..to + 3].copy_from_slice(&picture.rgb[from..from + 3]);
        }
    }
}

/// Marks and words, through the SVG of the scene.
pub(super) fn paint_words(scene: &Scene, scale: f64, pixmap: &mut Pixmap) -> Result<()> {
    let options = usvg::Options {
        font_family: font::FAMILY.to_string(),
        fontdb: Arc::clone(fonts()),
        ..usvg::Options::default()
    };
    let text = svg_for(scene, Purpose::Rasterise);
    let tree = usvg::Tree::from_str(&text, &options)
        .map_err(|e| Error::new("the words could not be drawn").because(e))?;
    let scale = Transform::from_scale(scale as f32, scale as f32);
    resvg::render(&tree, scale, &mut pixmap.as_mut());
    Ok(())
}

/// The embedded font and no other, so that every machine draws the same.
fn fonts() -> &'static Arc<usvg::fontdb::Database> {
    static FONTS: OnceLock<Arc<usvg::fontdb::Database>> = OnceLock::new();
    FONTS.get_or_init(|| {
        let mut fonts = usvg::fontdb::Database::new();
        fonts.load_font_data(font::REGULAR.to_vec());
        fonts.load_font_data(font::SEMIBOLD.to_vec());
        Arc::new(fonts)
    })
}

/// The file: without alpha where the backdrop is opaque.
pub(super) fn encoded(pixmap: &Pixmap, opaque: bool, per_metre: u32) -> Result<Vec<u8>> {
    let data: Vec<u8> = if opaque {
        let all = pixmap.data().chunks_exact(4);
        all.flat_map(|p| [p[0], p[1], p[2]]).collect()
    } else {
        let plain = pixmap.pixels().iter().map(|pixel| pixel.demultiply());
        plain
            .flat_map(|c| [c.red(), c.green(), c.blue(), c.alpha()])
            .collect()
    };
    let raster = Raster {
        width: pixmap.width(),
        height: pixmap.height(),
        opaque,
        per_metre,
        data: &data,
    };
    encode_png(&raster, png::Compression::Balanced)
}

/// Pixels in sRGB, from the upper left.
pub(super) struct Raster<'a> {
    pub(super) width: u32,
    pub(super) height: u32,
    /// Whether there is no alpha.
    pub(super) opaque: bool,
    /// Pixels in a metre.
    pub(super) per_metre: u32,
    /// 8 bits a component: red, green, blue, and alpha unless opaque.
    pub(super) data: &'a [u8],
}

/// A PNG that records how many of its pixels make a metre.
pub(super) fn encode_png(raster: &Raster, compression: png::Compression) -> Result<Vec<u8>> {
    let refused = |e: png::EncodingError| Error::new("the picture could not be written").because(e);
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, raster.width, raster.height);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_color(if raster.opaque {
        png::ColorType::Rgb
    } else {
        png::ColorType::Rgba
    });
    encoder.set_compression(compression);
    encoder.set_source_srgb(png::SrgbRenderingIntent::Perceptual);
    encoder.set_pixel_dims(Some(png::PixelDimensions {
        xppu: raster.per_metre,
        yppu: raster.per_metre,
        unit: png::Unit::Meter,
    }));
    let mut writer = encoder.write_header().map_err(refused)?;
    writer.write_image_data(raster.data).map_err(refused)?;
    writer.finish().map_err(refused)?;
    Ok(bytes)
}
