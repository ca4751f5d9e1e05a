//! A band as large as it looks from afar: panels side by side, with what they show below.
//!
//! A band that is `D` mm away looks as large as one of `300/D` of its size does from [`NEAR`] mm. So the panels are drawn at these sizes, and whoever holds the picture
//! at that distance sees them under the true angles. What the eye then still resolves is for [`crate::vision::scielab`] to say.

use super::layout::{Style, broken};
use super::relief::{Relief, sheen};
use super::{Anchor, Beads, Item, Paint, Placed, Scene, Shape, Text, Weight};
use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::units::{Mm, decimals};

/// From how far a picture at true size is looked at.
pub const NEAR: Mm = Mm::new(300.0);
/// Distances that tell most: in the hand, worn, across a table.
pub const SEEN: [Mm; 3] = [Mm::new(300.0), Mm::new(700.0), Mm::new(2000.0)];
/// Room round a band in its panel: the blur's reach, in millimetres on a page.
const ROOM: f64 = 3.5;
/// Narrowest panel, so that its words have room.
const NARROWEST: f64 = 24.0;

/// Choices for [`seen`].
#[derive(Debug, Clone, PartialEq)]
pub struct SeenOptions {
    /// From the left to the right.
    pub distances: Vec<Mm>,
    /// Times the size that the bands have where the picture is held 300 mm away.
    pub times: f64,
    /// What they lie on.
    pub backdrop: Srgb8,
    /// The bands alone, without words and the room about them.
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

/// The words of a picture of a band seen from afar, and its panels.
pub fn seen(chart: &Chart, options: &SeenOptions) -> (Scene, Vec<Panel>) {
    let style = Style::on(Some(options.backdrop), 1.0);
    let (margin, narrowest) = match options.bare {
        true => (Mm::new(0.0), 0.0),
        false => (style.mm(6.0), NARROWEST),
    };
    let mut panels = Vec::new();
    let mut middles = Vec::new();
    let mut left = margin;
    let sizes: Vec<f64> = options
        .distances
        .iter()
        .map(|d| NEAR / *d * options.times)
        .collect();
    let tall = sizes.iter().fold(0.0, |most: f64, scale| {
        most.max(chart.lattice.flat_height().get() * scale)
    });
    let tall = Mm::new(tall) + style.mm(ROOM) * 2.0;
    for scale in sizes {
        let panel = panel(chart, scale, style.mm(ROOM));
        let wide = Mm::new(panel.width.get().max(narrowest));
        middles.push(left + wide / 2.0);
        panels.push(Panel {
            left: left + (wide - panel.width) / 2.0,
            top: margin + (tall - panel.height) / 2.0,
            ..panel
        });
        left = left + wide;
    }
    let right = left + margin;
    let (items, bottom) = match options.bare {
        true => (Vec::new(), tall),
        false => words(&style, &middles, options, (margin, right), margin + tall),
    };
    let paint = |(shade, count): (&crate::chart::Shade, usize)| Paint {
        shade: shade.clone(),
        count,
        outline: None,
        sheen: sheen(shade),
    };
    let words: Vec<String> = options.distances.iter().map(Mm::to_string).collect();
    let scene = Scene {
        width: right,
        height: bottom + margin,
        ground: Some(options.backdrop),
        title: format!("A peyote band as seen from {}", words.join(", ")),
        description: super::words::description(chart),
        paints: chart
            .colours
            .iter()
            .zip(chart.counts())
            .map(paint)
            .collect(),
        items,
    };
    (scene, panels)
}

/// What stands below the bands, and where it ends.
fn words(
    style: &Style,
    middles: &[Mm],
    options: &SeenOptions,
    (margin, right): (Mm, Mm),
    below: Mm,
) -> (Vec<Item>, Mm) {
    let first = below + style.mm(5.0);
    let captions = middles.iter().zip(&options.distances);
    let mut items: Vec<Item> = captions
        .flat_map(|(middle, distance)| caption(style, *middle, first, *distance))
        .collect();
    let (foot, bottom) = foot(
        style,
        (margin, first + style.mm(10.5)),
        right - margin,
        options.times,
    );
    items.extend(foot);
    (items, bottom)
}

fn panel(chart: &Chart, scale: f64, room: Mm) -> Panel {
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
            left: room + x * scale - shape.width / 2.0,
            top: room + (flat - y) * scale - shape.height / 2.0,
            paint: chart.beads[at],
        }
    };
    Panel {
        left: Mm::new(0.0),
        top: Mm::new(0.0),
        width: lattice.width() * scale + room * 2.0,
        height: flat * scale + room * 2.0,
        beads: Beads {
            shape,
            placed: (0..lattice.len()).rev().map(placed).collect(),
        },
    }
}

/// The distance, and what it stands for where it is one of the usual ones.
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
    match about.is_empty() {
        true => vec![Item::Text(first)],
        false => vec![Item::Text(first), Item::Text(second)],
    }
}

/// How to hold the picture, and where the words end.
fn foot(style: &Style, (x, top): (Mm, Mm), right: Mm, times: f64) -> (Vec<Item>, Mm) {
    let size = style.mm(2.4);
    let words = format!(
        "Hold this {} mm from your eyes, and the sizes are true",
        decimals(NEAR.get() * times, 0)
    );
    let lines = broken(&words, size, Weight::Regular, right - x);
    let mut baseline = top;
    let mut items = Vec::new();
    for words in lines {
        items.push(Item::Text(Text {
            colour: style.muted,
            ..style.text(x, baseline, size, words)
        }));
        baseline = baseline + size * 1.5;
    }
    (items, baseline - size * 1.5)
}
