//! CIELAB of opponent values for searches that ask for it many million times: without a call of the general cube root, and what a small step brings.

use super::scielab::TO_OPPONENT;
use crate::colour::{Judged, Lab, Matrix, WHITE, inverse};
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

/// A colour on its way to CIELAB.
#[derive(Debug, Clone, Copy)]
pub struct Quick {
    /// XYZ over that of the white.
    ratios: [f64; 3],
    /// f of each.
    roots: [f64; 3],
}

impl Quick {
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

    /// Ready to be compared.
    #[inline]
    pub fn judged(&self) -> Judged {
        Judged::new(self.lab())
    }

    /// The square of CIEDE2000 between two colours as a quadratic form of what their opponent values differ by, with all that is not linear held as it is
    /// between these two: `[LL, RR, BB, LR, LB, RB]`, products of different channels counted once. `weights` are those of [`Judged::form`].
    pub fn form(&self, other: &Self, weights: [f64; 4]) -> [f64; 6] {
        let chord = |at: usize| {
            let apart = self.ratios[at] - other.ratios[at];
            match apart.abs() > 1e-6 {
                true => (self.roots[at] - other.roots[at]) / apart,
                false if other.ratios[at] > JOIN => other.roots[at] / (3.0 * other.ratios[at]),
                false => SLOPE,
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

/// f of ISO/CIE 11664-4, its cube root by two steps of E. Halley's method from a guess by the exponent.
#[inline]
fn root(ratio: f64) -> f64 {
    if ratio <= JOIN {
        return SLOPE * ratio + 16.0 / 116.0;
    }
    // A third of the exponent, and of the bits below it as if they were part of it: within 4%.
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

    fn form(one: Quick, two: Quick) -> [f64; 6] {
        one.form(&two, one.judged().form(&two.judged()))
    }

    proptest! {
        #[test]
        fn it_is_the_colour_itself(red in -0.1..1.2f64, green in -0.1..1.2f64, blue in -0.1..1.2f64) {
            let light = Light::new(red, green, blue);
            let (quick, exact) = (Quick::new(opponent(light)).lab(), lab(light));
            for (quick, exact) in [(quick.l, exact.l), (quick.a, exact.a), (quick.b, exact.b)] {
                prop_assert!((quick - exact).abs() < 1e-6, "{quick} {exact}");
            }
        }

        /// Along and across the mean hue is not quite along chroma and hue, least of all near grey.
        #[test]
        fn the_form_is_the_difference_it_was_made_of(red in 0.02..1.0f64, green in 0.02..1.0f64, blue in 0.02..1.0f64, step in prop::array::uniform3(-0.1..0.1f64)) {
            let one = Light::new(red, green, blue);
            let two = Light::new(red + step[0] * red, green + step[1] * green, blue + step[2] * blue);
            let (near, far) = (opponent(one), opponent(two));
            let [l, r, b]: [f64; 3] = std::array::from_fn(|at| far[at] - near[at]);
            let [ll, rr, bb, lr, lb, rb] = form(Quick::new(far), Quick::new(near));
            let form = ll * l * l + rr * r * r + bb * b * b + lr * l * r + lb * l * b + rb * r * b;
            let exact = ciede2000(lab(one), lab(two));
            prop_assert!((form.max(0.0).sqrt() - exact).abs() < 0.1 * exact + 0.1, "{} {exact}", form.sqrt());
        }
    }
}
