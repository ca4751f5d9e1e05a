//! A chart in other colours: each substitution, and what became of the pairs, in words and as JSON.

use super::palette::{aligned, printable};
use crate::chart::Chart;
use crate::palette::{Bounds, Palette};
use crate::quantize::swap::{Pair, Swapped};
use crate::units::{decimals, grouped};
use serde_json::{Value, json};
use std::path::Path;

/// Pairs that the text lists.
const LISTED: usize = 6;
/// Mean difference from which another chart is advised. Ours: hues then change throughout.
const FAR: f64 = 10.0;

/// What is told of.
pub struct Answer<'a> {
    /// Where the new chart went; none is standard output.
    pub file: Option<&'a Path>,
    /// The chart as it was.
    pub old: &'a Chart,
    /// The other palette.
    pub palette: &'a Palette,
    /// The chart as it is now.
    pub swapped: &'a Swapped,
    /// How many beads of each colour of the palette there are.
    pub bounds: &'a Bounds,
}

impl Answer<'_> {
    /// Beads that are lacking of a substitution's colour.
    fn lacking(&self, to: usize, beads: usize) -> u64 {
        (beads as u64).saturating_sub(self.bounds.most(to))
    }

    fn names(&self, pair: &Pair) -> [(&str, &str); 2] {
        [pair.one, pair.other].map(|at| {
            let to = self.swapped.substitutions.iter().find(|one| one.from == at);
            let now = to.map_or("", |one| &self.palette.colours()[one.to].name);
            (self.old.colours[at].name.as_str(), now)
        })
    }
}

/// For a person: a line a colour, then what was kept and what was not.
pub fn text(answer: &Answer) -> String {
    let swapped = answer.swapped;
    let file = answer.file.map_or("chart".into(), Path::to_string_lossy);
    let count = swapped.substitutions.len();
    let mut text = format!(
        "{file}: {} in {}; mean difference from the old chart {}\n\n",
        match count {
            1 => "1 colour".to_string(),
            more => format!("{} colours", grouped(more)),
        },
        printable(&answer.palette.name),
        decimals(swapped.difference, 1)
    );
    for line in table(answer) {
        text += &line;
        text.push('\n');
    }
    text.push('\n');
    text += &kept(answer);
    text
}

fn table(answer: &Answer) -> Vec<String> {
    let of = |head: &str, cell: &dyn Fn(usize) -> String| -> Vec<String> {
        let cells = (0..answer.swapped.substitutions.len()).map(cell);
        std::iter::once(head.to_string()).chain(cells).collect()
    };
    let one = |at: usize| &answer.swapped.substitutions[at];
    let old = |at: usize| &answer.old.colours[one(at).from];
    let new = |at: usize| &answer.palette.colours()[one(at).to];
    let lacking = |at: usize| answer.lacking(one(at).to, one(at).beads);
    let mut columns = vec![
        (true, of("beads", &|at| grouped(one(at).beads))),
        (false, of("colour", &|at| printable(&old(at).code))),
        (false, of("", &|at| printable(&old(at).name))),
        (false, of("becomes", &|at| printable(&new(at).code))),
        (false, of("", &|at| printable(&new(at).name))),
        (
            true,
            of("difference", &|at| format!("{:.1}", one(at).difference)),
        ),
    ];
    if (0..answer.swapped.substitutions.len()).any(|at| lacking(at) > 0) {
        let cell = |at: usize| match lacking(at) {
            0 => String::new(),
            beads => grouped(beads as usize),
        };
        columns.push((true, of("lacking", &cell)));
    }
    aligned(columns)
}

/// What was kept, and each pair that was not.
fn kept(answer: &Answer) -> String {
    let swapped = answer.swapped;
    let of = |all: usize, lost: usize| match (all, lost) {
        (0, _) => "no pairs".to_string(),
        (1, 0) => "the one pair".to_string(),
        (all, 0) => format!("all {} pairs", grouped(all)),
        (all, lost) => format!("{} of {} pairs", grouped(all - lost), grouped(all)),
    };
    let mut text = format!(
        "Told apart as before: {}\nLighter and darker as before: {}\n",
        of(swapped.apart, swapped.together.len()),
        of(swapped.ordered, swapped.turned.len())
    );
    let lists = [
        (&swapped.together, "will hardly be told apart"),
        (&swapped.turned, "change places in lightness"),
    ];
    for (pairs, what) in lists {
        for pair in pairs.iter().take(LISTED) {
            let [(one, now), (other, too)] = answer
                .names(pair)
                .map(|(a, b)| (printable(a), printable(b)));
            text += &format!("- {one} and {other} {what}: {now} and {too}\n");
        }
        if pairs.len() > LISTED {
            text += &format!(
                "- and {} more pairs that {what}; --json lists them\n",
                pairs.len() - LISTED
            );
        }
    }
    if swapped.difference > FAR {
        text += "- the palette has no near beads for much of this chart: a new chart of its picture will look better\n";
    }
    if !swapped.proven {
        text += "- not every choice was weighed: a slightly better one may exist\n";
    }
    text
}

/// For other programs: `chart`, `palette`, `beads`, `difference`, `substitutions` in the old chart's order, `pairs` and `proven`.
pub fn json(answer: &Answer) -> Value {
    let swapped = answer.swapped;
    let rounded = |number: f64| (number * 1000.0).round() / 1000.0;
    let substitutions: Vec<Value> = swapped
        .substitutions
        .iter()
        .map(|one| {
            let (old, new) = (
                &answer.old.colours[one.from],
                &answer.palette.colours()[one.to],
            );
            json!({
                "from": { "code": old.code, "name": old.name, "hex": crate::colour::hex(old.srgb) },
                "to": { "code": new.code, "name": new.name, "hex": crate::colour::hex(new.srgb) },
                "difference": rounded(one.difference),
                "beads": one.beads,
                "lacking": answer.lacking(one.to, one.beads),
            })
        })
        .collect();
    let pairs = |pairs: &[Pair]| -> Vec<Value> {
        let code = |at: usize| answer.old.colours[at].code.as_str();
        pairs
            .iter()
            .map(|pair| json!({ "one": code(pair.one), "other": code(pair.other), "difference": rounded(pair.difference) }))
            .collect()
    };
    json!({
        "chart": answer.file.map(Path::to_string_lossy),
        "palette": answer.palette.name,
        "beads": answer.old.lattice.len(),
        "difference": rounded(swapped.difference),
        "substitutions": substitutions,
        "apart": swapped.apart,
        "together": pairs(&swapped.together),
        "ordered": swapped.ordered,
        "turned": pairs(&swapped.turned),
        "proven": swapped.proven,
    })
}
