//! Several designs in one booklet: contents, what is needed for all, a part for each, and how the
//! thread goes told once for all designs that are woven alike.

use super::cover::{SWATCH, leading, sentence, table_columns, titled};
use super::document::{Document, Paper, Role};
use super::look::Look;
use super::setter::Setter;
use super::table::Table;
use super::{Foot, Ink, Link, Mark, Pattern, Place, charts, cover, fit, rows, size_table, way};
use crate::chart::Chart;
use crate::error::Result;
use crate::output::kit::{self, Beads, needle_size, spare_words};
use crate::picture::Pixels;
use crate::report::kit::KitColourReport;
use crate::report::order::OrderReport;
use crate::request::WorkFrom;
use crate::scene::{
    Anchor, Drawing, Figures, Item, Laid, Point, Text, Weight, strip, swatch, wrap,
};
use crate::units::{Mm, grouped, to_cut};

/// Largest strip beside a line of the contents.
const THUMB: (f64, f64) = (52.0, 11.0);
/// Height of a line of the contents.
const LINE: f64 = 14.0;
/// Room for the heading of a table.
const HEADED: f64 = 8.0;

/// All that a booklet of several designs is made from.
#[derive(Debug)]
pub struct Collection<'a> {
    /// The designs, in their order.
    pub patterns: &'a [Pattern<'a>],
    /// The beads of one band of each.
    pub order: &'a OrderReport,
    /// What the booklet is called.
    pub title: &'a str,
    /// What the maker wants to say.
    pub note: Option<&'a str>,
    /// The maker's picture for the first page.
    pub picture: Option<&'a Pixels>,
    /// What it is printed on.
    pub paper: Paper,
    /// What stands at the foot of each page.
    pub foot: &'a Foot,
}

/// A line of the contents, whose page number is not known yet.
struct Entry {
    title: String,
    page: usize,
    top: Mm,
    baseline: Mm,
    element: usize,
}

/// Lays the booklet out.
///
/// # Errors
/// As [`super::check_size`].
pub fn collection(collection: &Collection) -> Result<Document> {
    let charts: Vec<&Chart> = collection
        .patterns
        .iter()
        .map(|one| one.band.chart)
        .collect();
    let look = Look::new(charts[0], collection.paper);
    let paints = Paints::of(&charts, &look);
    let document = Document {
        paper: collection.paper,
        title: collection.title.to_string(),
        author: collection.foot.by.clone(),
        subject: format!("{} designs in flat peyote stitch", grouped(charts.len())),
        paints: paints.all.clone(),
        pictures: Vec::new(),
        pages: Vec::new(),
        elements: Vec::new(),
        bookmarks: Vec::new(),
    };
    for pattern in collection.patterns {
        super::check_size(pattern.band.chart)?;
    }
    let mut setter = Setter::new(document, look);
    let contents = front(&mut setter, collection, &paints);
    let mut starts = Vec::new();
    for (pattern, first) in collection.patterns.iter().zip(&paints.first) {
        starts.push(setter.document.pages.len() + 1);
        setter.paint_from(*first);
        design(&mut setter, pattern);
    }
    setter.end_design();
    techniques(&mut setter, collection, &paints);
    numbers(&mut setter, &contents, &starts);
    let mut document = setter.document;
    collection.foot.set(&mut document, &look);
    Ok(document)
}

/// The paints of several charts in one list.
pub(super) struct Paints {
    pub(super) all: Vec<crate::scene::Paint>,
    /// For each chart its first paint.
    pub(super) first: Vec<u16>,
}

impl Paints {
    pub(super) fn of(charts: &[&Chart], look: &Look) -> Self {
        let (mut all, mut first) = (Vec::new(), Vec::new());
        for chart in charts {
            first.push(all.len() as u16);
            all.extend(look.style.paints(chart, false));
        }
        Self { all, first }
    }
}

