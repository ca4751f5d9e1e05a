//! A plain band: no picture, one colour.

use super::assemble::assemble;
use super::{Options, Outcome};
use crate::chart::Made;
use crate::palette::{Palette, write::digest};
use crate::warning::{Warned, Warning};

/// A band of nothing but ground, to design on by hand; arrangement, mirror and choice of `options`
/// do not matter.
///
/// Without a ground it is the lightest colour of the palette, with a warning.
pub fn plain(palette: &Palette, options: &Options) -> Warned<Outcome> {
    let (ground, notes) = ground(palette, options);
    let colour = &palette.colours()[ground];
    let mut record = vec![
        ("palette".to_string(), palette.name.clone()),
        ("palette_sha256".to_string(), digest(palette)),
        ("ground".to_string(), colour.code.clone()),
    ];
    record.extend(options.length.iter().cloned());
    let made = Made {
        source: String::new(),
        sha256: String::new(),
        options: record,
        version: env!("CARGO_PKG_VERSION").to_string(),
    };
    let chosen = vec![ground; options.lattice.len()];
    Warned {
        value: Outcome {
            chart: assemble(options, palette, &chosen, made),
            rotated: 0,
            kept: 0.0,
            position: None,
            ground: Some(ground),
            difference: 0.0,
            refined: None,
            shapes: None,
            motif: None,
        },
        warnings: notes,
    }
}

/// The colour of a plain band: the one that is given, or the lightest, with a warning.
pub(super) fn ground(palette: &Palette, options: &Options) -> (usize, Vec<Warning>) {
    match options.ground {
        Some(ground) => (ground, Vec::new()),
        None => {
            let ground = lightest(palette);
            let name = palette.colours()[ground].name.clone();
            (ground, vec![Warning::GroundChosen { name }])
        }
    }
}

fn lightest(palette: &Palette) -> usize {
    let tones = palette.tones();
    let lightness = |at: &usize| tones[*at].lab.l;
    (0..tones.len())
        .rev()
        .max_by(|one, other| lightness(one).total_cmp(&lightness(other)))
        .unwrap_or(0)
}
