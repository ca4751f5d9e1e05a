//! The follow-along page: one HTML file that shows the work step by step, keeps the place, and asks
//! nothing of any network.
//!
//! | file | holds |
//! |---|---|
//! | `work.rs` | what the page shows, as the JSON in it |
//! | `drawings.rs` | drawings of single steps |
//! | `page.css` | its looks, light and dark |
//! | `place.js` | the place in the work: on, back, undo, export |
//! | `keep.js`, `awake.js` | the place kept in the browser; the screen kept on |
//! | `chart.js`, `parts.js` | the chart beside the row; beads, icons |
//! | `sheet.js`, `view.js` | the sheet under the button More; the whole view |
//! | `follow.js` | `mount`: puts the page into an element |
//! | `entry.js` | mounts it from the JSON in the file |
//!
//! The scripts are plain ES modules. A file cannot import from a file beside it when opened from a
//! disk, so that they are joined into one here.

mod drawings;
mod work;

use crate::colour::{Srgb8, hex};
use crate::error::{Error, Result};
use crate::output::svg::escaped;
use crate::report::weave::{WeaveReport, WovenBand};
use crate::request::Keys;
use crate::scene::accent;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

const STYLE: &str = include_str!("page.css");
/// In the order in which they build on each other.
const SCRIPTS: [&str; 10] = [
    include_str!("work.js"),
    include_str!("place.js"),
    include_str!("keep.js"),
    include_str!("awake.js"),
    include_str!("parts.js"),
    include_str!("chart.js"),
    include_str!("sheet.js"),
    include_str!("view.js"),
    include_str!("follow.js"),
    include_str!("entry.js"),
];
/// The mat in light and in dark, as `page.css` has it; the accent is read on either.
const MATS: [Srgb8; 2] = [Srgb8::new(0xFB, 0xF9, 0xF4), Srgb8::new(0x1E, 0x23, 0x27)];

/// The follow-along page, as one HTML file with LF line ends.
///
/// Colours are called by their names, unless short keys are requested: a page has room. It holds
/// everything that it needs; its policy forbids it to load anything. The place is kept under a name
/// that hangs on shape, beads and direction of work alone, so that a page made again finds it. The
/// same band gives the same bytes.
///
/// # Errors
/// If the work cannot be written as JSON.
pub fn page(band: WovenBand) -> Result<String> {
    let band = &WovenBand {
        keys: band.keys.or(Some(Keys::Names)),
        ..band
    };
    let document = work::document(band, &WeaveReport::of(band));
    let title = escaped(&document.title);
    let json = serde_json::to_string(&document)
        .map_err(|cause| Error::new("the work cannot be written as JSON").because(cause))?;
    let accents = MATS.map(|mat| hex(accent(band.chart, mat)));
    let style = styled(&accents);
    let script = joined();
    Ok(format!(
        "<!doctype html>\n\
         <html lang=\"en\">\n\
         <meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"\
         default-src 'none'; script-src '{}'; style-src '{}'; \
         img-src data:; base-uri 'none'; form-action 'none'\">\n\
         <meta name=\"viewport\" \
         content=\"width=device-width, initial-scale=1, viewport-fit=cover\">\n\
         <meta name=\"color-scheme\" content=\"light dark\">\n\
         <meta name=\"theme-color\" media=\"(prefers-color-scheme: light)\" content=\"#EDE9DF\">\n\
         <meta name=\"theme-color\" media=\"(prefers-color-scheme: dark)\" content=\"#14171A\">\n\
         <meta name=\"generator\" content=\"upbead {}\">\n\
         <link rel=\"icon\" href=\"{}\">\n\
         <title>{title}</title>\n\
         <style>{style}</style>\n\
         <body>\n\
         <main id=\"follow\"></main>\n\
         <noscript><p>This page counts the rows with a script, and this browser \
         does not run it. Open the file in a browser that does.</p></noscript>\n\
         <script type=\"application/json\" id=\"work\">{}</script>\n\
         <script type=\"module\">{script}</script>\n\
         </body>\n\
         </html>\n",
        hash(&script),
        hash(&style),
        env!("CARGO_PKG_VERSION"),
        icon(&accents[0]),
        inert(&json),
    ))
}

/// A bead in the accent.
fn icon(accent: &str) -> String {
    format!(
        "data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 16 16'\
         %3E%3Crect x='3' y='1' width='10' height='14' rx='3' fill='%23{accent}'/%3E%3C/svg%3E"
    )
}

fn styled([light, dark]: &[String; 2]) -> String {
    format!("\n:root {{ --accent-light: #{light}; --accent-dark: #{dark}; }}\n{STYLE}")
}

/// All scripts as one module: what they import from each other stands above them.
fn joined() -> String {
    let mut out = String::from("\n");
    for line in SCRIPTS.iter().flat_map(|script| script.lines()) {
        if !line.starts_with("import ") {
            out += line.strip_prefix("export ").unwrap_or(line);
            out.push('\n');
        }
    }
    out
}

/// The source of a policy that lets exactly this text in (Content Security Policy Level 3, section
/// 2.3.1).
fn hash(text: &str) -> String {
    format!("sha256-{}", STANDARD.encode(Sha256::digest(text)))
}

/// JSON in which nothing can end a script element or look like markup.
fn inert(json: &str) -> String {
    let mut out = String::with_capacity(json.len());
    for letter in json.chars() {
        match letter {
            '<' | '>' | '&' | '\u{2028}' | '\u{2029}' => {
                out += &format!("\\u{:04x}", u32::from(letter));
            }
            other => out.push(other),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    /// Joined into one module, two things of one name would be an error that only a browser shows.
    #[test]
    fn scripts_can_be_joined() {
        let joined = joined();
        let mut names = HashSet::new();
        for line in joined.lines() {
            assert!(
                !line.starts_with("import") && !line.contains("export "),
                "{line}"
            );
            let mut words = line
                .split([' ', '(', '=', ';'])
                .filter(|word| *word != "async");
            if let (Some("function" | "const" | "let" | "class"), Some(name)) =
                (words.next(), words.next())
            {
                assert!(names.insert(name.to_string()), "{name} is there twice");
            }
        }
        assert!(names.len() > 20 && names.contains("mount"), "{names:?}");
    }

    #[test]
    fn neither_script_nor_style_can_end_its_element() {
        for text in [joined(), STYLE.to_string()] {
            let text = text.to_lowercase();
            assert!(!text.contains("</") && !text.contains("<!--"), "{text}");
        }
    }

    #[test]
    fn json_is_inert_and_still_the_same() {
        let words = "</script><!-- \u{2028} & \" 🪡";
        let json = serde_json::Value::from(words).to_string();
        let inert = inert(&json);
        assert!(!inert.contains(['<', '>', '&', '\u{2028}']), "{inert}");
        assert_eq!(
            serde_json::from_str::<String>(&inert).ok().as_deref(),
            Some(words)
        );
    }

    #[test]
    fn the_mats_are_those_of_the_style() {
        for mat in MATS {
            assert!(STYLE.contains(&format!("--mat: #{};", hex(mat))));
        }
    }
}
