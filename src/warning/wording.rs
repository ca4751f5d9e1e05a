//! The one wording of each warning; options stand in it as `[--name value]`.

use super::layers;
use super::{ColourChange, HARDLY, Warning};
use crate::lattice::MOST_ROWS;
use crate::units::{Mm, decimals, grouped};
use crate::words::{listed, printable};

/// The sentence, with its options in brackets.
pub(super) fn wording(warning: &Warning) -> String {
    about_reading(warning)
        .or_else(|| about_detail(warning))
        .or_else(|| about_picture(warning))
        .or_else(|| layers::about_layers(warning))
        .or_else(|| about_colours(warning))
        .or_else(|| about_fit(warning))
        .or_else(|| about_gauge(warning))
        .or_else(|| about_sizes(warning))
        .or_else(|| about_files(warning))
        .or_else(|| super::kit::about_kit(warning))
        .unwrap_or_else(|| format!("{warning:?}"))
}

fn about_reading(warning: &Warning) -> Option<String> {
    Some(match warning {
        Warning::ReadAs {
            ground,
            flat_colours,
            same_sides,
            same_ends,
            repeats,
            kept,
            chosen,
        } => {
            let what = what_it_is(ground, *flat_colours, *repeats);
            let same = match (same_sides, same_ends) {
                (true, true) => ", the same left and right and at both ends",
                (true, false) => ", the same left and right",
                (false, true) => ", the same at both ends",
                (false, false) => "",
            };
            let part = kept.map_or(String::new(), |kept| {
                format!(
                    ", of which the {} with most detail and colours is on the band",
                    percent(kept)
                )
            });
            format!(
                "read as {what}{same}{part}: {}; [--match nearest] turns this off",
                options(chosen)
            )
        }
        Warning::RowsForRepeats {
            wanted,
            wanted_inside,
            rows,
            inside,
            repeats,
        } => format!(
            "{rows} rows in place of {wanted}, so that the pattern repeats {repeats} times evenly: \
             {} mm inside in place of {}; [--place round] keeps {wanted}",
            decimals(inside.get(), 2),
            decimals(wanted_inside.get(), 2)
        ),
        _ => return None,
    })
}

fn about_detail(warning: &Warning) -> Option<String> {
    Some(match warning {
        Warning::ShapesTooSmall {
            share,
            larger,
            columns,
        } => format!(
            "the shapes of this picture are too small for the beads, and it will hardly be \
             recognised ({} of its light and dark is in shapes several beads wide): show a part {} \
             as wide with [--crop], choose a picture of larger shapes, or weave a panel of \
             {columns} columns or more",
            percent(*share),
            percent(1.0 / larger)
        ),
        Warning::TooFine {
            parts,
            columns,
            whole_from,
        } => {
            let many = if *parts == 1 {
                "1 part of the drawing is".to_string()
            } else {
                format!("{parts} parts of the drawing are")
            };
            let whole = whole_from.map_or(String::new(), |from| {
                format!("; whole from [--columns {from}]")
            });
            format!("{many} too fine for {columns} columns{whole}")
        }
        _ => return None,
    })
}

/// A picture in a few words.
fn what_it_is(ground: &str, flat_colours: Option<usize>, repeats: Option<u32>) -> String {
    let tone = match flat_colours {
        Some(1) => "a drawing in 1 flat colour".to_string(),
        Some(colours) => format!("a drawing in {colours} flat colours"),
        None => "a picture of continuous tone".to_string(),
    };
    let ground = match ground {
        "clear" => " on a clear ground",
        "plain" => " on a plain ground",
        _ => "",
    };
    match repeats {
        Some(1) => format!("{tone}{ground} whose ends meet"),
        Some(repeats) => format!("{tone}{ground} that repeats {repeats} times"),
        None => format!("{tone}{ground}"),
    }
}

fn options(chosen: &[(String, String)]) -> String {
    let written: Vec<String> = chosen
        .iter()
        .map(|(name, value)| {
            if value.is_empty() {
                format!("[--{name}]")
            } else {
                format!("[--{name} {value}]")
            }
        })
        .collect();
    if written.is_empty() {
        "nothing was left to choose".to_string()
    } else {
        written.join(", ")
    }
}

