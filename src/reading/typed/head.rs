//! The beginning of a typed row: its number or numbers, and its direction.

use crate::lattice::MOST_ROWS;

/// What a row says of its direction.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stated {
    /// The direction itself.
    ToRight(bool),
    /// A side, which may be the one that it starts from or goes to.
    Side { right: bool },
}

/// The beginning of a row, and the rest of its line.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Head<'a> {
    /// Whether it says `row` or `R`, not a number alone.
    pub(super) says_row: bool,
    pub(super) numbers: Vec<u32>,
    pub(super) stated: Option<Stated>,
    pub(super) rest: &'a str,
}

/// What may stand before a row in a list.
const BULLETS: [&str; 7] = ["- [ ]", "- [x]", "[ ]", "[x]", "-", "*", "•"];

impl<'a> Head<'a> {
    /// The head of a line, if it begins a row.
    pub(super) fn of(line: &'a str) -> Option<Self> {
        let mut rest = line.trim_start();
        if let Some(after) = BULLETS.iter().find_map(|bullet| rest.strip_prefix(bullet)) {
            rest = after.trim_start();
        }
        rest = rest.trim_start_matches('*').trim_start();
        let after_word = word(rest);
        let says_row = after_word.is_some();
        let is_short = says_row && rest.as_bytes().get(1).is_some_and(u8::is_ascii_digit);
        let (numbers, rest) = numbers(after_word.unwrap_or(rest), says_row)?;
        let (marked, rest) = marks(rest);
        let (stated, after) = direction(rest);
        let (more, after) = marks(after);
        let (_, after) = marks(bead_count(after));
        let begins = after.trim_start();
        // `Row 3 goes to the left` is a sentence, `R3 N, G` is none; a number alone needs a mark.
        let is_row = marked || more || stated.is_some();
        let counts = says_row && begins.starts_with(|c: char| c.is_ascii_digit());
        (is_row || counts || is_short).then_some(Self {
            says_row,
            numbers,
            stated,
            rest: begins,
        })
    }
}

/// What follows `rows`, `row` or `R` before a digit.
fn word(text: &str) -> Option<&str> {
    let lower = text.get(..5).unwrap_or(text).to_ascii_lowercase();
    let word = ["rows", "row", "r"]
        .into_iter()
        .find(|word| lower.starts_with(word))?;
    let rest = text.get(word.len()..)?.trim_start_matches([' ', '#']);
    rest.starts_with(|c: char| c.is_ascii_digit())
        .then_some(rest)
}

/// A number in front.
fn number(text: &str) -> Option<(u32, &str)> {
    let end = text
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(text.len());
    // More than any band has, to be refused by its number.
    let number = text[..end].parse::<u32>().unwrap_or(u32::MAX);
    (end > 0).then(|| (number, &text[end..]))
}

/// `3`, `1 & 2`, `1-2`, `5, 7 and 9`; several only behind `row`.
fn numbers(text: &str, several: bool) -> Option<(Vec<u32>, &str)> {
    let (first, mut rest) = number(text)?;
    let mut numbers = vec![first];
    if !several {
        return Some((numbers, rest));
    }
    loop {
        let start = rest.trim_start();
        let after = |signs: &[&str]| signs.iter().find_map(|sign| start.strip_prefix(sign));
        let range = after(&["-", "–", "to ", ".."]).and_then(next);
        let list = after(&["&", "+", "/", ",", "and "]).and_then(next);
        match (range, list) {
            (Some((last, after)), _) => {
                let from = numbers.last().copied().unwrap_or(first);
                let last = last.min(MOST_ROWS + 1);
                numbers.extend(from.saturating_add(1)..=last);
                rest = after;
            }
            (None, Some((number, after))) if numbers.len() <= MOST_ROWS as usize => {
                numbers.push(number);
                rest = after;
            }
            _ => break,
        }
    }
    Some((numbers, rest))
}

/// The next number of a list, unless it counts beads: a name follows it then.
fn next(text: &str) -> Option<(u32, &str)> {
    let text = text.trim_start();
    let text = word(text).unwrap_or(text);
    number(text).filter(|(_, after)| !after.starts_with(char::is_alphabetic))
}

/// Marks between the parts of a head; whether there was one.
fn marks(text: &str) -> (bool, &str) {
    let rest = text.trim_start_matches([' ', '\t', ':', '.', ')', ']', '*', '|', '–', '—', '=']);
    let rest = match rest.strip_prefix("- ") {
        Some(after) => after.trim_start(),
        None => rest,
    };
    let passed = &text[..text.len() - rest.len()];
    // `0.5 m` is no row.
    let decimal = passed == "." && rest.starts_with(|c: char| c.is_ascii_digit());
    (!passed.trim().is_empty() && !decimal, rest)
}

