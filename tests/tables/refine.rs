//! Differences of charts from their pictures, and maximum flows, against independent programs.

use crate::common::{number, repository, table};
use std::fs;
use upbead::cancel::Cancel;
use upbead::chart::read::read;
use upbead::pipeline::{CompareOptions, Source, arrangement, compare};
use upbead::quantize::calm::min_cut::Network;
use upbead::vision::band::DISTANCES;

#[test]
fn differences_from_the_picture_agree_with_another_program() {
    let rows = table("refine/figures.csv");
    for case in ["ring", "strip"] {
        let folder = repository("tests/data/refine");
        let text = fs::read_to_string(folder.join(format!("{case}.json"))).unwrap();
        let chart = read(&text).unwrap();
        let source = Source::new(
            format!("{case}.png"),
            fs::read(folder.join(format!("{case}.png"))).unwrap(),
        );
        let how = CompareOptions {
            arrangement: arrangement(&chart).unwrap(),
            ground: None,
            crisp: 0.0,
        };
        let measure = compare(source, &chart, &how, &DISTANCES)
            .unwrap()
            .value
            .measure;
        let wanted = |what: &str| {
            let row = rows
                .iter()
                .find(|row| row["case"] == case && row["what"] == what);
            let row = row.expect("a row");
            (number(row, "mean"), number(row, "p95"))
        };
        let near = |what: &str, got: (f64, f64), allowed: f64| {
            let wanted = wanted(what);
            let off = (got.0 - wanted.0).abs().max((got.1 - wanted.1).abs());
            assert!(off < allowed, "{case}, {what}: {got:?}, not {wanted:?}");
        };
        let allowed = if case == "ring" { 0.05 } else { 0.15 };
        for apart in &measure.views {
            let what = format!("{}", apart.distance.get());
            near(&what, (apart.mean, apart.p95), allowed);
        }
        near("beads", (measure.beads, measure.p95), 1e-3);
        near(
            "weave",
            (measure.changes as f64, measure.stray as f64),
            1e-9,
        );
    }
}

#[test]
fn flows_agree_with_another_program_and_their_cuts_prove_them() {
    for row in table("refine/flows.csv") {
        let nodes = number(&row, "nodes") as usize;
        let mut network = Network::new(nodes);
        let mut edges = Vec::new();
        for edge in row["edges"].split_whitespace() {
            let (ends, capacity) = edge.split_once(':').expect("a capacity");
            let (from, to) = ends.split_once('>').expect("two ends");
            let capacity: i64 = capacity.parse().expect("a number");
            match (from, to) {
                ("s", "t") => continue,
                ("s", node) => network.fill(node.parse().expect("a node"), capacity),
                (node, "t") => network.drain(node.parse().expect("a node"), capacity),
                (one, two) => {
                    network.join(
                        one.parse().expect("a node"),
                        two.parse().expect("a node"),
                        capacity,
                        0,
                    );
                }
            }
            edges.push((from, to, capacity));
        }
        let direct: i64 = row["edges"]
            .split_whitespace()
            .filter_map(|edge| edge.strip_prefix("s>t:"))
            .map(|capacity| capacity.parse::<i64>().expect("a number"))
            .sum();
        let flow = network.send(&Cancel::default());
        assert_eq!((flow + direct) as f64, number(&row, "flow"));
        let with_source = network.with_source();
        let side = |name: &str| match name {
            "s" => true,
            "t" => false,
            node => with_source[node.parse::<usize>().expect("a node")],
        };
        let cut: i64 = edges
            .iter()
            .filter(|(from, to, _)| side(from) && !side(to))
            .map(|edge| edge.2)
            .sum();
        assert_eq!(cut, flow);
    }
}
