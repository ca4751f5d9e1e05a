//! Keys as letters on the beads of a drawing.

use super::keys::legible;
use super::style::Style;
use super::{Anchor, Beads, Figures, Item, Placed, Text, Weight, font};
use crate::chart::Chart;
use crate::colour::Srgb8;
use crate::units::Mm;

/// Height of a key's letters (the em) over the bead's, at most.
const HEIGHT: f64 = 0.46;
/// Width of a key over the bead's.
const WIDTH: f64 = 0.84;
/// Smallest key that is set (the em), in millimetres: 3.7 points, for those who look closely. Ours.
const SMALLEST: f64 = 1.3;

/// The key of each bead's colour in its middle, in black or white, as large as the widest key
/// allows; nothing where it would be too small to read.
pub(super) fn keys_on_beads(
    chart: &Chart,
    keys: &[String],
    beads: &Beads,
    style: &Style,
) -> Vec<Item> {
    let counts = chart.counts();
    let used = keys.iter().zip(&counts).filter(|(_, count)| **count > 0);
    let one = Mm::new(1.0);
    let widest = used
        .map(|(key, _)| font::width(key, one, Weight::Semibold, Figures::Running).get())
        .fold(0.1, f64::max);
    let size = (beads.shape.width.get() * WIDTH / widest).min(beads.shape.height.get() * HEIGHT);
    if size < SMALLEST * style.unit {
        return Vec::new();
    }
    let size = Mm::new(size);
    let inks: Vec<Srgb8> = chart
        .colours
        .iter()
        .map(|shade| legible(shade.srgb))
        .collect();
    let text = |bead: &Placed| {
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
    let lettered = beads.placed.iter();
    lettered
        .filter(|bead| !keys[usize::from(bead.paint)].is_empty())
        .map(text)
        .collect()
}
