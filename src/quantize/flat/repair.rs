//! What most of each bead's area gets wrong: parts too small to win a bead, strokes that break,
//! beads left alone.

use super::super::groups::Groups;
use super::labels::is_stray;
use crate::artwork::{Coverage, GROUND, Part};
use crate::lattice::Lattice;
use std::collections::{BTreeMap, BTreeSet};

/// Smallest part that keeps a bead, of a bead's area.
const KEPT: f32 = 0.5;
/// Least share of a bead by which a part may take it.
const LEAST: f32 = 0.2;
/// Share of a part, and of a stroke, that has to be on beads that show it; less is lost.
const WHOLE: f32 = 0.5;
const WHOLE_STROKE: f32 = 0.7;
/// Share of a bead from which it is mainly one part's.
const MOSTLY: f32 = 0.5;
/// Largest part, in beads, that strokes do not run through.
const SMALL: f32 = 10.0;
/// Most beads that close an outline.
const CLOSED: usize = 8;
/// Most beads that close a gap in a stroke.
const GAP: usize = 3;

/// How much of each bead each label covers.
pub struct Shares<'a> {
    /// In the drawing as it is.
    pub drawn: &'a Coverage,
    /// With its strokes as wide as they are made.
    pub coverage: &'a Coverage,
}

/// The labels with every part of the drawing kept, strokes joined and apart, outlines closed, and
/// stray beads gone.
/// Returns how many parts are lost, broken or grown together all the same: the beads are too coarse
/// for them.
pub fn repair(
    labels: &mut [u8],
    shares: &Shares,
    parts: &[Part],
    lattice: &Lattice,
    groups: &Groups,
) -> usize {
    let (strokes, parts): (Vec<&Part>, Vec<&Part>) = parts.iter().partition(|part| part.stroke);
    let mut work = Work {
        labels,
        drawn: shares.drawn,
        coverage: shares.coverage,
        lattice,
        groups,
        owner: owners(&parts, lattice.len()),
        features: features(&parts),
        avoided: BTreeSet::new(),
    };
    for part in &parts {
        work.keep(part);
    }
    for part in &parts {
        work.join(part);
    }
    work.drop_strays(&parts);
    work.separate(&parts);
    for part in &parts {
        work.enclose(part);
    }
    let lost = strokes
        .iter()
        .filter(|part| !work.is_shown(part, WHOLE_STROKE))
        .count();
    work.failed(&parts) + lost
}

/// The beads that small parts cover mostly, as a flower's centre.
fn features(parts: &[&Part]) -> BTreeSet<usize> {
    let small = |part: &&&Part| part.label != GROUND && (KEPT..SMALL).contains(&part.area);
    let beads = parts.iter().filter(small).flat_map(|part| &part.beads);
    let own = beads.filter(|(_, share)| *share >= MOSTLY);
    own.map(|&(bead, _)| bead).collect()
}

/// For each bead the part that covers most of it.
fn owners(parts: &[&Part], beads: usize) -> Vec<Option<usize>> {
    let mut most = vec![(0.0, None); beads];
    for (at, part) in parts.iter().enumerate() {
        for &(bead, share) in &part.beads {
            if part.label != GROUND && share > most[bead].0 {
                most[bead] = (share, Some(at));
            }
        }
    }
    most.into_iter().map(|(_, part)| part).collect()
}

struct Work<'a> {
    labels: &'a mut [u8],
    drawn: &'a Coverage,
    coverage: &'a Coverage,
    lattice: &'a Lattice,
    groups: &'a Groups,
    /// For each bead the part that covers most of it.
    owner: Vec<Option<usize>>,
    /// Beads that no other part's way takes.
    features: BTreeSet<usize>,
    /// Beads that no way takes.
    avoided: BTreeSet<usize>,
}

