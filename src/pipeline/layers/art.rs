//! A picture to the light of its beads.

use super::spot::{Lies, Spot};
use super::{Paint, Painted, Painter};
use crate::artwork::{Artwork, FlatArt, GROUND, Ground};
use crate::colour::Light;
use crate::error::{Error, Result};
use crate::lattice::Lattice;
use crate::palette::{Nearest, Tone};
use crate::picture::{Place, Placement, Plan, Position, Rotation, plan_in};
use crate::pipeline::drawing::{Drawing, Labels, beside};
use crate::pipeline::{Decoded, Options, position, target};
use crate::quantize::flat::{Choice, Wanted, match_beads};
use crate::quantize::groups::Groups;
use crate::request::PictureRequest;
use crate::request::design::{Art, Layer, Placed, Treatment};
use crate::sample::{Sample, sample};
use crate::units::Mm;
use crate::warning::Warning;
use std::collections::HashMap;
use std::path::Path;

/// Alpha from which a bead is the layer's.
const HALF: f64 = 0.5;

/// A motif as large as fits, in the middle.
const MIDDLE: Placement = Placement {
    scale: 1.0,
    across: Mm::new(0.0),
    along: Mm::new(0.0),
};

/// A picture on its spot.
struct Laid<'a> {
    art: &'a Art,
    decoded: &'a Decoded,
    artwork: &'a Artwork,
    plan: Plan,
    /// Those of a chart of the picture alone, on the lattice of the spot.
    options: Options,
    groups: Groups,
    treatment: Treatment,
}

