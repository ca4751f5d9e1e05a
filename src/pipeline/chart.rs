//! The stages from a picture to a chart, in order.

use super::assemble::{assemble, mean_difference, other_picture, unread_picture};
use super::drawing::{Drawing, Drawn};
use super::{
    Cache, Decoded, FromStock, MotifPosition, Options, Outcome, Previous, Source, decoded, ground,
    motif_contrast, position, reading, settings, target,
};
use crate::cancel::Cancel;
use crate::chart::Made;
use crate::colour::Light;
use crate::error::{Error, Result};
use crate::lattice::Lattice;
use crate::palette::{Bounds, Palette, Tone};
use crate::picture::{Decoding, Picture, Place};
use crate::quantize::groups::Groups;
use crate::quantize::measure::{Measure, Reference};
use crate::quantize::refine::{Refined, refine};
use crate::quantize::{self, Problem, Settings};
use crate::request::{ChartRequest, Shape};
use crate::sample::Sample;
use crate::vision::band::{DISTANCES, Mosaic};
use crate::vision::shapes::{Shapes, shapes};
use crate::warning::{Warned, Warning};
use crate::words::printable;
use cache::Sampled;
use std::sync::Arc;

use super::cache;

/// Most beads of a band whose motif is measured as it is made; [`super::compare()`] measures any.
const MOST_MEASURED: usize = 10_000;

/// Beads of a band that is simplified rather than searched: on so many, shapes show without the
/// beads that a search mixes, and it takes seconds. Ours, by looking at both on six pictures.
const LARGE: usize = 2000;
/// The most that a searched band may differ from its picture as it is worn, of what the nearest
/// colours do. Ours.
const WORN: f64 = 0.95;
/// The most stray beads that it may have, of those of the nearest colours; and those that are few.
/// Ours.
const LESS_STRAY: f64 = 0.8;
const FEW_STRAY: f64 = 2.0;

/// Makes a chart of a picture in the colours of a palette.
///
/// # Errors
/// If the picture cannot be read or shows nothing, or options are out of range or contradict one
/// another or the palette.
pub fn make(source: Source, palette: &Palette, options: &Options) -> Result<Warned<Outcome>> {
    of_source(source, palette, options, None)
}

/// A chart, and the shape of its band.
pub struct Charted {
    /// The chart.
    pub made: Warned<Outcome>,
    /// The band, whose rows a pattern may have changed.
    pub shape: Shape,
}

/// Charts a picture: what the request leaves open is chosen from what the picture is.
///
/// # Errors
/// As [`make()`], and as [`settings::settings`].
pub fn chart(source: Source, palette: &Palette, request: &ChartRequest) -> Result<Charted> {
    let shape = request.shape()?;
    settings::settings(request, &shape, palette)?.check(palette)?;
    let Source {
        name,
        bytes,
        decoding,
    } = source;
    let decoded = decoded(name, Arc::new(bytes), &shape.lattice, &decoding)?;
    let cache = Cache::default();
    chart_decoded(Arc::new(decoded), palette, request, &cache, decoding.cancel)
}

/// As [`chart()`], of a picture that was decoded for bands of this shape; what `cache` holds is not
/// worked out again.
///
/// # Errors
/// As [`chart()`]; if no bead of a motif differs from its ground; and if the work is cancelled.
pub fn chart_decoded(
    decoded: Arc<Decoded>,
    palette: &Palette,
    request: &ChartRequest,
    cache: &Cache,
    cancel: Cancel,
) -> Result<Charted> {
    let mut shape = request.shape()?;
    let made = |request: &ChartRequest, shape: &Shape| -> Result<Warned<Outcome>> {
        let mut options = settings::settings(request, shape, palette)?;
        options.choice.cancel = cancel.clone();
        let made = make_decoded(Arc::clone(&decoded), palette, &options, cache)?;
        check_motif(&made.value, palette, &options)?;
        Ok(made)
    };
    if !reading::is_wanted(request) {
        let made = made(request, &shape)?;
        return Ok(Charted { made, shape });
    }
    let artwork = decoded.artwork(request.picture.crop)?;
    let other_rows = request.other_rows(&shape);
    let mut reading = reading::read(&artwork, request, &shape.lattice, &other_rows);
    let mut notes = Vec::new();
    if let Some(rows) = reading.rows {
        let taken = request.shape_of(Some(rows))?;
        notes.extend(reading.about_rows(&shape, &taken));
        shape = taken;
    }
    if shape.lattice.len() >= LARGE {
        reading.simplify(request);
    }
    let mut found = made(&reading.complete(request), &shape)?;
    if !is_worth_its_beads(&found.value) && reading.simplify(request) {
        found = made(&reading.complete(request), &shape)?;
    }
    notes.insert(0, reading.warning()?);
    found.warnings.splice(0..0, notes);
    Ok(Charted { made: found, shape })
}

