//! CIELAB of opponent values for searches that need it many million times: without a call of the
//! general cube root; and what a small step brings.

use super::scielab::TO_OPPONENT;
use crate::colour::{Lab, Matrix, PreparedLab, WHITE, inverse};
use std::sync::LazyLock;

/// From opponent values to XYZ over that of the white.
static TO_RATIOS: LazyLock<Matrix> = LazyLock::new(|| {
    let mut matrix = inverse(&TO_OPPONENT);
    for (row, white) in matrix.iter_mut().zip(WHITE) {
        row.iter_mut().for_each(|value| *value /= white);
    }
    matrix
});

/// Where f of ISO/CIE 11664-4 joins its line.
const JOIN: f64 = 216.0 / 24389.0;
/// Slope of the line.
const SLOPE: f64 = 24389.0 / 27.0 / 116.0;

/// A colour between opponent values and CIELAB.
#[derive(Debug, Clone, Copy)]
pub struct FastLab {
    /// XYZ over that of the white.
    ratios: [f64; 3],
    /// f of each.
    roots: [f64; 3],
}

impl FastLab {
    /// Of opponent values.
    #[inline]
    pub fn new(opponent: [f64; 3]) -> Self {
        let matrix = &*TO_RATIOS;
        let ratios = std::array::from_fn(|at: usize| {
            let row = matrix[at];
            row[0] * opponent[0] + row[1] * opponent[1] + row[2] * opponent[2]
        });
        Self {
            ratios,
            roots: ratios.map(root),
        }
    }

    /// As CIELAB, within 1e-9.
    #[inline]
    pub fn lab(&self) -> Lab {
        let [x, y, z] = self.roots;
        Lab {
            l: 116.0 * y - 16.0,
            a: 500.0 * (x - y),
            b: 200.0 * (y - z),
        }
    }

    /// Ready for comparisons.
    #[inline]
    pub fn prepared(&self) -> PreparedLab {
        PreparedLab::new(self.lab())
    }

    /// The square of CIEDE2000 between two colours as a quadratic form of the difference of their
    /// opponent values, with everything not linear held at its value between these two: `[LL, RR,
    /// BB, LR, LB, RB]`, products of different channels counted once. `weights` are those of
    /// [`PreparedLab::quadratic_form`].
    pub fn quadratic_form(&self, other: &Self, weights: [f64; 4]) -> [f64; 6] {
        let chord = |at: usize| {
            let apart = self.ratios[at] - other.ratios[at];
            if apart.abs() > 1e-6 {
                (self.roots[at] - other.roots[at]) / apart
            } else if other.ratios[at] > JOIN {
                other.roots[at] / (3.0 * other.ratios[at])
            } else {
                SLOPE
            }
        };
        let matrix = &*TO_RATIOS;
        let row = |at: usize| matrix[at].map(|value| value * chord(at));
        let (x, y, z) = (row(0), row(1), row(2));
        let l = y.map(|y| 116.0 * y);
        let a: [f64; 3] = std::array::from_fn(|at| 500.0 * (x[at] - y[at]));
        let b: [f64; 3] = std::array::from_fn(|at| 200.0 * (y[at] - z[at]));
        let [ll, aa, ab, bb] = weights;
        let product = |i: usize, j: usize| {
            ll * l[i] * l[j]
                + aa * a[i] * a[j]
                + ab * (a[i] * b[j] + b[i] * a[j]) / 2.0
                + bb * b[i] * b[j]
        };
        [
            product(0, 0),
            product(1, 1),
            product(2, 2),
            2.0 * product(0, 1),
            2.0 * product(0, 2),
            2.0 * product(1, 2),
        ]
    }
}

/// f of ISO/CIE 11664-4, its cube root by two steps of E. Halley's method from a guess by the
/// exponent.
#[inline]
fn root(ratio: f64) -> f64 {
    if ratio <= JOIN {
        return SLOPE * ratio + 16.0 / 116.0;
    }
    // A third of the exponent, and of the bits below it as if they belonged to it: within 4%.
    let guess = f64::from_bits(ratio.to_bits() / 3 + 0x2A9F_7893_0000_0000);
    let step = |x: f64| {
        let cube = x * x * x;
        x * (cube + 2.0 * ratio) / (2.0 * cube + ratio)
    };
    step(step(guess))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::{Light, ciede2000, lab};
    use crate::vision::scielab::opponent;
    use proptest::prelude::*;

    fn quadratic_form(one: FastLab, two: FastLab) -> [f64; 6] {
        one.quadratic_form(&two, one.prepared().quadratic_form(&two.prepared()))
    }

    proptest! {
        #[test]
        fn it_is_the_colour_itself(
            red in -0.1..1.2f64, green in -0.1..1.2f64, blue in -0.1..1.2f64,
        ) {
            let light = Light::new(red, green, blue);
            let (quick, exact) = (FastLab::new(opponent(light)).lab(), lab(light));
            for (quick, exact) in [(quick.l, exact.l), (quick.a, exact.a), (quick.b, exact.b)] {
                prop_assert!((quick - exact).abs() < 1e-6, "{quick} {exact}");
            }
        }

        /// Along and across the mean hue is not quite along chroma and hue, least of all near grey.
        #[test]
        fn the_form_is_the_difference_it_was_made_of(
            red in 0.02..1.0f64, green in 0.02..1.0f64, blue in 0.02..1.0f64,
            step in prop::array::uniform3(-0.1..0.1f64),
        ) {
            let one = Light::new(red, green, blue);
            let [r, g, b] = step.map(|step| 1.0 + step);
            let two = Light::new(red * r, green * g, blue * b);
            let (near, far) = (opponent(one), opponent(two));
            let [l, r, b]: [f64; 3] = std::array::from_fn(|at| far[at] - near[at]);
            let [ll, rr, bb, lr, lb, rb] = quadratic_form(FastLab::new(far), FastLab::new(near));
            let form = ll * l * l + rr * r * r + bb * b * b + lr * l * r + lb * l * b + rb * r * b;
            let exact = ciede2000(lab(one), lab(two));
            let root = form.max(0.0).sqrt();
            prop_assert!((root - exact).abs() < 0.1 * exact + 0.1, "{root} {exact}");
        }
    }
}
