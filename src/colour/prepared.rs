//! CIEDE2000 without angles, for comparing many pairs: a lower bound that is cheap and proven, and
//! a fast value that is nearly exact.
//!
//! The hue terms of CIEDE2000 need no angle but the one of equation (16). With `u1`, `u2` the unit
//! vectors of the two hues, `ΔH'^2 = 2 (C1' C2' - a1' a2' - b1 b2)`, since `2 sin^2(Δh/2) = 1 - cos
//! Δh`; the mean hue of equation (14), which lies on the shorter arc, is the direction of `u1 +
//! u2`; and equation (15) is a polynomial in the cosine and sine of that direction. For hues
//! exactly opposite, the direction is undefined and the formula itself jumps; the bound allows for
//! both sides.

use super::{Lab, ciede2000};
use std::sync::LazyLock;

/// 25^7.
const POW25_7: f64 = 6_103_515_625.0;
/// 275 degrees, the blue of equation (16).
const BLUE: Direction = Direction {
    cosine: 0.087_155_742_747_658_17,
    sine: -0.996_194_698_091_745_5,
};
/// Steps of the table of the rotation term.
const STEPS: usize = 16384;

/// A hue, as the cosine and the sine of its angle.
#[derive(Clone, Copy)]
struct Direction {
    cosine: f64,
    sine: f64,
}

/// a', b and C' of a colour in one comparison.
#[derive(Clone, Copy)]
struct Chromatic {
    a: f64,
    b: f64,
    chroma: f64,
}

impl Chromatic {
    #[inline]
    fn new(a: f64, b: f64) -> Self {
        Self {
            a,
            b,
            chroma: (a * a + b * b).sqrt(),
        }
    }
}

/// A colour prepared for many comparisons.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PreparedLab {
    /// The colour.
    pub lab: Lab,
    chroma: f64,
}

/// The terms of equation (22) that two colours have in common with the exact formula.
struct Terms {
    lightness: f64,
    chroma: f64,
    /// Without the weight of hue, T of equation (15).
    hue_squared: f64,
    mean_chroma: f64,
    mean_hue: Option<Direction>,
}

impl PreparedLab {
    /// Prepares a colour.
    #[inline]
    pub fn new(lab: Lab) -> Self {
        Self {
            lab,
            chroma: (lab.a * lab.a + lab.b * lab.b).sqrt(),
        }
    }

    /// The lightness term alone, `|ΔL'| / S_L`: never more than [`super::ciede2000`], and it grows
    /// with `|ΔL'|` on either side.
    ///
    /// Proof: in equation (22) the chroma and hue terms form `c^2 + h^2 + R_T c h` with `|R_T| <
    /// 2`, which is not negative. And `t / S_L(L + t/2)` grows with `t`, since `S_L >= 1` and
    /// `|dS_L/dL| <= 0.015`, so that `t |dS_L/dt| <= 100 * 0.0075 < S_L`.
    #[inline]
    pub fn lightness_difference(&self, other: &Self) -> f64 {
        let from_middle = square((self.lab.l + other.lab.l) / 2.0 - 50.0);
        (other.lab.l - self.lab.l).abs() / (1.0 + 0.015 * from_middle / (20.0 + from_middle).sqrt())
    }

    /// A quicker bound than [`Self::lower_bound_squared`], and a lower one: never above the square
    /// of [`super::ciede2000`], to within rounding (1e-9 relative).
    ///
    /// Proof: as there, with the largest `Δθ = 30`, and the chroma `C'` at most 1.5 times `C`, as
    /// `G <= 0.5`. `S_H` is at most `S_C`, and `ΔC'^2 + ΔH'^2` is the squared distance in the plane
    /// of `a'` and `b`, where `a' = (1 + G) a` of both: not below that of `a` and `b`.
    #[inline]
    pub fn quick_bound_squared(&self, other: &Self) -> f64 {
        let mean_chroma = 1.5 * (self.chroma + other.chroma) / 2.0;
        let turned = root_of_seventh(mean_chroma) * 0.866_025_403_784_438_7;
        let apart = square(self.lab.a - other.lab.a) + square(self.lab.b - other.lab.b);
        square(self.lightness_difference(other))
            + (1.0 - turned) * apart / square(1.0 + 0.045 * mean_chroma)
    }

