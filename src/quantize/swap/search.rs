//! The search for the substitutions: start, mend, prove.

use super::{LIGHTER, TOGETHER, TURNED, are_apart};
use crate::cancel::Cancel;
use crate::colour::{Judged, ciede2000};
use crate::quantize::stock::flow::{Transport, solve};
use std::collections::BTreeMap;

/// Choices looked at to prove that none is better.
const MOST_STATES: usize = 400_000;
/// Rounds of mending, at most.
const ROUNDS: usize = 200;
/// A gain must be more than rounding.
const LEAST: f64 = 1e-9;
/// A cost of 1 in the whole numbers of the first assignment.
const ONE: f64 = (1 << 20) as f64;

/// Old colours against new ones.
pub struct Problem {
    /// Share of the beads times difference: for each old colour the candidates, the nearest first.
    near: Vec<Vec<(f64, usize)>>,
    /// The same by place: old colour, then candidate.
    cost: Vec<Vec<f64>>,
    /// For each pair of old colours whether they were apart.
    apart: Vec<Vec<bool>>,
    /// For each pair of old colours: 1 if the first was the lighter, -1 if the other, 0 if neither.
    order: Vec<Vec<i8>>,
    /// Places in the palette of the candidates.
    candidates: Vec<usize>,
    /// For each pair of candidates whether they are apart.
    told: Vec<Vec<bool>>,
    /// Lightness of the candidates.
    lightness: Vec<f64>,
    /// Whether every colour of the palette is a candidate for every old one.
    complete: bool,
}

/// The choice, as places in the palette.
pub struct Found {
    pub chosen: Vec<usize>,
    pub proven: bool,
}

impl Problem {
    /// `old` colours with their beads against the `new` ones, at most `most` of them for each.
    pub fn new(old: &[Judged], new: &[Judged], beads: &[usize], most: usize) -> Self {
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
        // So many for each that all have a place, and not so many that pairs of them would fill the memory.
        let each = match new.len() <= most {
            true => new.len(),
            false => (4 * most / old.len().max(1))
                .max(old.len())
                .min(most)
                .min(new.len()),
        };
        let mut candidates: Vec<usize> = differences
            .iter()
            .flat_map(|near| near[..each].iter().map(|&(_, at)| at))
            .collect();
        candidates.sort_unstable();
        candidates.dedup();
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
        let table = |colours: &[Judged]| -> Vec<Vec<bool>> {
            let row = |one: &Judged| colours.iter().map(|other| are_apart(one, other)).collect();
            colours.iter().map(row).collect()
        };
        let order = |one: &Judged, other: &Judged| match one.lab.l - other.lab.l {
            more if more >= LIGHTER => 1,
            less if less <= -LIGHTER => -1,
            _ => 0,
        };
        let picked: Vec<Judged> = candidates.iter().map(|&at| new[at]).collect();
        Self {
            near,
            cost,
            apart: table(old),
            order: old
                .iter()
                .map(|one| old.iter().map(|other| order(one, other)).collect())
                .collect(),
            told: table(&picked),
            lightness: picked.iter().map(|one| one.lab.l).collect(),
            complete: candidates.len() == new.len(),
            candidates,
        }
    }

    /// The best choice found.
    pub fn solve(&self) -> Found {
        let mut chosen = self.start();
        self.mend(&mut chosen);
        let mut proof = Proof {
            problem: self,
            best: self.total(&chosen),
            chosen,
            states: 0,
        };
        let settled = proof.run();
        Found {
            chosen: proof.chosen.iter().map(|&at| self.candidates[at]).collect(),
            proven: settled && self.complete,
        }
    }

    /// What a pair of old colours costs with these successors.
    fn pair(&self, (one, to): (usize, usize), (other, too): (usize, usize)) -> f64 {
        let mut cost = 0.0;
        if self.apart[one][other] && !self.told[to][too] {
            cost += TOGETHER;
        }
        let lighter = self.lightness[to] - self.lightness[too];
        if f64::from(self.order[one][other]) * lighter < 0.0 {
            cost += TURNED;
        }
        cost
    }

    /// What the pairs of one colour cost.
    fn pairs_of(&self, own: usize, to: usize, chosen: &[usize], but: Option<usize>) -> f64 {
        let others = (0..chosen.len()).filter(|&other| other != own && Some(other) != but);
        others
            .map(|other| self.pair((own, to), (other, chosen[other])))
            .sum()
    }

