//! The search for the substitutions: start, improve, prove.

use super::{LIGHTER, MERGED, REVERSED, are_apart};
use crate::cancel::Cancel;
use crate::colour::{PreparedLab, ciede2000};
use crate::quantize::stock::transport::{Transport, solve};
use std::collections::BTreeMap;

/// Choices tried to prove that none is better.
const MOST_STATES: usize = 400_000;
/// Rounds of improvement, at most.
const ROUNDS: usize = 200;
/// A gain must be more than rounding.
const LEAST: f64 = 1e-9;
/// A cost of 1 in the whole numbers of the first assignment.
const ONE: f64 = (1 << 20) as f64;

/// Old colours against new ones.
pub struct Matching {
    /// Share of the beads times difference: for each old colour the candidates, the nearest first.
    near: Vec<Vec<(f64, usize)>>,
    /// The same by place: old colour, then candidate.
    cost: Vec<Vec<f64>>,
    /// For each pair of old colours whether they could be told apart.
    apart: Vec<Vec<bool>>,
    /// For each pair of old colours: 1 if the first was the lighter, -1 if the other, 0 if neither.
    order: Vec<Vec<i8>>,
    /// Indices in the palette of the candidates.
    candidates: Vec<usize>,
    /// For each pair of candidates whether they can be told apart.
    distinct: Vec<Vec<bool>>,
    /// Lightness of the candidates.
    lightness: Vec<f64>,
    /// Whether every colour of the palette is a candidate for every old one.
    complete: bool,
}

/// An old colour and the candidate that takes its place.
#[derive(Clone, Copy)]
struct Successor {
    own: usize,
    to: usize,
}

impl Successor {
    fn of(own: usize, chosen: &[usize]) -> Self {
        Self {
            own,
            to: chosen[own],
        }
    }
}

/// The choice, as indices in the palette.
pub struct Found {
    pub chosen: Vec<usize>,
    pub proven: bool,
}

impl Matching {
    /// `old` colours with their beads against the `new` ones, at most `most` of them for each.
    pub fn new(old: &[PreparedLab], new: &[PreparedLab], beads: &[usize], most: usize) -> Self {
        let all: usize = beads.iter().sum();
        let differences: Vec<Vec<(f64, usize)>> = old
            .iter()
            .map(|one| {
                let mut near: Vec<(f64, usize)> = new
                    .iter()
                    .enumerate()
                    .map(|(at, other)| (ciede2000(one.lab, other.lab), at))
                    .collect();
                near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
                near
            })
            .collect();
        let candidates = candidates(&differences, new.len(), most);
        let share = |own: usize| beads[own] as f64 / all.max(1) as f64;
        let mut cost = vec![vec![0.0; candidates.len()]; old.len()];
        let mut near = vec![Vec::new(); old.len()];
        for (own, differences) in differences.iter().enumerate() {
            for &(difference, at) in differences {
                if let Ok(place) = candidates.binary_search(&at) {
                    cost[own][place] = share(own) * difference;
                    near[own].push((cost[own][place], place));
                }
            }
        }
        let table = |colours: &[PreparedLab]| -> Vec<Vec<bool>> {
            let row =
                |one: &PreparedLab| colours.iter().map(|other| are_apart(one, other)).collect();
            colours.iter().map(row).collect()
        };
        let order = |one: &PreparedLab, other: &PreparedLab| match one.lab.l - other.lab.l {
            more if more >= LIGHTER => 1,
            less if less <= -LIGHTER => -1,
            _ => 0,
        };
        let picked: Vec<PreparedLab> = candidates.iter().map(|&at| new[at]).collect();
        Self {
            near,
            cost,
            apart: table(old),
            order: old
                .iter()
                .map(|one| old.iter().map(|other| order(one, other)).collect())
                .collect(),
            distinct: table(&picked),
            lightness: picked.iter().map(|one| one.lab.l).collect(),
            complete: candidates.len() == new.len(),
            candidates,
        }
    }

    /// The best choice found.
    pub fn solve(&self) -> Found {
        let mut chosen = self.start();
        self.improve(&mut chosen);
        let mut proof = Proof {
            matching: self,
            best: self.total(&chosen),
            chosen,
            states: 0,
        };
        let complete = proof.run();
        Found {
            chosen: proof.chosen.iter().map(|&at| self.candidates[at]).collect(),
            proven: complete && self.complete,
        }
    }