    /// Never above the square of [`super::ciede2000`], to within rounding (1e-9 relative).
    ///
    /// Proof: `c^2 + h^2 + R_T c h >= (1 - |R_T|/2)(c^2 + h^2)`. By equations (16), (17), (21),
    /// `|R_T| <= R_C sin(2 Δθ)`, where `Δθ` falls with the distance of the mean hue from 275
    /// degrees; the table's larger neighbour is taken. Where the hues are opposite to within
    /// rounding, the bound takes the largest `T` (1.93, all cosines 1) and `Δθ = 30`.
    pub fn lower_bound_squared(&self, other: &Self) -> f64 {
        let terms = self.terms(other);
        let (t, rotation) = match terms.mean_hue {
            Some(mean) => (hue_weight(mean), rotation_bound(blueness(mean))),
            None => (1.93, 0.866_025_403_784_438_7),
        };
        let hue = terms.hue_squared / square(1.0 + 0.015 * terms.mean_chroma * t);
        let turned = root_of_seventh(terms.mean_chroma) * rotation;
        square(terms.lightness) + (1.0 - turned) * (square(terms.chroma) + hue)
    }

    /// The difference to within 1e-5 of [`super::ciede2000`], for totals over many beads.
    ///
    /// Only the rotation term is not exact: it is read from a table of 16,384 steps. Opposite hues,
    /// where the formula jumps, are left to the formula.
    #[inline]
    pub fn difference(&self, other: &Self) -> f64 {
        let terms = self.terms(other);
        match self.chromatic_squared(other, &terms) {
            None => ciede2000(self.lab, other.lab),
            Some(chromatic) => (square(terms.lightness) + chromatic).max(0.0).sqrt(),
        }
    }

    /// The difference, and the same of two colours of equal lightness: its chroma and hue terms
    /// alone, which do not depend on lightness. To within 1e-5.
    #[inline]
    pub fn difference_and_chromatic(&self, other: &Self) -> (f64, f64) {
        let terms = self.terms(other);
        let chromatic = self.chromatic_squared(other, &terms).unwrap_or_else(|| {
            let exact = ciede2000(self.lab, other.lab);
            square(exact) - square(terms.lightness)
        });
        let whole = square(terms.lightness) + chromatic;
        (whole.max(0.0).sqrt(), chromatic.max(0.0).sqrt())
    }

    /// The chroma, hue and rotation terms of equation (22); none where the hues are opposite.
    #[inline]
    fn chromatic_squared(&self, other: &Self, terms: &Terms) -> Option<f64> {
        let mean = terms.mean_hue?;
        let hue = (terms.hue_squared).sqrt() / (1.0 + 0.015 * terms.mean_chroma * hue_weight(mean));
        let rotation = -2.0 * root_of_seventh(terms.mean_chroma) * rotation(mean);
        // The sign of ΔH' of equation (11): counterclockwise from the first hue to the second.
        let signed = if terms.turns_left(self, other) {
            hue
        } else {
            -hue
        };
        Some(square(terms.chroma) + square(hue) + rotation * terms.chroma * signed)
    }

