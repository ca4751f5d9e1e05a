//! Picture, palette and options to a chart: the stages, called once each, in order.
//!
//! | part | does |
//! |---|---|
//! | `check` | refuses values out of range before any work |
//! | `chart` | the stages from a decoded picture to a chart |
//! | `prepare` | all that is needed to choose the colours of a picture's beads |
//! | `position` | where a motif is best placed on the band |
//! | `ground` | the colour where there is no picture |
//! | `target` | the light that each bead should give |
//! | `drawing` | a drawing of flat colours, colour by colour |
//! | `assemble` | the chart and its figures from the colours chosen |
//! | `layers` | a band made of layers: a colour or light for each bead |
//! | `reading` | the options that the designer left open, from what the picture is |
//! | `settings` | a request to options, and those to the record that a chart keeps |
//! | `compare` | how well a chart matches its picture |
//! | `motif_contrast` | how a chart's motif stands out from its ground |
//! | `plain` | a band of one colour, without a picture |
//! | `cache` | what one chart may reuse of the last |
//! | `propose` | several ways to chart a picture |

mod assemble;
mod cache;
mod chart;
mod check;
mod compare;
mod drawing;
mod ground;
mod layers;
mod motif_contrast;
mod plain;
mod position;
mod prepare;
mod propose;
mod reading;
mod settings;
mod target;

pub use cache::Cache;
pub use chart::{Charted, chart, chart_decoded, make, make_decoded, remake};
pub use compare::{CompareOptions, Comparison, compare, compare_layers};
pub use layers::{Layered, Load, chart_layers, chart_plain, remake_layers};
pub use motif_contrast::{MotifContrast, motif_contrast};
pub use plain::plain;
pub use propose::{
    DIFFERENT, FEWEST, MOST, Proposal, Way, propose, propose_beside, propose_decoded,
};
pub use settings::{
    arrangement, recorded, recorded_design, recorded_ground, recorded_picture, settings,
};

use crate::artwork::{self, Artwork};
use crate::chart::Chart;
use crate::error::Result;
use crate::lattice::{Axis, Lattice};
use crate::picture::{
    Arrangement, Crop, Decoding, Picture, Place, Placement, Plan, Position, decode, is_svg,
};
use crate::quantize;
use crate::quantize::measure::Measure;
use crate::request::Mirror;
use crate::request::design::Design;
use crate::units::Mm;
use crate::vision::shapes::Shapes;
use sha2::{Digest, Sha256};
use std::sync::{Arc, Mutex, PoisonError};

/// Parts of a picture whose reading is kept.
const PARTS_KEPT: usize = 4;

/// A picture's bytes and name.
pub struct Source {
    /// File name without its folder.
    pub name: String,
    /// The whole file.
    pub bytes: Vec<u8>,
    /// How it is decoded.
    pub(crate) decoding: Decoding,
}

impl Source {
    /// A picture to be decoded in this process.
    pub fn new(name: impl Into<String>, bytes: Vec<u8>) -> Self {
        Self {
            name: name.into(),
            bytes,
            decoding: Decoding::default(),
        }
    }

    /// The same, decoded in another way.
    #[must_use]
    pub fn decoded_by(self, decoding: Decoding) -> Self {
        Self { decoding, ..self }
    }
}

/// All that decides a chart beside the picture and the palette; colours are indices into the
/// palette.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// The band's shape.
    pub lattice: Lattice,
    /// How the picture is placed.
    pub arrangement: Arrangement,
    /// The colour where there is no picture; none lets the program choose.
    pub ground: Option<usize>,
    /// How far the picture's edges and thin lines are favoured over its averages, 0 to 1.
    pub crisp: f64,
    /// How far the picture is merged into plain areas, 0 to 1.
    pub simplify: f64,
    /// Whether the beads have the drawing's own flat colours, unmixed.
    pub flat: bool,
    /// Symmetries of the chart.
    pub mirror: Mirror,
    /// How colours are chosen.
    pub choice: quantize::Settings,
    /// The layers that it is made of; none for a single picture.
    pub design: Option<Design>,
    /// What the designer calls it.
    pub title: Option<String>,
    /// Whether the palette's grams bound the beads of each colour, and for what.
    pub stock: Option<FromStock>,
    /// How the band's length came about, for the record: names and values, such as the ring size
    /// and the bead-to-bead spacing.
    pub length: Vec<(String, String)>,
}

