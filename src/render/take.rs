//! Taking the picture: a ray for each pixel, more where beads meet, on all cores.

use super::camera::Axes;
use super::space::{Ray, V, v};
use super::{Band, Camera, ELEVATION, Frame, Hit, Lit, Pose, Shades, Studio, Surface};
use crate::chart::{Chart, Shade};
use crate::colour::{Light, Srgb8, light};
use crate::error::{Error, Result};
use crate::units::Mm;
use rayon::prelude::*;

/// Rays in a pixel where beads meet, in sixteenths of it from its middle: no two in a line or a column, so that edges near upright or level ones are as fine as
/// slanting ones. The standard pattern of eight samples of graphics interfaces, from memory; the first [`CORNERS`] lie one in each quarter.
const FINE: [(i8, i8); 8] = [
    (-3, -5),
    (7, -7),
    (-5, 5),
    (3, 7),
    (1, -3),
    (-1, 3),
    (5, 1),
    (-7, -1),
];
/// Rays after which a pixel is done if they all see the same as its middle.
const CORNERS: usize = 4;
/// Pixels whose light differs by more than this get more rays, too.
const SMOOTH: f32 = 0.06;
/// Width of the strip along the edges in which the shadow fades, in halves of the picture.
const FADE: f64 = 0.45;
/// Light above which it is pressed together, so that white stays white and nothing is cut off.
const SHOULDER: f64 = 0.78;

/// A picture in linear light.
#[derive(Debug, Clone, PartialEq)]
pub struct Photograph {
    /// Pixels a side.
    pub side: usize,
    /// Light and cover, premultiplied, from the upper left: red, green, blue, alpha.
    pub pixels: Vec<[f32; 4]>,
    /// Whether the middle of a pixel shows the ring, and not the ground.
    pub on_ring: Vec<bool>,
    /// What it shows, in millimetres.
    pub frame: Frame,
}

/// A ring that is lit and looked at: all that does not change from one turn to the next.
#[derive(Debug, Clone)]
pub struct Stage<'a> {
    chart: &'a Chart,
    axes: Axes,
    camera: Camera,
    frame: Frame,
    studio: Studio,
    shades: Shades,
    ground: Option<Light>,
    paints: Vec<(Light, Surface)>,
}

/// One picture of a stage.
struct Shot<'a> {
    stage: &'a Stage<'a>,
    band: Band<'a>,
    side: usize,
}

/// The ring of a closed chart, `side` pixels square; `ground` is what it stands on, and none leaves only its shadow.
///
/// # Errors
/// If the chart is not closed.
pub fn photograph(
    chart: &Chart,
    pose: &Pose,
    side: usize,
    ground: Option<Srgb8>,
) -> Result<Photograph> {
    Ok(Stage::new(chart, pose.tilt, ground)?.take(pose.turn, side))
}

/// Stands for the ground in place of a bead.
const GROUND: u32 = u32::MAX;

/// What one ray sees.
#[derive(Debug, Clone, Copy)]
struct Sight {
    light: [f32; 4],
    /// The bead, and which part of it; nothing for the ground.
    part: u32,
}

/// Whether two rays see different things, or light that is not nearly the same.
fn unlike(one: &Sight, other: &Sight) -> bool {
    let mut parts = one.light.iter().zip(other.light);
    one.part != other.part || parts.any(|(a, b)| (a - b).abs() > SMOOTH)
}

/// Whether a pixel and its neighbours see different things.
fn rough(sights: &[Sight], side: usize, x: usize, y: usize) -> bool {
    let own = &sights[y * side + x];
    let near = |x: usize, y: usize| unlike(own, &sights[y * side + x]);
    (x > 0 && near(x - 1, y))
        || (x + 1 < side && near(x + 1, y))
        || (y > 0 && near(x, y - 1))
        || (y + 1 < side && near(x, y + 1))
}

impl<'a> Stage<'a> {
    /// The ring of a closed chart, its side turned to the eye by `tilt` degrees; `ground` is what it stands on, and none leaves only its shadow.
    ///
    /// # Errors
    /// If the chart is not closed.
    pub fn new(chart: &'a Chart, tilt: f64, ground: Option<Srgb8>) -> Result<Self> {
        if !chart.lattice.is_closed() {
            return Err(Error::new("the chart is a flat strip, not a ring")
                .hint("draw it with --flat; only a closed band has a ring picture"));
        }
        let band = Band::new(chart, 0.0);
        let (outer, inner, half) = (band.outer(), band.inner(), band.half_width());
        let pose = Pose { turn: 0.0, tilt };
        let axes = Axes::of(&pose);
        let camera = Camera::before(Mm::new(outer));
        let studio = Studio::new();
        let paint = |shade: &Shade| (light(shade.srgb), Surface::of(shade.finish));
        Ok(Self {
            chart,
            axes,
            camera,
            frame: camera.frame(Mm::new(outer), Mm::new(2.0 * half), &pose),
            studio,
            shades: Shades::new(outer, inner, half, &axes, &studio),
            ground: ground.map(light),
            paints: chart.colours.iter().map(paint).collect(),
        })
    }

    /// What its pictures show, in millimetres.
    pub fn frame(&self) -> Frame {
        self.frame
    }

    /// The picture at `turn` degrees (see [`Pose::turn`]), `side` pixels square.
    pub fn take(&self, turn: f64, side: usize) -> Photograph {
        let shot = Shot {
            stage: self,
            // At turn 0 the middle row faces the eye, which stands a little above.
            band: Band::new(self.chart, turn + ELEVATION),
            side,
        };
        let coarse: Vec<Sight> = shot.pixels(|x, y| shot.look(x as f64 + 0.5, y as f64 + 0.5));
        let pixels = shot.pixels(|x, y| match rough(&coarse, side, x, y) {
            true => shot.look_closely(x, y, &coarse[y * side + x]),
            false => coarse[y * side + x].light,
        });
        let on_ring = coarse.iter().map(|sight| sight.part != GROUND).collect();
        Photograph {
            side,
            pixels,
            on_ring,
            frame: self.frame,
        }
    }
}

