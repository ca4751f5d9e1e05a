//! The stages from a picture to a chart, in order.

use super::assemble::{assemble, mean_difference, other_picture};
use super::prepare::{Prepared, prepare};
use super::{
    Cache, Decoded, MotifPosition, Options, Outcome, Previous, Source, decoded, ground,
    motif_contrast, reading, settings, target,
};
use crate::cancel::Cancel;
use crate::chart::Made;
use crate::colour::Light;
use crate::error::{Error, Result};
use crate::palette::Palette;
use crate::picture::{Decoding, Place};
use crate::quantize::groups::Groups;
use crate::quantize::measure::{Measure, Reference};
use crate::quantize::refine::{Refined, refine};
use crate::quantize::{self, Problem};
use crate::request::{ChartRequest, Shape};
use crate::vision::band::DISTANCES;
use crate::warning::{Warned, Warning};
use crate::words::printable;
use std::sync::Arc;

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
    coloured(prepared, palette, previous, before.as_deref(), notes)
}

/// A chart of what was prepared: `before` are the colours of `previous`.
pub(super) fn coloured(
    prepared: Prepared,
    palette: &Palette,
    previous: Option<&Previous>,
    before: Option<&[usize]>,
    mut notes: Vec<Warning>,
) -> Result<Warned<Outcome>> {
    let options = &prepared.options;
    let samples = &prepared.sampled.samples;
    notes.extend(ground::notes(samples, prepared.ground, palette, options));
    let groups = &prepared.groups;
    let mut fixed = prepared.fixed.clone();
    if let (Some(previous), Some(before)) = (previous, before) {
        pin(&mut fixed, groups, previous, before)?;
    }
    let problem = Problem {
        lattice: &options.lattice,
        light: &prepared.light,
        fixed: &fixed,
        groups,
    };
    let (chosen, refined) = choose(&prepared, &problem, before, &mut notes)?;
    options.choice.cancel.check()?;
    // Against the picture as it is, however crisp the beads were asked to be.
    let ground = prepared.ground.map(|at| prepared.tones[at].light);
    let light = target::over_ground(samples, ground);
    let difference = mean_difference(&light, &fixed, &prepared.tones, &chosen);
    outcome(prepared, palette, &chosen, refined, difference, notes)
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
pub(super) fn palette_indices(previous: &Previous, palette: &Palette) -> Result<Vec<usize>> {
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
