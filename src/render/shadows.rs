//! The shadows that the ring casts on the ground under it and on its own inside.
//!
//! For this the band is a smooth hoop of its inner and outer radius. Rays go to fixed points of the
//! panel and of the sky; the result varies slowly, so it is worked out on coarse grids and
//! interpolated between their points.

use super::camera::RingAxes;
use super::geometry::{Ray, Vec3, intersect_cylinder, intersect_slab, vec3};
use super::{Lighting, Visibility};
use rayon::prelude::*;
use std::f64::consts::{PI, TAU};

/// Half the angle that the panel takes up, in radians, as the ground sees it.
const PANEL: f64 = 0.34;
/// Rays to the panel.
const PANEL_RAYS: usize = 80;
/// Rays to the sky.
const SKY_RAYS: usize = 160;
/// Points of the ground's grid each way.
const GROUND_POINTS: usize = 128;
/// How far the ground's grid reaches, in outer radii.
const GROUND_REACH: f64 = 3.2;
/// Points of the inside's grid across the band.
const INSIDE_ACROSS: usize = 16;
/// Points of the inside's grid round the ring.
const INSIDE_ROUND: usize = 48;
/// Share of the light on the inside that comes from the inside itself.
const INTERREFLECTION: f64 = 0.28;

/// A smooth hoop in place of the beads, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Hoop {
    pub(super) outer_radius: f64,
    pub(super) inner_radius: f64,
    pub(super) half_width: f64,
}

impl Hoop {
    /// Whether the hoop blocks a ray in the ring's axes, which may begin outside it or in its
    /// hollow, not in the hoop itself.
    fn blocks(&self, ray: &Ray) -> bool {
        let Some(tube) = intersect_cylinder(ray, self.outer_radius) else {
            return false;
        };
        let Some(slab) = intersect_slab(ray, self.half_width) else {
            return false;
        };
        let start = tube.entry.max(slab.entry).max(1e-6);
        let end = tube.exit.min(slab.exit);
        if start >= end {
            return false;
        }
        // Between start and end the ray is inside the full cylinder; it is free only where it stays
        // in the hollow.
        match intersect_cylinder(ray, self.inner_radius) {
            None => true,
            Some(hollow) => start < hollow.entry - 1e-6 || end > hollow.exit + 1e-6,
        }
    }
}

/// How much light the ground and the inside of the ring get.
#[derive(Debug, Clone)]
pub struct Shadows {
    ground: Vec<f32>,
    reach: f64,
    inside: Vec<Visibility>,
    half_width: f64,
}

impl Shadows {
    /// Of a hoop that stands on the ground, its middle at 0.
    pub(super) fn new(hoop: &Hoop, axes: &RingAxes, lighting: &Lighting) -> Self {
        let reach = hoop.outer_radius * GROUND_REACH;
        Self {
            ground: ground(hoop, reach, axes, lighting),
            reach,
            inside: inside(hoop, axes, lighting),
            half_width: hoop.half_width,
        }
    }

    /// Share of the full light on the ground at a point, 0 to 1.
    pub fn on_ground(&self, x: f64, z: f64) -> f64 {
        let count = GROUND_POINTS;
        let most = (count - 1) as f64;
        let [x, z] = [x, z].map(|at| (at / self.reach + 1.0) / 2.0 * most);
        if !(x >= 0.0 && z >= 0.0 && x < most && z < most) {
            return 1.0;
        }
        let (column, row) = (x as usize, z as usize);
        let (across, down) = (x - column as f64, z - row as f64);
        let value = |row: usize, column: usize| f64::from(self.ground[row * count + column]);
        let mix =
            |row: usize| value(row, column) * (1.0 - across) + value(row, column + 1) * across;
        mix(row) * (1.0 - down) + mix(row + 1) * down
    }

    /// What a point on the inside sees of the light; in the ring's axes.
    pub(super) fn inside(&self, point: Vec3) -> Visibility {
        let (across, round) = (INSIDE_ACROSS, INSIDE_ROUND);
        let x = ((point.x / self.half_width + 1.0) / 2.0).clamp(0.0, 1.0) * (across - 1) as f64;
        let turns = libm::atan2(point.y, point.z) / TAU;
        let angle = (turns - turns.floor()) * round as f64;
        let column = (x as usize).min(across - 2);
        let row = angle as usize % round;
        let (fx, fy) = (x - column as f64, angle - angle.floor());
        let at = |row: usize, column: usize| self.inside[(row % round) * across + column];
        let mix = |pick: fn(Visibility) -> f64| {
            let value = |row, column| pick(at(row, column));
            let line = |row| value(row, column) * (1.0 - fx) + value(row, column + 1) * fx;
            line(row) * (1.0 - fy) + line(row + 1) * fy
        };
        Visibility {
            panel: mix(|visible| visible.panel),
            surroundings: mix(|visible| visible.surroundings),
        }
    }
}

/// Directions spread evenly over the panel.
fn panel_directions(to_panel: Vec3) -> Vec<Vec3> {
    let side = to_panel.cross(vec3(0.0, 1.0, 0.0)).unit();
    let other = side.cross(to_panel);
    (0..PANEL_RAYS)
        .map(|at| {
            let (out, angle) = spiral(at, PANEL_RAYS);
            let out = out * PANEL;
            (to_panel + side * (out * libm::cos(angle)) + other * (out * libm::sin(angle))).unit()
        })
        .collect()
}

