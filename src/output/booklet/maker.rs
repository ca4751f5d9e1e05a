//! A sheet for the maker: beads with stock and cost, what to buy, thread, time and price. It holds
//! no pattern, and the pattern holds nothing of it.

use super::collection::{OrderTable, Paints, thumbnail};
use super::cover::{leading, sentence, table_room, titled};
use super::document::{Document, Paper, Role};
use super::look::{Kind, Look};
use super::setter::Setter;
use super::table::{Column, Table};
use super::{Foot, Ink};
use crate::chart::Chart;
use crate::output::kit::{
    PricePart, band, bands, hours, money, needle_size, price_parts, spare_words, time_words,
};
use crate::report::kit::{KitReport, PriceReport};
use crate::report::order::{OrderDesign, OrderReport};
use crate::scene::{Anchor, Figures, Item, Line, Point, Text};
use crate::units::{Mm, grouped, to_cut};

/// Largest strip of one design, and of a line of several.
const STRIP: (f64, f64) = (170.0, 30.0);
const THUMB: (f64, f64) = (44.0, 7.0);
/// Height of a line with a strip.
const LINE: f64 = 9.0;
/// Width of the sum of a price.
const SUM: f64 = 92.0;
/// Height of a line of the sum.
const LEADING: f64 = 5.4;
/// Room for a heading.
const HEADED: f64 = 9.0;

/// All that the sheet is made from.
#[derive(Debug)]
pub struct MakerSheet<'a> {
    /// What is gathered, and what it costs.
    pub order: &'a OrderReport,
    /// The charts, in the order of its designs.
    pub charts: &'a [Chart],
    /// What several of them are.
    pub several: Several,
    /// What the sheet is called.
    pub title: &'a str,
    /// What it is printed on.
    pub paper: Paper,
    /// What stands at the foot of each page.
    pub foot: &'a Foot,
}

/// What several charts of a sheet are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Several {
    /// Designs of their own.
    Designs,
    /// Colourways of one design.
    Colourways,
}

impl Several {
    fn one(self) -> &'static str {
        match self {
            Self::Designs => "design",
            Self::Colourways => "colourway",
        }
    }

    fn heading(self) -> &'static str {
        match self {
            Self::Designs => "Designs",
            Self::Colourways => "Colourways",
        }
    }
}

/// Lays the sheet out.
pub fn maker_sheet(sheet: &MakerSheet) -> Document {
    let charts: Vec<&Chart> = sheet.charts.iter().collect();
    let look = Look::new(charts[0], sheet.paper);
    let paints = Paints::of(&charts, &look);
    let document = Document {
        paper: sheet.paper,
        title: sheet.title.to_string(),
        author: sheet.foot.by.clone(),
        subject: "Maker's sheet: beads, stock, cost, time and price".to_string(),
        paints: paints.all.clone(),
        pictures: Vec::new(),
        pages: Vec::new(),
        elements: Vec::new(),
        bookmarks: Vec::new(),
    };
    let mut setter = Setter::new(document, look);
    let order = sheet.order;
    titled(&mut setter, sheet.title, &kind(sheet));
    let table = OrderTable {
        order,
        charts: &charts,
        paints: &paints,
    };
    match &order.designs[..] {
        [one] => {
            whole_strip(&mut setter, charts[0]);
            beads(&mut setter, &table);
            one_price(&mut setter, &one.kit);
        }
        _ => {
            design_table(&mut setter, &table, sheet.several);
            beads(&mut setter, &table);
            price_table(&mut setter, order, sheet.several);
        }
    }
    notes(&mut setter, order);
    let mut document = setter.document;
    sheet.foot.set(&mut document, &look);
    document
}

fn kind(sheet: &MakerSheet) -> String {
    let (order, several) = (sheet.order, sheet.several);
    match &order.designs[..] {
        [one] if several == Several::Colourways => format!(
            "Maker's sheet: {}, {}",
            one.title,
            bands(&one.kit, one.kit.make)
        ),
        [one] => format!("Maker's sheet: {}", bands(&one.kit, one.kit.make)),
        designs => format!(
            "Maker's sheet: {} {}s, {} bands",
            grouped(designs.len()),
            several.one(),
            grouped(order.bands as usize)
        ),
    }
}

