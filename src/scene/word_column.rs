//! Words, and the colours of a chart with their beads, set below one another beside a drawing.

use super::strip::swatch;
use super::style::Style;
use super::words::{clean, count_of};
use super::wrap::wrap;
use super::{Anchor, Figures, Item, Paint, Point, Text, Weight, font};
use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::units::{Mm, grouped};

/// Side of a colour's bead.
const SWATCH: f64 = 3.6;

/// How a line of words is set.
pub(super) struct Face {
    pub(super) size: Mm,
    /// From one line to the next.
    pub(super) line: Mm,
    weight: Weight,
    colour: Srgb8,
}

impl Face {
    pub(super) fn of(style: &Style, size: f64, weight: Weight, colour: Srgb8) -> Self {
        Self {
            size: style.mm(size),
            line: style.mm(size * 1.32),
            weight,
            colour,
        }
    }

    pub(super) fn title(style: &Style) -> Self {
        Self::of(style, 6.0, Weight::Semibold, style.ink)
    }

    pub(super) fn heading(style: &Style) -> Self {
        Self::of(style, 4.4, Weight::Semibold, style.ink)
    }

    pub(super) fn plain(style: &Style) -> Self {
        Self::of(style, 3.2, Weight::Regular, style.ink)
    }

    pub(super) fn quiet(style: &Style) -> Self {
        Self::of(style, 3.2, Weight::Regular, style.muted)
    }

    pub(super) fn small(style: &Style) -> Self {
        Self::of(style, 2.5, Weight::Regular, style.muted)
    }
}

/// Words set below one another.
pub(super) struct Column {
    style: Style,
    /// Where the next line goes.
    pub(super) at: Point,
    room: Mm,
    /// What is set so far.
    pub(super) items: Vec<Item>,
}

impl Column {
    pub(super) fn new(style: Style, at: Point, room: Mm) -> Self {
        Self {
            style,
            at,
            room,
            items: Vec::new(),
        }
    }

    pub(super) fn skip(&mut self, millimetres: f64) {
        self.at.y = self.at.y + self.style.mm(millimetres);
    }

    pub(super) fn lines(&mut self, words: &str, face: &Face) {
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
    pub(super) fn heading(&mut self, number: &str, name: &str) {
        let face = Face::heading(&self.style);
        let (at, room) = (self.at, self.room);
        self.lines(number, &face);
        let taken = font::width(number, face.size, face.weight, Figures::Running);
        let indent = taken + face.size * 0.5;
        self.at = at.shifted(indent, Mm::new(0.0));
        self.room = room - indent;
        self.lines(name, &face);
        self.at.x = at.x;
        self.room = room;
    }

    /// Parts next to one another, each on one line as far as it fits there.
    pub(super) fn parts(&mut self, parts: &[String], face: &Face) {
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

    /// A bead of each colour, the most used first and `most` of them with name and count. `base` is
    /// where the chart's paints begin among those of the sheet.
    pub(super) fn colours(&mut self, chart: &Chart, paints: &[Paint], base: u16, most: usize) {
        let face = Face::plain(&self.style);
        let mut used: Vec<u16> = (0..paints.len() as u16)
            .filter(|&at| paints[usize::from(at)].count > 0)
            .collect();
        used.sort_by_key(|&at| std::cmp::Reverse(paints[usize::from(at)].count));
        let (named, rest) = used.split_at(used.len().min(most));
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
