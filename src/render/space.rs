//! Vectors of three. All of it is a few operations each, called for every ray: it is worth having in the caller.

use std::ops::{Add, Mul, Neg, Sub};

/// A place in millimetres or a direction: x to the right, y up, z towards the eye.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct V {
    /// To the right.
    pub x: f64,
    /// Up.
    pub y: f64,
    /// Towards the eye.
    pub z: f64,
}

/// A vector of three components.
#[inline]
pub const fn v(x: f64, y: f64, z: f64) -> V {
    V { x, y, z }
}

impl V {
    /// The inner product.
    #[inline]
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    /// The vector product.
    #[inline]
    pub fn cross(self, other: Self) -> Self {
        v(
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

impl Add for V {
    type Output = Self;
    #[inline]
    fn add(self, other: Self) -> Self {
        v(self.x + other.x, self.y + other.y, self.z + other.z)
    }
}

impl Sub for V {
    type Output = Self;
    #[inline]
    fn sub(self, other: Self) -> Self {
        v(self.x - other.x, self.y - other.y, self.z - other.z)
    }
}

impl Mul<f64> for V {
    type Output = Self;
    #[inline]
    fn mul(self, by: f64) -> Self {
        v(self.x * by, self.y * by, self.z * by)
    }
}

impl Neg for V {
    type Output = Self;
    #[inline]
    fn neg(self) -> Self {
        v(-self.x, -self.y, -self.z)
    }
}

/// A half line: from a place along a direction of length 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ray {
    /// Where it begins.
    pub from: V,
    /// Where it goes.
    pub along: V,
}

impl Ray {
    /// The place so far along.
    #[inline]
    pub fn at(&self, far: f64) -> V {
        self.from + self.along * far
    }
}

/// Where a ray enters and leaves an endless cylinder of `radius` about the x axis; none if it misses.
#[inline]
pub fn through_cylinder(ray: &Ray, radius: f64) -> Option<(f64, f64)> {
    let (o, d) = (ray.from, ray.along);
    let a = d.y * d.y + d.z * d.z;
    if a < 1e-12 {
        let inside = o.y * o.y + o.z * o.z < radius * radius;
        return inside.then_some((f64::NEG_INFINITY, f64::INFINITY));
    }
    let b = o.y * d.y + o.z * d.z;
    let c = o.y * o.y + o.z * o.z - radius * radius;
    let root = b * b - a * c;
    if root < 0.0 {
        return None;
    }
    let root = root.sqrt();
    Some(((-b - root) / a, (-b + root) / a))
}

/// Where a ray enters and leaves the slab between `x = -half` and `x = half`; none if it misses.
#[inline]
pub fn through_slab(ray: &Ray, half: f64) -> Option<(f64, f64)> {
    let (o, d) = (ray.from.x, ray.along.x);
    if d.abs() < 1e-12 {
        return (o.abs() < half).then_some((f64::NEG_INFINITY, f64::INFINITY));
    }
    let (one, other) = ((-half - o) / d, (half - o) / d);
    Some((one.min(other), one.max(other)))
}
