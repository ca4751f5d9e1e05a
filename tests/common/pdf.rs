//! A reader of tagged PDFs that shares no code with our writer: what a screen reader would say, and
//! what is drawn where.

#![allow(dead_code, clippy::disallowed_methods)]

use lopdf::content::{Content, Operation};
use lopdf::{Dictionary, Document, Object, ObjectId};
use std::collections::HashMap;

/// Millimetres in a point.
const MM: f64 = 25.4 / 72.0;

/// A PDF, read.
pub struct Pdf {
    pub document: Document,
    /// Width and height of each page in millimetres.
    pub pages: Vec<(f64, f64)>,
    /// For each page, what is drawn in its order.
    pub drawn: Vec<Vec<Drawn>>,
    /// The structure in reading order.
    pub elements: Vec<Element>,
}

/// An element of the structure, before those within it.
#[derive(Debug, Clone)]
pub struct Element {
    pub role: String,
    pub depth: usize,
    pub alt: Option<String>,
    /// The words in it and in all within it, in reading order.
    pub words: String,
    /// The marked contents: page and number.
    pub marks: Vec<(usize, i64)>,
}

/// Something drawn; millimetres from the page's upper left corner.
#[derive(Debug, Clone)]
pub enum Drawn {
    /// A filled or stroked outline: left, top, right, bottom of its points.
    Outline {
        mark: Option<i64>,
        fill: Option<[f64; 3]>,
        stroke: Option<[f64; 3]>,
        within: [f64; 4],
    },
    /// Words from their left end.
    Words {
        mark: Option<i64>,
        colour: [f64; 3],
        at: (f64, f64),
        words: String,
    },
}

impl Drawn {
    pub fn mark(&self) -> Option<i64> {
        match self {
            Self::Outline { mark, .. } | Self::Words { mark, .. } => *mark,
        }
    }
}

fn name(object: &Object) -> String {
    String::from_utf8_lossy(object.as_name().unwrap_or_default()).into_owned()
}

/// A text string: UTF-16 with a mark, or else taken for Latin.
pub fn text(object: &Object) -> String {
    let bytes = object.as_str().unwrap_or_default();
    match bytes.strip_prefix(&[0xFE, 0xFF]) {
        Some(rest) => {
            let units: Vec<u16> = rest
                .chunks(2)
                .map(|p| u16::from_be_bytes([p[0], p[1]]))
                .collect();
            String::from_utf16_lossy(&units)
        }
        None => bytes.iter().map(|&byte| char::from(byte)).collect(),
    }
}

fn number(object: &Object) -> f64 {
    object.as_float().map(f64::from).unwrap_or(0.0)
}

impl Pdf {
    pub fn read(bytes: &[u8]) -> Self {
        let document = Document::load_mem(bytes).expect("a PDF");
        let ids: Vec<ObjectId> = document.get_pages().into_values().collect();
        let mut pages = Vec::new();
        let mut drawn = Vec::new();
        for id in &ids {
            let page = document.get_dictionary(*id).expect("a page");
            let sides: Vec<f64> = page
                .get(b"MediaBox")
                .and_then(Object::as_array)
                .expect("a box")
                .iter()
                .map(number)
                .collect();
            pages.push(((sides[2] - sides[0]) * MM, (sides[3] - sides[1]) * MM));
            drawn.push(Canvas::new(&document, *id, sides[3]).read());
        }
        let mut pdf = Self {
            document,
            pages,
            drawn,
            elements: Vec::new(),
        };
        let numbers: HashMap<ObjectId, usize> = ids.into_iter().zip(0..).collect();
        pdf.elements = Structure::read(&pdf, &numbers);
        pdf
    }

    pub fn catalog(&self) -> &Dictionary {
        self.document.catalog().expect("a catalog")
    }

    /// An entry of the document information.
    pub fn info(&self, key: &[u8]) -> Option<String> {
        let info = self
            .document
            .trailer
            .get(b"Info")
            .ok()?
            .as_reference()
            .ok()?;
        self.document
            .get_dictionary(info)
            .ok()?
            .get(key)
            .ok()
            .map(text)
    }

    /// The elements within the first one whose words are these, up to the next heading of its kind.
    pub fn chapter(&self, heading: &str) -> &[Element] {
        let is = |e: &Element| e.role == "H2" && e.words.trim() == heading;
        let from = self
            .elements
            .iter()
            .position(is)
            .unwrap_or_else(|| panic!("no chapter {heading}"));
        let rest = &self.elements[from + 1..];
        let end = rest
            .iter()
            .position(|e| e.role == "H2")
            .unwrap_or(rest.len());
        &rest[..end]
    }

