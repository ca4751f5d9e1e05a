//! The stand under a lying ring: a plain cone as thick as a finger, which the ring rests on.
//!
//! Its axis is the ring's. All measures are ours: the ring's lower edge rests where the cone is as
//! wide as the ring's inside, with a little of the cone above and below it.

use super::camera::Circle;
use super::geometry::{Ray, Vec3, vec3};
use crate::colour::{Light, Srgb8, light};

/// How much thinner the cone gets in each millimetre upwards.
const TAPER: f64 = 0.1;
/// Cone below and above the ring, over the ring's outer radius.
const BELOW: f64 = 0.34;
const ABOVE: f64 = 0.4;
/// Pale, unglazed clay.
const COLOUR: Srgb8 = Srgb8::new(214, 205, 193);

/// A cone about the ring's axis, cut off level at both ends; in the ring's axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stand {
    /// 1 where the ring's x axis points up, -1 where it points down.
    up: f64,
    /// Its base and its top, upwards from the ring's middle.
    pub(super) base: f64,
    pub(super) top: f64,
    /// Its radius at the ring's middle.
    radius: f64,
}

/// Where a ray meets the stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct StandHit {
    pub(super) distance: f64,
    pub(super) point: Vec3,
    pub(super) normal: Vec3,
}

impl Stand {
    /// For a ring of these radii and half of its width, whose x axis points up or down.
    pub(super) fn new(outer_radius: f64, inner_radius: f64, half_width: f64, up: f64) -> Self {
        Self {
            up,
            base: -half_width - BELOW * outer_radius,
            top: half_width + ABOVE * outer_radius,
            radius: inner_radius - TAPER * half_width,
        }
    }

    /// The circles at its base and its top.
    pub(super) fn ends(&self) -> [Circle; 2] {
        [self.base, self.top].map(|height| Circle {
            at: height * self.up,
            radius: self.radius_at(height),
        })
    }

    /// Its colour.
    pub(super) fn colour() -> Light {
        light(COLOUR)
    }

    /// How high a point lies above the ring's middle.
    pub(super) fn height(&self, point: Vec3) -> f64 {
        point.x * self.up
    }

    /// A point of the ground, or the nearest one beside the base where it lies under the stand, so
    /// many millimetres off.
    pub(super) fn beside_base(&self, x: f64, z: f64, off: f64) -> (f64, f64) {
        let (out, least) = ((x * x + z * z).sqrt(), self.radius_at(self.base) + off);
        if out >= least {
            (x, z)
        } else if out > 0.0 {
            (x * least / out, z * least / out)
        } else {
            (least, 0.0)
        }
    }

    /// Its radius at a height.
    pub(super) fn radius_at(&self, height: f64) -> f64 {
        self.radius - TAPER * height
    }

    /// A point of its side and the direction that the side faces there.
    pub(super) fn side(&self, height: f64, angle: f64) -> (Vec3, Vec3) {
        let (sine, cosine) = (libm::sin(angle), libm::cos(angle));
        let radius = self.radius_at(height);
        let point = vec3(height * self.up, radius * sine, radius * cosine);
        (point, vec3(TAPER * self.up, sine, cosine).unit())
    }

    /// Where a ray meets it first.
    pub(super) fn hit(&self, ray: &Ray) -> Option<StandHit> {
        let top = self.hit_top(ray);
        let side = self.hit_side(ray);
        match (top, side) {
            (Some(top), Some(side)) if side.distance < top.distance => Some(side),
            (None, side) => side,
            (top, _) => top,
        }
    }

    fn hit_top(&self, ray: &Ray) -> Option<StandHit> {
        let distance = (self.top * self.up - ray.origin.x) / ray.direction.x;
        let point = ray.at(distance);
        let radius = self.radius_at(self.top);
        let within = point.y * point.y + point.z * point.z <= radius * radius;
        (distance > 1e-6 && distance.is_finite() && within).then_some(StandHit {
            distance,
            point,
            normal: vec3(self.up, 0.0, 0.0),
        })
    }

    /// The side is where `y² + z² = (radius - taper h)²`: a quadratic in the distance.
    fn hit_side(&self, ray: &Ray) -> Option<StandHit> {
        let (o, d) = (ray.origin, ray.direction);
        let (wide, slope) = (self.radius_at(self.height(o)), -TAPER * self.height(d));
        let a = d.y * d.y + d.z * d.z - slope * slope;
        let b = o.y * d.y + o.z * d.z - wide * slope;
        let c = o.y * o.y + o.z * o.z - wide * wide;
        let root = b * b - a * c;
        if root < 0.0 || a.abs() < 1e-12 {
            return None;
        }
        let root = root.sqrt();
        let (one, other) = ((-b - root) / a, (-b + root) / a);
        let meets = |distance: &f64| {
            let height = self.height(ray.at(*distance));
            *distance > 1e-6 && (self.base..=self.top).contains(&height)
        };
        let found = [one.min(other), one.max(other)];
        let distance = found.into_iter().find(meets)?;
        let point = ray.at(distance);
        let out = vec3(0.0, point.y, point.z).unit();
        Some(StandHit {
            distance,
            point,
            normal: (out + vec3(TAPER * self.up, 0.0, 0.0)).unit(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rays_meet_the_side_and_the_top_where_they_should() {
        let stand = Stand::new(10.0, 8.4, 6.0, 1.0);
        // The ring's lower edge rests where the cone is as wide as its inside.
        assert!((stand.radius_at(-6.0) - 8.4).abs() < 1e-12);
        assert!(stand.radius_at(6.0) < 8.4);
        let level = Ray {
            origin: vec3(0.0, 0.0, 50.0),
            direction: vec3(0.0, 0.0, -1.0),
        };
        let hit = stand.hit(&level).unwrap();
        assert!((hit.distance - (50.0 - stand.radius_at(0.0))).abs() < 1e-9);
        assert!(hit.normal.z > 0.99 && hit.normal.x > 0.0);
        let down = Ray {
            origin: vec3(50.0, 1.0, 1.0),
            direction: vec3(-1.0, 0.0, 0.0),
        };
        let hit = stand.hit(&down).unwrap();
        assert!((hit.point.x - stand.top).abs() < 1e-9 && hit.normal.x == 1.0);
        let past = Ray {
            origin: vec3(stand.top + 1.0, 0.0, 50.0),
            direction: vec3(0.0, 0.0, -1.0),
        };
        assert_eq!(stand.hit(&past), None);
    }

    #[test]
    fn points_of_the_side_are_on_it() {
        let stand = Stand::new(10.0, 8.4, 6.0, -1.0);
        let (point, normal) = stand.side(2.0, 0.7);
        assert_eq!(stand.height(point), 2.0);
        let hit = stand.hit(&Ray {
            origin: point + normal * 5.0,
            direction: -normal,
        });
        assert!((hit.unwrap().distance - 5.0).abs() < 1e-9);
    }
}