impl Shot<'_> {
    /// One value a pixel, row by row on all cores.
    fn pixels<T: Send>(&self, each: impl Fn(usize, usize) -> T + Sync) -> Vec<T> {
        let side = self.side;
        let each = &each;
        (0..side)
            .into_par_iter()
            .flat_map_iter(|y| (0..side).map(move |x| each(x, y)))
            .collect()
    }

    fn look_closely(&self, x: usize, y: usize, middle: &Sight) -> [f32; 4] {
        let mut sum = [0.0f32; 4];
        let mut alike = true;
        let mean = |sum: [f32; 4], rays: usize| sum.map(|sum| sum / rays as f32);
        for (at, (right, down)) in FINE.into_iter().enumerate() {
            if at == CORNERS && alike {
                return mean(sum, CORNERS);
            }
            let part = |at: i8| 0.5 + f64::from(at) / 16.0;
            let sight = self.look(x as f64 + part(right), y as f64 + part(down));
            alike = alike && !unlike(&sight, middle);
            for (sum, one) in sum.iter_mut().zip(sight.light) {
                *sum += one;
            }
        }
        mean(sum, FINE.len())
    }

    /// What is seen at a place of the picture, in pixels from its upper left corner.
    fn look(&self, x: f64, y: f64) -> Sight {
        let pitch = self.stage.frame.side.get() / self.side as f64;
        let half = self.side as f64 / 2.0;
        let up = (half - y) * pitch + self.stage.frame.raised.get();
        let ray = self.stage.camera.ray((x - half) * pitch, up);
        let own = Ray {
            from: self.stage.axes.inward(ray.from),
            along: self.stage.axes.inward(ray.along),
        };
        match self.band.hit(&own) {
            Some(hit) => self.bead(&hit, -own.along),
            None => Sight {
                light: self.floor(&ray, self.margin(x, y)),
                part: GROUND,
            },
        }
    }

    /// How far a place lies from the edge of the picture, in halves of it.
    fn margin(&self, x: f64, y: f64) -> f64 {
        let half = self.side as f64 / 2.0;
        1.0 - (x - half).abs().max((y - half).abs()) / half
    }

    /// The ground, where its shadow ends before the picture does: so that it stands on a page of the same colour without a border.
    fn floor(&self, ray: &Ray, margin: f64) -> [f32; 4] {
        let far = (-self.band.outer() - ray.from.y) / ray.along.y;
        let lit = match far > 0.0 {
            true => {
                let place = ray.at(far);
                let dark = 1.0 - self.stage.shades.on_ground(place.x, place.z);
                1.0 - dark * smooth((margin - 0.01) / FADE)
            }
            false => 1.0,
        };
        match self.stage.ground {
            Some(ground) => rgb(ground * lit, 1.0),
            None => [0.0, 0.0, 0.0, (1.0 - lit) as f32],
        }
    }

    /// The light from a bead; `eye` points to the eye, in the ring's axes.
    fn bead(&self, hit: &Hit, eye: V) -> Sight {
        let chart = self.stage.chart;
        let (colour, surface) = &self.stage.paints[usize::from(chart.beads[hit.bead])];
        let across = v(0.0, hit.place.y, hit.place.z).length();
        let outward = v(0.0, hit.place.y, hit.place.z) * (1.0 / across);
        let middle = (self.band.outer() + self.band.inner()) / 2.0;
        let inside = across < middle && !hit.edge;
        let lean = hit.normal.dot(outward) * if inside { -1.0 } else { 1.0 };
        // Between rollers side by side a place sees the share (1 + cos)/2 of what the top of a roller sees.
        let groove = match hit.edge {
            true => 0.82 + 0.18 * hit.normal.x.abs(),
            false => ((1.0 + lean) / 2.0).clamp(0.0, 1.0),
        };
        let (panel, open) = match inside {
            true => self.stage.shades.inside(hit.place),
            false => (1.0, 1.0),
        };
        let depth = 1.0 / (1.0 + 5.0 * hit.hole * hit.hole + 3.0 * hit.hole);
        let lit = Lit {
            panel: panel
                * if hit.hole > 0.0 {
                    depth * 0.5
                } else {
                    smooth(groove * 2.2)
                },
            open: open * groove * depth,
        };
        let normal = self.stage.axes.out(hit.normal);
        let light = surface.glow(
            *colour,
            normal,
            self.stage.axes.out(eye),
            &lit,
            &self.stage.studio,
        );
        Sight {
            light: rgb(pressed(light), 1.0),
            part: hit.bead as u32 * 4 + u32::from(hit.edge) * 2 + u32::from(hit.hole > 0.0),
        }
    }
}

/// 0 to 1, level at both ends.
fn smooth(share: f64) -> f64 {
    let share = share.clamp(0.0, 1.0);
    share * share * (3.0 - 2.0 * share)
}

/// Bright light pressed together so that it never passes 1; below 0.78 it stays as it is.
pub fn pressed(light: Light) -> Light {
    let press = |x: f64| match x > SHOULDER {
        true => {
            let room = 1.0 - SHOULDER;
            let over = (x - SHOULDER) / room;
            SHOULDER + room * over / (1.0 + over)
        }
        false => x,
    };
    Light::new(press(light.red), press(light.green), press(light.blue))
}

fn rgb(light: Light, alpha: f32) -> [f32; 4] {
    [
        light.red as f32,
        light.green as f32,
        light.blue as f32,
        alpha,
    ]
}
