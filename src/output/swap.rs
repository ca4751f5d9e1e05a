//! A chart in other colours: each substitution, and what became of the pairs, as text.

use super::palette::{aligned, printable};
use crate::report::swap::{ChangedPairReport, SubstitutionReport, SwapReport};
use crate::units::{decimals, grouped};
use crate::words::shown;

/// Pairs that the text lists.
const LISTED: usize = 6;
/// Mean difference from which another chart is advised. Ours: hues then change throughout.
const FAR: f64 = 10.0;

/// For a person: a line a colour, then what was kept and what was not.
pub fn text(report: &SwapReport) -> String {
    let file = shown(report.chart.as_deref().unwrap_or("chart"));
    let count = match report.substitutions.len() {
        1 => "1 colour".to_string(),
        more => format!("{} colours", grouped(more)),
    };
    let mut text = format!(
        "{file}: {count} in {}; mean difference from the old chart {}\n\n",
        printable(&report.palette),
        decimals(report.difference, 1)
    );
    for line in table(&report.substitutions) {
        text += &line;
        text.push('\n');
    }
    text.push('\n');
    text += &kept(report);
    text + &advice(report)
}

fn table(all: &[SubstitutionReport]) -> Vec<String> {
    let of = |head: &str, cell: &dyn Fn(&SubstitutionReport) -> String| -> Vec<String> {
        std::iter::once(head.to_string())
            .chain(all.iter().map(cell))
            .collect()
    };
    let mut columns = vec![
        (true, of("beads", &|one| grouped(one.beads))),
        (false, of("colour", &|one| printable(&one.from.code))),
        (false, of("", &|one| printable(&one.from.name))),
        (false, of("becomes", &|one| printable(&one.to.code))),
        (false, of("", &|one| printable(&one.to.name))),
        (
            true,
            of("difference", &|one| format!("{:.1}", one.difference)),
        ),
    ];
    if all.iter().any(|one| one.short > 0) {
        let cell = |one: &SubstitutionReport| match one.short {
            0 => String::new(),
            beads => grouped(beads as usize),
        };
        columns.push((true, of("short", &cell)));
    }
    aligned(columns)
}

/// What was kept, and each pair that was not.
fn kept(report: &SwapReport) -> String {
    let of = |all: usize, lost: usize| match (all, lost) {
        (0, _) => "no pairs".to_string(),
        (1, 0) => "the one pair".to_string(),
        (all, 0) => format!("all {} pairs", grouped(all)),
        (all, lost) => format!("{} of {} pairs", grouped(all - lost), grouped(all)),
    };
    let mut text = format!(
        "Told apart as before: {}\nLighter and darker as before: {}\n",
        of(report.apart, report.together.len()),
        of(report.ordered, report.turned.len())
    );
    text += &pairs(report, &report.together, "are now hard to tell apart");
    text + &pairs(report, &report.turned, "change places in lightness")
}

fn pairs(report: &SwapReport, pairs: &[ChangedPairReport], what: &str) -> String {
    let mut text = String::new();
    for pair in pairs.iter().take(LISTED) {
        let (Some(one), Some(other)) = (report.names(&pair.one), report.names(&pair.other)) else {
            continue;
        };
        let [old, too, now, then] = [one.0, other.0, one.1, other.1].map(printable);
        text += &format!("- {old} and {too} {what}: {now} and {then}\n");
    }
    if pairs.len() > LISTED {
        let more = pairs.len() - LISTED;
        text += &format!("- and {more} more pairs that {what}; --json lists them\n");
    }
    text
}

fn advice(report: &SwapReport) -> String {
    let mut text = String::new();
    if report.difference > FAR {
        text += "- the palette has no near beads for much of this chart: a new chart of its \
                 picture will look better\n";
    }
    if !report.proven {
        text += "- not every choice was tried: a slightly better one may exist\n";
    }
    text
}
