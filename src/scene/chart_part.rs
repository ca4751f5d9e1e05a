//! A part of a chart as it is worked from on paper: keys on the beads, each row's number on the
//! side from which it is worked with an arrow for its direction, every tenth row, the centre column
//! and the seam marked.

use super::keys_on_beads::keys_on_beads;
use super::path::Path;
use super::placed_band::{Block, PlacedBand, bead_shape};
use super::style::Style;
use super::{Anchor, Drawing, Figures, Item, Line, Point, Text, Weight, font, group};
use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::lattice::{Column, Row};
use crate::units::Mm;

/// Smallest and largest row number (the em) in millimetres.
const NUMBER: (f64, f64) = (1.7, 2.5);
/// Columns from which they are numbered too.
const NUMBERED: u32 = 20;

/// Which part of a chart is drawn, and what beside it.
#[derive(Debug, Clone, Copy)]
pub struct ChartPart<'a> {
    /// The chart.
    pub chart: &'a Chart,
    /// First and last row.
    pub rows: (Row, Row),
    /// First and last column.
    pub columns: (Column, Column),
    /// Times true size.
    pub scale: f64,
    /// A key for each colour; none leaves the beads plain.
    pub keys: Option<&'a [String]>,
    /// For each row, from row 1, whether it is worked to the right; none leaves arrows out.
    pub forward: Option<&'a [bool]>,
    /// Rows at the lower and at the upper end that another part shows too: their numbers stand in
    /// brackets.
    pub again: (u32, u32),
    /// Colour of the marks.
    pub accent: Srgb8,
}

impl ChartPart<'_> {
    /// Room for the numbers on either side.
    pub fn gutter(&self) -> Mm {
        let last = self.rows.1.get().to_string();
        let label = format!("({last}) →");
        let wide = font::width(
            &label,
            self.number_size(),
            Weight::Semibold,
            Figures::Tabular,
        );
        wide + Mm::new(2.6)
    }

    /// Room above and below the beads, for the centre's marks, column numbers and the seam.
    pub fn ends(&self) -> Mm {
        Mm::new(5.0)
    }

    /// Width of the beads alone.
    pub fn band_width(&self) -> Mm {
        let columns = self.columns.1.get() + 1 - self.columns.0.get();
        self.chart.lattice.bead().length * f64::from(columns) * self.scale
    }

    /// Height of the beads alone.
    pub fn band_height(&self) -> Mm {
        let rows = self.rows.1.get() + 2 - self.rows.0.get();
        self.chart.lattice.bead().diameter * (f64::from(rows) / 2.0) * self.scale
    }

    fn number_size(&self) -> Mm {
        let pitch = self.chart.lattice.bead().diameter.get() * self.scale / 2.0;
        Mm::new((0.8 * pitch).clamp(NUMBER.0, NUMBER.1))
    }

    fn block(&self) -> Block {
        Block {
            rows: self.rows,
            columns: self.columns,
        }
    }

    /// Whether another part shows this row too.
    fn is_repeated(&self, row: Row) -> bool {
        row.get() - self.rows.0.get() < self.again.0 || self.rows.1.get() - row.get() < self.again.1
    }
}

/// Draws a part: numbers, marks and seam first, then the beads, then their keys.
pub fn draw_part(part: &ChartPart) -> Drawing {
    let style = Style::on(None, 1.0);
    let (gutter, ends) = (part.gutter(), part.ends());
    let lattice = part.chart.lattice;
    let above = f64::from(lattice.rows() - part.rows.1.get()) / 2.0;
    let before = f64::from(part.columns.0.get() - 1);
    let band = PlacedBand {
        lattice,
        scale: part.scale,
        left: gutter - lattice.bead().length * before * part.scale,
        top: ends - lattice.bead().diameter * above * part.scale,
    };
    let shape = bead_shape(&lattice, part.scale, false);
    let beads = band.beads_of(part.chart, shape, &part.block());
    let keys = part
        .keys
        .map(|keys| keys_on_beads(part.chart, keys, &beads, &style))
        .unwrap_or_default();
    let mut items = vec![
        group("Row numbers", numbers(part, &band, &style)),
        group("Marks", marks(part, &band, &style)),
        group("Beads", vec![Item::Beads(beads)]),
    ];
    if !keys.is_empty() {
        items.push(group("Keys", keys));
    }
    Drawing {
        width: gutter * 2.0 + part.band_width(),
        height: ends * 2.0 + part.band_height(),
        items,
    }
}

/// A number for each row: on the side from which it is worked, or where its outermost bead is.
fn numbers(part: &ChartPart, band: &PlacedBand, style: &Style) -> Vec<Item> {
    let every = numbered_every(part);
    let mut items = Vec::new();
    for row in part.block().rows() {
        let number = row.get();
        let label = if part.is_repeated(row) {
            format!("({number})")
        } else {
            number.to_string()
        };
        let mut put = |side: Side, words: String| {
            items.push(row_number(part, style, row, band.middle(row), side, words));
        };
        if every > 1 {
            if number == 1 || number.is_multiple_of(every) {
                put(Side::Left, label.clone());
                put(Side::Right, label);
            }
            continue;
        }
        let Some(forward) = part.forward else {
            let side = if number % 2 == 1 {
                Side::Left
            } else {
                Side::Right
            };
            put(side, label);
            continue;
        };
        if forward[number as usize - 1] {
            put(Side::Left, format!("{label} →"));
        } else {
            put(Side::Right, format!("← {label}"));
        }
    }
    items
}

