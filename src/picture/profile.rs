//! The embedded ICC profile: how a picture's numbers become linear light.
//!
//! A matrix profile gives a table for each channel, and one matrix that may wait until the light
//! has been averaged, since both are linear. A table profile (A2B) converts each pixel first,
//! through moxcms.

use super::{Channels, Depth};
use crate::colour::{Light, Matrix, PCS_WHITE, apply, from_profile_space, product};
use crate::error::Result;
use crate::warning::Warning;
use moxcms::{
    ColorProfile, DataColorSpace, Layout, RenderingIntent, ToneReprCurve, TransformF64Executor,
    TransformOptions, curve_from_gamma,
};
use std::sync::Arc;

/// The value 1 in the tables of light: 31 bits keep a row's sum of 16-bit alpha times light within
/// 64 bits.
pub const ONE: f64 = (1u64 << 31) as f64;

/// How numbers become linear light.
pub enum Reading {
    /// By a curve a channel, then a matrix.
    Curves {
        /// For each channel and each level, light times [`ONE`].
        tables: Box<[Vec<u32>; 3]>,
        /// From the channels' light to linear sRGB; none where they are the same.
        matrix: Option<Matrix>,
    },
    /// Pixel by pixel, through a profile's tables.
    Pixels {
        /// From numbers in 0..1 to the channels' light.
        executor: Arc<TransformF64Executor>,
        /// From the channels' light to linear sRGB.
        matrix: Matrix,
    },
}

impl Reading {
    /// Mean of the channels' light to linear sRGB.
    pub fn light(&self, channels: [f64; 3]) -> Light {
        let [r, g, b] = match self {
            Self::Curves {
                matrix: Some(matrix),
                ..
            } => apply(matrix, channels),
            Self::Pixels { matrix, .. } => apply(matrix, channels),
            Self::Curves { matrix: None, .. } => channels,
        };
        Light::new(r, g, b)
    }

    /// Plain sRGB.
    pub fn srgb(depth: Depth) -> Self {
        let table = table(depth, |level| {
            ::palette::Srgb::new(level, level, level).into_linear().red
        });
        Self::Curves {
            tables: Box::new([table.clone(), table.clone(), table]),
            matrix: None,
        }
    }
}

fn table(depth: Depth, curve: impl Fn(f64) -> f64) -> Vec<u32> {
    let top = match depth {
        Depth::Eight => 255,
        Depth::Sixteen => 65_535,
    };
    (0..=top)
        .map(|level| {
            let light = curve(f64::from(level) / f64::from(top));
            (light.clamp(0.0, 1.0) * ONE).round() as u32
        })
        .collect()
}

/// The reading for an embedded profile; plain sRGB without one, or where it cannot be used, which
/// is noted.
pub fn reading(
    embedded: Option<&[u8]>,
    channels: Channels,
    depth: Depth,
    notes: &mut Vec<Warning>,
) -> Reading {
    let Some(bytes) = embedded.filter(|bytes| !bytes.is_empty()) else {
        return Reading::srgb(depth);
    };
    match from_profile(bytes, channels, depth) {
        Ok(reading) => reading,
        Err(reason) => {
            notes.push(Warning::ProfileIgnored {
                reason: reason.to_string(),
            });
            Reading::srgb(depth)
        }
    }
}

fn from_profile(
    bytes: &[u8],
    channels: Channels,
    depth: Depth,
) -> std::result::Result<Reading, &'static str> {
    let profile = ColorProfile::new_from_slice(bytes).map_err(|_| "it is damaged")?;
    match (profile.color_space, channels.colour) {
        (DataColorSpace::Gray, 1) => grey(&profile, depth),
        (DataColorSpace::Rgb, _) if is_matrix(&profile) => matrix(&profile, depth),
        (DataColorSpace::Rgb, 3) => by_pixels(&profile, channels),
        (DataColorSpace::Gray, _) => Err("it is for grey pictures"),
        (DataColorSpace::Rgb, _) => Err("it is for colour pictures"),
        _ => Err("it is not for RGB or grey pictures"),
    }
}

