//! Bytes as text, and what they are if they are none.

use crate::error::{Error, Result};

/// What a ZIP archive begins with, as spreadsheets of several formats are.
const ZIP: &[u8] = b"PK\x03\x04";

/// A ZIP archive, as it is called.
const SPREADSHEET: &str = "a spreadsheet or an archive";

/// Bytes as text in UTF-8, a mark at the head taken off; `wanted` is what they should be, such as
/// `a palette`.
///
/// # Errors
/// If they are a picture or a spreadsheet; or are not UTF-8, with the place. The file's name is the
/// caller's to add.
pub fn as_text(bytes: Vec<u8>, wanted: &str) -> Result<String> {
    if let Some(other) = other_kind(&bytes) {
        let hint = if other == SPREADSHEET {
            "save it as CSV".to_string()
        } else {
            format!("name {wanted} here")
        };
        return Err(Error::new(format!("this is {other}, not {wanted}")).hint(hint));
    }
    let text = String::from_utf8(bytes).map_err(|e| {
        let before = &e.as_bytes()[..e.utf8_error().valid_up_to()];
        let line = before.iter().filter(|&&byte| byte == b'\n').count() + 1;
        let start = before
            .iter()
            .rposition(|&byte| byte == b'\n')
            .map_or(0, |at| at + 1);
        let column = String::from_utf8_lossy(&before[start..]).chars().count() + 1;
        Error::new("the text is not UTF-8")
            .at(line, column)
            .hint("save the file as UTF-8")
    })?;
    Ok(match text.strip_prefix('\u{feff}') {
        Some(rest) => rest.to_string(),
        None => text,
    })
}

/// What a file is that is surely none of our texts.
fn other_kind(bytes: &[u8]) -> Option<&'static str> {
    let head = &bytes[..bytes.len().min(1000)];
    if is_picture(bytes) {
        Some("a picture")
    } else if head.starts_with(ZIP) {
        Some(SPREADSHEET)
    } else if head.starts_with(b"%PDF-") {
        Some("a PDF")
    } else {
        None
    }
}

/// Whether bytes are a picture and no text.
pub fn is_picture(bytes: &[u8]) -> bool {
    let head = &bytes[..bytes.len().min(1000)];
    let text = head.trim_ascii_start();
    let is_svg = text.starts_with(b"<") && text.windows(4).any(|four| four == b"<svg");
    // Some marks are two letters, which a text may begin with too.
    let is_text = || !bytes.contains(&0) && std::str::from_utf8(bytes).is_ok();
    let is_known = || image::guess_format(head).is_ok_and(|format| format.reading_enabled());
    is_svg || is_known() && !is_text()
}
