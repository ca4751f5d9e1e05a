//! How much thread the work takes.
//!
//! The thread is taut: it takes the shortest path through the holes in the order of the passes.
//! Laid flat, a pass is a channel as long as the bead and as wide as the play that the thread has
//! in the hole (hole less thread); its two mouths are gates, upright lines in that width. What the
//! thread does between gates depends on how far they are apart along the hole, never on its
//! direction, so turns are unfolded: the whole path runs to the right, and the shortest line
//! through a row of gates is found by pulling the string, the funnel algorithm (D. T. Lee, F. P.
//! Preparata, "Euclidean shortest paths in the presence of rectilinear barriers", Networks 14(3),
//! 393-410, 1984, doi 10.1002/net.3230140304) for upright gates.

mod taut;

use super::passes::Weave;
use super::pieces::{Joins, joins};
use super::plan::Pass;
use crate::lattice::Lattice;
use crate::request::WorkFrom;
use crate::units::Mm;
use taut::{Gate, taut, taut_to};

/// A thread: what it measures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thread {
    /// Across.
    pub diameter: Mm,
}

impl Default for Thread {
    /// 0.15 mm: gel-spun polyethylene of 6 lb, the usual choice for 11/0 beadwork by retailers and
    /// a craft reference; they range from 0.13 to 0.20 mm.
    fn default() -> Self {
        Self {
            diameter: Mm::new(0.15),
        }
    }
}

/// Threads as they are sold, by the greatest thickness that still is one: gel-spun polyethylene by
/// weight and nylon by letter. From spool labels as remembered, not confirmed by a
/// published table.
const KINDS: [(f64, &str); 5] = [
    (0.135, "gel-spun, 4 lb"),
    (0.16, "gel-spun, 6 lb"),
    (0.21, "gel-spun, 8 lb"),
    (0.26, "nylon, size B"),
    (0.35, "nylon, size D"),
];

impl Thread {
    /// The kind of beading thread that is about as thick, such as `gel-spun, 6 lb`; none where
    /// beading threads are thinner.
    pub fn kind(self) -> Option<&'static str> {
        let found = KINDS.iter().find(|(most, _)| self.diameter.get() <= *most);
        found.map(|(_, kind)| *kind)
    }

    /// `0.15 mm (gel-spun, 6 lb)`.
    pub fn described(self) -> String {
        match self.kind() {
            Some(kind) => format!("{} ({kind})", self.diameter),
            None => self.diameter.to_string(),
        }
    }
}

/// One item of the thread's length, with its reason left to the faces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Item {
    /// Through the beads, gaps and turns included.
    Path,
    /// Closing the band, once across and once back.
    Seam,
    /// Weaving in the working thread.
    ThreadEnd,
    /// The tail at the stopper bead, which is woven in later.
    Tail,
    /// Tails, allowances and woven-in ends of the threads that are joined within the work.
    Joins,
    /// Working allowance: what has to be left to hold at the last stitches.
    Handling,
}

/// The thread's length, item by item.
#[derive(Debug, Clone, PartialEq)]
pub struct Lengths {
    /// Each item once, in the order of the work.
    pub items: Vec<(Item, Mm)>,
    /// Where new threads are begun, if one piece would be longer than [`ONE_PIECE`].
    pub joins: Option<Joins>,
    /// The thread.
    pub thread: Thread,
}

impl Lengths {
    /// All of it.
    pub fn total(&self) -> Mm {
        self.items
            .iter()
            .fold(Mm::new(0.0), |sum, (_, length)| sum + *length)
    }

    /// One item of it.
    pub fn item(&self, wanted: Item) -> Mm {
        let found = self.items.iter().find(|(item, _)| *item == wanted);
        found.map_or(Mm::new(0.0), |(_, length)| *length)
    }

    /// The places in [`Weave::rows`] after which new threads begin.
    pub fn joined_after(&self) -> &[usize] {
        self.joins.as_ref().map_or(&[], |joins| &joins.after)
    }

    /// What one piece would draw through bead after bead: all but the tail, which hangs at the
    /// stopper bead, and what joins would add. It is what tires the arm and wears the thread.
    pub fn drawn(&self) -> Mm {
        self.total() - self.item(Item::Tail) - self.item(Item::Joins)
    }
}

/// Longest thread that is comfortable to draw: 1.5 yd. A craft reference.
pub const COMFORTABLE: Mm = Mm::new(1400.0);
/// Longest thread that is still woven in one piece, since a join takes thread and time too. `common
/// practice, no source`.
pub const ONE_PIECE: Mm = Mm::new(2000.0);

