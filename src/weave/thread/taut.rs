//! The shortest line through a row of upright gates, by pulling the string.

/// An upright line that the thread crosses: how far along the unfolded path, and between which
/// heights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Gate {
    pub(super) along: f64,
    pub(super) low: f64,
    pub(super) high: f64,
}

type Point = (f64, f64);

/// A nanometre.
const APART: f64 = 1e-6;

/// Twice the area that `a` to `b` to `c` turns to the left.
fn turns_left(a: Point, b: Point, c: Point) -> f64 {
    (b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0)
}

fn distance(a: Point, b: Point) -> f64 {
    ((a.0 - b.0) * (a.0 - b.0) + (a.1 - b.1) * (a.1 - b.1)).sqrt()
}

/// The length of the shortest line from the middle of the first gate to the middle of the last,
/// through all between, in order.
pub(super) fn taut(gates: &[Gate]) -> f64 {
    corners(gates)
        .windows(2)
        .map(|pair| distance(pair[0], pair[1]))
        .sum()
}

/// The lengths of that line as far as each gate of `ends`, which rise.
pub(super) fn taut_to(gates: &[Gate], ends: &[usize]) -> Vec<f64> {
    let corners = corners(gates);
    let mut lengths = Vec::with_capacity(ends.len());
    let (mut before, mut at) = (0.0, 0);
    for &end in ends {
        let along = gates.get(end).map_or(0.0, |gate| apart(end, gate));
        while at + 2 < corners.len() && corners[at + 1].0 < along {
            before += distance(corners[at], corners[at + 1]);
            at += 1;
        }
        let Some(&[one, other]) = corners.get(at..at + 2).and_then(|two| two.first_chunk()) else {
            lengths.push(before);
            continue;
        };
        // As far along the segment as its part to the left of the gate.
        let share = if other.0 > one.0 {
            ((along - one.0) / (other.0 - one.0)).clamp(0.0, 1.0)
        } else {
            1.0
        };
        lengths.push(before + share * distance(one, other));
    }
    lengths
}

/// Gates on one upright line are moved a tiny distance apart, so that left and right are always
/// distinct.
fn apart(at: usize, gate: &Gate) -> f64 {
    gate.along + at as f64 * APART
}

/// The corners of the shortest line, from its first point to its last.
fn corners(gates: &[Gate]) -> Vec<Point> {
    let (Some(first), Some(last)) = (gates.first(), gates.last()) else {
        return Vec::new();
    };
    let middle = |gate: &Gate| (gate.low + gate.high) / 2.0;
    let goal = (apart(gates.len(), last), middle(last));
    let side = |at: usize| match gates.get(at) {
        Some(gate) => ((apart(at, gate), gate.low), (apart(at, gate), gate.high)),
        None => (goal, goal),
    };
    let mut apex = (apart(0, first), middle(first));
    let mut corners = vec![apex];
    // What can be seen from the apex lies between the lines to these two points.
    let (mut low, mut high) = (apex, apex);
    let (mut low_at, mut high_at) = (0, 0);
    let mut at = 1;
    while at <= gates.len() {
        let (next_low, next_high) = side(at);
        let mut corner = None;
        if turns_left(apex, low, next_low) >= 0.0 {
            if apex == low || turns_left(apex, high, next_low) <= 0.0 {
                (low, low_at) = (next_low, at);
            } else {
                corner = Some((high, high_at));
            }
        }
        if corner.is_none() && turns_left(apex, high, next_high) <= 0.0 {
            if apex == high || turns_left(apex, low, next_high) >= 0.0 {
                (high, high_at) = (next_high, at);
            } else {
                corner = Some((low, low_at));
            }
        }
        match corner {
            Some((point, place)) => {
                corners.push(point);
                (apex, low, high) = (point, point, point);
                (low_at, high_at) = (place, place);
                at = place + 1;
            }
            None => at += 1,
        }
    }
    corners.push(goal);
    corners
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The shortest line by trying 200 heights at every gate, which can only be longer.
    fn by_trying(gates: &[Gate]) -> f64 {
        const STEPS: usize = 200;
        let heights = |gate: &Gate| -> Vec<f64> {
            (0..=STEPS)
                .map(|i| gate.low + (gate.high - gate.low) * i as f64 / STEPS as f64)
                .collect()
        };
        let middle = |gate: &Gate| (gate.low + gate.high) / 2.0;
        let mut before = vec![(middle(&gates[0]), 0.0)];
        for pair in gates.windows(2) {
            let across = pair[1].along - pair[0].along;
            before = heights(&pair[1])
                .into_iter()
                .map(|height| {
                    let to = |&(from, length): &(f64, f64)| {
                        length + (across * across + (from - height) * (from - height)).sqrt()
                    };
                    (height, before.iter().map(to).fold(f64::INFINITY, f64::min))
                })
                .collect();
        }
        let goal = middle(&gates[gates.len() - 1]);
        before
            .iter()
            .map(|(height, length)| length + (height - goal).abs())
            .fold(f64::INFINITY, f64::min)
    }

    proptest! {
        #![proptest_config(ProptestConfig {
            failure_persistence: None,
            ..ProptestConfig::with_cases(200)
        })]

        #[test]
        fn the_pulled_string_is_the_shortest(
            steps in prop::collection::vec((0..3u8, -2.0..2.0f64, 0.01..0.8f64), 2..12),
        ) {
            let mut along = 0.0;
            let gates: Vec<Gate> = steps
                .into_iter()
                .map(|(step, low, width)| {
                    along += f64::from(step) * 0.7;
                    Gate { along, low, high: low + width }
                })
                .collect();
            let tried = by_trying(&gates);
            let pulled = taut(&gates);
            prop_assert!(pulled <= tried + 1e-4, "{pulled} {tried}");
            prop_assert!(pulled >= tried - 0.02 * gates.len() as f64 * 0.4, "{pulled} {tried}");
            // Up to each gate it grows, and the last has it all, if it lies further along than the
            // one before: on an upright line the end is no one's.
            let mut gates = gates;
            gates.push(Gate { along: along + 0.7, ..gates[gates.len() - 1] });
            let pulled = taut(&gates);
            let ends: Vec<usize> = (0..gates.len()).collect();
            let lengths = taut_to(&gates, &ends);
            prop_assert!(lengths.is_sorted(), "{lengths:?}");
            prop_assert!((lengths[ends.len() - 1] - pulled).abs() < 1e-3, "{lengths:?} {pulled}");
            for (pair, length) in gates.windows(2).zip(lengths.windows(2)) {
                let across = pair[1].along - pair[0].along;
                prop_assert!(length[1] - length[0] >= across - 1e-4, "{lengths:?}");
            }
        }
    }
}
