//! The camera: a pinhole that looks at the middle of the ring, and how much of the world its
//! picture shows.

use super::geometry::{Ray, Vec3, vec3};
use super::{Pose, Stance};
use crate::units::Mm;

/// Degrees by which the camera stands above the ring's middle.
pub const ELEVATION: f64 = 17.0;
/// The camera's distance from the middle of the ring, over the ring's outer diameter.
const DISTANCE: f64 = 6.0;
/// Side of the picture, over the larger side of what is seen of the ring.
const ROOM: f64 = 1.3;

/// What the picture shows: a square in the plane through the ring's middle, across the line of
/// sight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Its side.
    pub side: Mm,
    /// Where the middle of the picture lies above the middle of the ring.
    pub raised: Mm,
}

/// A pinhole camera.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Camera {
    /// Where it stands; the middle of the ring is at 0.
    pub eye: Vec3,
    right: Vec3,
    up: Vec3,
    forward: Vec3,
    distance: f64,
}

impl Camera {
    /// A camera in front of a standing ring of this outer radius.
    pub fn facing(radius: Mm) -> Self {
        Self::raised(radius, ELEVATION)
    }

    /// A camera that stands so many degrees above the middle of a ring of this outer radius.
    pub fn raised(radius: Mm, elevation: f64) -> Self {
        let elevation = elevation.to_radians();
        let back = vec3(0.0, libm::sin(elevation), libm::cos(elevation));
        let distance = DISTANCE * 2.0 * radius.get();
        let right = vec3(1.0, 0.0, 0.0);
        Self {
            eye: back * distance,
            right,
            up: back.cross(right),
            forward: -back,
            distance,
        }
    }

    /// The ray to a point of the plane through the ring's middle, so many millimetres to the right
    /// and up.
    pub fn ray(&self, right: f64, up: f64) -> Ray {
        let direction = self.right * right + self.up * up + self.forward * self.distance;
        Ray {
            origin: self.eye,
            direction: direction.unit(),
        }
    }

    /// Where a point is seen in that plane: millimetres to the right and up.
    pub fn project(&self, point: Vec3) -> (f64, f64) {
        let from_eye = point - self.eye;
        let scale = self.distance / from_eye.dot(self.forward);
        (
            from_eye.dot(self.right) * scale,
            from_eye.dot(self.up) * scale,
        )
    }

    /// The frame round circles about the ring's axis; the same however it is rolled.
    pub(super) fn frame(&self, circles: &[Circle], axes: &RingAxes) -> Frame {
        let (mut low, mut high) = ((0.0f64, 0.0f64), (0.0f64, 0.0f64));
        for circle in circles {
            for step in 0..180 {
                let angle = f64::from(step) * 2.0f64.to_radians();
                let point = vec3(
                    circle.at,
                    circle.radius * libm::sin(angle),
                    circle.radius * libm::cos(angle),
                );
                let (x, y) = self.project(axes.in_world(point));
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

/// A circle about the ring's axis, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Circle {
    /// Along the axis from the ring's middle.
    pub(super) at: f64,
    pub(super) radius: f64,
}

/// The ring's own axes: x along its axis, z to its front, y where the rows after the front one are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct RingAxes {
    x: Vec3,
    y: Vec3,
    z: Vec3,
}

impl RingAxes {
    pub(super) fn of(pose: &Pose) -> Self {
        let up = match pose.stance {
            Stance::Standing => return Self::standing(pose.tilt),
            Stance::FirstColumnUp => -1.0,
            Stance::LastColumnUp => 1.0,
        };
        Self {
            x: vec3(0.0, up, 0.0),
            y: vec3(-up, 0.0, 0.0),
            z: vec3(0.0, 0.0, 1.0),
        }
    }

    fn standing(tilt: f64) -> Self {
        let tilt = tilt.to_radians();
        let (sin, cos) = (libm::sin(tilt), libm::cos(tilt));
        Self {
            x: vec3(cos, 0.0, sin),
            y: vec3(0.0, 1.0, 0.0),
            z: vec3(-sin, 0.0, cos),
        }
    }

    /// A vector of the world in the ring's axes.
    pub(super) fn in_ring(&self, vector: Vec3) -> Vec3 {
        vec3(vector.dot(self.x), vector.dot(self.y), vector.dot(self.z))
    }

    /// A vector in the ring's axes in those of the world.
    pub(super) fn in_world(&self, vector: Vec3) -> Vec3 {
        self.x * vector.x + self.y * vector.y + self.z * vector.z
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By similar triangles: a point in the plane is seen where it is, one half way to the camera
    /// twice as far out.
    #[test]
    fn points_are_seen_where_similar_triangles_put_them() {
        let camera = Camera::facing(Mm::new(10.0));
        let back = camera.eye.unit();
        assert!((camera.eye.length() - 120.0).abs() < 1e-9);
        for (x, y) in [(0.0, 0.0), (3.0, -2.0), (-7.5, 9.0)] {
            let point = camera.right * x + camera.up * y;
            for (towards, scale) in [(0.0, 1.0), (60.0, 2.0), (-120.0, 0.5)] {
                let (right, up) = camera.project(point + back * towards);
                assert!((right - x * scale).abs() < 1e-9 && (up - y * scale).abs() < 1e-9);
                let ray = camera.ray(right, up);
                let off = (point + back * towards - ray.origin)
                    .cross(ray.direction)
                    .length();
                assert!(off < 1e-9, "{off}");
            }
        }
    }

    #[test]
    fn vectors_go_to_the_ring_s_axes_and_back() {
        let point = vec3(1.0, 2.0, 3.0);
        let axes = |stance| {
            RingAxes::of(&Pose {
                stance,
                roll: 0.0,
                tilt: 40.0,
            })
        };
        let all = [
            Stance::Standing,
            Stance::FirstColumnUp,
            Stance::LastColumnUp,
        ];
        for axes in all.map(axes) {
            assert!((axes.in_world(axes.in_ring(point)) - point).length() < 1e-12);
            // Right-handed, so that nothing is mirrored.
            assert!((axes.x.cross(axes.y) - axes.z).length() < 1e-12);
        }
        // Rows that come after the front one go to the left where the last column is at the top.
        let lying = axes(Stance::LastColumnUp);
        assert_eq!(lying.in_world(vec3(0.0, 1.0, 0.0)), vec3(-1.0, 0.0, 0.0));
        let axes = axes(Stance::Standing);
        // The last column's side turns to the camera.
        assert!(axes.in_world(vec3(1.0, 0.0, 0.0)).z > 0.5);
    }
}
