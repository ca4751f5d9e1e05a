//! Pairs that are hard to tell apart when worn, for each kind of sight.

use super::printable;
use crate::colour::Sight;
use crate::report::palette::{PairReport, PaletteReport, SightReport};
use crate::units::{decimals, grouped};
use crate::vision::WORN;
use crate::vision::single_bead::MOST_COLOURS;

/// A line for each kind of sight: how many pairs, and the closest.
pub(super) fn text(report: &PaletteReport) -> String {
    if report.below <= 0.0 {
        return String::new();
    }
    let distance = format!("{:.0} mm", WORN.get());
    let Some(worn) = &report.worn else {
        return format!(
            "\nWorn, at {distance}: not compared for more than {} colours.\n",
            grouped(MOST_COLOURS)
        );
    };
    let mut text = format!(
        "\nHard to tell apart when worn, as single beads of size 11 at {distance}, below {}:\n",
        decimals(report.below, 3)
    );
    for sight in &worn.sights {
        let (count, other) = if sight.kind == Sight::Full {
            (sight.pairs_count, "")
        } else {
            (sight.lost_count, "other ")
        };
        let what = match count {
            0 => format!("no {other}pairs"),
            1 => format!("1 {other}pair: {}", named(sight, count)),
            _ => format!("{} {other}pairs: {}", grouped(count), named(sight, count)),
        };
        text += &format!("  {:<25}  {what}\n", words(sight.kind));
    }
    text
}

fn words(sight: Sight) -> &'static str {
    match sight {
        Sight::Full => "full colour sight",
        Sight::Protan => "red-weak sight (protan)",
        Sight::Deutan => "green-weak sight (deutan)",
        Sight::Tritan => "blue-weak sight (tritan)",
    }
}

/// The closest pairs by name.
fn named(sight: &SightReport, count: usize) -> String {
    let pair = |pair: &PairReport| {
        let (one, other) = (printable(&pair.one_name), printable(&pair.other_name));
        format!("{one} and {other} ({:.1})", pair.difference)
    };
    let mut words: Vec<String> = sight.named.iter().map(pair).collect();
    if count > words.len() {
        words.push("..".to_string());
    }
    words.join(", ")
}
