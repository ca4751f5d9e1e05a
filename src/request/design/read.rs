//! A design from the text of its file; everything is checked, and each complaint names line and
//! column.

use super::{
    Art, At, Border, Design, Edges, FORMAT, Layer, Letters, MOST_LAYERS, Motif, Placed, Treatment,
    VERSION,
};
use crate::error::{Error, Result};
use crate::files;
use crate::json::{Fields, Kind, Value};
use crate::lettering::Direction;
use crate::palette::read::shown;
use crate::picture::Place;
use crate::request::{Named, PictureRequest};
use serde_json::Map;
use std::path::Path;

/// A design file, in complaints.
const KIND: Kind = Kind {
    name: "design",
    schema: "upbead schema --of design",
    other: "name a design file; `upbead schema --of design` describes it",
    empty: "`upbead schema --of design` says what stands in it",
    cut_short: "the file was cut short: copy it again, or close what is open",
    broken: "correct it there",
};

/// Fields of every layer with a picture.
const OF_ART: [&str; 6] = ["kind", "file", "sha256", "treatment", "colours", "rotate"];

impl Design {
    /// Reads the text of a design file, as [`super::SCHEMA`] describes it.
    ///
    /// # Errors
    /// If the text is no design, or of a version that is not known; line and column are those of
    /// the value that is wrong, the file's name is the caller's to add.
    pub fn read(text: &str) -> Result<Self> {
        let document = Value::document(&KIND, text)?;
        let top = document.fields("the design")?;
        check_format(document, &top)?;
        top.only(&["format", "version", "layers"])?;
        let value = top.get("layers")?;
        let list = value.list("'layers'", MOST_LAYERS)?;
        if list.count > MOST_LAYERS || list.count == 0 {
            let what = format!("a design of {} layers cannot be made", list.count);
            return Err(value
                .blame(Error::new(what))
                .hint(format!("give from 1 to {MOST_LAYERS} layers")));
        }
        let mut layers = Vec::with_capacity(list.items.len());
        for item in list.items {
            let layer = layer(item)?;
            if matches!(layer, Layer::Ground { .. }) && !layers.is_empty() {
                return Err(item
                    .blame(Error::new("a ground above other layers would hide them"))
                    .hint("make it the first layer"));
            }
            layers.push(layer);
        }
        Ok(Self { layers })
    }

    /// The design in a file that stands where a picture is wanted; none if the bytes are not JSON,
    /// and so perhaps a picture.
    ///
    /// # Errors
    /// If it is JSON and no design: a chart is named as such.
    pub fn of_bytes(bytes: &[u8]) -> Result<Option<Self>> {
        let mark = "\u{feff}".as_bytes();
        let text = bytes.strip_prefix(mark).unwrap_or(bytes);
        if !text.trim_ascii_start().starts_with(b"{") {
            return Ok(None);
        }
        let text = files::as_text(bytes.to_vec(), "a design")?;
        Self::read(&text).map(Some)
    }
}

/// Whether this is a design at all, and of a version that can be read.
fn check_format(document: Value, top: &Fields) -> Result<()> {
    let Some(format) = top.find("format") else {
        let error = Error::new("this is not a design: it has no 'format'");
        return Err(document.blame(error).hint(KIND.other));
    };
    let word = format.text("'format'")?;
    if word != FORMAT {
        let what = match word.as_str() {
            "upbead-chart" => "this is a chart, not a picture or a design".to_string(),
            _ => format!(
                "this is not a design: its format is {}, not '{FORMAT}'",
                shown(&word)
            ),
        };
        return Err(format.blame(Error::new(what)).hint(match word.as_str() {
            "upbead-chart" => "name the picture that it was made of, or a design file",
            _ => KIND.other,
        }));
    }
    let value = top.get("version")?;
    match value.whole("'version'")? {
        VERSION => Ok(()),
        version => Err(value
            .blame(Error::new(format!(
                "version {version} of the design format is not known"
            )))
            .hint(format!("this program reads version {VERSION}"))),
    }
}

