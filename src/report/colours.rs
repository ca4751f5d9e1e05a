//! The codes that were typed as places in the palette.

use super::of_option;
use crate::error::{Error, Result};
use crate::palette::Palette;
use crate::quantize::Options;

/// Checks the limit and the codes against the palette and one another.
pub(crate) fn choice(
    limit: Option<usize>,
    keep: &[String],
    without: &[String],
    ground: Option<usize>,
    palette: &Palette,
) -> Result<Options> {
    if limit == Some(0) {
        return Err(Error::usage("a band has at least one colour")
            .option("--colours")
            .hint("allow 1 or more, or leave the limit out"));
    }
    let keep = places(keep, "--keep", palette)?;
    let without = places(without, "--without", palette)?;
    if let Some(&both) = keep.iter().find(|at| without.contains(at)) {
        return Err(contradiction(both, "kept in", palette));
    }
    if let Some(ground) = ground.filter(|at| without.contains(at)) {
        return Err(contradiction(ground, "the ground", palette));
    }
    if without.len() == palette.colours().len() {
        return Err(Error::usage("no colour is left to choose from")
            .option("--without")
            .hint("rule out fewer colours"));
    }
    Ok(Options {
        limit,
        keep,
        without,
        ..Options::default()
    })
}

/// Places without doubles, in the order of the palette.
fn places(codes: &[String], option: &str, palette: &Palette) -> Result<Vec<usize>> {
    let mut places: Vec<usize> = codes
        .iter()
        .map(|code| code.trim())
        .filter(|code| !code.is_empty())
        .map(|code| palette.find(code).map_err(|error| of_option(error, option)))
        .collect::<Result<_>>()?;
    places.sort_unstable();
    places.dedup();
    Ok(places)
}

fn contradiction(at: usize, role: &str, palette: &Palette) -> Error {
    let code = &palette.colours()[at].code;
    Error::usage(format!("'{code}' is {role} and left out at once"))
        .option("--without")
        .hint("name it in one of the two only")
}
