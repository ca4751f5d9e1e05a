//! From a request to the settings of the stages, and from those to the record that a chart keeps.

use super::{FromStock, Options};
use crate::chart::Chart;
use crate::colour::{Light, light};
use crate::error::{Error, Result};
use crate::palette::Palette;
use crate::palette::write::digest;
use crate::picture::{Arrangement, Place, Position, Rotation};
use crate::quantize::{self, Dither, refine};
use crate::request::design::{self, Design, Layer};
use crate::request::{
    Bands, Calm, CalmRequest, ChartRequest, ColourRequest, Count, Crisp, DistanceRequest,
    Distances, DitherKind, Matching, Mirror, Percent, PictureRequest, Record, STRENGTH, Shape,
    Simplify, Strength,
};
use crate::units::Mm;
use crate::vision::band::DISTANCES;

/// The settings of a chart of that shape in the colours of `palette`.
///
/// # Errors
/// If a code is not in the palette, or options contradict one another or the shape.
pub fn settings(request: &ChartRequest, shape: &Shape, palette: &Palette) -> Result<Options> {
    request.check()?;
    let mirror = mirrored(request, shape)?;
    let arrangement = request.picture.arrangement()?;
    arrangement.check(&shape.lattice)?;
    let code = request.picture.ground.as_deref();
    let ground = code.map(|code| palette.find(code)).transpose();
    let ground = ground.map_err(|error| error.of_option("ground"))?;
    Ok(Options {
        lattice: shape.lattice,
        arrangement,
        ground,
        crisp: request.picture.crisp.map_or(0.0, Crisp::get),
        simplify: request.calm.simplify.map_or(0.0, Simplify::get),
        flat: request.colours.matching == Some(Matching::Flat),
        mirror,
        choice: quantize::Settings {
            dither: dither(&request.colours),
            refine: optimised(request),
            ..choice(&request.colours, ground, palette)?
        },
        design: None,
        title: request.design.title.clone(),
        stock: stock(&request.colours),
        length: shape.length.clone(),
    })
}

fn mirrored(request: &ChartRequest, shape: &Shape) -> Result<Mirror> {
    let mirror = request.colours.mirror.unwrap_or_default();
    for axis in mirror.axes(&shape.lattice, Mm::new(0.0)) {
        let checked = shape.lattice.check_mirror(axis);
        checked.map_err(|error| error.of_option("mirror"))?;
    }
    Ok(mirror)
}

fn dither(colours: &ColourRequest) -> Dither {
    let strength = colours.strength.map_or(STRENGTH, Strength::get);
    match colours.dither.unwrap_or_default() {
        DitherKind::None => Dither::None,
        DitherKind::Diffuse => Dither::Diffuse(strength),
        DitherKind::Mask => Dither::Mask(strength),
    }
}

fn optimised(request: &ChartRequest) -> Option<refine::Goal> {
    let refine = request.colours.refine;
    let usual = if refine { refine::usual_calm() } else { 0.0 };
    let calm = request.calm.calm.map_or(usual, Calm::get);
    let seen = match &request.view.distances {
        _ if !refine => Vec::new(),
        Some(distances) => distances.0.clone(),
        None => DISTANCES.to_vec(),
    };
    (refine || calm > 0.0).then_some(refine::Goal {
        distances: seen,
        calm,
    })
}

fn stock(colours: &ColourRequest) -> Option<FromStock> {
    colours.from_stock.then(|| FromStock {
        bands: colours.make.map_or(1, |bands| bands.0),
        spare: colours.spare.map_or(0.0, |percent| percent.0),
    })
}

