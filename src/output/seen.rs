//! A band from afar as PNG: its beads in linear light, through the eye's filters, its words beside
//! it.

use super::png::{Picture, encoded, paint_beads, paint_words, pixels_per_metre};
use crate::cancel::Cancel;
use crate::colour::{Encoder, Light, Srgb8, light};
use crate::error::{Error, Result};
use crate::scene::{HOLDING_DISTANCE, Item, Panel, Scene};
use crate::units::Mm;
use crate::vision::scielab::{
    Field, LUMINANCE_SPREADS, Plane, beyond_the_square, filter_means, samples_per_degree,
};
use resvg::tiny_skia::{Color, Pixmap};

/// Samples to the degree that the narrowest filter needs (see [`filter_means`]).
const ENOUGH: f64 = 60.0;
/// Pixels across a bead that show its rim and hole.
const BEAD: f64 = 12.0;
/// Most dots of one panel: sixty million take some 2 GB while they are averaged.
const MOST_DOTS: f64 = 60e6;

/// The scene of [`crate::scene::draw_from_distances`] at `density` dots per inch; `times` as there.
///
/// # Errors
/// As [`super::png()`], if the beads are too small and too many to be drawn, or if the work is
/// cancelled.
pub fn seen(
    scene: &Scene,
    panels: &[Panel],
    times: f64,
    density: Option<f64>,
    cancel: &Cancel,
) -> Result<Picture> {
    let per_metre = pixels_per_metre(scene, density)?;
    let scale = f64::from(per_metre) / 1000.0;
    let pixels = |mm: Mm| (mm.get() * scale - 1e-6).ceil().max(1.0) as u32;
    let ground = scene.backdrop.unwrap_or(Srgb8::new(255, 255, 255));
    let mut pixmap = blank(pixels(scene.width), pixels(scene.height))?;
    pixmap.fill(Color::from_rgba8(
        ground.red,
        ground.green,
        ground.blue,
        255,
    ));
    for panel in panels {
        let look = Look::at(scene, panel, scale, times);
        let (seen, cover) = look.seen(cancel)?;
        paste(&mut pixmap, &seen, &cover, &look, ground);
    }
    paint_words(scene, scale, &mut pixmap)?;
    Ok(Picture {
        bytes: encoded(&pixmap, true, per_metre)?,
        width: pixmap.width(),
        height: pixmap.height(),
        per_metre,
    })
}