/// Title, contents, and the beads of all designs.
fn front(setter: &mut Setter, collection: &Collection, paints: &Paints) -> Vec<Entry> {
    let count = collection.patterns.len();
    let kind = format!("{} designs in flat peyote stitch", grouped(count));
    let line = match &collection.foot.by {
        Some(by) => format!("{kind}, by {by}"),
        None => kind,
    };
    titled(setter, collection.title, &line);
    let body = setter.look.body;
    let told = [collection.note, collection.foot.terms.as_deref()];
    for words in told.into_iter().flatten() {
        setter.paragraph(words, body);
        setter.space(1.6);
    }
    if let Some(pixels) = collection.picture {
        let shows = format!("A picture of the finished work: {}.", collection.title);
        let corner = Point::new(setter.look.left, setter.y);
        let high = cover::set_picture(setter, pixels, corner, shows);
        setter.y = setter.y + high + Mm::new(6.0);
    }
    let contents = contents(setter, collection, paints);
    setter.paint_from(0);
    all_beads(setter, collection, paints);
    contents
}

/// A line a design: its strip, its title, what it measures. The page numbers follow later.
fn contents(setter: &mut Setter, collection: &Collection, paints: &Paints) -> Vec<Entry> {
    setter.heading("Contents");
    let list = setter.element(Role::List, None);
    let left = setter.look.left + Mm::new(THUMB.0 + 6.0);
    let right = setter.look.left + setter.look.width;
    let mut entries = Vec::new();
    for (pattern, first) in collection.patterns.iter().zip(&paints.first) {
        setter.need(Mm::new(LINE));
        setter.paint_from(*first);
        let middle = setter.y + Mm::new(LINE / 2.0);
        let thumb = thumbnail(pattern.band.chart, THUMB.0, THUMB.1);
        let corner = Point::new(setter.look.left, middle - thumb.height / 2.0);
        setter.decorate(super::setter::placed(&thumb, corner));
        let (body, small) = (setter.look.body, setter.look.small);
        let element = setter.element(Role::Item, Some(list));
        let words = setter.element(Role::Body, Some(element));
        let room = right - left - Mm::new(12.0);
        let title = &pattern.work.guide.title;
        let title = wrap(title, body.size, Weight::Semibold, room).swap_remove(0);
        let baseline = middle - Mm::new(0.6);
        let below = baseline + Mm::new(4.4);
        let lines = vec![
            setter.line(left, baseline, format!("{title} "), body.bold()),
            setter.line(left, below, measures(pattern), small),
        ];
        setter.mark(words, lines);
        entries.push(Entry {
            title: pattern.work.guide.title.clone(),
            page: setter.document.pages.len() - 1,
            top: setter.y,
            baseline,
            element,
        });
        setter.y = setter.y + Mm::new(LINE);
    }
    setter.space(4.0);
    entries
}

/// The whole band along the page, no larger than so much.
pub(super) fn thumbnail(chart: &Chart, wide: f64, high: f64) -> Drawing {
    let lattice = &chart.lattice;
    let scale = (wide / lattice.flat_height().get()).min(high / lattice.width().get());
    strip(chart, scale, Laid::lying(chart))
}

/// What a line of the contents says of a design.
fn measures(pattern: &Pattern) -> String {
    let lattice = &pattern.band.chart.lattice;
    let size = pattern.ring.and_then(|ring| ring.size.us());
    let size = size.map_or(String::new(), |us| {
        format!("; US {}", crate::units::decimals(us, 2))
    });
    format!(
        "{} columns, {} rows, {} beads{size} ",
        grouped(lattice.columns() as usize),
        grouped(lattice.rows() as usize),
        grouped(lattice.len())
    )
}