/// Directions over the half space about `normal`, spread as the cosine weighs them.
fn sky_directions(normal: Vec3) -> Vec<Vec3> {
    let helper = if normal.y.abs() < 0.8 {
        vec3(0.0, 1.0, 0.0)
    } else {
        vec3(1.0, 0.0, 0.0)
    };
    let side = normal.cross(helper).unit();
    let other = side.cross(normal);
    (0..SKY_RAYS)
        .map(|at| {
            let (out, angle) = spiral(at, SKY_RAYS);
            let up = (1.0 - out * out).max(0.0).sqrt();
            (side * (out * libm::cos(angle)) + other * (out * libm::sin(angle)) + normal * up)
                .unit()
        })
        .collect()
}

/// Point `at` of `count` on a disc of radius 1, evenly spread (Vogel's spiral, by the golden
/// angle): its distance from the middle and its angle.
fn spiral(at: usize, count: usize) -> (f64, f64) {
    let golden = PI * (3.0 - 5.0f64.sqrt());
    (
        ((at as f64 + 0.5) / count as f64).sqrt(),
        at as f64 * golden,
    )
}

/// Shares of the full light on the ground, row by row.
fn ground(hoop: &Hoop, reach: f64, axes: &RingAxes, lighting: &Lighting) -> Vec<f32> {
    let up = vec3(0.0, 1.0, 0.0);
    let in_ring = |directions: Vec<Vec3>| -> Vec<Vec3> {
        directions.iter().map(|d| axes.in_ring(*d)).collect()
    };
    let panel = in_ring(panel_directions(lighting.to_panel));
    let sky = in_ring(sky_directions(up));
    let (key, ambient) = (lighting.panel * lighting.to_panel.y, lighting.sky);
    let count = GROUND_POINTS;
    let row = |z: usize| {
        let at = |step: usize| (step as f64 / (count - 1) as f64 * 2.0 - 1.0) * reach;
        let z = at(z);
        let (panel, sky) = (&panel, &sky);
        (0..count).map(move |x| {
            let origin = axes.in_ring(vec3(at(x), -hoop.outer_radius + 0.02, z));
            let open = |directions: &[Vec3]| open_share(hoop, origin, directions);
            ((open(panel) * key + open(sky) * ambient) / (key + ambient)) as f32
        })
    };
    (0..count).into_par_iter().flat_map_iter(row).collect()
}

/// What points of the inside see of the light, ring of points by ring of points.
fn inside(hoop: &Hoop, axes: &RingAxes, lighting: &Lighting) -> Vec<Visibility> {
    let panel: Vec<Vec3> = panel_directions(lighting.to_panel)
        .iter()
        .map(|d| axes.in_ring(*d))
        .collect();
    let (across, round) = (INSIDE_ACROSS, INSIDE_ROUND);
    let row = |row: usize| {
        let angle = row as f64 / round as f64 * TAU;
        let inward = vec3(0.0, -libm::sin(angle), -libm::cos(angle));
        let sky = sky_directions(inward);
        let panel = &panel;
        (0..across).map(move |column| {
            let x = (column as f64 / (across - 1) as f64 * 2.0 - 1.0) * hoop.half_width * 0.98;
            let origin = inward * -(hoop.inner_radius * 0.999) + vec3(x, 0.0, 0.0);
            let open = open_share(hoop, origin, &sky);
            // Rounded to single precision, as in all earlier pictures: their bytes depend on it.
            let single = |share: f64| f64::from(share as f32);
            Visibility {
                panel: single(open_share(hoop, origin, panel)),
                surroundings: single(open + (1.0 - open) * INTERREFLECTION),
            }
        })
    };
    (0..round).into_par_iter().flat_map_iter(row).collect()
}

/// Share of the directions in which nothing of the hoop is in the way.
fn open_share(hoop: &Hoop, origin: Vec3, directions: &[Vec3]) -> f64 {
    let blocked = directions
        .iter()
        .filter(|&&direction| hoop.blocks(&Ray { origin, direction }))
        .count();
    1.0 - blocked as f64 / directions.len() as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::Pose;

    #[test]
    fn a_hoop_blocks_what_meets_it_and_nothing_else() {
        let hoop = Hoop {
            outer_radius: 10.0,
            inner_radius: 8.0,
            half_width: 5.0,
        };
        let blocks = |origin: Vec3, direction: Vec3| {
            hoop.blocks(&Ray {
                origin,
                direction: direction.unit(),
            })
        };
        let y = vec3(0.0, 1.0, 0.0);
        assert!(blocks(vec3(0.0, -20.0, 0.0), y));
        assert!(!blocks(vec3(6.0, -20.0, 0.0), y));
        assert!(!blocks(vec3(0.0, -20.0, 11.0), y));
        assert!(blocks(vec3(0.0, 0.0, 0.0), y), "from the inside");
        assert!(
            !blocks(vec3(0.0, 0.0, 0.0), vec3(1.0, 0.0, 0.0)),
            "out through the hole"
        );
        assert!(
            !blocks(vec3(-20.0, 0.0, 0.0), vec3(1.0, 0.0, 0.0)),
            "through the whole ring"
        );
        assert!(
            blocks(vec3(-20.0, 9.0, 0.0), vec3(1.0, 0.0, 0.0)),
            "into its edge"
        );
    }

    #[test]
    fn the_ground_is_dark_under_the_ring_and_bright_far_off() {
        let axes = RingAxes::of(&Pose::default());
        let hoop = Hoop {
            outer_radius: 10.0,
            inner_radius: 8.4,
            half_width: 6.0,
        };
        let shadows = Shadows::new(&hoop, &axes, &Lighting::new());
        assert!(
            shadows.on_ground(0.0, 0.0) < 0.3,
            "{}",
            shadows.on_ground(0.0, 0.0)
        );
        assert!(shadows.on_ground(-28.0, 28.0) > 0.97);
        // The panel stands on the left before the ring: the shadow falls to the right behind it.
        assert!(shadows.on_ground(9.0, -8.0) < shadows.on_ground(-9.0, 8.0));
    }
}
