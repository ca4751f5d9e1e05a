//! From a picture to a peyote-stitch ring that fits, in beads you own.
//!
//! A bead weaver has a picture, a list of the cylinder beads in her drawer and a finger to fit. This crate decodes the picture, averages its light over
//! the rectangle that each bead covers on the staggered lattice of the stitch, chooses colours of her palette for the beads, finds how many rows
//! close round the finger, and writes the chart as a file and as a drawing. The program `upbead` is [`cli`] and nothing more.
//!
//! # From bytes to a chart
//!
//! Each stage is a function of the one before: borrowed input and options in, a new value or an [`error::Error`] out; no printing, no file, no clock, no
//! chance. [`pipeline::make`] calls them once each, in this order:
//!
//! | stage | in | out |
//! |---|---|---|
//! | [`palette::read::read`] | text of a palette, CSV or GPL | [`palette::Palette`] |
//! | [`ring::fit`] | [`ring::RingSize`], [`ring::Gauge`] | [`ring::Fit`], with the [`lattice::Rows`] that close |
//! | [`picture::decode`] | bytes of a file | [`picture::Picture`]: stored pixels, how they become upright and how they become light |
//! | [`picture::plan`] | size, orientation, [`lattice::Lattice`], [`picture::Arrangement`] | [`picture::Plan`]: coordinates only |
//! | [`sample::sample`] | picture, plan, lattice | one [`sample::Sample`] a bead: mean linear light and alpha |
//! | [`quantize::choose`] | light wanted of each bead, the palette's [`palette::Tone`]s | one place in the palette a bead |
//! | [`quantize::refine::refine`] | or the same, and the picture tile by tile ([`vision::band::Mosaic`]) | the like, optimised as it is seen |
//! | [`pipeline::make`] | all of these | [`chart::Chart`], in a [`pipeline::Outcome`] with its [`warning::Warning`]s |
//! | [`chart::write::write`] | chart | JSON, which [`chart::read::read`] takes back |
//! | [`scene::flat`] | chart | [`scene::Scene`]: what is drawn, in millimetres |
//! | [`render::render_ring`] | closed chart, pose, pixels | [`render::RingImage`] in linear light |
//! | [`output::svg`], [`output::png`], [`output::photo`], [`output::text`] | scene, photograph or chart | bytes |
//!
//! Every array with one item a bead is in lattice order: row 1 first, then by column.
//!
//! # Modules
//!
//! A module uses only what stands above it.
//!
//! | module | holds |
//! |---|---|
//! | [`words`] | sentences that name options, which each face writes its own way |
//! | [`error`] | what went wrong, where, and what to do about it: the one error type |
//! | [`files`] | the only reader and writer of files: whole or not at all |
//! | [`units`] | millimetres and grams, built and read by name |
//! | [`bead`] | the one table of bead sizes, and a weaver's own size |
//! | [`lattice`] | shape, parity, neighbours, wrap, rectangles; nobody else computes with half beads |
//! | [`warning`] | what the weaver should know beside the result, as values with one wording each |
//! | [`cancel`] | whether work is still wanted, looked at between its steps |
//! | [`ring`] | ring sizes, the weaver's gauge, and the rows that close round a finger |
//! | [`colour`] | conversions between colour spaces, and how different two colours look |
//! | [`palette`] | the palette: what the owner has, its files, the nearest colour in it |
//! | [`vision`] | what is seen at a distance in millimetres, how far two bands look apart, and a motif from its ground |
//! | [`picture`] | any picture file as oriented pixels, and where they lie on the band |
//! | [`mod@sample`] | pixels to the mean linear light of each bead, crisp or not, or of a plain grid |
//! | [`palette_photo`] | a photograph of bead piles on white paper to a palette |
//! | [`request`] | every option once: its type, range, default and help |
//! | [`chart`] | which colour each bead has, and the file that holds it |
//! | [`quantize`] | light to colours: the limit, the nearest, dithering, mirror images and repeats, a counted drawer; the whole band refined and calmed; one palette to another |
//! | [`pipeline`] | picture, palette and options to a chart: the stages, called once each |
//! | [`mod@weave`] | one list of thread passes: rows, turns, seam, ends and thread |
//! | [`render`] | the closed band as a picture in light: every bead a lit cylinder on its ring |
//! | [`scene`] | what is drawn, in millimetres: no pixels, no pages |
//! | [`report`] | what each verb answers, once for text, JSON and the desk |
//! | [`output`] | scene and results as SVG, PNG, PDF, JSON and text |
//! | [`mod@desk`] | a page for designing by eye, served on this machine alone |
//! | [`cli`] | what was typed becomes checked options; the answer is printed |
//!
//! # Example
//!
//! A chart of bytes in memory, and no file touched:
//!
//! ```
//! use upbead::bead::Bead;
//! use upbead::quantize;
//! use upbead::palette::read::read;
//! use upbead::lattice::{Column, Lattice, Row};
//! use upbead::pipeline::{Options, Source, make};
//! use upbead::picture::Arrangement;
//! use upbead::ring::{Gauge, Prefer, RingSize};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! // Pale sky over dark water, as a tiny PNG.
//! let artwork = image::RgbImage::from_fn(9, 40, |_, y| match y < 20 {
//!     true => image::Rgb([0xC0, 0xC4, 0xC8]),
//!     false => image::Rgb([0x14, 0x28, 0x58]),
//! });
//! let mut png = std::io::Cursor::new(Vec::new());
//! artwork.write_to(&mut png, image::ImageFormat::Png)?;
//!
//! let palette = read("code,name,hex\ng,herring grey,BBBEC1\nn,jersey navy,1C3261\nr,buoy red,CD2626\n", "three")?;
//! let rows = Gauge::touching(Bead::default()).rows_for(RingSize::parse("us7")?.diameter(), Prefer::Smaller)?;
//! let options = Options {
//!     lattice: Lattice::new(Bead::default(), 9, rows)?,
//!     arrangement: Arrangement::default(),
//!     ground: None,
//!     crisp: 0.0,
//!     mirror: vec![],
//!     choice: quantize::Options::default(),
//!     title: None,
//!     stock: None,
//!     length: vec![],
//! };
//! let source = Source { name: "sky.png".to_string(), bytes: png.into_inner() };
//! let chart = make(source, &palette, &options)?.value.chart;
//!
//! assert_eq!((chart.lattice.rows(), chart.beads.len()), (74, 333));
//! let name = |row, column| chart.shade(Row::new(row), Column::new(column)).map(|shade| shade.name.as_str());
//! // Row 1 is at the bottom; row 1 has the odd columns only.
//! assert_eq!(name(1, 5), Some("jersey navy"));
//! assert_eq!(name(1, 6), None);
//! assert_eq!(name(73, 5), Some("herring grey"));
//! assert_eq!(chart.colours.len(), 2);
//!
//! let file = upbead::chart::write::write(&chart);
//! assert_eq!(upbead::chart::read::read(&file)?, chart);
//! # Ok(())
//! # }
//! ```

#![forbid(unsafe_code)]
#![deny(missing_docs)]

// The order is that of the table above, in groups so that the formatter keeps it.

pub mod words;

pub mod error;
pub mod files;
pub mod units;

pub mod bead;
pub mod cancel;
pub mod lattice;
pub mod ring;
pub mod warning;

pub mod colour;
pub mod palette;
pub mod palette_photo;
pub mod picture;
pub mod request;
pub mod sample;
pub mod vision;

pub mod chart;
pub mod pipeline;
pub mod quantize;
pub mod render;
pub mod scene;
pub mod weave;

pub mod output;

#[cfg(feature = "desk")]
pub mod desk;
pub mod report;

#[cfg(feature = "cli")]
pub mod cli;