    /// What an element draws.
    pub fn drawn_by(&self, element: &Element) -> Vec<&Drawn> {
        element
            .marks
            .iter()
            .flat_map(|(page, mark)| {
                self.drawn[*page]
                    .iter()
                    .filter(move |d| d.mark() == Some(*mark))
            })
            .collect()
    }
}

/// Walks the structure.
struct Structure<'a> {
    pdf: &'a Pdf,
    pages: &'a HashMap<ObjectId, usize>,
    found: Vec<Element>,
}

impl<'a> Structure<'a> {
    fn read(pdf: &'a Pdf, pages: &'a HashMap<ObjectId, usize>) -> Vec<Element> {
        let root = pdf
            .catalog()
            .get(b"StructTreeRoot")
            .and_then(Object::as_reference)
            .expect("a structure");
        let root = pdf.document.get_dictionary(root).expect("a structure");
        let mut structure = Self {
            pdf,
            pages,
            found: Vec::new(),
        };
        structure.children(root, 0, None, &[]);
        structure.found
    }

    fn children(&mut self, of: &Dictionary, depth: usize, page: Option<usize>, above: &[usize]) {
        let page = of
            .get(b"Pg")
            .and_then(Object::as_reference)
            .ok()
            .map(|id| self.pages[&id])
            .or(page);
        let Ok(kids) = of.get(b"K") else { return };
        let kids = match kids {
            Object::Array(kids) => kids.clone(),
            one => vec![one.clone()],
        };
        for kid in kids {
            let kid = match kid {
                Object::Reference(id) => self.pdf.document.get_object(id).expect("a kid").clone(),
                other => other,
            };
            match kid {
                Object::Integer(mark) => self.content(page.expect("a page"), mark, above),
                Object::Dictionary(kid) if kid.get(b"MCID").is_ok() => {
                    let own = kid
                        .get(b"Pg")
                        .and_then(Object::as_reference)
                        .ok()
                        .map(|id| self.pages[&id]);
                    let mark = kid.get(b"MCID").and_then(Object::as_i64).expect("a number");
                    self.content(own.or(page).expect("a page"), mark, above);
                }
                // A link's place on its page: nothing is said there.
                Object::Dictionary(kid) if kid.get(b"Obj").is_ok() => {}
                Object::Dictionary(kid) => {
                    self.found.push(Element {
                        role: kid.get(b"S").map(name).unwrap_or_default(),
                        depth,
                        alt: kid.get(b"Alt").ok().map(text),
                        words: String::new(),
                        marks: Vec::new(),
                    });
                    let mut above = above.to_vec();
                    above.push(self.found.len() - 1);
                    self.children(&kid, depth + 1, page, &above);
                }
                other => panic!("a kid of {other:?}"),
            }
        }
    }

    fn content(&mut self, page: usize, mark: i64, above: &[usize]) {
        let mut words = String::new();
        for drawn in &self.pdf.drawn[page] {
            if let Drawn::Words {
                mark: Some(own),
                words: more,
                ..
            } = drawn
                && *own == mark
            {
                words += more;
            }
        }
        for &element in above {
            self.found[element].words += &words;
        }
        if let Some(&last) = above.last() {
            self.found[last].marks.push((page, mark));
        }
    }
}

/// Draws a page's content to find out what is where.
struct Canvas<'a> {
    document: &'a Document,
    operations: Vec<Operation>,
    resources: Dictionary,
    fonts: HashMap<Vec<u8>, HashMap<u16, String>>,
    high: f64,
    state: State,
    stack: Vec<State>,
    marks: Vec<(Option<i64>, Option<String>)>,
    out: Vec<Drawn>,
}

#[derive(Clone)]
struct State {
    matrix: [f64; 6],
    fill: [f64; 3],
    stroke: [f64; 3],
    font: Vec<u8>,
}

fn times(m: [f64; 6], n: [f64; 6]) -> [f64; 6] {
    [
        m[0] * n[0] + m[1] * n[2],
        m[0] * n[1] + m[1] * n[3],
        m[2] * n[0] + m[3] * n[2],
        m[2] * n[1] + m[3] * n[3],
        m[4] * n[0] + m[5] * n[2] + n[4],
        m[4] * n[1] + m[5] * n[3] + n[5],
    ]
}

