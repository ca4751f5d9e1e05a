//! Renders the closed band as a ring: every bead a lit cylinder in its true place.
//!
//! The ring stands on a ground like a wheel, seen in perspective from a little above. Rays are cast
//! from the camera to the beads; light comes from a soft panel above on the left, from all round,
//! and back from the ground. Everything is in linear light and in millimetres.
//!
//! | part | holds |
//! |---|---|
//! | [`geometry`] | vectors and rays |
//! | [`Lighting`], [`Visibility`] | the lamps, and how much of them a point sees |
//! | [`Material`] | how each finish reflects light, also for flat drawings |
//! | [`Camera`] | pinhole: rays for points of the picture, and back |
//! | [`RingBeads`] | the beads on the ring, and what a ray hits |
//! | [`Shadows`] | those of the ring on the ground and on its own inside |
//! | [`RingScene`], [`render_ring`] | all of it: a [`RingImage`], or one for each roll |

mod beads;
mod camera;
pub mod geometry;
mod lighting;
mod material;
mod raycast;
mod shadows;

pub use beads::{Hit, RingBeads};
pub use camera::{Camera, ELEVATION, Frame};
pub use lighting::{Lighting, Visibility};
pub use material::Material;
pub use raycast::{RingImage, RingScene, compress_highlights, render_ring};
pub use shadows::Shadows;

/// How the ring stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    /// Degrees by which the ring is rolled about its own axis: at 0 the middle row faces the
    /// camera, and its front goes up with more.
    pub roll: f64,
    /// Degrees between the line of sight and the plane of the wheel's front: 0 looks straight at
    /// the band, 90 through the ring.
    pub tilt: f64,
}

impl Default for Pose {
    fn default() -> Self {
        Self {
            roll: 0.0,
            tilt: 28.0,
        }
    }
}