    /// Equation (22) with its weights held as they are between these two colours: its square is a
    /// sum of `ΔL²`, `Δa²`, `Δa Δb` and `Δb²` times these.
    ///
    /// `ΔC'` and `ΔH'` are taken along and across the mean hue. For differences near this one, not
    /// for other pairs.
    pub fn quadratic_form(&self, other: &Self) -> [f64; 4] {
        let stretch = 1.0 + 0.5 * (1.0 - root_of_seventh((self.chroma + other.chroma) / 2.0));
        let (one, two) = (&self.lab, &other.lab);
        let first = Chromatic::new(one.a * stretch, one.b);
        let second = Chromatic::new(two.a * stretch, two.b);
        let mean_chroma = (first.chroma + second.chroma) / 2.0;
        let mean = mean_direction(first, second).unwrap_or(Direction {
            cosine: 1.0,
            sine: 0.0,
        });
        let from_middle = square((one.l + two.l) / 2.0 - 50.0);
        let s_l = 1.0 + 0.015 * from_middle / (20.0 + from_middle).sqrt();
        let s_c = 1.0 + 0.045 * mean_chroma;
        let s_h = 1.0 + 0.015 * mean_chroma * hue_weight(mean);
        let r_t = -2.0 * root_of_seventh(mean_chroma) * rotation(mean);
        // ΔC' = x a + y b and ΔH' = x b - y a, each over its weight.
        let (x, y) = (mean.cosine, mean.sine);
        let (ca, cb) = (x * stretch / s_c, y / s_c);
        let (ha, hb) = (-y * stretch / s_h, x / s_h);
        [
            1.0 / (s_l * s_l),
            ca * ca + ha * ha + r_t * ca * ha,
            2.0 * (ca * cb + ha * hb) + r_t * (ca * hb + cb * ha),
            cb * cb + hb * hb + r_t * cb * hb,
        ]
    }

    #[inline]
    fn terms(&self, other: &Self) -> Terms {
        let (one, two) = (&self.lab, &other.lab);
        let stretch = 1.0 + 0.5 * (1.0 - root_of_seventh((self.chroma + other.chroma) / 2.0));
        let first = Chromatic::new(one.a * stretch, one.b);
        let second = Chromatic::new(two.a * stretch, two.b);
        let (c1, c2) = (first.chroma, second.chroma);
        let mean_chroma = (c1 + c2) / 2.0;
        Terms {
            lightness: self.lightness_difference(other),
            chroma: (c2 - c1) / (1.0 + 0.045 * mean_chroma),
            hue_squared: (2.0 * (c1 * c2 - first.a * second.a - one.b * two.b)).max(0.0),
            mean_chroma,
            mean_hue: mean_direction(first, second),
        }
    }
}

impl Terms {
    #[inline]
    fn turns_left(&self, one: &PreparedLab, two: &PreparedLab) -> bool {
        one.lab.a * two.lab.b >= one.lab.b * two.lab.a
    }
}

#[inline]
fn square(x: f64) -> f64 {
    x * x
}

/// sqrt(c^7 / (c^7 + 25^7)) of equations (4) and (17).
#[inline]
fn root_of_seventh(c: f64) -> f64 {
    let cube = c * c * c;
    let seventh = cube * cube * c;
    (seventh / (seventh + POW25_7)).sqrt()
}

/// The mean hue; that of the other colour if one is grey, 0 degrees if both are; none for opposite
/// hues.
#[inline]
fn mean_direction(one: Chromatic, two: Chromatic) -> Option<Direction> {
    let x = one.a * two.chroma + two.a * one.chroma;
    let y = one.b * two.chroma + two.b * one.chroma;
    let length = (x * x + y * y).sqrt();
    if one.chroma * two.chroma == 0.0 {
        return Some(match one.chroma + two.chroma {
            0.0 => Direction {
                cosine: 1.0,
                sine: 0.0,
            },
            chroma => Direction {
                cosine: (one.a + two.a) / chroma,
                sine: (one.b + two.b) / chroma,
            },
        });
    }
    (length > 1e-6 * one.chroma * two.chroma).then(|| Direction {
        cosine: x / length,
        sine: y / length,
    })
}

/// T of equation (15) from the mean hue, by the formulas for multiple angles.
#[inline]
fn hue_weight(hue: Direction) -> f64 {
    // Cosines and sines of the constants 30, 6 and 63 degrees.
    const C30: f64 = 0.866_025_403_784_438_7;
    const S30: f64 = 0.5;
    const C6: f64 = 0.994_521_895_368_273_3;
    const S6: f64 = 0.104_528_463_267_653_47;
    const C63: f64 = 0.453_990_499_739_546_8;
    const S63: f64 = 0.891_006_524_188_367_9;
    let (x, y) = (hue.cosine, hue.sine);
    let (x2, y2) = (x * x - y * y, 2.0 * x * y);
    let (x3, y3) = (x2 * x - y2 * y, x2 * y + y2 * x);
    let (x4, y4) = (x2 * x2 - y2 * y2, 2.0 * x2 * y2);
    1.0 - 0.17 * (x * C30 + y * S30) + 0.24 * x2 + 0.32 * (x3 * C6 - y3 * S6)
        - 0.20 * (x4 * C63 + y4 * S63)
}

