//! Vectors of three components, rays, and where a ray meets a cylinder or a slab.
//!
//! All of it is a few operations each, called for every ray: inlining pays.

use std::ops::{Add, Mul, Neg, Sub};

/// A point in millimetres or a direction: x to the right, y up, z towards the eye.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Vec3 {
    /// To the right.
    pub x: f64,
    /// Up.
    pub y: f64,
    /// Towards the eye.
    pub z: f64,
}

/// A vector of three components.
#[inline]
pub const fn vec3(x: f64, y: f64, z: f64) -> Vec3 {
    Vec3 { x, y, z }
}

impl Vec3 {
    /// The inner product.
    #[inline]
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    /// The vector product.
    #[inline]
    pub fn cross(self, other: Self) -> Self {
        vec3(
            self.y * other.z - self.z * other.y,
            self.z * other.x - self.x * other.z,
            self.x * other.y - self.y * other.x,
        )
    }

    /// Its length.
    #[inline]
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// The same direction with length 1.
    #[inline]
    pub fn unit(self) -> Self {
        self * (1.0 / self.length())
    }
}

impl Add for Vec3 {
    type Output = Self;
    #[inline]
    fn add(self, other: Self) -> Self {
        vec3(self.x + other.x, self.y + other.y, self.z + other.z)
    }
}

impl Sub for Vec3 {
    type Output = Self;
    #[inline]
    fn sub(self, other: Self) -> Self {
        vec3(self.x - other.x, self.y - other.y, self.z - other.z)
    }
}

impl Mul<f64> for Vec3 {
    type Output = Self;
    #[inline]
    fn mul(self, by: f64) -> Self {
        vec3(self.x * by, self.y * by, self.z * by)
    }
}

impl Neg for Vec3 {
    type Output = Self;
    #[inline]
    fn neg(self) -> Self {
        vec3(-self.x, -self.y, -self.z)
    }
}

/// A half line: from a point along a direction of length 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ray {
    /// Where it begins.
    pub origin: Vec3,
    /// Where it goes.
    pub direction: Vec3,
}

impl Ray {
    /// The point at a distance from the origin.
    #[inline]
    pub fn at(&self, distance: f64) -> Vec3 {
        self.origin + self.direction * distance
    }
}

/// The part of a ray that lies in a body, as distances from its origin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Where the ray enters.
    pub entry: f64,
    /// Where it leaves.
    pub exit: f64,
}

impl Span {
    const ENDLESS: Self = Self {
        entry: f64::NEG_INFINITY,
        exit: f64::INFINITY,
    };
}

/// Where a ray runs inside an endless cylinder of `radius` about the x axis; none if it misses.
#[inline]
pub fn intersect_cylinder(ray: &Ray, radius: f64) -> Option<Span> {
    let (o, d) = (ray.origin, ray.direction);
    let a = d.y * d.y + d.z * d.z;
    if a < 1e-12 {
        let inside = o.y * o.y + o.z * o.z < radius * radius;
        return inside.then_some(Span::ENDLESS);
    }
    let b = o.y * d.y + o.z * d.z;
    let c = o.y * o.y + o.z * o.z - radius * radius;
    let root = b * b - a * c;
    if root < 0.0 {
        return None;
    }
    let root = root.sqrt();
    Some(Span {
        entry: (-b - root) / a,
        exit: (-b + root) / a,
    })
}

/// Where a ray runs inside the slab between `x = -half` and `x = half`; none if it misses.
#[inline]
pub fn intersect_slab(ray: &Ray, half: f64) -> Option<Span> {
    let (o, d) = (ray.origin.x, ray.direction.x);
    if d.abs() < 1e-12 {
        return (o.abs() < half).then_some(Span::ENDLESS);
    }
    let (one, other) = ((-half - o) / d, (half - o) / d);
    Some(Span {
        entry: one.min(other),
        exit: one.max(other),
    })
}

/// 0 to 1, level at both ends.
pub(super) fn smoothstep(share: f64) -> f64 {
    let share = share.clamp(0.0, 1.0);
    share * share * (3.0 - 2.0 * share)
}