/// The page numbers of the contents, and a link over each line to its page.
fn numbers(setter: &mut Setter, entries: &[Entry], starts: &[usize]) {
    let (body, left, width) = (setter.look.body, setter.look.left, setter.look.width);
    for (entry, start) in entries.iter().zip(starts) {
        let number = Item::Text(Text {
            x: left + width,
            baseline: entry.baseline,
            size: body.size,
            weight: body.weight,
            anchor: Anchor::End,
            figures: Figures::Tabular,
            colour: body.colour,
            words: format!("page {start}"),
        });
        let link = Ink::Link(Link {
            within: Place {
                corner: Point::new(left, entry.top),
                width,
                height: Mm::new(LINE),
            },
            page: start - 1,
            words: format!("{}, page {start}", entry.title),
        });
        let of = setter.element(Role::Body, Some(entry.element));
        let of = Some(setter.element(Role::Link, Some(of)));
        let marks = [Ink::Items(vec![number]), link].map(|ink| Mark { of, ink });
        setter.document.pages[entry.page].marks.extend(marks);
    }
}

/// The beads of one band of each design, and the thread.
fn all_beads(setter: &mut Setter, collection: &Collection, paints: &Paints) {
    let order = collection.order;
    let spare = spare_words(order.spare_percent);
    let mut told = vec![format!(
        "Thread: {} in all, {}.",
        order.units.beside(&to_cut(order.thread_mm)),
        needles(order)
    )];
    if spare != "none" {
        told.push(format!("With spare: {spare}."));
    }
    let charts = collection.patterns.iter().map(|one| one.band.chart);
    let table = OrderTable {
        order,
        charts: &charts.collect::<Vec<&Chart>>(),
        paints,
    };
    // On a page of its own where it would otherwise go on to a second page.
    let lines = order.colours.len() + 1;
    let high = cover::table_room(setter, lines, &told) + Mm::new(HEADED);
    if setter.room() < high && high < setter.look.bottom - setter.look.top {
        setter.page();
    }
    setter.heading("What you need for one of each");
    table.set(setter, |_| true, |beads| beads.laid_in(), &told);
}

/// The needle, which may differ from design to design.
fn needles(order: &OrderReport) -> String {
    let mut all: Vec<String> = Vec::new();
    for design in &order.designs {
        let needle = needle_size(&design.kit);
        if !all.contains(&needle) {
            all.push(needle);
        }
    }
    format!("beading needle {}", all.join("; for others "))
}

/// Tables of the beads of several charts.
pub(super) struct OrderTable<'a> {
    pub(super) order: &'a OrderReport,
    pub(super) charts: &'a [&'a Chart],
    pub(super) paints: &'a Paints,
}

impl OrderTable<'_> {
    /// Sets the colours that are wanted with some of their columns, and what is told below.
    pub(super) fn set(
        &self,
        setter: &mut Setter,
        wanted: impl Fn(&KitColourReport) -> bool,
        columns: fn(&Beads) -> Vec<kit::Column>,
        told: &[String],
    ) {
        let order = self.order;
        let rows = (0..order.colours.len()).filter(|&at| wanted(&order.colours[at]));
        let rows: Vec<usize> = rows.collect();
        let colours: Vec<KitColourReport> =
            rows.iter().map(|&at| order.colours[at].clone()).collect();
        let beads = Beads {
            colours: &colours,
            several: false,
            spare: order.spare_percent > 0.0,
            currency: order.currency.as_deref(),
        };
        let swatch = |row: usize, at: Point| {
            let (chart, colour) = (order.first[rows[row]], colours[row].colour as u16);
            let mut beads = swatch(self.charts[chart], colour, Mm::new(SWATCH), at);
            beads.placed[0].paint += self.paints.first[chart];
            vec![Item::Beads(beads)]
        };
        let table = Table {
            columns: table_columns(columns(&beads)),
            indent: Mm::new(8.0),
            before: Some(&swatch),
            leading: leading(setter, rows.len() + 1, told),
        };
        setter.table(&table);
        let small = setter.look.small;
        for words in told {
            setter.paragraph(words, small);
        }
    }
}

/// What is a design's own: cover, chart, rows, and how it is made smaller or larger.
fn design(setter: &mut Setter, pattern: &Pattern) {
    setter.begin_design(&pattern.work.guide.title);
    cover::cover(setter, pattern);
    let laid = charts::charts(setter, pattern);
    rows::rows(setter, pattern);
    if let Some(sizes) = pattern.sizes {
        size_table(setter, sizes, pattern.band.units);
    }
    if !laid {
        charts::true_size(setter, pattern);
    }
}

