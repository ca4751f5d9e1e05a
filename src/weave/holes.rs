//! How full the holes get, and which needle still goes through.
//!
//! The model: threads are round, hard and of one thickness, and the needle lies against the wall of
//! the hole. The threads beside it lie in rings along the wall, each ring one thread further in; an
//! arc of a ring that the needle leaves free holds as many threads as stand on it side by side. The
//! doubled thread in the needle's eye is not counted. Real threads give a little, and packings of
//! no pattern hold one or two threads more where many are thin: the model is on the safe side. A
//! needle is never to be forced: where the model says no, a finer needle or a finer thread is the
//! remedy.

use super::joins::join_passes;
use super::passes::Weave;
use super::thread::Thread;
use crate::bead::Bead;
use crate::lattice::Lattice;
use crate::units::Mm;
use std::f64::consts::PI;

/// A beading needle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Needle {
    /// As it is sold: a higher number is a thinner needle.
    pub name: &'static str,
    /// Across the shaft.
    pub diameter: Mm,
}

/// Needles, the thickest first. 10 from a craft reference; 11 to 15 common practice, no source, and
/// of 15, said to be 0.25 to 0.30 mm, the larger.
pub const NEEDLES: [Needle; 5] = [
    needle("10", 0.46),
    needle("11", 0.41),
    needle("12", 0.36),
    needle("13", 0.33),
    needle("15", 0.30),
];

/// Below this bore the thickest usual needle is 12, not 10: retailers and a craft reference advise
/// 10 to 12 for 11/0 (hole 0.8 mm) and 12 to 15 for 15/0 (0.65 mm). The bore between them is ours.
pub(super) const FINE_HOLE: Mm = Mm::new(0.7);

const fn needle(name: &'static str, diameter: f64) -> Needle {
    Needle {
        name,
        diameter: Mm::new(diameter),
    }
}

/// Passes through each bead, in lattice order: seam and ends included, and both ends of the threads
/// that are joined after these places in [`Weave::rows`].
pub fn holes(lattice: &Lattice, weave: &Weave, joins: &[usize]) -> Vec<u16> {
    let joins = joins
        .iter()
        .filter_map(|&after| join_passes(lattice, weave.frame, after))
        .flat_map(|join| [join.old_end, join.new_start])
        .flatten();
    let woven = [
        &weave.passes,
        &weave.seam,
        &weave.thread_end,
        &weave.tail_end,
    ];
    let mut passes = vec![0; lattice.len()];
    for pass in woven.into_iter().flatten().copied().chain(joins) {
        passes[pass.bead] += 1;
    }
    passes
}

/// Share of the hole's cross-section that so many passes fill: 0 is empty.
pub fn filled(bead: Bead, thread: Thread, passes: u16) -> f64 {
    let across = thread.diameter / bead.hole;
    f64::from(passes) * across * across
}

/// Allowance for rounding, so that an exact fit is not lost.
const ROUNDING: f64 = 1e-9;

/// How often `needle` goes through one bead before it would have to be forced: once in an empty
/// hole, and once more for each thread that has room beside it.
pub fn most_passes(needle: &Needle, bead: Bead, thread: Thread) -> u16 {
    let (hole, thread, needle) = (
        bead.hole.get(),
        thread.diameter.get(),
        needle.diameter.get(),
    );
    if needle > hole {
        return 0;
    }
    // Thinner than any thread: rings without number.
    if thread < hole / 1000.0 {
        return u16::MAX;
    }
    let aside = (hole - needle) / 2.0;
    let apart = (needle + thread) / 2.0;
    let mut radius = (hole - thread) / 2.0;
    let mut threads = 0;
    while radius >= 0.0 {
        threads += in_ring(radius, thread, aside, apart);
        radius -= thread;
    }
    // The cast saturates.
    1u16.saturating_add(threads as u16)
}

/// Threads in a ring of this radius, beside a needle that lies `aside` of the middle of the hole
/// and whose middle has to be `apart` from theirs.
fn in_ring(radius: f64, thread: f64, aside: f64, apart: f64) -> u32 {
    let far = radius + aside;
    if far < apart - ROUNDING {
        return 0;
    }
    if radius < thread / 2.0 {
        return 1;
    }
    // The angle between two threads side by side.
    let step = 2.0 * libm::asin(thread / (2.0 * radius));
    let whole = (2.0 * PI / step + ROUNDING) as u32;
    if radius - aside >= apart {
        return whole;
    }
    // Law of cosines, the angle from the side that is opposite to the needle.
    let cosine = (apart * apart - radius * radius - aside * aside) / (2.0 * radius * aside);
    let free = 2.0 * libm::acos(cosine.clamp(-1.0, 1.0));
    whole.min((free / step + ROUNDING) as u32 + 1)
}