    /// What a pair of old colours costs with these successors.
    fn pair(&self, one: Successor, other: Successor) -> f64 {
        let mut cost = 0.0;
        if self.apart[one.own][other.own] && !self.distinct[one.to][other.to] {
            cost += MERGED;
        }
        let lighter = self.lightness[one.to] - self.lightness[other.to];
        if f64::from(self.order[one.own][other.own]) * lighter < 0.0 {
            cost += REVERSED;
        }
        cost
    }

    /// What the pairs of one colour cost.
    fn pairs_of(&self, own: usize, to: usize, chosen: &[usize], but: Option<usize>) -> f64 {
        let others = (0..chosen.len()).filter(|&other| other != own && Some(other) != but);
        others
            .map(|other| self.pair(Successor { own, to }, Successor::of(other, chosen)))
            .sum()
    }

    fn total(&self, chosen: &[usize]) -> f64 {
        let mut total = 0.0;
        for (own, &to) in chosen.iter().enumerate() {
            total += self.cost[own][to];
            for other in 0..own {
                total += self.pair(Successor { own, to }, Successor::of(other, chosen));
            }
        }
        total
    }

    /// The cheapest assignment without pairs: each colour another bead.
    fn start(&self) -> Vec<usize> {
        let width = self.candidates.len();
        let whole = |cost: &f64| (cost * ONE).round() as u32;
        let costs: Vec<u32> = self.cost.iter().flatten().map(whole).collect();
        let columns: Vec<usize> = (0..width).collect();
        let solution = solve(&Transport {
            costs: &costs,
            width,
            columns: &columns,
            supply: &vec![1; self.cost.len()],
            capacity: &vec![1; width],
            most: &BTreeMap::new(),
            cancel: &Cancel::default(),
        });
        // There are at least as many candidates as colours, and no other bounds.
        let flow = solution.map(|solution| solution.flow).unwrap_or_default();
        flow.iter().map(|flow| flow[0].0).collect()
    }

    /// Changes one colour, or exchanges two, whichever helps most, until nothing does.
    fn improve(&self, chosen: &mut [usize]) {
        for _ in 0..ROUNDS {
            let change = self.best_change(chosen);
            let exchange = self.best_exchange(chosen);
            match (change, exchange) {
                ((gain, own, to), (other_gain, ..)) if gain <= other_gain && gain < -LEAST => {
                    chosen[own] = to;
                }
                (_, (gain, one, other)) if gain < -LEAST => chosen.swap(one, other),
                _ => return,
            }
        }
    }

    fn best_change(&self, chosen: &[usize]) -> (f64, usize, usize) {
        let mut taken = vec![false; self.candidates.len()];
        chosen.iter().for_each(|&at| taken[at] = true);
        let mut best = (0.0, 0, 0);
        for own in 0..chosen.len() {
            let now = self.cost[own][chosen[own]] + self.pairs_of(own, chosen[own], chosen, None);
            for &(cost, to) in &self.near[own] {
                if cost - now >= best.0 {
                    break;
                }
                if taken[to] {
                    continue;
                }
                let gain = cost + self.pairs_of(own, to, chosen, None) - now;
                if gain < best.0 {
                    best = (gain, own, to);
                }
            }
        }
        best
    }

    fn best_exchange(&self, chosen: &[usize]) -> (f64, usize, usize) {
        let mut best = (0.0, 0, 0);
        for one in 0..chosen.len() {
            for other in one + 1..chosen.len() {
                let cost = |to: usize, other_to: usize| {
                    self.cost[one][to]
                        + self.cost[other][other_to]
                        + self.pairs_of(one, to, chosen, Some(other))
                        + self.pairs_of(other, other_to, chosen, Some(one))
                        + self.pair(
                            Successor { own: one, to },
                            Successor {
                                own: other,
                                to: other_to,
                            },
                        )
                };
                let gain = cost(chosen[other], chosen[one]) - cost(chosen[one], chosen[other]);
                if gain < best.0 {
                    best = (gain, one, other);
                }
            }
        }
        best
    }
}

/// The nearest new colours of each old one, rising: so many for each that all have a place, and not
/// so many that pairs of them would fill the memory.
fn candidates(differences: &[Vec<(f64, usize)>], new: usize, most: usize) -> Vec<usize> {
    let old = differences.len();
    let each = if new <= most {
        new
    } else {
        (4 * most / old.max(1)).max(old).min(most).min(new)
    };
    let mut candidates: Vec<usize> = differences
        .iter()
        .flat_map(|near| near[..each].iter().map(|&(_, at)| at))
        .collect();
    candidates.sort_unstable();
    candidates.dedup();
    candidates
}

