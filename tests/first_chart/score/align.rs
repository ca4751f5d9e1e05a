//! Where a chart shows its artwork, found by trying: the orientation, size and place at which the
//! beads that are not ground agree best with the artwork's own outline, and all beads with its
//! colours: the outline of a cord or of stripes is the same all along. Nothing of the chart's
//! record is needed, only to know which colour is the ground.

use super::labels::{Feature, Labels, Sums};
use super::truth::Upright;
use std::rc::Rc;
use upbead::chart::Chart;
use upbead::colour::{ciede2000, lab, light};
use upbead::lattice::Lattice;

/// Sizes that are tried, relative to the largest that fits.
const SIZES: [f64; 7] = [0.5, 0.6, 0.7, 0.78, 0.86, 0.93, 1.0];
/// The same for a pattern along the band, relative to its width.
const STRIP_SIZES: [f64; 4] = [0.75, 0.85, 0.95, 1.0];
/// The largest size that is tried: a little of a motif may be beyond the edges.
const LARGEST: f64 = 1.06;
/// Most steps of the local search.
const STEPS: usize = 60;
/// Places from which the local search starts.
const STARTS: usize = 6;
/// How much better another orientation must fit than one that stands before it.
const BETTER: f64 = 0.98;
/// How much a bead in another colour than the artwork's counts, beside one beyond its outline.
const COLOUR: f64 = 0.25;
/// Quarter turns, in the order in which they are preferred.
const ORDER: [u32; 4] = [0, 1, 3, 2];

/// The artwork on a chart.
pub struct Laid {
    /// Quarter turns clockwise.
    pub quarters: u32,
    /// Relative to the largest that fits in this orientation.
    pub size: f64,
    /// The largest size in each orientation, in mm a pixel.
    pub largest: [f64; 2],
    /// How far it reaches beyond the band's edges, in columns.
    pub beyond: f64,
    /// The column and row coordinates of the middle of what it shows, from 1, fractional.
    pub middle: [f64; 2],
    /// The chart's colour that is the ground.
    pub ground: u16,
    /// For each bead the share of each label.
    pub shares: Vec<Vec<f64>>,
    /// For each bead the share of all but the base.
    pub mask: Vec<f64>,
    /// Each bead's rectangle in pixels of the rotated artwork: left, top, right, bottom.
    pub areas: Vec<[f64; 4]>,
    /// The connected areas of one colour, in pixels of the rotated artwork.
    pub features: Vec<Feature>,
    /// Rows of one repeat, where it repeats.
    pub period: Option<u32>,
}

/// A place of the picture on the band.
#[derive(Clone, Copy)]
struct Place {
    /// Millimetres where the anchor is.
    x: f64,
    y: f64,
    /// Size relative to the largest, across and along alike.
    size: f64,
}

/// What is searched: one orientation of the picture on one band.
struct Search<'a> {
    lattice: &'a Lattice,
    /// All that is not the base.
    mask: Sums,
    /// Each label.
    each: Sums,
    /// The anchor in pixels.
    anchor: [f64; 2],
    /// Millimetres a pixel at size 1, across and along.
    largest: [f64; 2],
    /// Whether the size changes along the band too.
    both: bool,
    /// Millimetres after which it repeats: a tile, or the band.
    wrap: f64,
}

