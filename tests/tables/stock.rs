//! Charts from a counted stock against optima proven by an integer program (scipy's HiGHS).

use crate::common::repository;
use serde_json::Value;
use upbead::bead::Bead;
use upbead::colour::{Light, ciede2000, lab, light, read_hex};
use upbead::lattice::{Axis, Lattice, Rows};
use upbead::palette::{Bound, Bounds, Tone};
use upbead::quantize::groups::Groups;
use upbead::quantize::{Problem, Settings, quantize};
use upbead::request::Mirror;
use upbead::units::Mm;
use upbead::warning::Warning;

struct Case {
    name: String,
    lattice: Lattice,
    mirror: Vec<Axis>,
    options: Settings,
    tones: Vec<Tone>,
    light: Vec<Light>,
    optimum: f64,
    unbounded: f64,
}

fn case(value: &Value) -> Case {
    let whole = |name: &str| value[name].as_u64().unwrap() as u32;
    let colours = |name: &str| -> Vec<Light> {
        let all = value[name].as_array().unwrap();
        let read = |hex: &Value| light(read_hex(hex.as_str().unwrap()).unwrap());
        all.iter().map(read).collect()
    };
    let bounds = value["bounds"].as_array().unwrap().iter().enumerate();
    let bounds = bounds.map(|(at, bound)| Bound {
        name: format!("colour {at}"),
        most: bound.as_u64(),
    });
    let rows = Rows::closed(whole("rows")).unwrap();
    let mirror: Mirror = serde_json::from_value(value["mirror"].clone()).unwrap();
    let lattice = Lattice::new(Bead::default(), whole("columns"), rows).unwrap();
    Case {
        name: value["name"].as_str().unwrap().to_string(),
        lattice,
        mirror: mirror.axes(&lattice, Mm::new(0.0)),
        options: Settings {
            limit: value["colours"].as_u64().map(|limit| limit as usize),
            bounds: Some(Bounds::new(bounds.collect())),
            ..Settings::default()
        },
        tones: colours("palette").into_iter().map(Tone::new).collect(),
        light: colours("beads"),
        optimum: value["optimum"].as_f64().unwrap(),
        unbounded: value["unbounded"].as_f64().unwrap(),
    }
}

fn cases() -> Vec<Case> {
    let text = std::fs::read_to_string(repository("tests/data/stock/cases.json")).unwrap();
    let all: Value = serde_json::from_str(&text).unwrap();
    all["cases"].as_array().unwrap().iter().map(case).collect()
}

impl Case {
    /// The total difference of our chart, and what was noted; the bounds, the limit and the mirror
    /// hold or it panics.
    fn ours(&self, options: &Settings) -> (f64, Vec<Warning>) {
        let groups = Groups::new(&self.lattice, &self.mirror, None);
        let settled = vec![None; self.lattice.len()];
        let wanted = Problem {
            lattice: &self.lattice,
            light: &self.light,
            fixed: &settled,
            groups: &groups,
        };
        let chosen = quantize(&wanted, &self.tones, options).unwrap();
        let mut counts = vec![0u64; self.tones.len()];
        chosen.value.iter().for_each(|&at| counts[at] += 1);
        if let Some(bounds) = &options.bounds {
            assert!(bounds.allow(&counts), "{}: {counts:?}", self.name);
        }
        let used = counts.iter().filter(|&&count| count > 0).count();
        assert!(
            used <= options.limit.unwrap_or(used),
            "{}: {used}",
            self.name
        );
        for (bead, &at) in chosen.value.iter().enumerate() {
            let group = groups.beads_of(groups.group_of(bead));
            assert!(
                group
                    .iter()
                    .all(|&other| chosen.value[other as usize] == at)
            );
        }
        let apart =
            |(bead, &at): (usize, &usize)| ciede2000(lab(self.light[bead]), self.tones[at].lab);
        let total = chosen.value.iter().enumerate().map(apart).sum();
        (total, chosen.warnings)
    }
}

#[test]
fn every_case_reaches_the_proven_optimum() {
    let cases = cases();
    assert!(cases.len() >= 22, "test file is broken");
    for case in &cases {
        let (total, notes) = case.ours(&case.options);
        let gap = (total - case.optimum) / case.light.len() as f64;
        assert!(
            gap.abs() < 1e-6,
            "{}: {total}, optimum {}",
            case.name,
            case.optimum
        );
        let told = notes
            .iter()
            .any(|note| matches!(note, Warning::FromStock { .. }));
        assert!(told, "{}: {notes:?}", case.name);
        let doubted = notes
            .iter()
            .any(|note| matches!(note, Warning::StockGap { .. }));
        assert!(
            !doubted,
            "{}: the optimum was not proven: {notes:?}",
            case.name
        );
    }
}

#[test]
fn without_bounds_the_nearest_colours_agree_with_the_table() {
    for case in cases() {
        let (total, notes) = case.ours(&Settings::default());
        let gap = (total - case.unbounded) / case.light.len() as f64;
        assert!(
            gap.abs() < 1e-6 && notes.is_empty(),
            "{}: {total}",
            case.name
        );
        // Bounds that nothing reaches change nothing.
        let enough = |at: usize| Bound {
            name: format!("colour {at}"),
            most: Some(case.light.len() as u64),
        };
        let options = Settings {
            bounds: Some(Bounds::new((0..case.tones.len()).map(enough).collect())),
            ..Settings::default()
        };
        let (same, notes) = case.ours(&options);
        assert!(same == total && notes.is_empty(), "{}", case.name);
    }
}
