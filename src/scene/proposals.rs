//! Several charts of one picture side by side: the flat strip of each, its ring, and what is said
//! of it.

use super::strip::{Laid, strip, swatch};
use super::style::Style;
use super::words::{clean, count_of};
use super::wrap::wrap;
use super::{Anchor, Beads, Figures, Item, Paint, Point, Scene, Text, Weight, font, group};
use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::units::{Mm, grouped};

/// Cards beside one another.
const ACROSS: usize = 2;
/// Margin of the sheet, between two columns of cards, and between two rows.
const MARGIN: f64 = 7.0;
const BETWEEN: f64 = 9.0;
const BELOW: f64 = 9.0;
/// Height of the tallest strip, and width of the widest.
const TALLEST: f64 = 86.0;
const WIDEST: f64 = 44.0;
/// Times true size that a strip is drawn at most.
const MOST_TIMES: f64 = 2.0;
/// From a strip to its words, and how wide these are.
const APART: f64 = 4.0;
const WORDS: f64 = 40.0;
/// Side of the square that the ring's picture fills.
const RING: f64 = 33.0;
/// Colours that are named; of the others there is a bead each.
const NAMED: usize = 6;
/// Side of a colour's bead.
const SWATCH: f64 = 3.6;

/// A chart, and what is said of it.
#[derive(Debug, Clone)]
pub struct ProposalCard<'a> {
    /// The chart.
    pub chart: &'a Chart,
    /// Its number.
    pub number: usize,
    /// Its name.
    pub name: String,
    /// What differs in it.
    pub description: String,
    /// Its figures and what there is to know, a line each, longer ones wrapped.
    pub facts: Vec<String>,
    /// The command that makes it, in parts that stay on one line.
    pub command: Vec<String>,
}

/// Where the picture of a ring goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RingPlace {
    /// Which card it is on.
    pub card: usize,
    /// Its upper left corner.
    pub corner: Point,
    /// Its side.
    pub side: Mm,
}

/// Charts of `title`, two in a row, and where their rings go; open strips have none. Below the
/// title stand `facts`, a line each.
pub fn proposals(title: &str, facts: &[String], cards: &[ProposalCard]) -> (Scene, Vec<RingPlace>) {
    let backdrop = Srgb8::new(255, 255, 255);
    let style = Style::on(Some(backdrop), 1.0);
    let mut sheet = Sheet::new(style, cards);
    let mut top = sheet.head(title, facts);
    for (row, some) in cards.chunks(ACROSS).enumerate() {
        let mut bottom = top;
        for (column, card) in some.iter().enumerate() {
            let step = sheet.strips + style.mm(APART + WORDS + BETWEEN);
            let corner = Point::new(style.mm(MARGIN) + step * column as f64, top);
            bottom = bottom.max(sheet.card(row * ACROSS + column, card, corner));
        }
        top = bottom + style.mm(BELOW);
    }
    let across = cards.len().clamp(1, ACROSS) as f64;
    let card = sheet.strips + style.mm(APART + WORDS);
    let scene = Scene {
        width: card * across + style.mm(BETWEEN * (across - 1.0) + MARGIN * 2.0),
        height: top - style.mm(BELOW - MARGIN),
        backdrop: Some(backdrop),
        title: clean(title),
        description: clean(&facts.join("; ")),
        paints: sheet.paints,
        items: sheet.items,
    };
    (scene, sheet.rings)
}

/// What is drawn so far.
struct Sheet {
    style: Style,
    /// How many times true size the strips are drawn, all of them.
    times: f64,
    /// Width of the widest strip.
    strips: Mm,
    paints: Vec<Paint>,
    items: Vec<Item>,
    rings: Vec<RingPlace>,
}

impl Sheet {
    fn new(style: Style, cards: &[ProposalCard]) -> Self {
        let widest = cards.iter().map(|card| card.chart.lattice.width());
        let tallest = cards.iter().map(|card| card.chart.lattice.flat_height());
        let most = |sides: &mut dyn Iterator<Item = Mm>| sides.fold(Mm::new(0.1), Mm::max);
        let (width, height) = (
            most(&mut widest.into_iter()),
            most(&mut tallest.into_iter()),
        );
        let times = (TALLEST / height.get())
            .min(WIDEST / width.get())
            .min(MOST_TIMES);
        Self {
            style,
            times,
            strips: width * times,
            paints: Vec::new(),
            items: Vec::new(),
            rings: Vec::new(),
        }
    }

