//! A bead for each colour of a drawing.

use crate::colour::Light;
use crate::colour::{Lab, lab};
use crate::palette::Tone;
use crate::vision::contrast::{WELL, ratio};

/// Lightness counts this much less than hue and chroma: the factor kL of CIEDE2000 (ISO/CIE
/// 11664-6), which is 1 for smooth samples and 2 in the textile trade. Ours: of beads that are
/// about as near, that of the nearer hue; with more, a cream became sand.
const LIGHTNESS: f64 = 1.1;
/// Beads of colours that meet should differ by this much, or by as much as the colours.
const APART: f64 = 9.0;
/// Price of a shortfall, against that of a worse match.
const CLOSE: f64 = 1.5;
/// Rounds of the search; it ends as soon as nothing improves.
const ROUNDS: usize = 20;

/// A colour of the drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// Its light; none for a ground that is free to choose.
    pub light: Option<Light>,
    /// The bead that it must have.
    pub fixed: Option<usize>,
    /// Beads of it.
    pub beads: u64,
    /// Colours that it meets.
    pub beside: Vec<usize>,
}

/// What may be chosen from.
pub struct Choice<'a> {
    /// The palette.
    pub tones: &'a [Tone],
    /// Whether a colour of the palette may be used for so many beads.
    pub allowed: &'a dyn Fn(usize, u64) -> bool,
}

/// An index into the palette for each colour: each its own where there are enough, as near as can
/// be, and unlike those that it meets. None if nothing is allowed.
pub fn match_beads(wanted: &[Wanted], choice: &Choice) -> Option<Vec<usize>> {
    let costs: Vec<Vec<(usize, f64)>> = wanted
        .iter()
        .map(|colour| candidates(colour, wanted, choice))
        .collect();
    if costs.iter().any(Vec::is_empty) {
        return None;
    }
    let search = Search {
        wanted,
        tones: choice.tones,
        costs,
    };
    Some(search.best())
}

/// The palette's colours that may stand for a colour, with their cost, the best first.
fn candidates(colour: &Wanted, all: &[Wanted], choice: &Choice) -> Vec<(usize, f64)> {
    if let Some(fixed) = colour.fixed {
        return vec![(fixed, 0.0)];
    }
    let motif: Vec<MotifColour> = all
        .iter()
        .enumerate()
        .filter_map(|(at, one)| {
            Some(MotifColour {
                light: one.light?,
                beads: one.beads,
                meets: colour.beside.contains(&at),
            })
        })
        .collect();
    let may = (0..choice.tones.len()).filter(|&at| (choice.allowed)(at, colour.beads));
    let cost = |at: usize| match colour.light {
        Some(light) => apart(lab(light), choice.tones[at].lab).powi(2),
        None => ground_cost(&choice.tones[at], &motif),
    };
    let mut found: Vec<(usize, f64)> = may.map(|at| (at, cost(at))).collect();
    found.sort_by(|one, other| one.1.total_cmp(&other.1).then(one.0.cmp(&other.0)));
    found.truncate(24);
    found
}

/// A colour of a motif, as a ground is chosen for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MotifColour {
    /// Its light.
    pub light: Light,
    /// Beads of it.
    pub beads: u64,
    /// Whether it meets the ground.
    pub meets: bool,
}

/// How badly a colour sets off a motif: it should differ clearly from the colours that it meets,
/// enough from the others not to look like a hole, be lighter or darker than most of the motif, and
/// be quiet itself.
pub fn ground_cost(tone: &Tone, motif: &[MotifColour]) -> f64 {
    /// Differences that are clear at arm's length; more is not better. Ours.
    const CLEAR: f64 = 24.0;
    const INSIDE: f64 = 14.0;
    /// What a warm colour of full chroma costs more than a cool or a grey one: cool colours stand
    /// back. Common practice, no source.
    const LOUD: f64 = 0.35;
    /// Price of too little contrast: times the square of the shortfall in its logarithm. Ours.
    const FAINT: f64 = 60.0;
    /// Hue of the coolest, in degrees.
    const COOL: f64 = 240.0;
    let ground = tone.lab;
    let short: f64 = motif
        .iter()
        .map(|colour| {
            let least = if colour.meets { CLEAR } else { INSIDE };
            let apart = crate::colour::ciede2000(lab(colour.light), ground);
            (least - apart.min(least)).powi(2)
        })
        .fold(0.0, f64::max);
    let chroma = ground.a.hypot(ground.b);
    let warm = (1.0 - libm::cos(libm::atan2(ground.b, ground.a) - COOL.to_radians())) / 2.0;
    // Of two that are as good, the lighter.
    let faint = (libm::log(WELL) - mean_contrast(tone.light, motif)).max(0.0);
    short + FAINT * faint * faint + LOUD * chroma * (0.5 + warm) + (100.0 - ground.l) * 0.1
}

