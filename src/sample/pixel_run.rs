//! Sums of light over runs of pixels in one stored row: whole pixels as integers, first and last by
//! their share.

use crate::error::Result;
use crate::picture::{Depth, Picture, Reading, convert_row};
use moxcms::TransformF64Executor;

/// An interval of pixels, its ends anywhere between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PixelRun {
    /// First pixel touched.
    first: usize,
    /// Its share.
    head: f64,
    /// Whole pixels after it.
    whole: usize,
    /// Share of the last pixel, after the whole ones.
    tail: f64,
}

impl PixelRun {
    /// The interval from `start` to `end`; empty if `end` is not after `start`. Neither is below 0.
    pub fn new(start: f64, end: f64) -> Self {
        // Ends that miss a pixel's edge only by rounding are on it.
        let (start, end) = (snapped(start), snapped(end));
        if end <= start {
            return Self {
                first: 0,
                head: 0.0,
                whole: 0,
                tail: 0.0,
            };
        }
        let first = start.floor();
        let head_end = (first + 1.0).min(end);
        let last = end.floor();
        Self {
            first: first as usize,
            head: head_end - start,
            whole: (last - first - 1.0).max(0.0) as usize,
            tail: if last > first { end - last } else { 0.0 },
        }
    }

    /// Each pixel touched, with its share.
    pub fn weights(&self) -> impl Iterator<Item = (usize, f64)> + use<> {
        let run = *self;
        let head = (run.head > 0.0).then_some((run.first, run.head));
        let tail = (run.tail > 0.0).then_some((run.first + 1 + run.whole, run.tail));
        head.into_iter()
            .chain((0..run.whole).map(move |at| (run.first + 1 + at, 1.0)))
            .chain(tail)
    }
}

fn snapped(at: f64) -> f64 {
    let near = at.round();
    if (at - near).abs() < 1e-9 { near } else { at }
}

/// Running sums over the bins of one stored axis.
pub struct RunSums<'a> {
    picture: &'a Picture,
    across: &'a [PixelRun],
    /// Light of three channels times alpha, and alpha, summed over pixels.
    pub cells: Vec<[f64; 4]>,
    /// A row as numbers and as light, for table profiles.
    numbers: Vec<f64>,
    lights: Vec<f64>,
}

impl<'a> RunSums<'a> {
    /// Empty sums.
    pub fn new(picture: &'a Picture, across: &'a [PixelRun]) -> Self {
        Self {
            picture,
            across,
            cells: vec![[0.0; 4]; across.len()],
            numbers: Vec::new(),
            lights: Vec::new(),
        }
    }

    /// Adds one stored row with its share.
    ///
    /// # Errors
    /// If the picture's colour profile fails.
    pub fn add_row(&mut self, row: usize, weight: f64) -> Result<()> {
        let picture = self.picture;
        let channels = picture.channels;
        let (bytes_each, top) = match picture.depth {
            Depth::Eight => (1, 255.0),
            Depth::Sixteen => (2, 65_535.0),
        };
        let stride = picture.width as usize * channels.count() * bytes_each;
        let data = &picture.data[row * stride..(row + 1) * stride];
        let one = crate::picture::ONE;
        match (&picture.reading, picture.depth) {
            (Reading::Pixels { executor, .. }, depth) => {
                self.convert(executor.as_ref(), data, depth)?;
                let read = Floats {
                    row: &self.lights,
                    count: channels.count(),
                };
                let scale = Scale {
                    light: 1.0,
                    alpha: 1.0,
                };
                add(&mut self.cells, self.across, weight, scale, &read);
            }
            (Reading::Curves { tables, .. }, Depth::Eight)
                if channels.colour == 3 && !channels.alpha =>
            {
                let tables = tables.each_ref().map(|table| eight(table));
                let read = Rgb8 { row: data, tables };
                let scale = Scale {
                    light: one,
                    alpha: 1.0,
                };
                add(&mut self.cells, self.across, weight, scale, &read);
            }
            (Reading::Curves { tables, .. }, _) => {
                let read = Any {
                    row: data,
                    bytes_each,
                    colour: channels.colour,
                    alpha: channels.alpha,
                    tables,
                    top: top as u64,
                };
                let scale = Scale {
                    light: one * top,
                    alpha: top,
                };
                add(&mut self.cells, self.across, weight, scale, &read);
            }
        }
        Ok(())
    }

    /// A row through a table profile: from numbers to light, in `self.lights`.
    fn convert(
        &mut self,
        executor: &TransformF64Executor,
        data: &[u8],
        depth: Depth,
    ) -> Result<()> {
        self.numbers.clear();
        match depth {
            Depth::Eight => self
                .numbers
                .extend(data.iter().map(|&n| f64::from(n) / 255.0)),
            Depth::Sixteen => {
                let numbers = data.as_chunks::<2>().0.iter();
                self.numbers
                    .extend(numbers.map(|&n| f64::from(u16::from_ne_bytes(n)) / 65_535.0));
            }
        }
        self.lights.resize(self.numbers.len(), 0.0);
        convert_row(executor, &self.numbers, &mut self.lights)
    }
}