/// Cosine of the angle between the mean hue and the blue of equation (16).
#[inline]
fn blueness(hue: Direction) -> f64 {
    (hue.cosine * BLUE.cosine + hue.sine * BLUE.sine).clamp(-1.0, 1.0)
}

/// sin(2 Δθ) of equations (16) and (21) at even steps of [`blueness`] from -1 to 1.
static ROTATION: LazyLock<Vec<f64>> = LazyLock::new(|| {
    (0..=STEPS)
        .map(|step| {
            let cosine = (step as f64 / STEPS as f64).mul_add(2.0, -1.0);
            let off_blue = libm::acos(cosine.clamp(-1.0, 1.0)).to_degrees() / 25.0;
            libm::sin((60.0 * libm::exp(-off_blue * off_blue)).to_radians())
        })
        .collect()
});

/// sin(2 Δθ). Equation (16) does not wrap round the circle: hues from 0 to 95 degrees are more than
/// 180 from 275, and are not rotated.
#[inline]
fn rotation(hue: Direction) -> f64 {
    if hue.sine >= 0.0 && hue.cosine >= -BLUE.cosine {
        return 0.0;
    }
    let at = (blueness(hue) + 1.0) * (STEPS as f64 / 2.0);
    let step = (at as usize).min(STEPS - 1);
    let within = at - step as f64;
    ROTATION[step] * (1.0 - within) + ROTATION[step + 1] * within
}

/// Never below sin(2 Δθ): the table rises with blueness.
fn rotation_bound(blueness: f64) -> f64 {
    let step = ((blueness + 1.0) * (STEPS as f64 / 2.0)) as usize;
    ROTATION[(step + 1).min(STEPS)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::ciede2000;
    use proptest::prelude::*;

    fn any_lab() -> impl Strategy<Value = Lab> {
        (0.0..100.0, -110.0..110.0, -110.0..110.0).prop_map(|(l, a, b)| Lab { l, a, b })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(20_000))]
        #[test]
        fn the_bound_never_exceeds_the_formula_and_the_fast_value_is_near(
            one in any_lab(), two in any_lab(),
        ) {
            let exact = ciede2000(one, two);
            let (one, two) = (PreparedLab::new(one), PreparedLab::new(two));
            prop_assert!(one.lightness_difference(&two) <= exact * (1.0 + 1e-9));
            prop_assert!(one.quick_bound_squared(&two) <= exact * exact * (1.0 + 1e-9) + 1e-12);
            prop_assert!(one.lower_bound_squared(&two) <= exact * exact * (1.0 + 1e-9) + 1e-12);
            let fast = one.difference(&two);
            prop_assert!((fast - exact).abs() < 1e-5, "{fast} {exact}");
            let (whole, chromatic) = one.difference_and_chromatic(&two);
            let level = PreparedLab::new(Lab { l: one.lab.l, ..two.lab });
            prop_assert!((whole - exact).abs() < 1e-5, "{whole} {exact}");
            let exact = ciede2000(one.lab, level.lab);
            prop_assert!((chromatic - exact).abs() < 1e-4, "{chromatic} {exact}");
        }
    }

    #[test]
    fn greys_and_equal_colours_are_handled() {
        let grey = PreparedLab::new(Lab {
            l: 40.0,
            a: 0.0,
            b: 0.0,
        });
        let blue = PreparedLab::new(Lab {
            l: 42.0,
            a: 5.0,
            b: -60.0,
        });
        for (one, two) in [(grey, grey), (grey, blue), (blue, grey), (blue, blue)] {
            let exact = ciede2000(one.lab, two.lab);
            assert!((one.difference(&two) - exact).abs() < 1e-5);
            assert!(one.quick_bound_squared(&two) <= exact * exact + 1e-12);
            assert!(one.lower_bound_squared(&two) <= exact * exact + 1e-12);
        }
    }
}
