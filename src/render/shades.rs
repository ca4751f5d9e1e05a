//! Where the ring keeps light away: from the ground under it and from its own inside.
//!
//! For this the band is a smooth hoop of its inner and outer radius. Rays go to fixed places of the panel and of the sky; what comes of it varies slowly, so it
//! is worked out on coarse grids and read between their points.

use super::Studio;
use super::camera::Axes;
use super::space::{Ray, V, through_cylinder, through_slab, v};
use rayon::prelude::*;
use std::f64::consts::{PI, TAU};

/// Half the angle that the panel takes up, in radians, as the ground sees it.
const PANEL: f64 = 0.34;
/// Rays to the panel and to the sky.
const RAYS: (usize, usize) = (80, 160);
/// Points of the ground's grid each way, and how far it reaches in outer radii.
const GROUND: (usize, f64) = (128, 3.2);
/// Points of the inside's grid: across, round.
const INSIDE: (usize, usize) = (16, 48);
/// Share of the light on the inside that comes from the inside itself.
const BETWEEN: f64 = 0.28;

/// The hoop: outer radius, inner radius, half width.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Hoop {
    outer: f64,
    inner: f64,
    half: f64,
}

impl Hoop {
    /// Whether a ray in the ring's axes meets the hoop. It may begin outside or inside, not in the hoop itself.
    fn stops(&self, ray: &Ray) -> bool {
        let Some((into, out)) = through_cylinder(ray, self.outer) else {
            return false;
        };
        let Some((near, far)) = through_slab(ray, self.half) else {
            return false;
        };
        let (start, end) = (into.max(near).max(1e-6), out.min(far));
        if start >= end {
            return false;
        }
        // Between start and end the ray is inside the full cylinder; it is free only where it stays in the hollow.
        match through_cylinder(ray, self.inner) {
            None => true,
            Some((open, shut)) => start < open - 1e-6 || end > shut + 1e-6,
        }
    }
}

/// How much light the ground and the inside get.
#[derive(Debug, Clone)]
pub struct Shades {
    ground: Vec<f32>,
    reach: f64,
    inside: Vec<(f32, f32)>,
    half: f64,
}

impl Shades {
    /// For a hoop of these radii and half width, standing on the ground at `-outer`.
    pub(super) fn new(outer: f64, inner: f64, half: f64, axes: &Axes, studio: &Studio) -> Self {
        let hoop = Hoop { outer, inner, half };
        let reach = outer * GROUND.1;
        Self {
            ground: ground(&hoop, reach, axes, studio),
            reach,
            inside: inside(&hoop, axes, studio),
            half,
        }
    }