/// What counts as 1 in a reader's sums.
struct Scale {
    light: f64,
    alpha: f64,
}

/// Adds a row's runs to the cells.
fn add(cells: &mut [[f64; 4]], across: &[PixelRun], weight: f64, scale: Scale, read: &impl Read) {
    for (cell, run) in cells.iter_mut().zip(across) {
        let whole = read.sum(run.first + 1, run.whole);
        let mut sums = whole;
        for (share, at) in [(run.head, run.first), (run.tail, run.first + 1 + run.whole)] {
            if share > 0.0 {
                let pixel = read.sum(at, 1);
                for (sum, value) in sums.iter_mut().zip(pixel) {
                    *sum += share * value;
                }
            }
        }
        for (total, sum) in cell[..3].iter_mut().zip(sums) {
            *total += weight * sum / scale.light;
        }
        cell[3] += weight * sums[3] / scale.alpha;
    }
}

/// Sums over whole pixels of one row.
trait Read {
    /// Light of three channels times alpha, and alpha, over `count` pixels from `first`.
    fn sum(&self, first: usize, count: usize) -> [f64; 4];
}

/// A table of 256 levels whose index needs no check.
fn eight(table: &[u32]) -> &[u32; 256] {
    const DARK: &[u32; 256] = &[0; 256];
    table.first_chunk().unwrap_or(DARK)
}

/// The common case, without alpha: three table look-ups a pixel.
struct Rgb8<'a> {
    row: &'a [u8],
    tables: [&'a [u32; 256]; 3],
}

impl Read for Rgb8<'_> {
    fn sum(&self, first: usize, count: usize) -> [f64; 4] {
        if count == 0 {
            return [0.0; 4];
        }
        let mut sums = [0u64; 3];
        for pixel in self.row[first * 3..(first + count) * 3].as_chunks::<3>().0 {
            for i in 0..3 {
                sums[i] += u64::from(self.tables[i][usize::from(pixel[i])]);
            }
        }
        [sums[0] as f64, sums[1] as f64, sums[2] as f64, count as f64]
    }
}

/// Grey or colour, 8 or 16 bit, with or without alpha.
struct Any<'a> {
    row: &'a [u8],
    bytes_each: usize,
    colour: usize,
    alpha: bool,
    tables: &'a [Vec<u32>; 3],
    top: u64,
}

impl Any<'_> {
    fn level(&self, at: usize) -> usize {
        match self.bytes_each {
            1 => usize::from(self.row[at]),
            _ => usize::from(u16::from_ne_bytes([self.row[2 * at], self.row[2 * at + 1]])),
        }
    }
}

impl Read for Any<'_> {
    fn sum(&self, first: usize, count: usize) -> [f64; 4] {
        let stride = self.colour + usize::from(self.alpha);
        let step = usize::from(self.colour == 3);
        // 31 bits of light, 16 of alpha and 16 of a row's length: 63 bits.
        let mut sums = [0u64; 4];
        for pixel in first..first + count {
            let at = pixel * stride;
            let alpha = if self.alpha {
                self.level(at + self.colour) as u64
            } else {
                self.top
            };
            for (i, (sum, table)) in sums.iter_mut().zip(self.tables).enumerate() {
                *sum += alpha * u64::from(table[self.level(at + i * step)]);
            }
            sums[3] += alpha;
        }
        sums.map(|sum| sum as f64)
    }
}

/// A row that a table profile has converted.
struct Floats<'a> {
    row: &'a [f64],
    count: usize,
}

impl Read for Floats<'_> {
    fn sum(&self, first: usize, count: usize) -> [f64; 4] {
        let mut sums = [0.0; 4];
        for pixel in
            self.row[first * self.count..(first + count) * self.count].chunks_exact(self.count)
        {
            let alpha = pixel.get(3).map_or(1.0, |&alpha| alpha);
            for i in 0..3 {
                sums[i] += alpha * pixel[i];
            }
            sums[3] += alpha;
        }
        sums
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_run_weighs_each_pixel_by_its_share() {
        let weights = |start, end| PixelRun::new(start, end).weights().collect::<Vec<_>>();
        assert_eq!(weights(1.0, 3.0), [(1, 1.0), (2, 1.0)]);
        assert_eq!(weights(0.5, 2.25), [(0, 0.5), (1, 1.0), (2, 0.25)]);
        assert_eq!(weights(0.25, 0.5), [(0, 0.25)]);
        assert_eq!(weights(2.0, 2.0), []);
        assert_eq!(weights(2.9999999999999996, 4.0), [(3, 1.0)]);
    }
}
