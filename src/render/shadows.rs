//! The shadows that the ring casts on the ground under it, on its own inside and on its stand.
//!
//! For this the band is a smooth hoop of its inner and outer radius. Rays go to fixed points of the
//! panel and of the sky; the result varies slowly, so it is worked out on coarse grids and
//! interpolated between their points.

use super::camera::{Circle, RingAxes};
use super::geometry::{Ray, Vec3, intersect_cylinder, intersect_slab, smoothstep, vec3};
use super::stand::Stand;
use super::{Lighting, Stance, Visibility};
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
/// Share of it over which the shadow of a stand fades.
const GROUND_FADE: f64 = 0.6;
/// Points of the inside's grid across the band.
const INSIDE_ACROSS: usize = 16;
/// Points of the inside's grid round the ring.
const INSIDE_ROUND: usize = 48;
/// Points of the stand's grid along its axis, and round it.
const STAND_ALONG: usize = 40;
const STAND_ROUND: usize = 48;
/// How far off the stand light is measured, in millimetres, so that it does not shade itself.
const OFF: f64 = 0.02;
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

/// What is in the way of light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Obstacles {
    pub(super) hoop: Hoop,
    /// Under a lying ring.
    pub(super) stand: Option<Stand>,
    /// How far the ground lies below the ring's middle.
    pub(super) ground: f64,
}

impl Obstacles {
    /// A ring and what it stands on.
    pub(super) fn of(hoop: Hoop, stance: Stance) -> Self {
        let up = match stance {
            Stance::Standing => {
                return Self {
                    hoop,
                    stand: None,
                    ground: hoop.outer_radius,
                };
            }
            Stance::FirstColumnUp => -1.0,
            Stance::LastColumnUp => 1.0,
        };
        let stand = Stand::new(hoop.outer_radius, hoop.inner_radius, hoop.half_width, up);
        Self {
            hoop,
            stand: Some(stand),
            ground: -stand.base,
        }
    }

    /// The edges of all that is seen.
    pub(super) fn circles(&self) -> Vec<Circle> {
        let hoop = &self.hoop;
        let edges = [-hoop.half_width, hoop.half_width].map(|at| Circle {
            at,
            radius: hoop.outer_radius,
        });
        let ends = self.stand.map(|stand| stand.ends());
        edges
            .into_iter()
            .chain(ends.into_iter().flatten())
            .collect()
    }

    fn blocks(&self, ray: &Ray) -> bool {
        self.hoop.blocks(ray) || self.stand.is_some_and(|stand| stand.hit(ray).is_some())
    }
}

/// How much light the ground, the inside of the ring and its stand get.
#[derive(Debug, Clone)]
pub struct Shadows {
    ground: Vec<f32>,
    reach: f64,
    inside: Vec<Visibility>,
    half_width: f64,
    stand: Vec<Visibility>,
}

impl Shadows {
    /// Of a ring whose middle is at 0.
    pub(super) fn new(obstacles: &Obstacles, axes: &RingAxes, lighting: &Lighting) -> Self {
        let hoop = &obstacles.hoop;
        let reach = hoop.outer_radius * GROUND_REACH;
        Self {
            ground: ground(obstacles, reach, axes, lighting),
            reach,
            inside: inside(obstacles, axes, lighting),
            half_width: hoop.half_width,
            stand: match &obstacles.stand {
                Some(stand) => on_side(hoop, stand, axes, lighting),
                None => Vec::new(),
            },
        }
    }

    /// What a point of the stand's side sees of the light; in the ring's axes.
    pub(super) fn on_stand(&self, stand: &Stand, point: Vec3) -> Visibility {
        let share = (stand.height(point) - stand.base) / (stand.top - stand.base);
        interpolated(&self.stand, STAND_ALONG, share, point)
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
        let share = (point.x / self.half_width + 1.0) / 2.0;
        interpolated(&self.inside, INSIDE_ACROSS, share, point)
    }
}