/// Whether a band that was searched is seen nearer to its picture than the nearest colours, and is
/// less speckled: else plain areas look better.
fn is_worth_its_beads(outcome: &Outcome) -> bool {
    let Some([plain, found]) = &outcome.refined else {
        return true;
    };
    let worn = if outcome.shapes.is_some_and(|shapes| shapes.are_soft()) {
        1.0
    } else {
        WORN
    };
    let is_nearer = |at: usize, most: f64| found.views[at].mean <= most * plain.views[at].mean;
    let few = (LESS_STRAY * plain.stray as f64).max(FEW_STRAY);
    is_nearer(0, 1.0) && is_nearer(1, worn) && found.stray as f64 <= few
}

/// A motif of which no bead differs from its ground is not on the band at all.
fn check_motif(made: &Outcome, palette: &Palette, options: &Options) -> Result<()> {
    let (Some(ground), Place::Motif) = (made.ground, options.arrangement.place) else {
        return Ok(());
    };
    let beads = &made.chart.beads;
    if beads.iter().any(|bead| *bead != beads[0]) {
        return Ok(());
    }
    let name = printable(&palette.colours()[ground].name);
    Err(Error::new(format!(
        "nothing of the motif is left: all of its colours come nearest to the ground, {name}"
    ))
    .option("ground")
    .hint(
        "choose another [--ground], allow more [--colours], or take a palette with colours nearer \
         to the motif's",
    ))
}

/// As [`make()`], of a picture that was decoded for bands of this shape; what `cache` holds is not
/// worked out again.
///
/// # Errors
/// As [`make()`]; and if the work is cancelled.
pub fn make_decoded(
    decoded: Arc<Decoded>,
    palette: &Palette,
    options: &Options,
    cache: &Cache,
) -> Result<Warned<Outcome>> {
    of_decoded(decoded, palette, options, None, cache)
}

/// Makes a chart anew, starting from what it is now: it never looks further from its picture.
///
/// # Errors
/// As [`make()`]; and if the palette has not all colours of the chart, or pinned beads that share
/// one colour differ.
pub fn remake(
    source: Source,
    palette: &Palette,
    options: &Options,
    previous: &Previous,
) -> Result<Warned<Outcome>> {
    let mut made = of_source(source, palette, options, Some(previous))?;
    made.value.chart.title = previous.chart.title.clone();
    made.value.chart.notes = previous.chart.notes.clone();
    Ok(made)
}

/// What can be refused without the picture is refused before it is decoded.
fn of_source(
    source: Source,
    palette: &Palette,
    options: &Options,
    previous: Option<&Previous>,
) -> Result<Warned<Outcome>> {
    options.check(palette)?;
    if let Some(previous) = previous {
        previous.check(&options.lattice)?;
        palette_indices(previous, palette)?;
    }
    let decoding = Decoding {
        cancel: options.choice.cancel.clone(),
        ..source.decoding
    };
    let bytes = Arc::new(source.bytes);
    let decoded = decoded(source.name, bytes, &options.lattice, &decoding)?;
    let cache = Cache::default();
    of_decoded(Arc::new(decoded), palette, options, previous, &cache)
}

/// A picture sampled for its band, and what was decided on the way: all that is needed to choose
/// colours.
struct Prepared {
    name: String,
    sha256: String,
    tones: Vec<Tone>,
    /// With the motif's position decided.
    options: Options,
    settings: Settings,
    sampled: Arc<Sampled>,
    groups: Groups,
    ground: Option<usize>,
    /// The colours of a drawing's beads, which need no choosing.
    drawn: Option<Vec<usize>>,
    /// The light that each bead should give.
    light: Vec<Light>,
    /// The picture tile by tile, where the whole band is optimised.
    mosaics: Option<Mosaics>,
    /// How large its shapes are, where there is such a picture.
    shapes: Option<Shapes>,
}

/// A picture tile by tile.
struct Mosaics {
    /// As it is: what figures are of.
    plain: Mosaic,
    /// As the band should show it, where that differs: crisp, or merged into areas.
    wanted: Option<Mosaic>,
}

fn of_decoded(
    decoded: Arc<Decoded>,
    palette: &Palette,
    options: &Options,
    previous: Option<&Previous>,
    cache: &Cache,
) -> Result<Warned<Outcome>> {
    options.check(palette)?;
    let before = previous
        .map(|previous| palette_indices(previous, palette))
        .transpose()?;
    let mut notes = decoded.picture.notes.clone();
    notes.extend(previous.and_then(|previous| other_picture(previous.chart, &decoded.sha256)));
    let prepared = prepare(&decoded, palette, options, cache, &mut notes)?;
    options.choice.cancel.check()?;
    // The pixels go before colours are chosen, unless another chart needs them too.
    drop(decoded);
    let samples = &prepared.sampled.samples;
    notes.extend(ground::notes(
        samples,
        prepared.ground,
        palette,
        &prepared.options,
    ));
    let lattice = &options.lattice;
    let groups = &prepared.groups;
    let mut fixed = ground::fixed(samples, prepared.ground);
    if let (Some(previous), Some(before)) = (previous, &before) {
        pin(&mut fixed, groups, previous, before)?;
    }
    let problem = Problem {
        lattice,
        light: &prepared.light,
        fixed: &fixed,
        groups,
    };
    let (chosen, refined) = choose(&prepared, &problem, before.as_deref(), &mut notes)?;
    options.choice.cancel.check()?;
    // Against the picture as it is, however crisp the beads were asked to be.
    let ground = prepared.ground.map(|at| prepared.tones[at].light);
    let light = target::over_ground(samples, ground);
    let difference = mean_difference(&light, &fixed, &prepared.tones, &chosen);
    outcome(prepared, palette, &chosen, refined, difference, notes)
}

