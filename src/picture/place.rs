//! Where a picture lies on the band: crop, quarter turn, fit, and whether once, as a motif or in repeats. Coordinates only, no pixels.

use super::Orientation;
use crate::error::{Error, Result};
use crate::lattice::{Lattice, Rectangle};
use crate::units::Mm;
use crate::warning::Warning;
use std::ops::Range;

/// What part of the band the picture takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Place {
    /// The whole band, once all round.
    #[default]
    Round,
    /// Once, on a plain ground.
    Motif,
    /// So many times, one above the other.
    Repeat(u32),
}

/// How a picture of another shape fits its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
#[serde(rename_all = "lowercase")]
pub enum Fit {
    /// Fills the place; what stands out is cut off evenly.
    Cover,
    /// All of it is seen; the rest is ground.
    Contain,
    /// Fills the place, out of proportion.
    Stretch,
}

/// Quarter turns, clockwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Turn {
    /// Upright or by 90 degrees, whichever keeps more of the picture.
    #[default]
    Auto,
    /// So many quarter turns, 0 to 3.
    Quarters(u32),
}

/// A part of the upright picture, in pixels from its top left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Crop {
    /// From the left.
    pub x: u32,
    /// From the top.
    pub y: u32,
    /// Width.
    pub width: u32,
    /// Height.
    pub height: u32,
}

impl Crop {
    /// All of a picture of this width and height.
    pub fn whole((width, height): (u32, u32)) -> Self {
        Self {
            x: 0,
            y: 0,
            width,
            height,
        }
    }
}

/// How a motif sits in its place.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Seat {
    /// In the middle, as large as fits.
    #[default]
    Middle,
    /// Where it is seen best; [`plan`] takes it for the middle, and the search for it stands in `make`.
    Best,
    /// There.
    At(Spot),
}

/// A motif's size and place beside the largest that fits, in the middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Its size; the largest that fits is 1.
    pub scale: f64,
    /// To the right.
    pub across: Mm,
    /// Upwards.
    pub along: Mm,
}

/// How the picture is to lie on the band.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Arrangement {
    /// What part of the band.
    pub place: Place,
    /// How it fits; none is `Contain` for a motif and `Cover` otherwise.
    pub fit: Option<Fit>,
    /// Quarter turns.
    pub turn: Turn,
    /// Which part of the picture; none is all.
    pub crop: Option<Crop>,
    /// Plain columns along either edge.
    pub margin: u32,
    /// How a motif sits.
    pub seat: Seat,
    /// The part of the picture that a motif's size and place speak of; what lies about it is seen too, where there is room. None is all that the crop leaves.
    pub frame: Option<Crop>,
}

impl Arrangement {
    /// Makes sure that `lattice` has room for it, whatever the picture.
    ///
    /// # Errors
    /// If the margin leaves no column, or the repeats are too many for the rows.
    pub fn check(&self, lattice: &Lattice) -> Result<()> {
        checked_margin(self.margin, lattice)?;
        spans(lattice, self.place)?;
        Ok(())
    }
}

/// One coordinate of a picture as a line in one coordinate of the band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Whether it runs along the band's y (else its x).
    pub along_y: bool,
    /// Pixels a millimetre.
    pub scale: f64,
    /// Pixels at 0 mm.
    pub offset: f64,
}

/// From millimetres on the band (y upwards) to stored pixels of the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Map {
    /// Stored x.
    pub x: Line,
    /// Stored y.
    pub y: Line,
}

/// One showing of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Tile {
    /// Columns it may fill, counted from 0.
    pub columns: Range<u32>,
    /// Half rows it may fill, counted from 0.
    pub half_rows: Range<u32>,
    /// Where it lies.
    pub map: Map,
    /// The stored pixels that may be seen: x then y.
    pub window: [Range<f64>; 2],
}

/// How a picture lies on a band, decided.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Its showings, from the lower edge; they do not overlap.
    pub tiles: Vec<Tile>,
    /// Degrees clockwise that it was turned.
    pub turned: u32,
    /// Share of the (cropped) picture that falls on the band.
    pub kept: f64,
    /// Where the picture lies in its first showing, or the framed part of a motif.
    pub lies: Rectangle,
    /// Rows that decide together: for each showing the row before its first, and how many rows are alike.
    pub alike: Option<(Vec<u32>, u32)>,
    /// What was noticed.
    pub notes: Vec<Warning>,
}

