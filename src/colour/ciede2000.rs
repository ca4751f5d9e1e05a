//! CIEDE2000, equation by equation, after G. Sharma, W. Wu, E. N. Dalal, "The CIEDE2000
//! Color-Difference Formula: Implementation Notes, Supplementary Test Data, and Mathematical
//! Observations", Color Research & Application 30(1), 21-30, 2005, doi 10.1002/col.20070 (ISO/CIE
//! 11664-6), with kL = kC = kH = 1.

use super::Lab;

/// 25^7.
const POW25_7: f64 = 6_103_515_625.0;

/// CIEDE2000 between two colours; 1 is about the smallest difference that is seen side by side.
/// Symmetric, 0 for equal colours.
///
/// Holds for the conditions of ISO/CIE 11664-6: D65, 1000 lx, large samples side by side. `NaN` in
/// gives `NaN` out.
pub fn ciede2000(one: Lab, two: Lab) -> f64 {
    // Equation (2)
    let c1 = (one.a * one.a + one.b * one.b).sqrt();
    let c2 = (two.a * two.a + two.b * two.b).sqrt();
    // Equations (3), (4)
    let g = 0.5 * (1.0 - root_of_seventh((c1 + c2) / 2.0));
    // Equation (5)
    let a1 = (1.0 + g) * one.a;
    let a2 = (1.0 + g) * two.a;
    // Equation (6)
    let c1 = (a1 * a1 + one.b * one.b).sqrt();
    let c2 = (a2 * a2 + two.b * two.b).sqrt();
    // Equation (7)
    let h1 = hue(a1, one.b);
    let h2 = hue(a2, two.b);
    // Equations (8), (9)
    let delta_l = two.l - one.l;
    let delta_c = c2 - c1;
    // Equation (10)
    let grey = c1 * c2 == 0.0;
    let apart = h2 - h1;
    let delta_h = match () {
        () if grey => 0.0,
        () if apart.abs() <= 180.0 => apart,
        () if apart > 180.0 => apart - 360.0,
        () => apart + 360.0,
    };
    // Equation (11)
    let delta_h = 2.0 * (c1 * c2).sqrt() * libm::sin((delta_h / 2.0).to_radians());
    // Equations (12), (13)
    let mean_l = (one.l + two.l) / 2.0;
    let mean_c = (c1 + c2) / 2.0;
    // Equation (14)
    let mean_h = match () {
        () if grey => h1 + h2,
        () if apart.abs() <= 180.0 => (h1 + h2) / 2.0,
        () if h1 + h2 < 360.0 => (h1 + h2 + 360.0) / 2.0,
        () => (h1 + h2 - 360.0) / 2.0,
    };
    // Equation (15)
    let cos = |degrees: f64| libm::cos(degrees.to_radians());
    let t =
        1.0 - 0.17 * cos(mean_h - 30.0) + 0.24 * cos(2.0 * mean_h) + 0.32 * cos(3.0 * mean_h + 6.0)
            - 0.20 * cos(4.0 * mean_h - 63.0);
    // Equation (16)
    let off_blue = (mean_h - 275.0) / 25.0;
    let delta_theta = 30.0 * libm::exp(-off_blue * off_blue);
    // Equation (17)
    let r_c = 2.0 * root_of_seventh(mean_c);
    // Equation (18)
    let from_middle = (mean_l - 50.0) * (mean_l - 50.0);
    let s_l = 1.0 + 0.015 * from_middle / (20.0 + from_middle).sqrt();
    // Equations (19), (20)
    let s_c = 1.0 + 0.045 * mean_c;
    let s_h = 1.0 + 0.015 * mean_c * t;
    // Equation (21)
    let r_t = -libm::sin((2.0 * delta_theta).to_radians()) * r_c;
    // Equation (22)
    let (l, c, h) = (delta_l / s_l, delta_c / s_c, delta_h / s_h);
    (l * l + c * c + h * h + r_t * c * h).max(0.0).sqrt()
}

/// sqrt(c^7 / (c^7 + 25^7)), which equations (4) and (17) share.
fn root_of_seventh(c: f64) -> f64 {
    let seventh = c * c * c * c * c * c * c;
    (seventh / (seventh + POW25_7)).sqrt()
}

/// Hue angle in degrees, 0 to 360, and 0 for grey.
fn hue(a: f64, b: f64) -> f64 {
    if a == 0.0 && b == 0.0 {
        return 0.0;
    }
    let angle = libm::atan2(b, a).to_degrees();
    if angle < 0.0 { angle + 360.0 } else { angle }
}
