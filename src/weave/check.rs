//! Problems of a chart, found before it is woven.

mod joins;
mod look;
mod repeat;
mod stray;

pub use joins::is_one_piece;
pub use look::{FEW, NARROW, SEAM};
pub use stray::MANY_STRAY;

use super::frame::Frame;
use super::holes::{FINE_HOLE, NEEDLES, Needle, holes, most_passes};
use super::kit::{self, Missing, in_stock};
use super::passes::{Weave, weave};
use super::thread::{COMFORTABLE, Thread};
use crate::chart::Chart;
use crate::colour::Sight;
use crate::error::Result;
use crate::lattice::Row;
use crate::palette::{Pair, Palette};
use crate::request::WorkFrom;
use crate::units::Mm;

/// The finest needle that is usual, as a place in [`NEEDLES`]: 12 for 11/0 and larger holes, by
/// retailers and a craft reference.
const FINEST: usize = 2;
/// Below [`FINE_HOLE`] it is 15: as above.
const FINEST_OF_FINE: usize = 4;
/// What is checked against.
#[derive(Debug, Clone, Copy)]
pub struct Options<'a> {
    /// The thread.
    pub thread: Thread,
    /// The longest thread that is comfortable.
    pub length: Mm,
    /// What the owner has, if that is to be checked.
    pub palette: Option<&'a Palette>,
    /// How many bands, at least 1.
    pub make: u32,
}

impl Default for Options<'_> {
    fn default() -> Self {
        Self {
            thread: Thread::default(),
            length: COMFORTABLE,
            palette: None,
            make: 1,
        }
    }
}

/// One thing that was found. Colours are places among the chart's colours, beads are in lattice
/// order.
#[derive(Debug, Clone, PartialEq)]
pub enum Finding {
    /// The motif does not run on over the seam.
    Seam {
        /// Mean difference between beads that touch across the seam, CIEDE2000.
        step: f64,
        /// Nineteen of twenty rows inside differ from the next by at most this.
        limit: f64,
    },
    /// The pattern repeats along the band, and the rows are not a whole number of repeats.
    Repeat {
        /// Rows of a repeat.
        period: u32,
        /// Row counts that are a whole number of repeats, nearest first.
        fitting: Vec<u32>,
    },
    /// Two colours in use look almost the same.
    Alike(Pair),
    /// Colours in use look almost the same when worn: as single beads, or to one kind of sight.
    AlikeWorn {
        /// The kind of sight.
        sight: Sight,
        /// The pairs, the closest first; for other than full sight those that full sight tells
        /// apart.
        pairs: Vec<Pair>,
    },
    /// A colour has very few beads.
    Few {
        /// The colour.
        colour: usize,
        /// All its beads.
        beads: Vec<usize>,
    },
    /// Beads that no bead of their own colour touches, or stands next to in their row, and that
    /// are no part of a repetition.
    Stray {
        /// All of them.
        beads: Vec<usize>,
        /// Whether there are so many that the chart looks speckled, as after dithering.
        many: bool,
        /// Whether most of them have a colour between those of two neighbours, as a blended edge
        /// has.
        blended: bool,
    },
    /// Rows with many more changes of colour than most.
    Busy {
        /// Each with its changes, the busiest first.
        rows: Vec<(Row, usize)>,
        /// The median row's changes.
        median: usize,
        /// Most changes that are no finding.
        limit: usize,
    },
    /// The owner has too few beads of a colour.
    Short {
        /// The colour.
        colour: usize,
        /// Beads needed for all bands.
        needed: u64,
        /// Beads to buy.
        short: u64,
    },
    /// The owner's palette does not have a colour.
    NotInPalette(Missing),
    /// The thread is longer than is comfortable.
    Long {
        /// In one piece, without the tail that hangs.
        length: Mm,
        /// What is comfortable.
        limit: Mm,
        /// Rows after whose last bead a new thread is begun, in the order of work; none if one
        /// piece still does, or if a row alone takes more.
        joins: Vec<Row>,
        /// The longest of the pieces, to be cut with its tail.
        piece: Mm,
    },
    /// A hole gets so full that no usual needle goes through.
    Full {
        /// The beads, the fullest first, in lattice order where as full.
        beads: Vec<usize>,
        /// Passes through the fullest.
        passes: u16,
        /// Passes that the needle goes through.
        limit: u16,
        /// The finest usual needle.
        needle: &'static Needle,
    },
}

/// All that there is to find, in the order of [`Finding`].
///
/// # Errors
/// If the band cannot be woven.
pub fn check(chart: &Chart, options: &Options) -> Result<Vec<Finding>> {
    let lattice = &chart.lattice;
    let work = weave(lattice, Frame::usual(lattice, WorkFrom::default())?);
    let mut findings = Vec::new();
    // Where the rows are not a whole number of repeats, that is why the seam breaks the motif.
    findings.extend(repeat::repeat(chart).or_else(|| look::seam(chart)));
    findings.extend(look::alike_in_use(chart));
    findings.extend(look::alike_when_worn(chart));
    findings.extend(look::few(chart));
    findings.extend(stray::stray(chart));
    findings.extend(look::busy(chart));
    if let Some(palette) = options.palette {
        findings.extend(stock(chart, palette, options.make)?);
    }
    let long = joins::long(chart, &work, options.thread, options.length);
    let joins = joins::places(&work, long.as_ref());
    findings.extend(long);
    findings.extend(full(chart, &work, options.thread, &joins));
    Ok(findings)
}

/// The colours that are short, without spare beads.
fn stock(chart: &Chart, palette: &Palette, make: u32) -> Result<Vec<Finding>> {
    let found = match in_stock(chart, palette) {
        Ok(found) => found,
        Err(missing) => return Ok(missing.into_iter().map(Finding::NotInPalette).collect()),
    };
    let options = kit::Options {
        make,
        spare: 0.0,
        ..kit::Options::default()
    };
    let portions = kit::kit(chart, Some(&found), options)?.portions;
    let short = portions.into_iter().filter_map(|portion| {
        let short = portion.stock?.short;
        (short > 0).then_some(Finding::Short {
            colour: portion.colour,
            needed: portion.beads,
            short,
        })
    });
    Ok(short.collect())
}

fn full(chart: &Chart, work: &Weave, thread: Thread, joins: &[usize]) -> Option<Finding> {
    let bead = chart.lattice.bead();
    let needle = if bead.hole < FINE_HOLE {
        &NEEDLES[FINEST_OF_FINE]
    } else {
        &NEEDLES[FINEST]
    };
    let limit = most_passes(needle, bead, thread);
    let passes = holes(&chart.lattice, work, joins);
    let mut beads: Vec<usize> = (0..passes.len())
        .filter(|&bead| passes[bead] > limit)
        .collect();
    beads.sort_by_key(|&bead| (std::cmp::Reverse(passes[bead]), bead));
    let most = passes[*beads.first()?];
    Some(Finding::Full {
        beads,
        passes: most,
        limit,
        needle,
    })
}