/// Decides where a picture of `upright` width and height, stored as `orientation` says, lies on the band.
///
/// # Errors
/// If the crop has no area or lies outside the picture, the margin leaves no column, or the repeats are too many for the rows.
pub fn plan(
    upright: (u32, u32),
    orientation: Orientation,
    lattice: &Lattice,
    how: &Arrangement,
) -> Result<Plan> {
    let crop = checked_crop(how.crop, upright)?;
    let columns = checked_margin(how.margin, lattice)?;
    let (spans, alike) = spans(lattice, how.place)?;
    let fit = how.fit.unwrap_or(match how.place {
        Place::Motif => Fit::Contain,
        _ => Fit::Cover,
    });
    let motif = how.place == Place::Motif;
    let frame = match how.frame {
        Some(frame) if motif => checked_frame(frame, &crop)?,
        _ => crop,
    };
    let size = (f64::from(frame.width), f64::from(frame.height));
    let shortest = spans
        .iter()
        .min_by_key(|span| span.len())
        .cloned()
        .unwrap_or(0..1);
    let narrow = area(lattice, &columns, &shortest);
    let (quarters, mut notes) = quarters(how.turn, size, &narrow, fit);
    let turned_size = turned(size, quarters);
    let even = spans.iter().all(|span| span.len() == shortest.len());
    if let (false, Place::Repeat(repeats)) = (even, how.place) {
        notes.push(Warning::UnevenRepeats {
            rows: lattice.rows(),
            repeats,
            short: shortest.len() as u32,
        });
    }
    let spot = match how.seat {
        Seat::At(spot) if motif => Some(checked_spot(spot, turned_size, &narrow, fit)?),
        _ => None,
    };
    let mut lies = None;
    let tiles = spans
        .iter()
        .map(|span| {
            let target = area(lattice, &columns, span);
            // A contained picture sits alike in short and long spans, so that every repeat is the same bead for bead.
            let room = match fit {
                Fit::Contain => moved(&narrow, target.bottom - narrow.bottom),
                _ => target,
            };
            let placed = sat(placed(turned_size, &room, fit), spot);
            lies.get_or_insert(placed);
            let to_frame = onto_upright(&placed, size, quarters);
            Tile {
                columns: columns.clone(),
                half_rows: span.clone(),
                map: stored(shifted(to_frame, &frame), upright, orientation),
                window: window(&crop, upright, orientation),
            }
        })
        .collect();
    let kept = kept(turned_size, &narrow, fit);
    if kept < 0.9
        && !notes
            .iter()
            .any(|note| matches!(note, Warning::Turned { .. }))
    {
        notes.push(Warning::Cropped { kept });
    }
    Ok(Plan {
        tiles,
        turned: quarters * 90,
        kept,
        lies: lies.unwrap_or(narrow),
        alike: alike.filter(|_| even || fit == Fit::Contain),
        notes,
    })
}

fn checked_crop(crop: Option<Crop>, (width, height): (u32, u32)) -> Result<Crop> {
    let Some(crop) = crop else {
        return Ok(Crop::whole((width, height)));
    };
    if crop.width == 0 || crop.height == 0 {
        return Err(Error::usage("a crop of no width or height shows nothing")
            .option("--crop")
            .hint("give x,y,width,height in pixels, such as 100,0,300,900"));
    }
    let inside =
        |start: u32, length: u32, all: u32| u64::from(start) + u64::from(length) <= u64::from(all);
    if inside(crop.x, crop.width, width) && inside(crop.y, crop.height, height) {
        return Ok(crop);
    }
    Err(Error::usage(format!(
        "the crop {},{},{},{} reaches beyond the picture",
        crop.x, crop.y, crop.width, crop.height
    ))
    .option("--crop")
    .hint(format!("the picture is {width} x {height} pixels")))
}

/// The frame must lie in the part that is used.
fn checked_frame(frame: Crop, crop: &Crop) -> Result<Crop> {
    let inside = |start: u32, length: u32, from: u32, all: u32| {
        start >= from
            && length > 0
            && u64::from(start) + u64::from(length) <= u64::from(from) + u64::from(all)
    };
    match inside(frame.x, frame.width, crop.x, crop.width)
        && inside(frame.y, frame.height, crop.y, crop.height)
    {
        true => Ok(frame),
        false => Err(Error::new(format!(
            "the motif's frame {},{},{},{} lies outside the picture",
            frame.x, frame.y, frame.width, frame.height
        ))
        .hint("give the picture that the chart was made of, or take 'frame' and 'seat' out of the chart's options")),
    }
}

/// Allowance for rounding, in millimetres.
const ROUNDING: f64 = 1e-6;

