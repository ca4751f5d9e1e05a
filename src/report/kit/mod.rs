//! What to gather for one band or many, for text, CSV, JSON, the desk and the booklet alike.

mod price;
mod stock;
mod warnings;

pub use price::{PriceReport, TimeReport};
pub use stock::{InStock, not_in_palette};

use super::WarningReport;
use super::rounding::{hundredths_of_known, thousandths, thousandths_of_known};
use crate::bead::Bead;
use crate::chart::Chart;
use crate::colour::hex;
use crate::error::{Error, Result};
use crate::palette::{Palette, Source};
use crate::request::{KitRequest, OddTurn, Thickness};
use crate::units::{LengthUnits, Mm};
use crate::weave::kit::{Kit, Options, Portion, Stock, in_stock, kit};
use crate::weave::{Item, Thread};
use schemars::JsonSchema;
use serde::Serialize;
use warnings::warnings;

/// What to gather: grams and lengths to 1/1000, money to 1/100, `null` where nothing is known.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct KitReport {
    /// How many bands.
    pub make: u32,
    /// Spare beads of each colour, in percent of those counted.
    pub spare_percent: f64,
    /// Whether the band is a ring.
    pub closed: bool,
    /// The bead.
    pub bead: KitBeadReport,
    /// The colours in use, in the chart's order.
    pub colours: Vec<KitColourReport>,
    /// Sums; money over the colours that have a price.
    pub total: TotalReport,
    /// For how many of the bands the beads in stock are enough, spare ones included.
    pub enough_for: Option<u32>,
    /// The thread.
    pub thread: KitThreadReport,
    /// The thickest usual needle that goes through the fullest hole.
    pub needle: Option<NeedleReport>,
    /// The fullest hole.
    pub holes: KitHolesReport,
    /// What prices are in.
    pub currency: Option<String>,
    /// How long the weaving takes, where a pace is given.
    pub time: Option<TimeReport>,
    /// What one band costs, where it is asked for.
    pub price: Option<PriceReport>,
    /// What to know before the kit is packed.
    pub warnings: Vec<WarningReport>,
    /// What the design is called.
    #[serde(skip)]
    pub title: Option<String>,
    /// Columns of the band.
    #[serde(skip)]
    pub columns: u32,
    /// Rows of the band.
    #[serde(skip)]
    pub rows: u32,
    /// What lengths are written in.
    #[serde(skip)]
    pub units: LengthUnits,
}

/// A bead's name and measures.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct KitBeadReport {
    /// Such as `11/0`, or its measures.
    pub name: String,
    /// Along the hole.
    pub length_mm: Mm,
    /// Across the hole.
    pub diameter_mm: Mm,
    /// Bore of the hole.
    pub hole_mm: Mm,
}

/// The beads of one colour.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct KitColourReport {
    /// Its code.
    pub code: String,
    /// Its name.
    pub name: String,
    /// How it looks, six hex digits.
    pub hex: String,
    /// Beads in one band.
    pub beads_each: u64,
    /// Beads in all bands.
    pub beads: u64,
    /// Beads to lay in: all bands, with the spare ones.
    pub beads_with_spare: u64,
    /// Beads in a gram.
    #[serde(serialize_with = "thousandths")]
    pub per_gram: f64,
    /// Where that number is from.
    pub per_gram_source: PerGramSource,
    /// What the beads to lay in weigh.
    #[serde(serialize_with = "thousandths")]
    pub grams: f64,
    /// Grams in stock; with a palette `null` means enough.
    pub in_stock_grams: Option<f64>,
    /// Beads that have to be bought.
    pub short_beads: Option<u64>,
    /// What those weigh.
    #[serde(serialize_with = "thousandths_of_known")]
    pub short_grams: Option<f64>,
    /// Price of a gram.
    pub price_per_gram: Option<f64>,
    /// Price of the beads to lay in.
    #[serde(serialize_with = "hundredths_of_known")]
    pub cost: Option<f64>,
    /// Price of the beads that have to be bought.
    #[serde(serialize_with = "hundredths_of_known")]
    pub cost_short: Option<f64>,
    /// Grams in a pack as it is sold.
    pub pack_grams: Option<f64>,
    /// Whole packs that have to be bought.
    pub packs: Option<u64>,
    /// Price of those packs.
    #[serde(serialize_with = "hundredths_of_known")]
    pub cost_packs: Option<f64>,
    /// How far the chart's colour is from the palette's, CIEDE2000.
    #[serde(serialize_with = "thousandths_of_known")]
    pub difference: Option<f64>,
    /// Its place among the chart's colours.
    #[serde(skip)]
    pub colour: usize,
}

