//! Numbers and words as SVG has them.

use crate::colour::hex;
use crate::scene::{Path, PathStep};
use crate::units::Mm;
use std::fmt::Write;

/// Writing into a `String` cannot fail.
pub(super) fn push(out: &mut String, words: std::fmt::Arguments<'_>) {
    let _ = out.write_fmt(words);
}

/// Millimetres with at most three decimals.
pub(super) fn short(mm: Mm) -> String {
    let mut out = String::new();
    number(&mut out, mm);
    out
}

/// The same, without a string of its own: a large chart has millions of them.
pub(super) fn number(out: &mut String, mm: Mm) {
    let thousandths = (mm.get() * 1000.0).round() as i64;
    if thousandths < 0 {
        out.push('-');
    }
    let thousandths = thousandths.unsigned_abs();
    push(out, format_args!("{}", thousandths / 1000));
    let rest = thousandths % 1000;
    match (rest % 10, rest % 100) {
        _ if rest == 0 => {}
        (_, 0) => push(out, format_args!(".{}", rest / 100)),
        (0, _) => push(out, format_args!(".{:02}", rest / 10)),
        _ => push(out, format_args!(".{rest:03}")),
    }
}

/// Lines and curves.
pub(super) fn path(out: &mut String, path: &Path) {
    out.push_str("<path d=\"");
    for step in &path.steps {
        let (letter, points) = match step {
            PathStep::Move(to) => ('M', vec![*to]),
            PathStep::Line(to) => ('L', vec![*to]),
            PathStep::Curve(one, two, to) => ('C', vec![*one, *two, *to]),
            PathStep::Close => ('Z', Vec::new()),
        };
        out.push(letter);
        for (at, point) in points.into_iter().enumerate() {
            out.push_str(if at == 0 { "" } else { " " });
            number(out, point.x);
            out.push(' ');
            number(out, point.y);
        }
    }
    let fill = path
        .fill
        .map_or("none".to_string(), |fill| format!("#{}", hex(fill)));
    push(out, format_args!("\" fill=\"{fill}\""));
    if let Some(stroke) = &path.stroke {
        push(
            out,
            format_args!(
                " stroke=\"#{}\" stroke-width=\"{}\" \
                 stroke-linecap=\"round\" stroke-linejoin=\"round\"",
                hex(stroke.colour),
                short(stroke.thickness)
            ),
        );
        if let Some(dash) = stroke.dash {
            push(out, format_args!(" stroke-dasharray=\"{}\"", short(dash)));
        }
    }
    out.push_str("/>\n");
}

/// Text for use between tags and in quoted attributes.
pub(in crate::output) fn escaped(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            other => out.push(other),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_exact_to_a_thousandth() {
        let pairs = [
            (0.0, "0"),
            (1.0, "1"),
            (-0.0001, "0"),
            (-1.25, "-1.25"),
            (4.55, "4.55"),
            (0.007, "0.007"),
            (0.1, "0.1"),
            (12.3456, "12.346"),
            (1300.05, "1300.05"),
        ];
        for (mm, written) in pairs {
            assert_eq!(short(Mm::new(mm)), written);
        }
    }

    #[test]
    fn markup_in_names_is_only_words() {
        assert_eq!(escaped("<&\">'"), "&lt;&amp;&quot;&gt;'");
    }
}
