//! The flat chart as the work grows: row 1 at the bottom, numbers at the edges, the colours with
//! their counts beside it.

use super::keys::{bead_keys, keys};
use super::keys_on_beads::keys_on_beads;
use super::legend::{Legend, Room};
use super::placed_band::{PlacedBand, bead_shape};
use super::row_numbers::{RowNumbers, marks};
use super::style::Style;
use super::words::{clean, description, facts, seam};
use super::wrap::wrap;
use super::{Anchor, Item, Paint, Point, Scene, Text, Weight, font, group};
use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::request::Scale;
use crate::units::{Mm, decimals};

/// Scale at which a ring's beads are about as large as letters and every row can be numbered.
const READING: f64 = 3.5;
/// Width and height of the largest band that is enlarged, about a sheet of A3; a band that is
/// larger in truth keeps its true size.
const SHEET: (f64, f64) = (280.0, 400.0);
/// Longest side of a band up to which text is as large as on a page; beyond, it grows with the
/// band.
const PAGE: f64 = 420.0;
/// Most times that text grows.
const MOST_GROWTH: f64 = 4.0;
/// Narrowest drawing, so that the words below the band have room.
const NARROWEST: f64 = 84.0;
/// Length of the ruler below a drawing at true size.
const RULER: f64 = 20.0;

impl Scale {
    /// How many times true size the band of `chart` is drawn.
    pub fn times(self, chart: &Chart) -> f64 {
        match self {
            Self::True => 1.0,
            Self::Times(times) => times,
            Self::Reading => {
                let across = SHEET.0 / chart.lattice.width().get();
                let down = SHEET.1 / chart.lattice.flat_height().get();
                let largest = across.min(down).min(READING);
                // Tenths are easier to say; 1 keeps beads visible.
                ((largest * 10.0).floor() / 10.0).max(1.0)
            }
        }
    }
}

/// Choices for [`flat`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlatOptions {
    /// How large the band is drawn.
    pub scale: Scale,
    /// The colour it is drawn on; none is transparent, with words for a light page.
    pub backdrop: Option<Srgb8>,
    /// Whether beads are shaded, with light, rim and hole; or flat, in the colour of the palette.
    pub beads: bool,
    /// Whether beads carry their colour's key; where beads are too small for letters they stay
    /// plain.
    pub lettered: bool,
    /// Whether the beads of the most frequent colour have no key.
    pub blank_ground: bool,
}

impl Default for FlatOptions {
    fn default() -> Self {
        Self {
            scale: Scale::Reading,
            backdrop: Some(Srgb8::new(255, 255, 255)),
            beads: false,
            lettered: false,
            blank_ground: false,
        }
    }
}

/// The flat chart of a band.
///
/// Row 1 is at the bottom and column 1 at the left. Beads are in proportion to their true size, a
/// hairline apart; text keeps its size on a page whatever the scale. Colours that no bead has are
/// not listed.
pub fn flat(chart: &Chart, options: &FlatOptions) -> Scene {
    let sheet = Sheet::new(chart, options);
    let (style, margin) = (&sheet.style, sheet.margin);
    let mut band = sheet.band;
    let heading = heading(chart, style, Point::new(margin, margin), sheet.room());
    if let Some(last) = heading.last() {
        band.top = last.baseline + style.mm(7.5);
    }
    let mut edges = marks(&band, style);
    edges.extend(sheet.numbers.draw(&band, style));
    let shape = bead_shape(&chart.lattice, band.scale, options.beads);
    let end = (band.top + sheet.legend.height()).max(band.bottom());
    let below = Point::new(margin, end + style.mm(9.5));
    let foot = foot(chart, band.scale, style, below, sheet.room());

    let mut items: Vec<Item> = heading.into_iter().map(Item::Text).collect();
    let beads = band.beads(chart, shape);
    let letters = if options.lettered {
        keys_on_beads(
            chart,
            &bead_keys(chart, options.blank_ground),
            &beads,
            style,
        )
    } else {
        Vec::new()
    };
    items.push(group("Band", vec![Item::Beads(beads)]));
    if !letters.is_empty() {
        items.push(group("Keys", letters));
    }
    items.push(group("Row numbers", edges));
    let mut colours = sheet.legend.draw(sheet.beside, band.top, shape);
    if let (true, Item::Group(group)) = (options.lettered, &mut colours)
        && let Some(Item::Beads(beads)) = group.items.first()
    {
        let letters = keys_on_beads(chart, &keys(chart), beads, style);
        group.items.extend(letters);
    }
    items.push(colours);
    items.push(group("About the band", foot.items));
    let tenth_up = |mm: Mm| Mm::new((mm.get() * 10.0 - 1e-6).ceil() / 10.0);
    Scene {
        width: tenth_up(sheet.right + margin),
        height: tenth_up(foot.bottom + margin),
        backdrop: options.backdrop,
        title: title(chart),
        description: description(chart),
        paints: sheet.paints,
        items,
    }
}