impl Painter<'_> {
    /// The beads that a picture's layer covers.
    pub(super) fn art(&self, art: &Art) -> Result<Painted> {
        let (decoded, mut notes) = self.decoded(art)?;
        let in_file = |error: Error| error.file(Path::new(&art.file));
        let artwork = decoded.artwork(art.picture.crop).map_err(in_file)?;
        let spot = self.spot(art, &artwork)?;
        let laid = self.laid(art, &decoded, &artwork, &spot).map_err(in_file)?;
        let (own, failed) = match (laid.treatment, &artwork.flat) {
            (Treatment::Crisp, Some(flat)) => self.drawn(&laid, flat)?,
            _ => (self.sampled(&laid).map_err(in_file)?, 0),
        };
        let layer = art.label();
        let copies = spot.repeats().unwrap_or(1) as usize;
        let failed = failed.div_ceil(copies);
        notes.extend((failed > 0).then(|| Warning::LayerTooFine {
            layer: layer.clone(),
            parts: failed,
        }));
        let beads = self.on_the_band(&own, &spot);
        if beads.is_empty() {
            return Err(Error::new(format!(
                "nothing of the {layer} is on the band: it is transparent there, or thinner than \
                 half a bead"
            ))
            .hint("choose another 'crop', more columns, or treatment crisp"));
        }
        notes.push(self.placed(layer, &spot, &beads));
        Ok(Painted {
            beads,
            soft: laid.treatment == Treatment::Continuous,
            decided: Layer::Art(Box::new(decided(&laid, &spot))),
            notes,
        })
    }

    /// The picture on its spot, with the position of a motif found.
    fn laid<'a>(
        &self,
        art: &'a Art,
        decoded: &'a Decoded,
        artwork: &'a Artwork,
        spot: &Spot,
    ) -> Result<Laid<'a>> {
        let is_flat = artwork.flat.is_some();
        let treatment = art.treatment.unwrap_or(if spot.is_flat {
            Treatment::Crisp
        } else {
            Treatment::Continuous
        });
        let crisp = treatment == Treatment::Crisp;
        let mut options = Options {
            lattice: spot.lattice,
            arrangement: spot.arrangement,
            ground: None,
            crisp: if crisp && !is_flat { 1.0 } else { 0.0 },
            simplify: 0.0,
            flat: crisp && is_flat,
            mirror: spot.mirror,
            choice: self.choice(),
            design: None,
            title: None,
            stock: None,
            length: Vec::new(),
        };
        let how = &mut options.arrangement;
        if how.place == Place::Motif && how.position == Position::Best && how.frame.is_none() {
            how.frame = Some(artwork.frame);
            if !options.flat {
                options.arrangement.position = Position::At(MIDDLE);
            } else {
                options.arrangement.frame = None;
                options.arrangement = position::positioned(decoded, self.tones, &options)?;
            }
        }
        let picture = &decoded.picture;
        let plan = plan_in(
            &spot.columns,
            picture.upright(),
            picture.orientation,
            &spot.lattice,
            &options.arrangement,
        )?;
        let groups = Groups::new(&spot.lattice, &options.axes(), plan.alike.as_ref());
        Ok(Laid {
            art,
            decoded,
            artwork,
            plan,
            options,
            groups,
            treatment,
        })
    }

    /// A drawing in its own flat colours; and its parts for which the beads are too coarse.
    fn drawn(&self, laid: &Laid, flat: &FlatArt) -> Result<(Vec<Option<Paint>>, usize)> {
        let lattice = &laid.options.lattice;
        let drawing = Drawing {
            picture: &laid.decoded.picture,
            plan: &laid.plan,
            samples: &[],
            groups: &laid.groups,
            tones: self.tones,
            options: &laid.options,
            settings: &laid.options.choice,
        };
        let Labels { labels, failed } = drawing.labels(flat);
        let grounds = self.grounds(laid)?;
        let paints = self.paints_of_labels(laid, flat, &labels)?;
        let paint = |(bead, &label): (usize, &u8)| match label {
            GROUND => grounds.as_ref().and_then(|grounds| grounds[bead]),
            label => paints[usize::from(label) - 1],
        };
        debug_assert_eq!(labels.len(), lattice.len());
        Ok((labels.iter().enumerate().map(paint).collect(), failed))
    }

    /// What each colour of a drawing gives its beads: its own light, or that of the colours that
    /// the layer may have which suits it best.
    fn paints_of_labels(
        &self,
        laid: &Laid,
        flat: &FlatArt,
        labels: &[u8],
    ) -> Result<Vec<Option<Paint>>> {
        let Some(allowed) = self.allowed(laid.art)? else {
            let light = |&light: &Light| Some(Paint::Light(light));
            return Ok(flat.colours.iter().map(light).collect());
        };
        let beside = beside(labels, &laid.options.lattice, flat.colours.len() + 1);
        let others = |at: usize| {
            let all = beside[at + 1].iter().copied();
            all.filter(|&label| label > 0)
                .map(|label| label - 1)
                .collect()
        };
        let count = |at: usize| {
            labels
                .iter()
                .filter(|&&own| usize::from(own) == at + 1)
                .count()
        };
        let wanted: Vec<Wanted> = flat
            .colours
            .iter()
            .enumerate()
            .map(|(at, &light)| Wanted {
                light: Some(light),
                fixed: None,
                beads: count(at) as u64,
                beside: others(at),
            })
            .collect();
        let may = |at: usize, _: u64| allowed.contains(&at);
        let choice = Choice {
            tones: self.tones,
            allowed: &may,
        };
        let found = match_beads(&wanted, &choice).unwrap_or_default();
        Ok(found.into_iter().map(|at| Some(Paint::Ink(at))).collect())
    }

    /// The plain ground that is part of a picture: one is the backdrop of a motif, and not shown,
    /// unless other parts of the picture are transparent.
    fn grounds(&self, laid: &Laid) -> Result<Option<Vec<Option<Paint>>>> {
        let is_motif = laid.options.arrangement.place == Place::Motif;
        let is_backdrop = is_motif && laid.decoded.picture.is_opaque();
        match laid.artwork.ground {
            Ground::Plain(_) if !is_backdrop => Ok(Some(self.sampled(laid)?)),
            _ => Ok(None),
        }
    }

    /// The mean light of the picture on each bead, or a crisp one, where it covers the bead.
    fn sampled(&self, laid: &Laid) -> Result<Vec<Option<Paint>>> {
        let options = &laid.options;
        let (lattice, cancel) = (&options.lattice, &options.choice.cancel);
        let picture = &laid.decoded.picture;
        let samples = sample(picture, &laid.plan, lattice, cancel)?;
        let shown = target::Shown {
            picture,
            plan: &laid.plan,
            lattice,
            ground: Some(mean(&samples)),
            crisp: options.crisp,
        };
        let lights = if options.crisp > 0.0 {
            target::bead_lights(&shown, &samples, cancel)?
        } else {
            let own = |sample: &Sample| sample.light / sample.alpha.max(f64::MIN_POSITIVE);
            samples.iter().map(own).collect()
        };
        let inks = self.inks(laid.art)?;
        let mut known: HashMap<[u64; 3], usize> = HashMap::new();
        let paint = |(sample, light): (&Sample, Light)| {
            (sample.alpha >= HALF).then(|| match &inks {
                None => Paint::Light(light),
                Some(nearest) => Paint::Ink(
                    *known
                        .entry(bits(light))
                        .or_insert_with(|| nearest.find(&Tone::new(light))),
                ),
            })
        };
        Ok(samples.iter().zip(lights).map(paint).collect())
    }

    /// The colours that the beads of a layer may have, as indices in the palette, rising; none for
    /// all.
    fn allowed(&self, art: &Art) -> Result<Option<Vec<usize>>> {
        if art.colours.is_empty() {
            return Ok(None);
        }
        let found = art.colours.iter().map(|code| self.palette.find(code));
        let mut found: Vec<usize> = found.collect::<Result<_>>()?;
        found.retain(|at| !self.options.choice.without.contains(at));
        found.sort_unstable();
        found.dedup();
        if found.is_empty() {
            let what = format!("no colour is left for the {}", art.label());
            return Err(Error::usage(what)
                .option("without")
                .hint("rule out fewer colours, or name others in 'colours'"));
        }
        Ok(Some(found))
    }

    fn inks(&self, art: &Art) -> Result<Option<Nearest>> {
        let allowed = self.allowed(art)?;
        Ok(allowed.and_then(|allowed| Nearest::new(self.tones, &allowed)))
    }

    /// The beads of the band that a layer's own beads lie on.
    fn on_the_band(&self, own: &[Option<Paint>], spot: &Spot) -> Vec<(usize, Paint)> {
        let covered = own.iter().enumerate();
        let covered = covered.filter_map(|(at, paint)| paint.map(|paint| (at, paint)));
        covered
            .flat_map(|(at, paint)| {
                let beads = spot.lies.beads(&spot.lattice, at, self.lattice());
                beads.into_iter().map(move |bead| (bead, paint))
            })
            .collect()
    }

    /// Where the layer is on the band.
    fn placed(&self, layer: String, spot: &Spot, beads: &[(usize, Paint)]) -> Warning {
        let band = self.lattice();
        let at = |&(bead, _): &(usize, Paint)| band.position(bead);
        let mut columns: Vec<u32> = beads.iter().map(|bead| at(bead).1.get()).collect();
        columns.sort_unstable();
        columns.dedup();
        let columns = columns.chunk_by(|one, next| next - one <= 1);
        let rows = match spot.lies {
            Lies::Whole { .. } => None,
            Lies::Moved { .. } => rows_of(beads, band),
        };
        Warning::LayerPlaced {
            layer,
            columns: columns.map(|run| (run[0], run[run.len() - 1])).collect(),
            rows,
            repeats: spot.repeats(),
        }
    }
}

