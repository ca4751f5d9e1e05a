//! What is asked of the chart of a photograph or a gradient, beside the nearest colour for each
//! bead of the same placement. The picture lies where the chart's record says.

use super::truth::{Piece, Upright};
use std::collections::HashSet;
use std::sync::Arc;
use upbead::cancel::Cancel;
use upbead::chart::Chart;
use upbead::colour::{Lab, Light, PreparedLab, lab};
use upbead::lattice::Lattice;
use upbead::palette::{Nearest, Palette, Tone};
use upbead::picture::{decode, plan};
use upbead::pipeline::{arrangement, recorded_ground};
use upbead::quantize::measure::{Measure, Reference};
use upbead::sample::sample_tiles;
use upbead::vision::band::{DISTANCES, Mosaic, TILES};

/// Most of nearest's error that may be seen in the hand and worn.
const SEEN: [f64; 2] = [1.0, 0.95];
/// The same for gradients, which the nearest colours show almost as well as can be.
const SEEN_GRADIENT: [f64; 2] = [1.0, 1.0];
/// A bead stands nowhere near in the picture from this difference on.
const INTRUDER: f64 = 10.0;
/// Most intruders, of nearest's and of all beads.
const INTRUDERS: (f64, f64) = (1.3, 0.015);
/// Most stray beads of nearest's, and how many are few whatever nearest has.
const STRAY: (f64, usize) = (0.8, 2);
/// Most colours.
const COLOURS: usize = 16;
/// Spread in Lab under and around a bead up to which the picture is flat there. Ours.
const FLAT: f64 = 0.6;
/// Most unlike pairs on flat ground, as a share.
const UNLIKE: f64 = 0.05;
/// Chroma up to which a picture is grey.
const GREY: f64 = 2.0;
/// How much more chroma than nearest's most coloured bead a grey picture may have.
const TINT: f64 = 2.0;

/// The reasons why the chart is not one to weave; none if it is.
pub fn reasons(piece: &Piece, chart: &Chart, palette: &Palette) -> Vec<String> {
    let mosaic = match mosaic(piece, chart) {
        Ok(mosaic) => mosaic,
        Err(error) => return vec![format!("its record does not place the picture: {error}")],
    };
    let tones = palette.tones();
    let all: Vec<usize> = (0..tones.len()).collect();
    let nearest = Nearest::new(&tones, &all).expect("a palette has colours");
    let of_beads = mosaic.of_beads();
    let plain: Vec<usize> = of_beads
        .iter()
        .map(|&l| nearest.find(&Tone::new(l)))
        .collect();
    let place = |code: &String| palette.find(code).expect("a colour of the palette");
    let places: Vec<usize> = chart
        .colours
        .iter()
        .map(|shade| place(&shade.code))
        .collect();
    let own: Vec<usize> = chart
        .beads
        .iter()
        .map(|&at| places[usize::from(at)])
        .collect();
    let cancel = Cancel::default();
    let reference = Reference::new(&mosaic, &DISTANCES[..2], &cancel);
    let measured = |chosen: &[usize]| {
        let lights: Vec<Light> = chosen.iter().map(|&at| tones[at].light).collect();
        reference.measure(&lights, chosen)
    };
    let mut reasons: Vec<String> = turned(piece, chart).into_iter().collect();
    reasons.extend(measures(piece, &measured(&own), &measured(&plain)));
    let spots = spots(&mosaic);
    let (strange, before) = (
        intruders(&spots, &own, &tones),
        intruders(&spots, &plain, &tones),
    );
    let most = (INTRUDERS.0 * before as f64).min(INTRUDERS.1 * own.len() as f64);
    // One bead is not confetti.
    if strange as f64 > most.max(1.0) {
        reasons.push(format!("{strange} intruders, nearest {before}"));
    }
    reasons.extend(unlike(&mosaic, &own));
    let colours = own.iter().collect::<HashSet<_>>().len();
    if colours > COLOURS {
        reasons.push(format!("{colours} colours"));
    }
    reasons.extend(tinted(&of_beads, &own, &plain, &tones));
    reasons
}

/// The picture on the chart's band, tile by tile.
fn mosaic(piece: &Piece, chart: &Chart) -> upbead::Result<Mosaic> {
    let (lattice, cancel) = (&chart.lattice, &Cancel::default());
    let picture = decode(Arc::new(piece.bytes.clone()), lattice, &cancel.into())?;
    let how = arrangement(chart)?;
    let plan = plan(picture.upright(), picture.orientation, lattice, &how)?;
    let tiles = sample_tiles(&picture, &plan, lattice, TILES as u32, cancel)?;
    let ground = recorded_ground(chart).unwrap_or_default();
    let light = tiles
        .iter()
        .map(|tile| tile.light + ground * (1.0 - tile.alpha))
        .collect();
    Ok(Mosaic {
        lattice: *lattice,
        light,
    })
}

fn turned(piece: &Piece, chart: &Chart) -> Option<String> {
    let said = chart.made.options.iter().find(|(name, _)| name == "rotate");
    let degrees = said.map_or("0", |(_, value)| value.as_str());
    let allowed: &[&str] = match piece.truth.upright {
        Upright::Up => &["0"],
        Upright::Along => &["90", "270"],
        Upright::Any => &["0", "90", "180", "270"],
    };
    (!allowed.contains(&degrees)).then(|| format!("turned by {degrees}"))
}

