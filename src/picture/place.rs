//! How a picture is placed on the band: crop, rotation, scaling, and whether once, as a motif or in
//! repeats. Coordinates only, no pixels.

mod mapping;

use super::{Orientation, Size};
use crate::error::{Error, Result};
use crate::lattice::{Lattice, Rectangle};
use crate::units::Mm;
use crate::warning::Warning;
use mapping::{onto_upright, shifted, stored, window};
use std::ops::Range;

/// What part of the band the picture takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Place {
    /// The whole band, once around.
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
pub enum Scaling {
    /// Fills the place; what does not fit is cut off evenly.
    Cover,
    /// Shows all of it; the rest is ground.
    Contain,
    /// Fills the place, out of proportion.
    Stretch,
}

/// Quarter turns of the picture, clockwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Rotation {
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
    /// All of a picture of this size.
    pub fn whole(size: Size) -> Self {
        Self {
            x: 0,
            y: 0,
            width: size.width,
            height: size.height,
        }
    }
}

/// Where a motif is placed, and how large.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Position {
    /// In the middle, as large as fits.
    #[default]
    Middle,
    /// Where it looks best; [`plan`] takes it for the middle, and [`crate::pipeline`] searches for
    /// it.
    Best,
    /// There.
    At(Placement),
}

/// A motif's size and place, relative to the largest that fits, in the middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placement {
    /// Its size; the largest that fits is 1.
    pub scale: f64,
    /// To the right.
    pub across: Mm,
    /// Upwards.
    pub along: Mm,
}

/// How the picture is placed on the band.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Arrangement {
    /// What part of the band.
    pub place: Place,
    /// How it is scaled; none is `Contain` for a motif and `Cover` otherwise.
    pub scaling: Option<Scaling>,
    /// Quarter turns.
    pub rotation: Rotation,
    /// Which part of the picture; none is all.
    pub crop: Option<Crop>,
    /// Plain columns along either edge.
    pub margin: u32,
    /// Where a motif is placed.
    pub position: Position,
    /// The part of the picture that a motif's placement is of; what surrounds it shows too, where
    /// there is room. None is all that the crop leaves.
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

/// One copy of the picture on the band.
#[derive(Debug, Clone, PartialEq)]
pub struct Tile {
    /// Columns it may fill, counted from 0.
    pub columns: Range<u32>,
    /// Half rows it may fill, counted from 0.
    pub half_rows: Range<u32>,
    /// Where it is.
    pub map: Map,
    /// The same, to the upright picture.
    pub upright: Map,
    /// The stored pixels that may show: x then y.
    pub window: [Range<f64>; 2],
}

/// How a picture is placed on a band, decided.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Its copies, from the lower edge; they do not overlap.
    pub tiles: Vec<Tile>,
    /// Degrees clockwise that it was rotated.
    pub rotated: u32,
    /// Share of the (cropped) picture that falls on the band.
    pub kept: f64,
    /// Where the first copy of the picture is, or the framed part of a motif.
    pub area: Rectangle,
    /// Rows that share their colours: for each copy the row before its first, and how many rows are
    /// alike.
    pub alike: Option<(Vec<u32>, u32)>,
    /// Warnings.
    pub notes: Vec<Warning>,
}

/// Decides where on the band a picture goes that is of `upright` size and stored as `orientation`
/// says.
///
/// # Errors
/// If the crop has no area or is outside the picture, the margin leaves no column, the repeats are
/// too many for the rows, or a motif reaches beyond the band.
pub fn plan(
    upright: Size,
    orientation: Orientation,
    lattice: &Lattice,
    how: &Arrangement,
) -> Result<Plan> {
    let columns = checked_margin(how.margin, lattice)?;
    plan_in(&columns, upright, orientation, lattice, how)
}

