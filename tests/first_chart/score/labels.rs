//! Flat artwork as labels: which of its colours each pixel has, and the share of each on a
//! rectangle, from sums over all pixels above and to the left.

use super::truth::{Piece, colour};
use upbead::colour::{Lab, Srgb8, lab, light};

/// Pixels by colour.
#[derive(Clone)]
pub struct Labels {
    pub width: usize,
    pub height: usize,
    /// Rows from the top.
    pub of: Vec<u8>,
    /// The colour of each label; none for clear ground.
    pub colours: Vec<Option<Srgb8>>,
    /// The ground's label, or that of the largest colour where the picture has no ground.
    pub base: u8,
    /// Whether the base is a ground.
    pub grounded: bool,
}

/// A connected area of one colour.
pub struct Feature {
    pub label: u8,
    /// Pixels.
    pub area: usize,
    /// Its centre of gravity.
    pub centre: [f64; 2],
}

impl Labels {
    /// The labels of a flat piece; none of continuous tone.
    pub fn of(piece: &Piece) -> Option<Self> {
        let truth = &piece.truth;
        let own = truth.colours.as_ref()?;
        let mut colours: Vec<Option<Srgb8>> = own.iter().map(|hex| Some(colour(hex))).collect();
        match truth.ground.as_deref() {
            Some("clear") => colours.push(None),
            Some(hex) => colours.push(Some(colour(hex))),
            None => {}
        }
        let last = colours.len() as u8 - 1;
        let label = |pixel: &image::Rgba<u8>| {
            if pixel[3] < 128 {
                last
            } else {
                nearest(&colours, pixel.0)
            }
        };
        let of: Vec<u8> = piece.pixels.pixels().map(label).collect();
        let grounded = truth.ground.is_some();
        let largest =
            (0..=last).max_by_key(|&label| of.iter().filter(|&&own| own == label).count());
        Some(Self {
            width: piece.pixels.width() as usize,
            height: piece.pixels.height() as usize,
            base: if grounded { last } else { largest? },
            of,
            colours,
            grounded,
        })
    }

    /// Rotated clockwise by so many quarter turns.
    pub fn rotated(&self, quarters: u32) -> Self {
        if quarters == 0 {
            return self.clone();
        }
        let (width, height) = (self.height, self.width);
        let at = |x: usize, y: usize| self.of[(self.height - 1 - x) * self.width + y];
        let of = (0..height)
            .flat_map(|y| (0..width).map(move |x| at(x, y)))
            .collect();
        let once = Self {
            width,
            height,
            of,
            ..self.clone()
        };
        once.rotated(quarters - 1)
    }

    /// The uppermost `rows` rows of pixels, three times one above the other.
    pub fn stacked(&self, rows: usize) -> Self {
        let tile = &self.of[..rows.min(self.height) * self.width];
        Self {
            height: rows * 3,
            of: tile.repeat(3),
            ..self.clone()
        }
    }

    /// Left, top, right and bottom of all that is not the base, and its centre of gravity.
    pub fn extent(&self) -> Option<([f64; 4], [f64; 2])> {
        let (mut sum, mut count) = ([0.0; 2], 0.0);
        let mut edges = [f64::INFINITY, f64::INFINITY, 0.0, 0.0];
        for (at, _) in self
            .of
            .iter()
            .enumerate()
            .filter(|(_, own)| **own != self.base)
        {
            let (x, y) = ((at % self.width) as f64, (at / self.width) as f64);
            edges = [
                edges[0].min(x),
                edges[1].min(y),
                edges[2].max(x + 1.0),
                edges[3].max(y + 1.0),
            ];
            sum = [sum[0] + x + 0.5, sum[1] + y + 0.5];
            count += 1.0;
        }
        (count > 0.0).then(|| (edges, [sum[0] / count, sum[1] / count]))
    }

