//! A band as large as it looks from viewing distances: panels side by side, with captions.
//!
//! A band that is `D` mm away looks as large as one of `300/D` of its size does from
//! [`HOLDING_DISTANCE`]. So the panels are drawn at these sizes, and whoever holds the picture at
//! that distance sees them under the true angles. What the eye still resolves there is worked out
//! by [`crate::vision::scielab`].

use super::relief::{Relief, sheen};
use super::style::Style;
use super::wrap::wrap;
use super::{Anchor, Beads, Item, Paint, Placed, Point, Scene, Shape, Text, Weight};
use crate::chart::{Chart, Shade};
use crate::colour::Srgb8;
use crate::units::{Mm, decimals};

/// From how far a picture at true size is looked at.
pub const HOLDING_DISTANCE: Mm = Mm::new(300.0);
/// The usual viewing distances: in the hand, worn, across a table.
pub const VIEWING_DISTANCES: [Mm; 3] = [Mm::new(300.0), Mm::new(700.0), Mm::new(2000.0)];
/// Room round a band in its panel: the blur's reach, in millimetres on a page.
const MARGIN: f64 = 3.5;
/// Narrowest panel, so that its words have room.
const NARROWEST: f64 = 24.0;
/// From the bands to the captions, and from there to the line below them.
const CAPTION: f64 = 5.0;
const FOOT: f64 = 10.5;

/// Choices for [`draw_from_distances`].
#[derive(Debug, Clone, PartialEq)]
pub struct ViewingOptions {
    /// From the left to the right.
    pub distances: Vec<Mm>,
    /// Times the size that the bands have where the picture is held 300 mm away.
    pub times: f64,
    /// The colour they are drawn on.
    pub backdrop: Srgb8,
    /// The bands alone, without words and margins.
    pub bare: bool,
}

/// One band at one distance.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// Left edge.
    pub left: Mm,
    /// Upper edge.
    pub top: Mm,
    /// Width, with room for the blur.
    pub width: Mm,
    /// Height, with room for the blur.
    pub height: Mm,
    /// The beads, from the panel's upper left corner; they touch.
    pub beads: Beads,
}

/// A picture of a band from viewing distances: the scene with its words, and its panels.
pub fn draw_from_distances(chart: &Chart, options: &ViewingOptions) -> (Scene, Vec<Panel>) {
    let style = Style::on(Some(options.backdrop), 1.0);
    let margin = style.mm(if options.bare { 0.0 } else { 6.0 });
    let row = PanelRow::new(chart, options, &style, margin);
    let right = row.right + margin;
    let below = margin + row.height;
    let (items, bottom) = if options.bare {
        (Vec::new(), row.height)
    } else {
        let mut items = captions(&style, options, &row.middles, below + style.mm(CAPTION));
        let start = Point::new(margin, below + style.mm(CAPTION) + style.mm(FOOT));
        let (foot, bottom) = foot(&style, start, right - margin, options.times);
        items.extend(foot);
        (items, bottom)
    };
    let paint = |(shade, count): (&Shade, usize)| Paint {
        shade: shade.clone(),
        count,
        outline: None,
        sheen: sheen(shade),
    };
    let paints = chart.colours.iter().zip(chart.counts()).map(paint);
    let words: Vec<String> = options.distances.iter().map(Mm::to_string).collect();
    let scene = Scene {
        width: right,
        height: bottom + margin,
        backdrop: Some(options.backdrop),
        title: format!("A peyote band as seen from {}", words.join(", ")),
        description: super::words::description(chart),
        paints: paints.collect(),
        items,
    };
    (scene, row.panels)
}

/// The panels side by side, their middles at one height.
struct PanelRow {
    panels: Vec<Panel>,
    /// The middle of each panel, from the left edge.
    middles: Vec<Mm>,
    /// The right edge of the last panel.
    right: Mm,
    /// The height of the tallest panel.
    height: Mm,
}

