//! The table of a kit's text.

use super::super::palette::{aligned, printable};
use crate::report::kit::{KitColourReport, KitReport};
use crate::units::{decimals, grouped};

/// A column of the table: its head, its cells, its sum; to the right or to the left.
pub(in crate::output) struct Column {
    pub(in crate::output) right: bool,
    pub(in crate::output) head: String,
    pub(in crate::output) cells: Vec<String>,
    pub(in crate::output) sum: String,
}

/// The lines of the table, heads first and sums last; columns that say nothing are left out.
pub(super) fn table(columns: Vec<Column>) -> Vec<String> {
    let one = columns
        .first()
        .is_some_and(|column| column.cells.len() == 1);
    let cells = |column: Column| {
        let mut cells = vec![column.head];
        cells.extend(column.cells);
        if !one {
            cells.push(column.sum);
        }
        (column.right, cells)
    };
    aligned(columns.into_iter().map(cells).collect())
}

/// The columns that say something, a cell for each colour of the kit.
pub(in crate::output) fn columns(report: &KitReport) -> Vec<Column> {
    let beads = Beads {
        colours: &report.colours,
        several: report.make > 1,
        spare: report.spare_percent > 0.0,
        currency: report.currency.as_deref(),
    };
    beads.columns()
}

/// What a table of beads is made of.
pub(in crate::output) struct Beads<'a> {
    pub(in crate::output) colours: &'a [KitColourReport],
    /// Whether there are several bands of the chart.
    pub(in crate::output) several: bool,
    /// Whether there are beads to spare.
    pub(in crate::output) spare: bool,
    /// What prices are in.
    pub(in crate::output) currency: Option<&'a str>,
}

impl Beads<'_> {
    /// The columns that say something, a cell for each colour.
    pub(in crate::output) fn columns(&self) -> Vec<Column> {
        let stocks = [self.costs(), self.stocks()].into_iter().flatten();
        saying(
            words(self.colours)
                .into_iter()
                .chain(self.counts())
                .chain(stocks),
        )
    }

    /// Those of what is laid in: counts, cost and stock.
    #[cfg(feature = "pdf")]
    pub(in crate::output) fn laid_in(&self) -> Vec<Column> {
        saying(
            words(self.colours)
                .into_iter()
                .chain(self.counts())
                .chain(self.costs()),
        )
    }

    /// Those of what has to be bought.
    #[cfg(feature = "pdf")]
    pub(in crate::output) fn to_buy(&self) -> Vec<Column> {
        saying(words(self.colours).into_iter().chain(self.stocks()))
    }

    fn counts(&self) -> Vec<Column> {
        let colours = self.colours;
        let whole = |head: &str, count: fn(&KitColourReport) -> u64| Column {
            right: true,
            head: head.to_string(),
            cells: colours
                .iter()
                .map(|colour| grouped(count(colour) as usize))
                .collect(),
            sum: grouped(colours.iter().map(count).sum::<u64>() as usize),
        };
        let mut columns = Vec::new();
        if self.several {
            columns.push(whole("each", |colour| colour.beads_each));
        }
        columns.push(whole("beads", |colour| colour.beads));
        if self.spare {
            columns.push(whole("with spare", |colour| colour.beads_with_spare));
        }
        columns.push(summed("grams", colours, |colour| Some(up(colour.grams))));
        columns
    }

    /// A head over money, with the currency where it is known.
    fn money(&self, head: &str) -> String {
        match self.currency {
            Some(currency) => format!("{head} {}", printable(currency)),
            None => head.to_string(),
        }
    }

    /// What they cost, and what of them is in stock.
    fn costs(&self) -> Vec<Column> {
        let colours = self.colours;
        let cost = summed(&self.money("cost"), colours, |colour| {
            colour.cost.map(nearest)
        });
        let in_stock = Column {
            right: true,
            head: "in stock g".to_string(),
            cells: colours.iter().map(in_stock).collect(),
            sum: String::new(),
        };
        vec![cost, in_stock]
    }

    fn stocks(&self) -> Vec<Column> {
        let colours = self.colours;
        let column = |head: &str, cell: fn(&KitColourReport) -> String, sum: String| Column {
            right: true,
            head: head.to_string(),
            cells: colours.iter().map(cell).collect(),
            sum,
        };
        let all_short: u64 = colours.iter().filter_map(KitColourReport::short).sum();
        vec![
            column("short", short, grouped(all_short as usize)),
            summed("to buy g", colours, |colour| {
                colour.short().and(colour.short_grams).map(up)
            }),
            column("packs", packs, String::new()),
            summed(&self.money("to pay"), colours, |colour| {
                let pay = colour.cost_packs.or(colour.cost_short);
                colour.short().and(pay).map(nearest)
            }),
        ]
    }
}

/// The columns that say something.
fn saying(columns: impl Iterator<Item = Column>) -> Vec<Column> {
    let says = |column: &Column| column.cells.iter().any(|cell| !cell.is_empty());
    columns.filter(says).collect()
}

/// Grams in stock, or that there is enough.
fn in_stock(colour: &KitColourReport) -> String {
    match colour.in_stock_grams {
        Some(grams) => format!("{grams:.2}"),
        None if colour.is_in_palette() => "enough".to_string(),
        None => String::new(),
    }
}

/// Beads that are short.
fn short(colour: &KitColourReport) -> String {
    let short = colour.short();
    short.map_or(String::new(), |beads| grouped(beads as usize))
}

/// Whole packs to buy, and how much each holds.
fn packs(colour: &KitColourReport) -> String {
    let packs = colour.short().and(colour.packs).zip(colour.pack_grams);
    packs.map_or(String::new(), |(packs, grams)| {
        format!("{} × {} g", grouped(packs as usize), decimals(grams, 2))
    })
}

fn words(colours: &[KitColourReport]) -> [Column; 2] {
    let column = |head: &str, word: fn(&KitColourReport) -> &str| Column {
        right: false,
        head: head.to_string(),
        cells: colours
            .iter()
            .map(|colour| printable(word(colour)))
            .collect(),
        sum: String::new(),
    };
    [
        column("code", |colour| &colour.code),
        column("name", |colour| &colour.name),
    ]
}

/// A column of hundredths and its sum.
fn summed(
    head: &str,
    colours: &[KitColourReport],
    value: impl Fn(&KitColourReport) -> Option<u64>,
) -> Column {
    let values: Vec<Option<u64>> = colours.iter().map(value).collect();
    Column {
        right: true,
        head: head.to_string(),
        sum: hundredths(values.iter().flatten().sum()),
        cells: values
            .into_iter()
            .map(|value| value.map_or(String::new(), hundredths))
            .collect(),
    }
}

/// Hundredths, rounded up.
fn up(number: f64) -> u64 {
    (number * 100.0 - 1e-6).ceil() as u64
}

/// Hundredths, rounded to the nearest.
fn nearest(number: f64) -> u64 {
    (number * 100.0).round() as u64
}

fn hundredths(count: u64) -> String {
    format!("{}.{:02}", grouped((count / 100) as usize), count % 100)
}
