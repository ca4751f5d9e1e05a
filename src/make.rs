//! Picture, palette and options to a chart: the stages, called once each, in order.

use crate::chart::{Chart, Made, Shade};
use crate::choose::together::Together;
use crate::choose::{self, Dither, Wanted};
use crate::colour::{Light, ciede2000, lab};
use crate::drawer::{Palette, Tone};
use crate::error::{Error, Result};
use crate::lattice::{Axis, Lattice};
use crate::note::{Note, Noted};
use crate::picture::{Arrangement, Fit, Place, Turn, decode, plan};
use crate::sample::{Sample, sample};
use crate::units::decimals;
use sha2::{Digest, Sha256};
use std::sync::Arc;

/// Alpha below which a bead is all ground: half a level of 8 bits.
const CLEAR: f64 = 1.0 / 510.0;

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
    /// Symmetries of the chart.
    pub mirror: Vec<Axis>,
    /// How colours are chosen.
    pub choice: choose::Options,
    /// What the designer calls it.
    pub title: Option<String>,
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
    /// The ground's place in the palette, where the band shows any.
    pub ground: Option<usize>,
    /// Mean CIEDE2000 between the light wanted of a bead and its colour.
    pub difference: f64,
}

/// Makes a chart of a picture in the colours of a palette.
///
/// # Errors
/// If the picture cannot be read or shows nothing, or options contradict one another or the palette.
pub fn make(source: Source, palette: &Palette, options: &Options) -> Result<Noted<Outcome>> {
    let lattice = &options.lattice;
    for &axis in &options.mirror {
        lattice.check_mirror(axis)?;
    }
    let Source { name, bytes } = source;
    let bytes = Arc::new(bytes);
    let hashed = Arc::clone(&bytes);
    let (sha256, picture) = rayon::join(|| digest(hashed), || decode(bytes, lattice));
    let mut picture = picture?;
    let mut notes = std::mem::take(&mut picture.notes);
    let plan = plan(
        picture.upright(),
        picture.orientation,
        lattice,
        &options.arrangement,
    )?;
    notes.extend(plan.notes.iter().cloned());
    let samples = sample(&picture, &plan, lattice).map_err(|error| missing(error, &notes))?;
    drop(picture);

    let tones = palette.tones();
    let ground = ground(&samples, &tones, palette, options, &mut notes);
    let light = laid_on(&samples, ground.map(|at| tones[at].light));
    let settled: Vec<Option<usize>> = samples
        .iter()
        .map(|sample| ground.filter(|_| sample.alpha < CLEAR))
        .collect();
    let together = Together::new(lattice, &options.mirror, plan.alike.as_ref());
    let wanted = Wanted {
        lattice,
        light: &light,
        settled: &settled,
        together: &together,
    };
    let mut choice = options.choice.clone();
    // A ground that shows is one of the colours, whatever the limit.
    choice
        .keep
        .extend(ground.filter(|at| !options.choice.keep.contains(at)));
    let chosen = choose::choose(&wanted, &tones, &choice)?;
    notes.extend(chosen.notes);
    let difference = mean_difference(&light, &tones, &chosen.value);
    notes.extend(unused(&options.choice.keep, &chosen.value, palette));
    let made = Made {
        source: name,
        sha256,
        options: record(options, palette, plan.turned, ground),
        version: env!("CARGO_PKG_VERSION").to_string(),
    };
    Ok(Noted {
        value: Outcome {
            chart: chart(options, palette, &chosen.value, made),
            turned: plan.turned,
            kept: plan.kept,
            ground,
            difference,
        },
        notes,
    })
}

/// Where nothing is seen, a picture that was not read may be why.
fn missing(error: Error, notes: &[Note]) -> Error {
    let linked = |note: &&Note| matches!(note, Note::LinkedPicture { .. });
    match notes.iter().find(linked) {
        Some(note) => error.hint(note.to_string()),
        None => error,
    }
}

