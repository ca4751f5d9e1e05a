//! What to gather for one band or many: beads and grams of each colour, what is short, thread and
//! needle.

mod order;
mod stock;

pub use order::{Gathered, gathered};
pub use stock::{InStock, Missing, Stock, in_stock};

use super::frame::Frame;
use super::holes::{Needle, filled, holes, needle_for};
use super::passes::weave;
use super::thread::{Lengths, TAIL, Thread, lengths};
use crate::chart::Chart;
use crate::error::Result;
use crate::palette::{PerGram, with_spare};
use crate::request::{OddTurn, WorkFrom};
use crate::units::{Grams, Mm};

/// Beads more than counted, in percent: uneven beads are culled, some break, some roll away. Common
/// practice, no source.
pub const SPARE: f64 = 10.0;
/// Most spare beads, in percent. Ours.
pub const MOST_SPARE: f64 = 1000.0;
/// Most bands of one kit. Ours.
pub const MOST_BANDS: u32 = 100_000;
/// A colour of the chart that is further from the palette's of the same code may be another bead,
/// CIEDE2000. Ours.
pub const OTHER_BEAD: f64 = 5.0;

/// What the kit is for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// How many bands, 1 to [`MOST_BANDS`].
    pub make: u32,
    /// Beads more than counted, in percent, 0 to [`MOST_SPARE`].
    pub spare: f64,
    /// The thread.
    pub thread: Thread,
    /// Tail left at the stopper bead.
    pub tail: Mm,
    /// How an odd count turns.
    pub odd_turn: OddTurn,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            make: 1,
            spare: SPARE,
            thread: Thread::default(),
            tail: TAIL,
            odd_turn: OddTurn::default(),
        }
    }
}

/// The beads of one colour.
#[derive(Debug, Clone, PartialEq)]
pub struct Portion {
    /// Its place among the chart's colours.
    pub colour: usize,
    /// In one band.
    pub each: u64,
    /// In all bands.
    pub beads: u64,
    /// In all bands, and the spare ones, rounded up.
    pub with_spare: u64,
    /// Beads in a gram.
    pub per_gram: PerGram,
    /// What `with_spare` weighs.
    pub grams: Grams,
    /// What the owner has of it, if that is known.
    pub stock: Option<Stock>,
}

impl Portion {
    /// Price of what is needed, in the owner's money, where they state one.
    pub fn cost(&self) -> Option<f64> {
        Some(self.stock.as_ref()?.price? * self.grams.get())
    }

    /// Price of what is short.
    pub fn cost_short(&self) -> Option<f64> {
        let stock = self.stock.as_ref()?;
        Some(stock.price? * stock.short_grams.get())
    }

    /// Price of the packs that hold what is short.
    pub fn cost_packs(&self) -> Option<f64> {
        let stock = self.stock.as_ref()?;
        Some(stock.price? * stock.per_pack?.get() * stock.packs()? as f64)
    }
}

/// All that is needed.
#[derive(Debug, Clone, PartialEq)]
pub struct Kit {
    /// What it was made for.
    pub options: Options,
    /// The colours in use, in the chart's order.
    pub portions: Vec<Portion>,
    /// For how many of the bands the owner's beads are enough, spare ones included; none if they
    /// are not known.
    pub enough_for: Option<u32>,
    /// The thread of one band.
    pub lengths: Lengths,
    /// Passes through the fullest hole.
    pub most_passes: u16,
    /// Share of its cross-section that they fill.
    pub filled: f64,
    /// The thickest usual needle that still goes through it.
    pub needle: Option<&'static Needle>,
}

/// What is needed for `chart`, and what of it is short where it is known what is `in_stock`.
///
/// # Errors
/// If the band cannot be woven.
pub fn kit(chart: &Chart, in_stock: Option<&InStock>, options: Options) -> Result<Kit> {
    let counts = chart.counts();
    let portions: Vec<Portion> = (0..counts.len())
        .filter(|&colour| counts[colour] > 0)
        .map(|colour| portion(chart, colour, counts[colour] as u64, in_stock, options))
        .collect();
    let lattice = &chart.lattice;
    let frame = Frame::usual(lattice, WorkFrom::default())?.with_turn(options.odd_turn);
    let work = weave(lattice, frame);
    let lengths = lengths(lattice, &work, options.thread, options.tail);
    let most_passes = holes(lattice, &work, lengths.joined_after());
    let most_passes = most_passes.into_iter().max().unwrap_or(0);
    let (bead, thread) = (lattice.bead(), options.thread);
    Ok(Kit {
        options,
        enough_for: in_stock.map(|_| enough_for(&portions, options)),
        portions,
        lengths,
        most_passes,
        filled: filled(bead, thread, most_passes),
        needle: needle_for(bead, thread, most_passes),
    })
}

fn portion(
    chart: &Chart,
    colour: usize,
    each: u64,
    in_stock: Option<&InStock>,
    options: Options,
) -> Portion {
    let per_gram = in_stock
        .and_then(|stock| stock.per_gram(colour))
        .unwrap_or_else(|| PerGram::of(chart.lattice.bead()));
    let beads = each * u64::from(options.make);
    let with_spare = with_spare(beads, options.spare);
    Portion {
        colour,
        each,
        beads,
        with_spare,
        per_gram,
        grams: per_gram.grams(with_spare),
        stock: in_stock.and_then(|stock| stock.stock(colour, with_spare, per_gram)),
    }
}

/// The most bands, up to those wanted, for which nothing is short.
fn enough_for(portions: &[Portion], options: Options) -> u32 {
    let enough = |bands: u32| {
        portions.iter().all(|portion| {
            let Some(Stock {
                grams: Some(grams), ..
            }) = portion.stock
            else {
                return true;
            };
            let needed = with_spare(portion.each * u64::from(bands), options.spare);
            needed <= portion.per_gram.beads_in(grams)
        })
    };
    // `enough(some)` holds, `enough(many + 1)` does not, and more bands need more beads.
    let (mut some, mut many) = (0, options.make);
    while some < many {
        let middle = some + (many - some).div_ceil(2);
        if enough(middle) {
            some = middle;
        } else {
            many = middle - 1;
        }
    }
    some
}
