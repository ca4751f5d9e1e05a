//! SVG artwork, rendered eight pixels to a bead and half row, with nothing fetched from outside the
//! file.

mod depth;
mod inside;

use super::limits::{MOST_PICTURE_BYTES, check};
use super::{Channels, Depth, Orientation, Picture, Reading};
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::lattice::Lattice;
use inside::Inside;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};
use std::sync::Arc;

/// Pixels across a bead, and across a half row.
const FINENESS: f64 = 8.0;
/// Most pixels that are rendered; a larger band gets a coarser picture.
const MOST_PIXELS: f64 = 32e6;
/// Stack of the thread that reads and draws: both recurse as deep as the document, and only what is
/// used is taken.
const STACK: usize = 256 << 20;
/// Most clip paths, masks and patterns: as long a chain of them is followed within [`STACK`].
const MOST_LINKS: usize = 20_000;

/// Renders an SVG so that, covering the band, every bead has at least eight pixels each way.
///
/// Text is set in the program's own font. Embedded pictures are drawn; linked files are never read.
///
/// # Errors
/// If the document cannot be read, has no size, has layers beyond [`depth::MOST`], or embeds
/// pictures that are too large; or if the work is cancelled.
pub fn render(bytes: &[u8], lattice: &Lattice, cancel: &Cancel) -> Result<Picture> {
    let failed = || Error::new("the SVG could not be drawn").hint("export it as PNG");
    std::thread::scope(|scope| {
        std::thread::Builder::new()
            .stack_size(STACK)
            .spawn_scoped(scope, || drawn(bytes, lattice, cancel))
            .map_err(|e| failed().because(e))?
            .join()
            .map_err(|_| failed())?
    })
}

fn drawn(bytes: &[u8], lattice: &Lattice, cancel: &Cancel) -> Result<Picture> {
    if links(bytes) > MOST_LINKS {
        return Err(
            Error::new("the SVG has too many clip paths, masks and patterns")
                .hint("export it as PNG"),
        );
    }
    let inside = Arc::new(Inside::default());
    let mut options = Options {
        image_href_resolver: Inside::resolver(&inside),
        font_family: "Inter".to_string(),
        ..Options::default()
    };
    let font: &'static [u8] = include_bytes!("../output/font/inter-regular.ttf");
    options
        .fontdb_mut()
        .load_font_source(resvg::usvg::fontdb::Source::Binary(Arc::new(font)));
    let tree = Tree::from_data(bytes, &options).map_err(|e| {
        Error::new(format!("the SVG cannot be read ({e})"))
            .hint("open and save it in a drawing program, or export it as PNG")
    })?;
    let notes = inside.notes()?;
    let layers = depth::depth(tree.root());
    if layers > depth::MOST {
        return Err(Error::new(format!(
            "the SVG has {layers} nested layers; at most {} are drawn",
            depth::MOST
        ))
        .hint("export it as PNG"));
    }
    let (width, height) = (
        f64::from(tree.size().width()),
        f64::from(tree.size().height()),
    );
    let held = MOST_PICTURE_BYTES as f64 / (4.0 * (layers + 1) as f64);
    let scale = fineness(width, height, lattice).min((held / (width * height)).sqrt());
    let (columns, rows) = (
        (width * scale).ceil().max(1.0),
        (height * scale).ceil().max(1.0),
    );
    check(columns as u32, rows as u32, (columns * rows * 4.0) as u64)?;
    let mut pixels = Pixmap::new(columns as u32, rows as u32)
        .ok_or_else(|| Error::new("the SVG has no size").hint("give it a viewBox"))?;
    let fit = Transform::from_scale((columns / width) as f32, (rows / height) as f32);
    cancel.check()?;
    resvg::render(&tree, fit, &mut pixels.as_mut());
    cancel.check()?;
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
        notes,
    })
}

/// Pixels a unit of the drawing, so that the drawing covering the band, upright or rotated, has
/// [`FINENESS`].
fn fineness(width: f64, height: f64, lattice: &Lattice) -> f64 {
    let bead = lattice.bead();
    let finest = bead.length.get().min(bead.diameter.get() / 2.0);
    let (across, along) = (lattice.width().get(), lattice.picture_height().get());
    let cover = |w: f64, h: f64| (across / w).max(along / h);
    let millimetres = cover(width, height).max(cover(height, width));
    let wanted = millimetres * FINENESS / finest;
    wanted.min((MOST_PIXELS / (width * height)).sqrt())
}

/// Clip paths, masks and patterns, or more: each is counted where it begins.
fn links(bytes: &[u8]) -> usize {
    let count = |word: &[u8]| bytes.windows(word.len()).filter(|at| *at == word).count();
    count(b"clipPath") + count(b"mask") + count(b"pattern")
}

/// Removes the premultiplication.
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
