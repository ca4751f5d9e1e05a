//! Renders the closed band as a ring: every bead a lit cylinder in its true place.
//!
//! The ring stands on a ground like a wheel, or lies on a cone with its axis upright; it is seen in
//! perspective from a little above. Rays are cast
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
//! | [`Stance`] | whether the ring stands, or lies on a cone of its own |
//! | [`Shadows`] | those of the ring on the ground, on its own inside and on the cone |
//! | [`RingScene`], [`render_ring`] | all of it: a [`RingImage`], or one for each roll |

mod beads;
mod camera;
pub mod geometry;
mod lighting;
mod material;
mod raycast;
mod shadows;
mod stand;

pub use beads::{Hit, RingBeads};
pub use camera::{Camera, ELEVATION, Frame};
pub use lighting::{Lighting, Visibility};
pub use material::Material;
pub use raycast::{RingImage, RingScene, compress_highlights, render_ring};
pub use shadows::Shadows;

use crate::chart::Chart;

/// Degrees from which a lying ring is seen from above. Ours: the picture on it stays level.
pub const LYING_TILT: f64 = 14.0;

/// How the ring stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    /// Which way its axis points.
    pub stance: Stance,
    /// Degrees by which the ring is rolled about its own axis: at 0 the middle row faces the
    /// camera, and with more the front goes towards the rows that come after it.
    pub roll: f64,
    /// Degrees between the line of sight and the plane of the band's front: 0 looks straight at
    /// the band, 90 through the ring. A lying ring is seen from so much above.
    pub tilt: f64,
}

/// Which way the ring's axis points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Stance {
    /// Level: the ring stands like a wheel.
    #[default]
    Standing,
    /// Upright, column 1 at the top: rows run to the right.
    FirstColumnUp,
    /// Upright, the last column at the top: rows run to the left.
    LastColumnUp,
}

impl Stance {
    /// Lying so that a picture which was laid along the band stands upright: a picture rotated by
    /// 90 degrees has its top at the last column.
    pub fn lying(chart: &Chart) -> Self {
        if chart.rotated() == 90 {
            Self::LastColumnUp
        } else {
            Self::FirstColumnUp
        }
    }
}

impl Default for Pose {
    fn default() -> Self {
        Self {
            stance: Stance::Standing,
            roll: 0.0,
            tilt: 28.0,
        }
    }
}

impl Pose {
    /// Lying, seen from a little above.
    pub fn lying(chart: &Chart) -> Self {
        Self {
            stance: Stance::lying(chart),
            roll: 0.0,
            tilt: LYING_TILT,
        }
    }
}