/// As [`plan`], in some columns, counted from 0, whatever the margin.
///
/// # Errors
/// As [`plan`].
pub fn plan_in(
    columns: &Range<u32>,
    upright: Size,
    orientation: Orientation,
    lattice: &Lattice,
    how: &Arrangement,
) -> Result<Plan> {
    let crop = checked_crop(how.crop, upright)?;
    let Spans {
        half_rows: spans,
        alike,
    } = spans(lattice, how.place)?;
    let scaling = how.scaling.unwrap_or(match how.place {
        Place::Motif => Scaling::Contain,
        _ => Scaling::Cover,
    });
    let motif = how.place == Place::Motif;
    let frame = match how.frame {
        Some(frame) if motif => checked_frame(frame, &crop)?,
        _ => crop,
    };
    let size = Extent::of(frame.width, frame.height);
    let shortest = spans
        .iter()
        .min_by_key(|span| span.len())
        .cloned()
        .unwrap_or(0..1);
    let narrow = area(lattice, columns, &shortest);
    let (quarters, mut notes) = quarters(how.rotation, size, &narrow, scaling);
    let even = spans.iter().all(|span| span.len() == shortest.len());
    notes.extend(uneven(how.place, lattice, shortest.len()).filter(|_| !even));
    let fitted = Fitted {
        size,
        quarters,
        scaling,
        placement: None,
    };
    let fitted = match how.position {
        Position::At(placement) if motif => fitted.placed_at(placement, &narrow)?,
        _ => fitted,
    };
    let placed = |span: &Range<u32>| fitted.in_span(&area(lattice, columns, span), &narrow);
    let tile = |span: &Range<u32>| {
        let to_frame = onto_upright(&placed(span), size, quarters);
        let to_upright = shifted(to_frame, &frame);
        Tile {
            columns: columns.clone(),
            half_rows: span.clone(),
            map: stored(to_upright, upright, orientation),
            upright: to_upright,
            window: window(&crop, upright, orientation),
        }
    };
    let kept = kept(fitted.rotated(), &narrow, scaling);
    notes.extend(cropped(kept, &notes));
    Ok(Plan {
        tiles: spans.iter().map(tile).collect(),
        rotated: quarters * 90,
        kept,
        area: spans.first().map_or(narrow, placed),
        alike: alike.filter(|_| even || scaling == Scaling::Contain),
        notes,
    })
}

/// Repeats that differ in rows, the shorter ones having `short`.
fn uneven(place: Place, lattice: &Lattice, short: usize) -> Option<Warning> {
    match place {
        Place::Repeat(repeats) => Some(Warning::UnevenRepeats {
            rows: lattice.rows(),
            repeats,
            short: short as u32,
        }),
        _ => None,
    }
}

/// A picture that loses a tenth or more at the edges, unless it is rotated so that it loses less.
fn cropped(kept: f64, notes: &[Warning]) -> Option<Warning> {
    let rotated = |note: &Warning| matches!(note, Warning::Turned { .. });
    (kept < 0.9 && !notes.iter().any(rotated)).then_some(Warning::Cropped { kept })
}

/// A width and a height, of pixels or of millimetres.
#[derive(Clone, Copy)]
struct Extent {
    width: f64,
    height: f64,
}

impl Extent {
    fn of(width: u32, height: u32) -> Self {
        Self {
            width: f64::from(width),
            height: f64::from(height),
        }
    }

    /// After so many quarter turns.
    fn rotated(self, quarters: u32) -> Self {
        match quarters % 2 {
            1 => Self {
                width: self.height,
                height: self.width,
            },
            _ => self,
        }
    }
}

/// The framed part of the picture, and how it fills its place.
struct Fitted {
    size: Extent,
    quarters: u32,
    scaling: Scaling,
    placement: Option<Placement>,
}

impl Fitted {
    fn rotated(&self) -> Extent {
        self.size.rotated(self.quarters)
    }

    /// A motif stays inside its place.
    fn placed_at(self, placement: Placement, narrow: &Rectangle) -> Result<Self> {
        let placement = checked_placement(placement, self.rotated(), narrow, self.scaling)?;
        Ok(Self {
            placement: Some(placement),
            ..self
        })
    }

    /// Where it is in a span. A contained picture is placed alike in short and long spans, so that
    /// every repeat is the same bead for bead.
    fn in_span(&self, span: &Rectangle, narrow: &Rectangle) -> Rectangle {
        let room = match self.scaling {
            Scaling::Contain => moved(narrow, span.bottom - narrow.bottom),
            _ => *span,
        };
        moved_and_scaled(placed(self.rotated(), &room, self.scaling), self.placement)
    }
}