fn about_picture(warning: &Warning) -> Option<String> {
    Some(match warning {
        Warning::Turned {
            degrees,
            kept,
            upright,
        } if kept > upright => format!(
            "rotated {degrees}° clockwise: this keeps {} of the picture, upright would keep {}; \
             [--rotate 0] leaves it upright",
            percent(*kept),
            percent(*upright)
        ),
        Warning::Turned { degrees, .. } => format!(
            "rotated {degrees}° clockwise, which fills more of the band; [--rotate 0] leaves it \
             upright"
        ),
        Warning::Cropped { kept } => format!(
            "{} of the picture is on the band; [--crop] chooses which part, [--scaling contain] \
             keeps all of it",
            percent(*kept)
        ),
        Warning::MostlyClear { clear } => format!(
            "{} of the band shows only ground; [--place motif] sets the whole picture on it once",
            percent(*clear)
        ),
        Warning::GroundUnseen => {
            "the picture covers the whole band, so the ground does not show".to_string()
        }
        Warning::GroundChosen { name } => {
            format!("the ground is {name}; [--ground] sets another colour")
        }
        Warning::UnevenRepeats {
            rows,
            repeats,
            short,
        } => uneven_repeats(*rows, *repeats, *short),
        _ => return None,
    })
}

fn uneven_repeats(rows: u32, repeats: u32, short: u32) -> String {
    let step = 2 * repeats;
    let below = rows / step * step;
    let above = (below + step).min(MOST_ROWS / step * step);
    format!(
        "{rows} rows do not divide evenly into {repeats} repeats: some have {short} rows and some \
         {}; [--rows {below}] or [--rows {above}] would",
        short + 2
    )
}

fn about_colours(warning: &Warning) -> Option<String> {
    Some(match warning {
        Warning::FewerColours { asked, there } => format!(
            "up to {} colours allowed, but only {} to choose from",
            grouped(*asked),
            grouped(*there)
        ),
        Warning::KeptUnused { name } => {
            format!("{name} was to be kept, but no bead comes nearest to it")
        }
        Warning::NoGrams => "the palette has no grams, so every colour counts as enough; add a \
                             grams column to it"
            .to_string(),
        Warning::FromStock { beads, names } => {
            let beads = match beads {
                1 => "1 bead takes".to_string(),
                more => format!("{} beads take", grouped(*more)),
            };
            format!(
                "{beads} another colour, because there is not enough {}",
                short(names)
            )
        }
        Warning::KeptToStock { names } => format!(
            "the band uses only the beads in stock; the picture would need more {}",
            short(names)
        ),
        Warning::StockGap { gap: Some(gap) } => format!(
            "mirrored or repeated beads stay together: with these beads a mean difference up to \
             {} smaller may be possible",
            decimals(gap.max(0.0001), 4)
        ),
        Warning::StockGap { gap: None } => "too many different bead colours to solve exactly; \
                                            the result may be slightly short of the best"
            .to_string(),
        Warning::HardToTell {
            one,
            other,
            difference,
        } => format!(
            "{one} and {other} are hard to tell apart (difference {})",
            decimals(*difference, 1)
        ),
        _ => return None,
    })
}

fn about_fit(warning: &Warning) -> Option<String> {
    Some(match warning {
        Warning::WideBand {
            width,
            us_sizes,
            size,
            rows: (now, more),
        } => {
            let wide = format!(
                "a band of {width} feels tighter than a narrow one: consider {} up ({size})",
                us_sizes_in_words(*us_sizes)
            );
            if now == more {
                format!("{wide}: still {more} rows; the next count is {}", more + 2)
            } else {
                format!("{wide}: {more} rows")
            }
        }
        Warning::SmallerCount { size, rows } => format!(
            "{} is the smaller of the two row counts nearest to {size}: a beaded band stretches \
             with wear; [--prefer larger] takes {}",
            rows.0, rows.1
        ),
        Warning::HardlyLarger { size, rows, over } => format!(
            "{rows} rows are {over} larger than {size}, which is hardly felt: up to {HARDLY} \
             counts as fitting"
        ),
        Warning::MeasureFinger => "measure the finger at the end of the day, never with cold \
                                   hands; a sizer about 3 mm wide reads like a narrow band"
            .to_string(),
        Warning::TryOn { first } => format!(
            "try the strip on at row {first}, its ends just meeting round the finger and going \
             over the knuckle; then add or leave out two plain rows at a time, and of two counts \
             that go on take the snugger; if a finger swells, take the ring off early, and cut \
             its thread rather than force it"
        ),
        _ => return None,
    })
}

fn us_sizes_in_words(us_sizes: f64) -> String {
    match us_sizes {
        0.25 => "a quarter of a US size".to_string(),
        0.5 => "half a US size".to_string(),
        0.75 => "three quarters of a US size".to_string(),
        1.0 => "a whole US size".to_string(),
        other => format!("{} US sizes", decimals(other, 2)),
    }
}

