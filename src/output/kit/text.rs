//! The kit as text.

use super::super::palette::printable;
use super::table::{columns, table};
use crate::output::lines::paragraph;
use crate::report::kit::{
    KitColourReport, KitReport, PerGramSource, PriceReport, ThreadItem, TimeReport,
};
use crate::units::{decimals, grouped, to_cut, whole_mm};
use crate::weave::Thread;

/// The kit as text: what it is for, a line a colour with sums below, then spare beads, grams,
/// stock, needle, thread and what else to know.
///
/// Grams are rounded up to 1/100, so that the sum is that of what stands above it, and lengths of
/// thread to whole centimetres. Control characters are shown as `�`.
pub fn text(report: &KitReport) -> String {
    let mut text = headline(report);
    for line in table(columns(report)) {
        text += &line;
        text.push('\n');
    }
    text.push('\n');
    text += &format!("Spare:   {}\n", spare_words(report.spare_percent));
    text += &grams(&report.colours);
    text += &stock(report);
    text += &needle(report);
    if let Some(time) = &report.time {
        text += &format!("Time:    {}\n", time_words(report, time));
    }
    if let Some(price) = &report.price {
        text.push('\n');
        text += &price_sum(report, price);
    }
    text.push('\n');
    text += &thread(report);
    if !report.warnings.is_empty() {
        text.push('\n');
    }
    for warning in &report.warnings {
        text += &paragraph("- ", &report.units.beside(warning.text()));
    }
    text
}

fn headline(report: &KitReport) -> String {
    let title = match &report.title {
        Some(title) => format!(" of {}", printable(title)),
        None => String::new(),
    };
    format!(
        "{}{title}: {} columns, {} rows, {} beads of size {}{}\n\n",
        bands(report, report.make),
        report.columns,
        grouped(report.rows as usize),
        grouped(report.total.beads_each as usize),
        report.bead.name,
        if report.make > 1 { " each" } else { "" }
    )
}

/// `1 ring`, `12 rings`, `2 strips`.
pub(in crate::output) fn bands(report: &KitReport, count: u32) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{} {}{plural}", grouped(count as usize), band(report))
}

/// The word for one band.
pub(in crate::output) fn band(report: &KitReport) -> &'static str {
    if report.closed { "ring" } else { "strip" }
}

/// How many beads more than counted.
pub(in crate::output) fn spare_words(percent: f64) -> String {
    match percent {
        0.0 => "none".to_string(),
        percent => format!(
            "{}% more of each colour, rounded up, for uneven and broken beads",
            decimals(percent, 3)
        ),
    }
}

/// How many beads a gram has.
pub(super) fn grams(colours: &[KitColourReport]) -> String {
    let own = |colour: &&KitColourReport| colour.per_gram_source == PerGramSource::Palette;
    let (owns, others): (Vec<_>, Vec<_>) = colours.iter().partition(own);
    match (owns.is_empty(), others.first()) {
        (false, None) => "Grams:   by the palette's own beads in a gram\n".to_string(),
        (none, Some(colour)) => {
            let beads = decimals(colour.per_gram, 0);
            let besides = if none { "" } else { ", or as the palette says" };
            format!("Grams:   {beads} beads a gram{besides}\n")
        }
        (true, None) => String::new(),
    }
}

/// For how many bands the beads in stock are enough.
fn stock(report: &KitReport) -> String {
    let make = report.make;
    match report.enough_for {
        None => String::new(),
        Some(enough) if enough == make => "Stock:   enough beads in stock\n".to_string(),
        Some(0) if make == 1 => "Stock:   not enough beads in stock\n".to_string(),
        Some(enough) => format!(
            "Stock:   enough beads for {} of {}\n",
            grouped(enough as usize),
            bands(report, make)
        ),
    }
}

/// How long the weaving takes: the beads over the pace.
pub(in crate::output) fn time_words(report: &KitReport, time: &TimeReport) -> String {
    let pace = decimals(time.beads_per_minute, 3);
    let mut words = format!(
        "{} of weaving a {}: {} beads at {pace} a minute",
        hours(time.minutes_each),
        band(report),
        grouped(report.total.beads_each as usize),
    );
    if report.make > 1 {
        words += &format!(
            "; {} for {}",
            hours(time.minutes),
            bands(report, report.make)
        );
    }
    words
}

/// Minutes as hours and minutes.
pub(in crate::output) fn hours(minutes: u64) -> String {
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{} h", grouped(hours as usize)),
        (hours, minutes) => format!("{} h {minutes} min", grouped(hours as usize)),
    }
}

