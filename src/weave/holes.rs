//! How full the holes get, and which needle still goes through.
//!
//! The model: threads of one thickness lie in the hole and fill what the needle leaves to about
//! three quarters ([`PACKED`]); the needle needs its own diameter and, where a thread lies in the
//! hole already, that thread's beside it. Threads are taken as round and hard, and the doubled
//! thread in the needle's eye is not counted. A needle is never to be forced: where the model says
//! no, a finer needle or a finer thread is the remedy.

use super::passes::Weave;
use super::thread::Thread;
use crate::bead::Bead;
use crate::lattice::Lattice;
use crate::units::Mm;

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

/// Share of a space that threads fill: the densest equal circles in a circle fill 2/3 of it (six;
/// R. L. Graham, 1968), 7/9 (seven; one with six round it) and 0.803 (nineteen, in a circle of
/// 1 + sqrt(2) + sqrt(6) radii; F. Fodor, 1999).
pub const PACKED: f64 = 0.75;

/// Below this bore the thickest usual needle is 12, not 10: retailers and a craft reference advise
/// 10 to 12 for 11/0 (hole 0.8 mm) and 12 to 15 for 15/0 (0.65 mm). The bore between them is ours.
pub(super) const FINE_HOLE: Mm = Mm::new(0.7);

const fn needle(name: &'static str, diameter: f64) -> Needle {
    Needle {
        name,
        diameter: Mm::new(diameter),
    }
}

/// Passes through each bead, seam and ends included, in lattice order.
pub fn holes(lattice: &Lattice, weave: &Weave) -> Vec<u16> {
    let mut passes = vec![0; lattice.len()];
    for part in [
        &weave.passes,
        &weave.seam,
        &weave.thread_end,
        &weave.tail_end,
    ] {
        for pass in part {
            passes[pass.bead] += 1;
        }
    }
    passes
}

/// Share of the hole's cross-section that so many passes fill: 0 is empty, and above [`PACKED`]
/// there is no room.
pub fn filled(bead: Bead, thread: Thread, passes: u16) -> f64 {
    let across = thread.diameter / bead.hole;
    f64::from(passes) * across * across
}

/// How often `needle` goes through one bead before it would have to be forced.
pub fn most_passes(needle: &Needle, bead: Bead, thread: Thread) -> u16 {
    let (hole, thread, needle) = (
        bead.hole.get(),
        thread.diameter.get(),
        needle.diameter.get(),
    );
    if needle > hole {
        return 0;
    }
    if needle + thread > hole {
        return 1;
    }
    // With T threads in the hole: T t^2 / PACKED + d^2 <= h^2, pi/4 left out. A little is added so
    // that an exact fit is not lost to rounding.
    let threads = PACKED * (hole * hole - needle * needle) / (thread * thread);
    // The cast saturates.
    1u16.saturating_add((threads + 1e-9) as u16)
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

    /// Needle 10 in 11/0 with 0.15 mm: 0.75 (0.64 - 0.2116) / 0.0225 = 14.28, so 14 threads and the
    /// 15th pass. Needle 12: 0.75 (0.64 - 0.1296) / 0.0225 = 17.01, so the 18th pass. Needle 15:
    /// 0.75 (0.64 - 0.09) / 0.0225 = 18.33, so the 19th.
    #[test]
    fn a_finer_needle_gives_some_more_passes() {
        let most = |at: usize| most_passes(&NEEDLES[at], Bead::default(), Thread::default());
        assert_eq!((most(0), most(2), most(4)), (15, 18, 19));
        assert!(goes_through(
            &NEEDLES[0],
            Bead::default(),
            Thread::default(),
            15
        ));
        assert!(!goes_through(
            &NEEDLES[0],
            Bead::default(),
            Thread::default(),
            16
        ));
        let name = |passes| {
            needle_for(Bead::default(), Thread::default(), passes).map(|needle| needle.name)
        };
        assert_eq!(
            [6, 15, 16, 18, 19, 20].map(name),
            [
                Some("10"),
                Some("10"),
                Some("11"),
                Some("12"),
                Some("15"),
                None
            ]
        );
    }

    /// 15/0, hole 0.65 with 0.20 mm: needle 12 takes 0.75 (0.4225 - 0.1296) / 0.04 = 5.49 threads,
    /// so six passes; 13 takes 0.75 (0.4225 - 0.1089) / 0.04 = 5.88, six too; 15 takes 0.75 (0.4225
    /// - 0.09) / 0.04 = 6.23, so seven.
    #[test]
    fn fine_holes_begin_at_needle_12() {
        let fine = with_hole(0.65);
        let name = |passes| needle_for(fine, thread(0.2), passes).map(|needle| needle.name);
        assert_eq!(
            [1, 6, 7, 8].map(name),
            [Some("12"), Some("12"), Some("15"), None]
        );
    }

    /// A hole of 0.5 mm: needle 10 (0.46) goes through once, but not beside a thread of 0.15 (0.61
    /// is more than 0.5), though the areas would allow it: 0.75 (0.25 - 0.2116) / 0.0225 = 1.28. In
    /// 0.25 mm none goes through at all.
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
