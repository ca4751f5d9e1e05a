//! The pitch of a grid from the sums of its edges along one side: a row of peaks at even distances.

use std::f64::consts::TAU;
use std::ops::RangeInclusive;

/// Most pitches that are tried: letters on beads, and text beside them, have pitches of their own.
const MOST: usize = 4;

/// A row of lines: the first one, and the distance from each to the next, in pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Lines {
    pub(super) first: f64,
    pub(super) pitch: f64,
}

impl Lines {
    /// Where line `at` is.
    pub(super) fn at(self, at: i64) -> f64 {
        self.first + self.pitch * at as f64
    }

    /// The lines at whose distances the sums repeat most strongly, of pitches within `range`:
    /// at most [`MOST`], strongest first.
    ///
    /// The strength at a frequency is that of the discrete Fourier transform there, at steps of a
    /// quarter of its resolution.
    pub(super) fn of(all: &[f64], range: RangeInclusive<f64>) -> Vec<Self> {
        let sums = without_slopes(all, *range.end());
        let step = 0.25 / sums.len() as f64;
        let low = 1.0 / range.end();
        let steps = ((1.0 / range.start() - low) / step).floor() as usize;
        let frequency = |at: usize| low + at as f64 * step;
        let scored: Vec<f64> = (0..=steps)
            .map(|at| strength(&sums, frequency(at)).0)
            .collect();
        // The strongest within the resolution on both sides.
        let is_top = |at: &usize| {
            let beside = at.saturating_sub(4)..(at + 5).min(scored.len());
            let strongest = scored[beside].iter().copied().fold(0.0, f64::max);
            scored[*at] > 0.0 && scored[*at] >= strongest
        };
        let mut tops: Vec<usize> = (0..scored.len()).filter(is_top).collect();
        tops.sort_by(|one, other| scored[*other].total_cmp(&scored[*one]));
        tops.truncate(MOST);
        let fine = tops.into_iter().map(|at| {
            let near = (-20..=20).map(|part| frequency(at) + f64::from(part) * step / 20.0);
            let scored = near.map(|frequency| (strength(&sums, frequency), frequency));
            let best = scored.max_by(|one, other| one.0.0.total_cmp(&other.0.0));
            best.map_or((0.0, frequency(at)), |((_, phase), frequency)| {
                (phase, frequency)
            })
        });
        fine.map(|(phase, frequency)| {
            let lines = Self {
                first: (phase / TAU).rem_euclid(1.0) / frequency,
                pitch: 1.0 / frequency,
            };
            lines.fitted(all, 0, (all.len() as f64 * frequency) as i64)
        })
        .collect()
    }

    /// The lines fitted to the peaks of the sums near them, from line `from` to line `to`.
    pub(super) fn fitted(self, sums: &[f64], from: i64, to: i64) -> Self {
        let reach = self.pitch * 0.3;
        let [mut n, mut x, mut y, mut xx, mut xy] = [0.0; 5];
        for line in from..=to {
            let Some((place, weight)) = peak(sums, self.at(line), reach) else {
                continue;
            };
            let at = line as f64;
            n += weight;
            x += weight * at;
            y += weight * place;
            xx += weight * at * at;
            xy += weight * at * place;
        }
        let spread = n * xx - x * x;
        if spread <= 0.0 || n <= 0.0 {
            return self;
        }
        let pitch = (n * xy - x * y) / spread;
        let first = (y - pitch * x) / n;
        // A fit that runs away has met no lines.
        if (pitch / self.pitch - 1.0).abs() > 0.05 {
            return self;
        }
        Self { first, pitch }
    }
}

/// Where the sums gather near a place, and how much they are above what is beside.
fn peak(sums: &[f64], middle: f64, reach: f64) -> Option<(f64, f64)> {
    let from = (middle - reach).ceil().max(0.0) as usize;
    let to = ((middle + reach).floor().max(0.0) as usize).min(sums.len().checked_sub(1)?);
    let window = sums.get(from..=to)?;
    let floor = window.iter().copied().fold(f64::INFINITY, f64::min);
    let [mut weight, mut place] = [0.0; 2];
    for (at, sum) in window.iter().enumerate() {
        let above = sum - floor;
        weight += above;
        place += above * (from + at) as f64;
    }
    (weight > 0.0).then(|| (place / weight, weight))
}

/// The sums above their mean over `wide` on each side, so that large forms do not count.
fn without_slopes(sums: &[f64], wide: f64) -> Vec<f64> {
    let wide = (wide as usize).max(2);
    let mut before = vec![0.0];
    for sum in sums {
        before.push(before[before.len() - 1] + sum);
    }
    (0..sums.len())
        .map(|at| {
            let (from, to) = (at.saturating_sub(wide), (at + wide + 1).min(sums.len()));
            sums[at] - (before[to] - before[from]) / (to - from) as f64
        })
        .collect()
}

/// Strength and phase at a frequency.
fn strength(sums: &[f64], frequency: f64) -> (f64, f64) {
    let (sine, cosine) = (libm::sin(TAU * frequency), libm::cos(TAU * frequency));
    let (mut real, mut imaginary) = (0.0, 0.0);
    let (mut x, mut y) = (1.0, 0.0);
    for sum in sums {
        real += sum * x;
        imaginary += sum * y;
        (x, y) = (x * cosine - y * sine, x * sine + y * cosine);
    }
    (
        (real * real + imaginary * imaginary).sqrt(),
        libm::atan2(imaginary, real),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_found_between_other_things() {
        let sums: Vec<f64> = (0..400)
            .map(|at| {
                let at = f64::from(at);
                let nearest = ((at - 7.3) / 11.4).round() * 11.4 + 7.3;
                let peak = libm::exp(-(at - nearest) * (at - nearest) / 3.0);
                let peak = if (100.0..300.0).contains(&at) {
                    peak
                } else {
                    0.0
                };
                peak * 10.0 + f64::from(at as u32 * 7919 % 13) * 0.2
            })
            .collect();
        let lines = Lines::of(&sums, 4.0..=60.0)[0];
        let fitted = lines.fitted(&sums, 9, 25);
        assert!((fitted.pitch - 11.4).abs() < 0.02, "{fitted:?}");
        let off = (fitted.first - 7.3).rem_euclid(fitted.pitch);
        assert!(off.min(fitted.pitch - off) < 0.3, "{fitted:?}");
    }
}
