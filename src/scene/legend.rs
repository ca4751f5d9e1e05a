//! The colours beside a band: a bead of each, its name, code and finish, and how many there are.

mod entry;

use super::style::Style;
use super::words::count_of;
use super::{Anchor, Beads, Figures, Item, Paint, Placed, Shape, Text, font, group};
use crate::units::Mm;
use entry::{Entry, LARGE, SMALL, Sizes, count_width};
use std::ops::Range;

/// Most colours that have two lines each; more are set smaller, in one line.
const FEW: usize = 36;

/// The legend, flowed into columns.
#[derive(Debug, Clone)]
pub(super) struct Legend {
    sizes: Sizes,
    entries: Vec<Entry>,
    columns: Vec<Range<usize>>,
    words: Mm,
    counts: Mm,
    style: Style,
}

/// What a band takes of a drawing, with its margins.
#[derive(Debug, Clone, Copy)]
pub(super) struct Room {
    pub(super) width: Mm,
    pub(super) height: Mm,
}

impl Legend {
    /// The colours that are used, in as many columns as keep the longest side of the whole drawing
    /// shortest; `taken` is the room that the band takes beside them.
    pub(super) fn new(paints: &[Paint], style: &Style, taken: Room) -> Self {
        let used = paints.iter().filter(|paint| paint.count > 0).count();
        let sizes = if used > FEW { SMALL } else { LARGE };
        let entries: Vec<Entry> = (0..)
            .zip(paints)
            .filter(|(_, paint)| paint.count > 0)
            .map(|(at, paint)| Entry::new(at, paint, &sizes, style))
            .collect();
        let widest = |words: Vec<Mm>| words.into_iter().fold(Mm::new(0.0), Mm::max);
        let words = widest(entries.iter().map(|e| e.width(&sizes, style)).collect());
        let counts = widest(
            entries
                .iter()
                .map(|e| count_width(e.count, &sizes, style))
                .collect(),
        );
        let mut legend = Self {
            sizes,
            entries,
            columns: Vec::new(),
            words,
            counts,
            style: *style,
        };
        legend.columns = legend.flowed(taken);
        legend
    }

    /// From the first column's left edge to the last one's right edge.
    pub(super) fn width(&self) -> Mm {
        self.width_of(self.columns.len())
    }

    /// Height of the highest column.
    pub(super) fn height(&self) -> Mm {
        self.columns
            .iter()
            .map(|column| self.height_of(column.clone()))
            .fold(Mm::new(0.0), Mm::max)
    }

    /// The legend with its upper left corner at a point.
    pub(super) fn draw(&self, left: Mm, top: Mm, bead: Shape) -> Item {
        let shape = swatch(bead, self.style.mm(self.sizes.swatch));
        let mut placed = Vec::new();
        let mut items = Vec::new();
        for (at, column) in self.columns.iter().enumerate() {
            let x = left + (self.column_width() + self.between()) * at as f64;
            let mut y = top;
            for entry in &self.entries[column.clone()] {
                placed.push(self.swatch_of(entry, x, y, shape));
                items.extend(self.words_of(entry, x, y).into_iter().map(Item::Text));
                y = y + entry.height(&self.sizes, &self.style) + self.style.mm(self.sizes.apart);
            }
        }
        items.insert(0, Item::Beads(Beads { shape, placed }));
        group("Colours", items)
    }

    /// The bead in the middle of its square.
    fn swatch_of(&self, entry: &Entry, x: Mm, y: Mm, shape: Shape) -> Placed {
        let side = self.style.mm(self.sizes.swatch);
        Placed {
            left: x + (side - shape.width) / 2.0,
            top: y + (side - shape.height) / 2.0,
            paint: entry.paint,
        }
    }

