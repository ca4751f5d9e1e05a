//! The eye: a pinhole that looks at the middle of the ring, and how much of the world its picture shows.

use super::Pose;
use super::space::{Ray, V, v};
use crate::units::Mm;

/// Degrees by which the eye stands above the ring's middle.
pub const ELEVATION: f64 = 17.0;
/// The eye's distance from the middle of the ring, over the ring's outer diameter.
const DISTANCE: f64 = 6.0;
/// Side of the picture, over the larger side of what is seen of the ring.
const ROOM: f64 = 1.3;

/// What the picture shows: a square in the plane through the ring's middle, across the line of sight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Its side.
    pub side: Mm,
    /// Where the middle of the picture lies above the middle of the ring.
    pub raised: Mm,
}

/// A pinhole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Camera {
    /// Where it stands; the middle of the ring is at 0.
    pub eye: V,
    right: V,
    up: V,
    forward: V,
    distance: f64,
}

impl Camera {
    /// An eye before a ring of this outer radius.
    pub fn before(radius: Mm) -> Self {
        let elevation = ELEVATION.to_radians();
        let back = v(0.0, libm::sin(elevation), libm::cos(elevation));
        let distance = DISTANCE * 2.0 * radius.get();
        let right = v(1.0, 0.0, 0.0);
        Self {
            eye: back * distance,
            right,
            up: back.cross(right),
            forward: -back,
            distance,
        }
    }

    /// The ray to a point of the plane through the ring's middle, so many millimetres to the right and up.
    pub fn ray(&self, right: f64, up: f64) -> Ray {
        let along = self.right * right + self.up * up + self.forward * self.distance;
        Ray {
            from: self.eye,
            along: along.unit(),
        }
    }

    /// Where a place is seen in that plane: millimetres to the right and up.
    pub fn project(&self, place: V) -> (f64, f64) {
        let from = place - self.eye;
        let scale = self.distance / from.dot(self.forward);
        (from.dot(self.right) * scale, from.dot(self.up) * scale)
    }

    /// The frame round a ring of this outer radius and width; the same for every turn.
    pub fn frame(&self, radius: Mm, width: Mm, pose: &Pose) -> Frame {
        let axes = Axes::of(pose);
        let (mut low, mut high) = ((0.0f64, 0.0f64), (0.0f64, 0.0f64));
        for side in [-0.5, 0.5] {
            for step in 0..180 {
                let angle = f64::from(step) * 2.0f64.to_radians();
                let place = v(
                    width.get() * side,
                    radius.get() * libm::sin(angle),
                    radius.get() * libm::cos(angle),
                );
                let (x, y) = self.project(axes.out(place));
                low = (low.0.min(x), low.1.min(y));
                high = (high.0.max(x), high.1.max(y));
            }
        }
        let reach = low.0.abs().max(high.0) * 2.0;
        Frame {
            side: Mm::new(reach.max(high.1 - low.1) * ROOM),
            raised: Mm::new((high.1 + low.1) / 2.0),
        }
    }
}

/// The ring's own axes: x along its axis, y up, z to its front.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Axes {
    x: V,
    z: V,
}

impl Axes {
    pub(super) fn of(pose: &Pose) -> Self {
        let tilt = pose.tilt.to_radians();
        let (sin, cos) = (libm::sin(tilt), libm::cos(tilt));
        Self {
            x: v(cos, 0.0, sin),
            z: v(-sin, 0.0, cos),
        }
    }

    /// From the world into the ring's axes.
    pub(super) fn inward(&self, place: V) -> V {
        v(place.dot(self.x), place.y, place.dot(self.z))
    }

    /// From the ring's axes into the world.
    pub(super) fn out(&self, place: V) -> V {
        self.x * place.x + v(0.0, place.y, 0.0) + self.z * place.z
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By similar triangles: a place in the plane is seen where it is, one half way to the eye twice as far out.
    #[test]
    fn places_are_seen_where_similar_triangles_put_them() {
        let camera = Camera::before(Mm::new(10.0));
        let back = camera.eye.unit();
        assert!((camera.eye.length() - 120.0).abs() < 1e-9);
        for (x, y) in [(0.0, 0.0), (3.0, -2.0), (-7.5, 9.0)] {
            let place = camera.right * x + camera.up * y;
            for (towards, scale) in [(0.0, 1.0), (60.0, 2.0), (-120.0, 0.5)] {
                let (right, up) = camera.project(place + back * towards);
                assert!((right - x * scale).abs() < 1e-9 && (up - y * scale).abs() < 1e-9);
                let ray = camera.ray(right, up);
                let off = (place + back * towards - ray.from)
                    .cross(ray.along)
                    .length();
                assert!(off < 1e-9, "{off}");
            }
        }
    }

    #[test]
    fn axes_go_in_and_out() {
        let axes = Axes::of(&Pose {
            turn: 0.0,
            tilt: 40.0,
        });
        let place = v(1.0, 2.0, 3.0);
        assert!((axes.out(axes.inward(place)) - place).length() < 1e-12);
        // The last column's side turns to the eye.
        assert!(axes.out(v(1.0, 0.0, 0.0)).z > 0.5);
    }
}
