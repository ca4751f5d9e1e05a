//! The one wording of each finding, and what to do about it.

use super::Checked;
use crate::chart::Chart;
use crate::colour::Sight;
use crate::lattice::Row;
use crate::palette::Pair;
use crate::units::{Mm, decimals, grouped, to_cut};
use crate::vision::WORN;
use crate::warning::Warning;
use crate::weave::check::{Finding, is_one_piece};
use crate::weave::kit::Missing;
use crate::words::printable;

/// Places that are named.
const NAMED: usize = 5;
/// Pairs of colours that are named.
const PAIRS: usize = 3;
/// Rows that are named.
const ROWS: usize = 8;
/// What makes a bead a stray one.
const STRAY: &str = "with none of the same colour touching or next in the row";

/// What was found, and where.
pub(super) fn text(checked: Checked, finding: &Finding) -> String {
    let chart = checked.chart;
    match finding {
        Finding::Seam { step, limit } => format!(
            "the seam breaks the motif: beads that touch across it, rows {} and 1, differ by {} in \
             the mean, and 19 of 20 rows inside from the next by {} at most (CIEDE2000)",
            chart.lattice.rows(),
            decimals(*step, 1),
            decimals(*limit, 1)
        ),
        Finding::Repeat { period, .. } => broken_repeat(chart, *period),
        Finding::Alike(pair) => Warning::HardToTell {
            one: name(chart, pair.one),
            other: name(chart, pair.other),
            difference: pair.difference,
        }
        .to_string(),
        Finding::AlikeWorn { sight, pairs } => alike_worn(chart, *sight, pairs),
        Finding::Few { colour, beads } => format!(
            "{} has only {}: {}",
            name(chart, *colour),
            counted(beads.len(), "bead"),
            places(chart, beads)
        ),
        Finding::Stray { beads, many, .. } => stray(chart, beads, *many),
        Finding::Busy { rows, median, .. } => busy(rows, *median),
        Finding::Short {
            colour,
            needed,
            short,
        } => format!(
            "{}: {} short ({} needed, before spares)",
            name(chart, *colour),
            counted(*short as usize, "bead"),
            grouped(*needed as usize)
        ),
        Finding::NotInPalette(missing) => not_in_palette(checked, missing),
        Finding::Long { length, limit, .. } => format!(
            "the thread is {} long, without its tail, and {} is comfortable at a time",
            to_cut(*length),
            to_cut(*limit)
        ),
        Finding::Full {
            beads,
            passes,
            limit,
            needle,
        } => format!(
            "{} full: the thread goes through {passes} times at most, and needle {} goes through \
             {limit} times: {}",
            match beads.len() {
                1 => "1 hole gets too".to_string(),
                many => format!("{} holes get too", grouped(many)),
            },
            needle.name,
            places(chart, beads)
        ),
    }
}

/// The closest pairs by name.
fn alike_worn(chart: &Chart, sight: Sight, pairs: &[Pair]) -> String {
    let named: Vec<String> = pairs
        .iter()
        .take(PAIRS)
        .map(|pair| {
            let (one, other) = (name(chart, pair.one), name(chart, pair.other));
            format!("{one} and {other} ({})", decimals(pair.difference, 1))
        })
        .collect();
    let more = match pairs.len() - named.len() {
        0 => String::new(),
        more => format!("; and {} more", counted(more, "pair")),
    };
    let who = match sight {
        Sight::Full => "",
        Sight::Protan => " to red-weak sight (protan)",
        Sight::Deutan => " to green-weak sight (deutan)",
        Sight::Tritan => " to blue-weak sight (tritan)",
    };
    format!(
        "worn, {:.0} mm from the eye, single beads are hard to tell apart{who}: {}{more}",
        WORN.get(),
        named.join("; ")
    )
}

fn repeat(fitting: &[u32]) -> String {
    let all: Vec<String> = fitting
        .iter()
        .map(|count| grouped(*count as usize))
        .collect();
    let (last, first) = match all.split_last() {
        Some((last, first)) if !first.is_empty() => (last, first.join(", ") + " or "),
        Some((last, _)) => (last, String::new()),
        None => return String::new(),
    };
    format!(
        "make it {first}{last} rows, or change the length of a repeat: [upbead fit] says what \
         size a row count makes"
    )
}

fn stray(chart: &Chart, beads: &[usize], many: bool) -> String {
    let all = chart.beads.len();
    if many {
        return format!(
            "many beads are stray: {} of {}, {:.0}%, {STRAY}",
            grouped(beads.len()),
            grouped(all),
            100.0 * beads.len() as f64 / all as f64
        );
    }
    format!(
        "{}, {STRAY}: {}",
        counted(beads.len(), "stray bead"),
        places(chart, beads)
    )
}

fn not_in_palette(checked: Checked, missing: &Missing) -> String {
    let shade = &checked.chart.colours[missing.colour];
    let nearest = checked.palette.map(|palette| {
        let near = &palette.colours()[missing.nearest];
        format!(
            "; the nearest is {} ({}), which differs by {}",
            printable(&near.name),
            printable(&near.code),
            decimals(missing.difference, 1)
        )
    });
    format!(
        "your palette has no {} ({}){}",
        printable(&shade.name),
        printable(&shade.code),
        nearest.unwrap_or_default()
    )
}

