//! The table of a kit's text.

use super::super::palette::{aligned, printable};
use super::Answer;
use crate::chart::Shade;
use crate::units::grouped;
use crate::weave::kit::{Portion, Stock};

/// A column of the table: its head, its cells, its sum; to the right or to the left.
pub(in crate::output) struct Column {
    pub(in crate::output) right: bool,
    pub(in crate::output) head: &'static str,
    pub(in crate::output) cells: Vec<String>,
    pub(in crate::output) sum: String,
}

/// The lines of the table, heads first and sums last; columns that say nothing are left out.
pub(super) fn table(answer: &Answer) -> Vec<String> {
    let one = answer.kit.portions.len() == 1;
    let cells = |column: Column| {
        let mut cells = vec![column.head.to_string()];
        cells.extend(column.cells);
        if !one {
            cells.push(column.sum);
        }
        (column.right, cells)
    };
    aligned(columns(answer).into_iter().map(cells).collect())
}

/// The columns that say something, a cell for each portion of the kit.
pub(in crate::output) fn columns(answer: &Answer) -> Vec<Column> {
    let all = words(answer)
        .into_iter()
        .chain(counts(answer))
        .chain(stocks(answer));
    let says = |column: &Column| column.cells.iter().any(|cell| !cell.is_empty());
    all.filter(says).collect()
}

fn words(answer: &Answer) -> [Column; 2] {
    let column = |head, word: fn(&Shade) -> &str| Column {
        right: false,
        head,
        cells: answer
            .kit
            .portions
            .iter()
            .map(|portion| printable(word(&answer.chart.colours[portion.colour])))
            .collect(),
        sum: String::new(),
    };
    [
        column("code", |shade| &shade.code),
        column("name", |shade| &shade.name),
    ]
}

fn counts(answer: &Answer) -> Vec<Column> {
    let portions = &answer.kit.portions;
    let whole = |head, count: fn(&Portion) -> u64| Column {
        right: true,
        head,
        cells: portions
            .iter()
            .map(|portion| grouped(count(portion) as usize))
            .collect(),
        sum: grouped(portions.iter().map(count).sum::<u64>() as usize),
    };
    let mut columns = Vec::new();
    if answer.kit.options.make > 1 {
        columns.push(whole("each", |portion| portion.each));
    }
    columns.push(whole("beads", |portion| portion.beads));
    if answer.kit.options.spare > 0.0 {
        columns.push(whole("with spare", |portion| portion.with_spare));
    }
    columns.push(summed("grams", portions, |portion| {
        Some(up(portion.grams.get()))
    }));
    columns
}

fn stocks(answer: &Answer) -> Vec<Column> {
    let portions = &answer.kit.portions;
    let short = |portion: &Portion| {
        portion
            .stock
            .as_ref()
            .filter(|stock| stock.lacking > 0)
            .cloned()
    };
    let cells = |cell: &dyn Fn(&Stock) -> String| -> Vec<String> {
        let cell = |portion: &Portion| portion.stock.as_ref().map_or(String::new(), cell);
        portions.iter().map(cell).collect()
    };
    let lacking: u64 = portions
        .iter()
        .filter_map(short)
        .map(|stock| stock.lacking)
        .sum();
    vec![
        summed("cost", portions, |portion| portion.cost().map(nearest)),
        Column {
            right: true,
            head: "owned g",
            cells: cells(&|stock| {
                stock
                    .owned
                    .map_or("enough".to_string(), |owned| format!("{:.2}", owned.get()))
            }),
            sum: String::new(),
        },
        Column {
            right: true,
            head: "lacking",
            cells: cells(&|stock| match stock.lacking {
                0 => String::new(),
                lacking => grouped(lacking as usize),
            }),
            sum: grouped(lacking as usize),
        },
        summed("to buy g", portions, |portion| {
            let stock = portion.stock.as_ref().filter(|stock| stock.lacking > 0)?;
            Some(up(stock.lacking_grams.get()))
        }),
        summed("to pay", portions, |portion| {
            portion.stock.as_ref().filter(|stock| stock.lacking > 0)?;
            portion.cost_lacking().map(nearest)
        }),
    ]
}

/// A column of hundredths and its sum.
fn summed(
    head: &'static str,
    portions: &[Portion],
    value: impl Fn(&Portion) -> Option<u64>,
) -> Column {
    let values: Vec<Option<u64>> = portions.iter().map(value).collect();
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
