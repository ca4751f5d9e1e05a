//! A band from afar as PNG: its beads in linear light, through the eye's filters, its words beside it.

use super::png::{Picture, encoded, paint_beads, paint_words, pixels_per_metre};
use crate::colour::{Encoder, Light, Srgb8, light};
use crate::error::{Error, Result};
use crate::eye::scielab::{Field, samples_per_degree, seen as as_seen};
use crate::scene::{Item, NEAR, Panel, Scene};
use crate::units::Mm;
use resvg::tiny_skia::{Color, Pixmap};

/// Samples to the degree that the narrowest filter needs (see [`as_seen`]).
const ENOUGH: f64 = 120.0;
/// Pixels across a bead that show its rim and hole.
const BEAD: f64 = 12.0;
/// Most samples of one panel.
const MOST_SAMPLES: f64 = 40e6;
/// Width of the strip at a panel's edge in which it fades into the ground, over the room round the band.
const FADE: f64 = 0.35;

/// The scene of [`crate::scene::seen`] at `density` dots per inch; `times` as there.
///
/// # Errors
/// As [`super::png()`], or if the beads are too small and too many to be drawn.
pub fn seen(scene: &Scene, panels: &[Panel], times: f64, density: Option<f64>) -> Result<Picture> {
    let per_metre = pixels_per_metre(scene, density)?;
    let scale = f64::from(per_metre) / 1000.0;
    let pixels = |mm: Mm| (mm.get() * scale - 1e-6).ceil().max(1.0) as u32;
    let ground = scene.ground.unwrap_or(Srgb8::new(255, 255, 255));
    let mut pixmap = blank(pixels(scene.width), pixels(scene.height), ground)?;
    for panel in panels {
        let look = Look::at(scene, panel, scale, times);
        paste(&mut pixmap, &look.field()?, &look, ground);
    }
    paint_words(scene, scale, &mut pixmap)?;
    Ok(Picture {
        bytes: encoded(&pixmap, true, per_metre)?,
        width: pixmap.width(),
        height: pixmap.height(),
        per_metre,
    })
}

fn blank(width: u32, height: u32, ground: Srgb8) -> Result<Pixmap> {
    let mut pixmap = Pixmap::new(width, height)
        .ok_or_else(|| Error::new("the picture is too large").hint("give a smaller --scale"))?;
    pixmap.fill(Color::from_rgba8(
        ground.red,
        ground.green,
        ground.blue,
        255,
    ));
    Ok(pixmap)
}

/// How one panel is sampled.
struct Look<'a> {
    scene: &'a Scene,
    panel: &'a Panel,
    /// The panel's pixels in the picture: left, top, width, height.
    place: (usize, usize, usize, usize),
    /// Pixels of the picture in a millimetre.
    scale: f64,
    /// Samples a pixel and dots a sample, each way.
    samples: usize,
    dots: usize,
    per_degree: f64,
}

impl<'a> Look<'a> {
    fn at(scene: &'a Scene, panel: &'a Panel, scale: f64, times: f64) -> Self {
        let start = |mm: Mm| (mm.get() * scale).round().max(0.0) as usize;
        let length = |mm: Mm| (mm.get() * scale).ceil() as usize;
        let place = (
            start(panel.left),
            start(panel.top),
            length(panel.width),
            length(panel.height),
        );
        // The picture is looked at from `times` its nearest distance, so that a pixel has the angle that it has on the band.
        let per_degree = samples_per_degree(Mm::new(1.0 / scale), NEAR * times);
        let samples = (ENOUGH / per_degree).ceil().clamp(1.0, 12.0);
        let bead = panel.beads.shape.width.get() * scale * samples;
        let dots = (BEAD / bead).ceil().max(1.0);
        Self {
            scene,
            panel,
            place,
            scale,
            samples: samples as usize,
            dots: dots as usize,
            per_degree: per_degree * samples,
        }
    }

    /// The panel as it is seen, a value a pixel.
    fn field(&self) -> Result<Field> {
        let (_, _, width, height) = self.place;
        let fine = self.samples * self.dots;
        let total = (width * fine) as f64 * (height * fine) as f64;
        if total > MOST_SAMPLES * 4.0 {
            return Err(
                Error::new("the band is too large to be seen as a whole at this size")
                    .hint("give a smaller --scale or a lower --density"),
            );
        }
        let ground = self.scene.ground.unwrap_or(Srgb8::new(255, 255, 255));
        let mut dots = blank((width * fine) as u32, (height * fine) as u32, ground)?;
        let scene = Scene {
            items: vec![Item::Beads(self.panel.beads.clone())],
            ..self.scene.clone()
        };
        paint_beads(&scene, self.scale * fine as f64, &mut dots);
        let table: Vec<f32> = (0..=255)
            .map(|code| light(Srgb8::new(code, 0, 0)).red as f32)
            .collect();
        let bright = |pixel: &[u8]| [0, 1, 2].map(|at| table[usize::from(pixel[at])]);
        let dots = Field {
            width: width * fine,
            light: dots.data().chunks_exact(4).map(bright).collect(),
        };
        let samples = mean(&dots, self.dots);
        let seen = as_seen(&samples, self.per_degree, light(ground));
        Ok(mean(&seen, self.samples))
    }
}

/// Means of blocks of `step` by `step`.
fn mean(field: &Field, step: usize) -> Field {
    if step == 1 {
        return field.clone();
    }
    let width = field.width / step;
    let height = field.height() / step;
    let share = 1.0 / (step * step) as f32;
    let block = |at: usize| {
        let (x, y) = (at % width * step, at / width * step);
        let mut sum = [0.0f32; 3];
        for row in y..y + step {
            for light in &field.light[row * field.width + x..row * field.width + x + step] {
                for (sum, one) in sum.iter_mut().zip(light) {
                    *sum += one;
                }
            }
        }
        sum.map(|sum| sum * share)
    };
    Field {
        width,
        light: (0..width * height).map(block).collect(),
    }
}

/// Puts a panel into the picture, fading into the ground at its edges.
fn paste(pixmap: &mut Pixmap, field: &Field, look: &Look<'_>, ground: Srgb8) {
    let table = Encoder::new();
    let Light {
        red, green, blue, ..
    } = light(ground);
    let ground = [red as f32, green as f32, blue as f32];
    let (left, top, width, height) = look.place;
    let (across, down) = (pixmap.width() as usize, pixmap.height() as usize);
    let room = look.panel.beads.placed.iter().map(|bead| bead.left.get());
    let room = room.fold(f64::INFINITY, f64::min) * look.scale * FADE;
    for y in 0..height.min(down.saturating_sub(top)) {
        for x in 0..width.min(across.saturating_sub(left)) {
            let edge = x.min(y).min(width - 1 - x).min(height - 1 - y) as f64;
            let share = (edge / room.max(1.0)).min(1.0) as f32;
            let seen = field.light[y * width + x];
            let mixed = [0, 1, 2].map(|at| ground[at] + (seen[at] - ground[at]) * share);
            let colour = table.srgb8(mixed);
            let at = ((top + y) * across + left + x) * 4;
            let pixel = &mut pixmap.data_mut()[at..at + 4];
            pixel.copy_from_slice(&[colour.red, colour.green, colour.blue, 255]);
        }
    }
}