/// What is decided before anything is drawn: how large, and where across.
struct Sheet {
    style: Style,
    paints: Vec<Paint>,
    numbers: RowNumbers,
    legend: Legend,
    /// The band; below a title it moves down.
    band: PlacedBand,
    margin: Mm,
    /// Left edge of the legend.
    beside: Mm,
    /// Right edge of what is drawn.
    right: Mm,
}

impl Sheet {
    fn new(chart: &Chart, options: &FlatOptions) -> Self {
        let scale = options.scale.times(chart);
        let style = Style::on(options.backdrop, unit(chart, scale));
        let paints = style.paints(chart, options.beads);
        let numbers = RowNumbers::new(&chart.lattice, scale, &style);
        let (margin, edge) = (style.mm(9.0), numbers.margin(&style));
        let band = PlacedBand {
            lattice: chart.lattice,
            scale,
            left: margin + edge,
            top: margin,
        };
        let beside = band.right() + edge + style.mm(9.0);
        let taken = Room {
            width: beside + margin,
            height: band.height() + margin * 2.0,
        };
        let legend = Legend::new(&paints, &style, taken);
        let right = (beside + legend.width()).max(margin + style.mm(NARROWEST));
        Self {
            style,
            paints,
            numbers,
            legend,
            band,
            margin,
            beside,
            right,
        }
    }

    fn room(&self) -> Mm {
        self.right - self.margin
    }
}

/// How much larger than on a page text is: see [`PAGE`].
fn unit(chart: &Chart, scale: f64) -> f64 {
    let lattice = &chart.lattice;
    let longest = lattice.width().get().max(lattice.flat_height().get()) * scale;
    (longest / PAGE).clamp(1.0, MOST_GROWTH)
}

fn title(chart: &Chart) -> String {
    match &chart.title {
        Some(title) => clean(title),
        None => "Chart of a peyote band".to_string(),
    }
}

/// The designer's title, its upper left corner at a point; nothing if there is none.
fn heading(chart: &Chart, style: &Style, corner: Point, room: Mm) -> Vec<Text> {
    let words = chart.title.as_deref().map(clean).unwrap_or_default();
    if words.is_empty() {
        return Vec::new();
    }
    let size = style.mm(5.2);
    let lines = wrap(&words, size, Weight::Semibold, room);
    let line = |(at, words): (usize, String)| {
        let baseline = corner.y + size * (0.75 + 1.25 * at as f64);
        Text {
            weight: Weight::Semibold,
            ..style.text(corner.x, baseline, size, words)
        }
    };
    lines.into_iter().enumerate().map(line).collect()
}

/// The words below the band, and where they end.
struct Foot {
    items: Vec<Item>,
    bottom: Mm,
}

/// Measures, seam and scale, with a ruler at true size; the first baseline begins at a point.
fn foot(chart: &Chart, times: f64, style: &Style, start: Point, room: Mm) -> Foot {
    let size = style.mm(2.7);
    let line = size * 1.5;
    let drawn = if times == 1.0 {
        "drawn at true size".to_string()
    } else {
        format!("drawn at {} times true size", decimals(times, 2))
    };
    let sentences = [facts(chart), format!("{}; {drawn}", seam(chart))];
    let lines = sentences
        .iter()
        .flat_map(|words| wrap(&capitalized(words), size, Weight::Regular, room));
    let mut items = Vec::new();
    let mut baseline = start.y;
    for words in lines {
        let colour = if items.is_empty() {
            style.ink
        } else {
            style.muted
        };
        let text = style.text(start.x, baseline, size, words);
        items.push(Item::Text(Text { colour, ..text }));
        baseline = baseline + line;
    }
    let mut bottom = baseline - line;
    if times == 1.0 {
        bottom = bottom + line * 1.5;
        items.extend(ruler(style, Point::new(start.x, bottom), size));
    }
    Foot { items, bottom }
}

/// A line of exactly 20 mm from a point, which tells whether a printer kept the size.
fn ruler(style: &Style, start: Point, size: Mm) -> Vec<Item> {
    let end = start.shifted(Mm::new(RULER), Mm::new(0.0));
    let tick = style.mm(1.0);
    let across = |at: Point| (Point::new(at.x, at.y - tick), Point::new(at.x, at.y + tick));
    let mut items: Vec<Item> = [(start, end), across(start), across(end)]
        .into_iter()
        .map(|(from, to)| {
            let mut line = style.mark(from, to);
            line.colour = style.ink;
            Item::Line(line)
        })
        .collect();
    items.push(Item::Text(Text {
        anchor: Anchor::Start,
        colour: style.muted,
        ..style.text(
            end.x + style.mm(2.0),
            end.y + size * (font::CAPITALS / 2.0),
            size,
            format!("{} when printed at true size", Mm::new(RULER)),
        )
    }));
    items
}

/// With a capital at its head.
fn capitalized(words: &str) -> String {
    let mut letters = words.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests;
