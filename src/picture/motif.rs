//! Where in its picture a motif is: what is not transparent, or differs from the plain colour along
//! the picture's border.

use super::{Crop, Depth, Picture};
use std::ops::Range;

/// Opacity from which a pixel belongs to the motif: soft shadows do not.
const SEEN: f64 = 1.0 / 8.0;
/// Steps of 255 within which a colour is the border's: what a JPEG does to a flat ground. Ours.
const ALIKE: f64 = 12.0;
/// Share of the border that must be alike for a ground to be plain. Ours.
const PLAIN: f64 = 0.5;

/// The smallest part of the upright picture, within `crop`, that holds its motif: all of the crop
/// where there is no ground to tell it from.
///
/// A picture with transparent pixels has its motif where the opacity is an eighth or more. In any
/// other the ground is the median colour along the border, if half of the border is within 12 of
/// 255 steps of it, and the motif is what differs by more; so it moves with the motif by whole
/// pixels.
pub fn motif(picture: &Picture, crop: Crop) -> Crop {
    let window = stored(picture, &crop);
    let reader = Reader::new(picture);
    let found = if !picture.is_opaque() {
        bounds(&window, |at| reader.alpha(at) >= SEEN)
    } else {
        match ground(&reader, &window) {
            None => None,
            Some(ground) => bounds(&window, |at| !reader.alike(at, &ground)),
        }
    };
    found.map_or(crop, |found| upright(picture, &found))
}

/// A stored pixel.
#[derive(Clone, Copy)]
struct At {
    x: u32,
    y: u32,
}

/// A rectangle of stored pixels: x then y.
type Window = [Range<u32>; 2];

/// Numbers of stored pixels, as shares of the highest.
struct Reader<'a> {
    picture: &'a Picture,
    count: usize,
}

impl<'a> Reader<'a> {
    fn new(picture: &'a Picture) -> Self {
        Self {
            picture,
            count: picture.channels.count(),
        }
    }

    fn number(&self, at: At, channel: usize) -> f64 {
        let At { x, y } = at;
        let at = (y as usize * self.picture.width as usize + x as usize) * self.count + channel;
        let data = &self.picture.data;
        match self.picture.depth {
            Depth::Eight => f64::from(data[at]) / 255.0,
            Depth::Sixteen => {
                f64::from(u16::from_ne_bytes([data[2 * at], data[2 * at + 1]])) / 65_535.0
            }
        }
    }

    fn alpha(&self, at: At) -> f64 {
        self.number(at, self.picture.channels.colour)
    }

    fn alike(&self, at: At, ground: &[f64]) -> bool {
        let near = |(channel, own): (usize, &f64)| {
            (self.number(at, channel) - own).abs() <= (ALIKE + 0.5) / 255.0
        };
        ground.iter().enumerate().all(near)
    }
}

/// The median colour along the border, if enough of the border is like it.
fn ground(reader: &Reader, window: &Window) -> Option<Vec<f64>> {
    let [across, down] = window;
    let ends = |range: &Range<u32>| [range.start, range.end - 1];
    let level = ends(down)
        .into_iter()
        .flat_map(|y| across.clone().map(move |x| At { x, y }));
    let upright = ends(across)
        .into_iter()
        .flat_map(|x| down.clone().map(move |y| At { x, y }));
    let border: Vec<At> = level.chain(upright).collect();
    let median = |channel: usize| {
        let mut all: Vec<f64> = border
            .iter()
            .map(|&at| reader.number(at, channel))
            .collect();
        let middle = all.len() / 2;
        *all.select_nth_unstable_by(middle, f64::total_cmp).1
    };
    let ground: Vec<f64> = (0..reader.picture.channels.colour).map(median).collect();
    let alike = border
        .iter()
        .filter(|&&at| reader.alike(at, &ground))
        .count();
    (alike as f64 >= PLAIN * border.len() as f64).then_some(ground)
}

/// The smallest window that holds all pixels of the motif.
fn bounds(window: &Window, of_motif: impl Fn(At) -> bool) -> Option<Window> {
    let [across, down] = window;
    let mut found: Option<Window> = None;
    for y in down.clone() {
        let mut row = across.clone().filter(|&x| of_motif(At { x, y }));
        let Some(first) = row.next() else {
            continue;
        };
        let last = across.clone().rev().find(|&x| of_motif(At { x, y }));
        let last = last.unwrap_or(first) + 1;
        found = Some(match found {
            None => [first..last, y..y + 1],
            Some([x, rows]) => [x.start.min(first)..x.end.max(last), rows.start..y + 1],
        });
    }
    found
}

