//! Picture, palette and options to a chart: the stages, called once each, in order.

mod ground;
mod ground_of;
mod laid;
mod memory;
mod plain;
mod seat;
mod settings;

pub use ground_of::{OnGround, on_ground};
use laid::laid_on;
pub use memory::Memory;
pub use plain::plain;
pub use settings::{arrangement, recorded, recorded_ground, recorded_picture, settings};

use crate::cancel::Cancel;
use crate::chart::{Chart, Made, Shade};
use crate::colour::{Light, ciede2000, lab, light};
use crate::error::{Error, Result};
use crate::lattice::{Axis, Lattice};
use crate::palette::{Bounds, HARD_TO_TELL, Palette, Tone, alike};
use crate::picture::{Arrangement, Picture, Place, Plan, Seat, Spot, decode, plan};
use crate::quantize::measure::{Beside as Judge, Measure, measure};
use crate::quantize::refine::{Refined, refine};
use crate::quantize::together::Together;
use crate::quantize::{self, Wanted};
use crate::sample::{finely, sample};
use crate::units::Mm;
use crate::vision::band::{DISTANCES, FINE, Mosaic};
use crate::warning::{Warned, Warning};
use sha2::{Digest, Sha256};
use std::sync::Arc;

/// Most beads of a band whose motif is judged as it is made; of a larger one [`compare`] tells.
const READ: usize = 10_000;

/// A picture's bytes and name.
pub struct Source {
    /// File name without its folder.
    pub name: String,
    /// The file, whole.
    pub bytes: Vec<u8>,
}

/// All that decides a chart beside the picture and the palette; places are places in the palette.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// The band's shape.
    pub lattice: Lattice,
    /// Where the picture lies.
    pub arrangement: Arrangement,
    /// The colour where there is no picture; none lets the program choose.
    pub ground: Option<usize>,
    /// How far the picture's edges and thin lines are favoured over its averages, 0 to 1.
    pub crisp: f64,
    /// Symmetries of the chart.
    pub mirror: Vec<Axis>,
    /// How colours are chosen.
    pub choice: quantize::Options,
    /// What the designer calls it.
    pub title: Option<String>,
    /// Whether the palette's grams bound the beads of each colour, and for what.
    pub stock: Option<FromStock>,
    /// How the band's length came about, for the record: names and values, such as the ring size and the pitch.
    pub length: Vec<(String, String)>,
}

/// What the beads in the drawer have to be enough for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FromStock {
    /// Equal bands, 1 or more.
    pub bands: u32,
    /// Beads to be left over, in percent.
    pub spare: f64,
}

/// A chart and how well it came out.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The chart.
    pub chart: Chart,
    /// Degrees clockwise that the picture was turned.
    pub turned: u32,
    /// Share of the picture that falls on the band, 0 to 1.
    pub kept: f64,
    /// How a motif sits, where its seat was chosen or given.
    pub seat: Option<Seated>,
    /// The ground's place in the palette, where the band shows any.
    pub ground: Option<usize>,
    /// Mean CIEDE2000 between the light wanted of a bead and its colour.
    pub difference: f64,
    /// How the motif of a band of up to 10,000 beads stands out from its ground, in the hand, worn and across a table.
    pub on_ground: Option<OnGround>,
    /// The figures before and after, where the whole band was optimised.
    pub refined: Option<[Measure; 2]>,
}

/// A motif's seat, and how large it is on the band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seated {
    /// Beside the largest that fits, in the middle.
    pub spot: Spot,
    /// Across the band.
    pub width: Mm,
    /// Along it.
    pub height: Mm,
}

impl Seated {
    fn of(how: &Arrangement, plan: &Plan) -> Option<Self> {
        let lies = &plan.lies;
        match how.seat {
            Seat::At(spot) if how.place == Place::Motif => Some(Self {
                spot,
                width: lies.right - lies.left,
                height: lies.top - lies.bottom,
            }),
            _ => None,
        }
    }
}

/// A chart that is made again.
#[derive(Debug, Clone, PartialEq)]
pub struct Again<'a> {
    /// The chart as it is; all its colours must be in the palette, by code.
    pub chart: &'a Chart,
    /// Beads that keep their colour, in lattice order.
    pub pinned: Vec<usize>,
}

/// Makes a chart of a picture in the colours of a palette.
///
/// # Errors
/// If the picture cannot be read or shows nothing, or options contradict one another or the palette.
pub fn make(source: Source, palette: &Palette, options: &Options) -> Result<Warned<Outcome>> {
    of_source(source, palette, options, None)
}

/// A picture that is decoded, which may serve for many charts.
pub struct Decoded {
    /// File name without its folder.
    pub name: String,
    /// SHA-256 of the file, in hex.
    pub sha256: String,
    /// The picture; a drawing is rendered for bands of one shape.
    pub picture: Picture,
}