    /// The title with a line of facts; where the cards begin.
    fn head(&mut self, title: &str, facts: &[String]) -> Mm {
        let room =
            self.strips * ACROSS as f64 + self.style.mm((APART + WORDS) * ACROSS as f64 + BETWEEN);
        let mut column = Column::new(
            self.style,
            Point::new(self.style.mm(MARGIN), self.style.mm(MARGIN)),
            room,
        );
        column.lines(title, &Face::title(&self.style));
        column.skip(1.0);
        for line in facts {
            column.lines(line, &Face::quiet(&self.style));
        }
        column.skip(6.0);
        self.items.extend(column.items);
        column.at.y
    }

    /// One card with its upper left corner at a point; where it ends.
    fn card(&mut self, number: usize, card: &ProposalCard, corner: Point) -> Mm {
        let style = self.style;
        let base = self.paints.len() as u16;
        let paints = style.paints(card.chart, false);
        let band = strip(card.chart, self.times, Laid::Upright);
        let shift = |mut beads: Beads| {
            for bead in &mut beads.placed {
                bead.left = bead.left + corner.x;
                bead.top = bead.top + corner.y;
                bead.paint += base;
            }
            Item::Beads(beads)
        };
        let beads = band.items.into_iter().filter_map(|item| match item {
            Item::Beads(beads) => Some(shift(beads)),
            _ => None,
        });
        self.items.push(group(&card.name, beads.collect()));

        let left = corner.x + self.strips + style.mm(APART);
        let mut column = Column::new(style, Point::new(left, corner.y), style.mm(WORDS));
        column.heading(card);
        column.skip(0.6);
        column.lines(&card.description, &Face::quiet(&style));
        if card.chart.lattice.is_closed() {
            self.rings.push(RingPlace {
                card: number,
                corner: column.at,
                side: style.mm(RING),
            });
            column.skip(RING);
        } else {
            column.skip(2.5);
        }
        column.colours(card.chart, &paints, base);
        column.skip(1.2);
        for line in &card.facts {
            column.lines(line, &Face::plain(&style));
        }
        let end = column.at.y.max(corner.y + band.height);
        self.items.extend(column.items);
        let room = self.strips + style.mm(APART + WORDS);
        let below = Point::new(corner.x, end + style.mm(2.0));
        let mut below = Column::new(style, below, room);
        below.parts(&card.command, &Face::small(&style));
        self.items.extend(below.items);
        self.paints.extend(paints);
        below.at.y
    }
}

/// How a line of words is set.
struct Face {
    size: Mm,
    /// From one line to the next.
    line: Mm,
    weight: Weight,
    colour: Srgb8,
}

impl Face {
    fn of(style: &Style, size: f64, weight: Weight, colour: Srgb8) -> Self {
        Self {
            size: style.mm(size),
            line: style.mm(size * 1.32),
            weight,
            colour,
        }
    }

    fn title(style: &Style) -> Self {
        Self::of(style, 6.0, Weight::Semibold, style.ink)
    }

    fn heading(style: &Style) -> Self {
        Self::of(style, 4.4, Weight::Semibold, style.ink)
    }

    fn plain(style: &Style) -> Self {
        Self::of(style, 3.2, Weight::Regular, style.ink)
    }

    fn quiet(style: &Style) -> Self {
        Self::of(style, 3.2, Weight::Regular, style.muted)
    }

    fn small(style: &Style) -> Self {
        Self::of(style, 2.5, Weight::Regular, style.muted)
    }
}

/// Words set below one another.
struct Column {
    style: Style,
    at: Point,
    room: Mm,
    items: Vec<Item>,
}

impl Column {
    fn new(style: Style, at: Point, room: Mm) -> Self {
        Self {
            style,
            at,
            room,
            items: Vec::new(),
        }
    }

    fn skip(&mut self, millimetres: f64) {
        self.at.y = self.at.y + self.style.mm(millimetres);
    }

    fn lines(&mut self, words: &str, face: &Face) {
        for words in wrap(&clean(words), face.size, face.weight, self.room) {
            let baseline = self.at.y + (face.line + face.size * font::CAPITALS) / 2.0;
            self.items.push(Item::Text(Text {
                weight: face.weight,
                colour: face.colour,
                ..self.style.text(self.at.x, baseline, face.size, words)
            }));
            self.at.y = self.at.y + face.line;
        }
    }