fn checked_crop(crop: Option<Crop>, upright: Size) -> Result<Crop> {
    let Some(crop) = crop else {
        return Ok(Crop::whole(upright));
    };
    let Size { width, height } = upright;
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

/// The frame must be within the crop.
fn checked_frame(frame: Crop, crop: &Crop) -> Result<Crop> {
    let inside = |start: u32, length: u32, from: u32, all: u32| {
        start >= from
            && length > 0
            && u64::from(start) + u64::from(length) <= u64::from(from) + u64::from(all)
    };
    if inside(frame.x, frame.width, crop.x, crop.width)
        && inside(frame.y, frame.height, crop.y, crop.height)
    {
        Ok(frame)
    } else {
        Err(Error::new(format!(
            "the motif's frame {},{},{},{} lies outside the picture",
            frame.x, frame.y, frame.width, frame.height
        ))
        .hint(
            "give the picture that the chart was made of, or take 'frame' and \
         'position' out of the chart's options",
        ))
    }
}

/// Allowance for rounding, in millimetres.
const ROUNDING: f64 = 1e-6;

/// A motif stays inside its place.
fn checked_placement(
    placement: Placement,
    size: Extent,
    target: &Rectangle,
    scaling: Scaling,
) -> Result<Placement> {
    let largest = placed(size, target, scaling);
    let room = |free: Mm, by: Mm| free.get().max(0.0) / 2.0 + ROUNDING >= by.get().abs();
    let (width, height) = (largest.right - largest.left, largest.top - largest.bottom);
    let free = (
        target.right - target.left - width * placement.scale,
        target.top - target.bottom - height * placement.scale,
    );
    if room(free.0, placement.across) && room(free.1, placement.along) {
        return Ok(placement);
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
fn moved_and_scaled(largest: Rectangle, placement: Option<Placement>) -> Rectangle {
    let Some(placement) = placement else {
        return largest;
    };
    let side = |low: Mm, high: Mm, by: Mm| {
        let (middle, half) = (
            (low + high) / 2.0 + by,
            (high - low) * (placement.scale / 2.0),
        );
        (middle - half, middle + half)
    };
    let (left, right) = side(largest.left, largest.right, placement.across);
    let (bottom, top) = side(largest.bottom, largest.top, placement.along);
    Rectangle {
        left,
        right,
        bottom,
        top,
    }
}

fn checked_margin(margin: u32, lattice: &Lattice) -> Result<Range<u32>> {
    let columns = lattice.columns();
    if margin.checked_mul(2).is_some_and(|both| both < columns) {
        Ok(margin..columns - margin)
    } else {
        Err(Error::usage(format!(
            "margins of {margin} columns leave none of {columns}"
        ))
        .option("--margin")
        .hint(format!("use {} at most", (columns - 1) / 2)))
    }
}

/// Copies of the picture along the band.
struct Spans {
    /// The half rows of each.
    half_rows: Vec<Range<u32>>,
    /// Rows that share their colours: see [`Plan::alike`].
    alike: Option<(Vec<u32>, u32)>,
}

/// The half rows of each copy. Every repeat starts on an even half row, so that its beads are
/// placed alike.
fn spans(lattice: &Lattice, place: Place) -> Result<Spans> {
    let all = 0..lattice.half_rows();
    let Place::Repeat(count) = place else {
        return Ok(Spans {
            half_rows: vec![all],
            alike: None,
        });
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
        .map(|tile| {
            let end = if tile + 1 == count {
                all.end
            } else {
                start(tile + 1)
            };
            start(tile)..end
        })
        .collect();
    let short = pairs / count * 2;
    // Where repeats differ, or the strip is open, a repeat's last row has other neighbours.
    let even = lattice.is_closed() && pairs.is_multiple_of(count);
    let alike = if even { short } else { short - 1 };
    Ok(Spans {
        half_rows: spans,
        alike: Some(((0..count).map(start).collect(), alike)),
    })
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

/// Millimetres a pixel, across and along, of a picture of `size` fitted into `target`.
fn scales(size: Extent, target: &Rectangle, scaling: Scaling) -> (f64, f64) {
    let (width, height) = sides(target);
    let (x, y) = (width / size.width, height / size.height);
    match scaling {
        Scaling::Stretch => (x, y),
        Scaling::Cover => (x.max(y), x.max(y)),
        Scaling::Contain => (x.min(y), x.min(y)),
    }
}

/// Share of the picture that falls on the target.
fn kept(size: Extent, target: &Rectangle, scaling: Scaling) -> f64 {
    let (x, y) = scales(size, target, scaling);
    let (width, height) = sides(target);
    (width / (size.width * x)).min(1.0) * (height / (size.height * y)).min(1.0)
}

/// How well a rotated picture fills the target: more is better.
fn fill_score(size: Extent, target: &Rectangle, scaling: Scaling) -> f64 {
    let (x, y) = scales(size, target, scaling);
    match scaling {
        Scaling::Cover => kept(size, target, scaling),
        Scaling::Contain => x,
        Scaling::Stretch => (x / y).min(y / x),
    }
}

fn quarters(
    rotation: Rotation,
    size: Extent,
    target: &Rectangle,
    scaling: Scaling,
) -> (u32, Vec<Warning>) {
    if let Rotation::Quarters(quarters) = rotation {
        return (quarters % 4, Vec::new());
    }
    let lying = size.rotated(1);
    let better =
        fill_score(lying, target, scaling) > fill_score(size, target, scaling) * (1.0 + 1e-9);
    if !better {
        return (0, Vec::new());
    }
    let note = Warning::Turned {
        degrees: 90,
        kept: kept(lying, target, scaling),
        upright: kept(size, target, scaling),
    };
    (1, vec![note])
}

/// Where the rotated picture is, centred on the target.
fn placed(size: Extent, target: &Rectangle, scaling: Scaling) -> Rectangle {
    let (x, y) = scales(size, target, scaling);
    let (width, height) = (Mm::new(size.width * x), Mm::new(size.height * y));
    let left = (target.left + target.right - width) / 2.0;
    let bottom = (target.bottom + target.top - height) / 2.0;
    Rectangle {
        left,
        bottom,
        right: left + width,
        top: bottom + height,
    }
}
