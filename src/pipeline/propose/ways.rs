//! Which ways a picture is offered, and the request of each.
//!
//! Only what the designer left open is changed. What the chart as read decided is written out where
//! a change would otherwise decide it anew.

use super::grounds;
use super::lengths::Fitting;
use super::way::Way;
use crate::artwork::{Artwork, Ground};
use crate::error::Result;
use crate::palette::Palette;
use crate::picture::{Crop, Place, Rotation, Scaling};
use crate::pipeline::reading::SIMPLER;
use crate::pipeline::{Charted, Outcome};
use crate::quantize::flat::MotifColour;
use crate::request::{
    Calm, ChartRequest, Count, Crisp, Matching, Mirror, PictureRequest, Record, Shape, Simplify,
};

/// Calm of the calmer way, of which the usual is 0.4: more hardly changes a ring and takes twice
/// as long to find. Ours.
const CALMER: f64 = 0.7;
/// Sides of the closer part, of those of the part as read. Ours.
const CLOSER: f64 = 0.6;
/// How far, of its own length, another part must lie from the part as read. Ours.
const MOVED: f64 = 0.3;
/// Fewest colours that are worth having fewer of.
const SEVERAL: usize = 3;

/// A way that is worth trying.
pub(super) struct Wish {
    pub(super) way: Way,
    pub(super) request: ChartRequest,
}

/// What decides which ways are offered.
pub(super) struct Basis<'a> {
    artwork: &'a Artwork,
    request: &'a ChartRequest,
    outcome: &'a Outcome,
    shape: &'a Shape,
    palette: &'a Palette,
    /// The options that the chart as read records.
    made: ChartRequest,
}

impl<'a> Basis<'a> {
    pub(super) fn new(
        artwork: &'a Artwork,
        request: &'a ChartRequest,
        first: &'a Charted,
        palette: &'a Palette,
    ) -> Result<Self> {
        let outcome = &first.made.value;
        Ok(Self {
            artwork,
            request,
            outcome,
            shape: &first.shape,
            palette,
            made: Record::read(&outcome.chart.made.options)?.request,
        })
    }

    /// The ways, those that differ most and are wanted most first.
    pub(super) fn wishes(&self) -> Vec<Wish> {
        let flat = self.artwork.flat.is_some();
        let all = match self.made.picture.place {
            Some(Place::Motif) if flat => self.of_drawn_motif(),
            Some(Place::Motif) => self.of_motif(),
            Some(Place::Repeat(_)) => self.of_pattern(),
            _ if self.artwork.period.is_some() => self.of_pattern(),
            _ => self.of_full_picture(),
        };
        all.into_iter().flatten().collect()
    }

    fn of_drawn_motif(&self) -> Vec<Option<Wish>> {
        let [ground, another] = self.other_grounds();
        vec![
            ground,
            self.repeated(),
            self.larger(),
            self.rotated(),
            self.fewer_colours(),
            another,
            self.plain_edges(),
            self.calmer(),
            self.unimproved(),
        ]
    }

    fn of_motif(&self) -> Vec<Option<Wish>> {
        let [ground, another] = self.other_grounds();
        vec![
            ground,
            self.fewer_colours(),
            self.simpler(),
            self.calmer(),
            self.repeated(),
            self.larger(),
            self.unimproved(),
            self.rotated(),
            another,
            self.plain_edges(),
        ]
    }

    fn of_pattern(&self) -> Vec<Option<Wish>> {
        let [ground, another] = self.other_grounds();
        vec![
            self.fewer_repeats(),
            self.once(),
            self.fewer_colours(),
            ground,
            self.rotated(),
            self.calmer(),
            self.unimproved(),
            self.closer(),
            self.mirrored(),
            another,
        ]
    }

    fn of_full_picture(&self) -> Vec<Option<Wish>> {
        vec![
            self.fewer_colours(),
            self.simpler(),
            self.other_part(),
            self.closer(),
            self.calmer(),
            self.unimproved(),
            self.rotated(),
            self.mirrored(),
            self.crisper(),
        ]
    }

