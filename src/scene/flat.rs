//! The flat chart as the work grows: row 1 at the bottom, numbers at the edges, the colours with their counts beside it.

use super::key::{Key, larger};
use super::keys::keys;
use super::layout::{Band, Style, broken, shape};
use super::numbers::{Numbers, marks};
use super::part::on_beads;
use super::words::{clean, description, facts, seam};
use super::{Anchor, Group, Item, Paint, Scene, Text, Weight};
use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::request::Scale;
use crate::units::{Mm, decimals};

/// Scale at which a ring's beads are about as large as letters and every row can be numbered.
const READING: f64 = 3.5;
/// Largest band that is drawn on its own choice of scale, about a sheet of A3; a band that is larger in truth keeps its true size.
const SHEET: (f64, f64) = (280.0, 400.0);
/// Longest side of a band up to which text has the size of a page's; beyond, text grows with it, at most fourfold.
const NEAR: (f64, f64) = (420.0, 4.0);
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
    /// What it is drawn on; none is transparent, with words for a light page.
    pub backdrop: Option<Srgb8>,
    /// Whether beads are drawn as beads, with light, rim and hole; or flat, in the colour of the palette.
    pub beads: bool,
    /// Whether beads carry their colour's short key; where beads are too small for letters they stay plain.
    pub lettered: bool,
}

impl Default for FlatOptions {
    fn default() -> Self {
        Self {
            scale: Scale::Reading,
            backdrop: Some(Srgb8::new(255, 255, 255)),
            beads: false,
            lettered: false,
        }
    }
}