/// Places and samples the picture, and chooses the ground.
fn prepare(
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
fn quantize_settings(
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

/// A colour for each bead; and the figures before and after, where the whole band is optimised.
fn choose(
    prepared: &Prepared,
    problem: &Problem,
    before: Option<&[usize]>,
    notes: &mut Vec<Warning>,
) -> Result<(Vec<usize>, Option<[Measure; 2]>)> {
    let (tones, settings) = (&prepared.tones, &prepared.settings);
    if let Some(drawn) = &prepared.drawn {
        let pinned = |(bead, &own): (usize, &usize)| match before {
            Some(_) => problem.fixed[bead].unwrap_or(own),
            None => own,
        };
        return Ok((drawn.iter().enumerate().map(pinned).collect(), None));
    }
    let (Some(goal), Some(mosaics)) = (&settings.refine, &prepared.mosaics) else {
        let chosen = quantize::quantize(problem, tones, settings)?;
        notes.extend(chosen.warnings);
        return Ok((chosen.value, None));
    };
    let picture = mosaics.wanted.as_ref().unwrap_or(&mosaics.plain);
    let refined = refine(problem, tones, picture, before, settings, goal)?;
    notes.extend(refined.warnings);
    let Refined { before, after } = refined.value;
    let reference = Reference::new(&mosaics.plain, &DISTANCES, &settings.cancel);
    let figures = [&before, &after].map(|chosen| {
        let lights: Vec<Light> = chosen.iter().map(|&at| tones[at].light).collect();
        reference.measure(&lights, chosen)
    });
    Ok((after, Some(figures)))
}

fn outcome(
    prepared: Prepared,
    palette: &Palette,
    chosen: &[usize],
    refined: Option<[Measure; 2]>,
    difference: f64,
    mut notes: Vec<Warning>,
) -> Result<Warned<Outcome>> {
    let (options, plan) = (&prepared.options, &prepared.sampled.plan);
    notes.extend(super::assemble::colour_notes(
        &options.choice.keep,
        chosen,
        &prepared.tones,
        palette,
        &options.choice.cancel,
    )?);
    let made = Made {
        source: prepared.name,
        sha256: prepared.sha256,
        options: settings::record(options, palette, plan.rotated, prepared.ground)?,
        version: env!("CARGO_PKG_VERSION").to_string(),
    };
    let chart = assemble(options, palette, chosen, made);
    let small = chart.beads.len() <= MOST_MEASURED;
    let cancel = &options.choice.cancel;
    let motif = small.then(|| motif_contrast(&chart, &DISTANCES, cancel));
    cancel.check()?;
    Ok(Warned {
        value: Outcome {
            motif: motif.flatten(),
            chart,
            rotated: plan.rotated,
            kept: plan.kept,
            position: MotifPosition::of(&options.arrangement, plan),
            ground: prepared.ground,
            difference,
            refined,
            shapes: prepared.shapes,
        },
        warnings: notes,
    })
}

/// The index in the palette of each bead's colour.
fn palette_indices(previous: &Previous, palette: &Palette) -> Result<Vec<usize>> {
    let chart = previous.chart;
    let indices: Vec<usize> = chart
        .colours
        .iter()
        .map(|shade| palette.find(&shade.code))
        .collect::<Result<_>>()?;
    Ok(chart
        .beads
        .iter()
        .map(|&colour| indices[usize::from(colour)])
        .collect())
}

/// Fixes the beads that are pinned, and those that share their colour.
fn pin(
    fixed: &mut [Option<usize>],
    groups: &Groups,
    previous: &Previous,
    before: &[usize],
) -> Result<()> {
    let mut of_groups: Vec<Option<usize>> = vec![None; groups.len()];
    for &bead in &previous.pinned {
        let own = &mut of_groups[groups.group_of(bead)];
        if own.is_some_and(|colour| colour != before[bead]) {
            let (row, column) = previous.chart.lattice.position(bead);
            return Err(Error::usage(format!(
                "row {}, column {} has another colour than its mirror image or repeat, \
                 and both are pinned",
                row.get(),
                column.get()
            ))
            .option("--pin")
            .hint("pin one of them only, or give both the same colour in the chart first"));
        }
        *own = Some(before[bead]);
    }
    for (bead, fixed) in fixed.iter_mut().enumerate() {
        let pinned = of_groups[groups.group_of(bead)];
        *fixed = pinned.or(*fixed);
    }
    Ok(())
}
