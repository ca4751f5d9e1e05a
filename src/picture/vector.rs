//! SVG artwork, rendered eight pixels to a bead and half row, with nothing fetched from outside the file.

use super::limits::check;
use super::{Channels, Depth, Orientation, Picture, Reading};
use crate::error::{Error, Result};
use crate::lattice::Lattice;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{ImageHrefResolver, Options, Tree};
use std::sync::Arc;

/// Pixels across a bead, and across a half row.
const FINENESS: f64 = 8.0;
/// Most pixels that are rendered; a larger band gets a coarser picture.
const MOST_PIXELS: f64 = 32e6;

/// Whether `bytes` begin like an SVG document.
pub fn is_svg(bytes: &[u8]) -> bool {
    let head = String::from_utf8_lossy(&bytes[..bytes.len().min(4096)]);
    let head = head.trim_start_matches('\u{feff}').trim_start();
    head.starts_with('<') && head.contains("<svg")
}

/// Renders an SVG so that, covering the band, every bead has at least eight pixels each way.
///
/// Text is set in the program's own font. Pictures inside the file are drawn if the file carries them, never from other files.
///
/// # Errors
/// If the document cannot be read, or has no size.
pub fn render(bytes: &[u8], lattice: &Lattice) -> Result<Picture> {
    let mut options = Options {
        image_href_resolver: ImageHrefResolver {
            resolve_data: ImageHrefResolver::default_data_resolver(),
            resolve_string: Box::new(|_, _| None),
        },
        font_family: "Inter".to_string(),
        ..Options::default()
    };
    let font: &'static [u8] = include_bytes!("../faces/font/inter-regular.ttf");
    options
        .fontdb_mut()
        .load_font_source(resvg::usvg::fontdb::Source::Binary(Arc::new(font)));
    let tree = Tree::from_data(bytes, &options).map_err(|e| {
        Error::new(format!("the SVG cannot be read ({e})"))
            .hint("open and save it in a drawing program, or export it as PNG")
    })?;
    let (width, height) = (
        f64::from(tree.size().width()),
        f64::from(tree.size().height()),
    );
    let scale = fineness(width, height, lattice);
    let (columns, rows) = (
        (width * scale).ceil().max(1.0),
        (height * scale).ceil().max(1.0),
    );
    check(columns as u32, rows as u32, (columns * rows * 4.0) as u64)?;
    let mut pixels = Pixmap::new(columns as u32, rows as u32)
        .ok_or_else(|| Error::new("the SVG has no size").hint("give it a viewBox"))?;
    let fit = Transform::from_scale((columns / width) as f32, (rows / height) as f32);
    resvg::render(&tree, fit, &mut pixels.as_mut());
    Ok(Picture {
        width: pixels.width(),
        height: pixels.height(),
        channels: Channels {
            colour: 3,
            alpha: true,
        },
        depth: Depth::Eight,
        data: straight(pixels),
        orientation: Orientation::default(),
        reading: Reading::srgb(Depth::Eight),
        notes: Vec::new(),
    })
}

/// Pixels a unit of the drawing, so that the drawing covering the band, upright or turned, has [`FINENESS`].
fn fineness(width: f64, height: f64, lattice: &Lattice) -> f64 {
    let bead = lattice.bead();
    let finest = bead.length.get().min(bead.diameter.get() / 2.0);
    let (across, along) = (lattice.width().get(), lattice.picture_height().get());
    let cover = |w: f64, h: f64| (across / w).max(along / h);
    let millimetres = cover(width, height).max(cover(height, width));
    let wanted = millimetres * FINENESS / finest;
    wanted.min((MOST_PIXELS / (width * height)).sqrt())
}

/// Takes the premultiplication out again.
fn straight(pixels: Pixmap) -> Vec<u8> {
    pixels
        .pixels()
        .iter()
        .flat_map(|pixel| {
            let colour = pixel.demultiply();
            [colour.red(), colour.green(), colour.blue(), colour.alpha()]
        })
        .collect()
}
