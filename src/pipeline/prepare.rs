//! All that is needed to choose the colours of a picture's beads.

use super::assemble::unread_picture;
use super::cache::Sampled;
use super::drawing::{Drawing, Drawn};
use super::{Cache, Decoded, FromStock, Options, ground, position, target};
use crate::colour::Light;
use crate::error::Result;
use crate::lattice::Lattice;
use crate::palette::{Bounds, Palette, Tone};
use crate::picture::{Picture, Place};
use crate::quantize::Settings;
use crate::quantize::groups::Groups;
use crate::sample::Sample;
use crate::vision::band::Mosaic;
use crate::vision::shapes::{Shapes, shapes};
use crate::warning::Warning;
use std::sync::Arc;

/// A picture sampled for its band, and what was decided on the way: all that is needed to choose
/// colours.
pub(super) struct Prepared {
    pub(super) name: String,
    pub(super) sha256: String,
    pub(super) tones: Vec<Tone>,
    /// With the motif's position decided.
    pub(super) options: Options,
    pub(super) settings: Settings,
    pub(super) sampled: Arc<Sampled>,
    pub(super) groups: Groups,
    pub(super) ground: Option<usize>,
    /// The colours of a drawing's beads, which need no choosing.
    pub(super) drawn: Option<Vec<usize>>,
    /// Beads whose colour is not to be chosen: the ground's, and those of one colour of a design.
    pub(super) fixed: Vec<Option<usize>>,
    /// The light that each bead should give.
    pub(super) light: Vec<Light>,
    /// The picture tile by tile, where the whole band is optimised.
    pub(super) mosaics: Option<Mosaics>,
    /// How large its shapes are, where there is such a picture.
    pub(super) shapes: Option<Shapes>,
}

/// A picture tile by tile.
pub(super) struct Mosaics {
    /// As it is: what figures are of.
    pub(super) plain: Mosaic,
    /// As the band should show it, where that differs: crisp, or merged into areas.
    pub(super) wanted: Option<Mosaic>,
}

/// Places and samples the picture, and chooses the ground.
pub(super) fn prepare(
    decoded: &Arc<Decoded>,
    palette: &Palette,
    options: &Options,
    cache: &Cache,
    notes: &mut Vec<Warning>,
) -> Result<Prepared> {
    let (lattice, cancel) = (&options.lattice, &options.choice.cancel);
    let picture = &decoded.picture;
    let tones = palette.tones();
    let options = positioned(decoded, &tones, options, cache)?;
    let arrangement = &options.arrangement;
    let sampled = cache.sampled(decoded, lattice, arrangement, cancel, |error, plan| {
        unread_picture(error, &[&notes[..], &plan.notes].concat())
    })?;
    notes.extend(sampled.plan.notes.iter().cloned());
    cancel.check()?;
    let mut settings = quantize_settings(&options, palette, cache, notes);
    let samples = &sampled.samples;
    let axes = options.axes();
    let groups = Groups::new(lattice, &axes, sampled.plan.alike.as_ref());
    let drawing = Drawing {
        picture,
        plan: &sampled.plan,
        samples,
        groups: &groups,
        tones: &tones,
        options: &options,
        settings: &settings,
    };
    let (drawn, ground) = match drawn(decoded, &drawing, notes)? {
        Some(drawn) => (Some(drawn.chosen), drawn.ground),
        None => (
            None,
            ground_of(picture, samples, &tones, &options, &settings),
        ),
    };
    let ground_light = ground.map(|at| tones[at].light);
    let light = wanted_light(picture, &sampled, &options, ground_light)?;
    let is_searched = options.choice.refine.is_some();
    let wanted = drawn.is_none() && (is_searched || options.simplify > 0.0);
    let mosaics = wanted
        .then(|| mosaics(decoded, &sampled, &options, &light, ground_light))
        .transpose()?;
    let shapes = mosaics.as_ref().map(|all| shapes(&all.plain));
    notes.extend(shapes.and_then(|shapes| too_small(&shapes, lattice)));
    // A ground that shows is one of the colours, whatever the limit.
    let more = ground.filter(|at| !settings.keep.contains(at));
    settings.keep.extend(more);
    Ok(Prepared {
        fixed: ground::fixed(samples, ground),
        name: decoded.name.clone(),
        sha256: decoded.sha256.clone(),
        tones,
        options,
        settings,
        sampled,
        groups,
        ground,
        drawn,
        light,
        mosaics,
        shapes,
    })
}