    /// Share of the full light on the ground at a place, 0 to 1.
    pub fn on_ground(&self, x: f64, z: f64) -> f64 {
        let count = GROUND.0;
        let place = |at: f64| {
            (
                (at / self.reach + 1.0) / 2.0 * (count - 1) as f64,
                (count - 1) as f64,
            )
        };
        let ((x, most), (z, _)) = (place(x), place(z));
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

    /// Share of the panel and of the surroundings that a place on the inside sees; in the ring's axes.
    pub(super) fn inside(&self, place: V) -> (f64, f64) {
        let (across, round) = INSIDE;
        let x = ((place.x / self.half + 1.0) / 2.0).clamp(0.0, 1.0) * (across - 1) as f64;
        let turns = libm::atan2(place.y, place.z) / TAU;
        let angle = (turns - turns.floor()) * round as f64;
        let column = (x as usize).min(across - 2);
        let row = angle as usize % round;
        let (fx, fy) = (x - column as f64, angle - angle.floor());
        let at = |row: usize, column: usize| self.inside[(row % round) * across + column];
        let mix = |pick: fn((f32, f32)) -> f32| {
            let value = |row, column| f64::from(pick(at(row, column)));
            let line = |row| value(row, column) * (1.0 - fx) + value(row, column + 1) * fx;
            line(row) * (1.0 - fy) + line(row + 1) * fy
        };
        (mix(|both| both.0), mix(|both| both.1))
    }
}

/// Directions spread evenly over the panel.
fn to_panel(key: V) -> Vec<V> {
    let side = key.cross(v(0.0, 1.0, 0.0)).unit();
    let other = side.cross(key);
    (0..RAYS.0)
        .map(|at| {
            let (out, angle) = spiral(at, RAYS.0);
            let out = out * PANEL;
            (key + side * (out * libm::cos(angle)) + other * (out * libm::sin(angle))).unit()
        })
        .collect()
}

/// Directions over the half space about `normal`, spread as the cosine weighs them.
fn to_sky(normal: V) -> Vec<V> {
    let helper = if normal.y.abs() < 0.8 {
        v(0.0, 1.0, 0.0)
    } else {
        v(1.0, 0.0, 0.0)
    };
    let side = normal.cross(helper).unit();
    let other = side.cross(normal);
    (0..RAYS.1)
        .map(|at| {
            let (out, angle) = spiral(at, RAYS.1);
            let up = (1.0 - out * out).max(0.0).sqrt();
            (side * (out * libm::cos(angle)) + other * (out * libm::sin(angle)) + normal * up)
                .unit()
        })
        .collect()
}

/// Point `at` of `count` on a disc of radius 1, evenly spread (Vogel's spiral, by the golden angle).
fn spiral(at: usize, count: usize) -> (f64, f64) {
    let golden = PI * (3.0 - 5.0f64.sqrt());
    (
        ((at as f64 + 0.5) / count as f64).sqrt(),
        at as f64 * golden,
    )
}

fn ground(hoop: &Hoop, reach: f64, axes: &Axes, studio: &Studio) -> Vec<f32> {
    let up = v(0.0, 1.0, 0.0);
    let inward =
        |directions: Vec<V>| -> Vec<V> { directions.iter().map(|d| axes.inward(*d)).collect() };
    let (panel, sky) = (inward(to_panel(studio.key)), inward(to_sky(up)));
    let (key, around) = (studio.panel * studio.key.y, studio.sky);
    let count = GROUND.0;
    let row = |z: usize| {
        let at = |step: usize| (step as f64 / (count - 1) as f64 * 2.0 - 1.0) * reach;
        let z = at(z);
        let (panel, sky) = (&panel, &sky);
        (0..count).map(move |x| {
            let from = axes.inward(v(at(x), -hoop.outer + 0.02, z));
            let free = |directions: &[V]| free(hoop, from, directions);
            ((free(panel) * key + free(sky) * around) / (key + around)) as f32
        })
    };
    (0..count).into_par_iter().flat_map_iter(row).collect()
}

fn inside(hoop: &Hoop, axes: &Axes, studio: &Studio) -> Vec<(f32, f32)> {
    let panel: Vec<V> = to_panel(studio.key)
        .iter()
        .map(|d| axes.inward(*d))
        .collect();
    let (across, round) = INSIDE;
    let row = |row: usize| {
        let angle = row as f64 / round as f64 * TAU;
        let inward = v(0.0, -libm::sin(angle), -libm::cos(angle));
        let sky = to_sky(inward);
        let panel = &panel;
        (0..across).map(move |column| {
            let x = (column as f64 / (across - 1) as f64 * 2.0 - 1.0) * hoop.half * 0.98;
            let from = inward * -(hoop.inner * 0.999) + v(x, 0.0, 0.0);
            let open = free(hoop, from, &sky);
            (
                free(hoop, from, panel) as f32,
                (open + (1.0 - open) * BETWEEN) as f32,
            )
        })
    };
    (0..round).into_par_iter().flat_map_iter(row).collect()
}

fn free(hoop: &Hoop, from: V, directions: &[V]) -> f64 {
    let stopped = directions
        .iter()
        .filter(|&&along| hoop.stops(&Ray { from, along }))
        .count();
    1.0 - stopped as f64 / directions.len() as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::Pose;

    #[test]
    fn a_hoop_stops_what_meets_it_and_nothing_else() {
        let hoop = Hoop {
            outer: 10.0,
            inner: 8.0,
            half: 5.0,
        };
        let stops = |from: V, along: V| {
            hoop.stops(&Ray {
                from,
                along: along.unit(),
            })
        };
        let y = v(0.0, 1.0, 0.0);
        assert!(stops(v(0.0, -20.0, 0.0), y));
        assert!(!stops(v(6.0, -20.0, 0.0), y));
        assert!(!stops(v(0.0, -20.0, 11.0), y));
        assert!(stops(v(0.0, 0.0, 0.0), y), "from the inside");
        assert!(
            !stops(v(0.0, 0.0, 0.0), v(1.0, 0.0, 0.0)),
            "out through the hole"
        );
        assert!(
            !stops(v(-20.0, 0.0, 0.0), v(1.0, 0.0, 0.0)),
            "through the whole ring"
        );
        assert!(stops(v(-20.0, 9.0, 0.0), v(1.0, 0.0, 0.0)), "into its edge");
    }

    #[test]
    fn the_ground_is_dark_under_the_ring_and_bright_far_off() {
        let axes = Axes::of(&Pose::default());
        let shades = Shades::new(10.0, 8.4, 6.0, &axes, &Studio::new());
        assert!(
            shades.on_ground(0.0, 0.0) < 0.3,
            "{}",
            shades.on_ground(0.0, 0.0)
        );
        assert!(shades.on_ground(-28.0, 28.0) > 0.97);
        // The panel stands on the left before the ring: the shadow falls to the right behind it.
        assert!(shades.on_ground(9.0, -8.0) < shades.on_ground(-9.0, 8.0));
    }
}
