//! A part of a chart as it is worked from on paper: keys on the beads, each row's number on the side from which it is worked with an arrow for its way, every tenth
//! row, the centre column and the seam marked.

use super::keys::legible;
use super::layout::{Band, Style, shape};
use super::path::Path;
use super::{Anchor, Figures, Group, Item, Line, Text, Weight, font};
use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::lattice::{Column, Row};
use crate::units::Mm;

/// Smallest and largest row number (the em) in millimetres.
const NUMBER: (f64, f64) = (1.7, 2.5);
/// Columns from which they are numbered too.
const NUMBERED: u32 = 20;
/// Height of a key's letters (the em) over the bead's, at most.
const KEY_HIGH: f64 = 0.46;
/// Width of a key over the bead's.
const KEY_WIDE: f64 = 0.84;
/// Smallest key that is set (the em), in millimetres: 3.7 points, for those who look closely. Ours.
const KEY_SMALLEST: f64 = 1.3;

/// What is drawn in a rectangle, from its upper left corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// From the left edge to the right one.
    pub width: Mm,
    /// From the upper edge to the lower one.
    pub height: Mm,
    /// From the back to the front.
    pub items: Vec<Item>,
}

/// Which part of a chart is drawn, and what beside it.
#[derive(Debug, Clone, Copy)]
pub struct Part<'a> {
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
    /// Rows at the lower and at the upper end that another part shows too: their numbers stand in brackets.
    pub again: (u32, u32),
    /// Colour of the marks.
    pub accent: Srgb8,
}

impl Part<'_> {
    /// Room for the numbers on either side.
    pub fn gutter(&self) -> Mm {
        let last = self.rows.1.get().to_string();
        let label = format!("({last}) →");
        let wide = font::width(&label, self.number(), Weight::Semibold, Figures::Tabular);
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

    fn number(&self) -> Mm {
        let pitch = self.chart.lattice.bead().diameter.get() * self.scale / 2.0;
        Mm::new((0.8 * pitch).clamp(NUMBER.0, NUMBER.1))
    }

    fn has_column(&self, column: Column) -> bool {
        (self.columns.0..=self.columns.1).contains(&column)
    }

    fn rows(&self) -> impl Iterator<Item = Row> + use<> {
        (self.rows.0.get()..=self.rows.1.get()).map(Row::new)
    }
}