impl Search<'_> {
    /// A bead's rectangle in pixels.
    fn area(&self, bead: usize, place: Place) -> [f64; 4] {
        let (row, column) = self.lattice.position(bead);
        let (x, y) = self.lattice.centre(row, column);
        let size = self.lattice.bead();
        let half = (size.length.get() / 2.0, size.diameter.get() / 2.0);
        let dx = x.get() - place.x;
        let dy = y.get() - place.y;
        let dy = dy - (dy / self.wrap).round() * self.wrap;
        let sx = self.largest[0] * place.size;
        let sy = self.largest[1] * if self.both { place.size } else { 1.0 };
        [
            self.anchor[0] + (dx - half.0) / sx,
            self.anchor[1] - (dy + half.1) / sy,
            self.anchor[0] + (dx + half.0) / sx,
            self.anchor[1] - (dy - half.1) / sy,
        ]
    }

    /// Sum of the differences between beads that are inked (1) or not (0) and the share of the
    /// picture on them, and of what differs in colour.
    fn apart(&self, shown: &Shown, place: Place) -> f64 {
        let of = |(bead, &ink): (usize, &bool)| {
            let area = self.area(bead, place);
            let outline = (f64::from(u8::from(ink)) - self.mask.share(0, area)).abs();
            let own = shown.labels[bead];
            let beyond = own == shown.base && !ink;
            let other = if beyond {
                0.0
            } else {
                1.0 - self.each.share(own, area)
            };
            outline + COLOUR * other
        };
        shown.ink.iter().enumerate().map(of).sum()
    }

    /// The best two of these places.
    fn two_best(&self, shown: &Shown, starts: &[Place]) -> Vec<(f64, Place)> {
        let mut all: Vec<(f64, Place)> = starts
            .iter()
            .map(|&at| (self.apart(shown, at), at))
            .collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        all.truncate(2);
        all
    }

    /// A better place, by small steps while they help.
    fn climbed(&self, shown: &Shown, apart: f64, start: Place) -> (f64, Place) {
        let bead = self.lattice.bead();
        let (dx, dy) = (bead.length.get() / 8.0, bead.diameter.get() / 8.0);
        let mut best = (apart, start);
        for _ in 0..STEPS {
            let own = best.1;
            let moved = |x: f64, y: f64, size: f64| Place {
                x: own.x + x,
                y: own.y + y,
                size: (own.size * size).min(LARGEST),
            };
            let tries = [
                moved(-dx, 0.0, 1.0),
                moved(dx, 0.0, 1.0),
                moved(0.0, -dy, 1.0),
                moved(0.0, dy, 1.0),
                moved(0.0, 0.0, 0.98),
                moved(0.0, 0.0, 1.02),
            ];
            let tried = tries.map(|place| (self.apart(shown, place), place));
            let next = tried.into_iter().min_by(|a, b| a.0.total_cmp(&b.0));
            match next {
                Some(next) if next.0 < best.0 - 1e-9 => best = next,
                _ => break,
            }
        }
        best
    }
}

/// What a chart shows if one of its colours is the ground.
struct Shown {
    /// Whether each bead is not ground.
    ink: Vec<bool>,
    /// The artwork's label of each bead: of the colour most like its own.
    labels: Vec<usize>,
    base: usize,
}

impl Shown {
    fn new(chart: &Chart, labels: &Labels, ground: u16) -> Self {
        let base = usize::from(labels.base);
        let colours = labels.labs();
        let of = |(at, shade): (usize, &upbead::chart::Shade)| {
            if labels.grounded && at == usize::from(ground) {
                return base;
            }
            let own = lab(light(shade.srgb));
            let apart =
                |label: usize| colours[label].map_or(f64::INFINITY, |it| ciede2000(it, own));
            let others = (0..colours.len()).filter(|&label| !labels.grounded || label != base);
            others
                .min_by(|&a, &b| apart(a).total_cmp(&apart(b)))
                .unwrap_or(base)
        };
        let label: Vec<usize> = chart.colours.iter().enumerate().map(of).collect();
        Self {
            ink: chart.beads.iter().map(|&own| own != ground).collect(),
            labels: chart
                .beads
                .iter()
                .map(|&own| label[usize::from(own)])
                .collect(),
            base,
        }
    }
}

/// The chart's colours that may be the ground: the recorded one, and the two most frequent.
fn grounds(chart: &Chart) -> Vec<u16> {
    let recorded = chart.made.options.iter().find(|(name, _)| name == "ground");
    let of_code = |code: &String| chart.colours.iter().position(|shade| shade.code == *code);
    let mut found: Vec<u16> = recorded
        .and_then(|(_, code)| of_code(code))
        .map(|at| at as u16)
        .into_iter()
        .collect();
    let counts = chart.counts();
    let mut order: Vec<u16> = (0..counts.len() as u16).collect();
    order.sort_by_key(|&at| std::cmp::Reverse(counts[usize::from(at)]));
    order.retain(|at| !found.contains(at));
    found.extend(order.into_iter().take(2));
    found
}