impl<'a> Canvas<'a> {
    fn new(document: &'a Document, page: ObjectId, high: f64) -> Self {
        let content = document.get_page_content(page);
        let page = document.get_dictionary(page).expect("a page");
        let resources = match page.get(b"Resources").expect("resources") {
            Object::Reference(id) => document.get_dictionary(*id).expect("resources").clone(),
            Object::Dictionary(own) => own.clone(),
            other => panic!("resources of {other:?}"),
        };
        let mut canvas = Self {
            document,
            operations: Content::decode(&content).expect("operations").operations,
            resources,
            fonts: HashMap::new(),
            high,
            state: State {
                matrix: [1.0, 0.0, 0.0, 1.0, 0.0, 0.0],
                fill: [0.0; 3],
                stroke: [0.0; 3],
                font: Vec::new(),
            },
            stack: Vec::new(),
            marks: Vec::new(),
            out: Vec::new(),
        };
        canvas.fonts = canvas.fonts();
        canvas
    }

    fn within(&self, kind: &[u8]) -> Dictionary {
        match self.resources.get(kind) {
            Ok(Object::Reference(id)) => self
                .document
                .get_dictionary(*id)
                .expect("a resource")
                .clone(),
            Ok(Object::Dictionary(own)) => own.clone(),
            _ => Dictionary::new(),
        }
    }

    fn fonts(&self) -> HashMap<Vec<u8>, HashMap<u16, String>> {
        let fonts = self.within(b"Font");
        let map = |font: &Object| -> HashMap<u16, String> {
            let font = self
                .document
                .get_dictionary(font.as_reference().expect("a font"))
                .expect("a font");
            let unicode = font
                .get(b"ToUnicode")
                .and_then(Object::as_reference)
                .expect("ToUnicode");
            let stream = self
                .document
                .get_object(unicode)
                .and_then(Object::as_stream)
                .expect("a stream");
            let bytes = stream
                .decompressed_content()
                .unwrap_or_else(|_| stream.content.clone());
            to_unicode(&String::from_utf8_lossy(&bytes))
        };
        fonts
            .iter()
            .map(|(name, font)| (name.clone(), map(font)))
            .collect()
    }

    fn mark(&self) -> Option<i64> {
        self.marks.iter().rev().find_map(|(mark, _)| *mark)
    }

    fn at(&self, matrix: [f64; 6], x: f64, y: f64) -> (f64, f64) {
        let x2 = x * matrix[0] + y * matrix[2] + matrix[4];
        let y2 = x * matrix[1] + y * matrix[3] + matrix[5];
        (x2 * MM, (self.high - y2) * MM)
    }

