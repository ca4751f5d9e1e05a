//! Conversions between the colour spaces, with the constants that the standards define and nothing
//! rounded away.

use super::{Lab, Light, Oklab, Srgb8};
use ::palette::FromColor;

/// Linear sRGB to CIE XYZ (Y of white = 1): derived from the primaries (0.64, 0.33) (0.30, 0.60)
/// (0.15, 0.06) of IEC 61966-2-1 and the white (0.3127, 0.3290), as CSS Color Module Level 4 gives
/// it, as fractions.
const TO_XYZ: [[f64; 3]; 3] = [
    [506752.0 / 1228815.0, 87881.0 / 245763.0, 12673.0 / 70218.0],
    [87098.0 / 409605.0, 175762.0 / 245763.0, 12673.0 / 175545.0],
    [7918.0 / 409605.0, 87881.0 / 737289.0, 1001167.0 / 1053270.0],
];

/// The white of D65 from its chromaticities x 0.3127, y 0.3290.
pub const WHITE: [f64; 3] = [0.3127 / 0.3290, 1.0, (1.0 - 0.3127 - 0.3290) / 0.3290];

/// XYZ of the profile connection space (D50, ICC.1:2010 clause 7.2.16) to cone responses: Bradford,
/// as ICC.1:2010 annex E gives it.
const BRADFORD: [[f64; 3]; 3] = [
    [0.8951, 0.2664, -0.1614],
    [-0.7502, 1.7135, 0.0367],
    [0.0389, -0.0685, 1.0296],
];

/// D50 of the profile connection space, ICC.1:2010 clause 7.2.16.
pub const PCS_WHITE: [f64; 3] = [0.9642, 1.0, 0.8249];

/// A linear map of three components.
pub type Matrix = [[f64; 3]; 3];

/// The map from XYZ of the profile connection space (D50) to linear sRGB (D65, Bradford
/// adaptation).
pub fn from_profile_space() -> Matrix {
    let cones = |white| apply(&BRADFORD, white);
    let (from, to) = (cones(PCS_WHITE), cones(WHITE));
    let scale: Matrix = std::array::from_fn(|i| {
        std::array::from_fn(|j| if i == j { to[i] / from[i] } else { 0.0 })
    });
    let adapt = product(&product(&inverse(&BRADFORD), &scale), &BRADFORD);
    product(&inverse(&TO_XYZ), &adapt)
}

/// A matrix times a column.
pub fn apply(matrix: &Matrix, column: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| row[0] * column[0] + row[1] * column[1] + row[2] * column[2])
}

/// The product of two matrices, `second` applied first.
pub fn product(first: &Matrix, second: &Matrix) -> Matrix {
    first.map(|row| std::array::from_fn(|j| (0..3).map(|k| row[k] * second[k][j]).sum()))
}

/// The inverse by cofactors; for matrices of primaries, which are never singular.
pub fn inverse(m: &Matrix) -> Matrix {
    let cofactor = |i: usize, j: usize| {
        let (a, b) = ((i + 1) % 3, (i + 2) % 3);
        let (c, d) = ((j + 1) % 3, (j + 2) % 3);
        m[a][c] * m[b][d] - m[a][d] * m[b][c]
    };
    let determinant: f64 = (0..3).map(|j| m[0][j] * cofactor(0, j)).sum();
    std::array::from_fn(|i| std::array::from_fn(|j| cofactor(j, i) / determinant))
}

/// Decodes sRGB into linear light (IEC 61966-2-1).
pub fn light(encoded: Srgb8) -> Light {
    encoded.into_format::<f64>().into_linear()
}

/// Encodes linear light as 8-bit sRGB (IEC 61966-2-1), rounded; what sRGB cannot show is clipped.
pub fn srgb8(light: Light) -> Srgb8 {
    ::palette::Srgb::<f64>::from_linear(light).into_format()
}

/// Linear light as CIE XYZ, Y of white = 1.
pub fn xyz(light: Light) -> [f64; 3] {
    let rgb = [light.red, light.green, light.blue];
    TO_XYZ.map(|row| row[0] * rgb[0] + row[1] * rgb[1] + row[2] * rgb[2])
}

/// CIE XYZ, Y of white = 1, as linear light.
pub fn from_xyz(xyz: [f64; 3]) -> Light {
    let [red, green, blue] = apply(&inverse(&TO_XYZ), xyz);
    Light::new(red, green, blue)
}

/// The map from linear light to CIE XYZ.
pub const fn to_xyz() -> Matrix {
    TO_XYZ
}

/// Linear light as CIELAB (ISO/CIE 11664-4 with the exact constants (6/29)^3 and (29/3)^3), white
/// D65.
pub fn lab(light: Light) -> Lab {
    let xyz = xyz(light);
    let [fx, fy, fz] = std::array::from_fn(|i| cube_root_or_line(xyz[i] / WHITE[i]));
    Lab {
        l: 116.0 * fy - 16.0,
        a: 500.0 * (fx - fy),
        b: 200.0 * (fy - fz),
    }
}

/// f of ISO/CIE 11664-4.
fn cube_root_or_line(ratio: f64) -> f64 {
    const JOIN: f64 = 216.0 / 24389.0;
    const SLOPE: f64 = 24389.0 / 27.0;
    if ratio > JOIN {
        libm::cbrt(ratio)
    } else {
        (SLOPE * ratio + 16.0) / 116.0
    }
}

/// Linear light as Oklab (B. Ottosson, "A perceptual color space for image processing", 2020), by
/// the `palette` crate.
pub fn oklab(light: Light) -> Oklab {
    Oklab::from_color(light)
}

/// Oklab as linear light, by the `palette` crate; it may lie outside what sRGB can show.
pub fn from_oklab(colour: Oklab) -> Light {
    Light::from_color(colour)
}

/// Six hex digits, in capitals, without a mark before them.
pub fn hex(colour: Srgb8) -> String {
    format!("{:02X}{:02X}{:02X}", colour.red, colour.green, colour.blue)
}

/// Reads six hex digits, with or without `#`; nothing else.
pub fn read_hex(text: &str) -> Option<Srgb8> {
    let digits = text.strip_prefix('#').unwrap_or(text);
    let plain = digits.len() == 6 && digits.bytes().all(|b| b.is_ascii_hexdigit());
    plain.then(|| digits.parse().ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hex_is_read_strictly_and_written_in_capitals() {
        assert_eq!(read_hex("#2f5D50"), Some(Srgb8::new(0x2f, 0x5d, 0x50)));
        assert_eq!(hex(Srgb8::new(0x2f, 0x5d, 0x50)), "2F5D50");
        for bad in ["kelp", "#123", "1234567", "+12345", "12345g", ""] {
            assert_eq!(read_hex(bad), None, "{bad}");
        }
    }

    #[test]
    fn white_is_white_in_every_space() {
        let white = light(Srgb8::new(255, 255, 255));
        let lab = lab(white);
        assert!((lab.l - 100.0).abs() < 1e-9 && lab.a.abs() < 1e-9 && lab.b.abs() < 1e-9);
        assert!((oklab(white).l - 1.0).abs() < 1e-6);
    }

    #[test]
    fn every_8_bit_value_survives_the_round_trip() {
        for value in 0..=255 {
            let colour = Srgb8::new(value, 255 - value, 7);
            assert_eq!(srgb8(light(colour)), colour);
        }
    }
}