/// Mean x, and mean y round the band, of the beads that are inked, in mm.
fn centre(lattice: &Lattice, ink: &[bool]) -> (f64, f64) {
    let round = lattice.picture_height().get();
    let (mut x, mut sin, mut cos, mut count) = (0.0, 0.0, 0.0, 0.0f64);
    for (bead, _) in ink.iter().enumerate().filter(|(_, ink)| **ink) {
        let (row, column) = lattice.position(bead);
        let (across, along) = lattice.centre(row, column);
        let turn = along.get() / round * std::f64::consts::TAU;
        x += across.get();
        sin += libm::sin(turn);
        cos += libm::cos(turn);
        count += 1.0;
    }
    let turn = libm::atan2(sin, cos).rem_euclid(std::f64::consts::TAU);
    (x / count.max(1.0), turn / std::f64::consts::TAU * round)
}

/// One orientation of the artwork, ready to be searched.
struct Choice<'a> {
    quarters: u32,
    labels: Labels,
    search: Search<'a>,
}

/// What was found: which choice, which ground, and where.
struct Found {
    apart: f64,
    choice: usize,
    ground: u16,
    place: Place,
}

/// The place at which a chart agrees best with one of the choices, of which earlier ones are
/// preferred; `starts` gives the places to try, given the inked beads.
fn found(
    chart: &Chart,
    choices: &[Choice],
    starts: impl Fn(&Choice, &[bool]) -> Vec<Place>,
) -> Option<Found> {
    let mut all: Vec<(Found, Rc<Shown>, f64)> = Vec::new();
    for ground in grounds(chart) {
        let shown = Rc::new(Shown::new(chart, &choices[0].labels, ground));
        let inked = shown.ink.iter().filter(|ink| **ink).count().max(1) as f64;
        for (at, choice) in choices.iter().enumerate() {
            for (apart, place) in choice.search.two_best(&shown, &starts(choice, &shown.ink)) {
                let found = Found {
                    apart: apart / inked,
                    choice: at,
                    ground,
                    place,
                };
                all.push((found, Rc::clone(&shown), inked));
            }
        }
    }
    all.sort_by(|a, b| a.0.apart.total_cmp(&b.0.apart));
    all.truncate(STARTS);
    let climb = |(found, shown, inked): (Found, Rc<Shown>, f64)| {
        let search = &choices[found.choice].search;
        let (apart, place) = search.climbed(&shown, found.apart * inked, found.place);
        Found {
            apart: apart / inked,
            place,
            ..found
        }
    };
    let climbed: Vec<Found> = all.into_iter().map(climb).collect();
    let least = climbed
        .iter()
        .map(|found| found.apart)
        .fold(f64::INFINITY, f64::min);
    let near = climbed
        .into_iter()
        .filter(|found| found.apart * BETTER <= least);
    near.min_by(|a, b| a.choice.cmp(&b.choice).then(a.apart.total_cmp(&b.apart)))
}