/// Decodes a picture's bytes for a band of that shape.
///
/// # Errors
/// As [`decode()`].
pub fn decoded(
    name: String,
    bytes: Arc<Vec<u8>>,
    lattice: &Lattice,
    cancel: &Cancel,
) -> Result<Decoded> {
    let hashed = Arc::clone(&bytes);
    let (sha256, picture) = rayon::join(|| digest(hashed), || decode(bytes, lattice, cancel));
    Ok(Decoded {
        name,
        sha256,
        picture: picture?,
    })
}

/// As [`make()`], of a picture that was decoded for bands of this shape; what `memory` holds is not worked out again.
///
/// # Errors
/// As [`make()`]; and if the cancel of the options ends.
pub fn make_decoded(
    decoded: Arc<Decoded>,
    palette: &Palette,
    options: &Options,
    memory: &Memory,
) -> Result<Warned<Outcome>> {
    made(decoded, palette, options, None, memory)
}

/// Makes a chart anew, beginning with what it is now: never further from its picture, as it is seen.
///
/// # Errors
/// As [`make()`]; and if the palette lacks a colour of the chart, or beads that are pinned should decide together and differ.
pub fn remake(
    source: Source,
    palette: &Palette,
    options: &Options,
    again: &Again,
) -> Result<Warned<Outcome>> {
    let mut made = of_source(source, palette, options, Some(again))?;
    made.value.chart.title = again.chart.title.clone();
    made.value.chart.notes = again.chart.notes.clone();
    Ok(made)
}

/// What can be refused without the picture is refused before it is decoded.
fn of_source(
    source: Source,
    palette: &Palette,
    options: &Options,
    again: Option<&Again>,
) -> Result<Warned<Outcome>> {
    if let Some(again) = again {
        places(again.chart, palette)?;
    }
    for &axis in &options.mirror {
        options.lattice.check_mirror(axis)?;
    }
    let cancel = &options.choice.cancel;
    let bytes = Arc::new(source.bytes);
    let decoded = decoded(source.name, bytes, &options.lattice, cancel)?;
    let memory = Memory::default();
    made(Arc::new(decoded), palette, options, again, &memory)
}

fn made(
    decoded: Arc<Decoded>,
    palette: &Palette,
    options: &Options,
    again: Option<&Again>,
    memory: &Memory,
) -> Result<Warned<Outcome>> {
    let lattice = &options.lattice;
    let before = again
        .map(|again| places(again.chart, palette))
        .transpose()?;
    for &axis in &options.mirror {
        lattice.check_mirror(axis)?;
    }
    let (name, sha256) = (decoded.name.clone(), decoded.sha256.clone());
    let picture = &decoded.picture;
    let mut notes = picture.notes.clone();
    notes.extend(again.and_then(|again| other_picture(again.chart, &sha256)));
    let tones = palette.tones();
    let options = &Options {
        arrangement: match options.arrangement.place {
            Place::Motif => memory.seated(&decoded, &tones, options, || {
                seat::seated(picture, &tones, options)
            })?,
            _ => options.arrangement,
        },
        ..options.clone()
    };
    let cancel = &options.choice.cancel;
    let how = &options.arrangement;
    let laid = memory.laid(&decoded, lattice, how, cancel, |error, plan| {
        missing(error, &[&notes[..], &plan.notes].concat())
    })?;
    let (plan, samples) = (&laid.plan, &laid.samples);
    notes.extend(plan.notes.iter().cloned());
    cancel.check()?;

    let mut choice = options.choice.clone();
    choice.known = memory.limit.clone();
    if let Some(FromStock { bands, spare }) = options.stock {
        let bounds = Bounds::of(palette, lattice.bead(), bands, spare);
        if bounds.all().iter().all(|bound| bound.most.is_none()) {
            notes.push(Warning::NoGrams);
        }
        choice.bounds = Some(bounds);
    }
    let ground = match ground::wanted(samples) {
        false => None,
        true => Some(ground::choose(
            samples,
            picture.is_opaque(),
            &tones,
            options.ground,
            lattice,
            &choice,
        )),
    };
    let beyond = ground.map(|at| tones[at].light);
    let wanted_light = laid::lights(
        picture,
        plan,
        lattice,
        (samples, beyond),
        (options.crisp, cancel),
    )?;
    let mosaic = match &options.choice.fine {
        None => None,
        Some(_) => {
            let plain = Mosaic {
                lattice: *lattice,
                light: laid_on(&laid.fine(&decoded, lattice, cancel)?, beyond),
            };
            Some(laid::crisped(plain, &wanted_light, options.crisp))
        }
    };
    cancel.check()?;
    // The pixels go before colours are chosen, unless another chart needs them too.
    drop(decoded);
    notes.extend(ground::notes(samples, ground, palette, options));
    let mut settled = ground::settled(samples, ground);
    let together = Together::new(lattice, &options.mirror, plan.alike.as_ref());
    if let (Some(again), Some(before)) = (again, &before) {
        pin(&mut settled, &together, again, before)?;
    }
    let wanted = Wanted {
        lattice,
        light: &wanted_light,
        settled: &settled,
        together: &together,
    };
    // A ground that shows is one of the colours, whatever the limit.
    choice
        .keep
        .extend(ground.filter(|at| !options.choice.keep.contains(at)));
    let (chosen, refined) = match (&choice.fine, &mosaic) {
        (Some(fine), Some(mosaic)) => {
            let refined = refine(&wanted, &tones, mosaic, before.as_deref(), &choice, fine)?;
            notes.extend(refined.notes);
            let Refined { before, after } = refined.value;
            let beside = Judge::new(mosaic, &DISTANCES);
            let measured = [&before, &after].map(|chosen| measured(&beside, &tones, chosen));
            (after, Some(measured))
        }
        _ => {
            let chosen = quantize::choose(&wanted, &tones, &choice)?;
            notes.extend(chosen.notes);
            (chosen.value, None)
        }
    };
    cancel.check()?;
    let difference = mean_difference(&wanted, &tones, &chosen);
    notes.extend(unused(&options.choice.keep, &chosen, palette));
    notes.extend(hard_to_tell(&chosen, &tones, palette));
    let made = Made {
        source: name,
        sha256,
        options: settings::record(options, palette, plan.turned, ground)?,
        version: env!("CARGO_PKG_VERSION").to_string(),
    };
    let chart = chart(options, palette, &chosen, made);
    Ok(Warned {
        value: Outcome {
            on_ground: (chart.beads.len() <= READ)
                .then(|| on_ground(&chart, &DISTANCES))
                .flatten(),
            chart,
            turned: plan.turned,
            kept: plan.kept,
            seat: Seated::of(&options.arrangement, plan),
            ground,
            difference,
            refined,
        },
        notes,
    })
}