fn about_gauge(warning: &Warning) -> Option<String> {
    Some(match warning {
        Warning::NoGauge { rows, spacing } if rows.0 == rows.1 => format!(
            "no gauge set: an average hand is assumed, {spacing} from bead to bead (common \
             practice, no source); measure a swatch and set [--swatch ROWS=MM]"
        ),
        Warning::NoGauge { rows, spacing } => format!(
            "no gauge set: an average hand is assumed, {spacing} from bead to bead (common \
             practice, no source); a tight hand needs {} rows, a loose one {}; measure a swatch \
             and set [--swatch ROWS=MM]",
            rows.1, rows.0
        ),
        Warning::UnsureBead {
            bead,
            length,
            diameter,
            hole,
        } => format!(
            "{bead} beads are taken as {length} long and {diameter} across, with a hole of {hole}: \
             common practice, no source; rows and grams are less sure than for 11/0, so weave a \
             swatch, and measure ten of your beads in a line"
        ),
        Warning::GaugeForOtherBead { bead } => {
            format!("the gauge file has no gauge for beads of size {bead}")
        }
        Warning::ShortSwatch { misread, rows } => format!(
            "the swatch is short: misread by {misread}, it gives two rows more or less; measure \
             {rows} rows to be sure"
        ),
        _ => return None,
    })
}

fn about_sizes(warning: &Warning) -> Option<String> {
    Some(match warning {
        Warning::NearestRows { size, rows, over } => format!(
            "{size}: {} rows would fit; the nearest count that keeps the design is {}, {} {} \
             inside",
            rows.0,
            rows.1,
            Mm::new(over.get().abs()),
            if over.get() > 0.0 {
                "larger"
            } else {
                "smaller"
            }
        ),
        Warning::SameRows { sizes, rows } => {
            format!("{} come out the same: {rows} rows", all(sizes))
        }
        Warning::MotifColoursChange { colours } => {
            let colours: Vec<String> = colours.iter().map(colour_change).collect();
            format!(
                "adding or removing rows changes colours that may not be the ground: {}; look at \
                 the charts before you weave",
                colours.join(", ")
            )
        }
        Warning::SameBeadInWay { way, colours, bead } => {
            let (way, bead) = (printable(way), printable(bead));
            let colours: Vec<String> = colours.iter().map(|name| printable(name)).collect();
            format!(
                "in the colourway '{way}' {} of the design are the same bead, {bead}; give \
                 them different beads in the table if they should stay apart",
                listed(&colours)
            )
        }
        Warning::SizeLeftOut { reason } => {
            format!("{reason}; this size is not in the table of sizes")
        }
        _ => return None,
    })
}

/// `gull white (48 beads now, 44 to 57 in these sizes)`.
fn colour_change(change: &ColourChange) -> String {
    let ColourChange {
        name,
        now,
        fewest,
        most,
    } = change;
    let sizes = if fewest == most {
        grouped(*most)
    } else {
        format!("{} to {}", grouped(*fewest), grouped(*most))
    };
    format!(
        "{name} ({} beads now, {sizes} in these sizes)",
        grouped(*now)
    )
}

fn about_files(warning: &Warning) -> Option<String> {
    Some(match warning {
        Warning::LinkedPicture { name } => format!(
            "the SVG shows '{name}' from another file, which is not read; embed the picture in \
             the drawing"
        ),
        Warning::ProfileIgnored { reason } => format!(
            "the picture's colour profile was not used ({reason}); its colours are read as sRGB"
        ),
        Warning::NoLetters { letters } => {
            let shown: Vec<String> = letters.chars().take(20).map(String::from).collect();
            let more = match letters.chars().count() - shown.len() {
                0 => String::new(),
                more => format!(" and {more} more"),
            };
            format!(
                "the typeface has Latin, Greek and Cyrillic letters only: □ is printed in place \
                 of {}{more}",
                shown.join(" ")
            )
        }
        Warning::OtherPicture { name } => format!(
            "this is not the picture that the chart was made from ('{name}'), or it has changed \
             since"
        ),
        Warning::FormulaCells { cells } => format!(
            "{} in a spreadsheet would be a formula: an apostrophe stands before it",
            short(&cells.iter().map(|cell| printable(cell)).collect::<Vec<_>>())
        ),
        Warning::BesideCrisp { crisp } => format!(
            "measured against the picture made crisp ({}); without [--crisp] it is measured \
             against the picture as it is",
            decimals(*crisp, 6)
        ),
        _ => return None,
    })
}

fn percent(share: f64) -> String {
    format!("{:.0}%", share * 100.0)
}

/// `us5, us6 and us7`.
fn all(names: &[String]) -> String {
    match names {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        names => names.concat(),
    }
}

/// The first two names, and how many more there are.
fn short(names: &[String]) -> String {
    match names {
        [] => "of some".to_string(),
        [one] => one.clone(),
        [one, other] => format!("{one} and {other}"),
        [one, two, rest @ ..] => format!("{one}, {two} and {} more", rest.len()),
    }
}