/// Where the number of beads in a gram is from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PerGramSource {
    /// The palette.
    Palette,
    /// The table of sizes, from published measures.
    Table,
    /// The table of sizes, from measures that are common practice, without a published source.
    CommonPractice,
    /// Computed from the bead's own measures.
    Glass,
}

/// Sums over the colours.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct TotalReport {
    /// Beads in one band.
    pub beads_each: u64,
    /// Beads in all bands.
    pub beads: u64,
    /// Beads to lay in.
    pub beads_with_spare: u64,
    /// What those weigh.
    #[serde(serialize_with = "thousandths")]
    pub grams: f64,
    /// Beads that have to be bought.
    pub short_beads: Option<u64>,
    /// What those weigh.
    #[serde(serialize_with = "thousandths_of_known")]
    pub short_grams: Option<f64>,
    /// Price of the beads to lay in.
    #[serde(serialize_with = "hundredths_of_known")]
    pub cost: Option<f64>,
    /// Price of the beads that have to be bought.
    #[serde(serialize_with = "hundredths_of_known")]
    pub cost_short: Option<f64>,
    /// Whole packs that have to be bought.
    pub packs: Option<u64>,
    /// Price of those packs.
    #[serde(serialize_with = "hundredths_of_known")]
    pub cost_packs: Option<f64>,
}

/// The thread.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct KitThreadReport {
    /// How thick it is.
    pub diameter_mm: Mm,
    /// For one band.
    pub each_mm: Mm,
    /// For all bands.
    pub all_mm: Mm,
    /// What one band's thread is for.
    pub items: Vec<ItemReport>,
    /// Joins in a band where one thread would be too long to sew with.
    pub joins_each: u32,
    /// Thread that they take, as one of the items.
    pub joins_extra_mm: Mm,
}

/// A part of the thread.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ItemReport {
    /// What it is for.
    pub item: ThreadItem,
    /// How long it is.
    pub length_mm: Mm,
}

/// What a part of the thread is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ThreadItem {
    /// Through the beads, with the turns at the edges.
    Path,
    /// Closing the band.
    Seam,
    /// Weaving in the working end.
    ThreadEnd,
    /// The tail at the stopper bead.
    Tail,
    /// Tails, allowances and woven-in ends of pieces that are joined within the work.
    Joins,
    /// Working allowance: to hold and to pull.
    Handling,
}

/// A needle.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct NeedleReport {
    /// As it is sold: a higher number is a thinner needle.
    pub size: &'static str,
    /// Across the shaft.
    pub diameter_mm: Mm,
}

/// The fullest hole.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct KitHolesReport {
    /// Passes of thread through it.
    pub most_passes: u16,
    /// Share of its cross-section that they fill, 0 to 1.
    #[serde(serialize_with = "thousandths")]
    pub filled: f64,
}

impl KitReport {
    /// What to gather for `chart`, and what of it has to be bought where it is known what is in
    /// stock.
    ///
    /// # Errors
    /// If the thread does not go through the beads, the palette does not have all colours, the
    /// band cannot be woven, or a price cannot be told.
    pub fn new(request: &KitRequest, chart: &Chart, stock: Option<InStock>) -> Result<Self> {
        let kit = gather(request, chart, stock)?;
        Self::of(request, chart, &kit, stock.map(|stock| stock.palette))
    }

    /// The same for another weaver: nothing of what the maker has, pays or has to buy.
    ///
    /// # Errors
    /// As [`KitReport::new`].
    pub fn for_buyer(request: &KitRequest, chart: &Chart, stock: Option<InStock>) -> Result<Self> {
        let mut kit = gather(request, chart, stock)?;
        forget_stock(&mut kit);
        Self::of(request, chart, &kit, None)
    }

