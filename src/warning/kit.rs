//! The wording of what to know before a kit is packed. A booklet prints it too, so that it names
//! no option.

use super::Warning;
use crate::units::{decimals, grouped, to_cut, whole_mm};
use crate::words::printable;

/// Most colours that one warning names.
const MOST_NAMED: usize = 5;

/// The sentence, if it is about a kit.
pub(super) fn about_kit(warning: &Warning) -> Option<String> {
    Some(match warning {
        Warning::OtherBead {
            code,
            chart,
            palette,
            difference,
        } => format!(
            "{} is {chart} in the chart and {palette} in the palette, difference {difference:.1}: \
             check that it is the same bead",
            printable(code)
        ),
        Warning::MoreOtherBeads { colours: 1 } => {
            "1 more colour looks different in the chart and in the palette: check it too"
                .to_string()
        }
        Warning::MoreOtherBeads { colours } => format!(
            "{} more colours look different in the chart and in the palette: check them too",
            grouped(*colours)
        ),
        Warning::NoPrice { names } => format!(
            "the palette has no price for {}; the sums leave them out",
            first_names(names)
        ),
        Warning::PerGramEstimated { .. } => format!(
            "{}: weigh 100 of yours, and write per_gram into your palette",
            estimated(warning)?
        ),
        Warning::TailLengthened { asked, tail } => format!(
            "a tail of {asked} is too short to weave in; the thread includes {}",
            whole_mm(*tail).unwrap_or_default()
        ),
        Warning::ThreadJoined {
            joins,
            closed,
            extra,
            comfortable,
        } => format!(
            "no more than about {:.1} m of thread is comfortable to sew with; the thread of a {} \
             includes {} for {}",
            comfortable.get() / 1000.0,
            if *closed { "ring" } else { "strip" },
            to_cut(*extra),
            match joins {
                1 => "1 join".to_string(),
                many => format!("{} joins", grouped(*many as usize)),
            },
        ),
        Warning::HoleTooFull { passes } => format!(
            "no needle goes through the fullest hole on pass {passes}: use a finer thread, and \
             never force a needle; a bead that is forced breaks"
        ),
        _ => return None,
    })
}

/// As a booklet says it, where that differs: its reader may have no palette.
pub(super) fn instruction(warning: &Warning) -> Option<String> {
    Some(format!(
        "{}: weigh 100 of yours to be sure",
        estimated(warning)?
    ))
}

/// How the beads in a gram came about.
fn estimated(warning: &Warning) -> Option<String> {
    let Warning::PerGramEstimated {
        bead,
        per_gram,
        computed,
    } = warning
    else {
        return None;
    };
    let per_gram = decimals(*per_gram, 0);
    Some(if *computed {
        format!("{per_gram} beads a gram is computed from the glass of a {bead} bead")
    } else {
        format!("{per_gram} beads a gram is computed from measures of {bead} without a source")
    })
}

/// The first names, and how many more there are.
fn first_names(names: &[String]) -> String {
    let named: Vec<String> = names
        .iter()
        .take(MOST_NAMED)
        .map(|name| printable(name))
        .collect();
    match names.len() - named.len() {
        0 => named.join(", "),
        more => format!("{} and {} more", named.join(", "), grouped(more)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Mm;
    use crate::words::Part;

    fn all() -> Vec<Warning> {
        let text = |text: &str| text.to_string();
        vec![
            Warning::OtherBead {
                code: text("quay-01"),
                chart: text("FAFAF6"),
                palette: text("BBBEC1"),
                difference: 14.2,
            },
            Warning::MoreOtherBeads { colours: 2 },
            Warning::NoPrice {
                names: ["a", "b", "c", "d", "e", "f"].map(text).to_vec(),
            },
            Warning::PerGramEstimated {
                bead: text("15/0"),
                per_gram: 400.0,
                computed: false,
            },
            Warning::TailLengthened {
                asked: Mm::new(10.0),
                tail: Mm::new(72.13),
            },
            Warning::ThreadJoined {
                joins: 2,
                closed: true,
                extra: Mm::new(480.2),
                comfortable: Mm::new(1400.0),
            },
            Warning::HoleTooFull { passes: 20 },
        ]
    }

    #[test]
    fn a_booklet_is_told_what_to_do_without_options() {
        for warning in all() {
            let parts = warning.sentence().parts().to_vec();
            assert!(matches!(parts[..], [Part::Text(_)]), "{parts:?}");
            let printed = warning.instruction();
            assert!(
                !printed.contains("--") && !printed.contains("per_gram"),
                "{printed}"
            );
        }
    }

    #[test]
    fn the_tail_is_the_one_that_the_thread_includes() {
        assert_eq!(
            all()[4].to_string(),
            "a tail of 10 mm is too short to weave in; the thread includes 72 mm"
        );
        let names = all()[2].to_string();
        assert!(names.contains("for a, b, c, d, e and 1 more; "), "{names}");
    }
}
