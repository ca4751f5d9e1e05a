//! Proposals of a ring, charts and picture, against charting each of them by itself.
//!
//! Proposals for a ring must take less than 1.5 s on two cores.

mod common;

use common::{file, paired, seconds};
use std::path::Path;
use upbead::chart::Chart;
use upbead::output::propose::sheet;
use upbead::palette::read::read;
use upbead::pipeline::{Proposal, Source, chart, propose};
use upbead::report::propose::{ProposalFiles, ProposeReport};
use upbead::{ChartRequest, Palette};

const ARTWORK: [&str; 4] = [
    "tests/data/artwork/fox.png",
    "tests/data/artwork/waves-4.png",
    "tests/data/artwork/harbour-lights.png",
    "samples/harbour-dusk.jpg",
];

fn source(name: &str) -> Source {
    Source::new(name, file(name))
}

fn drawn(name: &str, proposals: &[Proposal], palette: &Palette) -> Vec<u8> {
    let files = ProposalFiles {
        picture: Path::new(name),
        palette: Path::new("palette.csv"),
        sheet: None,
        gauge: None,
    };
    let report = ProposeReport::new(files, proposals, palette).expect("a report");
    let charts: Vec<&Chart> = proposals
        .iter()
        .map(|one| &one.charted.made.value.chart)
        .collect();
    sheet(&report, &charts).expect("a picture")
}

fn main() {
    let mut request = ChartRequest::default();
    request.ring.size = Some("us7".parse().expect("a size"));
    for palette in ["tin", "shelf", "harbour"] {
        let text = String::from_utf8(file(&format!("palettes/{palette}.csv"))).expect("text");
        let palette = read(&text, palette).expect("a palette");
        for name in ARTWORK {
            let all = || propose(source(name), &palette, &request).expect("proposals");
            let proposals = all();
            let alone = || {
                for one in &proposals {
                    chart(source(name), &palette, &one.request).expect("a chart");
                }
            };
            let (together, apart, ratio) = paired(3, all, alone);
            let picture = seconds(3, || drawn(name, &proposals, &palette));
            println!(
                "{name} in {}: {} ways in {together:.2} s, one by one {apart:.2} s, \
                 ratio {ratio:.2}; picture {picture:.2} s",
                palette.name,
                proposals.len()
            );
        }
    }
}
