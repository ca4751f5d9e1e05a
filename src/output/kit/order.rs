//! The shopping list of several charts as text.

use super::super::palette::{aligned, printable};
use super::table::{Beads, table};
use super::text::{grams, hours, money, needle_size, spare_words};
use crate::output::lines::paragraph;
use crate::report::order::{OrderDesign, OrderReport};
use crate::units::{grouped, to_cut};

/// Several charts as text: a line a design, then the shopping list of all of them with sums below,
/// spare beads, stock, thread, time and price, and what else to know.
pub fn order_text(report: &OrderReport) -> String {
    let mut text = format!(
        "{} designs, {} bands, beads of size {}\n\n",
        grouped(report.designs.len()),
        grouped(report.bands as usize),
        report.bead.name
    );
    for line in designs(report) {
        text += &line;
        text.push('\n');
    }
    text += "\nBeads for all of them:\n\n";
    let beads = Beads {
        colours: &report.colours,
        several: false,
        spare: report.spare_percent > 0.0,
        currency: report.currency.as_deref(),
    };
    for line in table(beads.columns()) {
        text += &line;
        text.push('\n');
    }
    text.push('\n');
    text += &format!("Spare:   {}\n", spare_words(report.spare_percent));
    text += &grams(&report.colours);
    match report.enough {
        None => {}
        Some(true) => text += "Stock:   enough beads in stock\n",
        Some(false) => text += "Stock:   not enough beads in stock for all of them\n",
    }
    let thread = report.units.beside(&to_cut(report.thread_mm));
    text += &format!("Thread:  {thread} in all\n");
    if let Some(minutes) = report.minutes {
        text += &format!("Time:    {} of weaving in all\n", hours(minutes));
    }
    if let Some(price) = report.price {
        let currency = report.currency.as_deref().map(printable);
        let currency = currency.map_or(String::new(), |currency| format!(" {currency}"));
        text += &format!("Price:   {}{currency} in all\n", money(price));
    }
    if !report.warnings.is_empty() {
        text.push('\n');
    }
    for warning in &report.warnings {
        text += &paragraph("- ", &report.units.beside(warning.text()));
    }
    text
}

/// A line a design, heads first; time and price where they are known.
fn designs(report: &OrderReport) -> Vec<String> {
    let column = |right: bool, head: &str, cell: &dyn Fn(&OrderDesign) -> String| {
        let cells = report.designs.iter().map(cell);
        let cells: Vec<String> = [head.to_string()].into_iter().chain(cells).collect();
        (right, cells)
    };
    let mut columns = vec![
        column(false, "design", &|one| printable(&one.title)),
        column(true, "bands", &|one| grouped(one.kit.make as usize)),
        column(true, "columns", &|one| grouped(one.kit.columns as usize)),
        column(true, "rows", &|one| grouped(one.kit.rows as usize)),
        column(true, "beads each", &|one| {
            grouped(one.kit.total.beads_each as usize)
        }),
        column(true, "thread each", &|one| {
            report.units.beside(&to_cut(one.kit.thread.each_mm))
        }),
        column(false, "needle", &|one| needle_size(&one.kit)),
    ];
    if report.minutes.is_some() {
        columns.push(column(true, "time each", &|one| {
            one.kit
                .time
                .map_or(String::new(), |time| hours(time.minutes_each))
        }));
    }
    if report.price.is_some() {
        columns.push(column(true, "price each", &|one| {
            one.kit
                .price
                .map_or(String::new(), |price| money(price.price))
        }));
    }
    aligned(columns)
}