/// A motif stays inside its place.
fn checked_spot(spot: Spot, size: (f64, f64), target: &Rectangle, fit: Fit) -> Result<Spot> {
    let largest = placed(size, target, fit);
    let room = |free: Mm, by: Mm| free.get().max(0.0) / 2.0 + ROUNDING >= by.get().abs();
    let (width, height) = (largest.right - largest.left, largest.top - largest.bottom);
    let free = (
        target.right - target.left - width * spot.scale,
        target.top - target.bottom - height * spot.scale,
    );
    if room(free.0, spot.across) && room(free.1, spot.along) {
        return Ok(spot);
    }
    let half = |free: Mm| (free.get().max(0.0) * 500.0).floor() / 1000.0;
    Err(
        Error::usage("a motif of that size, so far from the middle, reaches beyond the band")
            .option("--position")
            .hint(format!(
                "move it by at most {} mm across and {} mm along, or make it smaller",
                half(free.0),
                half(free.1)
            )),
    )
}

/// The largest placing, made smaller about its middle and moved.
fn sat(largest: Rectangle, spot: Option<Spot>) -> Rectangle {
    let Some(spot) = spot else {
        return largest;
    };
    let side = |low: Mm, high: Mm, by: Mm| {
        let (middle, half) = ((low + high) / 2.0 + by, (high - low) * (spot.scale / 2.0));
        (middle - half, middle + half)
    };
    let (left, right) = side(largest.left, largest.right, spot.across);
    let (bottom, top) = side(largest.bottom, largest.top, spot.along);
    Rectangle {
        left,
        right,
        bottom,
        top,
    }
}

fn checked_margin(margin: u32, lattice: &Lattice) -> Result<Range<u32>> {
    let columns = lattice.columns();
    match margin.checked_mul(2).is_some_and(|both| both < columns) {
        true => Ok(margin..columns - margin),
        false => Err(Error::usage(format!(
            "margins of {margin} columns leave none of {columns}"
        ))
        .option("--margin")
        .hint(format!("use {} at most", (columns - 1) / 2))),
    }
}

type Alike = Option<(Vec<u32>, u32)>;

/// The half rows of each showing. Every repeat starts on an even half row, so that its beads fall alike.
fn spans(lattice: &Lattice, place: Place) -> Result<(Vec<Range<u32>>, Alike)> {
    let all = 0..lattice.half_rows();
    let Place::Repeat(count) = place else {
        return Ok((vec![all], None));
    };
    let rows = lattice.rows();
    let pairs = rows / 2;
    if count == 0 || count > pairs {
        return Err(
            Error::usage(format!("{count} repeats do not fit into {rows} rows"))
                .option("--place")
                .hint(format!(
                    "use 1 to {pairs} repeats, of two rows or more each"
                )),
        );
    }
    let start = |tile: u32| (u64::from(tile) * u64::from(pairs) / u64::from(count)) as u32 * 2;
    let spans: Vec<Range<u32>> = (0..count)
        .map(|tile| match tile + 1 == count {
            true => start(tile)..all.end,
            false => start(tile)..start(tile + 1),
        })
        .collect();
    let short = pairs / count * 2;
    // Where repeats differ, or the strip is open, a repeat's last row reaches into other surroundings.
    let even = lattice.is_closed() && pairs.is_multiple_of(count);
    let alike = if even { short } else { short - 1 };
    Ok((spans, Some(((0..count).map(start).collect(), alike))))
}

/// The band's rectangle of these columns and half rows.
fn area(lattice: &Lattice, columns: &Range<u32>, half_rows: &Range<u32>) -> Rectangle {
    let bead = lattice.bead();
    Rectangle {
        left: bead.length * f64::from(columns.start),
        right: bead.length * f64::from(columns.end),
        bottom: bead.diameter * (f64::from(half_rows.start) / 2.0),
        top: bead.diameter * (f64::from(half_rows.end) / 2.0),
    }
}

fn moved(rectangle: &Rectangle, up: Mm) -> Rectangle {
    Rectangle {
        bottom: rectangle.bottom + up,
        top: rectangle.top + up,
        ..*rectangle
    }
}

fn sides(rectangle: &Rectangle) -> (f64, f64) {
    (
        (rectangle.right - rectangle.left).get(),
        (rectangle.top - rectangle.bottom).get(),
    )
}

fn turned((width, height): (f64, f64), quarters: u32) -> (f64, f64) {
    match quarters % 2 {
        1 => (height, width),
        _ => (width, height),
    }
}

/// Millimetres a pixel, across and along, of a picture of `size` fitted into `target`.
fn scales(size: (f64, f64), target: &Rectangle, fit: Fit) -> (f64, f64) {
    let (width, height) = sides(target);
    let (x, y) = (width / size.0, height / size.1);
    match fit {
        Fit::Stretch => (x, y),
        Fit::Cover => (x.max(y), x.max(y)),
        Fit::Contain => (x.min(y), x.min(y)),
    }
}

