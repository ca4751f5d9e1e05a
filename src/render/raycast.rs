//! Renders the ring by ray casting: a ray for each pixel, more where beads meet, on all cores.

use super::camera::RingAxes;
use super::geometry::{Ray, Vec3, smoothstep, vec3};
use super::shadows::{Hoop, Obstacles};
use super::stand::{Stand, StandHit};
use super::{
    Camera, ELEVATION, Frame, Hit, Lighting, Material, Pose, RingBeads, Shadows, Stance, Visibility,
};
use crate::chart::{Chart, Shade};
use crate::colour::{Light, Srgb8, light};
use crate::error::{Error, Result};
use crate::units::Mm;
use rayon::prelude::*;

/// Rays in a pixel where beads meet, in sixteenths of it from its middle: no two in a line or a
/// column, so that edges near upright or level ones are as fine as slanting ones. The first
/// [`QUARTERS`] lie one in each quarter.
const SAMPLES: [(i8, i8); 8] = [
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
const QUARTERS: usize = 4;
/// Pixels whose light differs by more than this get more rays, too.
const CONTRAST: f32 = 0.06;
/// Width of the strip along the edges in which the shadow fades, in halves of the picture.
const FADE: f64 = 0.45;
/// Light above which highlights are compressed, so that white stays white and nothing is cut off.
const SHOULDER: f64 = 0.78;

/// A rendered picture of a ring, in linear light.
#[derive(Debug, Clone, PartialEq)]
pub struct RingImage {
    /// Pixels a side.
    pub side: usize,
    /// Premultiplied light, from the upper left: red, green, blue, alpha.
    pub pixels: Vec<[f32; 4]>,
    /// Whether the middle of a pixel shows the ring, and not the ground.
    pub on_ring: Vec<bool>,
    /// What it shows, in millimetres.
    pub frame: Frame,
}

/// A ring with its camera and light: all that does not change when it is rolled.
#[derive(Debug, Clone)]
pub struct RingScene<'a> {
    chart: &'a Chart,
    axes: RingAxes,
    camera: Camera,
    frame: Frame,
    lighting: Lighting,
    shadows: Shadows,
    obstacles: Obstacles,
    /// Degrees by which the ring is rolled so that its middle row faces the camera.
    facing: f64,
    backdrop: Option<Light>,
    /// Colour and material of each colour of the chart.
    paints: Vec<(Light, Material)>,
}

/// One picture of a scene.
struct RayCaster<'a> {
    scene: &'a RingScene<'a>,
    beads: RingBeads<'a>,
    side: usize,
}

/// The ring of a closed chart, `side` pixels square, on a backdrop of this colour; none leaves only
/// its shadow.
///
/// # Errors
/// If the chart is not closed.
pub fn render_ring(
    chart: &Chart,
    pose: &Pose,
    side: usize,
    backdrop: Option<Srgb8>,
) -> Result<RingImage> {
    Ok(RingScene::new(chart, pose, backdrop)?.render(pose.roll, side))
}

/// Stand for the ground, and for the stand, in place of a bead.
const GROUND: u32 = u32::MAX;
const STAND: u32 = u32::MAX - 1;

/// What one ray sees.
#[derive(Debug, Clone, Copy)]
struct Sample {
    light: [f32; 4],
    /// The bead, and which part of it; or [`GROUND`] or [`STAND`].
    part: u32,
}

/// Whether two rays see different things, or light that is not nearly the same.
fn differ(one: &Sample, other: &Sample) -> bool {
    let mut parts = one.light.iter().zip(other.light);
    one.part != other.part || parts.any(|(a, b)| (a - b).abs() > CONTRAST)
}

/// Whether a pixel sees something else than one of its neighbours.
fn is_border(samples: &[Sample], side: usize, x: usize, y: usize) -> bool {
    let own = &samples[y * side + x];
    let near = |x: usize, y: usize| differ(own, &samples[y * side + x]);
    (x > 0 && near(x - 1, y))
        || (x + 1 < side && near(x + 1, y))
        || (y > 0 && near(x, y - 1))
        || (y + 1 < side && near(x, y + 1))
}

