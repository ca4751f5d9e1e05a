//! What is seen at a distance in millimetres.

/// The luminance filter of S-CIELAB as printed: spreads `s` in degrees and weights of Gaussians `exp(-(x^2 + y^2)/s^2)`, each normalised to sum 1.
///
/// X. Zhang, B. A. Wandell, "A spatial extension of CIELAB for digital color-image reproduction", SID Symposium Digest 27, 731-734, 1996.
pub const LUMINANCE_SPREADS: [(f64, f64); 3] = [(0.0283, 0.921), (0.133, 0.105), (4.336, -0.108)];

/// Full width at half maximum of the narrowest luminance filter, in degrees (the set of the authors' own program).
pub const SHARPEST_DEGREES: f64 = 0.05;
