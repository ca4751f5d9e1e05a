//! What a drawing unfolds to, counted in its text before it is read: elements behind `use` and
//! markers, text, styles. The limits are ours: far beyond artwork, and drawn in a few seconds.

use crate::error::{Error, Result};
use crate::units::grouped;
use resvg::usvg::roxmltree::{Document, Node, ParsingOptions};
use std::collections::HashMap;

/// Most attributes of one element: reading takes the square of them.
const MOST_ATTRIBUTES: usize = 1_000;
/// Most declarations in the style of one element; as for attributes.
const MOST_DECLARATIONS: usize = 1_000;
/// Most rules of style sheets, times elements: each is held against each.
const MOST_STYLED: u64 = 20_000_000;
/// Most elements, with what `use` and markers repeat.
const MOST_ELEMENTS: u64 = 200_000;
/// Most corners of all shapes, with what `use` and markers repeat.
const MOST_VERTICES: u64 = 2_000_000;
/// Most letters of one text, whose setting takes the square of them.
const MOST_LETTERS: u64 = 10_000;
/// Most letters of all texts, as often as they are shown.
const MOST_LETTERS_IN_ALL: u64 = 50_000;
/// Most spans in one text; as for letters.
const MOST_SPANS: usize = 500;
/// Most colour stops of one gradient.
const MOST_STOPS: usize = 1_000;
/// Most elements inside one another, `use` and markers followed.
const MOST_DEPTH: usize = 1_000;
/// Most clip paths, masks and patterns: as long a chain of them is followed on the stack.
const MOST_LINKS: u64 = 8_000;

/// Refuses what even the reader of XML would take too long for.
///
/// # Errors
/// If an element has too many attributes.
pub(super) fn check_bytes(bytes: &[u8]) -> Result<()> {
    within(
        most_attributes(bytes) as u64,
        MOST_ATTRIBUTES as u64,
        "attributes on one element",
    )
}

/// The document, if it unfolds to no more than is drawn; and to how many elements.
///
/// # Errors
/// If it is no XML, or unfolds to more.
pub(super) fn read(text: &str) -> Result<(Document<'_>, u64)> {
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    let document = Document::parse_with_options(text, options)
        .map_err(|e| unreadable(&format!("SVG data parsing failed cause {e}")))?;
    let elements = check(&document)?;
    Ok((document, elements))
}

/// Refuses more elements than are drawn.
///
/// # Errors
/// If there are.
pub(super) fn check_elements(count: u64) -> Result<()> {
    within(count, MOST_ELEMENTS, "elements, repeats included")
}

/// The error for a file that is no drawing.
pub(super) fn unreadable(cause: &str) -> Error {
    Error::new(format!("the SVG cannot be read ({cause})"))
        .hint("open and save it in a drawing program, or export it as PNG")
}

/// Refuses a count that is beyond its limit, and says both.
///
/// # Errors
/// If `count` is above `most`.
pub(super) fn within(count: u64, most: u64, what: &str) -> Result<()> {
    if count <= most {
        return Ok(());
    }
    let most = number(most);
    Err(too_much(format!(
        "the SVG has {} {what}; at most {most} are allowed",
        number(count)
    )))
}

/// The error for a drawing beyond a limit.
pub(super) fn too_much(what: String) -> Error {
    Error::new(what).hint("simplify it in a drawing program, or export it as PNG")
}

/// A number to be read; the largest stands for all that are larger.
pub(super) fn number(number: u64) -> String {
    match usize::try_from(number) {
        Ok(number) if number < usize::MAX => grouped(number),
        _ => "endlessly many".to_string(),
    }
}

/// Most `=` inside one tag, those in quotes not counted.
fn most_attributes(bytes: &[u8]) -> usize {
    let (mut most, mut inside, mut quote) = (0, None, None);
    for &byte in bytes {
        match (inside, quote, byte) {
            (Some(_), Some(open), close) => quote = (open != close).then_some(open),
            (None, _, b'<') => inside = Some(0),
            (None, ..) => {}
            // A comment or declaration: what stands in it may be tags again.
            (Some(0), None, b'!' | b'?') => inside = None,
            (Some(_), None, b'>') => inside = None,
            (Some(_), None, b'"' | b'\'') => quote = Some(byte),
            (Some(count), None, b'=') => {
                inside = Some(count + 1);
                most = most.max(count + 1);
            }
            (Some(_), None, _) => {}
        }
    }
    most
}