impl Options {
    /// The axes of symmetry: end to end about the motif's own middle, once its position is known.
    fn axes(&self) -> Vec<Axis> {
        let up = match self.arrangement.position {
            Position::At(placement) => placement.along,
            Position::Best | Position::Middle => Mm::new(0.0),
        };
        self.mirror.axes(&self.lattice, up)
    }
}

/// What the beads in stock have to be enough for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FromStock {
    /// Equal bands, 1 or more.
    pub bands: u32,
    /// Beads to be left over, in percent.
    pub spare: f64,
}

/// A chart with what was decided for it and its figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The chart.
    pub chart: Chart,
    /// Degrees clockwise that the picture was rotated.
    pub rotated: u32,
    /// Share of the picture that falls on the band, 0 to 1.
    pub kept: f64,
    /// A motif's position, where it was chosen or given.
    pub position: Option<MotifPosition>,
    /// The ground's index in the palette, where the band shows any.
    pub ground: Option<usize>,
    /// Mean CIEDE2000 between the picture on each bead, as it is, and the bead's colour.
    pub difference: f64,
    /// How the motif of a band of up to 10,000 beads stands out from its ground, in the hand, worn
    /// and across a table.
    pub motif: Option<MotifContrast>,
    /// The figures before and after, where the whole band was optimised.
    pub refined: Option<[Measure; 2]>,
    /// How large the shapes of the picture are, where that was looked at.
    pub shapes: Option<Shapes>,
}

/// A motif's position, and how large it is on the band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotifPosition {
    /// Relative to the largest that fits, in the middle.
    pub placement: Placement,
    /// Across the band.
    pub width: Mm,
    /// Along it.
    pub height: Mm,
}

impl MotifPosition {
    fn of(arrangement: &Arrangement, plan: &Plan) -> Option<Self> {
        let area = &plan.area;
        match arrangement.position {
            Position::At(placement) if arrangement.place == Place::Motif => Some(Self {
                placement,
                width: area.right - area.left,
                height: area.top - area.bottom,
            }),
            _ => None,
        }
    }
}

/// A chart that is made again.
#[derive(Debug, Clone, PartialEq)]
pub struct Previous<'a> {
    /// The chart as it is; all its colours must be in the palette, by code.
    pub chart: &'a Chart,
    /// Beads that keep their colour, in lattice order.
    pub pinned: Vec<usize>,
}

/// A decoded picture, which may serve for many charts.
pub struct Decoded {
    /// File name without its folder.
    pub name: String,
    /// SHA-256 of the file, in hex.
    pub sha256: String,
    /// The picture; a drawing is rendered for bands of one shape.
    pub picture: Picture,
    /// Whether it is a drawing, rendered as finely as bands of one shape need.
    pub rendered: bool,
    artwork: Mutex<Vec<(Option<Crop>, Arc<Artwork>)>>,
}

impl Decoded {
    /// What the picture is, or the part of it in `crop`.
    ///
    /// # Errors
    /// If its colour profile fails.
    pub fn artwork(&self, crop: Option<Crop>) -> Result<Arc<Artwork>> {
        let known = |all: &Vec<(Option<Crop>, Arc<Artwork>)>| {
            let found = all.iter().find(|(part, _)| *part == crop);
            found.map(|(_, artwork)| Arc::clone(artwork))
        };
        let all = || self.artwork.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(artwork) = known(&all()) {
            return Ok(artwork);
        }
        let artwork = Arc::new(artwork::read(&self.picture, crop)?);
        let mut all = all();
        all.insert(0, (crop, Arc::clone(&artwork)));
        all.truncate(PARTS_KEPT);
        Ok(artwork)
    }
}

/// Decodes a picture's bytes for a band of that shape.
///
/// # Errors
/// As [`decode()`].
pub fn decoded(
    name: String,
    bytes: Arc<Vec<u8>>,
    lattice: &Lattice,
    decoding: &Decoding,
) -> Result<Decoded> {
    let hashed = Arc::clone(&bytes);
    let rendered = is_svg(&bytes);
    let (sha256, picture) = rayon::join(|| digest(&hashed), || decode(bytes, lattice, decoding));
    Ok(Decoded {
        name,
        sha256,
        picture: picture?,
        rendered,
        artwork: Mutex::default(),
    })
}

fn digest(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}
