//! Picture, palette and options to a chart: the stages, called once each, in order.

mod ground;
mod plain;

pub use plain::plain;

use crate::chart::{Chart, Made, Shade};
use crate::choose::together::Together;
use crate::choose::{self, Dither, Wanted};
use crate::colour::{Light, ciede2000, lab};
use crate::drawer::write::write;
use crate::drawer::{HARD_TO_TELL, Palette, Tone, alike};
use crate::error::{Error, Result};
use crate::lattice::{Axis, Lattice};
use crate::note::{Note, Noted};
use crate::picture::{Arrangement, Fit, Picture, Place, decode, plan};
use crate::sample::{Sample, sample};
use crate::units::decimals;
use sha2::{Digest, Sha256};
use std::sync::Arc;

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
    /// How the band's length came about, for the record: names and values, such as the ring size and the pitch.
    pub length: Vec<(String, String)>,
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
    for &axis in &options.mirror {
        options.lattice.check_mirror(axis)?;
    }
    let decoded = decoded(source.name, Arc::new(source.bytes), &options.lattice)?;
    make_decoded(Arc::new(decoded), palette, options)
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
/// If the picture cannot be read.
pub fn decoded(name: String, bytes: Arc<Vec<u8>>, lattice: &Lattice) -> Result<Decoded> {
    let hashed = Arc::clone(&bytes);
    let (sha256, picture) = rayon::join(|| digest(hashed), || decode(bytes, lattice));
    Ok(Decoded {
        name,
        sha256,
        picture: picture?,
    })
}

/// As [`make()`], of a picture that was decoded for bands of this shape.
///
/// # Errors
/// As [`make()`].
pub fn make_decoded(
    decoded: Arc<Decoded>,
    palette: &Palette,
    options: &Options,
) -> Result<Noted<Outcome>> {
    let lattice = &options.lattice;
    for &axis in &options.mirror {
        lattice.check_mirror(axis)?;
    }
    let (name, sha256) = (decoded.name.clone(), decoded.sha256.clone());
    let picture = &decoded.picture;
    let mut notes = picture.notes.clone();
    let plan = plan(
        picture.upright(),
        picture.orientation,
        lattice,
        &options.arrangement,
    )?;
    notes.extend(plan.notes.iter().cloned());
    let samples = sample(picture, &plan, lattice).map_err(|error| missing(error, &notes))?;

    let tones = palette.tones();
    let ground = match ground::wanted(&samples) {
        false => None,
        true => Some(ground::choose(
            &samples,
            picture.is_opaque(),
            &tones,
            options,
        )),
    };
    // The pixels go before colours are chosen, unless another chart needs them too.
    drop(decoded);
    notes.extend(ground::notes(&samples, ground, palette, options));
    let light = laid_on(&samples, ground.map(|at| tones[at].light));
    let settled: Vec<Option<usize>> = samples
        .iter()
        .map(|sample| ground.filter(|_| sample.alpha < ground::CLEAR))
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
    let difference = mean_difference(&wanted, &tones, &chosen.value);
    notes.extend(unused(&options.choice.keep, &chosen.value, palette));
    notes.extend(hard_to_tell(&chosen.value, &tones, palette));
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
    digest_of(&bytes)
}

fn digest_of(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
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

/// Over the beads that show some of the picture: plain ground would only flatter.
fn mean_difference(wanted: &Wanted, tones: &[Tone], chosen: &[usize]) -> f64 {
    let differences: Vec<f64> = (0..chosen.len())
        .filter(|&bead| wanted.settled[bead].is_none())
        .map(|bead| ciede2000(lab(wanted.light[bead]), tones[chosen[bead]].lab))
        .collect();
    differences.iter().sum::<f64>() / differences.len().max(1) as f64
}

/// The pairs of colours in use that look almost the same, the closest few.
fn hard_to_tell(chosen: &[usize], tones: &[Tone], palette: &Palette) -> Vec<Note> {
    const TOLD: usize = 3;
    let used: Vec<usize> = (0..tones.len()).filter(|at| chosen.contains(at)).collect();
    let used_tones: Vec<Tone> = used.iter().map(|&at| tones[at]).collect();
    let name = |place: usize| palette.colours()[used[place]].name.clone();
    let pairs = alike(&used_tones, HARD_TO_TELL).pairs;
    let told = pairs.iter().take(TOLD).map(|pair| Note::HardToTell {
        one: name(pair.one),
        other: name(pair.other),
        difference: pair.difference,
    });
    told.collect()
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
        ("palette_sha256", digest_of(write(palette).as_bytes())),
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
    let own = record
        .into_iter()
        .map(|(name, value)| (name.to_string(), value));
    own.chain(options.length.iter().cloned()).collect()
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
