//! The colours of drawn beads, and the palette's colours that they stand for.

use crate::colour::{Light, PreparedLab, lab};
use crate::palette::{Nearest, Tone};

/// Rounds in which beads and colours are matched to one another.
const ROUNDS: usize = 6;
/// Difference (CIEDE2000) within which a colour of very few beads is another one drawn badly.
const STRAY: f64 = 5.0;
/// Share of the beads that are very few.
const FEW: f64 = 0.002;
/// Difference up to which a colour is surely the one that was drawn.
const SURE: f64 = 2.0;
/// Share of the next candidate's difference from which the best one is doubtful.
const DOUBTFUL: f64 = 0.7;

/// What a bead stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Match {
    /// Place in the palette.
    pub(super) colour: usize,
    /// The next candidate, if the bead is doubtful: its place, and both differences.
    pub(super) doubt: Option<Candidate>,
}

/// Another colour that a bead may stand for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Candidate {
    pub(super) other: usize,
    /// Difference (CIEDE2000) of the bead from its colour, and from the other.
    pub(super) differences: [f64; 2],
}

/// A colour as it is drawn in this picture.
struct Drawn {
    colour: usize,
    lab: PreparedLab,
    beads: usize,
}

/// Matches beads to the palette, and beads of one drawn colour to the same one: each colour of the
/// palette takes the beads that are nearest to it, its mean becomes the colour as it is drawn, and
/// beads go to the drawn colour that is nearest, until they stay.
pub(super) fn matched(beads: &[Light], tones: &[Tone]) -> Vec<Match> {
    let all: Vec<usize> = (0..tones.len()).collect();
    let Some(nearest) = Nearest::new(tones, &all) else {
        return Vec::new();
    };
    let labs: Vec<PreparedLab> = beads
        .iter()
        .map(|light| PreparedLab::new(lab(*light)))
        .collect();
    let mut groups: Vec<usize> = beads
        .iter()
        .map(|light| nearest.find(&Tone::new(*light)))
        .collect();
    let mut drawn = Vec::new();
    for _ in 0..ROUNDS {
        drawn = means(beads, &groups, &nearest, tones.len());
        drop_strays(&mut drawn, beads.len());
        let moved: Vec<usize> = labs
            .iter()
            .map(|bead| two_nearest(bead, &drawn)[0].0)
            .collect();
        let moved: Vec<usize> = moved.into_iter().map(|at| drawn[at].colour).collect();
        if moved == groups {
            break;
        }
        groups = moved;
    }
    let palette: Vec<PreparedLab> = tones
        .iter()
        .map(|tone| PreparedLab::new(tone.lab))
        .collect();
    let unsure: Vec<Option<Candidate>> = drawn
        .iter()
        .map(|one| second(&one.lab, one.colour, &palette))
        .collect();
    let match_of = |bead: &PreparedLab| {
        let [(at, own), (other, next)] = two_nearest(bead, &drawn);
        let between = own > SURE && own > DOUBTFUL * next;
        let doubt = if between {
            let differences = [own, next];
            Some(Candidate {
                other: drawn[other].colour,
                differences,
            })
        } else {
            unsure[at]
        };
        Match {
            colour: drawn[at].colour,
            doubt,
        }
    };
    labs.iter().map(match_of).collect()
}

/// The mean of each group, under the palette's colour that is nearest to it.
fn means(beads: &[Light], groups: &[usize], nearest: &Nearest, colours: usize) -> Vec<Drawn> {
    let mut sums = vec![(Light::new(0.0, 0.0, 0.0), 0usize); colours];
    for (light, &group) in beads.iter().zip(groups) {
        sums[group].0 += *light;
        sums[group].1 += 1;
    }
    let mut drawn: Vec<Drawn> = Vec::new();
    for (sum, count) in sums.into_iter().filter(|(_, count)| *count > 0) {
        let mean = sum / count as f64;
        let colour = nearest.find(&Tone::new(mean));
        // Two groups of one colour are one.
        match drawn.iter_mut().find(|one| one.colour == colour) {
            Some(one) if one.beads >= count => one.beads += count,
            Some(one) => {
                one.lab = PreparedLab::new(lab(mean));
                one.beads += count;
            }
            None => drawn.push(Drawn {
                colour,
                lab: PreparedLab::new(lab(mean)),
                beads: count,
            }),
        }
    }
    drawn
}

/// Takes out colours of very few beads that are near to another one.
fn drop_strays(drawn: &mut Vec<Drawn>, beads: usize) {
    let few = (beads as f64 * FEW).max(1.5);
    let is_stray = |one: &Drawn, all: &[Drawn]| {
        one.beads as f64 <= few
            && all.iter().any(|other| {
                let difference = other.lab.difference(&one.lab);
                other.beads > one.beads && difference > 0.0 && difference < STRAY
            })
    };
    let strays: Vec<bool> = drawn.iter().map(|one| is_stray(one, drawn)).collect();
    let mut stray = strays.into_iter();
    drawn.retain(|_| !stray.next().unwrap_or(false));
}

/// The places of the two drawn colours that are nearest, with their differences; the same twice
/// where there is one.
fn two_nearest(bead: &PreparedLab, drawn: &[Drawn]) -> [(usize, f64); 2] {
    let mut found = [(0, f64::INFINITY); 2];
    for (at, one) in drawn.iter().enumerate() {
        let difference = bead.difference(&one.lab);
        if difference < found[0].1 {
            found = [(at, difference), found[0]];
        } else if difference < found[1].1 {
            found[1] = (at, difference);
        }
    }
    found
}

/// The next candidate for a drawn colour that is not surely the palette's.
fn second(drawn: &PreparedLab, colour: usize, palette: &[PreparedLab]) -> Option<Candidate> {
    let own = drawn.difference(&palette[colour]);
    if own <= SURE {
        return None;
    }
    let others = (0..palette.len()).filter(|at| *at != colour);
    let others = others.map(|at| (at, drawn.difference(&palette[at])));
    let (other, next) = others.min_by(|one, two| one.1.total_cmp(&two.1))?;
    (own > DOUBTFUL * next).then_some(Candidate {
        other,
        differences: [own, next],
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::{light, read_hex};

    fn tones(all: &[&str]) -> Vec<Tone> {
        let tone = |hex: &&str| Tone::new(light(read_hex(hex).unwrap()));
        all.iter().map(tone).collect()
    }

    #[test]
    fn colours_of_the_palette_are_matched_exactly_however_near_they_are() {
        let tones = tones(&["1C3261", "1C3363", "FAFAF6", "CD2626"]);
        let beads: Vec<Light> = [0, 1, 1, 2, 0, 3, 1]
            .map(|at: usize| tones[at].light)
            .to_vec();
        let found: Vec<usize> = matched(&beads, &tones)
            .iter()
            .map(|one| one.colour)
            .collect();
        assert_eq!(found, [0, 1, 1, 2, 0, 3, 1]);
        assert!(
            matched(&beads, &tones)
                .iter()
                .all(|one| one.doubt.is_none())
        );
    }

    #[test]
    fn a_bead_between_two_colours_is_doubtful() {
        let tones = tones(&["404040", "909090"]);
        let mut beads: Vec<Light> = vec![tones[0].light; 20];
        beads.extend(vec![tones[1].light; 20]);
        beads.push(light(read_hex("686868").unwrap()));
        let found = matched(&beads, &tones);
        let doubtful: Vec<usize> = (0..found.len())
            .filter(|at| found[*at].doubt.is_some())
            .collect();
        assert_eq!(doubtful, [40]);
    }
}
