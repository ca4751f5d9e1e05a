//! A band made of layers: each gives some beads their light or their colour, upper layers win bead
//! by bead, and then colours are chosen for the whole band at once.
//!
//! | part | does |
//! |---|---|
//! | `spot` | where a layer is on the band: a lattice of its own, and how that lies on the band's |
//! | `border` | repeats along the edges |
//! | `place` | pictures all round, and motifs |
//! | `art` | a picture to the light of its beads |
//! | `letters` | letters in one colour |
//! | `tones` | what layers of continuous tone decide for the band |

mod art;
mod border;
mod letters;
mod place;
mod spot;
mod tones;

use self::tones::Open;
use super::cache::Sampled;
use super::chart::coloured;
use super::prepare::{Mosaics, Prepared, quantize_settings};
use super::{
    Cache, Charted, Decoded, Options, Outcome, Previous, Source, decoded, ground, settings, target,
};
use crate::cancel::Cancel;
use crate::colour::Light;
use crate::error::{Error, Result};
use crate::lattice::Lattice;
use crate::palette::{Palette, Tone};
use crate::picture::Decoding;
use crate::quantize::Settings;
use crate::quantize::groups::Groups;
use crate::request::design::{Art, Design, Layer};
use crate::request::{ChartRequest, Shape};
use crate::sample::Sample;
use crate::vision::band::{Mosaic, TILES};
use crate::warning::{Warned, Warning};
use std::path::Path;
use std::sync::Arc;

/// Reads a picture by the name that a design has for it. Called once a layer, so that no more than
/// one picture is in memory at a time.
pub type Load<'a> = dyn Fn(&str) -> Result<Source> + Sync + 'a;

/// A design, and where its pictures are.
pub struct Layered<'a> {
    /// The layers.
    pub design: &'a Design,
    /// What the chart calls its source: the design's file, or the picture that layers were added
    /// to.
    pub name: String,
    /// SHA-256 of that file.
    pub sha256: String,
    /// Reads its pictures.
    pub load: &'a Load<'a>,
}

impl<'a> Layered<'a> {
    /// Of the file `name`, which has these bytes.
    pub fn new(design: &'a Design, name: String, bytes: &[u8], load: &'a Load<'a>) -> Self {
        Self {
            design,
            name,
            sha256: super::digest(bytes),
            load,
        }
    }
}

/// What a layer gives a bead.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Paint {
    /// The light that the bead should give; its colour is chosen with all others.
    Light(Light),
    /// A colour of the palette.
    Ink(usize),
    /// The ground, whatever is below.
    Ground,
}

/// The beads that a layer covers.
struct Painted {
    /// Beads of the band, and what they get.
    beads: Vec<(usize, Paint)>,
    /// Whether they may be merged into areas, as continuous tone is.
    soft: bool,
    /// The layer with all that was decided for it.
    decided: Layer,
    /// What was noticed.
    notes: Vec<Warning>,
}

/// What all layers of a band share.
struct Painter<'a> {
    layered: &'a Layered<'a>,
    palette: &'a Palette,
    tones: &'a [Tone],
    options: &'a Options,
    open: Open,
}

/// A band of layers, bead by bead.
struct Composed {
    /// What the uppermost layer that covers a bead gives it; none where the ground shows.
    paints: Vec<Option<Paint>>,
    /// The beads that may be merged into areas.
    soft: Vec<bool>,
    design: Design,
    notes: Vec<Warning>,
}

/// Charts a design. One that is all of one picture is charted as that picture is.
///
/// # Errors
/// If the request says how a picture lies, a picture cannot be read or does not fit its place, a
/// colour is not in the palette, or options contradict one another.
pub fn chart_layers(
    layered: &Layered,
    palette: &Palette,
    request: &ChartRequest,
    cancel: Cancel,
) -> Result<Charted> {
    let mut request = layered.design.whole(request)?;
    if let Some(art) = layered.design.single() {
        request.picture = request.picture.or(&art.picture);
        let source = (layered.load)(&art.file)?;
        return super::chart(source, palette, &request);
    }
    let mut shape = request.shape()?;
    let mut options = settings::settings(&request, &shape, palette)?;
    let mut notes = Vec::new();
    let tones = palette.tones();
    let painter = |options| Painter {
        layered,
        palette,
        tones: &tones,
        options,
        open: Open::default(),
    };
    if let Some(rows) = painter(&options).rows_for_borders(&request.other_rows(&shape))? {
        let taken = request.shape_of(Some(rows))?;
        notes.extend(about_rows(&shape, &taken));
        shape = taken;
        options = settings::settings(&request, &shape, palette)?;
    }
    options.choice.cancel = cancel;
    let mut made = of_layers(layered, palette, &options, Open::of(&request), None)?;
    made.warnings.splice(0..0, notes);
    Ok(Charted { made, shape })
}