fn layer(value: Value) -> Result<Layer> {
    let fields = value.fields("a layer")?;
    let kind = fields.get("kind")?;
    match kind.text("'kind'")?.as_str() {
        "ground" => {
            fields.only(&["kind", "colour"])?;
            let colour = words(fields.get("colour")?, "'colour'")?;
            Ok(Layer::Ground { colour })
        }
        "picture" => art(&fields, Placed::Band, &PICTURE),
        "border" => {
            let border = Border {
                edges: chosen(&fields, "edges", Edges::ALL, Edges::word)?.unwrap_or_default(),
                columns: count(&fields, "columns")?,
                repeats: count(&fields, "repeats")?,
            };
            art(&fields, Placed::Border(border), &BORDER)
        }
        "motif" => {
            let motif = Motif {
                at: at(&fields)?,
                columns: count(&fields, "columns")?,
                rows: count(&fields, "rows")?,
            };
            art(&fields, Placed::Motif(motif), &MOTIF)
        }
        "letters" => letters(&fields),
        other => Err(kind
            .blame(Error::new(format!(
                "there is no kind of layer {}",
                shown(other)
            )))
            .hint("write ground, picture, border, motif or letters")),
    }
}

/// Lettering; whether it fits the band is found out on the band.
fn letters(fields: &Fields) -> Result<Layer> {
    fields.only(&[
        "kind",
        "text",
        "ink",
        "height",
        "direction",
        "repeats",
        "at",
        "clear",
    ])?;
    let height = fields.find("height").map(|value| {
        let height = value.whole("'height'")?.to_string().parse();
        height.map_err(|error: Error| {
            let refused = value.blame(Error::new(error.what()));
            refused.hint("write 5, 7 or 9, or leave it out for the largest that fits")
        })
    });
    let clear = fields.find("clear").map(|value| value.truth("'clear'"));
    Ok(Layer::Letters(Box::new(Letters {
        text: words(fields.get("text")?, "'text'")?,
        ink: fields
            .find("ink")
            .map(|value| words(value, "'ink'"))
            .transpose()?,
        height: height.transpose()?,
        direction: chosen(fields, "direction", Direction::ALL, Direction::word)?
            .unwrap_or_default(),
        repeats: count(fields, "repeats")?,
        at: at(fields)?,
        is_clear: clear.transpose()?.unwrap_or_default(),
    })))
}

/// The fields of a kind of layer.
struct Known {
    /// Those about the picture on its place.
    picture: &'static [&'static str],
    /// Those of the kind alone.
    own: &'static [&'static str],
}

const PICTURE: Known = Known {
    picture: &[
        "place", "rotate", "scaling", "crop", "margin", "position", "frame",
    ],
    own: &[],
};
const BORDER: Known = Known {
    picture: &["rotate", "crop", "margin"],
    own: &["edges", "columns", "repeats"],
};
const MOTIF: Known = Known {
    picture: &["rotate", "crop", "position", "frame"],
    own: &["at", "columns", "rows"],
};

fn art(fields: &Fields, placed: Placed, known: &Known) -> Result<Layer> {
    fields.only(&[&OF_ART[..], known.own, known.picture].concat())?;
    let file = fields.get("file")?;
    let name = words(file, "'file'")?;
    if name == "-" || Path::new(&name).is_absolute() {
        let what = format!("{} is not a file beside the design", shown(&name));
        return Err(file
            .blame(Error::new(what))
            .hint("name the picture relative to the design file, such as pictures/gull.png"));
    }
    Ok(Layer::Art(Box::new(Art {
        file: name,
        sha256: fields.find("sha256").map(sha256).transpose()?,
        placed,
        picture: picture(fields, placed, known)?,
        treatment: chosen(fields, "treatment", Treatment::ALL, Treatment::word)?,
        colours: colours(fields)?,
    })))
}

