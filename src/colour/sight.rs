//! How people with colour-deficient sight see a colour.

use super::{Light, Matrix, apply};

/// A kind of sight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Sight {
    /// All three kinds of cone.
    Full,
    /// Without the cones for long waves: red is dark, and red and green are alike.
    Protan,
    /// Without the cones for middle waves: red and green are alike.
    Deutan,
    /// Without the cones for short waves: blue and green are alike. The authors call the model an
    /// approximation here.
    Tritan,
}

/// For linear sRGB: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A physiologically-based
/// model for simulation of color vision deficiency", IEEE Transactions on Visualization and
/// Computer Graphics 15(6), 1291-1298, 2009; the matrices published with it, severity 1.
const PROTAN: Matrix = [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
];
const DEUTAN: Matrix = [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.011820, 0.042940, 0.968881],
];
const TRITAN: Matrix = [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.303900],
];

impl Sight {
    /// Every kind, full sight first.
    pub const ALL: [Self; 4] = [Self::Full, Self::Protan, Self::Deutan, Self::Tritan];

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Full => "full",
            Self::Protan => "protan",
            Self::Deutan => "deutan",
            Self::Tritan => "tritan",
        }
    }

    /// The colour that full sight would take for what this sight sees, clipped to 0..1 as the
    /// authors do; full sight leaves it as it is.
    pub fn seen(self, light: Light) -> Light {
        let matrix = match self {
            Self::Full => return light,
            Self::Protan => &PROTAN,
            Self::Deutan => &DEUTAN,
            Self::Tritan => &TRITAN,
        };
        let [red, green, blue] = apply(matrix, [light.red, light.green, light.blue]);
        let clipped = |value: f64| value.clamp(0.0, 1.0);
        Light::new(clipped(red), clipped(green), clipped(blue))
    }
}