/// The direction in front, and what follows it.
fn direction(text: &str) -> (Option<Stated>, &str) {
    let arrows = [
        ("→", true),
        ("-->", true),
        ("->", true),
        ("←", false),
        ("<--", false),
        ("<-", false),
    ];
    if let Some((after, right)) = arrows
        .iter()
        .find_map(|(arrow, right)| Some((text.strip_prefix(arrow)?, *right)))
    {
        return (Some(Stated::ToRight(right)), after);
    }
    let inside = match text.strip_prefix('(') {
        Some(rest) => rest.split_once(')'),
        None => text.split_once(':'),
    };
    match inside.and_then(|(words, after)| Some((of_words(words)?, after))) {
        Some((stated, after)) => (Some(stated), after),
        None => (None, text),
    }
}

/// `L`, `left to right`, `from the left`, `L→R`.
fn of_words(words: &str) -> Option<Stated> {
    let words = words.to_lowercase();
    let words = words
        .replace('→', " to ")
        .replace("->", " to ")
        .replace('-', " to ");
    let words: Vec<&str> = words
        .split_whitespace()
        .filter(|word| *word != "the")
        .collect();
    let side = |word: &str| match word {
        "l" | "left" => Some(false),
        "r" | "right" => Some(true),
        _ => None,
    };
    match words[..] {
        ["from", from, "to", to] | [from, "to", to] if from != "goes" => {
            let right = side(to)?;
            (side(from)? != right).then_some(Stated::ToRight(right))
        }
        ["to", to] | ["goes", "to", to] => Some(Stated::ToRight(side(to)?)),
        ["from", from] => Some(Stated::ToRight(!side(from)?)),
        [one] => Some(Stated::Side { right: side(one)? }),
        _ => None,
    }
}

/// What follows `(5 beads)`.
fn bead_count(text: &str) -> &str {
    let inside = text.strip_prefix('(').and_then(|rest| rest.split_once(')'));
    let is_count = |words: &str| {
        let (count, word) = words.split_once(' ')?;
        let counts = count.parse::<u32>().is_ok() && matches!(word.trim(), "bead" | "beads");
        counts.then_some(())
    };
    match inside {
        Some((words, after)) if is_count(words).is_some() => after,
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heads_are_read_as_they_are_typed() {
        let right = |right| Some(Stated::ToRight(right));
        for (line, numbers, stated, rest) in [
            ("R3: 2 navy", vec![3], None, "2 navy"),
            ("r3 2 navy", vec![3], None, "2 navy"),
            (
                "Row 3 (L): 2N",
                vec![3],
                Some(Stated::Side { right: false }),
                "2N",
            ),
            (
                "Row 3 R: 2N",
                vec![3],
                Some(Stated::Side { right: true }),
                "2N",
            ),
            ("ROW #12. navy, gold", vec![12], None, "navy, gold"),
            ("Rows 1 & 2: 9 navy", vec![1, 2], None, "9 navy"),
            ("rows 1-2 9 navy", vec![1, 2], None, "9 navy"),
            ("R1/R2 (left to right): 9N", vec![1, 2], right(true), "9N"),
            ("Rows 5, 7 and 9: 5N", vec![5, 7, 9], None, "5N"),
            ("rows 3 to 6 - 5N", vec![3, 4, 5, 6], None, "5N"),
            ("- [ ] **4** → 4 beads", vec![4], right(true), "4 beads"),
            ("3) 2 navy", vec![3], None, "2 navy"),
            ("3. 2N", vec![3], None, "2N"),
            ("7 <- 5N", vec![7], right(false), "5N"),
            (
                "Row 8 (to the left) (5 beads): 5N",
                vec![8],
                right(false),
                "5N",
            ),
            ("Row 8, from the left: 5N", vec![8], None, ""),
        ] {
            let head = Head::of(line);
            if rest.is_empty() {
                assert_eq!(head, None, "{line}");
                continue;
            }
            let head = head.unwrap_or_else(|| panic!("{line}"));
            assert_eq!(
                (head.numbers, head.stated, head.rest),
                (numbers, stated, rest),
                "{line}"
            );
        }
    }

    #[test]
    fn sentences_and_counts_are_no_rows() {
        for line in [
            "Row 3 goes to the left. Hold the tail",
            "2 navy, 1 gold",
            "0.5 m of thread",
            "rose, gold",
            "Rockpool ring",
            "",
        ] {
            assert_eq!(Head::of(line), None, "{line}");
        }
    }
}
