//! The options that the designer left open, from what the picture is.

use crate::artwork::{Artwork, Ground, Period};
use crate::error::Result;
use crate::lattice::Lattice;
use crate::picture::{Crop, Place, Rotation, Scaling};
use crate::request::{
    CalmRequest, ChartRequest, ColourRequest, Count, Matching, Mirror, PictureRequest, Shape,
    Simplify, given,
};
use crate::warning::Warning;
use std::sync::Arc;

/// How much larger a motif must become for it to be laid on its side.
const TURNED: f64 = 1.5;
/// How far a repeat may be stretched before its sides are cut instead.
const STRETCHED: f64 = 1.3;
/// How far the count of repeats may be from that in proportion.
const REPEATED: f64 = 1.45;
/// Share of the picture that may be cut off without choosing where.
const WHOLE: f64 = 0.97;
/// Share of the picture that a level horizon may cost.
const LEVEL: f64 = 0.7;
/// How far a picture is simplified that a search does not improve. Ours: of 16 charts of
/// photographs, looked at side by side, 11 of such areas were preferred to those of a search.
pub(super) const SIMPLER: f64 = 0.4;
/// Colours of continuous tone: more are hardly told apart at arm's length. Ours.
pub(super) const TONES: u32 = 12;

/// What a picture was read as, and what was chosen from that.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Reading {
    /// What it is.
    pub artwork: Arc<Artwork>,
    /// The options that were chosen; those that the designer gave are not among them.
    pub chosen: ChartRequest,
    /// Rows in place of those of the band, so that a pattern repeats evenly.
    pub rows: Option<u32>,
}

/// Whether the designer left anything open that the picture decides.
pub(super) fn is_wanted(request: &ChartRequest) -> bool {
    request.colours.matching != Some(Matching::Nearest)
}

/// Chooses what the request leaves open; `other_rows` are counts of rows that would do as well.
pub(super) fn read(
    artwork: &Arc<Artwork>,
    request: &ChartRequest,
    lattice: &Lattice,
    other_rows: &[u32],
) -> Reading {
    let reader = Reader {
        artwork,
        request,
        lattice,
        other_rows,
    };
    let (chosen, rows) = reader.chosen();
    Reading {
        artwork: Arc::clone(artwork),
        chosen,
        rows,
    }
}

impl Reading {
    /// The request with what was chosen.
    pub(super) fn complete(&self, request: &ChartRequest) -> ChartRequest {
        let chosen = &self.chosen;
        let mut complete = request.clone();
        complete.picture = request.picture.or(&chosen.picture);
        let colours = &mut complete.colours;
        colours.colours = colours.colours.or(chosen.colours.colours);
        colours.matching = colours.matching.or(chosen.colours.matching);
        colours.mirror = colours.mirror.or(chosen.colours.mirror);
        colours.refine |= chosen.colours.refine;
        complete.calm.simplify = complete.calm.simplify.or(chosen.calm.simplify);
        complete
    }

    /// Chooses plain areas in place of a search, where that is left open and beads are not counted;
    /// whether it was.
    pub(super) fn simplify(&mut self, request: &ChartRequest) -> bool {
        let is_open = self.chosen.colours.refine
            && !request.colours.from_stock
            && request.calm == CalmRequest::default();
        if is_open {
            self.chosen.colours.refine = false;
            self.chosen.calm.simplify = Simplify::new(SIMPLER).ok();
        }
        is_open
    }

    /// What there is to say of it.
    pub(super) fn warning(&self) -> Result<Warning> {
        let artwork = &self.artwork;
        let (ground, of_ground) = match artwork.ground {
            Ground::None => ("none", 0),
            Ground::Clear => ("clear", 0),
            Ground::Plain(_) => ("plain", 1),
        };
        let flat = artwork.flat.as_ref();
        Ok(Warning::ReadAs {
            ground,
            flat_colours: flat.map(|art| art.colours.len() + of_ground),
            same_sides: artwork.symmetry.sides,
            same_ends: artwork.symmetry.ends,
            repeats: artwork.period.as_ref().map(|period| period.count),
            kept: self.kept(),
            chosen: self.options()?,
        })
    }

    /// The share of the picture that is in the part chosen for a band that it covers.
    fn kept(&self) -> Option<f64> {
        let chosen = &self.chosen.picture;
        let covers = !matches!(chosen.place, Some(Place::Repeat(_)));
        let area = |crop: &Crop| f64::from(crop.width) * f64::from(crop.height);
        let cut = chosen.crop.as_ref().filter(|_| covers)?;
        Some(area(cut) / area(&self.artwork.part))
    }

