//! What is seen at a distance in millimetres.
//!
//! | part | for |
//! |---|---|
//! | [`scielab`] | the published filters, their constants, and a picture as they leave it |
//! | [`band`] | a band and its picture as they are seen from a distance, and how far apart they look |
//! | [`contrast`] | whether a motif stands out from its ground, and from how far it no longer does |
//! | [`small`] | one bead among others, and pairs of colours that are not told apart |
//! | [`spread`] | Gaussians over intervals |

pub mod band;
pub mod contrast;
pub mod quick;
pub mod scielab;
pub mod small;
pub mod spread;

use crate::units::Mm;

/// How far a ring is from the eye when it is worn. Ours: an arm that is half bent.
pub const WORN: Mm = Mm::new(700.0);

/// Full width at half maximum of the narrowest luminance filter, in degrees (the set of the authors' own program).
pub const SHARPEST_DEGREES: f64 = 0.05;

pub use scielab::LUMINANCE_SPREADS;
