//! Pieces of thread: how many a band takes, and after which rows a new one begins. One rule for
//! kit, guide and check.

use crate::units::Mm;

/// Where new threads are begun.
#[derive(Debug, Clone, PartialEq)]
pub struct Joins {
    /// How many.
    pub count: u32,
    /// The places in [`Weave::rows`](super::Weave::rows) after which they begin; none if a row
    /// alone takes more than a thread.
    pub after: Vec<usize>,
    /// The longest of the pieces, to be cut with its tail.
    pub piece: Mm,
    /// Extra thread that all of them take.
    pub extra: Mm,
}

/// The joins of a band: `ends` is the thread sewn up to the end of each row, the seam with the last
/// one. A piece is at most `longest`, of which `spent` is not sewn: its tail, its working allowance
/// and its woven-in end.
///
/// Pieces are as few as can be, and then about equal.
pub(super) fn joins(ends: &[f64], spent: Mm, longest: Mm) -> Joins {
    let most = (longest - spent).get();
    let (after, count, piece) = match even(ends, most) {
        Some((after, sewn)) => {
            let count = after.len();
            (after, count, spent + Mm::new(sewn))
        }
        None => {
            let sewn = ends.last().copied().unwrap_or(0.0);
            let pieces = (sewn / most).ceil().max(2.0);
            (Vec::new(), pieces as usize - 1, longest)
        }
    };
    Joins {
        count: count as u32,
        after,
        piece,
        extra: spent * count as f64,
    }
}

/// The places in `ends` after which a piece ends, as few as pieces of `most` allow and then about
/// equal, and the longest piece.
///
/// None if a row alone is longer than `most`.
pub(super) fn even(ends: &[f64], most: f64) -> Option<(Vec<usize>, f64)> {
    let row = |at: usize| ends[at] - if at > 0 { ends[at - 1] } else { 0.0 };
    let longest_row = (0..ends.len()).map(row).fold(0.0, f64::max);
    if longest_row > most {
        return None;
    }
    let (few, _) = greedy(ends, most);
    // Pieces of their mean and one row are enough for the same number: each sews its mean at least.
    let mean = ends.last().copied().unwrap_or(0.0) / (few.len() + 1) as f64;
    Some(greedy(ends, most.min(mean + longest_row)))
}

fn greedy(ends: &[f64], most: f64) -> (Vec<usize>, f64) {
    let (mut joins, mut start, mut longest) = (Vec::new(), 0.0, 0.0f64);
    for at in 1..ends.len() {
        if ends[at] - start > most + 1e-9 {
            longest = longest.max(ends[at - 1] - start);
            joins.push(at - 1);
            start = ends[at - 1];
        }
    }
    let last = ends.last().map_or(0.0, |end| end - start);
    (joins, longest.max(last))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_are_few_and_then_about_equal() {
        let ends: Vec<f64> = (1..=10).map(|at| f64::from(at) * 10.0).collect();
        // Two pieces of 60 and 40 would do; 60 is a mean of 50 and a row of 10 anyway.
        assert_eq!(even(&ends, 90.0), Some((vec![5], 60.0)));
        assert_eq!(even(&ends, 50.0), Some((vec![4], 50.0)));
        assert_eq!(even(&ends, 45.0), Some((vec![3, 7], 40.0)));
        // A row longer than any thread.
        assert_eq!(even(&[100.0, 200.0], 50.0), None);
    }
}