impl Work<'_> {
    fn set(&mut self, bead: usize, label: u8) {
        let group = self.groups.group_of(bead);
        for &bead in self.groups.beads_of(group) {
            self.labels[bead as usize] = label;
        }
    }

    /// The beads that show a part: of its label, and partly covered by it.
    fn shown<'p>(&self, part: &'p Part) -> impl Iterator<Item = (usize, f32)> + use<'p, '_> {
        let own = part.beads.iter().copied();
        own.filter(|&(bead, share)| self.labels[bead] == part.label && share >= LEAST)
    }

    /// A part that has no bead takes the one that it covers most.
    fn keep(&mut self, part: &Part) {
        if part.area < KEPT || self.shown(part).next().is_some() {
            return;
        }
        let most = part
            .beads
            .iter()
            .copied()
            .filter(|&(bead, share)| share >= LEAST && !self.is_last(bead))
            .max_by(|one, other| one.1.total_cmp(&other.1).then(other.0.cmp(&one.0)));
        if let Some((bead, _)) = most {
            self.set(bead, part.label);
        }
    }

    /// Whether a bead is the only one of its label around: taking it would lose another part.
    fn is_last(&self, bead: usize) -> bool {
        self.labels[bead] != GROUND && is_stray(self.labels, bead, self.lattice)
    }

    /// Joins the pieces that a part has fallen into by the beads between them.
    fn join(&mut self, part: &Part) {
        if part.label == GROUND {
            return;
        }
        loop {
            let own: BTreeSet<usize> = self.shown(part).map(|(bead, _)| bead).collect();
            let pieces = self.pieces(&own);
            if pieces.len() < 2 {
                return;
            }
            let shares: BTreeMap<usize, f32> = part.beads.iter().copied().collect();
            let Some(way) = self.way(&pieces, &shares) else {
                return;
            };
            for bead in way {
                self.set(bead, part.label);
            }
        }
    }

    /// Connected pieces of some beads, the smallest first; beads of the same label around connect.
    fn pieces(&self, own: &BTreeSet<usize>) -> Vec<BTreeSet<usize>> {
        let mut left = own.clone();
        let mut pieces = Vec::new();
        while let Some(start) = left.pop_first() {
            let label = self.labels[start];
            let mut piece = BTreeSet::from([start]);
            let mut open = vec![start];
            while let Some(bead) = open.pop() {
                for near in self.lattice.neighbours(bead) {
                    let like = self.labels[near.index] == label;
                    if like && piece.insert(near.index) {
                        left.remove(&near.index);
                        open.push(near.index);
                    }
                }
            }
            pieces.push(piece);
        }
        pieces.sort_by_key(BTreeSet::len);
        pieces
    }

    /// The beads between the smallest piece and any other that the part covers most.
    fn way(&self, pieces: &[BTreeSet<usize>], shares: &BTreeMap<usize, f32>) -> Option<Vec<usize>> {
        let (first, others) = pieces.split_first()?;
        let goal = |bead: usize| others.iter().any(|piece| piece.contains(&bead));
        // Costs in thousandths, so that they are ordered exactly.
        let cost = |bead: usize| {
            let share = shares.get(&bead).copied().unwrap_or(0.0);
            1000 - (share.clamp(0.0, 1.0) * 900.0) as u32
        };
        let may = |bead: usize| {
            let share = shares.get(&bead).copied().unwrap_or(0.0);
            let own = share >= MOSTLY || !self.features.contains(&bead);
            share >= LEAST && own && !self.avoided.contains(&bead)
        };
        let mut best: BTreeMap<usize, (u32, Option<usize>)> = BTreeMap::new();
        let mut open: BTreeSet<(u32, usize)> = BTreeSet::new();
        for &bead in first {
            best.insert(bead, (0, None));
            open.insert((0, bead));
        }
        while let Some((far, bead)) = open.pop_first() {
            if goal(bead) {
                return self.walked(&best, bead);
            }
            for near in self.lattice.neighbours(bead) {
                let index = near.index;
                if !may(index) && !goal(index) {
                    continue;
                }
                let more = far + if goal(index) { 0 } else { cost(index) };
                let known = best.get(&index).map_or(u32::MAX, |known| known.0);
                if more < known {
                    open.remove(&(known, index));
                    best.insert(index, (more, Some(bead)));
                    open.insert((more, index));
                }
            }
        }
        None
    }

    /// The beads on the way to one, without its ends; none if they are too many.
    fn walked(
        &self,
        best: &BTreeMap<usize, (u32, Option<usize>)>,
        end: usize,
    ) -> Option<Vec<usize>> {
        let mut way = Vec::new();
        let mut at = best.get(&end)?.1;
        while let Some(bead) = at {
            let before = best.get(&bead)?.1;
            if before.is_some() {
                way.push(bead);
            }
            at = before;
        }
        (!way.is_empty() && way.len() <= GAP).then_some(way)
    }

    /// Beads without a like neighbour take the label around them that covers them most, unless they
    /// show a part of the drawing that has no other bead.
    fn drop_strays(&mut self, parts: &[&Part]) {
        for bead in 0..self.labels.len() {
            if !is_stray(self.labels, bead, self.lattice) || self.shows_alone(bead, parts) {
                continue;
            }
            let shares = self.coverage.of(bead);
            let around = self.lattice.neighbours(bead);
            let label = around
                .map(|near| self.labels[near.index])
                .max_by(|&one, &other| {
                    let share = |label: u8| shares[usize::from(label)];
                    share(one).total_cmp(&share(other)).then(other.cmp(&one))
                });
            if let Some(label) = label {
                self.set(bead, label);
            }
        }
    }

    /// Parts of one label that meet on the band and not in the drawing are set apart again by what
    /// lies between them, where a bead shows enough of that.
    fn separate(&mut self, parts: &[&Part]) {
        for (at, part) in parts.iter().enumerate() {
            for bead in self.meeting(at, parts) {
                let Some(gap) = self.gap_label(bead) else {
                    continue;
                };
                let before = self.piece_count(part);
                let labels = self.labels.to_vec();
                self.set(bead, gap);
                if self.piece_count(part) > before {
                    self.join_elsewhere(part, bead, &self.others(at, parts));
                }
                let after = self.piece_count(part);
                if after == 0 || after > before {
                    self.labels.copy_from_slice(&labels);
                }
            }
        }
    }

    /// Joins a part that was cut at one bead by a way that does not touch others.
    fn join_elsewhere(&mut self, part: &Part, cut: usize, others: &BTreeSet<usize>) {
        let near = |&bead: &usize| self.lattice.neighbours(bead).map(|near| near.index);
        self.avoided = others.iter().flat_map(near).chain([cut]).collect();
        self.join(part);
        self.avoided.clear();
    }

    /// The beads of a part that touch another part of its label, those that it covers least first.
    fn meeting(&self, at: usize, parts: &[&Part]) -> Vec<usize> {
        let part = parts[at];
        if part.label == GROUND || part.area < KEPT {
            return Vec::new();
        }
        let other = self.others(at, parts);
        let own = self.owned(at, part);
        let shares: BTreeMap<usize, f32> = part.beads.iter().copied().collect();
        let mut found: Vec<usize> = own
            .into_iter()
            .filter(|&bead| {
                let mut near = self.lattice.neighbours(bead);
                !other.contains(&bead) && near.any(|near| other.contains(&near.index))
            })
            .collect();
        found.sort_by(|one, two| shares[one].total_cmp(&shares[two]).then(one.cmp(two)));
        found
    }

    /// The beads that show other parts of the label.
    fn others(&self, at: usize, parts: &[&Part]) -> BTreeSet<usize> {
        let part = parts[at];
        parts
            .iter()
            .enumerate()
            .filter(|(own, other)| *own != at && other.label == part.label && other.area >= KEPT)
            // What reaches the edge goes on in the next repeat.
            .filter(|(_, other)| !(part.open && other.open))
            .flat_map(|(other, part)| self.owned(other, part))
            .collect()
    }

    /// The beads that show a part, and no other more.
    fn owned(&self, at: usize, part: &Part) -> Vec<usize> {
        let own = self.shown(part).map(|(bead, _)| bead);
        own.filter(|&bead| self.owner[bead] == Some(at)).collect()
    }

    /// The label that covers most of a bead beside its own, if it covers a quarter.
    fn gap_label(&self, bead: usize) -> Option<u8> {
        let shares = self.drawn.of(bead);
        let own = usize::from(self.labels[bead]);
        let other = (0..shares.len()).filter(|&label| label != own);
        let most = other.max_by(|&one, &two| shares[one].total_cmp(&shares[two]))?;
        (shares[most] >= 0.25).then_some(most as u8)
    }

    fn piece_count(&self, part: &Part) -> usize {
        let own: BTreeSet<usize> = self.shown(part).map(|(bead, _)| bead).collect();
        self.pieces(&own).len()
    }

    /// A ground that the drawing encloses stays so: where it runs out between the beads of its
    /// outline, the bead there that the outline covers most is added to it.
    fn enclose(&mut self, part: &Part) {
        if part.label != GROUND || part.area < KEPT {
            return;
        }
        let before = self.labels.to_vec();
        for _ in 0..CLOSED {
            let Some(way) = self.leak(part) else {
                return;
            };
            let outlines = way.into_iter().map(|bead| (bead, self.outline(bead)));
            let most = outlines.max_by(|one, other| one.1.1.total_cmp(&other.1.1));
            match most {
                Some((bead, (label, share))) if share >= LEAST => self.set(bead, label),
                _ => break,
            }
            if self.shown(part).next().is_none() {
                break;
            }
        }
        self.labels.copy_from_slice(&before);
    }

    /// The label that covers most of a bead beside the ground, with its share.
    fn outline(&self, bead: usize) -> (u8, f32) {
        let shares = self.coverage.of(bead);
        let drawn = (1..shares.len()).max_by(|&one, &two| shares[one].total_cmp(&shares[two]));
        drawn.map_or((GROUND, 0.0), |label| (label as u8, shares[label]))
    }

    /// The shortest way over beads of ground from an enclosed one to another ground or to the edge
    /// of the band.
    fn leak(&self, part: &Part) -> Option<Vec<usize>> {
        let columns = self.lattice.columns();
        let own: BTreeSet<usize> = part.beads.iter().map(|&(bead, _)| bead).collect();
        let outside = |bead: usize| {
            let column = self.lattice.position(bead).1.get();
            column == 1 || column == columns || !own.contains(&bead)
        };
        let mut before: BTreeMap<usize, Option<usize>> = BTreeMap::new();
        let mut open: Vec<usize> = self.shown(part).map(|(bead, _)| bead).collect();
        before.extend(open.iter().map(|&bead| (bead, None)));
        let mut next = 0;
        while next < open.len() {
            let bead = open[next];
            if outside(bead) {
                return Some(std::iter::successors(Some(bead), |at| before[at]).collect());
            }
            for near in self.lattice.neighbours(bead) {
                if self.labels[near.index] == GROUND && !before.contains_key(&near.index) {
                    before.insert(near.index, Some(bead));
                    open.push(near.index);
                }
            }
            next += 1;
        }
        None
    }

    /// Whether so much of a part is on beads that show it.
    fn is_shown(&self, part: &Part, least: f32) -> bool {
        let all: f32 = part.beads.iter().map(|(_, share)| share).sum();
        let shown: f32 = self.shown(part).map(|(_, share)| share).sum();
        shown >= least * all
    }

    /// Parts that are lost, broken, opened, or grown together with another.
    fn failed(&self, parts: &[&Part]) -> usize {
        let whole = |at: usize, part: &Part| {
            if part.area < KEPT {
                return true;
            }
            if part.label == GROUND {
                return self.is_shown(part, WHOLE) && self.leak(part).is_none();
            }
            let one = self.piece_count(part) == 1 && self.meeting(at, parts).is_empty();
            one && self.is_shown(part, WHOLE)
        };
        let all = parts.iter().enumerate();
        all.filter(|(at, part)| !whole(*at, part)).count()
    }

    /// Whether a part that is to be kept has this bead only.
    fn shows_alone(&self, bead: usize, parts: &[&Part]) -> bool {
        parts.iter().any(|part| {
            part.label == self.labels[bead]
                && part.area >= KEPT
                && part
                    .beads
                    .iter()
                    .any(|&(own, share)| own == bead && share >= LEAST)
                && self.shown(part).count() == 1
        })
    }
}