impl<'a> RingScene<'a> {
    /// The ring of a closed chart in a pose, whatever its roll, on a backdrop of this colour; none
    /// leaves only its shadow.
    ///
    /// # Errors
    /// If the chart is not closed.
    pub fn new(chart: &'a Chart, pose: &Pose, backdrop: Option<Srgb8>) -> Result<Self> {
        if !chart.lattice.is_closed() {
            return Err(Error::new("the chart is a flat strip, not a ring")
                .hint("draw it with --flat; only a closed band has a ring picture"));
        }
        let beads = RingBeads::new(chart, 0.0);
        let hoop = Hoop {
            outer_radius: beads.outer_radius(),
            inner_radius: beads.inner_radius(),
            half_width: beads.half_width(),
        };
        let obstacles = Obstacles::of(hoop, pose.stance);
        let axes = RingAxes::of(pose);
        let lying = pose.stance != Stance::Standing;
        let elevation = if lying { pose.tilt } else { ELEVATION };
        let camera = Camera::raised(Mm::new(hoop.outer_radius), elevation);
        let lighting = Lighting::new();
        let paint = |shade: &Shade| (light(shade.srgb), Material::of(shade.finish));
        Ok(Self {
            chart,
            axes,
            camera,
            frame: camera.frame(&obstacles.circles(), &axes),
            lighting,
            shadows: Shadows::new(&obstacles, &axes, &lighting),
            obstacles,
            // At roll 0 the middle row faces the camera, which stands a little above.
            facing: if lying { 0.0 } else { ELEVATION },
            backdrop: backdrop.map(light),
            paints: chart.colours.iter().map(paint).collect(),
        })
    }

    /// What its pictures show, in millimetres.
    pub fn frame(&self) -> Frame {
        self.frame
    }

    /// The picture of the ring rolled by so many degrees (see [`Pose::roll`]), `side` pixels
    /// square.
    pub fn render(&self, roll: f64, side: usize) -> RingImage {
        let caster = RayCaster {
            scene: self,
            beads: RingBeads::new(self.chart, roll + self.facing),
            side,
        };
        let middle = |x: usize, y: usize| caster.sample(x as f64 + 0.5, y as f64 + 0.5);
        let samples: Vec<Sample> = caster.pixels(middle);
        let pixels = caster.pixels(|x, y| {
            let sample = &samples[y * side + x];
            if is_border(&samples, side, x, y) {
                caster.supersample(x, y, sample)
            } else {
                sample.light
            }
        });
        let on_ring = samples.iter().map(|sample| sample.part != GROUND);
        let on_ring = on_ring.collect();
        RingImage {
            side,
            pixels,
            on_ring,
            frame: self.frame,
        }
    }
}