    fn total(&self, chosen: &[usize]) -> f64 {
        let mut total = 0.0;
        for (own, &to) in chosen.iter().enumerate() {
            total += self.cost[own][to];
            for (other, &too) in chosen[..own].iter().enumerate() {
                total += self.pair((own, to), (other, too));
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
            room: &vec![1; width],
            most: &BTreeMap::new(),
            cancel: &Cancel::default(),
        });
        // There are as many candidates as colours at least, and no other bounds.
        let flow = solution.map(|solution| solution.flow).unwrap_or_default();
        flow.iter().map(|flow| flow[0].0).collect()
    }

    /// Changes one colour, or exchanges two, whichever helps most, until nothing does.
    fn mend(&self, chosen: &mut [usize]) {
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
                let cost = |to: usize, too: usize| {
                    self.cost[one][to]
                        + self.cost[other][too]
                        + self.pairs_of(one, to, chosen, Some(other))
                        + self.pairs_of(other, too, chosen, Some(one))
                        + self.pair((one, to), (other, too))
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

/// Goes through all choices that may be better than the best so far.
struct Proof<'a> {
    problem: &'a Problem,
    chosen: Vec<usize>,
    best: f64,
    states: usize,
}

impl Proof<'_> {
    /// Whether all were gone through.
    fn run(&mut self) -> bool {
        // Colours with much to lose first: they bound the rest.
        let mut order: Vec<usize> = (0..self.chosen.len()).collect();
        let regret = |own: usize| {
            let near = &self.problem.near[own];
            near.get(1).map_or(0.0, |second| second.0 - near[0].0)
        };
        order.sort_by(|&a, &b| regret(b).total_cmp(&regret(a)).then(a.cmp(&b)));
        let mut taken = vec![false; self.problem.candidates.len()];
        self.down(&order, &mut Vec::new(), &mut taken, 0.0)
    }

    fn down(
        &mut self,
        order: &[usize],
        given: &mut Vec<(usize, usize)>,
        taken: &mut [bool],
        so_far: f64,
    ) -> bool {
        let Some((&own, rest)) = order.split_first() else {
            self.best = so_far;
            given.iter().for_each(|&(own, to)| self.chosen[own] = to);
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
        let mut ways = self.ways(own, given, taken, left(self));
        ways.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        for (cost, to) in ways {
            if cost >= left(self) {
                break;
            }
            given.push((own, to));
            taken[to] = true;
            let settled = self.down(rest, given, taken, so_far + cost);
            taken[to] = false;
            given.pop();
            if !settled {
                return false;
            }
        }
        true
    }

    /// What a colour costs with each open candidate, as far as it stays below `left`.
    fn ways(
        &self,
        own: usize,
        given: &[(usize, usize)],
        taken: &[bool],
        left: f64,
    ) -> Vec<(f64, usize)> {
        let near = self.problem.near[own].iter();
        near.take_while(|(cost, _)| *cost < left)
            .filter(|(_, to)| !taken[*to])
            .map(|&(cost, to)| (cost + self.pairs(own, to, given), to))
            .filter(|(cost, _)| *cost < left)
            .collect()
    }

    fn pairs(&self, own: usize, to: usize, given: &[(usize, usize)]) -> f64 {
        let pairs = given
            .iter()
            .map(|&other| self.problem.pair((own, to), other));
        pairs.sum()
    }

    /// The least that a colour not yet given can cost.
    fn least(&self, own: usize, given: &[(usize, usize)], taken: &[bool]) -> f64 {
        let mut least = f64::INFINITY;
        for &(cost, to) in &self.problem.near[own] {
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

    fn any_colours(count: std::ops::Range<usize>) -> impl Strategy<Value = Vec<Judged>> {
        let lab = (5.0..95.0, -50.0..50.0, -50.0..50.0);
        let judged = lab.prop_map(|(l, a, b)| Judged::new(Lab { l, a, b }));
        prop::collection::vec(judged, count)
    }

    /// The least total over every way to give each a bead of its own.
    fn by_trying(problem: &Problem, chosen: &mut Vec<usize>) -> f64 {
        if chosen.len() == problem.cost.len() {
            return problem.total(chosen);
        }
        let mut best = f64::INFINITY;
        for to in 0..problem.candidates.len() {
            if !chosen.contains(&to) {
                chosen.push(to);
                best = best.min(by_trying(problem, chosen));
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
            let problem = Problem::new(&old, &new, &beads[..old.len()], 512);
            let found = problem.solve();
            prop_assert!(found.proven);
            let best = by_trying(&problem, &mut Vec::new());
            prop_assert!((problem.total(&found.chosen) - best).abs() < 1e-9);
        }
    }
}