/// How the thread goes, once for all designs with an odd or with an even count; how the size is
/// found and the band is closed, once for all of one shape, since rows and beads are counted there.
fn techniques(setter: &mut Setter, collection: &Collection, paints: &Paints) {
    let patterns = collection.patterns;
    let begins = alike(patterns, Begins::of);
    let ends = alike(patterns, |pattern| pattern.band.chart.lattice);
    for group in &begins {
        setter.page();
        setter.paint_from(paints.first[group[0]]);
        way::way(
            setter,
            &patterns[group[0]],
            &for_whom(patterns, group, true),
        );
    }
    for group in &ends {
        let pattern = &patterns[group[0]];
        setter.paint_from(paints.first[group[0]]);
        let whom = for_whom(patterns, group, false);
        let try_on = try_on(patterns, group);
        let told = fit::Told {
            try_on: &try_on.iter().map(String::as_str).collect::<Vec<_>>(),
            whom: &whom,
        };
        fit::fit_of(setter, pattern, true, &told);
        way::finish(setter, pattern, &whom);
    }
}

/// What to say about trying on for the designs of one shape: what is so for all of them once, and
/// the rest of each with its title.
fn try_on(patterns: &[Pattern], group: &[usize]) -> Vec<String> {
    let of = |at: &usize| &patterns[*at].work.guide;
    let is_common = |words: &String| group.iter().all(|at| of(at).try_on.contains(words));
    let first = of(&group[0]).try_on.iter();
    let common = first.filter(|words| is_common(words)).cloned();
    let own = group.iter().flat_map(|at| {
        let guide = of(at);
        let own = guide.try_on.iter().filter(|words| !is_common(words));
        own.map(|words| format!("{}: {words}", guide.title))
    });
    common.chain(own).collect()
}

/// What the first rows and the turns follow from: how many columns there are matters no further.
#[derive(Debug, PartialEq)]
struct Begins {
    odd: bool,
    /// Rows matter where the work begins at the last one.
    rows: Option<u32>,
    closed: bool,
}

impl Begins {
    fn of(pattern: &Pattern) -> Self {
        let (band, lattice) = (pattern.band, &pattern.band.chart.lattice);
        let from_top = band.weave.frame.work_from() == WorkFrom::Top;
        Self {
            odd: lattice.columns() % 2 == 1,
            rows: from_top.then(|| lattice.rows()),
            closed: lattice.is_closed(),
        }
    }
}

/// The designs that are the same in something, by their places, in the order of their first.
fn alike<K: PartialEq>(patterns: &[Pattern], key: impl Fn(&Pattern) -> K) -> Vec<Vec<usize>> {
    let mut groups: Vec<(K, Vec<usize>)> = Vec::new();
    for (at, pattern) in patterns.iter().enumerate() {
        let own = key(pattern);
        match groups.iter_mut().find(|(known, _)| *known == own) {
            Some((_, group)) => group.push(at),
            None => groups.push((own, vec![at])),
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}

/// For which designs a chapter is; empty where it is for all and none is drawn.
fn for_whom(patterns: &[Pattern], group: &[usize], drawn: bool) -> String {
    let title = |at: &usize| patterns[*at].work.guide.title.as_str();
    let all = group.len() == patterns.len();
    let mut words = String::new();
    if !all {
        let names: Vec<&str> = group.iter().map(title).collect();
        words += &sentence(&format!("for {}", names.join(", ")));
    }
    if drawn && group.len() > 1 {
        let space = if words.is_empty() { "" } else { " " };
        words += &format!(
            "{space}Drawings, names of colours and the thread to cut are those of {}; the others \
             are woven in the same way, with the thread that stands on their own first page.",
            title(&group[0])
        );
    }
    words
}
