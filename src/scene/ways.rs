//! Colourways of one design side by side: of each the flat strip, the ring, its name and the beads
//! of each colour. One layout serves a picture, which is as long as it must be, and pages.

use super::strip::{Laid, strip};
use super::style::Style;
use super::word_column::{Column, Face};
use super::words::clean;
use super::{Beads, Item, Paint, Point};
use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::units::{Mm, decimals};

/// Width of a sheet that is no page, its margins, between two columns and two rows of cards.
const WIDTH: f64 = 210.0;
const MARGIN: f64 = 12.0;
const BETWEEN: f64 = 9.0;
const BELOW: f64 = 9.0;
/// Cards beside one another, and of designs whose strips lie.
const ACROSS: usize = 3;
const LYING_ACROSS: usize = 2;
/// Height of the tallest strip, and width of the widest.
const TALLEST: f64 = 72.0;
const WIDEST: f64 = 22.0;
/// From a strip to its words.
const APART: f64 = 4.0;
/// Side of the square that the ring's picture fills.
const RING: f64 = 32.0;
/// From a strip that lies to what stands below it, and the widest words there.
const UNDER: f64 = 2.5;
const WORDS: f64 = 42.0;
/// Colours that are named; of the others there is a bead each.
const NAMED: usize = 24;

/// A colourway, and what is said of it.
#[derive(Debug, Clone)]
pub struct WayCard<'a> {
    /// Its chart.
    pub chart: &'a Chart,
    /// Its name.
    pub name: String,
    /// What there is to know, a line each.
    pub facts: Vec<String>,
}

/// The size of a page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PageSize {
    /// From the left edge to the right one.
    pub width: Mm,
    /// From the upper edge to the lower one.
    pub height: Mm,
}

/// The cards on one sheet or on pages.
#[derive(Debug, Clone, PartialEq)]
pub struct WaysSheet {
    /// From the left edge to the right one.
    pub width: Mm,
    /// From the upper edge to the lower one.
    pub height: Mm,
    /// What beads are painted with, on all pages.
    pub paints: Vec<Paint>,
    /// The parts of each page, in reading order.
    pub pages: Vec<Vec<SheetPart>>,
}

/// Something on a sheet, and what it is.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetPart {
    /// What it is.
    pub mark: SheetMark,
    /// What is drawn; nothing for a ring, whose picture goes there.
    pub items: Vec<Item>,
}

/// What a part of a sheet is.
#[derive(Debug, Clone, PartialEq)]
pub enum SheetMark {
    /// The sheet's title.
    Title(String),
    /// The name of a card.
    Name(String),
    /// Words.
    Words,
    /// A drawing, with what it shows.
    Drawing(String),
    /// Where a ring's picture goes.
    Ring {
        /// Which card's.
        card: usize,
        /// Its upper left corner.
        corner: Point,
        /// Its side.
        side: Mm,
    },
}

/// Colourways below `title` and `facts`: on pages where a size is given, else on one
/// sheet of the height that they need. Open strips have no rings.
pub fn ways_sheet(
    title: &str,
    facts: &str,
    cards: &[WayCard],
    page: Option<PageSize>,
) -> WaysSheet {
    let mut sheet = Sheet::new(cards, page);
    sheet.head(title, facts);
    for (row, some) in cards.chunks(sheet.across).enumerate() {
        sheet.row(row * sheet.across, some);
    }
    let height = page.map_or(sheet.top - sheet.style.mm(BELOW - MARGIN), |page| {
        page.height
    });
    WaysSheet {
        width: sheet.width,
        height,
        paints: sheet.paints,
        pages: sheet.pages,
    }
}

/// What is laid out so far.
struct Sheet {
    style: Style,
    width: Mm,
    /// Where a page ends.
    bottom: Option<Mm>,
    /// How many times true size the strips are drawn, all of them.
    times: f64,
    /// Width of the widest strip.
    strips: Mm,
    /// Cards beside one another.
    across: usize,
    /// Width of a card.
    card: Mm,
    /// Where the next row of cards begins.
    top: Mm,
    paints: Vec<Paint>,
    pages: Vec<Vec<SheetPart>>,
}

