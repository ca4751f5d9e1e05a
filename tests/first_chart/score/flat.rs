//! What is asked of the chart of a flat piece: motif, line, border, lettering or ornament.

use super::align::{self, Laid};
use super::colours::Own;
use super::labels::Labels;
use super::truth::{Alike, Part, Truth, Upright, colour};
use upbead::chart::Chart;
use upbead::colour::{ciede2000, lab, light};
use upbead::palette::Palette;

/// Least size, of the largest that fits; what is found is exact to about 3 %.
const SMALLEST: f64 = 0.72;
/// A motif may be turned if that makes it so many times as large.
const TURNED: f64 = 1.5;
/// Most of the silhouette that may differ.
const SILHOUETTE: f64 = 0.17;
/// From this difference on the motif was not found at all.
const LOST: f64 = 0.6;
/// Least difference between clear ground's bead and any of the motif's, in CIEDE2000. Ours.
const SET_OFF: f64 = 10.0;
/// Share of a bead from which it shows a colour clearly.
const CLEARLY: f64 = 0.6;
/// Share of a bead from which a thin line may claim it.
const TOUCHED: f64 = 0.15;
/// Areas of the artwork that a bead of its own has to show, in beads: a smaller one need not be
/// there, and a larger one has room for two.
const FEATURE: (f64, f64) = (0.5, 1.5);
/// A repeat's rows against those by its own proportions.
const STRETCH: (f64, f64) = (0.7, 1.4);

/// A chart of a flat piece and what it is judged by.
struct Case<'a> {
    truth: &'a Truth,
    chart: &'a Chart,
    labels: &'a Labels,
    laid: Laid,
    own: Own,
    /// For each of the chart's colours its place in the palette.
    places: Vec<usize>,
    /// For each label the chart's colour that shows it; none where it is smaller than a bead.
    matched: Vec<Option<u16>>,
}

/// The reasons why the chart is not one to weave; none if it is.
pub fn reasons(truth: &Truth, labels: &Labels, chart: &Chart, palette: &Palette) -> Vec<String> {
    let laid = match truth.tile {
        Some(share) => align::strip(chart, labels, share, truth.upright),
        None => align::motif(chart, labels),
    };
    let Some(laid) = laid else {
        return vec!["nothing is shown".to_string()];
    };
    let place = |code: &String| palette.find(code).expect("a colour of the palette");
    let case = Case {
        truth,
        chart,
        labels,
        own: Own::new(palette, &labels.labs()),
        places: chart
            .colours
            .iter()
            .map(|shade| place(&shade.code))
            .collect(),
        matched: matched(chart, labels, &laid),
        laid,
    };
    let mut reasons = if truth.tile.is_some() {
        case.repeats()
    } else {
        case.placed()
    };
    reasons.extend(case.silhouette());
    reasons.extend(case.ground());
    reasons.extend(case.colours());
    reasons.extend(case.blends());
    reasons.extend(case.stray());
    reasons.extend(truth.axes.iter().filter_map(|&axis| case.mirrored(axis)));
    reasons.extend(case.strokes());
    let lost = truth.parts.iter().filter(|part| case.is_lost(part));
    reasons.extend(lost.map(|part| format!("{} lost", part.name)));
    reasons
}

/// For each label the chart's colour on most of the beads that show it clearly, or else on those
/// that show it more than any other.
fn matched(chart: &Chart, labels: &Labels, laid: &Laid) -> Vec<Option<u16>> {
    let base = usize::from(labels.base);
    let most = |label: usize, least: f64| {
        let mut counts = vec![0usize; chart.colours.len()];
        for (&own, shares) in chart.beads.iter().zip(&laid.shares) {
            counts[usize::from(own)] += usize::from(shares[label] >= least);
        }
        let best = (0..counts.len()).rev().max_by_key(|&at| counts[at])?;
        (counts[best] > 0).then_some(best as u16)
    };
    let of = |label: usize| {
        if label == base && labels.grounded {
            return Some(laid.ground);
        }
        most(label, CLEARLY).or_else(|| most(label, 0.5))
    };
    (0..labels.colours.len()).map(of).collect()
}