    fn read(mut self) -> Vec<Drawn> {
        let mut points: Vec<(f64, f64)> = Vec::new();
        let mut line = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];
        for operation in std::mem::take(&mut self.operations) {
            let all: Vec<f64> = operation.operands.iter().map(number).collect();
            match operation.operator.as_str() {
                "q" => self.stack.push(self.state.clone()),
                "Q" => self.state = self.stack.pop().expect("a state"),
                "cm" => self.state.matrix = times(all.try_into().expect("six"), self.state.matrix),
                "rg" | "sc" | "scn" if all.len() == 3 => self.state.fill = [all[0], all[1], all[2]],
                "RG" | "SC" | "SCN" if all.len() == 3 => {
                    self.state.stroke = [all[0], all[1], all[2]]
                }
                "g" => self.state.fill = [all[0]; 3],
                "sc" | "scn" if all.len() == 1 => self.state.fill = [all[0]; 3],
                "m" | "l" => points.push((all[0], all[1])),
                "c" => points.extend(all.chunks(2).map(|p| (p[0], p[1]))),
                "re" => points.extend([(all[0], all[1]), (all[0] + all[2], all[1] + all[3])]),
                "f" | "f*" | "S" | "B" | "B*" | "b" | "s" => {
                    self.outline(&operation.operator, std::mem::take(&mut points))
                }
                "n" => points.clear(),
                "BDC" => self.begin(&operation.operands),
                "BMC" => self.marks.push((None, None)),
                "EMC" => {
                    let (_, said) = self.marks.pop().expect("a mark");
                    if let Some(said) = said {
                        self.say(line, said);
                    }
                }
                "BT" => line = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0],
                "Tm" => line = all.try_into().expect("six"),
                "Tf" => self.state.font = operation.operands[0].as_name().expect("a font").to_vec(),
                "Tj" => self.show(line, &operation.operands[..1]),
                "TJ" => self.show(line, operation.operands[0].as_array().expect("glyphs")),
                _ => {}
            }
        }
        assert!(self.marks.is_empty(), "a mark is left open");
        self.out
    }

    fn outline(&mut self, operator: &str, points: Vec<(f64, f64)>) {
        let placed: Vec<(f64, f64)> = points
            .into_iter()
            .map(|(x, y)| self.at(self.state.matrix, x, y))
            .collect();
        let least =
            |value: fn(&(f64, f64)) -> f64| placed.iter().map(value).fold(f64::MAX, f64::min);
        let most =
            |value: fn(&(f64, f64)) -> f64| placed.iter().map(value).fold(f64::MIN, f64::max);
        let fills = operator.to_lowercase().starts_with(['f', 'b']);
        let strokes = ["S", "s", "B", "B*", "b"].contains(&operator);
        let drawn = Drawn::Outline {
            mark: self.mark(),
            fill: fills.then_some(self.state.fill),
            stroke: strokes.then_some(self.state.stroke),
            within: [least(|p| p.0), least(|p| p.1), most(|p| p.0), most(|p| p.1)],
        };
        self.out.push(drawn);
    }

    fn begin(&mut self, operands: &[Object]) {
        let properties = match &operands[1] {
            Object::Dictionary(own) => own.clone(),
            Object::Name(name) => {
                let all = self.within(b"Properties");
                match all.get(name).expect("properties") {
                    Object::Reference(id) => self
                        .document
                        .get_dictionary(*id)
                        .expect("properties")
                        .clone(),
                    other => other.as_dict().expect("properties").clone(),
                }
            }
            other => panic!("properties of {other:?}"),
        };
        let mark = properties.get(b"MCID").and_then(Object::as_i64).ok();
        self.marks
            .push((mark, properties.get(b"ActualText").ok().map(text)));
    }

    fn say(&mut self, line: [f64; 6], words: String) {
        let at = self.at(times(line, self.state.matrix), 0.0, 0.0);
        let drawn = Drawn::Words {
            mark: self.mark(),
            colour: self.state.fill,
            at,
            words,
        };
        self.out.push(drawn);
    }

    fn show(&mut self, line: [f64; 6], glyphs: &[Object]) {
        // What stands for other words is said when its mark ends.
        if self.marks.iter().any(|(_, said)| said.is_some()) {
            return;
        }
        let map = &self.fonts[&self.state.font];
        let mut words = String::new();
        for part in glyphs.iter().filter_map(|glyph| glyph.as_str().ok()) {
            for pair in part.chunks(2) {
                let glyph = u16::from_be_bytes([pair[0], pair[1]]);
                words += map.get(&glyph).map_or("\u{FFFD}", String::as_str);
            }
        }
        self.say(line, words);
    }
}

/// The characters of a CMap: `beginbfchar` and `beginbfrange`.
fn to_unicode(cmap: &str) -> HashMap<u16, String> {
    let mut map = HashMap::new();
    let hex = |text: &str| -> Vec<u16> {
        let digits: Vec<char> = text.chars().filter(char::is_ascii_hexdigit).collect();
        digits
            .chunks(4)
            .map(|d| u16::from_str_radix(&d.iter().collect::<String>(), 16).expect("hex"))
            .collect()
    };
    for (kind, each) in [("bfchar", 2), ("bfrange", 3)] {
        for part in cmap.split(&format!("begin{kind}")).skip(1) {
            let part = part.split(&format!("end{kind}")).next().unwrap_or_default();
            let tokens: Vec<Vec<u16>> = part
                .split('<')
                .skip(1)
                .map(|t| hex(t.split('>').next().unwrap_or_default()))
                .collect();
            for entry in tokens.chunks(each) {
                match entry {
                    [glyph, word] => {
                        map.insert(glyph[0], String::from_utf16_lossy(word));
                    }
                    [first, last, word] => {
                        for (step, glyph) in (first[0]..=last[0]).enumerate() {
                            let mut word = word.clone();
                            if let Some(end) = word.last_mut() {
                                *end += step as u16;
                            }
                            map.insert(glyph, String::from_utf16_lossy(&word));
                        }
                    }
                    _ => {}
                }
            }
        }
    }
    map
}