    /// What there is to say of a ring that differs from the one `wanted`.
    pub(super) fn about_rows(&self, wanted: &Shape, taken: &Shape) -> Option<Warning> {
        let Some(Place::Repeat(repeats)) = self.chosen.picture.place else {
            return None;
        };
        let inside = |shape: &Shape| Some(shape.ring.as_ref()?.size.diameter());
        Some(Warning::RowsForRepeats {
            wanted: wanted.lattice.rows(),
            wanted_inside: inside(wanted)?,
            rows: taken.lattice.rows(),
            inside: inside(taken)?,
            repeats,
        })
    }

    /// The options that were chosen: name and value, empty for a switch.
    fn options(&self) -> Result<Vec<(String, String)>> {
        let chosen = &self.chosen;
        let groups = [
            given(&chosen.picture)?,
            given(&chosen.colours)?,
            given(&chosen.calm)?,
        ];
        let text = |value: serde_json::Value| match value {
            serde_json::Value::String(text) => text,
            serde_json::Value::Bool(_) => String::new(),
            other => other.to_string(),
        };
        let options = groups.into_iter().flatten();
        Ok(options
            .map(|(name, value)| (name.replace('_', "-"), text(value)))
            .collect())
    }
}

struct Reader<'a> {
    artwork: &'a Artwork,
    request: &'a ChartRequest,
    lattice: &'a Lattice,
    other_rows: &'a [u32],
}

