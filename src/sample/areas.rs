//! A picture's beads merged into areas of one light each, with short outlines.
//!
//! Neighbouring areas are merged, those that cost least first, as long as what is lost in
//! likeness is less than a price for the border that goes: the piecewise constant model of
//! D. Mumford, J. Shah, "Optimal approximations by piecewise smooth functions and associated
//! variational problems", Communications on Pure and Applied Mathematics 42(5), 1989, by the
//! region merging of G. Koepfler, C. Lopez, J.-M. Morel, "A multiscale algorithm for image
//! segmentation by variational method", SIAM Journal on Numerical Analysis 31(1), 1994, doi
//! 10.1137/0731015. Areas of `m` and `n` beads that differ by `d` and meet along `l` borders of
//! beads lose `m n / (m + n) d²`; theirs is a difference of grey levels, ours CIEDE2000 between
//! the means of linear light.

use crate::cancel::Cancel;
use crate::colour::{Lab, Light, ciede2000, lab};
use crate::lattice::Lattice;
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// Merges between two looks at the flag.
const AT_ONCE: usize = 256;

/// The mean light of the area that each bead is merged into.
///
/// `price` is that of a border between two beads, in squared CIEDE2000 of a bead; 0 merges only
/// what is equal. Beads that are not `open` are no part of any area and keep their light. The
/// same for any number of threads; of merges that cost the same the lowest beads first.
pub fn areas(
    lattice: &Lattice,
    light: &[Light],
    open: &[bool],
    price: f64,
    cancel: &Cancel,
) -> Vec<Light> {
    let mut areas = Areas::new(lattice, light, open);
    let mut merges = 0;
    while let Some(merge) = areas.queue.pop() {
        if merge.cost > price || (merges % AT_ONCE == 0 && cancel.is_over()) {
            break;
        }
        if areas.is_current(&merge) {
            areas.merge(merge.one, merge.other);
            merges += 1;
        }
    }
    (0..light.len())
        .map(|bead| areas.all[areas.area_of(bead)].mean())
        .collect()
}

/// Beads of one light.
struct Area {
    sum: Light,
    lab: Lab,
    beads: f64,
    /// Borders of beads shared with other areas, rising by area.
    beside: Vec<(usize, u32)>,
    /// How often it has changed; merges that were weighed before count no more.
    version: u32,
}

impl Area {
    fn mean(&self) -> Light {
        self.sum / self.beads
    }
}

/// A merge of two areas, and what it loses for each border of beads that goes.
struct Merge {
    cost: f64,
    one: usize,
    other: usize,
    versions: [u32; 2],
}

struct Areas {
    all: Vec<Area>,
    /// The area that each was merged into; itself, if into none.
    into: Vec<usize>,
    queue: BinaryHeap<Merge>,
}

impl Areas {
    fn new(lattice: &Lattice, light: &[Light], open: &[bool]) -> Self {
        let beside = |bead: usize| {
            let others = lattice.neighbours(bead).map(|other| other.index);
            let mut others: Vec<usize> = others.filter(|&other| open[other]).collect();
            others.sort_unstable();
            // The two neighbours of a bead in a very short ring may be the same bead.
            let mut beside: Vec<(usize, u32)> = Vec::new();
            for other in others {
                add(&mut beside, other, 1);
            }
            beside
        };
        let area = |bead: usize| Area {
            sum: light[bead],
            lab: lab(light[bead]),
            beads: 1.0,
            beside: if open[bead] { beside(bead) } else { Vec::new() },
            version: 0,
        };
        let mut areas = Self {
            all: (0..light.len()).map(area).collect(),
            into: (0..light.len()).collect(),
            queue: BinaryHeap::new(),
        };
        for bead in 0..light.len() {
            areas.weigh(bead, |other| other > bead);
        }
        areas
    }

    fn area_of(&self, bead: usize) -> usize {
        let mut area = bead;
        while self.into[area] != area {
            area = self.into[area];
        }
        area
    }