/// Charts letters on a plain band of one colour: that of the request, or the lightest.
///
/// # Errors
/// If the letters do not fit, or options contradict one another.
pub fn chart_plain(design: &Design, palette: &Palette, request: &ChartRequest) -> Result<Charted> {
    let shape = request.shape()?;
    let mut options = settings::settings(request, &shape, palette)?;
    let (ground, notes) = super::plain::ground(palette, &options);
    options.ground = Some(ground);
    let layered = Layered {
        design,
        name: String::new(),
        sha256: String::new(),
        load: &|name| {
            Err(Error::new(format!(
                "'{name}' is no picture of a plain band"
            )))
        },
    };
    let mut made = of_layers(&layered, palette, &options, Open::default(), None)?;
    made.warnings.splice(0..0, notes);
    Ok(Charted { made, shape })
}

fn about_rows(wanted: &Shape, taken: &Shape) -> Option<Warning> {
    Some(Warning::RowsForBorder {
        wanted: wanted.lattice.rows(),
        rows: taken.lattice.rows(),
        inside: taken.ring.as_ref()?.size.diameter(),
    })
}

/// Makes a chart of layers anew, starting from what it is now: it never looks further from its
/// pictures.
///
/// # Errors
/// As [`super::remake`].
pub fn remake_layers(
    layered: &Layered,
    palette: &Palette,
    options: &Options,
    previous: &Previous,
) -> Result<Warned<Outcome>> {
    previous.check(&options.lattice)?;
    let mut made = of_layers(layered, palette, options, Open::default(), Some(previous))?;
    made.value.chart.title = previous.chart.title.clone();
    made.value.chart.notes = previous.chart.notes.clone();
    Ok(made)
}

fn of_layers(
    layered: &Layered,
    palette: &Palette,
    options: &Options,
    open: Open,
    previous: Option<&Previous>,
) -> Result<Warned<Outcome>> {
    options.check(palette)?;
    let before = previous.map(|previous| super::chart::palette_indices(previous, palette));
    let before = before.transpose()?;
    let tones = palette.tones();
    let painter = Painter {
        layered,
        palette,
        tones: &tones,
        options,
        open,
    };
    let mut composed = painter.compose()?;
    let mut notes = std::mem::take(&mut composed.notes);
    if previous.is_some() {
        notes.retain(is_news);
    }
    let prepared = painter.prepared(composed, &mut notes)?;
    let mut made = coloured(prepared, palette, previous, before.as_deref(), notes)?;
    if layered.design.art().next().is_none() {
        // Nothing but letters stands on it on purpose.
        let is_bare = |note: &Warning| matches!(note, Warning::MostlyClear { .. });
        made.warnings.retain(|note| !is_bare(note));
    }
    Ok(made)
}

/// The light that layers ask of a band, with the recorded ground.
pub(super) fn layers_mosaic(
    layered: &Layered,
    palette: &Palette,
    options: &Options,
) -> Result<Warned<Mosaic>> {
    let tones = palette.tones();
    let painter = Painter {
        layered,
        palette,
        tones: &tones,
        options,
        open: Open::default(),
    };
    let composed = painter.compose()?;
    let (samples, _) = painter.lights_and_inks(&composed.paints);
    let ground = options.ground.map(|at| tones[at].light);
    let light = target::over_ground(&samples, ground);
    Ok(Warned {
        value: mosaics(&light, &options.lattice).plain,
        warnings: composed.notes.into_iter().filter(is_news).collect(),
    })
}

/// Whether it is worth saying of layers that were made before.
fn is_news(note: &Warning) -> bool {
    !matches!(
        note,
        Warning::LayerPlaced { .. }
            | Warning::LayerTooFine { .. }
            | Warning::LayerHidden { .. }
            | Warning::LettersSet { .. }
            | Warning::LettersFaint { .. }
    )
}