    pub(in crate::report) fn of(
        request: &KitRequest,
        chart: &Chart,
        kit: &Kit,
        palette: Option<&Palette>,
    ) -> Result<Self> {
        request.price.check(palette)?;
        let colours: Vec<KitColourReport> = kit
            .portions
            .iter()
            .map(|portion| KitColourReport::of(chart, portion))
            .collect();
        let total = TotalReport::of(&colours);
        let make = kit.options.make;
        let time = TimeReport::of(&request.price, total.beads_each, make);
        Ok(Self {
            make,
            spare_percent: kit.options.spare,
            closed: chart.lattice.is_closed(),
            bead: KitBeadReport::of(chart.lattice.bead()),
            currency: currency(request, palette),
            price: PriceReport::of(&request.price, total.cost, make, time.as_ref()),
            time,
            total,
            colours,
            enough_for: kit.enough_for,
            thread: KitThreadReport::of(kit),
            needle: kit.needle.map(|needle| NeedleReport {
                size: needle.name,
                diameter_mm: needle.diameter,
            }),
            holes: KitHolesReport {
                most_passes: kit.most_passes,
                filled: kit.filled,
            },
            warnings: WarningReport::all(&warnings(chart, kit, palette)),
            title: chart.title.clone(),
            columns: chart.lattice.columns(),
            rows: chart.lattice.rows(),
            units: request.units.units(),
        })
    }
}

/// Takes out what the maker has, pays and has to buy.
pub(in crate::report) fn forget_stock(kit: &mut Kit) {
    kit.enough_for = None;
    for portion in &mut kit.portions {
        portion.stock = None;
    }
}

/// The currency that is given, or the palette's.
pub(in crate::report) fn currency(
    request: &KitRequest,
    palette: Option<&Palette>,
) -> Option<String> {
    let given = request.price.currency.as_ref();
    let currency = given.or(palette.and_then(|palette| palette.currency.as_ref()));
    currency.map(ToString::to_string)
}

/// What `chart` takes.
///
/// # Errors
/// As [`KitReport::new`].
pub(in crate::report) fn gather(
    request: &KitRequest,
    chart: &Chart,
    stock: Option<InStock>,
) -> Result<Kit> {
    check_thread(chart, request.thread.thread)?;
    check_odd_turn(chart, request.thread.odd_turn)?;
    let found =
        match stock {
            None => None,
            Some(stock) => Some(in_stock(chart, stock.palette).map_err(|missing| {
                not_in_palette(chart, stock.palette, &missing).file(stock.file)
            })?),
        };
    kit(chart, found.as_ref(), options(request)?)
}

fn options(request: &KitRequest) -> Result<Options> {
    let usual = Options::default();
    let make = request.amounts.make.as_ref();
    let make = make.map(|make| make.of(1)).transpose()?;
    Ok(Options {
        make: make.map_or(usual.make, |bands| bands[0].0),
        spare: request
            .amounts
            .spare
            .map_or(usual.spare, |percent| percent.0),
        thread: thread(request.thread.thread),
        tail: request.thread.tail.map_or(usual.tail, |tail| tail.0),
        odd_turn: request.thread.odd_turn.unwrap_or_default(),
    })
}

/// A turn can be chosen only where an odd count asks for one.
///
/// # Errors
/// If the count is even.
pub(super) fn check_odd_turn(chart: &Chart, odd_turn: Option<OddTurn>) -> Result<()> {
    if odd_turn.is_none() || chart.lattice.columns() % 2 == 1 {
        return Ok(());
    }
    Err(Error::usage(format!(
        "{} columns are an even count: every row ends with the ordinary turn",
        chart.lattice.columns()
    ))
    .option("odd-turn")
    .hint("leave [--odd-turn] out"))
}

/// The thread that is asked for, or the usual one.
pub(super) fn thread(thickness: Option<Thickness>) -> Thread {
    thickness.map_or(Thread::default(), |thickness| Thread {
        diameter: thickness.0,
    })
}

/// A thread has to go through the chart's beads.
///
/// # Errors
/// If it does not.
pub(super) fn check_thread(chart: &Chart, thickness: Option<Thickness>) -> Result<()> {
    let (thread, hole) = (thread(thickness), chart.lattice.bead().hole);
    if thread.diameter < hole {
        return Ok(());
    }
    Err(Error::usage(format!(
        "a thread of {} does not go through a hole of {hole}",
        thread.diameter
    ))
    .option("thread")
    .hint("give a thread that is thinner than the hole"))
}

