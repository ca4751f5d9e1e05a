//! A local quadratic model of the CIEDE2000 differences around a group of beads, so that weighing a
//! colour costs a few products.
//!
//! Near its present value a difference `e` is `sqrt(d M d)`, `d` the error in opponent values and
//! `M` the form of [`crate::vision::fast_lab`]. The sum over points of `d M d / (e + e')`, with
//! `e'` held at a typical difference, is a sum of squares: half way between the difference and its
//! square, which suits steps that are not small.

/// A change by `c` of a bead's opponent values changes the summed differences by
/// `2 slope c + c curvature c`.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Quadratic {
    slope: [f64; 3],
    curvature: [f64; 6],
}

/// The models of the points near a group and of those far from it.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct NearFar {
    pub(super) near: Quadratic,
    pub(super) far: Quadratic,
}

impl NearFar {
    /// The sum with another, near and far apart.
    pub(super) fn plus(&self, other: &Self) -> Self {
        Self {
            near: self.near.plus(&other.near),
            far: self.far.plus(&other.far),
        }
    }

    /// So many times as much, near and far.
    pub(super) fn times(&self, factor: f64) -> Self {
        Self {
            near: self.near.times(factor),
            far: self.far.times(factor),
        }
    }

    /// Near and far in one model.
    pub(super) fn both(&self) -> Quadratic {
        self.near.plus(&self.far)
    }
}

impl Quadratic {
    /// Adds a point whose error is `off`, whose form is `curvature` and on which the bead has
    /// `weight`, channel by channel.
    #[inline]
    pub(super) fn add_point(&mut self, curvature: &[f64; 6], off: [f64; 3], weight: &[f64; 3]) {
        let [ll, rr, bb, lr, lb, rb] = *curvature;
        let [l, r, b] = off;
        let pull = [
            ll * l + (lr * r + lb * b) / 2.0,
            rr * r + (lr * l + rb * b) / 2.0,
            bb * b + (lb * l + rb * r) / 2.0,
        ];
        for at in 0..3 {
            self.slope[at] += weight[at] * pull[at];
            self.curvature[at] += weight[at] * weight[at] * curvature[at];
        }
        self.curvature[3] += weight[0] * weight[1] * lr;
        self.curvature[4] += weight[0] * weight[2] * lb;
        self.curvature[5] += weight[1] * weight[2] * rb;
    }

    /// So many times as much.
    pub(super) fn times(&self, factor: f64) -> Self {
        Self {
            slope: self.slope.map(|value| value * factor),
            curvature: self.curvature.map(|value| value * factor),
        }
    }

    /// The sum of two models.
    pub(super) fn plus(&self, other: &Self) -> Self {
        Self {
            slope: std::array::from_fn(|at| self.slope[at] + other.slope[at]),
            curvature: std::array::from_fn(|at| self.curvature[at] + other.curvature[at]),
        }
    }

    /// By how much a change of opponent values changes the summed differences.
    #[inline]
    pub(super) fn step(&self, change: [f64; 3]) -> f64 {
        let [l, r, b] = change;
        let slope = self.slope[0] * l + self.slope[1] * r + self.slope[2] * b;
        2.0 * slope + self.second_order(change)
    }

    /// The quadratic part of that alone.
    #[inline]
    pub(super) fn second_order(&self, change: [f64; 3]) -> f64 {
        let [l, r, b] = change;
        let [ll, rr, bb, lr, lb, rb] = self.curvature;
        l * (ll * l + lr * r + lb * b) + r * (rr * r + rb * b) + bb * b * b
    }
}
