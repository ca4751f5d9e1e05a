//! How a chart was made, as its file says it: the options in use as names and values, and back.

use super::{FromStock, Options};
use crate::chart::Chart;
use crate::colour::{Light, light};
use crate::error::{Error, Result};
use crate::lattice::Axis;
use crate::palette::Palette;
use crate::palette::write::digest;
use crate::picture::{Arrangement, Crop, Fit, Place, Seat, Spot, Turn};
use crate::quantize::{self, Dither, refine};
use crate::units::{Mm, decimals};

/// The options in use, so that the chart can be made again.
pub(super) fn record(
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
        ("palette_sha256", digest(palette)),
        ("place", place_word(how.place)),
        ("turn", turned.to_string()),
    ];
    record.extend(how.fit.map(|fit| ("fit", fit_word(fit).to_string())));
    record.extend(how.crop.map(|crop| ("crop", crop_word(&crop))));
    if how.margin > 0 {
        record.push(("margin", how.margin.to_string()));
    }
    if let (Place::Motif, Seat::At(spot)) = (how.place, how.seat) {
        record.push(("seat", spot_word(&spot)));
        record.extend(how.frame.map(|frame| ("frame", crop_word(&frame))));
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
    if let Some(stock) = options.stock {
        record.push(("from_stock", stock.bands.to_string()));
        record.push(("spare", decimals(stock.spare, 6)));
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
    if options.crisp > 0.0 {
        record.push(("crisp", decimals(options.crisp, 6)));
    }
    if let Some(fine) = &options.choice.fine {
        let seen: Vec<String> = fine.seen.iter().map(|mm| decimals(mm.get(), 3)).collect();
        if !seen.is_empty() {
            record.push(("seen", seen.join(",")));
        }
        if fine.calm > 0.0 {
            record.push(("calm", decimals(fine.calm, 6)));
        }
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

fn crop_word(crop: &Crop) -> String {
    format!("{},{},{},{}", crop.x, crop.y, crop.width, crop.height)
}

fn spot_word(spot: &Spot) -> String {
    let numbers = [spot.scale, spot.across.get(), spot.along.get()];
    numbers.map(|number| decimals(number, 6)).join(",")
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

/// The options that a chart says it was made with, for its palette or another that has its colours.
///
/// Codes to keep in or leave out that the palette lacks are passed over: what is not there cannot be used. What is not known stays in the record.
///
/// # Errors
/// If an option's value cannot be read, or the palette lacks the ground.
pub fn recorded(chart: &Chart, palette: &Palette) -> Result<Options> {
    let recorded = Recorded(&chart.made.options);
    let codes = |name| -> Vec<usize> {
        let words = recorded.word(name).unwrap_or_default().split(',');
        words.filter_map(|code| palette.find(code).ok()).collect()
    };
    let strength = recorded.read("strength", |word| word.parse().ok())?;
    let dither = match recorded.word("dither") {
        Some("diffuse") => Dither::Diffuse(strength.unwrap_or(0.5)),
        Some("mask") => Dither::Mask(strength.unwrap_or(0.5)),
        _ => Dither::None,
    };
    let mirror = recorded.read("mirror", |word| match word {
        "columns" => Some(vec![Axis::Columns]),
        "rows" => Some(vec![Axis::Rows]),
        "both" => Some(vec![Axis::Columns, Axis::Rows]),
        _ => None,
    })?;
    let seen = recorded.read("seen", |word| {
        let number = |part: &str| part.parse().ok().map(Mm::new);
        word.split(',').map(number).collect::<Option<Vec<Mm>>>()
    })?;
    let calm = recorded.read("calm", |word| word.parse().ok())?;
    Ok(Options {
        lattice: chart.lattice,
        arrangement: recorded.arrangement()?,
        ground: recorded
            .word("ground")
            .map(|code| palette.find(code))
            .transpose()?,
        crisp: crisp(chart)?,
        mirror: mirror.unwrap_or_default(),
        choice: quantize::Options {
            limit: recorded.read("colours", |word| word.parse().ok())?,
            keep: codes("keep"),
            without: codes("without"),
            dither,
            bounds: None,
            fine: (seen.is_some() || calm.is_some()).then(|| refine::Options {
                seen: seen.unwrap_or_default(),
                calm: calm.unwrap_or_default(),
            }),
            ..quantize::Options::default()
        },
        title: chart.title.clone(),
        stock: recorded.stock()?,
        length: recorded.rest(),
    })
}

/// Where the picture lies on a chart's band, as the chart says it.
///
/// # Errors
/// If an option's value cannot be read.
pub fn arrangement(chart: &Chart) -> Result<Arrangement> {
    Recorded(&chart.made.options).arrangement()
}

/// The light of the ground that a chart says it has, if that is one of its colours.
pub fn recorded_ground(chart: &Chart) -> Option<Light> {
    let code = Recorded(&chart.made.options).word("ground")?;
    let shade = chart.colours.iter().find(|shade| shade.code == code)?;
    Some(light(shade.srgb))
}

/// How crisp a chart's picture was made, as the chart says it.
///
/// # Errors
/// If the option's value cannot be read.
pub fn crisp(chart: &Chart) -> Result<f64> {
    let number = |word: &str| {
        word.parse()
            .ok()
            .filter(|crisp| (0.0..=1.0).contains(crisp))
    };
    let crisp = Recorded(&chart.made.options).read("crisp", number)?;
    Ok(crisp.unwrap_or_default())
}

/// Names and values as a chart's file has them.
struct Recorded<'a>(&'a [(String, String)]);

impl<'a> Recorded<'a> {
    fn word(&self, name: &str) -> Option<&'a str> {
        let mut all = self.0.iter();
        all.find(|option| option.0 == name)
            .map(|option| option.1.as_str())
    }

    fn read<T>(&self, name: &str, read: impl Fn(&str) -> Option<T>) -> Result<Option<T>> {
        let Some(word) = self.word(name) else {
            return Ok(None);
        };
        match read(word) {
            Some(value) => Ok(Some(value)),
            None => Err(Error::new(format!(
                "the chart says it was made with {name} '{word}', which cannot be read"
            ))
            .hint("mend that option under 'made', or take it out")),
        }
    }

    fn arrangement(&self) -> Result<Arrangement> {
        let place = self.read("place", |word| match word.split_once(':') {
            None if word == "round" => Some(Place::Round),
            None if word == "motif" => Some(Place::Motif),
            Some(("repeat", count)) => count.parse().ok().map(Place::Repeat),
            _ => None,
        })?;
        let fit = self.read("fit", |word| {
            let all = [Fit::Cover, Fit::Contain, Fit::Stretch];
            all.into_iter().find(|&fit| fit_word(fit) == word)
        })?;
        let turn = self.read("turn", |word| {
            let degrees: u32 = word.parse().ok()?;
            (degrees < 360 && degrees.is_multiple_of(90)).then_some(Turn::Quarters(degrees / 90))
        })?;
        let part = |word: &str| {
            let numbers: Option<Vec<u32>> = word.split(',').map(|part| part.parse().ok()).collect();
            match numbers?[..] {
                [x, y, width, height] => Some(Crop {
                    x,
                    y,
                    width,
                    height,
                }),
                _ => None,
            }
        };
        let seat = self.read("seat", |word| {
            let numbers: Option<Vec<f64>> = word.split(',').map(|part| part.parse().ok()).collect();
            match numbers?[..] {
                [scale, across, along] if scale > 0.0 => Some(Seat::At(Spot {
                    scale,
                    across: Mm::new(across),
                    along: Mm::new(along),
                })),
                _ => None,
            }
        })?;
        Ok(Arrangement {
            place: place.unwrap_or_default(),
            fit,
            turn: turn.unwrap_or_default(),
            crop: self.read("crop", part)?,
            seat: seat.unwrap_or_default(),
            frame: self.read("frame", part)?,
            margin: self.read("margin", |word| word.parse().ok())?.unwrap_or(0),
        })
    }

    /// What the beads in the drawer had to be enough for, if they were counted.
    fn stock(&self) -> Result<Option<FromStock>> {
        let bands = self.read("from_stock", |word| word.parse().ok())?;
        let spare = self.read("spare", |word| word.parse().ok())?;
        Ok(bands.map(|bands| FromStock {
            bands,
            spare: spare.unwrap_or(0.0),
        }))
    }

    /// What [`record`] did not write itself.
    fn rest(&self) -> Vec<(String, String)> {
        const OWN: [&str; 22] = [
            "palette",
            "palette_sha256",
            "place",
            "turn",
            "fit",
            "crop",
            "margin",
            "seat",
            "frame",
            "ground",
            "colours",
            "keep",
            "without",
            "from_stock",
            "spare",
            "dither",
            "strength",
            "crisp",
            "seen",
            "calm",
            "mirror",
            "pinned",
        ];
        let rest = self
            .0
            .iter()
            .filter(|option| !OWN.contains(&option.0.as_str()));
        rest.cloned().collect()
    }
}
