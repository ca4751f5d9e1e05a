//! A picture straightened, and how much its light changes across and down.

use crate::colour::Light;
use crate::sample::Grid;

/// Largest skew that is looked for, in degrees: a little beyond what is promised.
const MOST_SKEW: f64 = 3.5;
/// Steps of the search for the skew, each as fine as the next one needs to begin.
const STEPS: [f64; 3] = [0.25, 0.05, 0.01];
/// Skew below which a picture is left as it is, in degrees: a third of a pixel over 1000.
const STRAIGHT: f64 = 0.02;
/// About how many edges the skew is measured by.
const EDGES: usize = 150_000;

/// How much the light of two places differs, a number a channel.
pub(super) type Change = [f32; 3];

/// A turn about the middle.
#[derive(Clone, Copy)]
struct Turn {
    sine: f64,
    cosine: f64,
}

/// A straightened picture.
pub(super) struct Plane {
    pub(super) width: usize,
    pub(super) height: usize,
    /// Linear light, rows from the top.
    pub(super) light: Vec<Light>,
    /// Changes of light across and down, a number a channel, on a scale of even steps to the eye.
    pub(super) across: Vec<Change>,
    pub(super) down: Vec<Change>,
    /// The skew that was taken out.
    turn: Turn,
}

impl Turn {
    fn by(degrees: f64) -> Self {
        Self {
            sine: libm::sin(degrees.to_radians()),
            cosine: libm::cos(degrees.to_radians()),
        }
    }
}

impl Plane {
    /// Takes the skew out of a picture.
    pub(super) fn straightened(grid: &Grid) -> Self {
        let upright = Self::turned(grid, 0.0);
        let skew = upright.skew();
        if skew.abs() < STRAIGHT {
            return upright;
        }
        Self::turned(grid, skew)
    }

    /// The picture seen along axes that are turned by so many degrees.
    fn turned(grid: &Grid, degrees: f64) -> Self {
        let (width, height) = (grid.width, grid.height);
        let turn = Turn::by(degrees);
        let mut light = Vec::with_capacity(width * height);
        for v in 0..height {
            for u in 0..width {
                light.push(if degrees == 0.0 {
                    grid.at(u, v)
                } else {
                    let (x, y) = source(turn, width, height, u as f64, v as f64);
                    between(grid, x, y)
                });
            }
        }
        let seen: Vec<[f32; 3]> = light.iter().map(encoded).collect();
        let at = |x: usize, y: usize| seen[y * width + x];
        let mut across = vec![[0.0; 3]; width * height];
        let mut down = vec![[0.0; 3]; width * height];
        for y in 1..height.saturating_sub(1) {
            for x in 1..width.saturating_sub(1) {
                across[y * width + x] = change(at(x - 1, y), at(x + 1, y));
                down[y * width + x] = change(at(x, y - 1), at(x, y + 1));
            }
        }
        Self {
            width,
            height,
            light,
            across,
            down,
            turn,
        }
    }

    /// Where a place of this plane is on the picture.
    pub(super) fn place(&self, u: f64, v: f64) -> (f64, f64) {
        source(self.turn, self.width, self.height, u, v)
    }

    /// The skew at which edges across and down fall together best: the sums of edges along turned
    /// lines then vary most.
    fn skew(&self) -> f64 {
        let edges = self.strongest();
        let mut best = 0.0;
        let mut reach = MOST_SKEW;
        for step in STEPS {
            let steps = (reach / step).round() as i32;
            let middle = best;
            let tried = (-steps..=steps).map(|at| middle + f64::from(at) * step);
            let scored = tried.map(|skew| (self.alignment(&edges, skew), skew));
            let found = scored.max_by(|one, other| {
                one.0
                    .total_cmp(&other.0)
                    // Of two as good the smaller one.
                    .then(other.1.abs().total_cmp(&one.1.abs()))
            });
            best = found.map_or(best, |(_, skew)| skew);
            reach = step;
        }
        best
    }