/// How the picture lies, read as the options of the same names are.
fn picture(fields: &Fields, placed: Placed, known: &Known) -> Result<PictureRequest> {
    let mut options = Map::new();
    for &name in known.picture {
        if let Some(value) = fields.find(name) {
            options.insert(name.to_string(), value.json()?);
        }
    }
    let blamed = |error: Error| {
        let name = error.place().option.clone().unwrap_or_default();
        let what = format!("'{name}': {}", error.what());
        let refused = match error.remedy() {
            Some(hint) => Error::new(what).hint(hint),
            None => Error::new(what),
        };
        match fields.find(&name) {
            Some(value) => value.blame(refused),
            None => refused,
        }
    };
    let mut picture: PictureRequest = Named::new(options).take().map_err(blamed)?;
    if matches!(placed, Placed::Motif(_)) {
        picture.place = Some(Place::Motif);
    }
    picture.arrangement().map_err(blamed)?;
    if matches!(placed, Placed::Motif(_)) {
        picture.place = None;
    }
    Ok(picture)
}

/// A text that is not empty.
fn words(value: Value, what: &str) -> Result<String> {
    let text = value.text(what)?;
    if text.trim().is_empty() {
        return Err(value
            .blame(Error::new(format!("{what} is empty")))
            .hint("write something between the quotes"));
    }
    Ok(text)
}

fn count(fields: &Fields, name: &str) -> Result<Option<u32>> {
    let Some(value) = fields.find(name) else {
        return Ok(None);
    };
    match value.whole(&format!("'{name}'"))? {
        0 => Err(value
            .blame(Error::new(format!("'{name}' is 0")))
            .hint("give 1 or more, or leave it out")),
        count => Ok(Some(count)),
    }
}

/// One of a few words.
fn chosen<T: Copy, const N: usize>(
    fields: &Fields,
    name: &str,
    all: [T; N],
    word: fn(T) -> &'static str,
) -> Result<Option<T>> {
    let Some(value) = fields.find(name) else {
        return Ok(None);
    };
    let text = value.text(&format!("'{name}'"))?;
    let found = all.into_iter().find(|&one| word(one) == text);
    found.map(Some).ok_or_else(|| {
        let what = format!("'{name}' is {}, which is not known", shown(&text));
        let words: Vec<&str> = all.into_iter().map(word).collect();
        let hint = format!("write {}", words.join(" or "));
        value.blame(Error::new(what)).hint(hint)
    })
}

/// Where a motif is: a word, or the number of a row.
fn at(fields: &Fields) -> Result<At> {
    let Some(value) = fields.find("at") else {
        return Ok(At::default());
    };
    let wrong = || {
        value
            .blame(Error::new("'at' is neither front, back nor a row"))
            .hint("write \"front\" (opposite the seam), \"back\" (at the seam) or a row such as 12")
    };
    if value.is_text() {
        return match value.text("'at'")?.as_str() {
            "front" => Ok(At::Front),
            "back" => Ok(At::Back),
            _ => Err(wrong()),
        };
    }
    match value.whole("'at'") {
        Ok(row) if row > 0 => Ok(At::Row(row)),
        _ => Err(wrong()),
    }
}

fn sha256(value: Value) -> Result<String> {
    let digest = value.text("'sha256'")?;
    if digest.len() == 64 && digest.bytes().all(|byte| byte.is_ascii_hexdigit()) {
        return Ok(digest);
    }
    Err(value
        .blame(Error::new(format!("{} is not a SHA-256", shown(&digest))))
        .hint("leave it out: the record of a chart has it"))
}

fn colours(fields: &Fields) -> Result<Vec<String>> {
    /// Most colours that a layer names. Ours: more than a band shows.
    const MOST: usize = 200;
    let Some(value) = fields.find("colours") else {
        return Ok(Vec::new());
    };
    let list = value.list("'colours'", MOST)?;
    if list.count == 0 || list.count > MOST {
        let what = format!("a layer cannot have {} colours to choose from", list.count);
        return Err(value
            .blame(Error::new(what))
            .hint(format!("name from 1 to {MOST}, or leave 'colours' out")));
    }
    let items = list.items.into_iter();
    items.map(|item| words(item, "a colour")).collect()
}
