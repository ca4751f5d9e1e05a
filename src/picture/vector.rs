//! SVG artwork, rendered eight pixels to a bead and half row, with nothing fetched from outside the
//! file.
//!
//! A short file can ask for endless work. What can be counted is refused before it is drawn
//! (`counts` in the text, `depth` and `work` in what was read of it); where the program may start
//! itself again, the rest is bounded by a process of its own (`process`).

mod counts;
mod depth;
mod inside;
#[cfg(feature = "cli")]
mod process;
mod work;

#[cfg(feature = "cli")]
pub use process::{DRAW, serve};

use super::limits::{MOST_DRAWN_PIXELS, MOST_PICTURE_BYTES, check};
use super::{Channels, Decoding, Depth, Drawer, Orientation, Picture, Reading};
use crate::cancel::Cancel;
use crate::error::{Error, Result};
use crate::lattice::Lattice;
use crate::warning::Warning;
use inside::Inside;
use resvg::tiny_skia::{Pixmap, PremultipliedColorU8, Transform};
use resvg::usvg::{Options, Tree};
use std::sync::Arc;

/// Pixels across a bead, and across a half row.
const FINENESS: f64 = 8.0;
/// Most pixels that are rendered; a larger band gets a coarser picture.
const MOST_PIXELS: f64 = MOST_DRAWN_PIXELS as f64;
/// Most bytes of the page and its layers, were each as large; else the picture is coarser.
const MOST_LAYER_BYTES: f64 = MOST_PICTURE_BYTES as f64;
/// Most bytes that the page, its layers and filters hold at a time; else it is coarser too.
const MOST_BYTES: f64 = (384 << 20) as f64;
/// Stack of the thread that reads and draws: both recurse as deep as the document, and only what is
/// used is taken.
const STACK: usize = 256 << 20;

/// The band that a drawing is to cover, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Band {
    across: f64,
    along: f64,
    /// The shorter side of a bead's part of a column and half row.
    finest: f64,
}

impl From<&Lattice> for Band {
    fn from(lattice: &Lattice) -> Self {
        let bead = lattice.bead();
        Self {
            across: lattice.width().get(),
            along: lattice.picture_height().get(),
            finest: bead.length.get().min(bead.diameter.get() / 2.0),
        }
    }
}

/// A drawing in pixels, and the names of pictures outside it that it would show.
struct Drawn {
    pixels: Pixmap,
    linked: Vec<String>,
}

/// Renders an SVG so that, covering the band, every bead has at least eight pixels each way.
///
/// Text is set in the program's own font. Embedded pictures are drawn; linked files are never read.
///
/// # Errors
/// If the document cannot be read, has no size, unfolds to more than is drawn, has layers beyond
/// [`depth::MOST`], or embeds pictures that are too large; in a process of its own, if it takes too
/// long or too much memory; or if the work is cancelled.
pub fn render(bytes: &[u8], lattice: &Lattice, decoding: &Decoding) -> Result<Picture> {
    let (band, cancel) = (Band::from(lattice), &decoding.cancel);
    match decoding.drawer {
        Drawer::InProcess => {
            let drawn = draw(bytes, band, cancel)?;
            let (width, height) = (drawn.pixels.width(), drawn.pixels.height());
            let data = drawn.pixels.pixels().iter().flat_map(straight).collect();
            Ok(picture(width, height, data, drawn.linked))
        }
        #[cfg(feature = "cli")]
        Drawer::ChildProcess => process::draw(bytes, band, cancel),
    }
}

fn picture(width: u32, height: u32, data: Vec<u8>, linked: Vec<String>) -> Picture {
    let linked = linked.into_iter();
    Picture {
        width,
        height,
        channels: Channels {
            colour: 3,
            alpha: true,
        },
        depth: Depth::Eight,
        data,
        orientation: Orientation::default(),
        reading: Reading::srgb(Depth::Eight),
        notes: linked.map(|name| Warning::LinkedPicture { name }).collect(),
    }
}

fn failed() -> Error {
    Error::new("the SVG could not be drawn").hint("export it as PNG")
}

/// Draws on a thread with a large stack.
fn draw(bytes: &[u8], band: Band, cancel: &Cancel) -> Result<Drawn> {
    std::thread::scope(|scope| {
        std::thread::Builder::new()
            .stack_size(STACK)
            .spawn_scoped(scope, || drawn(bytes, band, cancel))
            .map_err(|e| failed().because(e))?
            .join()
            .map_err(|_| failed())?
    })
}

fn drawn(bytes: &[u8], band: Band, cancel: &Cancel) -> Result<Drawn> {
    let (tree, linked) = read(bytes)?;
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
    let page = |scale| work::Page {
        width: width * scale,
        height: height * scale,
        scale,
    };
    let pages = work::pages(tree.root(), page(1.0))?;
    let held = (MOST_LAYER_BYTES / (layers + 1) as f64).min(MOST_BYTES / (1.0 + pages)) / 4.0;
    let scale = fineness(width, height, band).min((held / (width * height)).sqrt());
    let scale = work::scale(tree.root(), page(scale))?;
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
    Ok(Drawn { pixels, linked })
}

/// The drawing, and the names of pictures outside it.
fn read(bytes: &[u8]) -> Result<(Tree, Vec<String>)> {
    counts::check_bytes(bytes)?;
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
    let text = std::str::from_utf8(bytes)
        .map_err(|_| counts::unreadable("provided data has not an UTF-8 encoding"))?;
    let (document, _) = counts::read(text)?;
    let tree =
        Tree::from_xmltree(&document, &options).map_err(|e| counts::unreadable(&e.to_string()))?;
    let linked = inside.linked()?;
    Ok((tree, linked))
}

/// Pixels a unit of the drawing, so that the drawing covering the band, upright or rotated, has
/// [`FINENESS`].
fn fineness(width: f64, height: f64, band: Band) -> f64 {
    let cover = |w: f64, h: f64| (band.across / w).max(band.along / h);
    let millimetres = cover(width, height).max(cover(height, width));
    let wanted = millimetres * FINENESS / band.finest;
    wanted.min((MOST_PIXELS / (width * height)).sqrt())
}

/// A pixel without the premultiplication.
fn straight(pixel: &PremultipliedColorU8) -> [u8; 4] {
    let colour = pixel.demultiply();
    [colour.red(), colour.green(), colour.blue(), colour.alpha()]
}