fn measures(piece: &Piece, own: &Measure, nearest: &Measure) -> Vec<String> {
    let most = if piece.truth.kind == "gradient" {
        SEEN_GRADIENT
    } else {
        SEEN
    };
    let mut reasons = Vec::new();
    for ((own, nearest), most) in own.views.iter().zip(&nearest.views).zip(most) {
        let ratio = own.mean / nearest.mean.max(1e-9);
        if ratio > most + 1e-9 {
            reasons.push(format!("seen {ratio:.3} at {}", own.distance));
        }
    }
    if own.stray > STRAY.1 && own.stray as f64 > STRAY.0 * nearest.stray as f64 {
        reasons.push(format!(
            "{} stray beads, nearest {}",
            own.stray, nearest.stray
        ));
    }
    reasons
}

/// For each bead the colours of the picture on it, half a column and a quarter bead around it;
/// every second tile stands for its neighbours.
fn spots(mosaic: &Mosaic) -> Vec<Vec<Lab>> {
    let lattice = &mosaic.lattice;
    let labs: Vec<Lab> = mosaic.light.iter().map(|&light| lab(light)).collect();
    let (across, along) = (
        Mosaic::across(lattice) as i64,
        Mosaic::along(lattice) as i64,
    );
    let tiles = TILES as i64;
    let of = |bead: usize| {
        let (row, column) = lattice.position(bead);
        let left = (i64::from(column.get()) - 1) * tiles - tiles / 2;
        let bottom = (i64::from(row.get()) - 1) * tiles - tiles / 2;
        let mut found = Vec::new();
        for y in (bottom..bottom + 3 * tiles).step_by(2) {
            for x in (left..left + 2 * tiles).step_by(2) {
                if (0..across).contains(&x) {
                    found.push(labs[(y.rem_euclid(along) * across + x) as usize]);
                }
            }
        }
        found
    };
    (0..lattice.len()).map(of).collect()
}

/// Beads whose colour stands nowhere near in the picture, though another's does.
fn intruders(spots: &[Vec<Lab>], chosen: &[usize], tones: &[Tone]) -> usize {
    let prepared: Vec<PreparedLab> = tones
        .iter()
        .map(|tone| PreparedLab::new(tone.lab))
        .collect();
    let strange = |(spots, own): &(&Vec<Lab>, &usize)| {
        let spots: Vec<PreparedLab> = spots.iter().map(|&spot| PreparedLab::new(spot)).collect();
        let least = |bead: &PreparedLab| {
            let apart = spots.iter().map(|spot| spot.difference(bead));
            apart.fold(f64::INFINITY, f64::min)
        };
        let apart = least(&prepared[**own]);
        // No colour is nearer than 0, so that most beads need no other to be tried.
        apart > INTRUDER && {
            let best = prepared.iter().map(least).fold(f64::INFINITY, f64::min);
            apart - best > INTRUDER
        }
    };
    spots.iter().zip(chosen).filter(strange).count()
}

/// Pairs of touching beads on flat ground that differ.
fn unlike(mosaic: &Mosaic, own: &[usize]) -> Option<String> {
    let lattice: &Lattice = &mosaic.lattice;
    let labs: Vec<Lab> = mosaic.of_beads().into_iter().map(lab).collect();
    let spots = spots(mosaic);
    let flat = |bead: usize| {
        let around: Vec<Lab> = lattice
            .neighbours(bead)
            .map(|other| labs[other.index])
            .chain(spots[bead].iter().copied())
            .collect();
        spread(&around) < FLAT
    };
    let flat: Vec<bool> = (0..own.len()).map(flat).collect();
    let (mut pairs, mut differ) = (0usize, 0usize);
    for bead in (0..own.len()).filter(|&bead| flat[bead]) {
        for other in lattice.neighbours(bead) {
            if other.index > bead && flat[other.index] {
                pairs += 1;
                differ += usize::from(own[bead] != own[other.index]);
            }
        }
    }
    let too_many = differ > 4 && differ as f64 > UNLIKE * pairs as f64;
    too_many.then(|| format!("{differ} of {pairs} pairs differ on flat ground"))
}

/// The root of the mean square distance to the mean.
fn spread(labs: &[Lab]) -> f64 {
    let count = labs.len().max(1) as f64;
    let mean = |of: fn(&Lab) -> f64| labs.iter().map(of).sum::<f64>() / count;
    let (l, a, b) = (mean(|lab| lab.l), mean(|lab| lab.a), mean(|lab| lab.b));
    let square = |lab: &Lab| (lab.l - l).powi(2) + (lab.a - a).powi(2) + (lab.b - b).powi(2);
    (labs.iter().map(square).sum::<f64>() / count).sqrt()
}

/// A grey picture stays as grey as the palette allows.
fn tinted(picture: &[Light], own: &[usize], plain: &[usize], tones: &[Tone]) -> Option<String> {
    let chroma = |lab: Lab| (lab.a * lab.a + lab.b * lab.b).sqrt();
    if picture.iter().any(|&light| chroma(lab(light)) > GREY) {
        return None;
    }
    let most = |chosen: &[usize]| {
        let all = chosen.iter().map(|&at| chroma(tones[at].lab));
        all.fold(0.0, f64::max)
    };
    let allowed = most(plain) + TINT;
    let count = own
        .iter()
        .filter(|&&at| chroma(tones[at].lab) > allowed)
        .count();
    (count > 0).then(|| format!("{count} coloured beads in a grey picture"))
}