    fn is_current(&self, merge: &Merge) -> bool {
        let pair = [merge.one, merge.other];
        let is_same = |at: usize| {
            self.into[pair[at]] == pair[at] && self.all[pair[at]].version == merge.versions[at]
        };
        is_same(0) && is_same(1)
    }

    /// Weighs the merges of an area with those beside it.
    fn weigh(&mut self, one: usize, wanted: impl Fn(usize) -> bool) {
        let own = &self.all[one];
        for &(other, borders) in own.beside.iter().filter(|(other, _)| wanted(*other)) {
            let beside = &self.all[other];
            let difference = ciede2000(own.lab, beside.lab);
            let shared = own.beads * beside.beads / (own.beads + beside.beads);
            self.queue.push(Merge {
                cost: shared * difference * difference / f64::from(borders),
                one,
                other,
                versions: [own.version, beside.version],
            });
        }
    }

    /// Merges two areas into the larger one.
    fn merge(&mut self, one: usize, other: usize) {
        let (into, from) = if self.all[one].beads >= self.all[other].beads {
            (one, other)
        } else {
            (other, one)
        };
        self.into[from] = into;
        let (sum, beads) = (self.all[from].sum, self.all[from].beads);
        let beside = std::mem::take(&mut self.all[from].beside);
        for (area, borders) in beside.into_iter().filter(|(area, _)| *area != into) {
            remove(&mut self.all[area].beside, from);
            add(&mut self.all[area].beside, into, borders);
            add(&mut self.all[into].beside, area, borders);
        }
        let merged = &mut self.all[into];
        remove(&mut merged.beside, from);
        merged.sum += sum;
        merged.beads += beads;
        merged.lab = lab(merged.mean());
        merged.version += 1;
        self.weigh(into, |_| true);
    }
}

fn add(beside: &mut Vec<(usize, u32)>, area: usize, borders: u32) {
    match beside.binary_search_by_key(&area, |(area, _)| *area) {
        Ok(at) => beside[at].1 += borders,
        Err(at) => beside.insert(at, (area, borders)),
    }
}

fn remove(beside: &mut Vec<(usize, u32)>, area: usize) {
    beside.retain(|(other, _)| *other != area);
}

impl Merge {
    fn key(&self) -> (usize, usize) {
        (self.one.min(self.other), self.one.max(self.other))
    }
}

/// The cheapest comes first out of the heap.
impl Ord for Merge {
    fn cmp(&self, other: &Self) -> Ordering {
        let cheaper = other.cost.total_cmp(&self.cost);
        cheaper.then_with(|| other.key().cmp(&self.key()))
    }
}

impl PartialOrd for Merge {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Merge {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Merge {}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bead::Bead;
    use crate::lattice::Rows;
    use std::collections::{BTreeMap, BTreeSet};

    fn closed(columns: u32, rows: u32) -> Lattice {
        Lattice::new(Bead::default(), columns, Rows::closed(rows).unwrap()).unwrap()
    }

    fn open_ended(columns: u32, rows: u32) -> Lattice {
        Lattice::new(Bead::default(), columns, Rows::open(rows).unwrap()).unwrap()
    }

    /// Uneven light: three colours in blots, and a little noise.
    fn light(lattice: &Lattice, seed: u64) -> Vec<Light> {
        let mut state = seed;
        let mut next = move || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            f64::from((state >> 40) as u32) / f64::from(1 << 24)
        };
        let bead = |bead: usize| {
            let (row, column) = lattice.position(bead);
            let blot = (row.get() / 5 + column.get() / 4) % 3;
            let own = [[0.7, 0.7, 0.75], [0.05, 0.1, 0.3], [0.6, 0.2, 0.1]][blot as usize];
            let [r, g, b] = own.map(|channel| channel * (0.7 + 0.6 * next()));
            Light::new(r, g, b)
        };
        (0..lattice.len()).map(bead).collect()
    }