impl Case<'_> {
    fn hex(&self, label: usize) -> String {
        match &self.labels.colours[label] {
            Some(srgb) => format!("#{}", upbead::colour::hex(*srgb)),
            None => "clear".to_string(),
        }
    }

    fn inked(&self, bead: usize) -> bool {
        self.chart.beads[bead] != self.laid.ground
    }

    fn beads(&self) -> std::ops::Range<usize> {
        0..self.chart.lattice.len()
    }

    /// Whole, upright and large enough.
    fn placed(&self) -> Vec<String> {
        let (laid, mut reasons) = (&self.laid, Vec::new());
        let [standing, lying] = laid.largest;
        let allowed: &[u32] = match self.truth.upright {
            Upright::Any => &[0, 1, 2, 3],
            Upright::Along => &[1, 3],
            Upright::Up if lying >= TURNED * standing => &[0, 1, 3],
            Upright::Up => &[0],
        };
        if self.apart() > LOST {
            return vec!["not whole".to_string()];
        }
        if laid.beyond > 0.5 {
            reasons.push(format!("cut by {:.1} columns", laid.beyond));
        }
        if !allowed.contains(&laid.quarters) {
            reasons.push(format!("turned by {}", laid.quarters * 90));
        }
        if laid.size < SMALLEST {
            reasons.push(format!("size {:.2}", laid.size));
        }
        reasons
    }

    /// Repeats identical, seamless and of their own proportions.
    fn repeats(&self) -> Vec<String> {
        let laid = &self.laid;
        let Some(period) = laid.period else {
            return vec!["repeats differ".to_string()];
        };
        let share = self.truth.tile.unwrap_or(1.0);
        let turned = self.labels.rotated(laid.quarters);
        let tile = if laid.quarters.is_multiple_of(2) {
            turned.height
        } else {
            (turned.height as f64 * share).round() as usize
        };
        let natural = align::natural_rows(&self.chart.lattice, &turned, tile);
        let ratio = f64::from(period) / natural;
        let mut reasons = Vec::new();
        if !(STRETCH.0..=STRETCH.1).contains(&ratio) {
            reasons.push(format!(
                "a repeat has {period} rows, its own are {natural:.1}"
            ));
        }
        if laid.size < SMALLEST {
            reasons.push(format!("size {:.2}", laid.size));
        }
        reasons
    }

    /// The share of the mask that differs. A thin line may claim any bead it touches.
    fn apart(&self) -> f64 {
        let line = self.truth.kind == "line";
        let (mut apart, mut area) = (0usize, 0usize);
        for bead in self.beads() {
            let (ink, share) = (self.inked(bead), self.laid.mask[bead]);
            let wrong = if line && ink {
                share < TOUCHED
            } else {
                ink != (share >= 0.5)
            };
            apart += usize::from(wrong);
            area += usize::from(if line { ink } else { share >= 0.5 });
        }
        apart as f64 / area.max(1) as f64
    }

    /// Whether no bead in a part's place, which has room for one, has its colour.
    fn is_lost(&self, part: &Part) -> bool {
        let [mut left, mut top, mut wide, mut high] = part.area;
        let mut height = self.labels.height as f64;
        let mut width = self.labels.width as f64;
        for _ in 0..self.laid.quarters {
            (left, top) = (height - top - high, left);
            (wide, high) = (high, wide);
            (width, height) = (height, width);
        }
        let inside = |area: &[f64; 4]| {
            let (x, y) = ((area[0] + area[2]) / 2.0, (area[1] + area[3]) / 2.0);
            (left..left + wide).contains(&x) && (top..top + high).contains(&y)
        };
        let [l, t, r, b] = self.laid.areas[0];
        let room = wide * high >= (r - l) * (b - t);
        let own = Some(colour(&part.colour));
        let label = self.labels.colours.iter().position(|colour| *colour == own);
        let bead = label.and_then(|label| self.matched[label]);
        let there = |at: usize| Some(self.chart.beads[at]) == bead && inside(&self.laid.areas[at]);
        room && !self.beads().any(there)
    }

    fn silhouette(&self) -> Option<String> {
        let apart = self.apart();
        let found = apart <= LOST || self.truth.tile.is_some();
        (found && apart > SILHOUETTE).then(|| format!("silhouette {:.0} %", apart * 100.0))
    }

    /// Plain, and none of the motif's own colours.
    fn ground(&self) -> Vec<String> {
        if !self.labels.grounded {
            return Vec::new();
        }
        let base = usize::from(self.labels.base);
        let hidden =
            |&label: &usize| label != base && self.matched[label] == Some(self.laid.ground);
        let words = |label: usize| format!("the ground hides {}", self.hex(label));
        let mut reasons: Vec<String> = (0..self.matched.len()).filter(hidden).map(words).collect();
        let under = self
            .beads()
            .filter(|&bead| self.laid.mask[bead] >= 0.95)
            .count();
        let shows = |&bead: &usize| self.laid.mask[bead] >= 0.95 && !self.inked(bead);
        let holes = self.beads().filter(shows).count();
        if holes > 1 && holes * 20 > under {
            reasons.push(format!("the ground shows in {holes} beads of the motif"));
        }
        if self.labels.colours[base].is_none() {
            let near = |&label: &usize| label != base && self.is_near_ground(label);
            let words = |label: usize| format!("the ground is too near {}", self.hex(label));
            reasons.extend((0..self.matched.len()).filter(near).map(words));
        }
        if !self
            .own
            .holds(base, self.places[usize::from(self.laid.ground)])
        {
            reasons.push("the ground is not its own bead".to_string());
        }
        reasons
    }

    /// Whether a label's bead differs from the ground's, but too little to stand out.
    fn is_near_ground(&self, label: usize) -> bool {
        let seen = |at: u16| lab(light(self.chart.colours[usize::from(at)].srgb));
        let ground = self.laid.ground;
        self.matched[label]
            .is_some_and(|bead| bead != ground && ciede2000(seen(bead), seen(ground)) < SET_OFF)
    }

    /// As few as the art has, each its own bead.
    fn colours(&self) -> Vec<String> {
        let mut reasons = Vec::new();
        let most = self.labels.colours.len();
        if self.chart.colours.len() > most {
            reasons.push(format!("{} colours of {most}", self.chart.colours.len()));
        }
        let base = usize::from(self.labels.base);
        for (label, matched) in self.matched.iter().enumerate() {
            let (Some(bead), Some(_)) = (matched, &self.labels.colours[label]) else {
                continue;
            };
            let skip = label == base && self.labels.grounded;
            if !skip && !self.own.holds(label, self.places[usize::from(*bead)]) {
                let name = &self.chart.colours[usize::from(*bead)].name;
                reasons.push(format!("{} as {name}", self.hex(label)));
            }
            let shares = |&other: &usize| {
                self.matched[other] == Some(*bead)
                    && !(self.labels.grounded && (label == base || other == base))
                    && !self.own.may_share(label, other)
            };
            if let Some(other) = (0..label).find(shares) {
                let (one, two) = (self.hex(other), self.hex(label));
                reasons.push(format!("{one} and {two} share a bead"));
            }
        }
        reasons
    }

    /// Whether a label has most of no bead, and a colour of the chart is its own.
    fn is_small(&self, label: usize, colour: u16) -> bool {
        self.matched[label].is_none() && self.own.holds(label, self.places[usize::from(colour)])
    }

    /// Beads in a colour that is none of the art's.
    fn blends(&self) -> Option<String> {
        let is_own = |colour: u16| {
            colour == self.laid.ground
                || self.matched.contains(&Some(colour))
                || (0..self.matched.len()).any(|label| self.is_small(label, colour))
        };
        let count = self.chart.beads.iter().filter(|own| !is_own(**own)).count();
        (count > 1).then(|| format!("{count} blends"))
    }

    /// Whether a bead shows a feature of the artwork that is as small as a bead, as an eye is.
    fn is_feature(&self, bead: usize) -> bool {
        let [left, top, right, bottom] = self.laid.areas[bead];
        let (wide, high) = (right - left, bottom - top);
        let colour = self.chart.beads[bead];
        let own = |label: u8| match self.matched[usize::from(label)] {
            Some(matched) => matched == colour,
            None => self.is_small(usize::from(label), colour),
        };
        let near = |[x, y]: [f64; 2]| {
            (x - (left + right) / 2.0).abs() < wide && (y - (top + bottom) / 2.0).abs() < high
        };
        let size = |area: usize| area as f64 / (wide * high);
        let mut all = self.laid.features.iter();
        all.any(|feature| {
            let small = (FEATURE.0..=FEATURE.1).contains(&size(feature.area));
            small && own(feature.label) && near(feature.centre)
        })
    }

    /// Beads without a like neighbour, but for those that the art has itself.
    fn stray(&self) -> Option<String> {
        let like = |bead: usize| {
            let mut around = self.chart.lattice.neighbours(bead);
            around.any(|other| self.chart.beads[other.index] == self.chart.beads[bead])
        };
        let meant = |bead: usize| {
            let shares = self.laid.shares[bead].iter().enumerate();
            let most = shares.max_by(|a, b| a.1.total_cmp(b.1));
            most.is_some_and(|(label, _)| self.matched[label] == Some(self.chart.beads[bead]))
        };
        let count = self
            .beads()
            .filter(|&bead| !like(bead) && !meant(bead) && !self.is_feature(bead))
            .count();
        (count > 1).then(|| format!("{count} stray beads"))
    }

    /// Mirrored pairs equal, about the axis near the middle where most are.
    fn mirrored(&self, axis: Alike) -> Option<String> {
        let lattice = &self.chart.lattice;
        let across = (axis == Alike::Columns) == (self.laid.quarters.is_multiple_of(2));
        let unequal = |at: i64| {
            let differs = |&bead: &usize| {
                let (row, column) = lattice.position(bead);
                let (row, column) = (i64::from(row.get()), i64::from(column.get()));
                let other = if across {
                    lattice.step(bead, 0, 2 * (at - column))
                } else {
                    lattice.step(bead, 2 * (at - row), 0)
                };
                other.is_some_and(|other| self.chart.beads[other] != self.chart.beads[bead])
            };
            self.beads().filter(differs).count() / 2
        };
        let around = |middle: f64| middle.round() as i64 - 1..=middle.round() as i64 + 1;
        let range = match self.laid.period {
            Some(period) if !across => 1..=i64::from(period),
            Some(_) => around(f64::from(lattice.columns() + 1) / 2.0),
            None => around(self.laid.middle[usize::from(!across)]),
        };
        let least = range.map(unequal).min().unwrap_or_default();
        (least > 0).then(|| format!("{least} mirrored pairs differ"))
    }

    /// Each stroke in one piece and apart from the others, each enclosed ground kept.
    fn strokes(&self) -> Vec<String> {
        let mut reasons = Vec::new();
        let inked = |bead| self.inked(bead);
        let plain = |bead| !self.inked(bead);
        if let Some(want) = self.truth.strokes {
            let found = self.areas(inked).len();
            reasons.extend((found != want).then(|| format!("{found} strokes of {want}")));
        }
        if let Some(want) = self.truth.holes {
            let edge = |bead: &usize| {
                let (_, column) = self.chart.lattice.position(*bead);
                column.get() == 1 || column.get() == self.chart.lattice.columns()
            };
            let grounds = self.areas(plain);
            let found = grounds.iter().filter(|area| !area.iter().any(edge)).count();
            reasons.extend((found != want).then(|| format!("{found} enclosed grounds of {want}")));
        }
        reasons
    }

    /// The beads of one kind, in areas that touch.
    fn areas(&self, of_kind: impl Fn(usize) -> bool) -> Vec<Vec<usize>> {
        let mut seen: Vec<bool> = self.beads().map(|bead| !of_kind(bead)).collect();
        let mut areas = Vec::new();
        for start in self.beads() {
            if seen[start] {
                continue;
            }
            seen[start] = true;
            let mut area = vec![start];
            let mut next = 0;
            while next < area.len() {
                for other in self.chart.lattice.neighbours(area[next]) {
                    if !seen[other.index] {
                        seen[other.index] = true;
                        area.push(other.index);
                    }
                }
                next += 1;
            }
            areas.push(area);
        }
        areas
    }
}