/// Goes through all choices that may be better than the best so far.
struct Proof<'a> {
    matching: &'a Matching,
    chosen: Vec<usize>,
    best: f64,
    states: usize,
}

impl Proof<'_> {
    /// Whether all were tried.
    fn run(&mut self) -> bool {
        // Colours with much to lose first: they bound the rest.
        let mut order: Vec<usize> = (0..self.chosen.len()).collect();
        let regret = |own: usize| {
            let near = &self.matching.near[own];
            near.get(1).map_or(0.0, |second| second.0 - near[0].0)
        };
        order.sort_by(|&a, &b| regret(b).total_cmp(&regret(a)).then(a.cmp(&b)));
        let mut taken = vec![false; self.matching.candidates.len()];
        self.down(&order, &mut Vec::new(), &mut taken, 0.0)
    }

    fn down(
        &mut self,
        order: &[usize],
        given: &mut Vec<Successor>,
        taken: &mut [bool],
        so_far: f64,
    ) -> bool {
        let Some((&own, rest)) = order.split_first() else {
            self.best = so_far;
            given.iter().for_each(|one| self.chosen[one.own] = one.to);
            return true;
        };
        self.states += 1;
        if self.states > MOST_STATES {
            return false;
        }
        let least: f64 = rest
            .iter()
            .map(|&other| self.least(other, given, taken))
            .sum();
        let left = |proof: &Self| proof.best - LEAST - so_far - least;
        let mut options = self.options(own, given, taken, left(self));
        options.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        for (cost, to) in options {
            if cost >= left(self) {
                break;
            }
            given.push(Successor { own, to });
            taken[to] = true;
            let complete = self.down(rest, given, taken, so_far + cost);
            taken[to] = false;
            given.pop();
            if !complete {
                return false;
            }
        }
        true
    }

    /// What a colour costs with each open candidate, as far as it stays below `left`.
    fn options(
        &self,
        own: usize,
        given: &[Successor],
        taken: &[bool],
        left: f64,
    ) -> Vec<(f64, usize)> {
        let near = self.matching.near[own].iter();
        near.take_while(|(cost, _)| *cost < left)
            .filter(|(_, to)| !taken[*to])
            .map(|&(cost, to)| (cost + self.pairs(own, to, given), to))
            .filter(|(cost, _)| *cost < left)
            .collect()
    }

    fn pairs(&self, own: usize, to: usize, given: &[Successor]) -> f64 {
        let pairs = given
            .iter()
            .map(|&other| self.matching.pair(Successor { own, to }, other));
        pairs.sum()
    }

    /// The least that a colour not yet given can cost.
    fn least(&self, own: usize, given: &[Successor], taken: &[bool]) -> f64 {
        let mut least = f64::INFINITY;
        for &(cost, to) in &self.matching.near[own] {
            if cost >= least {
                break;
            }
            if !taken[to] {
                least = least.min(cost + self.pairs(own, to, given));
            }
        }
        least
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Lab;
    use proptest::prelude::*;

    fn any_colours(count: std::ops::Range<usize>) -> impl Strategy<Value = Vec<PreparedLab>> {
        let lab = (5.0..95.0, -50.0..50.0, -50.0..50.0);
        let judged = lab.prop_map(|(l, a, b)| PreparedLab::new(Lab { l, a, b }));
        prop::collection::vec(judged, count)
    }

    /// The least total over every way to give each a bead of its own.
    fn by_trying(matching: &Matching, chosen: &mut Vec<usize>) -> f64 {
        if chosen.len() == matching.cost.len() {
            return matching.total(chosen);
        }
        let mut best = f64::INFINITY;
        for to in 0..matching.candidates.len() {
            if !chosen.contains(&to) {
                chosen.push(to);
                best = best.min(by_trying(matching, chosen));
                chosen.pop();
            }
        }
        best
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]
        #[test]
        fn small_cases_equal_trying_every_way(
            old in any_colours(1..5),
            new in any_colours(5..7),
            beads in prop::collection::vec(1..100usize, 4),
        ) {
            let matching = Matching::new(&old, &new, &beads[..old.len()], 512);
            let found = matching.solve();
            prop_assert!(found.proven);
            let best = by_trying(&matching, &mut Vec::new());
            prop_assert!((matching.total(&found.chosen) - best).abs() < 1e-9);
        }
    }
}
