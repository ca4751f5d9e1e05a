//! The page's own files, which are part of the program.

use super::answer::{Answer, bytes};
use super::guard::nothing_here;
use axum::extract::Path;
use axum::extract::rejection::PathRejection;

/// Every file by its name in the address; the empty one is the page.
const FILES: &[(&str, &str, &[u8])] = &[("", HTML, include_bytes!("blank.html"))];

const HTML: &str = "text/html; charset=utf-8";

/// `GET /TOKEN/`.
pub async fn page() -> Answer {
    asset("")
}

/// `GET /TOKEN/NAME`.
pub async fn file(path: Result<Path<(String, String)>, PathRejection>) -> Answer {
    let Path((_, name)) = path.map_err(|_| nothing_here())?;
    match name.is_empty() {
        true => Err(nothing_here()),
        false => asset(&name),
    }
}

/// Names are compared, and no folder is looked into.
fn asset(name: &str) -> Answer {
    let found = FILES.iter().find(|(known, ..)| *known == name);
    let (_, kind, body) = found.ok_or_else(nothing_here)?;
    Ok(bytes(kind, *body))
}