fn digest(bytes: Arc<Vec<u8>>) -> String {
    let digest = Sha256::digest(bytes.as_slice());
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The ground, where some bead is not wholly covered: as asked, or the lightest or darkest colour, whichever differs more from the picture.
fn ground(
    samples: &[Sample],
    tones: &[Tone],
    palette: &Palette,
    options: &Options,
    notes: &mut Vec<Note>,
) -> Option<usize> {
    if samples.iter().all(|sample| sample.alpha > 1.0 - 1e-9) {
        return None;
    }
    if options.ground.is_some() {
        return options.ground;
    }
    let allowed = |at: &usize| !options.choice.without.contains(at);
    let by_lightness = |a: &usize, b: &usize| tones[*a].lab.l.total_cmp(&tones[*b].lab.l);
    let lightest = (0..tones.len()).filter(allowed).max_by(by_lightness)?;
    let darkest = (0..tones.len()).filter(allowed).min_by(by_lightness)?;
    let apart = |at: usize| -> f64 {
        samples
            .iter()
            .filter(|sample| sample.alpha > CLEAR)
            .map(|sample| sample.alpha * ciede2000(lab(sample.light / sample.alpha), tones[at].lab))
            .sum()
    };
    let ground = match apart(darkest) > apart(lightest) {
        true => darkest,
        false => lightest,
    };
    notes.push(Note::GroundChosen {
        name: palette.colours()[ground].name.clone(),
    });
    Some(ground)
}

/// The light wanted of each bead: the picture's, and the ground's where it shows through.
fn laid_on(samples: &[Sample], ground: Option<Light>) -> Vec<Light> {
    samples
        .iter()
        .map(|sample| match ground {
            Some(ground) => sample.light + ground * (1.0 - sample.alpha),
            None => sample.light,
        })
        .collect()
}

fn mean_difference(light: &[Light], tones: &[Tone], chosen: &[usize]) -> f64 {
    let sum: f64 = light
        .iter()
        .zip(chosen)
        .map(|(&light, &at)| ciede2000(lab(light), tones[at].lab))
        .sum();
    sum / light.len() as f64
}

fn unused(keep: &[usize], chosen: &[usize], palette: &Palette) -> Vec<Note> {
    keep.iter()
        .filter(|at| !chosen.contains(at))
        .map(|&at| Note::KeptUnused {
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

/// The options in use, so that the chart can be made again.
fn record(
    options: &Options,
    palette: &Palette,
    turned: u32,
    ground: Option<usize>,
) -> Vec<(String, String)> {
    let codes = |places: &[usize]| -> String {
        let codes: Vec<&str> = places
            .iter()
            .map(|&at| palette.colours()[at].code.as_str())
            .collect();
        codes.join(",")
    };
    let how = &options.arrangement;
    let mut record = vec![
        ("palette", palette.name.clone()),
        ("place", place_word(how.place)),
        ("turn", turned.to_string()),
    ];
    record.extend(how.fit.map(|fit| ("fit", fit_word(fit).to_string())));
    record.extend(
        how.crop
            .map(|c| ("crop", format!("{},{},{},{}", c.x, c.y, c.width, c.height))),
    );
    if how.margin > 0 {
        record.push(("margin", how.margin.to_string()));
    }
    record.extend(ground.map(|at| ("ground", codes(&[at]))));
    record.extend(
        options
            .choice
            .limit
            .map(|limit| ("colours", limit.to_string())),
    );
    for (name, places) in [
        ("keep", &options.choice.keep),
        ("without", &options.choice.without),
    ] {
        if !places.is_empty() {
            record.push((name, codes(places)));
        }
    }
    match options.choice.dither {
        Dither::None => {}
        Dither::Diffuse(strength) => record.extend([
            ("dither", "diffuse".into()),
            ("strength", decimals(strength, 6)),
        ]),
        Dither::Mask(strength) => record.extend([
            ("dither", "mask".into()),
            ("strength", decimals(strength, 6)),
        ]),
    }
    if !options.mirror.is_empty() {
        record.push(("mirror", mirror_word(&options.mirror).to_string()));
    }
    record
        .into_iter()
        .map(|(name, value)| (name.to_string(), value))
        .collect()
}

fn place_word(place: Place) -> String {
    match place {
        Place::Round => "round".to_string(),
        Place::Motif => "motif".to_string(),
        Place::Repeat(count) => format!("repeat:{count}"),
    }
}

fn fit_word(fit: Fit) -> &'static str {
    match fit {
        Fit::Cover => "cover",
        Fit::Contain => "contain",
        Fit::Stretch => "stretch",
    }
}

fn mirror_word(axes: &[Axis]) -> &'static str {
    match axes {
        [Axis::Columns] => "columns",
        [Axis::Rows] => "rows",
        _ => "both",
    }
}

/// Reads `round`, `motif` or `repeat:N`.
///
/// # Errors
/// If it is none of them.
pub fn read_place(text: &str) -> Result<Place> {
    let unknown = || {
        Error::usage(format!("'{text}' is no place on a band"))
            .option("--place")
            .hint("write round, motif or repeat:N, such as repeat:4")
    };
    match text.split_once(':') {
        None if text == "round" => Ok(Place::Round),
        None if text == "motif" => Ok(Place::Motif),
        Some(("repeat", count)) => count.parse().map(Place::Repeat).map_err(|_| unknown()),
        _ => Err(unknown()),
    }
}

/// Reads `auto`, `0`, `90`, `180` or `270`.
///
/// # Errors
/// If it is none of them.
pub fn read_turn(text: &str) -> Result<Turn> {
    match text {
        "auto" => Ok(Turn::Auto),
        "0" => Ok(Turn::Quarters(0)),
        "90" => Ok(Turn::Quarters(1)),
        "180" => Ok(Turn::Quarters(2)),
        "270" => Ok(Turn::Quarters(3)),
        _ => Err(Error::usage(format!("'{text}' is no quarter turn"))
            .option("--turn")
            .hint("write auto, 0, 90, 180 or 270, clockwise")),
    }
}
