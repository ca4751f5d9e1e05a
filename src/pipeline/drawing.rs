//! A drawing of few flat colours on the band: labels for the beads, and a bead for each colour.

use super::Options;
use super::ground;
use crate::artwork::{Artwork, Coverage, FlatArt, GROUND, Ground, Tables, Widths};
use crate::colour::Light;
use crate::error::{Error, Result};
use crate::lattice::{Lattice, Rows};
use crate::palette::Tone;
use crate::picture::{Arrangement, Picture, Plan, Position, plan};
use crate::quantize::Settings;
use crate::quantize::flat::{Choice, Shares, Wanted, assign, faults, match_beads, repair, settle};
use crate::quantize::groups::Groups;
use crate::sample::Sample;
use crate::warning::Warning;
use std::borrow::Cow;

/// Columns more than the band has on which a drawing is tried that is too fine for it.
const WIDER: [u32; 7] = [2, 4, 6, 8, 12, 18, 26];

/// The colours of a drawing's beads.
pub(super) struct Drawn {
    /// A colour of the palette for each bead.
    pub(super) chosen: Vec<usize>,
    /// The ground's, where it shows.
    pub(super) ground: Option<usize>,
    /// Parts for which the beads are too coarse.
    pub(super) too_fine: Option<Warning>,
}

/// The labels of a drawing's beads.
pub(super) struct Labels {
    /// The ground, or a colour of the drawing, for each bead.
    pub(super) labels: Vec<u8>,
    /// Parts for which the beads are too coarse.
    pub(super) failed: usize,
}

/// What a drawing is made from.
pub(super) struct Drawing<'a> {
    pub(super) picture: &'a Picture,
    pub(super) plan: &'a Plan,
    pub(super) samples: &'a [Sample],
    pub(super) groups: &'a Groups,
    pub(super) tones: &'a [Tone],
    pub(super) options: &'a Options,
    pub(super) settings: &'a Settings,
}

impl Drawing<'_> {
    /// A colour of the palette for each bead.
    pub(super) fn draw(&self, artwork: &Artwork) -> Result<Drawn> {
        let lattice = &self.options.lattice;
        let art = self.limited(flat_art(artwork)?, &artwork.ground)?;
        let Labels { labels, failed } = self.labels(&art);
        let matched = self.matched(&art, &artwork.ground, &labels)?;
        let shows = labels.contains(&GROUND);
        Ok(Drawn {
            chosen: labels
                .iter()
                .map(|&label| matched[usize::from(label)])
                .collect(),
            ground: shows.then_some(matched[usize::from(GROUND)]),
            too_fine: (failed > 0).then(|| Warning::TooFine {
                parts: failed,
                columns: lattice.columns(),
                whole_from: self.whole_from(&art),
            }),
        })
    }

    /// A label for each bead: the ground, or a colour of the drawing.
    pub(super) fn labels(&self, art: &FlatArt) -> Labels {
        let lattice = &self.options.lattice;
        let Labelled {
            mut labels,
            coverage,
            failed,
            ..
        } = {
            let widths = widths(art, self.plan, lattice, self.options.arrangement.position);
            let drawn = plain(&widths).coverage(self.plan, lattice);
            labelled(&widths, self.plan, &drawn, lattice, self.groups)
        };
        let calm = self.settings.refine.as_ref().map_or(0.0, |goal| goal.calm);
        settle(&mut labels, &coverage, lattice, self.groups, calm);
        Labels { labels, failed }
    }

    /// The fewest columns, of some, on which all parts of the drawing are whole.
    fn whole_from(&self, art: &FlatArt) -> Option<u32> {
        let options = self.options;
        let lattice = &options.lattice;
        WIDER.into_iter().find_map(|more| {
            let columns = lattice.columns() + more;
            let rows = lattice.rows() * columns / lattice.columns() / 2 * 2;
            let rows = if lattice.is_closed() {
                Rows::closed(rows)
            } else {
                Rows::open(rows)
            };
            let wider = Lattice::new(lattice.bead(), columns, rows.ok()?).ok()?;
            let held = Arrangement {
                position: Position::Middle,
                ..options.arrangement
            };
            let picture = self.picture;
            let plan = plan(picture.upright(), picture.orientation, &wider, &held).ok()?;
            let groups = Groups::alone(wider.len());
            let widths = widths(art, &plan, &wider, held.position);
            let drawn = plain(&widths).coverage(&plan, &wider);
            (labelled(&widths, &plan, &drawn, &wider, &groups).failed == 0).then_some(columns)
        })
    }

    /// The drawing in no more colours than are asked for, the ground among them.
    fn limited<'art>(&self, art: &'art FlatArt, ground: &Ground) -> Result<Cow<'art, FlatArt>> {
        let grounds = usize::from(*ground != Ground::None);
        match self.settings.limit {
            Some(limit) if limit <= grounds => Err(Error::usage(
                "one colour is the ground's, and none is left for the drawing",
            )
            .option("colours")
            .hint("allow 2 colours or more")),
            Some(limit) if art.colours.len() + grounds > limit => {
                Ok(Cow::Owned(art.limited(limit - grounds)))
            }
            _ => Ok(Cow::Borrowed(art)),
        }
    }

    /// A colour of the palette for each label, the ground's first.
    fn matched(&self, art: &FlatArt, ground: &Ground, labels: &[u8]) -> Result<Vec<usize>> {
        let wanted = self.wanted(art, ground, labels);
        let bounds = self.settings.bounds.as_ref();
        let allowed = |at: usize, beads: u64| {
            !self.settings.without.contains(&at)
                && bounds.is_none_or(|bounds| bounds.most(at) >= beads)
        };
        let choice = Choice {
            tones: self.tones,
            allowed: &allowed,
        };
        match_beads(&wanted, &choice).ok_or_else(|| {
            Error::new("no colour of the palette has beads enough for an area of the drawing")
                .option("from_stock")
                .hint("make fewer bands, or leave out [--from-stock]")
        })
    }

    fn wanted(&self, art: &FlatArt, ground: &Ground, labels: &[u8]) -> Vec<Wanted> {
        let beside = beside(labels, &self.options.lattice, art.colours.len() + 1);
        let count = |label: usize| {
            labels
                .iter()
                .filter(|&&own| usize::from(own) == label)
                .count()
        };
        let (light, fixed) = self.ground_wanted(ground);
        let ground = Wanted {
            light,
            fixed,
            beads: count(0) as u64,
            beside: beside[0].clone(),
        };
        let colours = art.colours.iter().enumerate().map(|(at, &light)| Wanted {
            light: Some(light),
            fixed: None,
            beads: count(at + 1) as u64,
            beside: beside[at + 1].clone(),
        });
        std::iter::once(ground).chain(colours).collect()
    }

    /// The ground's light, none if it is free; and the colour that it must have, if one is given or
    /// the picture that reaches its edges has none.
    fn ground_wanted(&self, ground: &Ground) -> (Option<Light>, Option<usize>) {
        if self.options.ground.is_some() {
            return (None, self.options.ground);
        }
        match *ground {
            Ground::Plain(light) => (Some(light), None),
            Ground::Clear => (None, None),
            Ground::None => {
                let lattice = &self.options.lattice;
                let found =
                    ground::choose(self.samples, true, self.tones, None, lattice, self.settings);
                (None, Some(found))
            }
        }
    }
}