fn check(document: &Document) -> Result<u64> {
    let (mut elements, mut rules, mut declarations, mut links) = (0, 0, 0, 0);
    for node in document.descendants().filter(Node::is_element) {
        elements += 1;
        if let Some(style) = node.attribute("style") {
            declarations = declarations.max(style.bytes().filter(|&byte| byte == b';').count());
        }
        match node.tag_name().name() {
            "style" => {
                let text = node.children().filter_map(|child| child.text());
                rules += text.map(|text| text.matches('{').count()).sum::<usize>() as u64;
            }
            "text" => check_text(node)?,
            "clipPath" | "mask" | "pattern" => links += 1,
            "linearGradient" | "radialGradient" => {
                let stops = node.children().filter(Node::is_element).count();
                within(stops as u64, MOST_STOPS as u64, "colours in one gradient")?;
            }
            _ => {}
        }
    }
    within(links, MOST_LINKS, "clip paths, masks and patterns")?;
    within(
        declarations as u64,
        MOST_DECLARATIONS as u64,
        "styles on one element",
    )?;
    if rules.saturating_mul(elements) > MOST_STYLED {
        let what = format!("style rules for {} elements", grouped(elements as usize));
        within(rules, MOST_STYLED / elements, &what)?;
    }
    let mut unfolding = Unfolding::new(document);
    let size = unfolding.size(document.root_element(), 0)?;
    check_elements(size.elements)?;
    within(
        size.vertices,
        MOST_VERTICES,
        "corners in its shapes, repeats included",
    )?;
    within(size.letters, MOST_LETTERS_IN_ALL, "letters in all")?;
    Ok(size.elements)
}

fn check_text(text: Node) -> Result<()> {
    within(letters(text), MOST_LETTERS, "letters in one text")?;
    let spans = text.descendants().filter(Node::is_element).count() - 1;
    within(spans as u64, MOST_SPANS as u64, "spans in one text")
}

fn letters(text: Node) -> u64 {
    let inside = text.descendants().filter(Node::is_text);
    let letters = inside.filter_map(|node| node.text().map(|text| text.chars().count()));
    letters.sum::<usize>() as u64
}

/// What an element unfolds to.
#[derive(Debug, Clone, Copy, Default)]
struct Size {
    elements: u64,
    letters: u64,
    /// Corners of shapes, about.
    vertices: u64,
}

impl Size {
    fn plus(self, other: Self, times: u64) -> Self {
        let add = |a: u64, b: u64| a.saturating_add(b.saturating_mul(times));
        Self {
            elements: add(self.elements, other.elements),
            letters: add(self.letters, other.letters),
            vertices: add(self.vertices, other.vertices),
        }
    }
}

/// Sizes of elements, each worked out once.
struct Unfolding<'a, 'input> {
    by_id: HashMap<&'a str, Node<'a, 'input>>,
    /// None for those that are being worked out: whoever comes back to itself is shown once.
    known: HashMap<u32, Option<Size>>,
}

impl<'a, 'input> Unfolding<'a, 'input> {
    fn new(document: &'a Document<'input>) -> Self {
        let named = |node: Node<'a, 'input>| Some((node.attribute("id")?, node));
        Self {
            by_id: document.descendants().filter_map(named).collect(),
            known: HashMap::new(),
        }
    }

    /// What `node` unfolds to, `depth` elements down.
    fn size(&mut self, node: Node<'a, 'input>, depth: usize) -> Result<Size> {
        let id = node.id().get();
        if let Some(known) = self.known.get(&id) {
            return Ok(known.unwrap_or_default());
        }
        if depth > MOST_DEPTH {
            return Err(too_much(format!(
                "the SVG has elements more than {} deep inside one another",
                number(MOST_DEPTH as u64)
            )));
        }
        self.known.insert(id, None);
        let vertices = vertices(node);
        let mut size = Size {
            elements: 1,
            letters: if node.tag_name().name() == "text" {
                letters(node)
            } else {
                0
            },
            vertices,
        };
        for child in node.children().filter(Node::is_element) {
            size = size.plus(self.size(child, depth + 1)?, 1);
        }
        if node.tag_name().name() == "use"
            && let Some(target) = self.target(href(node))
        {
            size = size.plus(self.size(target, depth + 1)?, 1);
        }
        if vertices > 0 {
            for (kind, times) in [
                ("marker-start", 1),
                ("marker-mid", vertices),
                ("marker-end", 1),
            ] {
                if let Some(marker) = self.target(inherited(node, kind)) {
                    size = size.plus(self.size(marker, depth + 1)?, times);
                }
            }
        }
        self.known.insert(id, Some(size));
        Ok(size)
    }

    fn target(&self, link: Option<&str>) -> Option<Node<'a, 'input>> {
        let (_, name) = link?.split_once('#')?;
        let name = name.trim_end_matches([')', '"', '\'', ' ']);
        self.by_id.get(name).copied()
    }
}

