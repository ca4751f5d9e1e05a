//! What is seen at a distance in millimetres.
//!
//! | part | for |
//! |---|---|
//! | [`scielab`] | the published filters, their constants, and a filtered picture |
//! | [`band`] | a band and its picture as seen from a distance, and how different they look |
//! | [`contrast`] | whether a motif stands out from its ground, and from how far it is lost |
//! | [`intruders`] | colours that stand nowhere near in the picture, and how plain it is there |
//! | [`shapes`] | whether a picture's shapes are large enough to be recognised in beads |
//! | [`single_bead`] | one bead among others, and pairs of colours that look the same |
//! | [`fast_lab`] | CIELAB for searches |
//! | [`gaussian`] | Gaussians over intervals |

pub mod band;
pub mod contrast;
pub mod fast_lab;
pub mod gaussian;
pub mod intruders;
pub mod scielab;
pub mod shapes;
pub mod single_bead;

use crate::units::Mm;

/// How far a worn ring is from the eye. Ours: an arm that is half bent.
pub const WORN: Mm = Mm::new(700.0);

/// Full width at half maximum of the narrowest luminance filter, in degrees (the set of the
/// authors' own program).
pub const SHARPEST_DEGREES: f64 = 0.05;

pub use scielab::LUMINANCE_SPREADS;