impl Sheet {
    fn new(cards: &[WayCard], page: Option<PageSize>) -> Self {
        let most = |side: fn(&Chart) -> Mm| {
            let sides = cards.iter().map(|card| side(card.chart));
            sides.fold(Mm::new(0.1), Mm::max)
        };
        let style = Style::on(Some(Srgb8::new(255, 255, 255)), 1.0);
        let whole = page.map_or(style.mm(WIDTH), |page| page.width);
        let lies = cards.iter().any(|card| card.chart.is_lengthwise());
        let across = if lies { LYING_ACROSS } else { ACROSS };
        let between = style.mm(MARGIN * 2.0 + BETWEEN * (across - 1) as f64);
        let card = (whole - between) / across as f64;
        let longest = if lies { card.get() } else { TALLEST };
        let width = most(|chart| chart.lattice.width());
        let height = most(|chart| chart.lattice.flat_height());
        // True size where it fits.
        let times = (longest / height.get()).min(WIDEST / width.get()).min(1.0);
        Self {
            style,
            width: whole,
            bottom: page.map(|page| page.height - style.mm(MARGIN)),
            times,
            strips: width * times,
            across,
            card,
            top: style.mm(MARGIN),
            paints: Vec::new(),
            pages: vec![Vec::new()],
        }
    }

    fn put(&mut self, mark: SheetMark, items: Vec<Item>) {
        if let Some(page) = self.pages.last_mut() {
            page.push(SheetPart { mark, items });
        }
    }

    fn head(&mut self, title: &str, facts: &str) {
        let style = self.style;
        let corner = Point::new(style.mm(MARGIN), self.top);
        let room = self.width - style.mm(MARGIN * 2.0);
        let mut column = Column::new(style, corner, room);
        column.lines(title, &Face::title(&style));
        column.skip(1.0);
        self.put(
            SheetMark::Title(clean(title)),
            std::mem::take(&mut column.items),
        );
        let scale = if self.times < 1.0 {
            format!("strips at {} of true size", decimals(self.times, 2))
        } else {
            "strips at true size".to_string()
        };
        column.lines(&format!("{facts}; {scale}"), &Face::quiet(&style));
        self.put(SheetMark::Words, std::mem::take(&mut column.items));
        column.skip(7.0);
        self.top = column.at.y;
    }

    /// A row of cards, the first of which has this number; on a new page where it does not fit.
    fn row(&mut self, first: usize, cards: &[WayCard]) {
        let base = self.paints.len();
        let mut laid = self.cards(first, cards, self.top);
        let begins = self.pages.last().is_some_and(Vec::is_empty);
        if self.bottom.is_some_and(|bottom| laid.bottom > bottom) && !begins {
            self.pages.push(Vec::new());
            self.paints.truncate(base);
            laid = self.cards(first, cards, self.style.mm(MARGIN));
        }
        if let Some(page) = self.pages.last_mut() {
            page.extend(laid.parts);
        }
        self.top = laid.bottom + self.style.mm(BELOW);
    }

    /// Cards beside one another: their names, and below the lowest of these all else.
    fn cards(&mut self, first: usize, cards: &[WayCard], top: Mm) -> Cards {
        let style = self.style;
        let step = self.card + style.mm(BETWEEN);
        let left = |at: usize| style.mm(MARGIN) + step * at as f64;
        let names: Vec<Column> = cards
            .iter()
            .enumerate()
            .map(|(at, card)| {
                let mut column = Column::new(style, Point::new(left(at), top), self.card);
                column.lines(&card.name, &Face::heading(&style));
                column
            })
            .collect();
        let below = names.iter().map(|column| column.at.y).fold(top, Mm::max) + style.mm(1.6);
        let mut laid = Cards {
            parts: Vec::new(),
            bottom: below,
        };
        for (at, (card, name)) in cards.iter().zip(names).enumerate() {
            laid.parts.push(SheetPart {
                mark: SheetMark::Name(clean(&card.name)),
                items: name.items,
            });
            self.lay(first + at, card, Point::new(left(at), below), &mut laid);
        }
        laid
    }