    /// The connected areas of one colour, the base's too.
    pub fn features(&self) -> Vec<Feature> {
        let mut seen = vec![false; self.of.len()];
        let mut features = Vec::new();
        for start in 0..self.of.len() {
            if seen[start] {
                continue;
            }
            seen[start] = true;
            let (label, mut area) = (self.of[start], vec![start]);
            let (mut next, mut sum) = (0, [0.0; 2]);
            while next < area.len() {
                let at = area[next];
                let (x, y) = (at % self.width, at / self.width);
                sum = [sum[0] + x as f64 + 0.5, sum[1] + y as f64 + 0.5];
                let beside = [(x > 0, at.wrapping_sub(1)), (x + 1 < self.width, at + 1)];
                let above = [
                    (y > 0, at.wrapping_sub(self.width)),
                    (y + 1 < self.height, at + self.width),
                ];
                for (_, other) in beside.into_iter().chain(above).filter(|near| near.0) {
                    if !seen[other] && self.of[other] == label {
                        seen[other] = true;
                        area.push(other);
                    }
                }
                next += 1;
            }
            features.push(Feature {
                label,
                area: area.len(),
                centre: sum.map(|sum| sum / area.len() as f64),
            });
        }
        features
    }

    /// The labels that are colours, with how each looks.
    pub fn labs(&self) -> Vec<Option<Lab>> {
        let of = |colour: &Option<Srgb8>| colour.map(|srgb| lab(light(srgb)));
        self.colours.iter().map(of).collect()
    }
}

fn nearest(colours: &[Option<Srgb8>], pixel: [u8; 4]) -> u8 {
    let apart = |colour: &Srgb8| -> i32 {
        let own = [colour.red, colour.green, colour.blue];
        let square = |at: usize| (i32::from(own[at]) - i32::from(pixel[at])).pow(2);
        (0..3).map(square).sum()
    };
    let known = colours.iter().enumerate();
    let known = known.filter_map(|(at, colour)| colour.as_ref().map(|colour| (apart(colour), at)));
    known.min().map_or(0, |(_, at)| at as u8)
}

/// Sums that give the share of chosen labels on any rectangle at once.
pub struct Sums {
    width: usize,
    height: usize,
    /// For each plane, at `(x, y)`, how many pixels above and to the left of that corner it has.
    planes: Vec<Vec<u32>>,
}

impl Sums {
    /// One plane for each label.
    pub fn each(labels: &Labels) -> Self {
        let plane = |label: usize| plane(labels, |own| usize::from(own) == label);
        Self {
            width: labels.width,
            height: labels.height,
            planes: (0..labels.colours.len()).map(plane).collect(),
        }
    }

    /// One plane: all that is not the base.
    pub fn mask(labels: &Labels) -> Self {
        Self {
            width: labels.width,
            height: labels.height,
            planes: vec![plane(labels, |own| own != labels.base)],
        }
    }

    /// The share of each plane on a rectangle: left, top, right, bottom in pixels.
    pub fn shares(&self, area: [f64; 4]) -> Vec<f64> {
        (0..self.planes.len())
            .map(|at| self.share(at, area))
            .collect()
    }

    /// The share of one plane.
    pub fn share(&self, plane: usize, [left, top, right, bottom]: [f64; 4]) -> f64 {
        let (wide, high) = (self.width as f64, self.height as f64);
        if right <= 0.0 || bottom <= 0.0 || left >= wide || top >= high {
            return 0.0;
        }
        let sum = |x: f64, y: f64| self.sum(plane, x.clamp(0.0, wide), y.clamp(0.0, high));
        let inside = sum(right, bottom) - sum(left, bottom) - sum(right, top) + sum(left, top);
        inside / ((right - left) * (bottom - top))
    }

    /// Exact between corners too, as pixels are constant over their squares.
    fn sum(&self, plane: usize, x: f64, y: f64) -> f64 {
        let (i, j) = (x as usize, y as usize);
        let (u, v) = (x - i as f64, y - j as f64);
        let stride = self.width + 1;
        let (i1, j1) = ((i + 1).min(self.width), (j + 1).min(self.height));
        let at = |i: usize, j: usize| f64::from(self.planes[plane][j * stride + i]);
        let upper = at(i, j) * (1.0 - u) + at(i1, j) * u;
        let lower = at(i, j1) * (1.0 - u) + at(i1, j1) * u;
        upper * (1.0 - v) + lower * v
    }
}

fn plane(labels: &Labels, holds: impl Fn(u8) -> bool) -> Vec<u32> {
    let stride = labels.width + 1;
    let mut sums = vec![0; stride * (labels.height + 1)];
    for y in 0..labels.height {
        let mut row = 0;
        for x in 0..labels.width {
            row += u32::from(holds(labels.of[y * labels.width + x]));
            sums[(y + 1) * stride + x + 1] = sums[y * stride + x + 1] + row;
        }
    }
    sums
}