impl Reader<'_> {
    fn chosen(&self) -> (ChartRequest, Option<u32>) {
        let (picture, rows) = self.placed();
        let turned = self.turned(&picture);
        let colours = self.coloured();
        let chosen = ChartRequest {
            picture,
            colours: ColourRequest {
                mirror: self.mirror(turned),
                ..colours
            },
            ..ChartRequest::default()
        };
        (chosen, rows)
    }

    /// Where the picture goes, and the rows for it where the band's will not do.
    fn placed(&self) -> (PictureRequest, Option<u32>) {
        let given = &self.request.picture;
        let mut chosen = PictureRequest::default();
        let mut rows = None;
        match (given.place, self.artwork.period.as_ref()) {
            (None, Some(period)) => rows = self.repeated(period, &mut chosen),
            (None | Some(Place::Motif), _) if self.artwork.ground != Ground::None => {
                chosen.place = given.place.is_none().then_some(Place::Motif);
                chosen.rotate = self.upright_or_lying().filter(|_| given.rotate.is_none());
            }
            (None | Some(Place::Round), _) => self.round(&mut chosen),
            _ => {}
        }
        (chosen, rows)
    }

    /// A pattern is repeated a whole number of times, an even count of rows each.
    fn repeated(&self, period: &Period, chosen: &mut PictureRequest) -> Option<u32> {
        let given = &self.request.picture;
        if given.rotate.is_none() {
            chosen.rotate = Some(Rotation::Quarters(u32::from(period.sideways)));
        }
        if period.constant {
            chosen.scaling = Some(Scaling::Stretch).filter(|_| given.scaling.is_none());
            return None;
        }
        let found = self.even(period)?;
        let one = period.first();
        chosen.place = Some(Place::Repeat(found.repeats));
        chosen.crop = Some(one).filter(|_| given.crop.is_none() && self.artwork.part != one);
        if given.scaling.is_none() && found.off <= STRETCHED {
            chosen.scaling = Some(Scaling::Stretch);
        }
        (found.rows != self.lattice.rows()).then_some(found.rows)
    }

    /// The repeats nearest to the pattern's proportions, in the band's rows if they allow any.
    fn even(&self, period: &Period) -> Option<Even> {
        let part = &period.part;
        let (length, width) = if period.sideways {
            (part.width, part.height)
        } else {
            (part.height, part.width)
        };
        let (band_width, band_length) = self.band();
        let one = f64::from(length) / f64::from(period.count);
        let natural = band_length * f64::from(width) / (one * band_width);
        let own = self.lattice.rows();
        let of = |rows: u32| repeats(rows, natural * f64::from(rows) / f64::from(own));
        let others = self.other_rows.iter().copied().filter_map(of);
        // Rows of the size itself come first.
        of(own).or_else(|| others.min_by(|one, other| one.off.total_cmp(&other.off)))
    }

    /// The band's width and length in millimetres.
    fn band(&self) -> (f64, f64) {
        let margin = self.request.picture.margin.map_or(0, |count| count.0);
        let columns = self.lattice.columns().saturating_sub(2 * margin).max(1);
        let width = self.lattice.bead().length * f64::from(columns);
        (width.get(), self.lattice.picture_height().get())
    }

    /// A motif stands upright unless it becomes much larger lying.
    fn upright_or_lying(&self) -> Option<Rotation> {
        let frame = &self.artwork.frame;
        let (width, length) = self.band();
        let (across, down) = (f64::from(frame.width), f64::from(frame.height));
        let upright = (width / across).min(length / down);
        let lying = (width / down).min(length / across);
        Some(Rotation::Quarters(u32::from(lying >= TURNED * upright)))
    }

    /// All round: a landscape's horizon along the band, and of what does not fit the part that
    /// shows most.
    fn round(&self, chosen: &mut PictureRequest) {
        let given = &self.request.picture;
        let part = &self.artwork.part;
        let (width, length) = self.band();
        let (across, down) = (f64::from(part.width), f64::from(part.height));
        let aspect = |quarters: u32| {
            if quarters % 2 == 1 {
                length / width
            } else {
                width / length
            }
        };
        let kept = |quarters: u32| {
            let aspect = aspect(quarters);
            (aspect / (across / down)).min(across / down / aspect)
        };
        let quarters = match given.rotate {
            Some(Rotation::Quarters(quarters)) => quarters,
            Some(Rotation::Auto) => return,
            None if self.artwork.level && kept(1) >= LEVEL * kept(0) => 1,
            None => u32::from(kept(1) > kept(0)),
        };
        if given.rotate.is_none() {
            chosen.rotate = Some(Rotation::Quarters(quarters));
        }
        let covers = matches!(given.scaling, None | Some(Scaling::Cover));
        if !covers || given.crop.is_some() || kept(quarters) >= WHOLE {
            return;
        }
        let aspect = aspect(quarters);
        let (wide, high) = if across / down > aspect {
            (down * aspect, down)
        } else {
            (across, across / aspect)
        };
        chosen.crop = Some(self.artwork.best_cut(wide, high));
    }

    /// The quarter turns, odd or even, of the picture as it is placed.
    fn turned(&self, chosen: &PictureRequest) -> bool {
        let rotation = self.request.picture.rotate.or(chosen.rotate);
        matches!(rotation, Some(Rotation::Quarters(quarters)) if quarters % 2 == 1)
    }

    /// Flat drawings keep their colours; continuous tone is improved as a whole, in few colours.
    fn coloured(&self) -> ColourRequest {
        let given = &self.request.colours;
        let mut chosen = ColourRequest::default();
        let crisp = self.request.picture.crisp.is_some();
        if crisp || given.refine || given.dither.is_some() || given.matching.is_some() {
            return chosen;
        }
        let simplify = self.request.calm.simplify.map_or(0.0, Simplify::get) > 0.0;
        if self.artwork.flat.is_none() || simplify {
            // Colours that are kept in, and a ground, count among them.
            let most = TONES.max(given.keep.len() as u32 + 1);
            // A search would mix colours again on areas that were merged.
            chosen.refine = !simplify;
            chosen.colours = Some(Count(most)).filter(|_| given.colours.is_none());
        } else if !given.from_stock {
            // Where beads are counted, an area may need several colours.
            chosen.matching = Some(Matching::Flat);
        }
        chosen
    }

    /// The mirror images that picture and band both have.
    fn mirror(&self, turned: bool) -> Option<Mirror> {
        if self.request.colours.mirror.is_some() || self.artwork.flat.is_none() {
            return None;
        }
        let found = self.artwork.symmetry;
        let (across, along) = if turned {
            (found.ends, found.sides)
        } else {
            (found.sides, found.ends)
        };
        let mirror = Mirror::possible(self.lattice, across, along);
        (mirror != Mirror::None).then_some(mirror)
    }
}

/// Repeats of an even count of rows each.
#[derive(Clone, Copy)]
struct Even {
    rows: u32,
    repeats: u32,
    /// By how much they are longer or shorter than in proportion: 1 is neither.
    off: f64,
}

/// The count of repeats nearest to `natural` that gives each the same even count of rows.
fn repeats(rows: u32, natural: f64) -> Option<Even> {
    let pairs = rows / 2;
    let off = |repeats: u32| {
        let repeats = f64::from(repeats);
        (repeats / natural).max(natural / repeats)
    };
    (1..=pairs)
        .filter(|repeats| rows.is_multiple_of(2) && pairs.is_multiple_of(*repeats))
        .map(|repeats| Even {
            rows,
            repeats,
            off: off(repeats),
        })
        .filter(|even| even.off <= REPEATED)
        .min_by(|one, other| one.off.total_cmp(&other.off))
}