/// Whether `needle` goes through on the last of `passes`, when all the others lie in the hole.
pub fn goes_through(needle: &Needle, bead: Bead, thread: Thread, passes: u16) -> bool {
    passes <= most_passes(needle, bead, thread)
}

/// The thickest usual needle that goes through the fullest hole, which takes `most` passes; none if
/// every needle would have to be forced.
pub fn needle_for(bead: Bead, thread: Thread, most: u16) -> Option<&'static Needle> {
    let usual = if bead.hole < FINE_HOLE {
        &NEEDLES[2..]
    } else {
        &NEEDLES[..]
    };
    usual
        .iter()
        .find(|needle| goes_through(needle, bead, thread, most))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn thread(mm: f64) -> Thread {
        Thread {
            diameter: Mm::new(mm),
        }
    }

    fn with_hole(mm: f64) -> Bead {
        Bead {
            hole: Mm::new(mm),
            ..Bead::default()
        }
    }

    /// 11/0: (0.15 / 0.8)^2 = 0.035156 a pass; six fill 0.2109.
    #[test]
    fn six_passes_fill_a_fifth_of_the_hole() {
        assert!((filled(Bead::default(), Thread::default(), 6) - 0.210_937_5).abs() < 1e-12);
        assert_eq!(filled(Bead::default(), Thread::default(), 0), 0.0);
    }

    /// 11/0 with 0.2 mm and needle 10: the ring has a radius of 0.3 and the needle lies 0.17 aside.
    /// Threads have to be 0.33 from it: cos = (0.1089 - 0.09 - 0.0289)/0.102 = -0.098, so 95.6
    /// degrees to either side are free; side by side they stand 2 asin(0.1/0.3) = 38.9 degrees
    /// apart, 191.3/38.9 = 4.9: five threads, and the sixth pass.
    #[test]
    fn a_ring_beside_the_needle_is_worked_by_hand() {
        assert_eq!(most_passes(&NEEDLES[0], Bead::default(), thread(0.2)), 6);
    }

    /// Rigid circles, and a published rule of thumb for nylon D of about 0.3 mm in round beads: at
    /// most three or four passes.
    #[test]
    fn a_thick_thread_goes_through_three_or_four_times() {
        let most = |at: usize| most_passes(&NEEDLES[at], Bead::default(), thread(0.3));
        assert_eq!((most(0), most(2)), (3, 4));
    }

    #[test]
    fn a_finer_needle_gives_some_more_passes() {
        let most = |at: usize| most_passes(&NEEDLES[at], Bead::default(), Thread::default());
        assert_eq!((most(0), most(1), most(2), most(4)), (13, 15, 15, 18));
        assert!(goes_through(
            &NEEDLES[0],
            Bead::default(),
            Thread::default(),
            13
        ));
        assert!(!goes_through(
            &NEEDLES[0],
            Bead::default(),
            Thread::default(),
            14
        ));
        let name = |passes| {
            needle_for(Bead::default(), Thread::default(), passes).map(|needle| needle.name)
        };
        assert_eq!(
            [6, 13, 14, 18, 19].map(name),
            [Some("10"), Some("10"), Some("11"), Some("15"), None]
        );
    }

    /// 15/0, hole 0.65 with 0.20 mm.
    #[test]
    fn fine_holes_begin_at_needle_12() {
        let fine = with_hole(0.65);
        let name = |passes| needle_for(fine, thread(0.2), passes).map(|needle| needle.name);
        assert_eq!([1, 5, 6].map(name), [Some("12"), Some("12"), None]);
    }

    /// A hole of 0.5 mm: needle 10 (0.46) goes through once, but not beside a thread of 0.15 (0.61
    /// is more than 0.5). In 0.25 mm none goes through at all.
    #[test]
    fn a_needle_needs_its_own_diameter_and_a_thread_beside_it() {
        let most = |at: usize, hole| most_passes(&NEEDLES[at], with_hole(hole), Thread::default());
        assert_eq!((most(0, 0.5), most(0, 0.25)), (1, 0));
        assert_eq!(needle_for(with_hole(0.25), Thread::default(), 1), None);
    }

    #[test]
    fn a_thread_of_nothing_leaves_room_for_ever() {
        assert_eq!(
            most_passes(&NEEDLES[0], Bead::default(), thread(0.0)),
            u16::MAX
        );
    }

    #[test]
    fn a_higher_number_is_a_thinner_needle() {
        assert!(NEEDLES.is_sorted_by(|a, b| a.diameter > b.diameter));
    }
}