    /// One card below its name, with its upper left corner at a point.
    fn lay(&mut self, number: usize, card: &WayCard, corner: Point, laid: &mut Cards) {
        let style = self.style;
        let base = self.paints.len() as u16;
        let paints = style.paints(card.chart, false);
        let (band, end) = self.band(card, base, corner);
        laid.parts.push(band);
        let places = self.places(card.chart, corner, end);
        if let Some((corner, side)) = places.ring {
            laid.parts.push(SheetPart {
                mark: SheetMark::Ring {
                    card: number,
                    corner,
                    side,
                },
                items: Vec::new(),
            });
            laid.bottom = laid.bottom.max(corner.y + side);
        }
        let mut column = Column::new(style, places.words, places.room);
        column.colours(card.chart, &paints, base, NAMED);
        // Each colour by itself, from its bead on, so that they are read apart.
        let begins = |item: &Item| matches!(item, Item::Beads(_));
        for items in std::mem::take(&mut column.items).chunk_by(|_, next| !begins(next)) {
            laid.parts.push(words(items.to_vec()));
        }
        column.skip(1.0);
        for line in &card.facts {
            column.lines(line, &Face::small(&style));
        }
        laid.bottom = laid.bottom.max(end).max(column.at.y);
        laid.parts.push(words(column.items));
        self.paints.extend(paints);
    }

    /// Where the ring and the words of a card go, whose strip ends at `end`: both beside an upright
    /// strip, one below the other; beside one another below a strip that lies.
    fn places(&self, chart: &Chart, corner: Point, end: Mm) -> Places {
        let style = self.style;
        let lies = Laid::level(chart) != Laid::Upright;
        let at = if lies {
            Point::new(corner.x, end + style.mm(UNDER))
        } else {
            Point::new(corner.x + self.strips + style.mm(APART), corner.y)
        };
        let room = corner.x + self.card - at.x;
        let mut places = Places {
            ring: None,
            words: at,
            room,
        };
        if !chart.lattice.is_closed() {
            return places;
        }
        let side = Mm::new(style.mm(RING).get().min(room.get()));
        places.ring = Some((at, side));
        if lies {
            let indent = side + style.mm(APART);
            places.words.x = places.words.x + indent;
            places.room = Mm::new((room - indent).get().min(style.mm(WORDS).get()));
        } else {
            places.words.y = places.words.y + side + style.mm(1.0);
        }
        places
    }

    /// The flat strip of a card, and where it ends.
    fn band(&self, card: &WayCard, base: u16, corner: Point) -> (SheetPart, Mm) {
        let laid = Laid::level(card.chart);
        let band = strip(card.chart, self.times, laid);
        let end = corner.y + band.height;
        let moved = |mut beads: Beads| {
            for bead in &mut beads.placed {
                bead.left = bead.left + corner.x;
                bead.top = bead.top + corner.y;
                bead.paint += base;
            }
            Item::Beads(beads)
        };
        let items = band.items.into_iter().filter_map(|item| match item {
            Item::Beads(beads) => Some(moved(beads)),
            _ => None,
        });
        let part = SheetPart {
            mark: SheetMark::Drawing(format!(
                "{}: the flat strip, row 1 at the {}.",
                clean(&card.name),
                laid.row_1()
            )),
            items: items.collect(),
        };
        (part, end)
    }
}

/// Where the parts of a card go beside its strip.
struct Places {
    /// Upper left corner and side of the ring's picture; none of an open strip.
    ring: Option<(Point, Mm)>,
    words: Point,
    /// Width of the words.
    room: Mm,
}

/// Cards that are laid out, and where the lowest ends.
struct Cards {
    parts: Vec<SheetPart>,
    bottom: Mm,
}

fn words(items: Vec<Item>) -> SheetPart {
    SheetPart {
        mark: SheetMark::Words,
        items,
    }
}