    /// The request with another picture group.
    fn placed(&self, picture: PictureRequest) -> ChartRequest {
        ChartRequest {
            picture,
            ..self.request.clone()
        }
    }

    /// The picture group with what the chart as read decided written out, but for a position, which
    /// is found anew.
    fn as_made(&self) -> PictureRequest {
        let made = PictureRequest {
            position: None,
            frame: None,
            ..self.made.picture.clone()
        };
        self.request.picture.or(&made)
    }

    /// A request for so many rows, where these are others than the size asks for.
    fn in_rows(&self, mut request: ChartRequest, rows: u32) -> ChartRequest {
        let own = self.request.shape().map(|shape| shape.lattice.rows());
        if own.is_ok_and(|own| own != rows) {
            request.ring.size = None;
            request.band.rows = Some(Count(rows));
        }
        request
    }

    fn is_turned(&self) -> bool {
        self.outcome.rotated % 180 == 90
    }

    fn fitting(&self) -> Fitting<'_> {
        Fitting {
            artwork: self.artwork,
            lattice: &self.shape.lattice,
            turned: self.is_turned(),
        }
    }

    /// Places in the palette of the colours that beads have, and how many.
    fn used(&self) -> Vec<(usize, usize)> {
        let chart = &self.outcome.chart;
        let all = chart.colours.iter().zip(chart.counts());
        let used = all.filter(|(_, count)| *count > 0);
        used.filter_map(|(shade, count)| Some((self.palette.find(&shade.code).ok()?, count)))
            .collect()
    }

    /// Two other colours behind the motif.
    fn other_grounds(&self) -> [Option<Wish>; 2] {
        let Some(ground) = self.outcome.ground else {
            return [None, None];
        };
        let first = self.other_ground(&[ground]);
        let second = first.and_then(|first| self.other_ground(&[ground, first]));
        [first, second].map(|found| found.and_then(|at| self.on_ground(at)))
    }

    /// A colour that sets the motif off and is lighter or darker than each of `grounds`.
    fn other_ground(&self, grounds: &[usize]) -> Option<usize> {
        let (used, tones) = (self.used(), self.palette.tones());
        let motif: Vec<MotifColour> = used
            .iter()
            .filter(|(at, _)| !grounds.contains(at))
            .map(|&(at, beads)| MotifColour {
                light: tones[at].light,
                beads: beads as u64,
                meets: true,
            })
            .collect();
        let without = &self.request.colours.without;
        let colours = self.palette.colours();
        let is_used = |at: usize| used.iter().any(|&(own, _)| own == at);
        let allowed = |at: usize| !is_used(at) && !without.contains(&colours[at].code);
        grounds::other(&tones, grounds, &motif, allowed)
    }

    fn on_ground(&self, at: usize) -> Option<Wish> {
        let found = &self.palette.colours()[at];
        self.request.picture.ground.is_none().then(|| Wish {
            way: Way::Ground {
                name: found.name.clone(),
            },
            request: self.placed(PictureRequest {
                ground: Some(found.code.clone()),
                ..self.request.picture.clone()
            }),
        })
    }

    /// A motif with a plain column along each edge of the band.
    fn plain_edges(&self) -> Option<Wish> {
        let given = &self.request.picture;
        if given.margin.is_some() || given.position.is_some() {
            return None;
        }
        Some(Wish {
            way: Way::Edges,
            request: self.placed(PictureRequest {
                margin: Some(Count(1)),
                ..given.clone()
            }),
        })
    }

    /// The motif several times.
    fn repeated(&self) -> Option<Wish> {
        let given = &self.request.picture;
        if given.place.is_some() || given.position.is_some() || given.margin.is_some() {
            return None;
        }
        let fitting = self.fitting();
        let repeats = fitting.repeats(&self.request.other_rows(self.shape))?;
        let request = self.placed(PictureRequest {
            place: Some(Place::Repeat(repeats.count)),
            scaling: given.scaling.or(Some(Scaling::Contain)),
            crop: given.crop.or(Some(fitting.with_room())),
            ..self.as_made()
        });
        let own = self.shape.lattice.rows();
        Some(Wish {
            way: Way::Repeated {
                repeats: repeats.count,
                rows: (repeats.rows != own).then_some(repeats.rows),
            },
            request: self.in_rows(request, repeats.rows),
        })
    }

    /// Lying where it stands upright, and the other way round.
    fn rotated(&self) -> Option<Wish> {
        if self.request.picture.rotate.is_some() {
            return None;
        }
        let motif = self.made.picture.place == Some(Place::Motif);
        if motif && !self.fitting().turns() {
            return None;
        }
        let quarters = u32::from(!self.is_turned());
        let place = self.made.picture.place;
        Some(Wish {
            way: Way::Rotated {
                degrees: quarters * 90,
            },
            request: self.placed(PictureRequest {
                rotate: Some(Rotation::Quarters(quarters)),
                place: place.filter(|place| !matches!(place, Place::Repeat(_))),
                ..self.request.picture.clone()
            }),
        })
    }

    /// A part of the motif, larger.
    fn larger(&self) -> Option<Wish> {
        let given = &self.request.picture;
        if given.crop.is_some() || given.position.is_some() || given.scaling.is_some() {
            return None;
        }
        Some(Wish {
            way: Way::Larger,
            request: self.placed(PictureRequest {
                crop: Some(self.fitting().closer()?),
                ..self.as_made()
            }),
        })
    }

    /// A pattern in about half as many repeats.
    fn fewer_repeats(&self) -> Option<Wish> {
        let (Some(Place::Repeat(repeats)), None) =
            (self.made.picture.place, self.request.picture.place)
        else {
            return None;
        };
        let rows = self.shape.lattice.rows();
        let fewer = self.fewer(repeats)?;
        let scaling = self.request.picture.scaling.or(Some(Scaling::Cover));
        let request = self.placed(PictureRequest {
            place: Some(Place::Repeat(fewer)),
            scaling,
            ..self.as_made()
        });
        Some(Wish {
            way: Way::FewerRepeats { repeats: fewer },
            request: self.in_rows(request, rows),
        })
    }

    /// About half as many repeats, or the next count that the rows allow.
    fn fewer(&self, repeats: u32) -> Option<u32> {
        let rows = self.shape.lattice.rows();
        let even = |count: &u32| rows.is_multiple_of(2 * count);
        (1..=repeats * 2 / 3).rev().find(even)
    }

    /// A pattern's picture once round the band, unless it shows as many repeats as the other way.
    fn once(&self) -> Option<Wish> {
        if let Some(Place::Repeat(repeats)) = self.made.picture.place
            && self.fewer(repeats) == self.artwork.period.as_ref().map(|own| own.count)
        {
            return None;
        }
        if self.request.picture.place.is_some() || self.made.picture.place == Some(Place::Round) {
            return None;
        }
        let rotate = self.request.picture.rotate.or(self.made.picture.rotate);
        Some(Wish {
            way: Way::Once,
            request: self.placed(PictureRequest {
                place: Some(Place::Round),
                rotate,
                ..self.request.picture.clone()
            }),
        })
    }

    /// About half as many colours.
    fn fewer_colours(&self) -> Option<Wish> {
        let used = self.used().len();
        if self.request.colours.colours.is_some() || used < SEVERAL {
            return None;
        }
        let count = used.div_ceil(2) as u32;
        let mut request = self.request.clone();
        request.colours.colours = Some(Count(count));
        Some(Wish {
            way: Way::Colours { count },
            request,
        })
    }

    /// Main shapes alone; or where the chart as read has those, the band that is searched for.
    fn simpler(&self) -> Option<Wish> {
        let (picture, colours) = (&self.request.picture, &self.request.colours);
        let calm = &self.request.calm;
        let settled = colours.refine || colours.dither.is_some() || colours.matching.is_some();
        let is_simple = self.made.calm.simplify.is_some();
        if settled || calm.simplify.is_some() || picture.crisp.is_some() {
            return None;
        }
        if is_simple {
            let mut request = self.request.clone();
            request.colours.refine = true;
            request.colours.colours = colours.colours.or(self.made.colours.colours);
            let way = Way::Finer;
            return Some(Wish { way, request });
        }
        let mut request = self.request.clone();
        request.calm.simplify = Simplify::new(SIMPLER).ok();
        Some(Wish {
            way: Way::Simpler,
            request,
        })
    }

    fn calmer(&self) -> Option<Wish> {
        let mut request = self.request.clone();
        if request.calm.calm.is_some() {
            return None;
        }
        request.calm.calm = Calm::new(CALMER).ok();
        Some(Wish {
            way: Way::Calmer,
            request,
        })
    }

    /// The part of a cut picture that lies furthest from the part as read.
    fn other_part(&self) -> Option<Wish> {
        if self.request.picture.crop.is_some() {
            return None;
        }
        let (part, kept) = (&self.artwork.part, self.made.picture.crop?);
        let far = |start: u32, length: u32, from: u32, all: u32| {
            let free = all.saturating_sub(length);
            let at = start.saturating_sub(from);
            let other = if 2 * at > free { 0 } else { free };
            let moved = f64::from(other.abs_diff(at)) / f64::from(length.max(1));
            (moved >= MOVED).then_some(from + other)
        };
        let across = far(kept.x, kept.width, part.x, part.width);
        let down = far(kept.y, kept.height, part.y, part.height);
        let crop = match (across, down) {
            (None, None) => return None,
            (Some(x), _) => Crop { x, ..kept },
            (None, Some(y)) => Crop { y, ..kept },
        };
        Some(Wish {
            way: Way::OtherPart,
            request: self.placed(PictureRequest {
                crop: Some(crop),
                ..self.as_made()
            }),
        })
    }

    /// A smaller part of the picture, with most detail and colours.
    fn closer(&self) -> Option<Wish> {
        let given = &self.request.picture;
        if given.crop.is_some() || given.scaling.is_some() {
            return None;
        }
        let kept = self.made.picture.crop.unwrap_or(self.artwork.part);
        let [width, height] = [kept.width, kept.height].map(|side| f64::from(side) * CLOSER);
        let request = self.placed(PictureRequest {
            crop: Some(self.artwork.best_cut(width, height)),
            ..self.as_made()
        });
        Some(Wish {
            way: Way::Closer,
            request: self.in_rows(request, self.shape.lattice.rows()),
        })
    }

    /// Each bead the nearest colour, in as many colours as read; a drawing's edges blend.
    fn unimproved(&self) -> Option<Wish> {
        let given = &self.request.colours;
        let settled = given.matching.is_some() || given.refine || given.dither.is_some();
        if settled || self.request.calm.calm.is_some() || self.request.picture.crisp.is_some() {
            return None;
        }
        let mut request = self.in_rows(self.placed(self.as_made()), self.shape.lattice.rows());
        request.colours.matching = Some(Matching::Nearest);
        request.colours.mirror = given.mirror.or(self.made.colours.mirror);
        request.colours.colours = given.colours.or(self.made.colours.colours);
        let flat = self.made.colours.matching == Some(Matching::Flat);
        let way = if flat { Way::Softer } else { Way::Nearest };
        Some(Wish { way, request })
    }

    /// Edges win their beads, in as many colours as read.
    fn crisper(&self) -> Option<Wish> {
        let given = &self.request.colours;
        if self.artwork.flat.is_some() || given.matching.is_some() {
            return None;
        }
        let mut request = self.placed(PictureRequest {
            crisp: Crisp::new(1.0).ok(),
            ..self.request.picture.clone()
        });
        if self.request.picture.crisp.is_some() {
            return None;
        }
        request.colours.colours = given.colours.or(self.made.colours.colours);
        Some(Wish {
            way: Way::Crisper,
            request,
        })
    }

    /// Alike about both axes, or about the one that the band has, where the picture is not.
    fn mirrored(&self) -> Option<Wish> {
        if self.request.colours.mirror.is_some() || self.made.colours.mirror.is_some() {
            return None;
        }
        let ends = self.artwork.ground == Ground::None;
        let mirror = Mirror::possible(&self.shape.lattice, true, ends);
        let mut request = self.request.clone();
        request.colours.mirror = Some(mirror);
        (mirror != Mirror::None).then_some(Wish {
            way: Way::Mirrored,
            request,
        })
    }
}
