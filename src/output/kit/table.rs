//! The table of a kit's text.

use super::super::palette::{aligned, printable};
use crate::report::kit::{KitColourReport, KitReport};
use crate::units::grouped;

/// A column of the table: its head, its cells, its sum; to the right or to the left.
pub(in crate::output) struct Column {
    pub(in crate::output) right: bool,
    pub(in crate::output) head: &'static str,
    pub(in crate::output) cells: Vec<String>,
    pub(in crate::output) sum: String,
}

/// The lines of the table, heads first and sums last; columns that say nothing are left out.
pub(super) fn table(report: &KitReport) -> Vec<String> {
    let one = report.colours.len() == 1;
    let cells = |column: Column| {
        let mut cells = vec![column.head.to_string()];
        cells.extend(column.cells);
        if !one {
            cells.push(column.sum);
        }
        (column.right, cells)
    };
    aligned(columns(report).into_iter().map(cells).collect())
}

/// The columns that say something, a cell for each colour of the kit.
pub(in crate::output) fn columns(report: &KitReport) -> Vec<Column> {
    let all = words(report)
        .into_iter()
        .chain(counts(report))
        .chain(stocks(report));
    let says = |column: &Column| column.cells.iter().any(|cell| !cell.is_empty());
    all.filter(says).collect()
}

fn words(report: &KitReport) -> [Column; 2] {
    let column = |head, word: fn(&KitColourReport) -> &str| Column {
        right: false,
        head,
        cells: report
            .colours
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

fn counts(report: &KitReport) -> Vec<Column> {
    let colours = &report.colours;
    let whole = |head, count: fn(&KitColourReport) -> u64| Column {
        right: true,
        head,
        cells: colours
            .iter()
            .map(|colour| grouped(count(colour) as usize))
            .collect(),
        sum: grouped(colours.iter().map(count).sum::<u64>() as usize),
    };
    let mut columns = Vec::new();
    if report.make > 1 {
        columns.push(whole("each", |colour| colour.beads_each));
    }
    columns.push(whole("beads", |colour| colour.beads));
    if report.spare_percent > 0.0 {
        columns.push(whole("with spare", |colour| colour.beads_with_spare));
    }
    columns.push(summed("grams", colours, |colour| Some(up(colour.grams))));
    columns
}

fn stocks(report: &KitReport) -> Vec<Column> {
    let colours = &report.colours;
    let in_stock = |colour: &KitColourReport| match colour.in_stock_grams {
        Some(grams) => format!("{grams:.2}"),
        None if colour.is_in_palette() => "enough".to_string(),
        None => String::new(),
    };
    let short = |colour: &KitColourReport| {
        colour
            .short()
            .map_or(String::new(), |beads| grouped(beads as usize))
    };
    let all_short: u64 = colours.iter().filter_map(KitColourReport::short).sum();
    vec![
        summed("cost", colours, |colour| colour.cost.map(nearest)),
        Column {
            right: true,
            head: "in stock g",
            cells: colours.iter().map(in_stock).collect(),
            sum: String::new(),
        },
        Column {
            right: true,
            head: "short",
            cells: colours.iter().map(short).collect(),
            sum: grouped(all_short as usize),
        },
        summed("to buy g", colours, |colour| {
            colour.short().and(colour.short_grams).map(up)
        }),
        summed("to pay", colours, |colour| {
            colour.short().and(colour.cost_short).map(nearest)
        }),
    ]
}

/// A column of hundredths and its sum.
fn summed(
    head: &'static str,
    colours: &[KitColourReport],
    value: impl Fn(&KitColourReport) -> Option<u64>,
) -> Column {
    let values: Vec<Option<u64>> = colours.iter().map(value).collect();
    Column {
        right: true,
        head,
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