impl RayCaster<'_> {
    /// One value a pixel, row by row on all cores.
    fn pixels<T: Send>(&self, each: impl Fn(usize, usize) -> T + Sync) -> Vec<T> {
        let side = self.side;
        let each = &each;
        (0..side)
            .into_par_iter()
            .flat_map_iter(|y| (0..side).map(move |x| each(x, y)))
            .collect()
    }

    /// The mean light of several rays through a pixel; `middle` is what its middle sees.
    fn supersample(&self, x: usize, y: usize, middle: &Sample) -> [f32; 4] {
        let mut sum = [0.0f32; 4];
        let mut alike = true;
        let mean = |sum: [f32; 4], rays: usize| sum.map(|sum| sum / rays as f32);
        for (at, (right, down)) in SAMPLES.into_iter().enumerate() {
            if at == QUARTERS && alike {
                return mean(sum, QUARTERS);
            }
            let part = |at: i8| 0.5 + f64::from(at) / 16.0;
            let sample = self.sample(x as f64 + part(right), y as f64 + part(down));
            alike = alike && !differ(&sample, middle);
            for (sum, one) in sum.iter_mut().zip(sample.light) {
                *sum += one;
            }
        }
        mean(sum, SAMPLES.len())
    }

    /// What is seen at a point of the picture, in pixels from its upper left corner.
    fn sample(&self, x: f64, y: f64) -> Sample {
        let scene = self.scene;
        let pitch = scene.frame.side.get() / self.side as f64;
        let half = self.side as f64 / 2.0;
        let up = (half - y) * pitch + scene.frame.raised.get();
        let ray = scene.camera.ray((x - half) * pitch, up);
        let local = Ray {
            origin: scene.axes.in_ring(ray.origin),
            direction: scene.axes.in_ring(ray.direction),
        };
        let bead = self.beads.hit(&local);
        let stand = scene.obstacles.stand.and_then(|stand| {
            let nearer = |hit: &StandHit| bead.is_none_or(|bead| hit.distance < bead.distance);
            stand.hit(&local).filter(nearer).map(|hit| (stand, hit))
        });
        match (stand, bead) {
            (Some((stand, hit)), _) => self.shade_stand(&stand, &hit, -local.direction),
            (None, Some(hit)) => self.shade_bead(&hit, -local.direction),
            (None, None) => Sample {
                light: self.shade_ground(&ray, self.margin(x, y)),
                part: GROUND,
            },
        }
    }

    /// The light from the stand; `to_eye` points to the camera, in the ring's axes.
    fn shade_stand(&self, stand: &Stand, hit: &StandHit, to_eye: Vec3) -> Sample {
        let scene = self.scene;
        let visible = if hit.normal.x.abs() == 1.0 {
            Visibility::FULL
        } else {
            scene.shadows.on_stand(stand, hit.point)
        };
        let light = Material::WHITE.reflect(
            Stand::colour(),
            scene.axes.in_world(hit.normal),
            scene.axes.in_world(to_eye),
            &visible,
            &scene.lighting,
        );
        Sample {
            light: rgba(compress_highlights(light), 1.0),
            part: STAND,
        }
    }

    /// How far a point lies from the edge of the picture, in halves of it.
    fn margin(&self, x: f64, y: f64) -> f64 {
        let half = self.side as f64 / 2.0;
        1.0 - (x - half).abs().max((y - half).abs()) / half
    }

    /// The ground. Its shadow fades before the picture ends, so that the ring stands on a page of
    /// the same colour without a border.
    fn shade_ground(&self, ray: &Ray, margin: f64) -> [f32; 4] {
        let distance = (-self.scene.obstacles.ground - ray.origin.y) / ray.direction.y;
        let lit = if distance > 0.0 {
            let point = ray.at(distance);
            let dark = 1.0 - self.scene.shadows.on_ground(point.x, point.z);
            1.0 - dark * smoothstep((margin - 0.01) / FADE)
        } else {
            1.0
        };
        match self.scene.backdrop {
            Some(backdrop) => rgba(backdrop * lit, 1.0),
            None => [0.0, 0.0, 0.0, (1.0 - lit) as f32],
        }
    }

    /// The light from a bead; `to_eye` points to the camera, in the ring's axes.
    fn shade_bead(&self, hit: &Hit, to_eye: Vec3) -> Sample {
        let scene = self.scene;
        let (colour, material) = &scene.paints[usize::from(scene.chart.beads[hit.bead])];
        let in_hole = hit.hole_depth > 0.0;
        let light = material.reflect(
            *colour,
            scene.axes.in_world(hit.normal),
            scene.axes.in_world(to_eye),
            &self.visible_from(hit),
            &scene.lighting,
        );
        Sample {
            light: rgba(compress_highlights(light), 1.0),
            part: hit.bead as u32 * 4 + u32::from(hit.at_edge) * 2 + u32::from(in_hole),
        }
    }

    /// How much of the light a point of a bead sees past its neighbours, the ring and its own hole.
    fn visible_from(&self, hit: &Hit) -> Visibility {
        let across = vec3(0.0, hit.point.y, hit.point.z).length();
        let outward = vec3(0.0, hit.point.y, hit.point.z) * (1.0 / across);
        let middle = (self.beads.outer_radius() + self.beads.inner_radius()) / 2.0;
        let inside = across < middle && !hit.at_edge;
        let lean = hit.normal.dot(outward) * if inside { -1.0 } else { 1.0 };
        // Between rollers side by side a point sees the share (1 + cos)/2 of what the top of a
        // roller sees.
        let groove = if hit.at_edge {
            0.82 + 0.18 * hit.normal.x.abs()
        } else {
            ((1.0 + lean) / 2.0).clamp(0.0, 1.0)
        };
        let past_ring = if inside {
            self.scene.shadows.inside(hit.point)
        } else {
            Visibility::FULL
        };
        let depth = 1.0 / (1.0 + 5.0 * hit.hole_depth * hit.hole_depth + 3.0 * hit.hole_depth);
        let panel = if hit.hole_depth > 0.0 {
            depth * 0.5
        } else {
            smoothstep(groove * 2.2)
        };
        Visibility {
            panel: past_ring.panel * panel,
            surroundings: past_ring.surroundings * groove * depth,
        }
    }
}

/// Tone mapping: bright light is compressed so that it never passes 1; below 0.78 it stays as it
/// is.
pub fn compress_highlights(light: Light) -> Light {
    let compress = |x: f64| {
        if x > SHOULDER {
            let room = 1.0 - SHOULDER;
            let over = (x - SHOULDER) / room;
            SHOULDER + room * over / (1.0 + over)
        } else {
            x
        }
    };
    Light::new(
        compress(light.red),
        compress(light.green),
        compress(light.blue),
    )
}

fn rgba(light: Light, alpha: f32) -> [f32; 4] {
    [
        light.red as f32,
        light.green as f32,
        light.blue as f32,
        alpha,
    ]
}