/// Tail left at the stopper bead. `common practice, no source`.
pub const TAIL: Mm = Mm::new(100.0);
/// Working allowance: what has to be left to hold at the last stitches. `common practice, no
/// source`.
pub const HANDLING: Mm = Mm::new(150.0);

/// The thread that the work takes, with a tail of `tail`.
pub fn lengths(lattice: &Lattice, weave: &Weave, thread: Thread, tail: Mm) -> Lengths {
    let gates = |passes: &[&[Pass]]| -> Mm {
        let gates: Vec<Gate> = gates(
            lattice,
            weave,
            passes.iter().flat_map(|part| part.iter()),
            thread,
        );
        Mm::new(taut(&gates))
    };
    let path = gates(&[&weave.passes]);
    let closed = gates(&[&weave.passes, &weave.seam]);
    let woven = gates(&[&weave.passes, &weave.seam, &weave.thread_end]);
    // The tail is woven in from its own length; a longer path needs a longer tail.
    let way_in = gates(&[&weave.tail_end]) + Mm::new(40.0);
    let tail = if tail > way_in { tail } else { way_in };
    let mut lengths = Lengths {
        items: vec![
            (Item::Tail, tail),
            (Item::Path, path),
            (Item::Seam, closed - path),
            (Item::ThreadEnd, woven - closed),
            (Item::Handling, HANDLING),
        ],
        joins: None,
        thread,
    };
    if lengths.drawn() > ONE_PIECE {
        let mut ends: Vec<f64> = lengths_by_row(lattice, weave, thread)
            .into_iter()
            .map(Mm::get)
            .collect();
        // The seam is sewn with the last piece.
        if let Some(last) = ends.last_mut() {
            *last += lengths.item(Item::Seam).get();
        }
        let spent = TAIL + HANDLING + lengths.item(Item::ThreadEnd);
        let joins = joins(&ends, spent, COMFORTABLE);
        lengths.items.insert(4, (Item::Joins, joins.extra));
        lengths.joins = Some(joins);
    }
    lengths
}

/// The thread taken from the first bead strung to the end of each row of [`Weave::rows`], taut
/// along the whole path; the last is all of [`Item::Path`].
pub fn lengths_by_row(lattice: &Lattice, weave: &Weave, thread: Thread) -> Vec<Mm> {
    let gates = gates(lattice, weave, weave.passes.iter(), thread);
    let mut ends = Vec::with_capacity(weave.rows.len());
    let mut caught = 0;
    for row in &weave.rows {
        let passes = &weave.passes[row.passes.clone()];
        caught += passes.iter().filter(|pass| pass.caught).count();
        // Two gates a pass, and one for each bridge.
        ends.push((2 * row.passes.end + caught).saturating_sub(1));
    }
    let mut lengths = taut_to(&gates, &ends);
    // Between its last gate and the end of the line there is nothing but rounding.
    if let (Some(last), length) = (lengths.last_mut(), taut(&gates)) {
        *last = length;
    }
    lengths.into_iter().map(Mm::new).collect()
}

/// The two gates of each pass, and a point where a bridge is caught.
fn gates<'a>(
    lattice: &Lattice,
    weave: &Weave,
    passes: impl Iterator<Item = &'a Pass>,
    thread: Thread,
) -> Vec<Gate> {
    let bead = lattice.bead();
    let play = ((bead.hole - thread.diameter) / 2.0).get().max(0.0);
    let period = lattice.picture_height().get();
    let length = bead.length.get();
    let mut gates: Vec<Gate> = Vec::new();
    let mut along = 0.0;
    let mut height: Option<f64> = None;
    for pass in passes {
        let (row, column) = lattice.position(pass.bead);
        let mut y = lattice.centre(row, column).1.get();
        if let (Some(before), true) = (height, lattice.is_closed()) {
            // Round the seam the nearer way.
            y += ((before - y) / period).round() * period;
        }
        if pass.caught {
            // The bridge lies between the two edge beads below: one and a half diameters under the
            // new bead.
            let grows = match weave.frame.work_from() {
                WorkFrom::Bottom => 1.0,
                WorkFrom::Top => -1.0,
            };
            let below = y - 1.5 * bead.diameter.get() * grows;
            gates.push(Gate {
                along,
                low: below,
                high: below,
            });
        }
        height = Some(y);
        let mouth = |along| Gate {
            along,
            low: y - play,
            high: y + play,
        };
        gates.push(mouth(along));
        along += length;
        gates.push(mouth(along));
    }
    gates
}