/// The drawing with its strokes in several widths: those of the largest size, also where it is made
/// smaller, so that they are as they were when its position was chosen.
fn widths(art: &FlatArt, plan: &Plan, lattice: &Lattice, position: Position) -> Widths {
    let scale = match position {
        Position::At(placement) => placement.scale,
        Position::Best | Position::Middle => 1.0,
    };
    Tables::of_widths(art, bead_in_cells(art, plan, lattice) * scale as f32)
}

/// A drawing's labels on the beads.
pub(super) struct Labelled {
    labels: Vec<u8>,
    coverage: Coverage,
    /// Parts for which the beads are too coarse.
    failed: usize,
    /// All that is wrong, in beads.
    pub(super) faults: f32,
}

/// The drawing with its strokes as they are.
pub(super) fn plain(widths: &Widths) -> &Tables {
    &widths[0]
}

/// The labels from strokes no wider than keeps every part whole, or that have least faults. `drawn`
/// is the coverage of the drawing as it is.
pub(super) fn labelled(
    widths: &Widths,
    plan: &Plan,
    drawn: &Coverage,
    lattice: &Lattice,
    groups: &Groups,
) -> Labelled {
    let of = |tables: &Tables, coverage: Coverage| {
        let shares = Shares {
            drawn,
            coverage: &coverage,
        };
        let mut labels = assign(&coverage, groups);
        let failed = repair(
            &mut labels,
            &shares,
            &tables.parts(plan, lattice),
            lattice,
            groups,
        );
        Labelled {
            faults: faults(drawn, &labels, lattice, failed),
            labels,
            coverage,
            failed,
        }
    };
    let [plain, wider @ ..] = widths;
    let mut best = of(plain, drawn.clone());
    for tables in wider {
        if best.failed == 0 {
            break;
        }
        let next = of(tables, tables.coverage(plan, lattice));
        if next.faults < best.faults {
            best = next;
        }
    }
    best
}

/// The flat colours of a picture that is to be made from them.
pub(super) fn flat_art(artwork: &Artwork) -> Result<&FlatArt> {
    artwork.flat.as_ref().ok_or_else(|| {
        Error::usage("the picture is not drawn in a few flat colours")
            .option("match")
            .hint("leave out [--match flat]")
    })
}

/// Cells of the drawing that make a bead's side on the band: the mean of its two sides.
pub(super) fn bead_in_cells(art: &FlatArt, plan: &Plan, lattice: &Lattice) -> f32 {
    let Some(tile) = plan.tiles.first() else {
        return 1.0;
    };
    let bead = lattice.bead();
    let cells = |line: &crate::picture::Line, axis: usize| {
        let side = if line.along_y {
            bead.diameter
        } else {
            bead.length
        };
        (line.scale * side.get()).abs() / art.pixel[axis]
    };
    (cells(&tile.upright.x, 0) * cells(&tile.upright.y, 1)).sqrt() as f32
}

/// The labels that meet each label on the band.
pub(super) fn beside(labels: &[u8], lattice: &Lattice, count: usize) -> Vec<Vec<usize>> {
    let mut meet = vec![vec![false; count]; count];
    for (bead, &label) in labels.iter().enumerate() {
        for near in lattice.neighbours(bead) {
            meet[usize::from(label)][usize::from(labels[near.index])] = true;
        }
    }
    let others = |own: usize| {
        (0..count)
            .filter(|&at| at != own && meet[own][at])
            .collect()
    };
    (0..count).map(others).collect()
}