impl Painter<'_> {
    fn lattice(&self) -> &Lattice {
        &self.options.lattice
    }

    /// Paints the layers from the lowest to the uppermost.
    fn compose(&self) -> Result<Composed> {
        let count = self.lattice().len();
        let mut owner: Vec<Option<usize>> = vec![None; count];
        let mut composed = Composed {
            paints: vec![None; count],
            soft: vec![false; count],
            design: Design::default(),
            notes: Vec::new(),
        };
        let mut labels = Vec::new();
        for (number, layer) in self.layered.design.layers.iter().enumerate() {
            self.options.choice.cancel.check()?;
            let painted = match layer {
                Layer::Ground { .. } => Painted {
                    beads: Vec::new(),
                    soft: false,
                    decided: layer.clone(),
                    notes: Vec::new(),
                },
                Layer::Art(art) => self.art(art)?,
                Layer::Letters(own) => self.letters(own, &composed.paints)?,
            };
            for (bead, paint) in painted.beads {
                owner[bead] = Some(number);
                composed.paints[bead] = Some(paint);
                composed.soft[bead] = painted.soft;
            }
            labels.push((number, layer));
            composed.notes.extend(painted.notes);
            composed.design.layers.push(painted.decided);
        }
        let hidden = labels.into_iter().filter(|(number, layer)| {
            !matches!(layer, Layer::Ground { .. }) && !owner.contains(&Some(*number))
        });
        composed.notes.extend(hidden.map(|(_, layer)| {
            let layer = layer.label();
            Warning::LayerHidden { layer }
        }));
        Ok(composed)
    }

    /// The band as it is before colours are chosen for it.
    fn prepared(&self, composed: Composed, notes: &mut Vec<Warning>) -> Result<Prepared> {
        let mut options = self.options.clone();
        options.design = Some(composed.design);
        let lattice = options.lattice;
        let cache = Cache::default();
        let mut settings = quantize_settings(&options, self.palette, &cache, notes);
        let (samples, inks) = self.lights_and_inks(&composed.paints);
        let ground = ground::is_shown(&samples).then(|| {
            ground::choose(
                &samples,
                false,
                self.tones,
                options.ground,
                &lattice,
                &settings,
            )
        });
        let mut fixed = ground::fixed(&samples, ground);
        for (fixed, ink) in fixed.iter_mut().zip(&inks) {
            *fixed = fixed.or(*ink);
        }
        // Colours that are not to be chosen count among those in use, whatever the limit.
        let mut inks: Vec<usize> = inks.into_iter().flatten().chain(ground).collect();
        inks.sort_unstable();
        inks.dedup();
        inks.retain(|at| !settings.keep.contains(at));
        settings.keep.extend(inks);
        if composed.soft.contains(&true) {
            notes.extend(self.open.decide(&mut options, settings.keep.len()));
            settings.limit = options.choice.limit;
        }
        let light = target::over_ground(&samples, ground.map(|at| self.tones[at].light));
        let light = simplified(light, &composed.soft, &options);
        let mosaics = (options.choice.refine.is_some() || options.simplify > 0.0)
            .then(|| mosaics(&light, &lattice));
        let groups = Groups::new(&lattice, &options.axes(), None);
        Ok(Prepared {
            name: self.layered.name.clone(),
            sha256: self.layered.sha256.clone(),
            tones: self.tones.to_vec(),
            settings,
            sampled: Arc::new(Sampled::composed(samples, &lattice)),
            groups,
            ground,
            drawn: None,
            fixed,
            light,
            mosaics,
            shapes: None,
            options,
        })
    }

    /// The light of each bead, none where the ground shows; and the colours that are given.
    fn lights_and_inks(&self, paints: &[Option<Paint>]) -> (Vec<Sample>, Vec<Option<usize>>) {
        let of = |paint: &Option<Paint>| {
            let (light, alpha) = match *paint {
                None | Some(Paint::Ground) => (Light::new(0.0, 0.0, 0.0), 0.0),
                Some(Paint::Light(light)) => (light, 1.0),
                Some(Paint::Ink(at)) => (self.tones[at].light, 1.0),
            };
            Sample { light, alpha }
        };
        let ink = |paint: &Option<Paint>| match *paint {
            Some(Paint::Ink(at)) => Some(at),
            _ => None,
        };
        let samples = paints.iter().map(of).collect();
        (samples, paints.iter().map(ink).collect())
    }

    /// A layer's picture; a note says if it is not the one that the design names.
    fn decoded(&self, art: &Art) -> Result<(Decoded, Vec<Warning>)> {
        let source = (self.layered.load)(&art.file)?;
        let decoding = Decoding {
            cancel: self.options.choice.cancel.clone(),
            ..source.decoding
        };
        let bytes = Arc::new(source.bytes);
        let decoded = decoded(source.name, bytes, self.lattice(), &decoding)
            .map_err(|error| error.file(Path::new(&art.file)))?;
        let mut notes = decoded.picture.notes.clone();
        let other = art.sha256.as_ref();
        let other = other.filter(|own| !own.eq_ignore_ascii_case(&decoded.sha256));
        notes.extend(other.map(|_| Warning::OtherPicture {
            name: art.file.clone(),
        }));
        Ok((decoded, notes))
    }

    /// How the colours of a layer's own picture would be chosen: it has no limit and no stock.
    fn choice(&self) -> Settings {
        Settings {
            without: self.options.choice.without.clone(),
            cancel: self.options.choice.cancel.clone(),
            ..Settings::default()
        }
    }
}

/// The beads' light, that of continuous tone merged into areas as far as that is asked for.
fn simplified(light: Vec<Light>, soft: &[bool], options: &Options) -> Vec<Light> {
    let open = |(&light, &soft): (&Light, &bool)| Sample {
        light,
        alpha: if soft { 1.0 } else { 0.0 },
    };
    let samples: Vec<Sample> = light.iter().zip(soft).map(open).collect();
    target::simplified(light, &samples, options)
}

/// What the band is compared with as a whole: the light that its beads should give.
fn mosaics(light: &[Light], lattice: &Lattice) -> Mosaics {
    let tiles = lattice.columns() as usize * lattice.half_rows() as usize * TILES * TILES;
    let bare = Mosaic {
        lattice: *lattice,
        light: vec![Light::new(0.0, 0.0, 0.0); tiles],
    };
    Mosaics {
        plain: bare.with_bead_colours(light),
        wanted: None,
    }
}