fn whole_strip(setter: &mut Setter, chart: &Chart) {
    let wide = setter.look.width.get().min(STRIP.0);
    let drawing = thumbnail(chart, wide, STRIP.1);
    let corner = Point::new(setter.look.left, setter.y);
    setter.figure(
        &drawing,
        corner,
        "The whole band along the page.".to_string(),
    );
    setter.y = setter.y + drawing.height + Mm::new(7.0);
}

/// Beads with stock and cost, thread and needle below; then what has to be bought.
fn beads(setter: &mut Setter, table: &OrderTable) {
    let order = table.order;
    let spare = spare_words(order.spare_percent);
    let units = order.units;
    let mut told = vec![format!(
        "Thread: {} in all.",
        units.beside(&to_cut(order.thread_mm))
    )];
    if let [one] = &order.designs[..] {
        let each = units.beside(&to_cut(one.kit.thread.each_mm));
        told[0] += &format!(" {each} for each. Needle: {}.", needle_size(&one.kit));
    }
    if spare != "none" {
        told.push(format!("With spare: {spare}."));
    }
    if order.enough == Some(true) {
        told.push("There are enough beads in stock.".to_string());
    }
    setter.heading("Beads");
    table.set(setter, |_| true, |beads| beads.laid_in(), &told);
    setter.space(4.0);
    if order.enough == Some(false) {
        setter.heading("To buy");
        table.set(
            setter,
            |colour| colour.short().is_some(),
            |beads| beads.to_buy(),
            &[],
        );
        setter.space(4.0);
    }
}

/// What the notes of the kits say.
fn notes(setter: &mut Setter, order: &OrderReport) {
    let small = setter.look.small;
    if !order.warnings.is_empty() {
        setter.space(2.0);
    }
    for warning in &order.warnings {
        let words = order.units.beside(&warning.instruction());
        setter.paragraph(&sentence(&words), small);
    }
}

/// A line a design, with its strip.
fn design_table(setter: &mut Setter, table: &OrderTable, several: Several) {
    let order = table.order;
    let column = |right: bool, head: &str, cell: &dyn Fn(&OrderDesign) -> String| Column {
        right,
        head: head.to_string(),
        cells: order.designs.iter().map(cell).collect(),
        sum: String::new(),
    };
    let bands = Column {
        sum: grouped(order.bands as usize),
        ..column(true, "bands", &|one| grouped(one.kit.make as usize))
    };
    let columns = vec![
        column(false, several.one(), &|one| one.title.clone()),
        bands,
        column(true, "beads each", &|one| {
            grouped(one.kit.total.beads_each as usize)
        }),
        column(true, "thread each", &|one| {
            order.units.beside(&to_cut(one.kit.thread.each_mm))
        }),
        column(false, "needle", &|one| needle_size(&one.kit)),
    ];
    let before = |row: usize, at: Point| {
        let drawing = thumbnail(table.charts[row], THUMB.0, THUMB.1);
        let corner = Point::new(at.x, at.y - drawing.height / 2.0);
        let mut items = super::setter::placed(&drawing, corner);
        super::setter::repaint_all(&mut items, table.paints.first[row]);
        items
    };
    setter.heading(several.heading());
    setter.table(&Table {
        columns,
        indent: Mm::new(THUMB.0 + 4.0),
        before: Some(&before),
        leading: Mm::new(LINE),
    });
    setter.space(4.0);
}

/// Time and price of one design: every part on a line of its own, and the sums below rules.
fn one_price(setter: &mut Setter, kit: &KitReport) {
    let body = setter.look.body;
    if let Some(time) = &kit.time {
        let words = time_words(kit, time);
        setter.heading("Time");
        setter.paragraph(&sentence(&words), body);
        setter.space(3.0);
    }
    if let Some(price) = &kit.price {
        let head = match &kit.currency {
            Some(currency) => format!("Price of 1 {}, {currency}", band(kit)),
            None => format!("Price of 1 {}", band(kit)),
        };
        let parts = price_parts(kit, price);
        setter.need(Mm::new(HEADED + LEADING * parts.len() as f64));
        setter.head(&head);
        sum(setter, parts);
    }
}

