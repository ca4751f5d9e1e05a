//! What is said of the layers of a design.

use super::Warning;
use crate::units::decimals;
use crate::words::shown;

/// The sentence, with its options in brackets.
pub(super) fn about_layers(warning: &Warning) -> Option<String> {
    Some(match warning {
        Warning::LayerPlaced {
            layer,
            columns,
            rows,
            repeats,
        } => placed(layer, columns, *rows, *repeats),
        Warning::LayerHidden { layer } => format!(
            "nothing of the {} shows: the layers above it cover all of it; move it up, or take it \
             out",
            shown(layer)
        ),
        Warning::LettersSet { .. } => letters_set(warning)?,
        Warning::LayersOfTones { colours, simplify } => of_tones(*colours, *simplify),
        Warning::LettersFaint {
            text,
            ink,
            contrast,
        } => format!(
            "letters {}: {} has a contrast of {} to 1 with the beads around, low for reading; \
             choose another colour with [--ink CODE], or 'ink' in a design file",
            shown(text),
            shown(ink),
            decimals(*contrast, 1)
        ),
        Warning::LayerTooFine { layer, parts } => {
            let many = match parts {
                1 => "1 part".to_string(),
                _ => format!("{parts} parts"),
            };
            format!(
                "{many} of the {} would need more columns: lost or broken at this size",
                shown(layer)
            )
        }
        Warning::RowsForBorder {
            wanted,
            rows,
            inside,
        } => format!(
            "{rows} rows in place of {wanted}, so that the border repeats evenly: {} mm inside; \
             [--rows {wanted}] and 'repeats' in a design file keep {wanted}",
            decimals(inside.get(), 2)
        ),
        _ => return None,
    })
}

fn of_tones(colours: Option<usize>, simplify: Option<f64>) -> String {
    let colours = colours.map(|most| format!("[--colours {most}]"));
    let areas = simplify.map(|amount| format!("[--simplify {}]", decimals(amount, 1)));
    let chosen: Vec<String> = colours.into_iter().chain(areas).collect();
    format!(
        "layers of continuous tone: charted with {}; give other amounts to overrule",
        chosen.join(" ")
    )
}

fn letters_set(warning: &Warning) -> Option<String> {
    let Warning::LettersSet {
        text,
        height,
        columns: (first, last),
        rows,
        ink,
        contrast,
        steps,
    } = warning
    else {
        return None;
    };
    let size = match height {
        Some(height) => format!("{height} columns high"),
        None => "across the band".to_string(),
    };
    let often = match steps {
        None => String::new(),
        Some((fewest, most)) if fewest == most => format!(", every {most} rows"),
        Some((fewest, most)) => format!(", every {fewest} or {most} rows"),
    };
    let (text, ink) = (shown(text), shown(ink));
    let contrast = decimals(*contrast, 1);
    Some(format!(
        "letters {text}: {size}, columns {first} to {last}, {rows} rows{often}, in {ink}; \
         contrast {contrast} to 1"
    ))
}

fn placed(
    layer: &str,
    columns: &[(u32, u32)],
    rows: Option<(u32, u32)>,
    repeats: Option<u32>,
) -> String {
    let part = |&(first, last): &(u32, u32)| {
        if first == last {
            format!("{first}")
        } else {
            format!("{first} to {last}")
        }
    };
    let parts: Vec<String> = columns.iter().map(part).collect();
    let word = match columns {
        [(first, last)] if first == last => "column",
        _ => "columns",
    };
    let along = match (rows, repeats) {
        (Some(rows), _) => format!("rows {}", part(&rows)),
        (None, Some(repeats)) => format!("{repeats} repeats"),
        (None, None) => "all round".to_string(),
    };
    format!("{}: {word} {}, {along}", shown(layer), parts.join(" and "))
}
