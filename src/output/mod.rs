//! Scene and results as bytes and as text for people.
//!
//! | face | for |
//! |---|---|
//! | `text` | the terminal, in colour or in plain characters |
//! | `svg` | drawings that scale and can be edited |
//! | [`kit`] | what to gather for a band or many, as text, CSV and JSON |
//! | [`palette`] | a palette, its colours and the pairs that are hard to tell apart |
//! | [`mod@check`] | what would make a weaver curse |
//! | [`compare`] | how far a chart looks from its picture |
//! | [`propose`] | several ways to chart a picture, as text and as one picture |
//! | [`fit`] | the rows for a ring size |
//! | [`resize`] | a chart in other sizes |
//! | [`read`] | what was read from a table or from rows in words |
//! | [`swap`] | a chart in other colours: each substitution |
//! | [`palette_photo`] | colours read from a photograph of bead piles |
//! | [`weave`] | the rows in words, and the work as JSON |
//! | [`booklet`], [`pdf()`] | the printed pattern: what stands where on its pages, and its bytes |
//! | `png` | pictures to print, send and look at |
//! | [`seen()`] | a band as it is seen from afar |
//! | [`drawing`] | the flat chart and the band at a distance, as requested |
//! | [`ring_picture`] | the ring as it is worn, still or as a loop |

#[cfg(feature = "pdf")]
pub mod booklet;
pub mod chart;
pub mod check;
pub mod compare;
#[cfg(feature = "svg")]
pub mod drawing;
pub mod fit;
pub mod json;
pub mod kit;
mod lines;
pub mod mend;
pub mod palette;
pub mod palette_photo;
#[cfg(feature = "pdf")]
mod pdf;
#[cfg(feature = "svg")]
mod png;
#[cfg(feature = "pdf")]
pub mod print;
pub mod propose;
pub mod read;
pub mod resize;
#[cfg(feature = "render")]
pub mod ring_picture;
#[cfg(feature = "svg")]
mod seen;
mod svg;
pub mod swap;
mod text;
pub mod ways;
pub mod weave;

#[cfg(feature = "pdf")]
pub use pdf::pdf;
#[cfg(feature = "svg")]
pub use png::{DENSITY, MOST_PIXELS, Picture, png};
#[cfg(feature = "svg")]
pub use seen::seen;
pub use svg::svg;
pub use text::text;

#[cfg(feature = "svg")]
use crate::chart::Chart;
use crate::error::{Error, Result, nearest_names};
use crate::files::is_stdout;
use crate::report::WarningReport;
#[cfg(feature = "svg")]
use crate::scene::{FlatOptions, flat};
use std::path::Path;

/// Warnings, each on a line of its own.
fn warnings(warnings: &[WarningReport]) -> String {
    let line = |warning: &WarningReport| format!("note: {}\n", warning.text());
    warnings.iter().map(line).collect()
}

/// What kind of file a drawing becomes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Lines and words.
    Svg,
    /// Pixels.
    Png,
}

impl Kind {
    /// The kind that a path's ending names, in any case; standard output (`-`) gets SVG.
    ///
    /// # Errors
    /// If the ending names none.
    pub fn of(path: &Path) -> Result<Self> {
        if is_stdout(path) {
            return Ok(Self::Svg);
        }
        let ending = path.extension().and_then(|ending| ending.to_str());
        match ending.map(str::to_ascii_lowercase).as_deref() {
            Some("svg") => Ok(Self::Svg),
            Some("png") => Ok(Self::Png),
            Some(other) => Err(unknown(
                &format!("'.{other}' is no kind of picture"),
                other,
                &["svg", "png"],
            )),
            None => Err(unknown(
                "a name without an ending does not say what to draw",
                "",
                &["svg", "png"],
            )),
        }
    }
}

fn unknown(what: &str, ending: &str, known: &[&str]) -> Error {
    let hint = match nearest_names(ending, known.iter().copied())[..] {
        [near, ..] => format!("did you mean .{near}?"),
        _ => format!("end the name in {}", either(known)),
    };
    Error::usage(what).hint(hint)
}

/// `.svg or .png`.
fn either(known: &[&str]) -> String {
    let dotted: Vec<String> = known.iter().map(|ending| format!(".{ending}")).collect();
    match dotted.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
        None => String::new(),
    }
}

/// The flat chart as a file of `kind`, as the verb `chart` writes it beside the chart: at reading
/// size on white.
///
/// # Errors
/// If the picture cannot be drawn.
#[cfg(feature = "svg")]
pub fn preview(chart: &Chart, kind: Kind) -> Result<Vec<u8>> {
    let scene = flat(chart, &FlatOptions::default());
    match kind {
        Kind::Svg => Ok(svg(&scene).into_bytes()),
        Kind::Png => png(&scene, None).map(|picture| picture.bytes),
    }
}
