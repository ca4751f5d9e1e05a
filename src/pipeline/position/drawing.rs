//! Where a drawing of flat colours is best placed: where its beads, as they are mended, miss least
//! of it.

use super::super::drawing::{bead_in_cells, flat_art, labelled};
use super::range::Range;
use super::{MIDDLE, MOST, STEPS, plan_for, trial_lattice};
use crate::artwork::{Artwork, Symmetry, Tables, Widths};
use crate::error::Result;
use crate::lattice::Lattice;
use crate::picture::{Arrangement, Picture, Placement, Position, Rotation, plan};
use crate::pipeline::Options;
use crate::quantize::groups::Groups;
use rayon::prelude::*;

/// Positions that the nearer search starts from.
const KEPT: usize = 6;

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
        groups: Groups::new(&lattice, &options.mirror, None),
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

struct Search<'a> {
    picture: &'a Picture,
    widths: Widths,
    groups: Groups,
    lattice: Lattice,
    held: Arrangement,
    /// Cells of the drawing that are not ground.
    drawn: f64,
    options: &'a Options,
}

impl Search<'_> {
    fn best(&self, range: &Range) -> Result<Placement> {
        let mut found = self.measured([range.coarse(), range.at_the_edges()].concat())?;
        found.truncate(KEPT);
        let mut all = found.clone();
        for candidate in found {
            let mut best = candidate;
            for step in STEPS {
                let beside = range.steps_from(&best.1, step);
                if let Some(&first) = self.measured(beside)?.first()
                    && first.0 < best.0
                {
                    best = first;
                }
            }
            all.push(best);
        }
        all.sort_by(|one, other| one.0.total_cmp(&other.0));
        Ok(all.first().map_or(MIDDLE, |candidate| candidate.1))
    }

    /// Positions with their faults, the best first; of equals the one that came first.
    fn measured(&self, placements: Vec<Placement>) -> Result<Vec<(f64, Placement)>> {
        let mut found: Vec<(f64, Placement)> = placements
            .into_par_iter()
            .map(|placement| Ok((self.measure(&placement)?, placement)))
            .collect::<Result<_>>()?;
        found.sort_by(|one, other| one.0.total_cmp(&other.0));
        Ok(found)
    }

    fn measure(&self, placement: &Placement) -> Result<f64> {
        self.options.choice.cancel.check()?;
        let held = Arrangement {
            position: Position::At(*placement),
            ..self.held
        };
        let picture = self.picture;
        let plan = plan(picture.upright(), picture.orientation, &self.lattice, &held)?;
        let labelled = labelled(&self.widths, &plan, &self.lattice, &self.groups);
        let faults = f64::from(labelled.faults);
        let beads = self.drawn * placement.scale * placement.scale;
        Ok(faults / (beads * placement.scale))
    }
}
