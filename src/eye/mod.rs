//! What is seen at a distance in millimetres.
//!
//! | part | for |
//! |---|---|
//! | [`scielab`] | the published filters, their constants, and a picture as they leave it |

pub mod scielab;

/// Full width at half maximum of the narrowest luminance filter, in degrees (the set of the authors' own program).
pub const SHARPEST_DEGREES: f64 = 0.05;

pub use scielab::LUMINANCE_SPREADS;
