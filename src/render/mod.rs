//! The closed band as a picture in light: every bead a lit cylinder in its true place on the ring.
//!
//! The ring stands on a ground like a wheel, seen in perspective from a little above. Rays are cast from the eye to the beads; light comes from a soft panel
//! above on the left, from all round, and back from the ground. Everything is in linear light and in millimetres.
//!
//! | part | holds |
//! |---|---|
//! | [`space`] | vectors |
//! | [`Surface`] | how each finish gives back light, also for flat drawings |
//! | [`Camera`] | pinhole: rays for points of the picture, and back |
//! | [`Band`] | the beads on the ring, and what a ray hits |
//! | [`Shades`] | where the ring keeps light from the ground and from its own inside |
//! | [`Stage`], [`photograph`] | all of it: a [`Photograph`], or one for each turn |

mod band;
mod camera;
mod shades;
pub mod space;
mod surface;
mod take;

pub use band::{Band, Hit};
pub use camera::{Camera, ELEVATION, Frame};
pub use shades::Shades;
pub use surface::{Lit, Studio, Surface};
pub use take::{Photograph, Stage, photograph, pressed};

/// How the ring stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    /// Degrees by which the ring is rolled about its own axis: at 0 the middle row faces the eye, and its front goes up with more.
    pub turn: f64,
    /// Degrees between the line of sight and the plane of the wheel's front: 0 looks straight at the band, 90 through the ring.
    pub tilt: f64,
}

impl Default for Pose {
    fn default() -> Self {
        Self {
            turn: 0.0,
            tilt: 28.0,
        }
    }
}