    /// The number, and beside it the name.
    fn heading(&mut self, card: &ProposalCard) {
        let face = Face::heading(&self.style);
        let (at, room) = (self.at, self.room);
        let number = card.number.to_string();
        self.lines(&number, &face);
        let taken = font::width(&number, face.size, face.weight, Figures::Running);
        let indent = taken + face.size * 0.5;
        self.at = at.shifted(indent, Mm::new(0.0));
        self.room = room - indent;
        self.lines(&card.name, &face);
        self.at.x = at.x;
        self.room = room;
    }

    /// Parts next to one another, each on one line as far as it fits there.
    fn parts(&mut self, parts: &[String], face: &Face) {
        let width = |words: &str| font::width(words, face.size, face.weight, Figures::Running);
        let mut line = String::new();
        for part in parts {
            let longer = format!("{line} {part}");
            if !line.is_empty() && width(&longer) > self.room {
                self.lines(&line, face);
                line.clone_from(part);
            } else {
                line = longer.trim_start().to_string();
            }
        }
        self.lines(&line, face);
    }

    /// A bead of each colour, the most used first and the first of them with name and count.
    fn colours(&mut self, chart: &Chart, paints: &[Paint], base: u16) {
        let face = Face::plain(&self.style);
        let mut used: Vec<u16> = (0..paints.len() as u16)
            .filter(|&at| paints[usize::from(at)].count > 0)
            .collect();
        used.sort_by_key(|&at| std::cmp::Reverse(paints[usize::from(at)].count));
        let (named, rest) = used.split_at(used.len().min(NAMED));
        let (side, line) = (self.style.mm(SWATCH), self.style.mm(SWATCH * 1.3));
        let bead = |at: u16, left_middle: Point| {
            let mut beads = swatch(chart, at, side, left_middle);
            beads.placed.iter_mut().for_each(|bead| bead.paint += base);
            Item::Beads(beads)
        };
        for &at in named {
            let paint = &paints[usize::from(at)];
            let middle = self.at.y + line / 2.0;
            let baseline = middle + face.size * (font::CAPITALS / 2.0);
            self.items.push(bead(at, Point::new(self.at.x, middle)));
            let end = self.at.x + self.room;
            let indent = self.at.x + side * 1.35;
            let count = count_of(paint.count);
            let taken = font::width(&count, face.size, face.weight, Figures::Tabular);
            let room = end - indent - taken - face.size * 0.6;
            let name = shortened(&clean(&paint.shade.name), &face, room);
            let name = self.style.text(indent, baseline, face.size, name);
            self.items.push(Item::Text(name));
            self.items.push(Item::Text(Text {
                anchor: Anchor::End,
                figures: Figures::Tabular,
                colour: face.colour,
                ..self.style.text(end, baseline, face.size, count)
            }));
            self.at.y = self.at.y + line;
        }
        self.others(rest, bead, &face, line);
    }

    /// A bead of each of the other colours in a row, as many as there is room for, and how many
    /// there are.
    fn others(&mut self, rest: &[u16], bead: impl Fn(u16, Point) -> Item, face: &Face, line: Mm) {
        if rest.is_empty() {
            return;
        }
        let words = format!("{} more", grouped(rest.len()));
        let width = font::width(&words, face.size, face.weight, Figures::Running);
        let step = self.style.mm(SWATCH * 1.15);
        let middle = self.at.y + line / 2.0;
        let room = self.room - width - face.size * 0.8;
        let shown = ((room / step) as usize).min(rest.len());
        for (at, &paint) in rest[..shown].iter().enumerate() {
            let left = self.at.x + step * at as f64;
            self.items.push(bead(paint, Point::new(left, middle)));
        }
        let baseline = middle + face.size * (font::CAPITALS / 2.0);
        let left = self.at.x + step * shown as f64 + face.size * 0.4;
        self.items.push(Item::Text(
            self.style.text(left, baseline, face.size, words),
        ));
        self.at.y = self.at.y + line;
    }
}

/// A name cut where there is no room for it.
fn shortened(name: &str, face: &Face, room: Mm) -> String {
    let width = |words: &str| font::width(words, face.size, face.weight, Figures::Running);
    if width(name) <= room {
        return name.to_string();
    }
    let mut kept: String = name.to_string();
    while !kept.is_empty() && width(&format!("{kept}…")) > room {
        kept.pop();
    }
    format!("{}…", kept.trim_end())
}