/// Mean logarithm of the luminance contrast of a ground with the beads of a motif.
fn mean_contrast(ground: Light, motif: &[MotifColour]) -> f64 {
    let (mut sum, mut beads) = (0.0, 0.0);
    for colour in motif {
        sum += libm::log(ratio(colour.light, ground)) * colour.beads as f64;
        beads += colour.beads as f64;
    }
    if beads > 0.0 {
        sum / beads
    } else {
        libm::log(WELL)
    }
}

/// CIEDE2000 with lightness at less weight, by moving the lightness of one.
fn apart(one: Lab, other: Lab) -> f64 {
    let middle = (one.l + other.l) / 2.0;
    let reduced = |lab: Lab| Lab {
        l: middle + (lab.l - middle) / LIGHTNESS,
        ..lab
    };
    crate::colour::ciede2000(reduced(one), reduced(other))
}

struct Search<'a> {
    wanted: &'a [Wanted],
    tones: &'a [Tone],
    costs: Vec<Vec<(usize, f64)>>,
}

impl Search<'_> {
    /// From the best of each alone, one colour or one pair at a time, as long as it helps.
    fn best(&self) -> Vec<usize> {
        let mut chosen = self.start();
        let mut cost = self.cost(&chosen);
        for _ in 0..ROUNDS {
            let before = cost;
            for at in 0..chosen.len() {
                for place in 0..self.costs[at].len() {
                    self.take_if_better(&mut chosen, &mut cost, |trial| trial[at] = place);
                }
                for other in 0..at {
                    self.exchange(&mut chosen, &mut cost, at, other);
                }
            }
            if cost >= before - 1e-9 {
                break;
            }
        }
        (0..chosen.len()).map(|at| self.tone(&chosen, at)).collect()
    }

    /// Each colour its best that no earlier one has taken, the colours of most beads first.
    fn start(&self) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.wanted.len()).collect();
        order.sort_by_key(|&at| std::cmp::Reverse(self.wanted[at].beads));
        let mut chosen = vec![0; self.wanted.len()];
        let mut taken = Vec::new();
        for at in order {
            let free = self.costs[at]
                .iter()
                .position(|(tone, _)| !taken.contains(tone));
            chosen[at] = free.unwrap_or(0);
            if self.is_shown(at) {
                taken.push(self.tone(&chosen, at));
            }
        }
        chosen
    }

    /// Whether any bead has the colour; one that has none leaves its bead to the others.
    fn is_shown(&self, at: usize) -> bool {
        self.wanted[at].beads > 0
    }

    fn tone(&self, chosen: &[usize], at: usize) -> usize {
        self.costs[at][chosen[at]].0
    }

    fn take_if_better(
        &self,
        chosen: &mut Vec<usize>,
        cost: &mut f64,
        change: impl Fn(&mut Vec<usize>),
    ) {
        let mut trial = chosen.clone();
        change(&mut trial);
        let new = self.cost(&trial);
        if new < *cost - 1e-9 {
            (*chosen, *cost) = (trial, new);
        }
    }

    /// Two colours change beads, where both may have the other's.
    fn exchange(&self, chosen: &mut Vec<usize>, cost: &mut f64, one: usize, other: usize) {
        let place = |at: usize, tone: usize| {
            self.costs[at]
                .iter()
                .position(|candidate| candidate.0 == tone)
        };
        let first = place(one, self.tone(chosen, other));
        let second = place(other, self.tone(chosen, one));
        if let (Some(first), Some(second)) = (first, second) {
            self.take_if_better(chosen, cost, |trial| {
                trial[one] = first;
                trial[other] = second;
            });
        }
    }

    /// The cost of all matches, of beads that serve twice, and of colours that meet and look alike.
    fn cost(&self, chosen: &[usize]) -> f64 {
        /// A bead that serves twice loses a colour of the drawing.
        const TWICE: f64 = 4000.0;
        let mut cost = 0.0;
        for at in 0..chosen.len() {
            cost += self.costs[at][chosen[at]].1;
            let own = self.tone(chosen, at);
            for other in 0..at {
                let second = self.tone(chosen, other);
                if !self.is_shown(at) || !self.is_shown(other) {
                    continue;
                }
                if own == second {
                    cost += TWICE;
                } else if self.wanted[at].beside.contains(&other) {
                    cost += CLOSE * self.shortfall(at, other, own, second).powi(2);
                }
            }
        }
        cost
    }

    /// By how much the beads of two colours that meet differ too little.
    fn shortfall(&self, one: usize, other: usize, first: usize, second: usize) -> f64 {
        let between = crate::colour::ciede2000(self.tones[first].lab, self.tones[second].lab);
        let wanted = match (self.wanted[one].light, self.wanted[other].light) {
            (Some(one), Some(other)) => crate::colour::ciede2000(lab(one), lab(other)).min(APART),
            _ => APART,
        };
        (wanted - between).max(0.0)
    }
}
