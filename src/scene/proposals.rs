//! Several charts of one picture side by side: the flat strip of each, its ring, and what is said
//! of it.

use super::strip::{Laid, strip};
use super::style::Style;
use super::word_column::{Column, Face};
use super::words::clean;
use super::{Beads, Item, Paint, Point, Scene, group};
use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::units::Mm;

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
        column.heading(&card.number.to_string(), &card.name);
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
        column.colours(card.chart, &paints, base, NAMED);
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