/// Finds a motif that lies once on the band.
pub fn motif(chart: &Chart, labels: &Labels) -> Option<Laid> {
    let lattice = &chart.lattice;
    let (width, round) = (lattice.width().get(), lattice.picture_height().get());
    let scale = |labels: &Labels| {
        let ([left, top, right, bottom], _) = labels.extent()?;
        Some((width / (right - left)).min(round / (bottom - top)))
    };
    let largest = [scale(labels)?, scale(&labels.rotated(1))?];
    let choice = |quarters: u32| {
        let labels = labels.rotated(quarters);
        Some(Choice {
            quarters,
            search: once(lattice, &labels, largest[quarters as usize % 2])?,
            labels,
        })
    };
    let choices: Vec<Choice> = ORDER.into_iter().filter_map(choice).collect();
    let bead = lattice.bead();
    let found = found(chart, &choices, |_, ink| {
        let (x, y) = centre(lattice, ink);
        let at = |across: i32, along: i32, size: f64| Place {
            x: x + f64::from(across) * bead.length.get() / 2.0,
            y: y + f64::from(along) * bead.diameter.get() / 2.0,
            size,
        };
        let places = (-1..=1).flat_map(|across| (-3..=3).map(move |along| (across, along)));
        places
            .flat_map(|(across, along)| SIZES.map(|size| at(across, along, size)))
            .collect()
    })?;
    Some(laid(chart, &choices[found.choice], &found, largest, None))
}

fn once<'a>(lattice: &'a Lattice, labels: &Labels, largest: f64) -> Option<Search<'a>> {
    Some(Search {
        lattice,
        mask: Sums::mask(labels),
        each: Sums::each(labels),
        anchor: labels.extent()?.1,
        largest: [largest; 2],
        both: true,
        wrap: lattice.picture_height().get(),
    })
}

/// The fewest rows after which the chart repeats bead for bead: even, and a part of all rows.
pub fn period(chart: &Chart) -> Option<u32> {
    let lattice = &chart.lattice;
    let same = |rows: u32| {
        (0..lattice.len()).all(|bead| {
            let other = lattice.step(bead, i64::from(rows), 0);
            other.is_some_and(|other| chart.beads[other] == chart.beads[bead])
        })
    };
    let rows = lattice.rows();
    (2..rows)
        .step_by(2)
        .find(|&period| rows.is_multiple_of(period) && same(period))
}

/// Rows that one tile has by its own proportions, where the picture fills the band's width.
pub fn natural_rows(lattice: &Lattice, labels: &Labels, tile: usize) -> f64 {
    let scale = lattice.width().get() / labels.width as f64;
    tile as f64 * scale / (lattice.bead().diameter.get() / 2.0)
}

/// Finds a pattern that repeats along the band. `share`: its period in the picture's width.
pub fn strip(chart: &Chart, labels: &Labels, share: f64, upright: Upright) -> Option<Laid> {
    let lattice = &chart.lattice;
    let step = lattice.bead().diameter.get() / 2.0;
    let period = period(chart);
    let choice = |quarters: u32| {
        let turned = labels.rotated(quarters);
        let tile = (turned.height as f64 * share).round() as usize;
        // Without repeats it is judged as if it had the nearest whole number of them.
        let all = f64::from(lattice.rows());
        let whole = (all / natural_rows(lattice, &turned, tile))
            .round()
            .max(1.0);
        let rows = period.map_or(all / whole, f64::from);
        let stacked = turned.stacked(tile);
        Choice {
            quarters,
            search: repeated(lattice, &stacked, rows * step),
            labels: stacked,
        }
    };
    let any = upright == Upright::Any && share == 1.0;
    let quarters: &[u32] = if any { &ORDER } else { &ORDER[1..3] };
    let choices: Vec<Choice> = quarters.iter().map(|&quarters| choice(quarters)).collect();
    let (length, middle) = (lattice.bead().length.get(), lattice.width().get() / 2.0);
    let found = found(chart, &choices, |choice, _| {
        let phases = (choice.search.wrap / step).ceil() as u32;
        let at = |across: i32, along: u32, size: f64| Place {
            x: middle + f64::from(across) * length / 2.0,
            y: f64::from(along) * step,
            size,
        };
        let places = (-1..=1).flat_map(|across| (0..phases).map(move |along| (across, along)));
        places
            .flat_map(|(across, along)| STRIP_SIZES.map(|size| at(across, along, size)))
            .collect()
    })?;
    Some(laid(
        chart,
        &choices[found.choice],
        &found,
        [1.0; 2],
        period,
    ))
}