/// Draws a part: numbers, marks and seam first, then the beads, then their keys.
pub fn part(part: &Part) -> Drawing {
    let style = Style::on(None, 1.0);
    let (gutter, ends) = (part.gutter(), part.ends());
    let lattice = part.chart.lattice;
    let above = f64::from(lattice.rows() - part.rows.1.get()) / 2.0;
    let before = f64::from(part.columns.0.get() - 1);
    let band = Band {
        lattice,
        scale: part.scale,
        left: gutter - lattice.bead().length * before * part.scale,
        top: ends - lattice.bead().diameter * above * part.scale,
    };
    let beads = band.beads_of(
        part.chart,
        shape(&lattice, part.scale, false),
        part.rows,
        part.columns,
    );
    let keys = part
        .keys
        .map(|keys| on_beads(part.chart, keys, &beads, &style))
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

fn group(title: &str, items: Vec<Item>) -> Item {
    Item::Group(Group {
        title: title.to_string(),
        items,
    })
}

/// A number for each row: on the side from which it is worked, or where its outermost bead is.
fn numbers(part: &Part, band: &Band, style: &Style) -> Vec<Item> {
    let (left, right) = (part.gutter(), part.gutter() + part.band_width());
    let size = part.number();
    let space = Mm::new(1.8);
    let pitch = part.chart.lattice.bead().diameter.get() * part.scale / 2.0;
    // At small scales only every tenth row has room, and both sides show it.
    let step = [1, 2, 5, 10, 20, 50, 100, 1000];
    let every = step
        .into_iter()
        .find(|every| {
            let apart = if *every == 1 { 2.0 } else { f64::from(*every) };
            pitch * apart >= size.get() * 1.05
        })
        .unwrap_or(1000);
    let mut items = Vec::new();
    for row in part.rows() {
        let number = row.get();
        let tenth = number.is_multiple_of(10);
        let lasts =
            number - part.rows.0.get() < part.again.0 || part.rows.1.get() - number < part.again.1;
        let mut label = match lasts {
            true => format!("({number})"),
            false => number.to_string(),
        };
        let y = band.middle(row) + size * (font::CAPITALS / 2.0);
        let mut put = |at_left: bool, words: String| {
            items.push(Item::Text(Text {
                anchor: if at_left { Anchor::End } else { Anchor::Start },
                figures: Figures::Tabular,
                weight: if tenth {
                    Weight::Semibold
                } else {
                    Weight::Regular
                },
                colour: if tenth { style.ink } else { style.muted },
                ..style.text(
                    if at_left { left - space } else { right + space },
                    y,
                    size,
                    words,
                )
            }));
        };
        if every > 1 {
            if number == 1 || number.is_multiple_of(every) {
                put(true, label.clone());
                put(false, label);
            }
            continue;
        }
        let at_left = match part.forward {
            Some(forward) => forward[row.get() as usize - 1],
            None => number % 2 == 1,
        };
        if part.forward.is_some() {
            label = match at_left {
                true => format!("{label} →"),
                false => format!("← {label}"),
            };
        }
        put(at_left, label);
    }
    items
}

/// Ticks at every tenth row, triangles at the centre column, column numbers on wide bands, and the seam.
fn marks(part: &Part, band: &Band, style: &Style) -> Vec<Item> {
    let (left, right) = (part.gutter(), part.gutter() + part.band_width());
    let (top, bottom) = (part.ends(), part.ends() + part.band_height());
    let mut items = Vec::new();
    for row in part.rows().filter(|row| row.get().is_multiple_of(10)) {
        let y = band.middle(row);
        for (from, to) in [
            (left - Mm::new(1.5), left - Mm::new(0.3)),
            (right + Mm::new(0.3), right + Mm::new(1.5)),
        ] {
            items.push(Item::Line(Line {
                from: (from, y),
                to: (to, y),
                thickness: Mm::new(0.4),
                colour: part.accent,
            }));
        }
    }
    let x_of = |column: Column| band.left + band.lattice.centre(Row::new(1), column).0 * part.scale;
    if let Some(centre) = part
        .chart
        .lattice
        .centre_column()
        .filter(|c| part.has_column(*c))
    {
        let x = x_of(centre);
        for (tip, base) in [
            (top - Mm::new(1.3), top - Mm::new(3.1)),
            (bottom + Mm::new(1.3), bottom + Mm::new(3.1)),
        ] {
            let half = Mm::new(0.95);
            items.push(Item::Path(Path::filled(
                Path::through(&[(x, tip), (x - half, base), (x + half, base)]),
                part.accent,
            )));
        }
    }
    if part.chart.lattice.columns() >= NUMBERED {
        items.extend(column_numbers(part, &x_of, style));
    }
    items.extend(seam(part, band));
    items
}

/// Every tenth column, and the first and the last of the part, above and below.
fn column_numbers(part: &Part, x_of: &impl Fn(Column) -> Mm, style: &Style) -> Vec<Item> {
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
        let x = x_of(Column::new(column));
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
fn seam(part: &Part, band: &Band) -> Vec<Item> {
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
            points.extend([(x, y), (x + long, y)]);
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

/// The key of each bead's colour in its middle, in black or white, as large as the widest key allows; nothing where it would be too small to read.
pub(super) fn on_beads(
    chart: &Chart,
    keys: &[String],
    beads: &super::Beads,
    style: &Style,
) -> Vec<Item> {
    let counts = chart.counts();
    let used = keys.iter().zip(&counts).filter(|(_, count)| **count > 0);
    let one = Mm::new(1.0);
    let widest = used
        .map(|(key, _)| font::width(key, one, Weight::Semibold, Figures::Running).get())
        .fold(0.1, f64::max);
    let size =
        (beads.shape.width.get() * KEY_WIDE / widest).min(beads.shape.height.get() * KEY_HIGH);
    if size < KEY_SMALLEST * style.unit {
        return Vec::new();
    }
    let size = Mm::new(size);
    let inks: Vec<Srgb8> = chart
        .colours
        .iter()
        .map(|shade| legible(shade.srgb))
        .collect();
    let text = |bead: &super::Placed| {
        let colour = usize::from(bead.paint);
        Item::Text(Text {
            anchor: Anchor::Middle,
            weight: Weight::Semibold,
            colour: inks[colour],
            ..style.text(
                bead.left + beads.shape.width / 2.0,
                bead.top + beads.shape.height / 2.0 + size * 0.26,
                size,
                keys[colour].as_str(),
            )
        })
    };
    beads.placed.iter().map(text).collect()
}
