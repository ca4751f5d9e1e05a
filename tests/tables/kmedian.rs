//! The choice of k colours against optima proven by an integer program (scipy's HiGHS).

use crate::common::repository;
use upbead::cancel::Cancel;
use upbead::colour::{Lab, ciede2000};
use upbead::quantize::limit::{Costs, best_set, greedy_set};

struct Case {
    name: String,
    count: usize,
    keep: Vec<usize>,
    /// Colours that may be used: places in the palette.
    free: Vec<usize>,
    /// For each free colour the cost of each sample.
    rows: Vec<Vec<f64>>,
    optimum: f64,
    greedy: f64,
}

fn numbers(value: &serde_json::Value) -> Vec<f64> {
    value
        .as_array()
        .unwrap()
        .iter()
        .map(|n| n.as_f64().unwrap())
        .collect()
}

fn places(value: &serde_json::Value) -> Vec<usize> {
    numbers(value).into_iter().map(|n| n as usize).collect()
}

fn cases() -> Vec<Case> {
    let text = std::fs::read_to_string(repository("tests/data/kmedian/cases.json")).unwrap();
    let all: serde_json::Value = serde_json::from_str(&text).unwrap();
    let lab = |n: &[f64]| Lab {
        l: n[0],
        a: n[1],
        b: n[2],
    };
    let read = |case: &serde_json::Value| {
        let rows_of = |key: &str| {
            case[key]
                .as_array()
                .unwrap()
                .iter()
                .map(numbers)
                .collect::<Vec<_>>()
        };
        let (palette, samples) = (rows_of("palette"), rows_of("samples"));
        let without = places(&case["without"]);
        let free: Vec<usize> = (0..palette.len())
            .filter(|at| !without.contains(at))
            .collect();
        let cost = |colour: &[f64], sample: &[f64]| sample[3] * ciede2000(lab(sample), lab(colour));
        Case {
            name: case["name"].as_str().unwrap().to_string(),
            count: case["k"].as_u64().unwrap() as usize,
            keep: places(&case["keep"])
                .iter()
                .map(|at| free.iter().position(|own| own == at).unwrap())
                .collect(),
            rows: free
                .iter()
                .map(|&at| {
                    samples
                        .iter()
                        .map(|sample| cost(&palette[at], sample))
                        .collect()
                })
                .collect(),
            free,
            optimum: case["optimum"].as_f64().unwrap(),
            greedy: case["greedy"].as_f64().unwrap(),
        }
    };
    all["cases"].as_array().unwrap().iter().map(read).collect()
}

fn total(case: &Case, set: &[usize]) -> f64 {
    let samples = case.rows[0].len();
    (0..samples)
        .map(|i| {
            set.iter()
                .map(|&c| case.rows[c][i])
                .fold(f64::INFINITY, f64::min)
        })
        .sum()
}

#[test]
fn the_chosen_colours_reach_the_proven_optimum() {
    let cases = cases();
    assert!(cases.len() >= 40, "test file is broken");
    let mut short = Vec::new();
    let mut greedy_worst: f64 = 0.0;
    for case in &cases {
        let costs = Costs::from_rows(&case.rows);
        let set = best_set(&costs, &case.keep, case.count, &Cancel::default());
        assert_eq!(set.len(), case.count, "{}", case.name);
        assert!(
            case.keep.iter().all(|kept| set.contains(kept)),
            "{}",
            case.name
        );
        assert!(case.free.len() >= case.count);
        let gap = total(case, &set) / case.optimum - 1.0;
        assert!(
            gap > -1e-6,
            "{}: better than proven: test file is broken",
            case.name
        );
        if gap > 1e-6 {
            short.push(format!("{}: {:.3}% above", case.name, gap * 100.0));
        }
        let greedy = total(case, &greedy_set(&costs, &case.keep, case.count));
        assert!(
            (greedy / case.greedy - 1.0).abs() < 1e-5,
            "{}: greedy {greedy}",
            case.name
        );
        greedy_worst = greedy_worst.max(greedy / case.optimum - 1.0);
    }
    println!(
        "of {} cases {} short: {short:?}; greedy alone up to {:.0}% above",
        cases.len(),
        short.len(),
        greedy_worst * 100.0
    );
    assert!(short.len() * 20 <= cases.len(), "{short:?}");
}