/// How a picture is laid beside a chart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beside {
    /// Where it lies.
    pub arrangement: Arrangement,
    /// The light where there is no picture; none lets the picture's own edge stand for it.
    pub ground: Option<Light>,
    /// How crisp it is made, 0 to 1.
    pub crisp: f64,
}

/// Figures of a chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// Beside its picture.
    pub measure: Measure,
    /// Of its motif beside its ground.
    pub on_ground: Option<OnGround>,
}

/// Figures of a chart beside a picture.
///
/// # Errors
/// If the picture cannot be read or shows nothing, or the arrangement does not suit the band.
pub fn compare(
    source: Source,
    chart: &Chart,
    beside: &Beside,
    distances: &[Mm],
) -> Result<Warned<Compared>> {
    let lattice = &chart.lattice;
    let bytes = Arc::new(source.bytes);
    let sha256 = digest_of(&bytes);
    // Comparing is quick beside decoding, and nobody changes their mind about it.
    let cancel = &Cancel::default();
    let picture = decode(bytes, lattice, cancel)?;
    let mut notes = picture.notes.clone();
    notes.extend(other_picture(chart, &sha256));
    let plan = plan(
        picture.upright(),
        picture.orientation,
        lattice,
        &beside.arrangement,
    )?;
    notes.extend(plan.notes.iter().cloned());
    let samples =
        sample(&picture, &plan, lattice, cancel).map_err(|error| missing(error, &notes))?;
    let (ground, crisp) = (beside.ground, beside.crisp);
    let wanted = laid::lights(
        &picture,
        &plan,
        lattice,
        (&samples, ground),
        (crisp, cancel),
    )?;
    let mosaic = mosaic(&picture, &plan, lattice, ground, cancel)?;
    let mosaic = laid::crisped(mosaic, &wanted, crisp);
    notes.extend((crisp > 0.0).then_some(Warning::BesideCrisp { crisp }));
    let of = |&colour: &u16| light(chart.colours[usize::from(colour)].srgb);
    let lights: Vec<Light> = chart.beads.iter().map(of).collect();
    Ok(Warned {
        value: Compared {
            measure: measure(&mosaic, &lights, &chart.beads, distances),
            on_ground: on_ground(chart, distances),
        },
        notes,
    })
}

/// The picture as the eye is to compare it with: what falls on each tile of the band, and the ground where there is none.
fn mosaic(
    picture: &Picture,
    plan: &Plan,
    lattice: &Lattice,
    ground: Option<Light>,
    cancel: &Cancel,
) -> Result<Mosaic> {
    let samples = finely(picture, plan, lattice, FINE as u32, cancel)?;
    Ok(Mosaic {
        lattice: *lattice,
        light: laid_on(&samples, ground),
    })
}