/// The price of one band, part by part; sums have an equals sign.
fn price_sum(report: &KitReport, price: &PriceReport) -> String {
    let currency = report.currency.as_deref().map(printable);
    let currency = currency.map_or(String::new(), |currency| format!(", {currency}"));
    let mut text = format!("Price of 1 {}{currency}:\n", band(report));
    let parts = price_parts(report, price);
    let amounts = parts.iter().map(|part| part.amount.len());
    let width = amounts.max().unwrap_or(0);
    for part in &parts {
        let mark = if part.is_sum { "=" } else { " " };
        text += &format!("{mark} {:>width$}  {}\n", part.amount, part.words);
    }
    text
}

/// A line of a price.
pub(in crate::output) struct PricePart {
    pub(in crate::output) words: String,
    pub(in crate::output) amount: String,
    /// Whether it is the sum of what stands above it.
    pub(in crate::output) is_sum: bool,
}

/// The lines of a price: what is added, and the sums.
pub(in crate::output) fn price_parts(report: &KitReport, price: &PriceReport) -> Vec<PricePart> {
    let part = |words: String, amount: Option<f64>, is_sum: bool| {
        let amount = money(amount?);
        Some(PricePart {
            words,
            amount,
            is_sum,
        })
    };
    let beads = if report.spare_percent > 0.0 {
        "beads, with the spare ones"
    } else {
        "beads"
    };
    let minutes = report.time.map_or(0, |time| time.minutes_each);
    let hourly = money(price.hourly.unwrap_or(0.0));
    let work = format!("work: {} at {hourly} an hour", hours(minutes));
    let percent = decimals(price.markup_percent.unwrap_or(0.0), 3);
    let markup = price.markup.is_some();
    let several = (report.make > 1).then_some(price.all);
    let each = money(price.price);
    let all = [
        part(beads.to_string(), price.beads, false),
        part("other materials".to_string(), price.materials, false),
        part(work, price.work, false),
        part("cost".to_string(), markup.then_some(price.cost), true),
        part(
            format!("markup: {percent}% of the cost"),
            price.markup,
            false,
        ),
        part("price".to_string(), Some(price.price), true),
        part(
            format!("{} at {each}", bands(report, report.make)),
            several,
            true,
        ),
    ];
    all.into_iter().flatten().collect()
}

/// An amount to the hundredth.
pub(in crate::output) fn money(amount: f64) -> String {
    let hundredths = (amount * 100.0).round() as u64;
    format!(
        "{}.{:02}",
        grouped((hundredths / 100) as usize),
        hundredths % 100
    )
}

fn needle(report: &KitReport) -> String {
    format!(
        "Needle:  {}; the fullest hole takes {} passes, which fill {:.0}% of it\n",
        needle_size(report),
        report.holes.most_passes,
        report.holes.filled * 100.0
    )
}

/// The needle in a few words.
pub(in crate::output) fn needle_size(report: &KitReport) -> String {
    match &report.needle {
        Some(needle) => format!("size {} or finer", needle.size),
        None => "none goes through".to_string(),
    }
}

/// The thread, item by item; items that take none are left out.
fn thread(report: &KitReport) -> String {
    let thread = &report.thread;
    let items: Vec<(ThreadItem, String)> = thread
        .items
        .iter()
        .filter_map(|item| {
            let length = whole_mm(item.length_mm)?;
            Some((item.item, report.units.beside(&length)))
        })
        .collect();
    let mut text = format!(
        "Thread of {}: {} a {}",
        Thread {
            diameter: thread.diameter_mm,
        }
        .described(),
        to_cut(thread.each_mm),
        band(report)
    );
    if report.make > 1 {
        text += &format!(
            ", {} for {}",
            to_cut(thread.all_mm),
            bands(report, report.make)
        );
    }
    text = report.units.beside(&text);
    let width = items.iter().map(|(_, length)| length.len()).max();
    let width = width.unwrap_or(0);
    text.push('\n');
    for (item, length) in items {
        text += &format!("  {length:>width$}  {}\n", reason(item));
    }
    text
}

fn reason(item: ThreadItem) -> &'static str {
    match item {
        ThreadItem::Tail => "tail left at the stopper bead and woven in at the end",
        ThreadItem::Path => "through the beads, with the turns at the edges",
        ThreadItem::Seam => "closing, once across and once back",
        ThreadItem::ThreadEnd => "weaving in the working end",
        ThreadItem::Joins => "joining: tails, allowances and woven-in ends of new pieces",
        ThreadItem::Handling => "working allowance, so that the last stitches can be pulled",
    }
}