fn repeated<'a>(lattice: &'a Lattice, stacked: &Labels, wrap: f64) -> Search<'a> {
    Search {
        lattice,
        mask: Sums::mask(stacked),
        each: Sums::each(stacked),
        anchor: [stacked.width as f64 / 2.0, stacked.height as f64 / 2.0],
        largest: [
            lattice.width().get() / stacked.width as f64,
            wrap / (stacked.height as f64 / 3.0),
        ],
        both: false,
        wrap,
    }
}

/// Each bead's rectangle, and the share of each label on it.
fn shares(
    lattice: &Lattice,
    labels: &Labels,
    search: &Search,
    place: Place,
) -> (Vec<[f64; 4]>, Vec<Vec<f64>>) {
    let area = |bead| search.area(bead, place);
    let areas: Vec<[f64; 4]> = (0..lattice.len()).map(area).collect();
    let of = |&area: &[f64; 4]| {
        let mut shares = search.each.shares(area);
        // Beyond the picture there is ground.
        shares[usize::from(labels.base)] += (1.0 - shares.iter().sum::<f64>()).max(0.0);
        // Without the last digits, which differ from one repeat to the next.
        shares
            .iter()
            .map(|share| (share * 1e6).round() / 1e6)
            .collect()
    };
    let shares = areas.iter().map(of).collect();
    (areas, shares)
}

fn laid(
    chart: &Chart,
    choice: &Choice,
    found: &Found,
    largest: [f64; 2],
    period: Option<u32>,
) -> Laid {
    let lattice = &chart.lattice;
    let Choice { labels, search, .. } = choice;
    let base = usize::from(labels.base);
    let (areas, shares) = shares(lattice, labels, search, found.place);
    let mask = shares.iter().map(|shares| 1.0 - shares[base]).collect();
    let scale = search.largest[0] * found.place.size;
    let (edges, _) = labels.extent().unwrap_or_default();
    let left = found.place.x + (edges[0] - search.anchor[0]) * scale;
    let right = found.place.x + (edges[2] - search.anchor[0]) * scale;
    let (length, diameter) = (lattice.bead().length.get(), lattice.bead().diameter.get());
    let beyond = (-left).max(right - lattice.width().get()).max(0.0) / length;
    let up = (search.anchor[1] - (edges[1] + edges[3]) / 2.0) * scale;
    Laid {
        quarters: choice.quarters,
        size: found.place.size,
        largest,
        beyond,
        middle: [
            (left + right) / 2.0 / length + 0.5,
            (found.place.y + up) / (diameter / 2.0),
        ],
        ground: found.ground,
        shares,
        mask,
        areas,
        features: labels.features(),
        period,
    }
}

/// The share of each label on each bead, where a motif (rotated already) lies once at a size
/// relative to the largest, the middle of what it shows at `middle`, in mm.
pub fn shares_once(
    lattice: &Lattice,
    labels: &Labels,
    size: f64,
    middle: [f64; 2],
) -> Option<Vec<Vec<f64>>> {
    let ([left, top, right, bottom], anchor) = labels.extent()?;
    let (width, round) = (lattice.width().get(), lattice.picture_height().get());
    let largest = (width / (right - left)).min(round / (bottom - top));
    let search = once(lattice, labels, largest)?;
    let scale = largest * size;
    let place = Place {
        x: middle[0] + (anchor[0] - (left + right) / 2.0) * scale,
        y: middle[1] - (anchor[1] - (top + bottom) / 2.0) * scale,
        size,
    };
    Some(shares(lattice, labels, &search, place).1)
}

/// The same for a tile (rotated and stacked already) every so many rows, in the band's full width.
pub fn shares_repeated(lattice: &Lattice, stacked: &Labels, rows: u32, y: f64) -> Vec<Vec<f64>> {
    let wrap = f64::from(rows) * lattice.bead().diameter.get() / 2.0;
    let search = repeated(lattice, stacked, wrap);
    let x = lattice.width().get() / 2.0;
    shares(lattice, stacked, &search, Place { x, y, size: 1.0 }).1
}
