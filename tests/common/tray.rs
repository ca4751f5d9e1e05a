//! A tray of beads as a camera sees it: piles of known colour on paper, under a known lamp, with
//! noise. The looks are invented.

use image::{ImageFormat, Rgb, RgbImage};
use std::f64::consts::{PI, TAU};
use std::io::Cursor;
use upbead::colour::{Light, srgb8};
use upbead::palette_photo::PAPER;

/// The lamp: linear light that falls on a place, from 0 to 1 across and down.
pub type Lamp = fn(f64, f64) -> [f64; 3];

/// Even white light.
pub fn even(_: f64, _: f64) -> [f64; 3] {
    [0.95; 3]
}

/// A warm bulb at the upper left: far weaker at the lower right.
pub fn bulb(x: f64, y: f64) -> [f64; 3] {
    let (dx, dy) = (x - 0.15, y - 0.1);
    let off = 1.0 + 0.55 * (dx * dx + dy * dy);
    let fall = 1.0 / (off * off.sqrt());
    [1.0 * fall, 0.86 * fall, 0.66 * fall]
}

/// A window at the right and a lens that darkens its corners: bluish, and two ways uneven.
pub fn window(x: f64, y: f64) -> [f64; 3] {
    let (dx, dy) = (x - 0.5, y - 0.5);
    let lens = 1.0 - 0.45 * (dx * dx + dy * dy);
    let side = 0.62 + 0.38 * x;
    let cool = 0.92 + 0.08 * x;
    [
        0.80 * lens * side,
        0.88 * lens * side,
        1.0 * lens * side * cool,
    ]
}

/// Pixels of reflectance.
pub struct Tray {
    pub width: usize,
    pub height: usize,
    reflects: Vec<[f64; 3]>,
    seed: u64,
}

impl Tray {
    /// Bare paper.
    pub fn new(width: usize, height: usize) -> Self {
        Self {
            width,
            height,
            reflects: vec![[PAPER; 3]; width * height],
            seed: 1,
        }
    }

    /// From 0 to 1, the same on every machine.
    fn chance(&mut self) -> f64 {
        self.seed = self
            .seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.seed >> 33) as f64 / (1u64 << 31) as f64
    }

    fn each(&mut self, x: f64, y: f64, reach: f64, paint: impl Fn(f64, f64, &mut [f64; 3])) {
        let range = |middle: f64, end: usize| {
            ((middle - reach).max(0.0) as usize)..((middle + reach).max(0.0) as usize + 1).min(end)
        };
        for row in range(y, self.height) {
            for column in range(x, self.width) {
                let at = row * self.width + column;
                paint(
                    column as f64 + 0.5 - x,
                    row as f64 + 0.5 - y,
                    &mut self.reflects[at],
                );
            }
        }
    }

    /// A flat square of a colour.
    pub fn patch(&mut self, x: f64, y: f64, half: f64, colour: Light) {
        self.each(x, y, half, |dx, dy, own| {
            if dx.abs() <= half && dy.abs() <= half {
                *own = [colour.red, colour.green, colour.blue];
            }
        });
    }

    /// A round pile: its shadow on the paper, dark gaps, then bead upon bead.
    pub fn pile(&mut self, x: f64, y: f64, radius: f64, colour: Light) {
        let colour = [colour.red, colour.green, colour.blue];
        self.each(x + 2.0, y + 3.0, radius + 25.0, |dx, dy, own| {
            let off = ((dx * dx + dy * dy).sqrt() - radius).max(0.0);
            let shadow = 1.0 - 0.3 * libm::exp(-off / 6.0);
            *own = own.map(|value| value * shadow);
        });
        self.each(x, y, radius, |dx, dy, own| {
            if dx * dx + dy * dy <= radius * radius {
                *own = colour.map(|value| value * 0.15);
            }
        });
        let beads = (radius * radius / 18.0) as usize;
        for _ in 0..beads {
            let (turn, far) = (self.chance() * TAU, self.chance().sqrt() * (radius - 6.0));
            let (x, y) = (x + far * libm::cos(turn), y + far * libm::sin(turn));
            if self.chance() < 0.2 {
                self.standing(x, y, colour);
            } else {
                self.lying(x, y, colour);
            }
        }
    }

    /// A bead on its side, 13 by 16 pixels: lit along its middle, with a line of shine.
    fn lying(&mut self, x: f64, y: f64, colour: [f64; 3]) {
        let turn = self.chance() * PI;
        let (cos, sin) = (libm::cos(turn), libm::sin(turn));
        self.each(x, y, 11.0, |dx, dy, own| {
            let (along, across) = (dx * cos + dy * sin, (dy * cos - dx * sin) / 8.0);
            if along.abs() <= 6.5 && across.abs() < 1.0 {
                let lit = 0.35 + 0.65 * (1.0 - across * across).sqrt();
                let shine = 0.7 * libm::exp(-((across + 0.3) / 0.09) * ((across + 0.3) / 0.09));
                *own = colour.map(|value| value * lit + shine);
            }
        });
    }

    /// A bead on its end: a ring round a dark hole.
    fn standing(&mut self, x: f64, y: f64, colour: [f64; 3]) {
        self.each(x, y, 8.0, |dx, dy, own| {
            let off = (dx * dx + dy * dy).sqrt();
            if off <= 8.0 {
                let lit = if off < 4.0 { 0.06 } else { 0.88 };
                *own = colour.map(|value| value * lit);
            }
        });
    }

    /// The photograph under a lamp, as 8-bit PNG: `noise` is the spread of each encoded channel, in
    /// levels.
    pub fn photograph(&mut self, lamp: Lamp, noise: f64) -> Vec<u8> {
        let mut picture = RgbImage::new(self.width as u32, self.height as u32);
        for y in 0..self.height {
            for x in 0..self.width {
                let light = lamp(
                    (x as f64 + 0.5) / self.width as f64,
                    (y as f64 + 0.5) / self.height as f64,
                );
                let own = self.reflects[y * self.width + x];
                let code = srgb8(Light::new(
                    own[0] * light[0],
                    own[1] * light[1],
                    own[2] * light[2],
                ));
                let level = |value: u8, tray: &mut Self| {
                    // The sum of four even chances is nearly normal, with a spread of 1/sqrt(3).
                    let chance: f64 = (0..4).map(|_| tray.chance()).sum::<f64>() - 2.0;
                    (f64::from(value) + chance * 3f64.sqrt() * noise)
                        .round()
                        .clamp(0.0, 255.0) as u8
                };
                let levels = [code.red, code.green, code.blue].map(|value| level(value, self));
                picture.put_pixel(x as u32, y as u32, Rgb(levels));
            }
        }
        let mut bytes = Cursor::new(Vec::new());
        picture
            .write_to(&mut bytes, ImageFormat::Png)
            .expect("a PNG");
        bytes.into_inner()
    }
}