impl PanelRow {
    fn new(chart: &Chart, options: &ViewingOptions, style: &Style, margin: Mm) -> Self {
        let narrowest = if options.bare { 0.0 } else { NARROWEST };
        let distances = options.distances.iter();
        let scales: Vec<f64> = distances
            .map(|d| HOLDING_DISTANCE / *d * options.times)
            .collect();
        let tallest = scales.iter().fold(0.0, |most: f64, scale| {
            most.max(chart.lattice.flat_height().get() * scale)
        });
        let height = Mm::new(tallest) + style.mm(MARGIN) * 2.0;
        let (mut panels, mut middles) = (Vec::new(), Vec::new());
        let mut left = margin;
        for scale in scales {
            let panel = panel(chart, scale, style.mm(MARGIN));
            let wide = Mm::new(panel.width.get().max(narrowest));
            middles.push(left + wide / 2.0);
            panels.push(Panel {
                left: left + (wide - panel.width) / 2.0,
                top: margin + (height - panel.height) / 2.0,
                ..panel
            });
            left = left + wide;
        }
        Self {
            panels,
            middles,
            right: left,
            height,
        }
    }
}

/// A caption below each panel.
fn captions(style: &Style, options: &ViewingOptions, middles: &[Mm], baseline: Mm) -> Vec<Item> {
    let all = middles.iter().zip(&options.distances);
    all.flat_map(|(middle, distance)| caption(style, *middle, baseline, *distance))
        .collect()
}

/// The beads at a scale, with a margin all round.
fn panel(chart: &Chart, scale: f64, margin: Mm) -> Panel {
    let lattice = &chart.lattice;
    let bead = lattice.bead();
    let shape = Shape {
        width: bead.length * scale,
        height: bead.diameter * scale,
        corner: Mm::new(0.0),
        outline: Mm::new(0.0),
        relief: Some(Relief::of(&bead, scale)),
    };
    let flat = lattice.flat_height();
    let placed = |at: usize| {
        let (row, column) = lattice.position(at);
        let (x, y) = lattice.centre(row, column);
        Placed {
            left: margin + x * scale - shape.width / 2.0,
            top: margin + (flat - y) * scale - shape.height / 2.0,
            paint: chart.beads[at],
        }
    };
    Panel {
        left: Mm::new(0.0),
        top: Mm::new(0.0),
        width: lattice.width() * scale + margin * 2.0,
        height: flat * scale + margin * 2.0,
        beads: Beads {
            shape,
            placed: (0..lattice.len()).rev().map(placed).collect(),
        },
    }
}

/// The distance, and its name where it is one of the usual ones.
fn caption(style: &Style, middle: Mm, baseline: Mm, distance: Mm) -> Vec<Item> {
    let size = style.mm(3.1);
    let about = match distance.get() as u32 {
        300 => "in the hand",
        700 => "worn",
        2000 => "across a table",
        _ => "",
    };
    let first = Text {
        anchor: Anchor::Middle,
        weight: Weight::Semibold,
        ..style.text(middle, baseline, size, distance.to_string())
    };
    let second = Text {
        anchor: Anchor::Middle,
        colour: style.muted,
        ..style.text(middle, baseline + style.mm(4.2), style.mm(2.7), about)
    };
    if about.is_empty() {
        vec![Item::Text(first)]
    } else {
        vec![Item::Text(first), Item::Text(second)]
    }
}

/// How to hold the picture, from a point up to a right edge, and where the words end.
fn foot(style: &Style, start: Point, right: Mm, times: f64) -> (Vec<Item>, Mm) {
    let size = style.mm(2.4);
    let words = format!(
        "Hold this {} mm from your eyes, and the sizes are true",
        decimals(HOLDING_DISTANCE.get() * times, 0)
    );
    let lines = wrap(&words, size, Weight::Regular, right - start.x);
    let mut baseline = start.y;
    let mut items = Vec::new();
    for words in lines {
        items.push(Item::Text(Text {
            colour: style.muted,
            ..style.text(start.x, baseline, size, words)
        }));
        baseline = baseline + size * 1.5;
    }
    (items, baseline - size * 1.5)
}
