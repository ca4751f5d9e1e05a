//! From a picture to a peyote-stitch ring that fits, in beads you own.
//!
//! A bead weaver has a picture, a palette of cylinder beads and a finger to fit. This crate decodes
//! the picture, averages its light over the rectangle that each bead covers on the staggered
//! lattice of the stitch, chooses colours of the palette for the beads, finds how many rows close
//! round the finger, and writes the chart as a file and as a drawing. The program `upbead` is
//! [`cli`] and nothing more.
//!
//! # Use it as a library
//!
//! [`Palette`], [`ChartRequest`], [`chart()`], [`plain_chart`], [`Chart`], [`fit`], [`weave()`],
//! [`check`]. Everything else is hidden from these pages: it serves the program and its tests, and
//! may change in any version.
//!
//! ```
//! use upbead::{
//!     Chart, ChartRequest, CheckRequest, Column, Palette, RingSize, Row, Source, WeaveRequest,
//!     chart, check, weave,
//! };
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! // Pale sky over dark water, as a tiny PNG.
//! let artwork = image::RgbImage::from_fn(9, 40, |_, y| {
//!     image::Rgb(if y < 20 { [0xC0, 0xC4, 0xC8] } else { [0x14, 0x28, 0x58] })
//! });
//! let mut png = std::io::Cursor::new(Vec::new());
//! artwork.write_to(&mut png, image::ImageFormat::Png)?;
//! let picture = Source::new("sky.png", png.into_inner());
//!
//! let palette = Palette::read(
//!     "code,name,hex\ng,herring grey,BBBEC1\nn,jersey navy,1C3261\nr,buoy red,CD2626\n",
//!     "three",
//! )?;
//! let mut request = ChartRequest::default();
//! request.ring.size = Some("us7".parse::<RingSize>()?);
//! let chart = chart(picture, &palette, &request)?.value;
//!
//! assert_eq!(chart.lattice.columns(), 9);
//! let name = |row, column| {
//!     let shade = chart.shade(Row::new(row), Column::new(column));
//!     shade.map(|shade| shade.name.as_str())
//! };
//! // Row 1 is at the bottom; row 1 has the odd columns only.
//! assert_eq!(name(1, 5), Some("jersey navy"));
//! assert_eq!(name(1, 6), None);
//! assert_eq!(chart.colours.len(), 2);
//! assert_eq!(Chart::read(&chart.to_text())?, chart);
//!
//! let woven = weave(&chart, &WeaveRequest::default())?;
//! // Rows 1 and 2 are strung first: a bead for each column.
//! assert_eq!(woven.strung.iter().map(|run| run.count).sum::<usize>(), 9);
//! assert_eq!(woven.rows.len() as u32, chart.lattice.rows() - 2);
//! for finding in check(&chart, Some(&palette), &CheckRequest::default())?.findings {
//!     println!("{}; {}", finding.text, finding.hint);
//! }
//! # Ok(())
//! # }
//! ```
//!
//! | feature | brings |
//! |---|---|
//! | `cli` | all verbs; implies `pdf`, `render`, `svg` |
//! | `desk` | the local server and its page |
//! | `pdf` | the printed pattern |
//! | `render` | the ring as a picture, still or turning |
//! | `svg` | SVG artwork, and drawings as PNG |
//!
//! All are on by default; without them the crate is lattice, picture, palette, chart, fit, weave
//! and check.
//!
//! Versions follow Cargo's rules for semantic versions: before 1.0, what these pages show changes
//! only with the second number. It builds with Rust 1.95 and later (`rust-version` in
//! `Cargo.toml`); a later Rust is asked for only with a change of that number too.
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
//! | [`lattice`] | shape, parity, neighbours, wrap, rectangles: all that computes with half beads |
//! | [`warning`] | what the weaver should know beside the result, as data with one wording each |
//! | [`cancel`] | the flag that long work checks between its steps |
//! | [`ring`] | ring sizes, the weaver's gauge, and the rows that close round a finger |
//! | [`colour`] | conversions between colour spaces, and how different two colours look |
//! | [`palette`] | the colours that the owner has, their files, the nearest colour among them |
//! | [`json`] | JSON that knows where each value stands in its file, for complaints |
//! | [`vision`] | what is seen at a distance in millimetres, and how a motif reads on its ground |
//! | [`picture`] | any picture file as oriented pixels, and where they lie on the band |
//! | [`mod@sample`] | pixels to the mean linear light of each bead, crisp or not, or of a grid |
//! | [`mod@artwork`] | what a picture is: ground, flat colours, symmetry, repeats, thin lines |
//! | [`palette_photo`] | a photograph of bead piles on white paper to a palette |
//! | [`lettering`] | capitals drawn for this lattice, spaced and laid on a band |
//! | [`request`] | every option once: its type, range, default and help |
//! | [`mod@chart`] | which colour each bead has, the file that holds it, and other sizes of it |
//! | [`reading`] | tables, rows in words and pictures of charts to charts |
//! | [`quantize`] | light to colours: nearest, limit, dithering, mirrors, stock, refine, swap |
//! | [`pipeline`] | picture, palette and settings to a chart, or to several that differ |
//! | [`mod@weave`] | one list of thread passes: rows, turns, seam, ends and thread |
//! | [`render`] | the closed band as a ring: every bead a lit cylinder in its true place |
//! | [`scene`] | what is drawn, in millimetres: no pixels, no pages |
//! | [`report`] | one report a verb, which text, JSON and the desk are made from |
//! | [`output`] | reports and scenes as text, JSON, SVG, PNG, PDF and pages |
//! | [`mod@desk`] | a page for designing by eye, served on this machine alone |
//! | [`cli`] | a verb a file: its request parsed, its report printed |