fn sum(setter: &mut Setter, parts: Vec<PricePart>) {
    let body = setter.look.body;
    let table = setter.element(Role::Table, None);
    for part in parts {
        if part.is_sum {
            let line = Line {
                from: Point::new(setter.look.left, setter.y),
                to: Point::new(setter.look.left + Mm::new(SUM), setter.y),
                thickness: Mm::new(0.18),
                colour: setter.look.style.faint,
            };
            setter.put(None, Ink::Items(vec![Item::Line(line)]));
        }
        let kind = if part.is_sum { body.bold() } else { body };
        let baseline = setter.y + Mm::new((LEADING + kind.size.get() * 0.72) / 2.0);
        let row = setter.element(Role::Row, Some(table));
        let head = setter.element(Role::RowHead, Some(row));
        let words = setter.line(setter.look.left, baseline, part.words, kind);
        setter.mark(head, vec![words]);
        let cell = setter.element(Role::Cell, Some(row));
        let end = setter.look.left + Mm::new(SUM);
        setter.mark(cell, vec![amount(end, baseline, part.amount, kind)]);
        setter.space(LEADING);
    }
    setter.space(3.0);
}

fn amount(x: Mm, baseline: Mm, words: String, kind: Kind) -> Item {
    Item::Text(Text {
        x,
        baseline,
        size: kind.size,
        weight: kind.weight,
        anchor: Anchor::End,
        figures: Figures::Tabular,
        colour: kind.colour,
        words,
    })
}

/// Time and price of several designs, a line each, and the sum of all.
fn price_table(setter: &mut Setter, order: &OrderReport, several: Several) {
    let designs = &order.designs;
    if order.minutes.is_none() && order.price.is_none() {
        return;
    }
    let head = match &order.currency {
        Some(currency) if order.price.is_some() => format!("Time and price, {currency}"),
        _ => "Time and price".to_string(),
    };
    let told = [sentence(&how(order, designs))];
    let lines = designs.len() + 1;
    setter.need(Mm::new(HEADED) + table_room(setter, lines, &told));
    setter.head(&head);
    setter.table(&Table {
        columns: price_columns(order, several),
        indent: Mm::new(0.0),
        before: None,
        leading: leading(setter, lines, &told),
    });
    let (small, [told]) = (setter.look.small, told);
    setter.paragraph(&told, small);
}

/// What the table of prices tells; what is not known for any design is left out.
fn price_columns(order: &OrderReport, several: Several) -> Vec<Column> {
    let designs = &order.designs;
    let column =
        |head: &str, cell: &dyn Fn(&KitReport) -> Option<String>, sum: Option<String>| Column {
            right: true,
            head: head.to_string(),
            cells: designs
                .iter()
                .map(|one| cell(&one.kit).unwrap_or_default())
                .collect(),
            sum: sum.unwrap_or_default(),
        };
    let part = |head: &str, part: &dyn Fn(&PriceReport) -> Option<f64>| {
        column(head, &|kit| Some(money(part(kit.price.as_ref()?)?)), None)
    };
    let mut columns = vec![Column {
        right: false,
        head: several.one().to_string(),
        cells: designs.iter().map(|one| one.title.clone()).collect(),
        sum: "all".to_string(),
    }];
    columns.extend([
        column(
            "bands",
            &|kit| Some(grouped(kit.make as usize)),
            Some(grouped(order.bands as usize)),
        ),
        column(
            "time each",
            &|kit| Some(hours(kit.time?.minutes_each)),
            None,
        ),
        part("beads", &|price| price.beads),
        part("materials", &|price| price.materials),
        part("work", &|price| price.work),
        part("cost", &|price| price.markup.and(Some(price.cost))),
        part("markup", &|price| price.markup),
        part("price each", &|price| Some(price.price)),
        column(
            "price",
            &|kit| Some(money(kit.price?.all)),
            order.price.map(money),
        ),
    ]);
    columns.retain(|column| column.cells.iter().any(|cell| !cell.is_empty()));
    columns
}

/// How the figures of the table are made.
fn how(order: &OrderReport, designs: &[OrderDesign]) -> String {
    let kit = &designs[0].kit;
    let mut words = Vec::new();
    if let Some(time) = &kit.time {
        let pace = crate::units::decimals(time.beads_per_minute, 3);
        let all = order.minutes.map(hours).unwrap_or_default();
        words.push(format!(
            "time is the beads at {pace} a minute, without closing and weaving in: {all} for all"
        ));
    }
    if let Some(hourly) = kit.price.and_then(|price| price.hourly) {
        words.push(format!("work is the time at {} an hour", money(hourly)));
    }
    if let Some(percent) = kit.price.and_then(|price| price.markup_percent) {
        let percent = crate::units::decimals(percent, 3);
        words.push(format!("markup is {percent}% of the cost"));
    }
    words.join("; ")
}