fn busy(rows: &[(Row, usize)], median: usize) -> String {
    let most = rows.first().map_or(0, |&(_, changes)| changes);
    let mut sorted: Vec<Row> = rows.iter().map(|&(row, _)| row).collect();
    sorted.sort();
    let (verb, up_to) = match rows.len() {
        1 => ("changes", ""),
        _ => ("change", "up to "),
    };
    format!(
        "{} {verb} colour {up_to}{most} times; half of all rows change at most {}",
        row_list(&sorted),
        match median {
            1 => "once".to_string(),
            times => format!("{times} times"),
        }
    )
}

/// What to do about it; options stand in it as `[--name value]`.
pub(super) fn hint(chart: &Chart, finding: &Finding) -> String {
    match finding {
        Finding::Seam { .. } => "make the picture's ends match: chart another part of it with \
            [--crop], mirror it with [--mirror rows], or set it on a ground \
            with [--place motif]"
            .to_string(),
        Finding::Repeat { fitting, .. } => repeat(fitting),
        Finding::Alike(pair) => alike(chart, pair),
        Finding::AlikeWorn { .. } => "where a shape depends on them, take a lighter or a darker \
            colour for one: every kind of sight tells light from dark"
            .to_string(),
        Finding::Few { colour, .. } => format!(
            "if you can do without, chart it again with [--without {}], or change the beads by \
             hand",
            code(chart, *colour)
        ),
        Finding::Stray {
            beads,
            many,
            blended,
        } => about_stray(beads.len(), *many, *blended),
        Finding::Busy { .. } => "change beads by hand for fewer colour changes, or lay out the \
            beads of these rows in order before you pick them up"
            .to_string(),
        Finding::Short { .. } => "buy some; [upbead kit] says how many grams".to_string(),
        Finding::NotInPalette(_) => {
            "buy it, or chart the picture again with your palette".to_string()
        }
        Finding::Long {
            length,
            limit,
            joins,
            piece,
        } => match joins[..] {
            [] => without_joins(*length, *limit),
            _ => format!(
                "cut {} pieces of {}, and begin a new one after the last bead of {}; or set \
                 [--length] to what you are used to",
                joins.len() + 1,
                to_cut(*piece),
                row_list(joins)
            ),
        },
        Finding::Full { .. } => "take a thinner thread, or beads with larger holes; never force a \
            needle, for a full bead breaks"
            .to_string(),
    }
}

fn broken_repeat(chart: &Chart, period: u32) -> String {
    format!(
        "the pattern repeats every {period} rows, and {} rows are not a whole number of repeats: \
         the seam breaks it",
        chart.lattice.rows()
    )
}

fn alike(chart: &Chart, pair: &Pair) -> String {
    let counts = chart.counts();
    let rarer = if counts[pair.one] < counts[pair.other] {
        pair.one
    } else {
        pair.other
    };
    format!(
        "chart it again with [--without {}], or keep the two well apart on the mat",
        code(chart, rarer)
    )
}

fn about_stray(beads: usize, many: bool, blended: bool) -> String {
    if many && blended {
        return "edges blend into colours between: if that is not meant, chart it again with \
                [--crisp 1], or with fewer [--colours]"
            .to_string();
    }
    if many {
        return "if that is not meant, chart it again with [--dither none] or fewer [--colours]"
            .to_string();
    }
    let them = match beads {
        1 => "it is not meant, change it by hand",
        _ => "they are not meant, change them by hand",
    };
    format!("if {them}, on the desk or in the chart's file")
}

/// A thread that one piece still does for, or of which a row alone takes more than is comfortable.
fn without_joins(length: Mm, limit: Mm) -> String {
    if is_one_piece(length, limit) {
        return "one piece still does: draw it through with care, and undo loops before you pull; \
                or set [--length] to what you are used to"
            .to_string();
    }
    "a row alone takes more: begin a new thread inside the row, wherever one runs out".to_string()
}

fn name(chart: &Chart, colour: usize) -> String {
    printable(&chart.colours[colour].name)
}

fn code(chart: &Chart, colour: usize) -> String {
    printable(&chart.colours[colour].code)
}

fn counted(count: usize, thing: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{} {thing}{plural}", grouped(count))
}

/// `row 3, column 5; row 7, column 1`, and how many more.
fn places(chart: &Chart, beads: &[usize]) -> String {
    let named: Vec<String> = beads
        .iter()
        .take(NAMED)
        .map(|&bead| {
            let (row, column) = chart.lattice.position(bead);
            format!("row {}, column {}", row.get(), column.get())
        })
        .collect();
    let mut text = named.join("; ");
    if beads.len() > NAMED {
        text += &format!("; and {} more", grouped(beads.len() - NAMED));
    }
    text
}

/// `row 3`, `rows 3, 5 and 9`, `rows 3, 5, .. and 12 more`.
fn row_list(rows: &[Row]) -> String {
    let mut named: Vec<String> = rows
        .iter()
        .take(ROWS)
        .map(|row| row.get().to_string())
        .collect();
    if rows.len() > ROWS {
        named.push(format!("{} more", grouped(rows.len() - ROWS)));
    }
    match &named[..] {
        [] => String::new(),
        [one] => format!("row {one}"),
        [first @ .., last] => format!("rows {} and {last}", first.join(", ")),
    }
}