/// The limit and the codes as places in the palette.
fn choice(
    colours: &ColourRequest,
    ground: Option<usize>,
    palette: &Palette,
) -> Result<quantize::Settings> {
    let keep = places(&colours.keep, "keep", palette)?;
    let without = places(&colours.without, "without", palette)?;
    if let Some(&both) = keep.iter().find(|at| without.contains(at)) {
        return Err(contradiction(both, "kept in", palette));
    }
    if let Some(ground) = ground.filter(|at| without.contains(at)) {
        return Err(contradiction(ground, "the ground", palette));
    }
    if without.len() == palette.colours().len() {
        return Err(Error::usage("no colour is left to choose from")
            .option("without")
            .hint("rule out fewer colours"));
    }
    Ok(quantize::Settings {
        limit: colours.colours.map(|count| count.0 as usize),
        keep,
        without,
        ..quantize::Settings::default()
    })
}

/// Places without doubles, in the order of the palette.
fn places(codes: &[String], option: &str, palette: &Palette) -> Result<Vec<usize>> {
    let trimmed = codes.iter().map(|code| code.trim());
    let given: Vec<&str> = trimmed.filter(|code| !code.is_empty()).collect();
    if given.is_empty() && !codes.is_empty() {
        return Err(Error::usage("no colour is named")
            .option(option)
            .hint(format!("name one, or leave [--{option}] out")));
    }
    let found = given.into_iter().map(|code| palette.find(code));
    let mut places: Vec<usize> = found
        .collect::<Result<_>>()
        .map_err(|error| error.of_option(option))?;
    places.sort_unstable();
    places.dedup();
    Ok(places)
}

fn contradiction(at: usize, role: &str, palette: &Palette) -> Error {
    let code = &palette.colours()[at].code;
    Error::usage(format!("'{code}' is {role} and left out at once"))
        .option("without")
        .hint("name it in one of the two only")
}

/// The record of a chart: the settings as a request, with what the stages decided.
pub(super) fn record(
    options: &Options,
    palette: &Palette,
    turned: u32,
    ground: Option<usize>,
) -> Result<Vec<(String, String)>> {
    let picture = match options.design {
        // Its layers say how their pictures lie.
        Some(_) => PictureRequest {
            ground: ground.map(|at| palette.colours()[at].code.clone()),
            ..PictureRequest::default()
        },
        None => decided_picture(options, palette, turned, ground)?,
    };
    let design = options.design.as_ref();
    let mut written = Record {
        request: ChartRequest {
            picture,
            colours: decided_colours(options, palette)?,
            view: decided_distances(options),
            calm: decided_calm(options)?,
            ..ChartRequest::default()
        },
        other: vec![
            ("palette".to_string(), palette.name.clone()),
            ("palette_sha256".to_string(), digest(palette)),
        ],
    }
    .write()?;
    written.extend(design.map(|own| (design::RECORDED.to_string(), own.to_text())));
    written.extend(options.length.iter().cloned());
    Ok(written)
}

fn decided_picture(
    options: &Options,
    palette: &Palette,
    turned: u32,
    ground: Option<usize>,
) -> Result<PictureRequest> {
    let how = &options.arrangement;
    let found = how.place == Place::Motif && matches!(how.position, Position::At(_));
    let crisp = Some(options.crisp).filter(|crisp| *crisp > 0.0);
    Ok(PictureRequest {
        place: Some(how.place),
        rotate: Some(Rotation::Quarters(turned / 90)),
        scaling: how.scaling,
        crop: how.crop,
        margin: (how.margin > 0).then_some(Count(how.margin)),
        position: found.then_some(how.position),
        frame: how.frame.filter(|_| found),
        ground: ground.map(|at| palette.colours()[at].code.clone()),
        crisp: crisp.map(Crisp::new).transpose()?,
    })
}