fn href<'a>(node: Node<'a, '_>) -> Option<&'a str> {
    node.attributes()
        .find(|attribute| attribute.name() == "href")
        .map(|attribute| attribute.value())
}

/// A property of the element or of the nearest one around it that has it, as an attribute or in its
/// style; `marker` stands for all three markers.
fn inherited<'a>(node: Node<'a, '_>, property: &str) -> Option<&'a str> {
    node.ancestors().find_map(|node| {
        let style = node.attribute("style").unwrap_or_default();
        let mut declared = style.split(';').filter_map(|one| one.split_once(':'));
        let named = |(name, _): &(&str, &str)| [property, "marker"].contains(&name.trim());
        let in_style = declared.find(named).map(|(_, value)| value);
        in_style.or_else(|| node.attribute(property))
    })
}

/// About how many corners a shape has.
fn vertices(node: Node) -> u64 {
    match node.tag_name().name() {
        "path" => node.attribute("d").map_or(0, path_vertices),
        "polyline" | "polygon" => node
            .attribute("points")
            .map_or(0, |text| numbers(text) / 2 + 1),
        "line" => 2,
        "rect" | "circle" | "ellipse" => 5,
        _ => 0,
    }
}

/// The corners of path data: the numbers after each command, in sets of as many as it takes (SVG 2,
/// section 9.3).
fn path_vertices(data: &str) -> u64 {
    let is_command = |letter: char| letter.is_ascii_alphabetic() && !matches!(letter, 'e' | 'E');
    let mut count = 0;
    let mut rest = data;
    while let Some(at) = rest.find(is_command) {
        let command = rest.as_bytes()[at].to_ascii_uppercase();
        rest = &rest[at + 1..];
        let end = rest.find(is_command).unwrap_or(rest.len());
        let each = match command {
            b'H' | b'V' => 1,
            b'C' => 6,
            b'S' | b'Q' => 4,
            b'A' => 7,
            _ => 2,
        };
        count += numbers(&rest[..end]).div_ceil(each).max(1);
    }
    count
}

/// Numbers in a list; a sign or a second point begins the next one.
fn numbers(text: &str) -> u64 {
    let (mut count, mut inside, mut point, mut before) = (0, false, false, b' ');
    for byte in text.bytes() {
        let exponent = matches!(before, b'e' | b'E');
        let begins = match byte {
            b'0'..=b'9' => !inside,
            b'.' => !inside || point,
            b'+' | b'-' => !exponent,
            _ => false,
        };
        count += u64::from(begins);
        point = byte == b'.' || point && !begins;
        inside = matches!(byte, b'0'..=b'9' | b'.' | b'+' | b'-' | b'e' | b'E');
        before = byte;
    }
    count
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_corners_of_path_data_are_counted() {
        for (text, count) in [("", 0), ("1", 1), ("1-2.5.5e-3,4", 4), ("0 0 1,1", 4)] {
            assert_eq!(numbers(text), count, "{text}");
        }
        for (data, count) in [
            ("M0 0h1v1z", 4),
            ("M0 0 1 1 2 2", 3),
            ("m0,0c1 1 2 2 3 3 4 4 5 5 6 6z", 4),
            ("M0 0a1 1 0 0 1 2e1 2", 2),
        ] {
            assert_eq!(path_vertices(data), count, "{data}");
        }
    }

    #[test]
    fn attributes_are_counted_outside_quotes_and_comments() {
        for (text, count) in [
            ("<a b='c=d' e=\"=\"/> f=g", 2),
            ("<!-- = = = --><a b=''/>", 1),
            ("<?xml version='1' x='2'?><a/>", 0),
        ] {
            assert_eq!(most_attributes(text.as_bytes()), count, "{text}");
        }
    }

    #[test]
    fn repeats_by_use_and_markers_are_elements_too() {
        let size = |body: &str| {
            let text = format!("<svg xmlns='http://www.w3.org/2000/svg'>{body}</svg>");
            let document = Document::parse(&text).unwrap();
            let mut unfolding = Unfolding::new(&document);
            unfolding.size(document.root_element(), 0).unwrap().elements
        };
        assert_eq!(size("<rect id='a'/><use href='#a'/>"), 4);
        assert_eq!(size("<g id='a'><use href='#a'/></g>"), 3);
        let marker = "<marker id='m'><rect/></marker>";
        assert_eq!(
            size(&format!(
                "{marker}<path d='M0 0h1h1' marker-mid='url(#m)'/>"
            )),
            10
        );
        let styled = format!("{marker}<g style='marker:url(#m)'><line/></g>");
        assert_eq!(size(&styled), 5 + 4 * 2);
    }
}