/// The flat chart of a band.
///
/// Row 1 is at the bottom and column 1 at the left. Beads are in proportion to their true size, a hairline apart; text keeps the size of a
/// page's whatever the scale. Colours that no bead has are not listed.
pub fn flat(chart: &Chart, options: &FlatOptions) -> Scene {
    let sheet = Sheet::new(chart, options);
    let (style, margin) = (&sheet.style, sheet.margin);
    let mut band = sheet.band;
    let heading = heading(chart, style, (margin, margin), sheet.room());
    if let Some(last) = heading.last() {
        band.top = last.baseline + style.mm(7.5);
    }
    let mut edges = marks(&band, style);
    edges.extend(sheet.numbers.draw(&band, style));
    let shape = shape(&chart.lattice, band.scale, options.beads);
    let end = larger(band.top + sheet.key.height(), band.bottom());
    let below = (margin, end + style.mm(9.5));
    let foot = foot(chart, band.scale, style, below, sheet.room());

    let mut items: Vec<Item> = heading.into_iter().map(Item::Text).collect();
    let beads = band.beads(chart, shape);
    let letters = match options.lettered {
        true => on_beads(chart, &keys(chart), &beads, style),
        false => Vec::new(),
    };
    items.push(group("Band", vec![Item::Beads(beads)]));
    if !letters.is_empty() {
        items.push(group("Keys", letters));
    }
    items.push(group("Row numbers", edges));
    let mut colours = sheet.key.draw(sheet.beside, band.top, shape);
    if let (true, Item::Group(group)) = (options.lettered, &mut colours)
        && let Some(Item::Beads(beads)) = group.items.first()
    {
        let letters = on_beads(chart, &keys(chart), beads, style);
        group.items.extend(letters);
    }
    items.push(colours);
    items.push(group("About the band", foot.items));
    let tenth_up = |mm: Mm| Mm::new((mm.get() * 10.0 - 1e-6).ceil() / 10.0);
    Scene {
        width: tenth_up(sheet.right + margin),
        height: tenth_up(foot.bottom + margin),
        ground: options.backdrop,
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
    numbers: Numbers,
    key: Key,
    /// The band; below a title it moves down.
    band: Band,
    margin: Mm,
    /// Left edge of the key.
    beside: Mm,
    /// Right edge of what is drawn.
    right: Mm,
}

impl Sheet {
    fn new(chart: &Chart, options: &FlatOptions) -> Self {
        let scale = options.scale.times(chart);
        let style = Style::on(options.backdrop, unit(chart, scale));
        let paints = style.paints(chart, options.beads);
        let numbers = Numbers::new(&chart.lattice, scale, &style);
        let (margin, edge) = (style.mm(9.0), numbers.margin(&style));
        let band = Band {
            lattice: chart.lattice,
            scale,
            left: margin + edge,
            top: margin,
        };
        let beside = band.right() + edge + style.mm(9.0);
        let whole = (beside + margin, band.height() + margin * 2.0);
        let key = Key::new(&paints, &style, whole);
        let right = larger(beside + key.width(), margin + style.mm(NARROWEST));
        Self {
            style,
            paints,
            numbers,
            key,
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

/// How much larger than on a page text is: see [`NEAR`].
fn unit(chart: &Chart, scale: f64) -> f64 {
    let lattice = &chart.lattice;
    let longest = lattice.width().get().max(lattice.flat_height().get()) * scale;
    (longest / NEAR.0).clamp(1.0, NEAR.1)
}

fn title(chart: &Chart) -> String {
    match &chart.title {
        Some(title) => clean(title),
        None => "Chart of a peyote band".to_string(),
    }
}

fn group(title: &str, items: Vec<Item>) -> Item {
    Item::Group(Group {
        title: title.to_string(),
        items,
    })
}

/// The designer's title, from its upper left corner; nothing if there is none.
fn heading(chart: &Chart, style: &Style, (x, top): (Mm, Mm), room: Mm) -> Vec<Text> {
    let words = chart.title.as_deref().map(clean).unwrap_or_default();
    if words.is_empty() {
        return Vec::new();
    }
    let size = style.mm(5.2);
    let lines = broken(&words, size, Weight::Semibold, room);
    let line = |(at, words): (usize, String)| Text {
        weight: Weight::Semibold,
        ..style.text(x, top + size * (0.75 + 1.25 * at as f64), size, words)
    };
    lines.into_iter().enumerate().map(line).collect()
}

/// What stands below the band, and where it ends.
struct Foot {
    items: Vec<Item>,
    bottom: Mm,
}

/// Measures, seam and scale, with a ruler at true size.
fn foot(chart: &Chart, times: f64, style: &Style, (x, top): (Mm, Mm), room: Mm) -> Foot {
    let size = style.mm(2.7);
    let line = size * 1.5;
    let drawn = match times == 1.0 {
        true => "drawn at true size".to_string(),
        false => format!("drawn at {} times true size", decimals(times, 2)),
    };
    let sentences = [facts(chart), format!("{}; {drawn}", seam(chart))];
    let lines = sentences
        .iter()
        .flat_map(|words| broken(&capital(words), size, Weight::Regular, room));
    let mut items = Vec::new();
    let mut baseline = top;
    for words in lines {
        let colour = if items.is_empty() {
            style.ink
        } else {
            style.muted
        };
        let text = style.text(x, baseline, size, words);
        items.push(Item::Text(Text { colour, ..text }));
        baseline = baseline + line;
    }
    let mut bottom = baseline - line;
    if times == 1.0 {
        bottom = bottom + line * 1.5;
        items.extend(ruler(style, (x, bottom), size));
    }
    Foot { items, bottom }
}

/// A line of exactly 20 mm, which tells whether a printer kept the size.
fn ruler(style: &Style, (x, y): (Mm, Mm), size: Mm) -> Vec<Item> {
    let end = x + Mm::new(RULER);
    let tick = style.mm(1.0);
    let mut items: Vec<Item> = [
        ((x, y), (end, y)),
        ((x, y - tick), (x, y + tick)),
        ((end, y - tick), (end, y + tick)),
    ]
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
            end + style.mm(2.0),
            y + size * (super::font::CAPITALS / 2.0),
            size,
            format!("{} when printed at true size", Mm::new(RULER)),
        )
    }));
    items
}

/// With a capital at its head.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests;