impl KitBeadReport {
    /// Of a bead.
    pub fn of(bead: Bead) -> Self {
        Self {
            name: bead.name(),
            length_mm: bead.length,
            diameter_mm: bead.diameter,
            hole_mm: bead.hole,
        }
    }
}

impl KitColourReport {
    pub(in crate::report) fn of(chart: &Chart, portion: &Portion) -> Self {
        let shade = &chart.colours[portion.colour];
        let stock = portion.stock.as_ref();
        Self {
            code: shade.code.clone(),
            name: shade.name.clone(),
            hex: hex(shade.srgb),
            beads_each: portion.each,
            beads: portion.beads,
            beads_with_spare: portion.with_spare,
            per_gram: portion.per_gram.beads,
            per_gram_source: match portion.per_gram.source {
                Source::Palette => PerGramSource::Palette,
                Source::Table => PerGramSource::Table,
                Source::CommonPractice => PerGramSource::CommonPractice,
                Source::Glass => PerGramSource::Glass,
            },
            grams: portion.grams.get(),
            in_stock_grams: stock.and_then(|stock| Some(stock.grams?.get())),
            short_beads: stock.map(|stock| stock.short),
            short_grams: stock.map(|stock| stock.short_grams.get()),
            price_per_gram: stock.and_then(|stock| stock.price),
            cost: portion.cost(),
            cost_short: portion.cost_short(),
            pack_grams: stock.and_then(|stock| Some(stock.per_pack?.get())),
            packs: stock.and_then(Stock::packs),
            cost_packs: portion.cost_packs(),
            difference: stock.map(|stock| stock.difference),
            colour: portion.colour,
        }
    }

    /// Whether it was held against a palette.
    pub fn is_in_palette(&self) -> bool {
        self.short_beads.is_some()
    }

    /// Beads that have to be bought, if any have.
    pub fn short(&self) -> Option<u64> {
        self.short_beads.filter(|&beads| beads > 0)
    }
}

impl TotalReport {
    pub(in crate::report) fn of(colours: &[KitColourReport]) -> Self {
        Self {
            beads_each: colours.iter().map(|colour| colour.beads_each).sum(),
            beads: colours.iter().map(|colour| colour.beads).sum(),
            beads_with_spare: colours.iter().map(|colour| colour.beads_with_spare).sum(),
            grams: colours.iter().map(|colour| colour.grams).sum(),
            short_beads: colours.iter().map(|colour| colour.short_beads).sum(),
            short_grams: sum_of_known(colours, |colour| colour.short_grams),
            cost: sum_of_known(colours, |colour| colour.cost),
            cost_short: sum_of_known(colours, |colour| colour.cost_short),
            packs: colours
                .iter()
                .filter_map(|colour| colour.packs)
                .reduce(|a, b| a + b),
            cost_packs: sum_of_known(colours, |colour| colour.cost_packs),
        }
    }
}

/// The sum of what is known; none if nothing is.
fn sum_of_known(
    colours: &[KitColourReport],
    value: impl Fn(&KitColourReport) -> Option<f64>,
) -> Option<f64> {
    let known: Vec<f64> = colours.iter().filter_map(value).collect();
    (!known.is_empty()).then(|| known.iter().sum())
}

impl KitThreadReport {
    fn of(kit: &Kit) -> Self {
        let each = kit.lengths.total();
        let joins = kit.lengths.joins.as_ref();
        let items = kit.lengths.items.iter().map(|&(item, length)| ItemReport {
            item: match item {
                Item::Path => ThreadItem::Path,
                Item::Seam => ThreadItem::Seam,
                Item::ThreadEnd => ThreadItem::ThreadEnd,
                Item::Tail => ThreadItem::Tail,
                Item::Joins => ThreadItem::Joins,
                Item::Handling => ThreadItem::Handling,
            },
            length_mm: length,
        });
        Self {
            diameter_mm: kit.options.thread.diameter,
            each_mm: each,
            all_mm: each * f64::from(kit.options.make),
            items: items.collect(),
            joins_each: joins.map_or(0, |joins| joins.count),
            joins_extra_mm: joins.map_or(Mm::new(0.0), |joins| joins.extra),
        }
    }
}
