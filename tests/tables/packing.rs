//! Threads beside a needle in a hole, against an independent packing of circles.

use crate::common::{number, table};
use upbead::bead::Bead;
use upbead::units::Mm;
use upbead::weave::{Needle, Thread, most_passes};

#[test]
fn threads_beside_a_needle_are_as_many_as_circles_that_fit() {
    for row in table("packing.csv") {
        let mm = |name: &str| Mm::new(number(&row, name));
        let bead = Bead {
            hole: mm("hole_mm"),
            ..Bead::default()
        };
        let needle = Needle {
            name: "",
            diameter: mm("needle_mm"),
        };
        let thread = Thread {
            diameter: mm("thread_mm"),
        };
        // The last pass is the needle's own.
        let held = i32::from(most_passes(&needle, bead, thread)) - 1;
        let circles = number(&row, "threads") as i32;
        assert!(held <= circles + 1, "{held} of {circles} in {row:?}");
        let fewer = if circles <= 6 { 1 } else { circles / 4 };
        assert!(held >= circles - fewer, "{held} of {circles} in {row:?}");
    }
}