fn is_matrix(profile: &ColorProfile) -> bool {
    let tables =
        profile.lut_a_to_b_perceptual.is_some() || profile.lut_a_to_b_colorimetric.is_some();
    let curves =
        profile.red_trc.is_some() && profile.green_trc.is_some() && profile.blue_trc.is_some();
    curves && !tables
}

const NO_CURVE: &str = "a curve of it cannot be read";

fn curve_table(
    curve: Option<&ToneReprCurve>,
    depth: Depth,
) -> std::result::Result<Vec<u32>, &'static str> {
    let evaluator = curve
        .ok_or(NO_CURVE)?
        .make_linear_evaluator()
        .map_err(|_| NO_CURVE)?;
    Ok(table(depth, |level| {
        f64::from(evaluator.evaluate_value(level as f32))
    }))
}

/// ICC.1:2010 clause F.2: the grey curve gives light relative to the white of the profile
/// connection space.
fn grey(profile: &ColorProfile, depth: Depth) -> std::result::Result<Reading, &'static str> {
    let table = curve_table(profile.gray_trc.as_ref(), depth)?;
    Ok(Reading::Curves {
        tables: Box::new([table.clone(), table.clone(), table]),
        matrix: None,
    })
}

/// ICC.1:2010 clause F.3: curves, then the colorants, which are relative to D50.
fn matrix(profile: &ColorProfile, depth: Depth) -> std::result::Result<Reading, &'static str> {
    let table = |curve: &Option<ToneReprCurve>| curve_table(curve.as_ref(), depth);
    Ok(Reading::Curves {
        tables: Box::new([
            table(&profile.red_trc)?,
            table(&profile.green_trc)?,
            table(&profile.blue_trc)?,
        ]),
        matrix: Some(product(&from_profile_space(), &profile.colorant_matrix().v)),
    })
}

/// To XYZ relative to white, where every real colour lies within 0..1: moxcms clips beyond that, so
/// linear sRGB would lose what sRGB cannot show.
fn by_pixels(
    profile: &ColorProfile,
    channels: Channels,
) -> std::result::Result<Reading, &'static str> {
    let mut relative = ColorProfile::new_srgb();
    let white = PCS_WHITE;
    let colorant = |x, y, z| moxcms::Xyzd { x, y, z };
    relative.red_colorant = colorant(white[0], 0.0, 0.0);
    relative.green_colorant = colorant(0.0, white[1], 0.0);
    relative.blue_colorant = colorant(0.0, 0.0, white[2]);
    let straight = Some(curve_from_gamma(1.0));
    relative.red_trc.clone_from(&straight);
    relative.green_trc.clone_from(&straight);
    relative.blue_trc = straight;
    relative.cicp = None;
    let layout = if channels.alpha {
        Layout::Rgba
    } else {
        Layout::Rgb
    };
    let options = TransformOptions {
        rendering_intent: RenderingIntent::RelativeColorimetric,
        allow_use_cicp_transfer: false,
        prefer_fixed_point: false,
        ..TransformOptions::default()
    };
    let executor = profile
        .create_transform_f64(layout, &relative, layout, options)
        .map_err(|_| "its tables cannot be read")?;
    let scale = [
        [white[0], 0.0, 0.0],
        [0.0, white[1], 0.0],
        [0.0, 0.0, white[2]],
    ];
    Ok(Reading::Pixels {
        executor,
        matrix: product(&from_profile_space(), &scale),
    })
}

/// One row of pixels as the channels' light, and alpha as it was, by a table profile.
///
/// # Errors
/// If the row does not fit the profile, which reading the profile has made sure of.
pub fn convert_row(executor: &TransformF64Executor, row: &[f64], out: &mut [f64]) -> Result<()> {
    executor
        .transform(row, out)
        .map_err(|e| crate::error::Error::new("the picture's colour profile failed").because(e))
}