/// Whether the chart names another picture than the one at hand.
fn other_picture(chart: &Chart, sha256: &str) -> Option<Warning> {
    let made = &chart.made;
    let other = !made.sha256.is_empty() && !made.sha256.eq_ignore_ascii_case(sha256);
    other.then(|| Warning::OtherPicture {
        name: made.source.clone(),
    })
}

fn measured(beside: &Judge, tones: &[Tone], chosen: &[usize]) -> Measure {
    let lights: Vec<Light> = chosen.iter().map(|&at| tones[at].light).collect();
    beside.measure(&lights, chosen)
}

/// The place in the palette of each bead's colour.
fn places(chart: &Chart, palette: &Palette) -> Result<Vec<usize>> {
    let places: Vec<usize> = chart
        .colours
        .iter()
        .map(|shade| palette.find(&shade.code))
        .collect::<Result<_>>()?;
    Ok(chart
        .beads
        .iter()
        .map(|&colour| places[usize::from(colour)])
        .collect())
}

/// Settles the beads that are pinned, and those that decide together with them.
fn pin(
    settled: &mut [Option<usize>],
    together: &Together,
    again: &Again,
    before: &[usize],
) -> Result<()> {
    let mut of_groups: Vec<Option<usize>> = vec![None; together.len()];
    for &bead in &again.pinned {
        let own = &mut of_groups[together.group_of(bead)];
        if own.is_some_and(|colour| colour != before[bead]) {
            let (row, column) = again.chart.lattice.position(bead);
            return Err(Error::usage(format!(
                "row {}, column {} has another colour than its mirror image or repeat, and both are pinned",
                row.get(),
                column.get()
            ))
            .option("--pin")
            .hint("pin one of them only, or give both the same colour in the chart first"));
        }
        *own = Some(before[bead]);
    }
    for (bead, settled) in settled.iter_mut().enumerate() {
        let pinned = of_groups[together.group_of(bead)];
        *settled = pinned.or(*settled);
    }
    Ok(())
}

/// Where nothing is seen, a picture that was not read may be why.
fn missing(error: Error, notes: &[Warning]) -> Error {
    let linked = |note: &&Warning| matches!(note, Warning::LinkedPicture { .. });
    match notes.iter().find(linked) {
        Some(note) => error.hint(note.to_string()),
        None => error,
    }
}

fn digest(bytes: Arc<Vec<u8>>) -> String {
    digest_of(&bytes)
}

fn digest_of(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Over the beads that show some of the picture: plain ground would only flatter.
fn mean_difference(wanted: &Wanted, tones: &[Tone], chosen: &[usize]) -> f64 {
    let differences: Vec<f64> = (0..chosen.len())
        .filter(|&bead| wanted.settled[bead].is_none())
        .map(|bead| ciede2000(lab(wanted.light[bead]), tones[chosen[bead]].lab))
        .collect();
    differences.iter().sum::<f64>() / differences.len().max(1) as f64
}

/// The pairs of colours in use that look almost the same, the closest few.
fn hard_to_tell(chosen: &[usize], tones: &[Tone], palette: &Palette) -> Vec<Warning> {
    const TOLD: usize = 3;
    let used: Vec<usize> = (0..tones.len()).filter(|at| chosen.contains(at)).collect();
    let used_tones: Vec<Tone> = used.iter().map(|&at| tones[at]).collect();
    let name = |place: usize| palette.colours()[used[place]].name.clone();
    let pairs = alike(&used_tones, HARD_TO_TELL).pairs;
    let told = pairs.iter().take(TOLD).map(|pair| Warning::HardToTell {
        one: name(pair.one),
        other: name(pair.other),
        difference: pair.difference,
    });
    told.collect()
}

fn unused(keep: &[usize], chosen: &[usize], palette: &Palette) -> Vec<Warning> {
    keep.iter()
        .filter(|at| !chosen.contains(at))
        .map(|&at| Warning::KeptUnused {
            name: palette.colours()[at].name.clone(),
        })
        .collect()
}

/// The chart lists the colours in use, in the order of the palette.
fn chart(options: &Options, palette: &Palette, chosen: &[usize], made: Made) -> Chart {
    let mut place = vec![None; palette.colours().len()];
    for &at in chosen {
        place[at] = Some(0);
    }
    let mut colours = Vec::new();
    for (place, colour) in place.iter_mut().zip(palette.colours()) {
        if place.is_some() {
            *place = Some(colours.len() as u16);
            colours.push(Shade {
                code: colour.code.clone(),
                name: colour.name.clone(),
                srgb: colour.srgb,
                finish: colour.finish,
            });
        }
    }
    Chart {
        lattice: options.lattice,
        colours,
        beads: chosen.iter().filter_map(|&at| place[at]).collect(),
        made,
        title: options.title.clone(),
        notes: None,
    }
}
