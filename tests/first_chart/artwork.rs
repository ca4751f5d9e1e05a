//! What `truth.json` says of the flat pieces is so in their pixels.

use super::score::labels::Labels;
use super::score::truth::{Alike, Piece, folder, pieces};

/// The flat pieces and their labels.
fn flat(all: &[Piece]) -> Vec<(&Piece, Labels)> {
    all.iter()
        .filter_map(|piece| Some((piece, Labels::of(piece)?)))
        .collect()
}

#[test]
fn every_picture_of_the_folder_is_described() {
    let all = pieces();
    let mut described: Vec<&str> = all.iter().map(|piece| piece.truth.file.as_str()).collect();
    described.retain(|file| !file.starts_with(".."));
    let mut there: Vec<String> = std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(".png"))
        .collect();
    described.sort_unstable();
    there.sort_unstable();
    assert_eq!(described, there);
}

#[test]
fn every_colour_is_there_and_every_main_part_has_its_own() {
    for (piece, labels) in flat(&pieces()) {
        for label in 0..labels.colours.len() {
            let count = labels
                .of
                .iter()
                .filter(|own| usize::from(**own) == label)
                .count();
            assert!(
                count > 100,
                "{}: {count} pixels of colour {label}",
                piece.name()
            );
        }
        for part in &piece.truth.parts {
            let [left, top, wide, high] = part.area.map(|side| side as usize);
            let at = piece.truth.colours.as_ref().unwrap();
            let label = at.iter().position(|hex| *hex == part.colour).unwrap();
            let own =
                |&(x, y): &(usize, usize)| usize::from(labels.of[y * labels.width + x]) == label;
            let area = (top..top + high).flat_map(|y| (left..left + wide).map(move |x| (x, y)));
            let inside = area.filter(|(x, y)| *x < labels.width && *y < labels.height);
            let count = inside.filter(own).count();
            assert!(count * 8 >= wide * high, "{}: {}", piece.name(), part.name);
        }
    }
}

/// The middle of a symmetric motif is that of its extent; a strip's is that of a tile.
#[test]
fn symmetric_pieces_are_their_own_mirror_images() {
    for (piece, labels) in flat(&pieces()) {
        let ([left, top, right, bottom], _) = labels.extent().unwrap();
        for axis in &piece.truth.axes {
            let (mut differ, mut count) = (0, 0);
            for (at, own) in labels.of.iter().enumerate() {
                let (x, y) = (at % labels.width, at / labels.width);
                let across = if piece.truth.tile.is_some() {
                    labels.width - 1 - x
                } else {
                    ((left + right) as usize - 1).wrapping_sub(x)
                };
                let along = if piece.truth.tile.is_some() {
                    labels.height - 1 - y
                } else {
                    ((top + bottom) as usize - 1).wrapping_sub(y)
                };
                let (x, y) = if *axis == Alike::Columns {
                    (across, y)
                } else {
                    (x, along)
                };
                if x < labels.width && y < labels.height {
                    count += 1;
                    differ += usize::from(labels.of[y * labels.width + x] != *own);
                }
            }
            assert!(
                differ * 50 < count,
                "{} {axis:?}: {differ} of {count}",
                piece.name()
            );
        }
    }
}

#[test]
fn tiles_repeat_and_meet_without_a_seam() {
    for (piece, labels) in flat(&pieces()) {
        let Some(share) = piece.truth.tile else {
            continue;
        };
        let tile = (labels.width as f64 * share).round() as usize;
        let differ = labels.of.iter().enumerate().filter(|(at, own)| {
            let (x, y) = (at % labels.width, at / labels.width);
            labels.of[y * labels.width + (x + tile) % labels.width] != **own
        });
        let count = differ.count();
        assert!(count * 50 < labels.of.len(), "{}: {count}", piece.name());
    }
}

#[test]
fn strokes_and_enclosed_grounds_are_as_many_as_said() {
    for (piece, labels) in flat(&pieces()) {
        let Some(strokes) = piece.truth.strokes else {
            continue;
        };
        assert_eq!(areas(&labels, false).len(), strokes, "{}", piece.name());
        if let Some(holes) = piece.truth.holes {
            let edge = |at: &usize| {
                let (x, y) = (at % labels.width, at / labels.width);
                x == 0 || y == 0 || x + 1 == labels.width || y + 1 == labels.height
            };
            let grounds = areas(&labels, true);
            let enclosed = grounds.iter().filter(|area| !area.iter().any(edge)).count();
            assert_eq!(enclosed, holes, "{}", piece.name());
        }
    }
}

/// Touching pixels of the base, or of all else.
fn areas(labels: &Labels, base: bool) -> Vec<Vec<usize>> {
    let mut seen: Vec<bool> = labels
        .of
        .iter()
        .map(|own| (*own == labels.base) != base)
        .collect();
    let mut areas = Vec::new();
    for start in 0..seen.len() {
        if seen[start] {
            continue;
        }
        seen[start] = true;
        let mut area = vec![start];
        let mut next = 0;
        while next < area.len() {
            let (x, y) = (area[next] % labels.width, area[next] / labels.width);
            let around = [
                (x.wrapping_sub(1), y),
                (x + 1, y),
                (x, y.wrapping_sub(1)),
                (x, y + 1),
            ];
            for (x, y) in around {
                let at = y.wrapping_mul(labels.width).wrapping_add(x);
                if x < labels.width && y < labels.height && !seen[at] {
                    seen[at] = true;
                    area.push(at);
                }
            }
            next += 1;
        }
        areas.push(area);
    }
    areas
}