fn blank(width: u32, height: u32) -> Result<Pixmap> {
    Pixmap::new(width, height)
        .ok_or_else(|| Error::new("the picture is too large").hint("give a smaller --scale"))
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
        // The picture is looked at from `times` its nearest distance, so that a pixel has the angle
        // that it has on the band.
        let per_degree = samples_per_degree(Mm::new(1.0 / scale), HOLDING_DISTANCE * times);
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

    /// The panel as it is seen, and how much of each pixel the band covers, a value a pixel.
    ///
    /// The eye is used to the band: what surrounds it is taken to have its mean light, so that a
    /// page's white does not tinge it. Its outline is as blurred as light and dark are.
    fn seen(&self, cancel: &Cancel) -> Result<(Field, Plane)> {
        cancel.check()?;
        let (dots, cover) = self.dots()?;
        cancel.check()?;
        let samples = mean(&dots, self.dots);
        let cover = mean(&cover, self.dots);
        // The dots are many times as many.
        drop(dots);
        let surround = all(&samples, &cover);
        let filled = |(light, cover): (&[f32; 3], &[f32; 3])| {
            let rest = 1.0 - cover[0];
            [0, 1, 2].map(|at| light[at] + surround[at] * rest)
        };
        let field = Field {
            width: samples.width,
            light: samples.light.iter().zip(&cover.light).map(filled).collect(),
        };
        cancel.check()?;
        let [red, green, blue] = surround.map(f64::from);
        let seen = filter_means(&field, self.per_degree, Light::new(red, green, blue));
        cancel.check()?;
        let cover = mean(&self.outline(&cover), self.samples);
        let plane = Plane {
            width: cover.width,
            values: cover.light.iter().map(|cover| cover[0]).collect(),
            beyond: 0.0,
        };
        Ok((mean(&seen, self.samples), plane))
    }

    /// Light, premultiplied, and cover of every dot.
    fn dots(&self) -> Result<(Field, Field)> {
        let (_, _, width, height) = self.place;
        let fine = self.samples * self.dots;
        if (width * fine) as f64 * (height * fine) as f64 > MOST_DOTS {
            return Err(Error::new(
                "the band has too many beads to be seen as a whole at this size",
            )
            .hint("give a smaller --scale or a lower --density"));
        }
        let mut dots = blank((width * fine) as u32, (height * fine) as u32)?;
        let scene = Scene {
            items: vec![Item::Beads(self.panel.beads.clone())],
            ..self.scene.clone()
        };
        paint_beads(&scene, self.scale * fine as f64, &mut dots);
        let table: Vec<f32> = (0..=255)
            .map(|code| light(Srgb8::new(code, 0, 0)).red as f32)
            .collect();
        let bright = |pixel: &resvg::tiny_skia::PremultipliedColorU8| {
            let (colour, cover) = (pixel.demultiply(), f32::from(pixel.alpha()) / 255.0);
            [colour.red(), colour.green(), colour.blue()]
                .map(|code| table[usize::from(code)] * cover)
        };
        let cover =
            |pixel: &resvg::tiny_skia::PremultipliedColorU8| [f32::from(pixel.alpha()) / 255.0; 3];
        let field = |light| Field {
            width: width * fine,
            light,
        };
        let light = dots.pixels().iter().map(bright).collect();
        let cover = dots.pixels().iter().map(cover).collect();
        Ok((field(light), field(cover)))
    }

    /// The cover under the two narrow filters of light and dark; the wide one is the eye's use to
    /// what it sees.
    fn outline(&self, cover: &Field) -> Field {
        let plane = Plane {
            width: cover.width,
            values: cover.light.iter().map(|cover| cover[0]).collect(),
            beyond: 0.0,
        };
        let narrow = &LUMINANCE_SPREADS[..2];
        let sum: f64 = narrow.iter().map(|(_, weight)| weight).sum();
        let parts: Vec<(f32, Plane)> = narrow
            .iter()
            .map(|(spread, weight)| {
                let blurred = plane.blurred(beyond_the_square(spread * self.per_degree));
                ((weight / sum) as f32, blurred)
            })
            .collect();
        let value = |at: usize| {
            parts
                .iter()
                .map(|(w, part)| w * part.values[at])
                .sum::<f32>()
        };
        Field {
            width: cover.width,
            light: (0..plane.values.len()).map(|at| [value(at); 3]).collect(),
        }
    }
}

/// The mean light of what is covered.
fn all(light: &Field, cover: &Field) -> [f32; 3] {
    let sum = |field: &Field, at: usize| field.light.iter().map(|l| f64::from(l[at])).sum::<f64>();
    let covered = sum(cover, 0).max(1e-9);
    [0, 1, 2].map(|at| (sum(light, at) / covered) as f32)
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

/// Puts a panel into the picture, on its ground.
fn paste(pixmap: &mut Pixmap, seen: &Field, cover: &Plane, look: &Look<'_>, ground: Srgb8) {
    let table = Encoder::new();
    let on = light(ground);
    let on = [on.red as f32, on.green as f32, on.blue as f32];
    let (left, top, width, height) = look.place;
    let (across, down) = (pixmap.width() as usize, pixmap.height() as usize);
    for y in 0..height.min(down.saturating_sub(top)) {
        for x in 0..width.min(across.saturating_sub(left)) {
            let (light, cover) = (seen.light[y * width + x], cover.values[y * width + x]);
            let mixed = [0, 1, 2].map(|at| on[at] + (light[at].clamp(0.0, 1.0) - on[at]) * cover);
            let colour = table.srgb8(mixed);
            let at = ((top + y) * across + left + x) * 4;
            let pixel = &mut pixmap.data_mut()[at..at + 4];
            pixel.copy_from_slice(&[colour.red, colour.green, colour.blue, 255]);
        }
    }
}
