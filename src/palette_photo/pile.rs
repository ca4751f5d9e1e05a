//! One colour for a pile: that of the lit sides of its beads, without highlights, holes and
//! shadows.
//!
//! A pile is a mixture: lit glass, highlights (lighter, and of the lamp's colour), holes and gaps
//! (dark). Shading only scales the light of a colour, so the pixels are cut by lightness: what is
//! far above the median is a highlight, the dark half is shade and holes, and of the rest the upper
//! part is the side that faces the light.

use super::paper::Paper;
use super::spots::PileCells;
use super::{Doubt, Pile};
use crate::colour::{Lab, Light, ciede2000, lab, xyz};
use crate::sample::Grid;

/// Light relative to the median from which a pixel is a highlight.
const SHINE: f64 = 1.7;
/// The part of the rest, by lightness, whose mean is the colour.
const LIT: (f64, f64) = (0.45, 0.90);
/// Light of a channel as photographed from which its colour is lost.
const CLIPPED: f64 = 0.985;
/// Share of clipped pixels from which a colour is doubtful.
const MUCH_CLIPPED: f64 = 0.25;
/// Distance in a* and b* from the middle of a pile from which a pixel has another colour, and the
/// share of such pixels from which a pile is mixed.
const MIXED: (f64, f64) = (18.0, 0.15);
/// Pixels that a colour needs.
const LEAST: usize = 60;
/// Difference from paper below which a pile is like it.
const LIKE_PAPER: f64 = 4.0;

/// The colour of a pile.
pub fn read(grid: &Grid, paper: &Paper, pile: &PileCells) -> Pile {
    let clipped = |at: usize| {
        let light = grid.light[at];
        light.red.max(light.green).max(light.blue) >= CLIPPED
    };
    let kept: Vec<usize> = pile
        .cells
        .iter()
        .copied()
        .filter(|&at| !clipped(at))
        .collect();
    let lost = 1.0 - kept.len() as f64 / pile.cells.len().max(1) as f64;
    // Where everything is clipped, what the camera kept is the best there is.
    let cells = if kept.is_empty() { &pile.cells } else { &kept };
    let lights: Vec<Light> = cells
        .iter()
        .map(|&at| paper.evened(grid, at % grid.width, at / grid.width))
        .collect();
    let lit = lit(lights);
    let light = mean(&lit);
    let own = lab(light);
    let labs: Vec<Lab> = lit.iter().map(|&light| lab(light)).collect();
    let mut doubts = Vec::new();
    let mut doubt = |holds: bool, doubt: Doubt| {
        if holds {
            doubts.push(doubt);
        }
    };
    doubt(cells.len() < LEAST, Doubt::Small);
    doubt(of_another_colour(&labs) > MIXED.1, Doubt::Mixed);
    doubt(lost > MUCH_CLIPPED, Doubt::TooBright);
    doubt(
        pile.like_paper || ciede2000(own, Paper::lab()) < LIKE_PAPER,
        Doubt::LikePaper,
    );
    doubt(pile.at_edge, Doubt::AtEdge);
    Pile {
        x: pile.x,
        y: pile.y,
        light,
        spread: median(labs.iter().map(|&one| ciede2000(one, own)).collect()),
        share: pile.share,
        doubts,
    }
}

/// The lights of the sides that face the lamp.
fn lit(mut lights: Vec<Light>) -> Vec<Light> {
    let y = |light: &Light| xyz(*light)[1];
    lights.sort_by(|a, b| y(a).total_cmp(&y(b)));
    let middle = lights.get(lights.len() / 2).map_or(0.0, y);
    let shine = lights.partition_point(|light| y(light) <= middle * SHINE);
    // A few pixels are all kept.
    let end = ((shine as f64 * LIT.1).ceil() as usize).clamp(1, lights.len().max(1));
    let start = ((shine as f64 * LIT.0) as usize).min(end - 1);
    lights[start.min(lights.len())..end.min(lights.len())].to_vec()
}

/// Mean light in which pixels far off in colour count little: Tukey's biweight round the median.
fn mean(lights: &[Light]) -> Light {
    let channel = |of: fn(&Light) -> f64| median(lights.iter().map(of).collect());
    let mut centre = Light::new(
        channel(|light| light.red),
        channel(|light| light.green),
        channel(|light| light.blue),
    );
    for _ in 0..5 {
        let own = lab(centre);
        let off: Vec<f64> = lights
            .iter()
            .map(|&light| ciede2000(lab(light), own))
            .collect();
        let most = (median(off.clone()) * 4.0).max(2.0);
        let mut sum = Light::new(0.0, 0.0, 0.0);
        let mut weights = 0.0;
        for (&light, off) in lights.iter().zip(off) {
            let inside = (1.0 - (off / most) * (off / most)).max(0.0);
            sum += light * (inside * inside);
            weights += inside * inside;
        }
        if weights <= 0.0 {
            break;
        }
        centre = sum / weights;
    }
    centre
}

/// Share of the colours that are far from the median in a* and b*.
fn of_another_colour(labs: &[Lab]) -> f64 {
    let (a, b) = (
        median(labs.iter().map(|one| one.a).collect()),
        median(labs.iter().map(|one| one.b).collect()),
    );
    let apart = |one: &Lab| ((one.a - a) * (one.a - a) + (one.b - b) * (one.b - b)).sqrt();
    let far = labs.iter().filter(|one| apart(one) > MIXED.0).count();
    far as f64 / labs.len().max(1) as f64
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(0.0)
}
