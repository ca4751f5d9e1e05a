//! A design as the text of its file, on one line.

use super::{Art, At, Design, FORMAT, Layer, Letters, Placed, VERSION};
use crate::request::given;
use crate::words::escaped;
use serde_json::Value;

impl Design {
    /// The text of its file, on one line: JSON as [`super::SCHEMA`] describes it.
    ///
    /// [`Design::read`] gives the design back.
    pub fn to_text(&self) -> String {
        let layers: Vec<String> = self.layers.iter().map(|one| object(&fields(one))).collect();
        escaped(&format!(
            "{{\"format\": \"{FORMAT}\", \"version\": {VERSION}, \"layers\": [{}]}}",
            layers.join(", ")
        ))
    }
}

type Field = (&'static str, Value);

fn object(fields: &[(String, Value)]) -> String {
    let field = |(name, value): &(String, Value)| format!("\"{name}\": {value}");
    let all: Vec<String> = fields.iter().map(field).collect();
    format!("{{{}}}", all.join(", "))
}

/// The fields of a layer that are given, in the order of the schema.
fn fields(layer: &Layer) -> Vec<(String, Value)> {
    let owned = |(name, value): Field| (name.to_string(), value);
    match layer {
        Layer::Ground { colour } => {
            let all = [
                ("kind", "ground".into()),
                ("colour", colour.as_str().into()),
            ];
            all.into_iter().map(owned).collect()
        }
        Layer::Letters(letters) => of_letters(letters).into_iter().map(owned).collect(),
        Layer::Art(art) => {
            let mut all: Vec<(String, Value)> = of_art(art).into_iter().map(owned).collect();
            // Options are text, numbers and switches, which always can be written.
            all.extend(given(&art.picture).unwrap_or_default());
            all
        }
    }
}

fn of_letters(letters: &Letters) -> Vec<Field> {
    let mut all: Vec<Field> = vec![
        ("kind", "letters".into()),
        ("text", letters.text.as_str().into()),
    ];
    all.extend(letters.ink.as_deref().map(|ink| ("ink", ink.into())));
    let height = letters.height.map(|height| height.columns());
    all.extend(height.map(|columns| ("height", columns.into())));
    all.push(("direction", letters.direction.word().into()));
    all.extend(letters.repeats.map(|repeats| ("repeats", repeats.into())));
    all.push(("at", of_at(letters.at)));
    all.extend(letters.is_clear.then(|| ("clear", true.into())));
    all
}

fn of_at(at: At) -> Value {
    match at {
        At::Front => "front".into(),
        At::Back => "back".into(),
        At::Row(row) => row.into(),
    }
}

fn of_art(art: &Art) -> Vec<Field> {
    let mut all: Vec<Field> = vec![
        ("kind", art.kind().into()),
        ("file", art.file.as_str().into()),
    ];
    all.extend(
        art.sha256
            .as_deref()
            .map(|digest| ("sha256", digest.into())),
    );
    let count = |name, count: Option<u32>| count.map(|count| (name, Value::from(count)));
    match &art.placed {
        Placed::Band => {}
        Placed::Border(border) => {
            all.push(("edges", border.edges.word().into()));
            all.extend(count("columns", border.columns));
            all.extend(count("repeats", border.repeats));
        }
        Placed::Motif(motif) => {
            all.push(("at", of_at(motif.at)));
            all.extend(count("columns", motif.columns));
            all.extend(count("rows", motif.rows));
        }
    }
    all.extend(art.treatment.map(|own| ("treatment", own.word().into())));
    if !art.colours.is_empty() {
        all.push(("colours", art.colours.clone().into()));
    }
    all
}