    /// Places of edges with their strength across and down, thinned out evenly.
    fn strongest(&self) -> Vec<[f32; 4]> {
        let step = (self.across.len() / EDGES).max(1);
        // A step that shares no factor with the width meets every column.
        let step = (step..)
            .find(|step| gcd(*step, self.width) == 1)
            .unwrap_or(1);
        (0..self.across.len())
            .step_by(step)
            .map(|at| {
                let (x, y) = (at % self.width, at / self.width);
                let (across, down) = (largest(self.across[at]), largest(self.down[at]));
                [x as f32, y as f32, across, down]
            })
            .filter(|[_, _, across, down]| across.max(*down) > 0.02)
            .collect()
    }

    fn alignment(&self, edges: &[[f32; 4]], degrees: f64) -> f64 {
        let Turn { sine, cosine } = Turn::by(degrees);
        let reach = (self.width + self.height) as f64 * 0.07;
        let bins = self.width.max(self.height) + 2 * reach as usize + 4;
        let mut columns = vec![0.0f64; bins];
        let mut rows = vec![0.0f64; bins];
        let (middle_x, middle_y) = (self.width as f64 / 2.0, self.height as f64 / 2.0);
        for &[x, y, across, down] in edges {
            let (x, y) = (f64::from(x) - middle_x, f64::from(y) - middle_y);
            let u = x * cosine + y * sine + middle_x + reach;
            let v = y * cosine - x * sine + middle_y + reach;
            share(&mut columns, u, f64::from(across));
            share(&mut rows, v, f64::from(down));
        }
        let squares = |sums: &[f64]| sums.iter().map(|sum| sum * sum).sum::<f64>();
        squares(&columns) + squares(&rows)
    }
}

/// Shares a weight between the two bins that it falls between.
fn share(bins: &mut [f64], at: f64, weight: f64) {
    let below = at.floor().max(0.0) as usize;
    let part = at - below as f64;
    if below + 1 < bins.len() {
        bins[below] += weight * (1.0 - part);
        bins[below + 1] += weight * part;
    }
}

fn gcd(one: usize, other: usize) -> usize {
    if other == 0 {
        one
    } else {
        gcd(other, one % other)
    }
}

/// A place on axes turned about the middle, on the picture.
fn source(turn: Turn, width: usize, height: usize, u: f64, v: f64) -> (f64, f64) {
    let Turn { sine, cosine } = turn;
    let (middle_x, middle_y) = (width as f64 / 2.0, height as f64 / 2.0);
    let (u, v) = (u - middle_x, v - middle_y);
    (
        u * cosine - v * sine + middle_x,
        u * sine + v * cosine + middle_y,
    )
}

/// Light between four cells; beyond the picture that of its edge.
pub(super) fn between(grid: &Grid, x: f64, y: f64) -> Light {
    let clamp = |at: f64, side: usize| at.clamp(0.0, (side - 1) as f64);
    let (x, y) = (clamp(x, grid.width), clamp(y, grid.height));
    let (left, top) = (x.floor() as usize, y.floor() as usize);
    let (right, bottom) = (
        (left + 1).min(grid.width - 1),
        (top + 1).min(grid.height - 1),
    );
    let (a, b) = (x - left as f64, y - top as f64);
    let upper = grid.at(left, top) * (1.0 - a) + grid.at(right, top) * a;
    let lower = grid.at(left, bottom) * (1.0 - a) + grid.at(right, bottom) * a;
    upper * (1.0 - b) + lower * b
}

/// The square root of light: near enough to even steps, without a power for each pixel.
pub(super) fn encoded(light: &Light) -> [f32; 3] {
    let root = |channel: f64| channel.max(0.0).sqrt() as f32;
    [root(light.red), root(light.green), root(light.blue)]
}

/// The change from one light to another.
pub(super) fn change(one: [f32; 3], other: [f32; 3]) -> Change {
    [0, 1, 2].map(|channel| other[channel] - one[channel])
}

/// That of the channel that changes most.
pub(super) fn largest(change: Change) -> f32 {
    change.into_iter().map(f32::abs).fold(0.0, f32::max)
}
