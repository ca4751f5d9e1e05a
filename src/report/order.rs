//! What to gather for several charts at once: one shopping list over a class or an order.

use super::WarningReport;
use super::kit::{
    InStock, KitBeadReport, KitColourReport, KitReport, TotalReport, currency, forget_stock, gather,
};
use crate::chart::Chart;
use crate::error::{Error, Result};
use crate::request::{Bands, KitRequest, Makes, Reader};
use crate::units::{LengthUnits, Mm};
use crate::weave::kit::{Kit, gathered};
use schemars::JsonSchema;
use serde::Serialize;
use std::path::Path;

/// What to gather for several charts: the beads of all of them, and a kit for each. Grams and
/// lengths to 1/1000, money to 1/100, `null` where nothing is known.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct OrderReport {
    /// Bands of all designs.
    pub bands: u64,
    /// Spare beads of each colour, in percent of those counted.
    pub spare_percent: f64,
    /// The bead, which all charts share.
    pub bead: KitBeadReport,
    /// The shopping list: the colours of all charts, matched by code, in the order in which they
    /// first come. `beads_each` is for one band of each design.
    pub colours: Vec<KitColourReport>,
    /// Sums; money over the colours that have a price.
    pub total: TotalReport,
    /// Whether the beads in stock are enough for all bands, spare ones included.
    pub enough: Option<bool>,
    /// The thread of all bands.
    pub thread_mm: Mm,
    /// What prices are in.
    pub currency: Option<String>,
    /// Minutes of weaving for all bands, where a pace is given.
    pub minutes: Option<u64>,
    /// The price of all bands, where it is asked for.
    pub price: Option<f64>,
    /// What to know before the beads are bought.
    pub warnings: Vec<WarningReport>,
    /// The designs, in the order of their charts.
    pub designs: Vec<OrderDesign>,
    /// For each colour of the list, the first chart that has it, by its place.
    #[serde(skip)]
    pub first: Vec<usize>,
    /// What lengths are written in.
    #[serde(skip)]
    pub units: LengthUnits,
}

/// A design of an order.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct OrderDesign {
    /// Its chart's file.
    pub file: String,
    /// What it is called: its title, or its file's name.
    pub title: String,
    /// Its own kit; what is in stock and short is told as if nothing else were made.
    pub kit: KitReport,
}

impl OrderReport {
    /// What to gather for charts, each with its file and its title. A buyer's has
    /// nothing about what the maker has, pays or has to buy.
    ///
    /// # Errors
    /// If there is no chart, the charts are of different beads, or as [`KitReport::new`].
    pub fn new(
        request: &KitRequest,
        charts: &[Chart],
        files: &[&Path],
        stock: Option<InStock>,
        reader: Reader,
    ) -> Result<Self> {
        let bead = one_bead(charts, files)?;
        let make = match &request.amounts.make {
            Some(make) => make.of(charts.len())?,
            None => vec![Bands(1); charts.len()],
        };
        let palette = stock.map(|stock| stock.palette);
        let palette = palette.filter(|_| reader == Reader::Maker);
        let (mut kits, mut designs) = (Vec::<Kit>::new(), Vec::new());
        for ((chart, file), bands) in charts.iter().zip(files).zip(make) {
            let mut request = request.clone();
            request.amounts.make = Some(Makes::from(bands));
            let mut kit =
                gather(&request, chart, stock).map_err(|error| error.file_unless_option(file))?;
            if reader == Reader::Buyer {
                forget_stock(&mut kit);
            }
            designs.push(OrderDesign {
                file: file.display().to_string(),
                title: chart.title.clone().unwrap_or_else(|| file_title(file)),
                kit: KitReport::of(&request, chart, &kit, palette)?,
            });
            kits.push(kit);
        }
        let (first, colours): (Vec<usize>, Vec<KitColourReport>) = gathered(charts, &kits)
            .iter()
            .map(|one| {
                let colour = KitColourReport::of(&charts[one.chart], &one.portion);
                (one.chart, colour)
            })
            .unzip();
        let total = TotalReport::of(&colours);
        let thread = designs.iter().map(|design| design.kit.thread.all_mm);
        let minutes = designs.iter().map(|design| design.kit.time);
        let price = designs.iter().map(|design| Some(design.kit.price?.all));
        Ok(Self {
            bands: designs.iter().map(|one| u64::from(one.kit.make)).sum(),
            spare_percent: designs[0].kit.spare_percent,
            bead: bead.clone(),
            enough: total.short_beads.map(|beads| beads == 0),
            total,
            colours,
            thread_mm: thread.fold(Mm::new(0.0), |sum, one| sum + one),
            currency: currency(request, palette),
            minutes: minutes.map(|time| Some(time?.minutes)).sum(),
            price: price.sum(),
            warnings: warnings(&designs),
            designs,
            first,
            units: request.units.units(),
        })
    }

    /// Several bands of a design, or several designs.
    pub fn is_several(&self) -> bool {
        self.bands > 1
    }
}

/// The bead of all charts.
///
/// # Errors
/// If there is none, or a chart is of another bead.
fn one_bead(charts: &[Chart], files: &[&Path]) -> Result<KitBeadReport> {
    let first = charts.first().ok_or_else(|| {
        Error::usage("there is no chart to gather beads for").hint("name a chart")
    })?;
    let bead = first.lattice.bead();
    let other = charts.iter().zip(files);
    for (chart, file) in other {
        if chart.lattice.bead() != bead {
            return Err(Error::new(format!(
                "beads of {} here, of {} in the first chart",
                chart.lattice.bead().name(),
                bead.name()
            ))
            .file(file)
            .hint("gather charts of one bead size at a time"));
        }
    }
    Ok(KitBeadReport::of(bead))
}

/// What the kits say, each sentence once.
fn warnings(designs: &[OrderDesign]) -> Vec<WarningReport> {
    let mut all: Vec<WarningReport> = Vec::new();
    for warning in designs.iter().flat_map(|design| &design.kit.warnings) {
        if !all.iter().any(|known| known.text() == warning.text()) {
            all.push(warning.clone());
        }
    }
    all
}

/// A file's name as a title: `harbour-dusk.json` is Harbour dusk.
pub fn file_title(file: &Path) -> String {
    let name = file.file_stem().and_then(|name| name.to_str());
    let name = name.filter(|name| *name != "-").unwrap_or("Peyote band");
    let words: String = name.replace(['-', '_'], " ");
    let mut letters = words.trim().chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}
