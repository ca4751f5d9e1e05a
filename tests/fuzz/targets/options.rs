//! Values of options, as they are typed: sizes, lengths, lists of rows, colours, positions.

use std::fmt::{Debug, Display};
use std::str::FromStr;
use upbead::picture::{Crop, Place, Position, Rotation};
use upbead::request::{
    Backdrop, Bands, Calm, Count, Crisp, Density, Difference, Distances, Frames, Percent, PileGrid,
    PileSpots, Pins, PixelSide, Roll, Scale, SeenDistances, Span, Strength, Tail, Thickness,
    ThreadLength, Tilt,
};
use upbead::ring::{KnownFit, Series, Step, Swatch};
use upbead::{Bead, RingSize};

/// The bytes as a value of every option, and as a colour and a finish.
pub fn options(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    sizes(text);
    pictures(text);
    numbers(text);
}

/// A value that was read is written so that it is read as the same.
fn read_back<T: FromStr + Display + PartialEq + Debug>(text: &str)
where
    T::Err: Debug,
{
    let Ok(value) = text.parse::<T>() else {
        return;
    };
    let written = value.to_string();
    let again = written.parse::<T>().expect("a value that was written");
    assert_eq!(again.to_string(), written);
}

fn read<T: FromStr>(text: &str) {
    let _ = text.parse::<T>();
}

fn sizes(text: &str) {
    read::<RingSize>(text);
    read::<Series>(text);
    read::<Step>(text);
    read::<Swatch>(text);
    read::<KnownFit>(text);
    read_back::<Bead>(text);
}

fn pictures(text: &str) {
    read_back::<Crop>(text);
    read_back::<Place>(text);
    read_back::<Rotation>(text);
    read_back::<Position>(text);
    read_back::<Backdrop>(text);
    read_back::<upbead::request::Place>(text);
    read_back::<PileGrid>(text);
    read_back::<PileSpots>(text);
    read_back::<Pins>(text);
    read_back::<Span>(text);
}

fn numbers(text: &str) {
    read_back::<Bands>(text);
    read_back::<Calm>(text);
    read_back::<Count>(text);
    read_back::<Crisp>(text);
    read_back::<Density>(text);
    read_back::<Difference>(text);
    read_back::<Distances>(text);
    read_back::<Frames>(text);
    read_back::<Percent>(text);
    read_back::<PixelSide>(text);
    read_back::<Roll>(text);
    read_back::<Scale>(text);
    read_back::<SeenDistances>(text);
    read_back::<Strength>(text);
    read_back::<Tail>(text);
    read_back::<Thickness>(text);
    read_back::<ThreadLength>(text);
    read_back::<Tilt>(text);
}
