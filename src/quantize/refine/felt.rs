//! What changes of a group's colour are felt to bring: differences at the points about it as a quadratic form, so that each colour costs a few products.
//!
//! Near where it is, a difference `e` is `sqrt(d M d)`, `d` what the opponent values are off and `M` the form of [`crate::vision::quick`]. With
//! `1 / (e + e')`, where `e'` is held at a typical difference, times `d M d` the sum over points is a sum of squares: half way between the difference and its
//! square, as a step that is not small asks for.

use super::view::View;
use crate::quantize::Wanted;

/// A change by `c` of a bead's opponent values brings `2 slope c + c bend c`, in differences summed over points.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Felt {
    slope: [f64; 3],
    bend: [f64; 6],
}

/// What is felt near a group and far from it.
pub(super) type Both = [Felt; 2];

/// What is felt of a group, over all views.
pub(super) fn felt(wanted: &Wanted, views: &[View], group: usize) -> Both {
    let mut both = Both::default();
    for &bead in wanted.together.beads_of(group) {
        for view in views {
            let own = view.felt(wanted.lattice, bead as usize);
            both = [both[0].and(&own[0]), both[1].and(&own[1])];
        }
    }
    both
}

impl Felt {
    /// A point that is `off`, where the bead has a `weight` and the form is `bend`.
    #[inline]
    pub(super) fn add(&mut self, bend: &[f64; 6], [l, r, b]: [f64; 3], weight: &[f64; 3]) {
        let [ll, rr, bb, lr, lb, rb] = *bend;
        let pull = [
            ll * l + (lr * r + lb * b) / 2.0,
            rr * r + (lr * l + rb * b) / 2.0,
            bb * b + (lb * l + rb * r) / 2.0,
        ];
        for at in 0..3 {
            self.slope[at] += weight[at] * pull[at];
            self.bend[at] += weight[at] * weight[at] * bend[at];
        }
        self.bend[3] += weight[0] * weight[1] * lr;
        self.bend[4] += weight[0] * weight[2] * lb;
        self.bend[5] += weight[1] * weight[2] * rb;
    }

    /// So many times as much.
    pub(super) fn times(&self, by: f64) -> Self {
        Self {
            slope: self.slope.map(|value| value * by),
            bend: self.bend.map(|value| value * by),
        }
    }

    /// Both together.
    pub(super) fn and(&self, other: &Self) -> Self {
        Self {
            slope: std::array::from_fn(|at| self.slope[at] + other.slope[at]),
            bend: std::array::from_fn(|at| self.bend[at] + other.bend[at]),
        }
    }

    /// What a change brings.
    #[inline]
    pub(super) fn step(&self, change: [f64; 3]) -> f64 {
        let [l, r, b] = change;
        let slope = self.slope[0] * l + self.slope[1] * r + self.slope[2] * b;
        2.0 * slope + self.curve(change)
    }

    /// What it brings by its square alone.
    #[inline]
    pub(super) fn curve(&self, [l, r, b]: [f64; 3]) -> f64 {
        let [ll, rr, bb, lr, lb, rb] = self.bend;
        l * (ll * l + lr * r + lb * b) + r * (rr * r + rb * b) + bb * b * b
    }
}
