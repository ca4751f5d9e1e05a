//! Exact integrals of Gaussians `exp(-x^2/s^2) / (s sqrt(π))` over intervals: S-CIELAB's filters
//! are sums of products of them.

use std::f64::consts::PI;

/// Share of a Gaussian of spread `s` about 0 that falls between `from` and `to`.
pub fn share(from: f64, to: f64, s: f64) -> f64 {
    (libm::erf(to / s) - libm::erf(from / s)) / 2.0
}

/// How much two intervals of lengths `one` and `two`, their middles `apart`, receive of each other
/// under a Gaussian of spread `s`: the double integral of the Gaussian of the distance over both.
pub fn overlap(apart: f64, one: f64, two: f64, s: f64) -> f64 {
    let (sum, gap) = ((one + two) / 2.0, (one - two) / 2.0);
    twice(apart + sum, s) - twice(apart + gap, s) - twice(apart - gap, s) + twice(apart - sum, s)
}

/// The second antiderivative of the Gaussian.
fn twice(x: f64, s: f64) -> f64 {
    let ratio = x / s;
    x * libm::erf(ratio) / 2.0 + s / (2.0 * PI.sqrt()) * libm::exp(-ratio * ratio)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against sums over 4000 slices.
    #[test]
    fn the_integrals_are_those_of_small_slices() {
        let gaussian = |x: f64, s: f64| libm::exp(-(x / s) * (x / s)) / (s * PI.sqrt());
        for (apart, one, two, s) in [
            (0.0, 1.3, 1.3, 0.5),
            (1.3, 1.3, 0.3, 2.0),
            (-2.6, 0.4, 1.6, 0.3),
        ] {
            let slices = 4000;
            let width = two / f64::from(slices);
            let sum: f64 = (0..slices)
                .map(|at| apart - two / 2.0 + (f64::from(at) + 0.5) * width)
                .map(|x| share(x - one / 2.0, x + one / 2.0, s) * width)
                .sum();
            assert!((overlap(apart, one, two, s) - sum).abs() < 1e-6);
            let width = one / f64::from(slices);
            let sum: f64 = (0..slices)
                .map(|at| gaussian(apart + (f64::from(at) + 0.5) * width, s) * width)
                .sum();
            assert!((share(apart, apart + one, s) - sum).abs() < 1e-6);
        }
    }
}