fn turned(range: &Range<u32>, length: u32, flip: bool) -> Range<u32> {
    if flip {
        length - range.end..length - range.start
    } else {
        range.clone()
    }
}

fn stored(picture: &Picture, crop: &Crop) -> Window {
    let across = crop.x..crop.x + crop.width;
    let down = crop.y..crop.y + crop.height;
    let turn = picture.orientation;
    let (x, y) = if turn.swap {
        (down, across)
    } else {
        (across, down)
    };
    [
        turned(&x, picture.width, turn.flip_x),
        turned(&y, picture.height, turn.flip_y),
    ]
}

fn upright(picture: &Picture, window: &Window) -> Crop {
    let [x, y] = window;
    let turn = picture.orientation;
    let x = turned(x, picture.width, turn.flip_x);
    let y = turned(y, picture.height, turn.flip_y);
    let (across, down) = if turn.swap { (y, x) } else { (x, y) };
    Crop {
        x: across.start,
        y: down.start,
        width: across.end - across.start,
        height: down.end - down.start,
    }
}

#[cfg(test)]
mod tests {
    use super::motif;
    use crate::picture::{Channels, Crop, Depth, Orientation, Picture, Reading};

    /// A picture of `width` by `height` in grey, or grey with alpha.
    fn grey(width: u32, height: u32, alpha: bool, of: impl Fn(u32, u32) -> (u8, u8)) -> Picture {
        let pixels = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
        let data = pixels.flat_map(|(x, y)| {
            let (value, opacity) = of(x, y);
            [value].into_iter().chain(alpha.then_some(opacity))
        });
        Picture {
            width,
            height,
            channels: Channels { colour: 1, alpha },
            depth: Depth::Eight,
            data: data.collect(),
            orientation: Orientation::default(),
            reading: Reading::srgb(Depth::Eight),
            notes: Vec::new(),
        }
    }

    fn crop(x: u32, y: u32, width: u32, height: u32) -> Crop {
        Crop {
            x,
            y,
            width,
            height,
        }
    }

    #[test]
    fn a_motif_is_what_is_not_clear() {
        let inside = |x, y| (3..8).contains(&x) && (2..12).contains(&y);
        let picture = grey(20, 30, true, |x, y| {
            (90, if inside(x, y) { 255 } else { 20 })
        });
        assert_eq!(
            motif(&picture, Crop::whole(picture.upright())),
            crop(3, 2, 5, 10)
        );
        assert_eq!(motif(&picture, crop(5, 0, 15, 8)), crop(5, 2, 3, 6));
    }

    #[test]
    fn a_motif_is_what_differs_from_a_plain_border() {
        let of = |x: u32, y: u32| {
            if (4..7).contains(&x) && (5..9).contains(&y) {
                (10, 255)
            } else {
                (200 + ((x * 7 + y * 3) % 9) as u8, 255)
            }
        };
        let picture = grey(20, 30, false, of);
        assert_eq!(
            motif(&picture, Crop::whole(picture.upright())),
            crop(4, 5, 3, 4)
        );
        // An alpha channel that is never used counts as none.
        let picture = grey(20, 30, true, of);
        assert_eq!(
            motif(&picture, Crop::whole(picture.upright())),
            crop(4, 5, 3, 4)
        );
    }

    #[test]
    fn without_a_ground_it_is_all_of_the_picture() {
        let picture = grey(16, 16, false, |x, _| ((x * 16) as u8, 255));
        assert_eq!(
            motif(&picture, Crop::whole(picture.upright())),
            Crop::whole(picture.upright())
        );
        let plain = grey(16, 16, false, |_, _| (77, 255));
        assert_eq!(
            motif(&plain, Crop::whole(plain.upright())),
            Crop::whole(plain.upright())
        );
        let clear = grey(16, 16, true, |_, _| (77, 3));
        assert_eq!(
            motif(&clear, Crop::whole(clear.upright())),
            Crop::whole(clear.upright())
        );
    }

    #[test]
    fn it_is_found_upright_whatever_way_it_is_stored() {
        let mut picture = grey(20, 30, true, |x, y| {
            (
                0,
                u8::from((2..5).contains(&x) && (3..10).contains(&y)) * 255,
            )
        });
        for (swap, flip_x, flip_y, expected) in [
            (false, true, false, crop(15, 3, 3, 7)),
            (false, false, true, crop(2, 20, 3, 7)),
            (true, false, false, crop(3, 2, 7, 3)),
            (true, true, true, crop(20, 15, 7, 3)),
        ] {
            picture.orientation = Orientation {
                swap,
                flip_x,
                flip_y,
            };
            assert_eq!(motif(&picture, Crop::whole(picture.upright())), expected);
            assert_eq!(motif(&picture, expected), expected);
        }
    }
}