/// Share of the picture that falls on the target.
fn kept(size: (f64, f64), target: &Rectangle, fit: Fit) -> f64 {
    let (x, y) = scales(size, target, fit);
    let (width, height) = sides(target);
    (width / (size.0 * x)).min(1.0) * (height / (size.1 * y)).min(1.0)
}

/// How well a turned picture suits the target: more is better.
fn suits(size: (f64, f64), target: &Rectangle, fit: Fit) -> f64 {
    let (x, y) = scales(size, target, fit);
    match fit {
        Fit::Cover => kept(size, target, fit),
        Fit::Contain => x,
        Fit::Stretch => (x / y).min(y / x),
    }
}

fn quarters(turn: Turn, size: (f64, f64), target: &Rectangle, fit: Fit) -> (u32, Vec<Warning>) {
    if let Turn::Quarters(quarters) = turn {
        return (quarters % 4, Vec::new());
    }
    let lying = turned(size, 1);
    let better = suits(lying, target, fit) > suits(size, target, fit) * (1.0 + 1e-9);
    if !better {
        return (0, Vec::new());
    }
    let note = Warning::Turned {
        degrees: 90,
        kept: kept(lying, target, fit),
        upright: kept(size, target, fit),
    };
    (1, vec![note])
}

/// Where the turned picture lies, centred on the target.
fn placed(size: (f64, f64), target: &Rectangle, fit: Fit) -> Rectangle {
    let (x, y) = scales(size, target, fit);
    let (width, height) = (Mm::new(size.0 * x), Mm::new(size.1 * y));
    let left = (target.left + target.right - width) / 2.0;
    let bottom = (target.bottom + target.top - height) / 2.0;
    Rectangle {
        left,
        bottom,
        right: left + width,
        top: bottom + height,
    }
}

impl Line {
    fn far_side(self, length: f64) -> Self {
        Self {
            scale: -self.scale,
            offset: length - self.offset,
            ..self
        }
    }

    fn shift(self, by: f64) -> Self {
        Self {
            offset: self.offset + by,
            ..self
        }
    }

    /// The pixel coordinate at a millimetre.
    pub fn at(&self, millimetre: f64) -> f64 {
        self.scale * millimetre + self.offset
    }
}

/// From the band to the cropped, upright picture: `tx`, `ty` run over the turned picture, left to right and top to bottom.
fn onto_upright(placed: &Rectangle, size: (f64, f64), quarters: u32) -> Map {
    let (width, height) = sides(placed);
    let (turned_width, turned_height) = turned(size, quarters);
    let tx = Line {
        along_y: false,
        scale: turned_width / width,
        offset: -placed.left.get() * turned_width / width,
    };
    let ty = Line {
        along_y: true,
        scale: -turned_height / height,
        offset: placed.top.get() * turned_height / height,
    };
    let (x, y) = match quarters {
        0 => (tx, ty),
        1 => (ty, tx.far_side(size.1)),
        2 => (tx.far_side(size.0), ty.far_side(size.1)),
        _ => (ty.far_side(size.0), tx),
    };
    Map { x, y }
}

fn shifted(map: Map, crop: &Crop) -> Map {
    Map {
        x: map.x.shift(f64::from(crop.x)),
        y: map.y.shift(f64::from(crop.y)),
    }
}

/// From upright to stored coordinates.
fn stored(map: Map, upright: (u32, u32), orientation: Orientation) -> Map {
    let (width, height) = stored_size(upright, orientation);
    let (x, y) = match orientation.swap {
        true => (map.y, map.x),
        false => (map.x, map.y),
    };
    Map {
        x: if orientation.flip_x {
            x.far_side(width)
        } else {
            x
        },
        y: if orientation.flip_y {
            y.far_side(height)
        } else {
            y
        },
    }
}

fn stored_size(upright: (u32, u32), orientation: Orientation) -> (f64, f64) {
    let size = (f64::from(upright.0), f64::from(upright.1));
    turned(size, u32::from(orientation.swap))
}

/// The crop in stored pixels.
fn window(crop: &Crop, upright: (u32, u32), orientation: Orientation) -> [Range<f64>; 2] {
    let (width, height) = stored_size(upright, orientation);
    let across = f64::from(crop.x)..f64::from(crop.x + crop.width);
    let down = f64::from(crop.y)..f64::from(crop.y + crop.height);
    let (x, y) = match orientation.swap {
        true => (down, across),
        false => (across, down),
    };
    let flip = |range: Range<f64>, length: f64, flip: bool| match flip {
        true => length - range.end..length - range.start,
        false => range,
    };
    [
        flip(x, width, orientation.flip_x),
        flip(y, height, orientation.flip_y),
    ]
}