/// Every how many rows there is a number: at small scales only every tenth row has room, and both
/// sides show it.
fn numbered_every(part: &ChartPart) -> u32 {
    let size = part.number_size();
    let pitch = part.chart.lattice.bead().diameter.get() * part.scale / 2.0;
    let has_room = |every: &u32| {
        let apart = if *every == 1 { 2.0 } else { f64::from(*every) };
        pitch * apart >= size.get() * 1.05
    };
    let steps = [1, 2, 5, 10, 20, 50, 100, 1000];
    steps.into_iter().find(has_room).unwrap_or(1000)
}

/// A side of the band.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Left,
    Right,
}

/// One row's number beside the middle of its beads.
fn row_number(
    part: &ChartPart,
    style: &Style,
    row: Row,
    middle: Mm,
    side: Side,
    words: String,
) -> Item {
    let size = part.number_size();
    let space = Mm::new(1.8);
    let (anchor, x) = match side {
        Side::Left => (Anchor::End, part.gutter() - space),
        Side::Right => (Anchor::Start, part.gutter() + part.band_width() + space),
    };
    let (weight, colour) = if row.get().is_multiple_of(10) {
        (Weight::Semibold, style.ink)
    } else {
        (Weight::Regular, style.muted)
    };
    Item::Text(Text {
        anchor,
        figures: Figures::Tabular,
        weight,
        colour,
        ..style.text(x, middle + size * (font::CAPITALS / 2.0), size, words)
    })
}

/// Ticks at every tenth row, triangles at the centre column, column numbers on wide bands, and the
/// seam.
fn marks(part: &ChartPart, band: &PlacedBand, style: &Style) -> Vec<Item> {
    let (left, right) = (part.gutter(), part.gutter() + part.band_width());
    let (top, bottom) = (part.ends(), part.ends() + part.band_height());
    let mut items = Vec::new();
    for row in part
        .block()
        .rows()
        .filter(|row| row.get().is_multiple_of(10))
    {
        let y = band.middle(row);
        for (from, to) in [
            (left - Mm::new(1.5), left - Mm::new(0.3)),
            (right + Mm::new(0.3), right + Mm::new(1.5)),
        ] {
            items.push(Item::Line(Line {
                from: Point::new(from, y),
                to: Point::new(to, y),
                thickness: Mm::new(0.4),
                colour: part.accent,
            }));
        }
    }
    let centre = part.chart.lattice.centre_column();
    if let Some(centre) = centre.filter(|column| part.block().has_column(*column)) {
        let x = band.column_middle(centre);
        for (tip, base) in [
            (top - Mm::new(1.3), top - Mm::new(3.1)),
            (bottom + Mm::new(1.3), bottom + Mm::new(3.1)),
        ] {
            let half = Mm::new(0.95);
            let corners = [(x, tip), (x - half, base), (x + half, base)];
            let corners = corners.map(|(x, y)| Point::new(x, y));
            items.push(Item::Path(Path::filled(
                Path::through(&corners),
                part.accent,
            )));
        }
    }
    if part.chart.lattice.columns() >= NUMBERED {
        items.extend(column_numbers(part, band, style));
    }
    items.extend(seam(part, band));
    items
}

/// Every tenth column, and the first and the last of the part, above and below.
fn column_numbers(part: &ChartPart, band: &PlacedBand, style: &Style) -> Vec<Item> {
    let size = Mm::new(1.9);
    let ends = [part.columns.0.get(), part.columns.1.get()];
    let centre = part.chart.lattice.centre_column();
    let mut items = Vec::new();
    for column in ends[0]..=ends[1] {
        let end = ends.contains(&column);
        let near = ends.iter().any(|e| e.abs_diff(column) < 3)
            || centre.is_some_and(|c| c.get().abs_diff(column) < 2);
        if !(end || (column.is_multiple_of(10) && !near)) {
            continue;
        }
        let x = band.column_middle(Column::new(column));
        for y in [
            part.ends() - Mm::new(1.5),
            part.ends() + part.band_height() + Mm::new(2.9),
        ] {
            items.push(Item::Text(Text {
                anchor: Anchor::Middle,
                figures: Figures::Tabular,
                colour: style.muted,
                ..style.text(x, y, size, column.to_string())
            }));
        }
    }
    items
}

/// A zigzag along the ends that meet when the band is closed.
fn seam(part: &ChartPart, band: &PlacedBand) -> Vec<Item> {
    let lattice = &part.chart.lattice;
    if !lattice.is_closed() {
        return Vec::new();
    }
    let (last, half) = (lattice.rows(), lattice.bead().diameter * (part.scale / 2.0));
    let apart = Mm::new(0.55);
    let columns = part.columns.0.get()..=part.columns.1.get();
    let long = lattice.bead().length * part.scale;
    let mut items = Vec::new();
    let mut zigzag = |rows: [u32; 2], side: f64| {
        let mut points = Vec::new();
        for (at, column) in columns.clone().map(Column::new).enumerate() {
            let row = rows
                .into_iter()
                .find(|row| lattice.index(Row::new(*row), column).is_some());
            let y = band.middle(Row::new(row.unwrap_or(rows[0]))) + (half + apart) * side;
            let x = part.gutter() + long * at as f64;
            points.extend([Point::new(x, y), Point::new(x + long, y)]);
        }
        items.push(Item::Path(Path::drawn(
            Path::through(&points),
            Mm::new(0.45),
            part.accent,
        )));
    };
    if part.rows.0.get() == 1 {
        zigzag([1, 2], 1.0);
    }
    if part.rows.1.get() == last {
        zigzag([last, last - 1], -1.0);
    }
    items
}