fn decided_colours(options: &Options, palette: &Palette) -> Result<ColourRequest> {
    let codes = |places: &[usize]| {
        let code = |&at: &usize| palette.colours()[at].code.clone();
        places.iter().map(code).collect()
    };
    let choice = &options.choice;
    let (dither, strength) = match choice.dither {
        Dither::None => (None, None),
        Dither::Diffuse(strength) => (Some(DitherKind::Diffuse), Some(strength)),
        Dither::Mask(strength) => (Some(DitherKind::Mask), Some(strength)),
    };
    let limit = choice.limit.map(u32::try_from);
    Ok(ColourRequest {
        colours: limit.and_then(|limit| limit.ok()).map(Count),
        keep: codes(&choice.keep),
        without: codes(&choice.without),
        from_stock: options.stock.is_some(),
        make: options.stock.map(|stock| Bands(stock.bands)),
        spare: options.stock.map(|stock| Percent(stock.spare)),
        dither,
        strength: strength.map(Strength::new).transpose()?,
        matching: options.flat.then_some(Matching::Flat),
        mirror: Some(options.mirror).filter(|mirror| *mirror != Mirror::None),
        refine: choice
            .refine
            .as_ref()
            .is_some_and(|fine| !fine.distances.is_empty()),
    })
}

fn decided_distances(options: &Options) -> DistanceRequest {
    let fine = options.choice.refine.as_ref();
    let seen = fine.map(|fine| fine.distances.clone());
    DistanceRequest {
        distances: seen.filter(|seen| !seen.is_empty()).map(Distances),
    }
}

fn decided_calm(options: &Options) -> Result<CalmRequest> {
    let fine = options.choice.refine.as_ref();
    let searched = fine.is_some_and(|fine| !fine.distances.is_empty());
    let calm = fine.map(|fine| fine.calm);
    let calm = calm.filter(|calm| searched || *calm > 0.0);
    let simplify = Some(options.simplify).filter(|amount| *amount > 0.0);
    Ok(CalmRequest {
        calm: calm.map(Calm::new).transpose()?,
        simplify: simplify.map(Simplify::new).transpose()?,
    })
}

/// The settings that a chart says it was made with, for its palette or another with its colours.
///
/// Codes to keep in or leave out that the palette does not have are passed over.
///
/// # Errors
/// If an option's value cannot be read, or the palette does not have the ground.
pub fn recorded(chart: &Chart, palette: &Palette) -> Result<Options> {
    let Record { mut request, other } = Record::read(&chart.made.options)?;
    request.design.title.clone_from(&chart.title);
    for codes in [&mut request.colours.keep, &mut request.colours.without] {
        codes.retain(|code| palette.find(code).is_ok());
    }
    let palette_own = ["palette", "palette_sha256", "pinned", design::RECORDED];
    let length = other
        .into_iter()
        .filter(|(name, _)| !palette_own.contains(&name.as_str()));
    let shape = Shape {
        lattice: chart.lattice,
        ring: None,
        warnings: Vec::new(),
        length: length.collect(),
    };
    let mut design = recorded_design(chart)?;
    for layer in design.iter_mut().flat_map(|design| &mut design.layers) {
        if let Layer::Art(art) = layer {
            let known = |code: &String| palette.find(code).is_ok();
            // Without any of them, it is told which is missing.
            if art.colours.iter().any(known) {
                art.colours.retain(known);
            }
        }
    }
    Ok(Options {
        design,
        ..settings(&request, &shape, palette)?
    })
}

/// The layers that a chart says it is made of; none if it is of a single picture.
///
/// # Errors
/// If they cannot be read.
pub fn recorded_design(chart: &Chart) -> Result<Option<Design>> {
    let text = chart.made.option(design::RECORDED);
    text.map(Design::read).transpose()
}

/// How a chart's picture lies on its band, and how crisp it was made, as the chart says.
///
/// # Errors
/// If an option's value cannot be read.
pub fn recorded_picture(chart: &Chart) -> Result<PictureRequest> {
    Ok(Record::read(&chart.made.options)?.request.picture)
}

/// Where the picture lies on a chart's band, as the chart says it.
///
/// # Errors
/// If an option's value cannot be read.
pub fn arrangement(chart: &Chart) -> Result<Arrangement> {
    recorded_picture(chart)?.arrangement()
}

/// The light of the ground that a chart says it has, if that is one of its colours.
pub fn recorded_ground(chart: &Chart) -> Option<Light> {
    let ground = chart.recorded_ground()?;
    Some(light(chart.colours[usize::from(ground)].srgb))
}
