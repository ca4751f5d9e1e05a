//! The page's own files, which are built into the program.

use super::guard::not_found;
use super::response::{HandlerResult, response};
use axum::extract::Path;
use axum::extract::rejection::PathRejection;

/// Every file by its name in the address; the empty one is the page.
const FILES: &[(&str, &str, &[u8])] = &[
    ("", HTML, include_bytes!("page/index.html")),
    ("style.css", CSS, include_bytes!("page/style.css")),
    ("ask.js", JS, include_bytes!("page/ask.js")),
    ("beads.js", JS, include_bytes!("page/beads.js")),
    ("chart.js", JS, include_bytes!("page/chart.js")),
    ("alike.js", JS, include_bytes!("page/alike.js")),
    ("anew.js", JS, include_bytes!("page/anew.js")),
    ("chest.js", JS, include_bytes!("page/chest.js")),
    ("colours.js", JS, include_bytes!("page/colours.js")),
    ("come.js", JS, include_bytes!("page/come.js")),
    ("deeds.js", JS, include_bytes!("page/deeds.js")),
    ("desk.js", JS, include_bytes!("page/desk.js")),
    ("dialogs.js", JS, include_bytes!("page/dialogs.js")),
    ("dishes.js", JS, include_bytes!("page/dishes.js")),
    ("dom.js", JS, include_bytes!("page/dom.js")),
    ("facts.js", JS, include_bytes!("page/facts.js")),
    ("files.js", JS, include_bytes!("page/files.js")),
    ("follow.js", JS, include_bytes!("page/follow.js")),
    ("gauge.js", JS, include_bytes!("page/gauge.js")),
    ("hands.js", JS, include_bytes!("page/hands.js")),
    ("keep.js", JS, include_bytes!("page/keep.js")),
    ("keys.js", JS, include_bytes!("page/keys.js")),
    ("lattice.js", JS, include_bytes!("page/lattice.js")),
    ("lay.js", JS, include_bytes!("page/lay.js")),
    ("make.js", JS, include_bytes!("page/make.js")),
    ("mat.js", JS, include_bytes!("page/mat.js")),
    ("notice.js", JS, include_bytes!("page/notice.js")),
    ("out.js", JS, include_bytes!("page/out.js")),
    ("picture.js", JS, include_bytes!("page/picture.js")),
    ("plainly.js", JS, include_bytes!("page/plainly.js")),
    ("program.js", JS, include_bytes!("page/program.js")),
    ("ring.js", JS, include_bytes!("page/ring.js")),
    ("size.js", JS, include_bytes!("page/size.js")),
    ("state.js", JS, include_bytes!("page/state.js")),
    ("table.js", JS, include_bytes!("page/table.js")),
    ("work.js", JS, include_bytes!("page/work.js")),
];

const HTML: &str = "text/html; charset=utf-8";
const CSS: &str = "text/css; charset=utf-8";
const JS: &str = "text/javascript; charset=utf-8";

/// `GET /TOKEN/`.
pub async fn page() -> HandlerResult {
    asset("")
}

/// `GET /TOKEN/NAME`.
pub async fn file(path: Result<Path<(String, String)>, PathRejection>) -> HandlerResult {
    let Path((_, name)) = path.map_err(|_| not_found())?;
    if name.is_empty() {
        return Err(not_found());
    }
    asset(&name)
}

/// Compares names; no folder is read.
fn asset(name: &str) -> HandlerResult {
    let found = FILES.iter().find(|(known, ..)| *known == name);
    let (_, media_type, body) = found.ok_or_else(not_found)?;
    Ok(response(media_type, *body))
}
