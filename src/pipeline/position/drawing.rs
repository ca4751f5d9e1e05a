//! Where a drawing of flat colours is best placed: where its beads, as they are mended, miss least
//! of it.

use super::super::drawing::{bead_in_cells, flat_art, labelled, plain};
use super::range::Range;
use super::{MIDDLE, MOST, STEPS, plan_for, trial_lattice};
use crate::artwork::{Artwork, Coverage, Symmetry, Tables, Widths};
use crate::error::Result;
use crate::lattice::Lattice;
use crate::picture::{Arrangement, Picture, Placement, Plan, Position, Rotation, plan};
use crate::pipeline::Options;
use crate::quantize::flat::least_faults;
use crate::quantize::groups::Groups;
use rayon::prelude::*;

/// Positions that the nearer search starts from.
const KEPT: usize = 6;
/// Positions that are measured before the next are compared with the best.
const AT_ONCE: usize = 8;

/// The best placement of a drawing whose frame is known; the middle if the motif is large.
///
/// What the beads miss, over the beads of the motif and over its size: a motif is made a tenth
/// smaller only for a tenth fewer faults.
pub(super) fn best(
    picture: &Picture,
    artwork: &Artwork,
    options: &Options,
    framed: Arrangement,
) -> Result<Placement> {
    let art = flat_art(artwork)?;
    let framed = Arrangement {
        position: Position::At(MIDDLE),
        ..framed
    };
    let middle = plan_for(picture, options, &framed)?;
    let lattice = trial_lattice(&options.lattice, &middle.area)?;
    if lattice.len() > MOST {
        return Ok(MIDDLE);
    }
    let Symmetry { sides, ends } = artwork.symmetry;
    let turned = middle.rotated % 180 == 90;
    let same = if turned { [ends, sides] } else { [sides, ends] };
    let range = Range::new(options, &middle, same);
    let search = Search {
        picture,
        widths: Tables::of_widths(art, bead_in_cells(art, &middle, &options.lattice)),
        lattice,
        held: Arrangement {
            rotation: Rotation::Quarters(middle.rotated / 90),
            ..framed
        },
        drawn: f64::from(art.drawn() as u32),
        options,
    };
    search.best(&range)
}

/// A position to be measured.
struct Place {
    placement: Placement,
    plan: Plan,
    /// What each label covers of each bead there.
    drawn: Coverage,
}

struct Search<'a> {
    picture: &'a Picture,
    widths: Widths,
    lattice: Lattice,
    held: Arrangement,
    /// Cells of the drawing that are not ground.
    drawn: f64,
    options: &'a Options,
}

impl Search<'_> {
    fn best(&self, range: &Range) -> Result<Placement> {
        let first = [range.coarse(), range.at_the_edges()].concat();
        let found = self.measured(first, KEPT, f64::INFINITY)?;
        let mut all = found.clone();
        for candidate in found {
            let mut best = candidate;
            for step in STEPS {
                let beside = range.steps_from(&best.1, step);
                let nearer = self.measured(beside, 1, best.0)?;
                best = nearer.first().copied().unwrap_or(best);
            }
            all.push(best);
        }
        all.sort_by(|one, other| one.0.total_cmp(&other.0));
        Ok(all.first().map_or(MIDDLE, |candidate| candidate.1))
    }

    /// The `count` best positions with their faults, which are less than `below`, the best first;
    /// of equals the one that came first.
    ///
    /// Positions that miss most in any labels come last, and are not measured once as many are
    /// known that are better than they can be.
    fn measured(
        &self,
        placements: Vec<Placement>,
        count: usize,
        below: f64,
    ) -> Result<Vec<(f64, Placement)>> {
        let mut open: Vec<(f64, usize, Place)> = placements
            .into_par_iter()
            .enumerate()
            .map(|(at, placement)| {
                let place = self.place(placement)?;
                Ok((self.least(&place), at, place))
            })
            .collect::<Result<_>>()?;
        open.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
        let mut best: Vec<(f64, usize, Placement)> = Vec::new();
        for some in open.chunks(AT_ONCE) {
            let most = best.get(count - 1).map_or(below, |worst| worst.0);
            let measured = some
                .par_iter()
                .filter(|(least, ..)| *least <= most)
                .map(|(_, at, place)| Ok((self.measure(place)?, *at, place.placement)))
                .collect::<Result<Vec<_>>>()?;
            best.extend(measured.into_iter().filter(|own| own.0 < below));
            best.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
            best.truncate(count);
        }
        Ok(best
            .into_iter()
            .map(|(faults, _, placement)| (faults, placement))
            .collect())
    }

    fn place(&self, placement: Placement) -> Result<Place> {
        self.options.choice.cancel.check()?;
        let held = Arrangement {
            position: Position::At(placement),
            ..self.held
        };
        let picture = self.picture;
        let plan = plan(picture.upright(), picture.orientation, &self.lattice, &held)?;
        let drawn = plain(&self.widths).coverage(&plan, &self.lattice);
        Ok(Place {
            placement,
            plan,
            drawn,
        })
    }

    /// Least faults that any labels have there.
    fn least(&self, place: &Place) -> f64 {
        self.price(&place.placement, least_faults(&place.drawn))
    }

    fn measure(&self, place: &Place) -> Result<f64> {
        self.options.choice.cancel.check()?;
        let mirror = self.options.mirror;
        let axes = mirror.axes(&self.lattice, place.placement.along);
        let labelled = labelled(
            &self.widths,
            &place.plan,
            &place.drawn,
            &self.lattice,
            &Groups::new(&self.lattice, &axes, None),
        );
        Ok(self.price(&place.placement, labelled.faults))
    }

    fn price(&self, placement: &Placement, faults: f32) -> f64 {
        let beads = self.drawn * placement.scale * placement.scale;
        f64::from(faults) / (beads * placement.scale)
    }
}
