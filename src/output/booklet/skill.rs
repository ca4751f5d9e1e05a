//! What skill a band asks for, in plain words with the reasons.

use crate::chart::Chart;
use crate::weave::Weave;

/// Most colours, and most changes of colour in a row on average, for a first band and for one after
/// some practice. Ours.
const FIRST: (usize, f64) = (4, 1.5);
const SOME: (usize, f64) = (12, 5.0);
/// Widest band for either, in columns. Ours.
const NARROW: u32 = 15;

/// How much practice the band asks for, and why.
pub(super) fn skill(chart: &Chart, weave: &Weave) -> String {
    let colours = chart.counts().iter().filter(|count| **count > 0).count();
    let changes: Vec<usize> = weave
        .rows
        .iter()
        .map(|row| changes(chart, &row.beads))
        .collect();
    let mean = changes.iter().sum::<usize>() as f64 / changes.len().max(1) as f64;
    let odd = chart.lattice.columns() % 2 == 1;
    let narrow = chart.lattice.columns() <= NARROW;
    let within = |(most, busy): (usize, f64)| narrow && colours <= most && mean <= busy;
    let level = match (within(FIRST) && !odd, within(SOME)) {
        (true, _) => "A good first band",
        (_, true) => "For a weaver who has made flat peyote before",
        _ => "For patient hands that know flat peyote well",
    };
    let turns = if odd {
        "an odd count, with a turn of its own at one edge"
    } else {
        "an even count, with the same turn at both edges"
    };
    let colours = match colours {
        1 => "one colour".to_string(),
        many => format!("{many} colours"),
    };
    let most = match changes.iter().max() {
        None | Some(0) => "none of them changing within a row".to_string(),
        Some(1) => "at most 1 change of colour in a row".to_string(),
        Some(most) => format!("at most {most} changes of colour in a row"),
    };
    format!("{level}: {turns}; {colours}, {most}.")
}

fn changes(chart: &Chart, beads: &[usize]) -> usize {
    let changed = |pair: &&[usize]| chart.beads[pair[0]] != chart.beads[pair[1]];
    beads.windows(2).filter(changed).count()
}