    /// The same by weighing every pair of areas anew before each merge.
    fn one_by_one(lattice: &Lattice, light: &[Light], open: &[bool], price: f64) -> Vec<Light> {
        let mut area: Vec<usize> = (0..light.len()).collect();
        let mean = |area: &[usize], at: usize| {
            let beads = (0..light.len()).filter(|&bead| area[bead] == at);
            let beads: Vec<usize> = beads.collect();
            let mut sum = Light::new(0.0, 0.0, 0.0);
            beads.iter().for_each(|&bead| sum += light[bead]);
            (sum / beads.len() as f64, beads.len() as f64)
        };
        loop {
            let mut borders: BTreeMap<(usize, usize), f64> = BTreeMap::new();
            for bead in 0..light.len() {
                for other in lattice.neighbours(bead) {
                    let (one, two) = (area[bead], area[other.index]);
                    if one < two && open[bead] && open[other.index] {
                        *borders.entry((one, two)).or_default() += 1.0;
                    }
                }
            }
            let cost = |(&(one, two), &borders): (&(usize, usize), &f64)| {
                let ((first, m), (second, n)) = (mean(&area, one), mean(&area, two));
                let difference = ciede2000(lab(first), lab(second));
                (
                    m * n / (m + n) * difference * difference / borders,
                    one,
                    two,
                )
            };
            let least = borders.iter().map(cost);
            let least = least.min_by(|one, two| one.0.total_cmp(&two.0));
            match least {
                Some((cost, one, two)) if cost <= price => {
                    area.iter_mut()
                        .filter(|at| **at == two)
                        .for_each(|at| *at = one);
                }
                _ => break,
            }
        }
        (0..light.len())
            .map(|bead| mean(&area, area[bead]).0)
            .collect()
    }

    fn count(light: &[Light]) -> usize {
        let keys = light
            .iter()
            .map(|one| format!("{:.9} {:.9}", one.red, one.green));
        keys.collect::<BTreeSet<_>>().len()
    }

    #[test]
    fn areas_are_those_of_weighing_every_pair_anew() {
        for (seed, lattice) in [(1, closed(7, 24)), (2, open_ended(7, 24))] {
            let light = light(&lattice, seed);
            let open: Vec<bool> = (0..light.len()).map(|bead| bead % 11 != 3).collect();
            for price in [0.0, 4.0, 20.0, 80.0] {
                let merged = areas(&lattice, &light, &open, price, &Cancel::default());
                let slow = one_by_one(&lattice, &light, &open, price);
                for (one, other) in merged.iter().zip(&slow) {
                    assert!((one.red - other.red).abs() < 1e-12, "{one:?} {other:?}");
                }
            }
        }
    }

    #[test]
    fn a_higher_price_leaves_fewer_areas_and_beads_that_are_not_open_keep_their_light() {
        let lattice = closed(9, 40);
        let light = light(&lattice, 3);
        let open: Vec<bool> = (0..light.len()).map(|bead| bead >= 20).collect();
        let merged = |price: f64| areas(&lattice, &light, &open, price, &Cancel::default());
        assert_eq!(merged(0.0), light);
        let counts = [5.0, 30.0, 100.0].map(|price| count(&merged(price)));
        assert!(counts[0] > counts[1] && counts[1] > counts[2], "{counts:?}");
        assert_eq!(count(&merged(1e9)), 21);
        assert_eq!(merged(1e9)[..20], light[..20]);
    }

    #[test]
    fn a_stray_bead_goes_where_its_borders_cost_more_than_its_difference() {
        let lattice = closed(9, 30);
        let (ground, own) = (Light::new(0.5, 0.5, 0.5), Light::new(0.3, 0.3, 0.3));
        let mut light = vec![ground; lattice.len()];
        let inside = |&bead: &usize| lattice.neighbours(bead).count() == 6;
        let stray = (0..lattice.len()).find(inside).unwrap();
        light[stray] = own;
        let difference = ciede2000(lab(ground), lab(own));
        // One bead and all others, along six borders.
        let rest = (lattice.len() - 1) as f64;
        let worth = rest / (rest + 1.0) * difference * difference / 6.0;
        let open = vec![true; light.len()];
        let merged = |price: f64| areas(&lattice, &light, &open, price, &Cancel::default());
        assert_eq!(merged(0.99 * worth)[stray], own);
        assert!((merged(1.01 * worth)[stray].red - 0.5).abs() < 0.01);
    }
}