#![forbid(unsafe_code)]
#![deny(missing_docs)]

// The order is that of the table above, in groups so that the formatter keeps it.

#[doc(hidden)]
pub mod words;

#[doc(hidden)]
pub mod error;
#[doc(hidden)]
pub mod files;
#[doc(hidden)]
pub mod units;

#[doc(hidden)]
pub mod bead;
#[doc(hidden)]
pub mod cancel;
#[doc(hidden)]
pub mod lattice;
#[doc(hidden)]
pub mod ring;
#[doc(hidden)]
pub mod warning;

#[doc(hidden)]
pub mod artwork;
#[doc(hidden)]
pub mod colour;
#[doc(hidden)]
pub mod json;
#[doc(hidden)]
pub mod lettering;
#[doc(hidden)]
pub mod palette;
#[doc(hidden)]
pub mod palette_photo;
#[doc(hidden)]
pub mod picture;
#[doc(hidden)]
pub mod request;
#[doc(hidden)]
pub mod sample;
#[doc(hidden)]
pub mod vision;

#[doc(hidden)]
pub mod chart;
#[doc(hidden)]
pub mod pipeline;
#[doc(hidden)]
pub mod quantize;
#[doc(hidden)]
pub mod reading;
#[doc(hidden)]
pub mod render;
#[doc(hidden)]
pub mod scene;
#[doc(hidden)]
pub mod weave;

#[doc(hidden)]
pub mod output;

#[doc(hidden)]
#[cfg(feature = "desk")]
pub mod desk;
#[doc(hidden)]
pub mod report;

#[doc(hidden)]
#[cfg(feature = "cli")]
pub mod cli;

mod facade;

pub use bead::Bead;
pub use chart::Chart;
pub use error::{Error, Result};
pub use facade::{chart, check, fit, plain_chart, weave};
pub use lattice::{Column, Lattice, Row};
pub use palette::Palette;
pub use pipeline::Source;
pub use report::WarningReport;
pub use report::check::{CheckReport, FindingKind, FindingReport};
pub use report::fit::{ClosedReport, FitReport};
pub use report::weave::{RowReport, Run, WeaveReport};
pub use request::{
    BandRequest, CalmRequest, ChartRequest, CheckRequest, ColourRequest, DesignRequest,
    DistanceRequest, FitRequest, GaugeRequest, PictureRequest, RowsRequest, WeaveRequest,
    WorkRequest,
};
pub use ring::RingSize;
pub use units::Mm;
pub use warning::{Warned, Warning};

/// README's Rust example.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
pub struct Readme;
