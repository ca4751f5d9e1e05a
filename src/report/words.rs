//! Place, seat, turn and crop as they are typed.

use crate::error::{Error, Result};
use crate::picture::{Crop, Place, Seat, Spot, Turn};
use crate::units::Mm;

/// Reads `round`, `motif` or `repeat:N`.
///
/// # Errors
/// If it is none of them.
pub fn place(text: &str) -> Result<Place> {
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
pub fn turn(text: &str) -> Result<Turn> {
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

/// Reads a part of the picture as `x,y,width,height` in pixels.
///
/// # Errors
/// If it is not four whole numbers.
pub fn crop(text: &str) -> Result<Crop> {
    let numbers: Option<Vec<u32>> = text
        .split(',')
        .map(|part| part.trim().parse().ok())
        .collect();
    match numbers.as_deref() {
        Some(&[x, y, width, height]) => Ok(Crop {
            x,
            y,
            width,
            height,
        }),
        _ => Err(Error::usage(format!("'{text}' is not a part of a picture"))
            .option("--crop")
            .hint("give x,y,width,height in whole pixels, such as 120,0,300,900")),
    }
}

/// Smallest motif that may be asked for, beside the largest that fits. Ours.
const SMALLEST: f64 = 0.1;

/// Reads `best`, `middle`, or a motif's size and how far it is from the middle as `scale,across,along`.
///
/// # Errors
/// If it is none of them.
pub fn seat(text: &str) -> Result<Seat> {
    let numbers: Option<Vec<f64>> = text
        .split(',')
        .map(|part| part.trim().parse().ok())
        .collect();
    match (text, numbers.as_deref()) {
        ("best", _) => Ok(Seat::Best),
        ("middle", _) => Ok(Seat::Middle),
        (_, Some(&[scale, across, along]))
            if (SMALLEST..=1.0).contains(&scale) && across.is_finite() && along.is_finite() =>
        {
            Ok(Seat::At(Spot {
                scale,
                across: Mm::new(across),
                along: Mm::new(along),
            }))
        }
        _ => Err(Error::usage(format!("'{text}' is no seat of a motif"))
            .option("--seat")
            .hint("write best, middle, or a size from 0.1 to 1 and millimetres to the right and up, such as 0.9,0.2,-0.4")),
    }
}