/// First and last row of beads that lie together, on over the seam where that is shorter; none if
/// there are no beads.
fn rows_of(beads: &[(usize, Paint)], band: &Lattice) -> Option<(u32, u32)> {
    let mut rows: Vec<u32> = beads
        .iter()
        .map(|(bead, _)| band.position(*bead).0.get())
        .collect();
    rows.sort_unstable();
    rows.dedup();
    let (first, last) = (*rows.first()?, *rows.last()?);
    let gap = rows.windows(2).max_by_key(|pair| pair[1] - pair[0]);
    let around = band.rows() - last + first;
    Some(match gap {
        Some(pair) if pair[1] - pair[0] > around => (pair[1], pair[0]),
        _ => (first, last),
    })
}

/// The mean light of what is not transparent.
fn mean(samples: &[Sample]) -> Light {
    let none = (Light::new(0.0, 0.0, 0.0), 0.0);
    let sum = samples.iter().fold(none, |(light, alpha), sample| {
        (light + sample.light, alpha + sample.alpha)
    });
    sum.0 / sum.1.max(f64::MIN_POSITIVE)
}

/// A colour's exact bits, for looking it up.
fn bits(light: Light) -> [u64; 3] {
    [light.red, light.green, light.blue].map(f64::to_bits)
}

/// The layer with all that was decided for it, so that it can be made again.
fn decided(laid: &Laid, spot: &Spot) -> Art {
    let how = &laid.options.arrangement;
    let rotate = Some(Rotation::Quarters(laid.plan.rotated / 90));
    let own = laid.art.picture.clone();
    let picture = match spot.placed {
        Placed::Band => PictureRequest {
            place: Some(how.place),
            rotate,
            scaling: how.scaling,
            crop: how.crop,
            ..own
        },
        Placed::Border(_) => PictureRequest {
            rotate,
            crop: how.crop,
            ..own
        },
        Placed::Motif(_) => PictureRequest {
            rotate,
            crop: how.crop,
            position: Some(how.position),
            frame: how.frame,
            ..PictureRequest::default()
        },
    };
    Art {
        file: laid.art.file.clone(),
        sha256: Some(laid.decoded.sha256.clone()),
        placed: spot.placed,
        picture,
        treatment: Some(laid.treatment),
        colours: laid.art.colours.clone(),
    }
}