/// A value between the points of a grid, of which so many lie along the axis; `share` is how far
/// along the axis the point lies, 0 to 1.
fn interpolated(grid: &[Visibility], across: usize, share: f64, point: Vec3) -> Visibility {
    let round = grid.len() / across;
    let x = share.clamp(0.0, 1.0) * (across - 1) as f64;
    let turns = libm::atan2(point.y, point.z) / TAU;
    let angle = (turns - turns.floor()) * round as f64;
    let column = (x as usize).min(across - 2);
    let row = angle as usize % round;
    let (fx, fy) = (x - column as f64, angle - angle.floor());
    let at = |row: usize, column: usize| grid[(row % round) * across + column];
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

/// What points of the stand's side see of the light, ring of points by ring of points.
fn on_side(hoop: &Hoop, stand: &Stand, axes: &RingAxes, lighting: &Lighting) -> Vec<Visibility> {
    let panel: Vec<Vec3> = panel_directions(lighting.to_panel)
        .iter()
        .map(|d| axes.in_ring(*d))
        .collect();
    let row = |row: usize| {
        let angle = row as f64 / STAND_ROUND as f64 * TAU;
        let panel = &panel;
        (0..STAND_ALONG).map(move |column| {
            let share = column as f64 / (STAND_ALONG - 1) as f64;
            let height = stand.base + share * (stand.top - stand.base);
            let (point, normal) = stand.side(height, angle);
            let origin = point + normal * OFF;
            let free = |directions: &[Vec3]| {
                let open = |direction: &Vec3| {
                    !hoop.blocks(&Ray {
                        origin,
                        direction: *direction,
                    })
                };
                let open = directions.iter().filter(|one| open(one)).count();
                open as f64 / directions.len() as f64
            };
            Visibility {
                panel: free(panel),
                surroundings: free(&sky_directions(normal)),
            }
        })
    };
    (0..STAND_ROUND)
        .into_par_iter()
        .flat_map_iter(row)
        .collect()
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
fn ground(obstacles: &Obstacles, reach: f64, axes: &RingAxes, lighting: &Lighting) -> Vec<f32> {
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
            // Under the stand the light is that beside it: darkness there would show round its
            // base. What is that high would still be dark where the grid ends, so its shadow fades.
            let (x, z, faded) = match &obstacles.stand {
                Some(stand) => {
                    let (x, z) = stand.beside_base(at(x), z, OFF);
                    let margin = 1.0 - x.abs().max(z.abs()) / reach;
                    (x, z, 1.0 - smoothstep(margin / GROUND_FADE))
                }
                None => (at(x), z, 0.0),
            };
            let origin = axes.in_ring(vec3(x, -obstacles.ground + 0.02, z));
            let open = |directions: &[Vec3]| open_share(obstacles, origin, directions);
            let lit = (open(panel) * key + open(sky) * ambient) / (key + ambient);
            (lit + (1.0 - lit) * faded) as f32
        })
    };
    (0..count).into_par_iter().flat_map_iter(row).collect()
}

/// What points of the inside see of the light, ring of points by ring of points.
fn inside(obstacles: &Obstacles, axes: &RingAxes, lighting: &Lighting) -> Vec<Visibility> {
    let panel: Vec<Vec3> = panel_directions(lighting.to_panel)
        .iter()
        .map(|d| axes.in_ring(*d))
        .collect();
    let (across, round) = (INSIDE_ACROSS, INSIDE_ROUND);
    let hoop = &obstacles.hoop;
    let row = |row: usize| {
        let angle = row as f64 / round as f64 * TAU;
        let inward = vec3(0.0, -libm::sin(angle), -libm::cos(angle));
        let sky = sky_directions(inward);
        let panel = &panel;
        (0..across).map(move |column| {
            let x = (column as f64 / (across - 1) as f64 * 2.0 - 1.0) * hoop.half_width * 0.98;
            let origin = inward * -(hoop.inner_radius * 0.999) + vec3(x, 0.0, 0.0);
            let open = open_share(obstacles, origin, &sky);
            // Rounded to single precision, as in all earlier pictures: their bytes depend on it.
            let single = |share: f64| f64::from(share as f32);
            Visibility {
                panel: single(open_share(obstacles, origin, panel)),
                surroundings: single(open + (1.0 - open) * INTERREFLECTION),
            }
        })
    };
    (0..round).into_par_iter().flat_map_iter(row).collect()
}

/// Share of the directions in which nothing is in the way.
fn open_share(obstacles: &Obstacles, origin: Vec3, directions: &[Vec3]) -> f64 {
    let blocked = directions
        .iter()
        .filter(|&&direction| obstacles.blocks(&Ray { origin, direction }))
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
        let obstacles = Obstacles {
            hoop,
            stand: None,
            ground: hoop.outer_radius,
        };
        let shadows = Shadows::new(&obstacles, &axes, &Lighting::new());
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
