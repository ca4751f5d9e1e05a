//! What can be copied from what came before (RFC 9649, section 5.2.2).

/// Longest copy.
const LONGEST: usize = 4096;
/// Shortest copy that is worth its symbols.
const SHORTEST: usize = 3;
/// How many earlier places are tried.
const TRIED: usize = 96;

/// A part of the picture's pixels in their order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Piece {
    /// One pixel.
    Pixel,
    /// So many pixels as they stand so far back; `distance` is the format's code for it.
    Copy {
        /// Pixels.
        length: usize,
        /// From 1: near places in two dimensions, then all others.
        distance: usize,
    },
}

/// Codes less one of near places, by rows up (0 to 7) and columns: 8 to the left up to 7 to the right. The table of the format, read the other way.
const NEAR: [[u8; 16]; 8] = [
    [
        96, 73, 55, 39, 23, 13, 5, 1, 255, 255, 255, 255, 255, 255, 255, 255,
    ],
    [101, 78, 58, 42, 26, 16, 8, 2, 0, 3, 9, 17, 27, 43, 59, 79],
    [102, 86, 62, 46, 32, 20, 10, 6, 4, 7, 11, 21, 33, 47, 63, 87],
    [
        105, 90, 70, 52, 37, 28, 18, 14, 12, 15, 19, 29, 38, 53, 71, 91,
    ],
    [
        110, 99, 82, 66, 48, 35, 30, 24, 22, 25, 31, 36, 49, 67, 83, 100,
    ],
    [
        115, 108, 94, 76, 64, 50, 44, 40, 34, 41, 45, 51, 65, 77, 95, 109,
    ],
    [
        118, 113, 103, 92, 80, 68, 60, 56, 54, 57, 61, 69, 81, 93, 104, 114,
    ],
    [
        119, 116, 111, 106, 97, 88, 84, 74, 72, 75, 85, 89, 98, 107, 112, 117,
    ],
];

/// The format's code of a distance in pixels.
fn code_of(distance: usize, width: usize) -> usize {
    let (rows, left) = (distance / width, distance % width);
    let near = |row: usize, column: usize| 1 + usize::from(NEAR[row][column]);
    if left <= 8 && rows < 8 && (rows > 0 || left > 0) {
        return near(rows, 8 - left);
    }
    let right = width - left;
    if right < 8 && rows < 7 {
        return near(rows + 1, 8 + right);
    }
    distance + 120
}

/// Symbol, extra bits and their number for a length or a distance code, from 1.
pub(super) fn split(value: usize) -> (usize, (u32, u32)) {
    let less = value - 1;
    if less < 4 {
        return (less, (0, 0));
    }
    let highest = less.ilog2();
    let second = less >> (highest - 1) & 1;
    let bits = highest - 1;
    let extra = less & ((1 << bits) - 1);
    (2 * highest as usize + second, (extra as u32, bits))
}

/// The picture in pixels and copies: the longest copy found, unless the next place has a longer one.
pub(super) fn pieces(codes: &[u8], width: usize) -> Vec<Piece> {
    let mut found = Finder::new(codes, width);
    let mut pieces = Vec::new();
    let mut at = 0;
    // What the place before has found here already.
    let mut ahead = None;
    while at < codes.len() {
        let here = ahead.take().unwrap_or_else(|| found.longest(at));
        found.add(at);
        let mut better = |length: usize| {
            let next = found.longest(at + 1);
            let better = next.is_some_and(|(longer, _)| longer > length + 1);
            ahead = better.then_some(next);
            better
        };
        match here {
            Some((length, distance)) if !better(length) => {
                pieces.push(Piece::Copy {
                    length,
                    distance: code_of(distance, width),
                });
                (at + 1..at + length).for_each(|at| found.add(at));
                at += length;
            }
            _ => {
                pieces.push(Piece::Pixel);
                at += 1;
            }
        }
    }
    pieces
}

struct Finder<'a> {
    codes: &'a [u8],
    width: usize,
    /// For each hash, the last place that has it; for each place, the one before.
    heads: Vec<u32>,
    before: Vec<u32>,
}

const NONE: u32 = u32::MAX;

impl<'a> Finder<'a> {
    fn new(codes: &'a [u8], width: usize) -> Self {
        Self {
            codes,
            width,
            heads: vec![NONE; 1 << 16],
            before: vec![NONE; codes.len()],
        }
    }

    fn hash(&self, at: usize) -> Option<usize> {
        let three = self.codes.get(at..at + SHORTEST)?;
        let key = three
            .iter()
            .fold(0u32, |key, code| key << 8 | u32::from(*code));
        Some((key.wrapping_mul(0x9E37_79B1) >> 16) as usize)
    }

    fn add(&mut self, at: usize) {
        if let Some(hash) = self.hash(at) {
            self.before[at] = self.heads[hash];
            self.heads[hash] = at as u32;
        }
    }

    /// Length and distance of the best copy at a place, if one is worth it.
    fn longest(&self, at: usize) -> Option<(usize, usize)> {
        let hash = self.hash(at)?;
        let mut best: Option<(usize, usize)> = None;
        let mut consider = |distance: usize| {
            if distance == 0 || distance > at {
                return;
            }
            let length = self.same(at, distance);
            // A near place costs fewer bits: a far one has to be longer.
            let near = code_of(distance, self.width) <= 120;
            let worth = SHORTEST + usize::from(!near);
            let longer = best.is_none_or(|(longest, _)| length > longest + usize::from(!near));
            if length >= worth && longer {
                best = Some((length, distance));
            }
        };
        for distance in [
            1,
            self.width,
            self.width + 1,
            self.width - 1,
            2 * self.width,
        ] {
            consider(distance);
        }
        let mut place = self.heads[hash];
        for _ in 0..TRIED {
            if place == NONE {
                break;
            }
            consider(at - place as usize);
            place = self.before[place as usize];
        }
        best
    }

    fn same(&self, at: usize, distance: usize) -> usize {
        let most = (self.codes.len() - at).min(LONGEST);
        (0..most)
            .find(|step| self.codes[at + step] != self.codes[at + step - distance])
            .unwrap_or(most)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The list of RFC 9649, section 5.2.2 begins (0, 1), (1, 0), (1, 1), (-1, 1), (0, 2), (2, 0): columns to the left, rows up.
    #[test]
    fn near_places_have_the_format_s_codes() {
        for (code, (left, up)) in [(0, 1), (1, 0), (1, 1), (-1, 1), (0, 2), (2, 0)]
            .into_iter()
            .enumerate()
        {
            let distance: i64 = up * 100 + left;
            assert_eq!(code_of(distance as usize, 100), code + 1);
        }
        assert_eq!(code_of(950, 100), 1070);
        let mut all: Vec<u8> = NEAR
            .iter()
            .flatten()
            .copied()
            .filter(|code| *code < 255)
            .collect();
        all.sort_unstable();
        assert_eq!(all, (0..120).collect::<Vec<u8>>());
    }

    #[test]
    fn lengths_are_split_as_the_format_reads_them() {
        for value in 1..5000usize {
            let (symbol, (extra, bits)) = split(value);
            let read = match symbol < 4 {
                true => symbol + 1,
                false => {
                    let count = (symbol - 2) >> 1;
                    assert_eq!(count as u32, bits);
                    ((2 + (symbol & 1)) << count) + extra as usize + 1
                }
            };
            assert_eq!(read, value);
        }
    }
}