/// The light that each bead should give: as crisp as asked for, and merged into areas.
fn wanted_light(
    picture: &Picture,
    sampled: &Sampled,
    options: &Options,
    ground: Option<Light>,
) -> Result<Vec<Light>> {
    let shown = target::Shown {
        picture,
        plan: &sampled.plan,
        lattice: &options.lattice,
        ground,
        crisp: options.crisp,
    };
    let samples = &sampled.samples;
    let light = target::bead_lights(&shown, samples, &options.choice.cancel)?;
    Ok(target::simplified(light, samples, options))
}

/// The options with a motif's position decided.
fn positioned(
    decoded: &Decoded,
    tones: &[Tone],
    options: &Options,
    cache: &Cache,
) -> Result<Options> {
    let mut options = options.clone();
    if options.arrangement.place == Place::Motif {
        options.arrangement = cache.positioned(decoded, tones, &options, || {
            position::positioned(decoded, tones, &options)
        })?;
    }
    Ok(options)
}

/// The picture tile by tile, as it is and as the band should show it.
fn mosaics(
    decoded: &Decoded,
    sampled: &Sampled,
    options: &Options,
    light: &[Light],
    ground: Option<Light>,
) -> Result<Mosaics> {
    let lattice = &options.lattice;
    let tiles = sampled.tiles(decoded, lattice, &options.choice.cancel)?;
    let plain = Mosaic {
        lattice: *lattice,
        light: target::over_ground(&tiles, ground),
    };
    // Areas are shown as they were merged.
    let strength = if options.simplify > 0.0 {
        1.0
    } else {
        options.crisp
    };
    let wanted = (strength > 0.0).then(|| target::crisped(plain.clone(), light, strength));
    Ok(Mosaics { plain, wanted })
}

/// A warning, if the picture would not be recognised.
fn too_small(shapes: &Shapes, lattice: &Lattice) -> Option<Warning> {
    let larger = shapes.larger?;
    Some(Warning::ShapesTooSmall {
        share: shapes.share,
        larger,
        columns: (f64::from(lattice.columns()) * larger).ceil() as u32,
    })
}

/// The beads of a drawing, if they have its own flat colours.
fn drawn(decoded: &Decoded, drawing: &Drawing, notes: &mut Vec<Warning>) -> Result<Option<Drawn>> {
    if !drawing.options.flat {
        return Ok(None);
    }
    let artwork = decoded.artwork(drawing.options.arrangement.crop)?;
    let drawn = drawing.draw(&artwork)?;
    notes.extend(drawn.too_fine.clone());
    Ok(Some(drawn))
}

/// The ground's index in the palette, if any shows.
fn ground_of(
    picture: &Picture,
    samples: &[Sample],
    tones: &[Tone],
    options: &Options,
    settings: &Settings,
) -> Option<usize> {
    ground::is_shown(samples).then(|| {
        let opaque = picture.is_opaque();
        let lattice = &options.lattice;
        ground::choose(samples, opaque, tones, options.ground, lattice, settings)
    })
}

/// How colours are chosen: as asked, within the stock where it is counted.
pub(super) fn quantize_settings(
    options: &Options,
    palette: &Palette,
    cache: &Cache,
    notes: &mut Vec<Warning>,
) -> Settings {
    let mut settings = options.choice.clone();
    settings.cache = cache.colours.clone();
    if let Some(FromStock { bands, spare }) = options.stock {
        let bounds = Bounds::of(palette, options.lattice.bead(), bands, spare);
        if bounds.all().iter().all(|bound| bound.most.is_none()) {
            notes.push(Warning::NoGrams);
        }
        settings.bounds = Some(bounds);
    }
    settings
}