    /// Name, code and count of an entry.
    fn words_of(&self, entry: &Entry, x: Mm, y: Mm) -> Vec<Text> {
        let (style, sizes) = (&self.style, &self.sizes);
        let indent = x + style.mm(sizes.swatch + sizes.name * 0.8);
        let end = x + self.column_width();
        let line = style.mm(sizes.line);
        let first = y
            + (style.mm(sizes.swatch) - line * (entry.lines() - 1.0).min(1.0)) / 2.0
            + style.mm(sizes.name) * (font::CAPITALS / 2.0);
        let name = style.mm(sizes.name);
        let code = style.mm(sizes.code);
        let mut texts = Vec::new();
        let mut baseline = first;
        for words in &entry.name {
            texts.push(style.text(indent, baseline, name, words));
            baseline = baseline + line;
        }
        for words in &entry.code {
            texts.push(Text {
                colour: style.muted,
                ..style.text(indent, baseline, code, words)
            });
            baseline = baseline + line;
        }
        let count = Text {
            anchor: Anchor::End,
            figures: Figures::Tabular,
            ..style.text(end, first, name, count_of(entry.count))
        };
        texts.push(count);
        texts
    }

    fn column_width(&self) -> Mm {
        let sizes = &self.sizes;
        self.style.mm(sizes.swatch + sizes.name * 0.8)
            + self.words
            + self.style.mm(sizes.name * 1.6)
            + self.counts
    }

    fn between(&self) -> Mm {
        self.style.mm(self.sizes.name * 3.0)
    }

    fn width_of(&self, columns: usize) -> Mm {
        self.column_width() * columns as f64 + self.between() * columns.saturating_sub(1) as f64
    }

    fn height_of(&self, column: Range<usize>) -> Mm {
        let apart = self.style.mm(self.sizes.apart) * column.len().saturating_sub(1) as f64;
        let entries = self.entries[column].iter();
        entries.fold(apart, |sum, e| sum + e.height(&self.sizes, &self.style))
    }

    /// Columns that keep the longest side of band and legend together shortest; of equals, the
    /// fewest.
    fn flowed(&self, taken: Room) -> Vec<Range<usize>> {
        let mut best: Option<(Mm, Vec<Range<usize>>)> = None;
        for count in 1..=self.entries.len() {
            let across = taken.width + self.width_of(count);
            if best.as_ref().is_some_and(|(longest, _)| across >= *longest) {
                break;
            }
            let columns = self.balanced(count);
            let down = columns.iter().map(|column| self.height_of(column.clone()));
            let longest = down.fold(taken.height.max(across), Mm::max);
            if best
                .as_ref()
                .is_none_or(|(shortest, _)| longest < *shortest)
            {
                best = Some((longest, columns));
            }
        }
        best.map(|(_, columns)| columns).unwrap_or_default()
    }

    /// At most `count` columns of about one height, filled in order.
    fn balanced(&self, count: usize) -> Vec<Range<usize>> {
        let all = 0..self.entries.len();
        let mut limit = self.height_of(all.clone()) / count as f64;
        loop {
            let columns = self.filled(all.clone(), limit);
            if columns.len() <= count {
                return columns;
            }
            limit = limit + self.style.mm(self.sizes.line);
        }
    }

    /// Entries in order into columns no higher than `limit`; each column has at least one.
    fn filled(&self, all: Range<usize>, limit: Mm) -> Vec<Range<usize>> {
        let apart = self.style.mm(self.sizes.apart);
        let mut columns: Vec<Range<usize>> = Vec::new();
        let mut height = Mm::new(0.0);
        for at in all {
            let entry = self.entries[at].height(&self.sizes, &self.style);
            match columns.last_mut() {
                Some(column) if height + apart + entry <= limit => {
                    column.end = at + 1;
                    height = height + apart + entry;
                }
                _ => {
                    columns.push(at..at + 1);
                    height = entry;
                }
            }
        }
        columns
    }
}

/// The bead's shape, as large as fits a square.
fn swatch(bead: Shape, side: Mm) -> Shape {
    let scale = side / bead.width.max(bead.height);
    Shape {
        width: bead.width * scale,
        height: bead.height * scale,
        corner: bead.corner * scale,
        outline: bead.outline * scale,
        relief: bead.relief.map(|relief| relief.times(scale)),
    }
}
