//! The page's own files, which are built into the program.

use super::guard::not_found;
use super::response::{HandlerResult, response};
use super::state::Desk;
use axum::extract::rejection::PathRejection;
use axum::extract::{Path, State};
use std::sync::{Arc, LazyLock};

/// A file of the page.
struct File {
    /// Its name in the address.
    name: &'static str,
    media_type: &'static str,
    body: &'static [u8],
}

/// A file of the folder `page` under its own name.
macro_rules! file {
    ($name:literal, $media_type:expr) => {
        File {
            name: $name,
            media_type: $media_type,
            body: include_bytes!(concat!("page/", $name)),
        }
    };
}

/// A chart to begin with: `starter-NAME.json`.
macro_rules! starter {
    ($name:literal) => {
        File {
            name: concat!("starter-", $name, ".json"),
            media_type: JSON,
            body: include_bytes!(concat!("starters/", $name, ".json")),
        }
    };
}

/// A drawing to chart, one of the samples: `motif-NAME.svg`.
macro_rules! motif {
    ($name:literal) => {
        File {
            name: concat!("motif-", $name, ".svg"),
            media_type: SVG,
            body: include_bytes!(concat!("starters/", $name, ".svg")),
        }
    };
}

/// Every file of the page, and what it offers to begin with.
const FILES: &[File] = &[
    file!("api.js", JS),
    file!("autosave.js", JS),
    file!("base.css", CSS),
    file!("bead-drawing.js", JS),
    file!("canvas.js", JS),
    file!("chart-palette.js", JS),
    file!("chart-record.js", JS),
    file!("chart-request.js", JS),
    file!("chart.js", JS),
    file!("charting.js", JS),
    file!("colours.js", JS),
    file!("commands.js", JS),
    file!("compare.js", JS),
    file!("crop.js", JS),
    file!("design-store.js", JS),
    file!("design-tiles.js", JS),
    file!("dialogs.css", CSS),
    file!("dialogs.js", JS),
    file!("distance-view.js", JS),
    file!("dom.js", JS),
    file!("edits.js", JS),
    file!("export-kinds.js", JS),
    file!("export.js", JS),
    file!("facts.js", JS),
    file!("field-errors.js", JS),
    file!("files.js", JS),
    file!("folder.js", JS),
    file!("follow.js", JS),
    file!("form.css", CSS),
    file!("format.js", JS),
    file!("gauge.js", JS),
    file!("history.js", JS),
    file!("icons.js", JS),
    file!("import.js", JS),
    file!("info.css", CSS),
    file!("kit-view.js", JS),
    file!("labels.js", JS),
    file!("lattice.js", JS),
    file!("main.js", JS),
    file!("migration.js", JS),
    file!("motif.js", JS),
    file!("notices.js", JS),
    file!("options.js", JS),
    file!("other-sizes.js", JS),
    file!("overlay.js", JS),
    file!("own-palettes.js", JS),
    file!("palette-book.js", JS),
    file!("palette-deletion.js", JS),
    file!("palette-editor.js", JS),
    file!("palette-file.js", JS),
    file!("palette-grid.js", JS),
    file!("palette-views.js", JS),
    file!("palette.css", CSS),
    file!("palette.js", JS),
    file!("photo-picker.js", JS),
    file!("pointer.js", JS),
    file!("preview.js", JS),
    file!("progress.js", JS),
    file!("refine.js", JS),
    file!("refinement.js", JS),
    file!("proposal-fields.js", JS),
    file!("proposals.css", CSS),
    file!("proposals.js", JS),
    file!("render.js", JS),
    file!("requests.js", JS),
    file!("reshape.js", JS),
    file!("resize-drawn.js", JS),
    file!("responsive.css", CSS),
    file!("ring-sizes.js", JS),
    file!("ring.js", JS),
    file!("row-counts.js", JS),
    file!("shortcuts.js", JS),
    file!("similar.js", JS),
    file!("start-page.js", JS),
    file!("start.css", CSS),
    file!("state.js", JS),
    file!("steps.js", JS),
    file!("storage.js", JS),
    file!("strip.js", JS),
    file!("summary.js", JS),
    file!("swatches.js", JS),
    file!("tools.js", JS),
    file!("touch-mode.js", JS),
    file!("true-size.js", JS),
    file!("views.js", JS),
    file!("waiting.js", JS),
    file!("workspace.css", CSS),
    starter!("anchor"),
    starter!("gull-tracks"),
    starter!("harbour-dusk"),
    starter!("kittiwake"),
    starter!("lighthouse"),
    starter!("tide-line"),
    motif!("anchor"),
    motif!("fish-hook"),
    motif!("gull-tracks"),
    motif!("kittiwake"),
    motif!("lighthouse"),
    motif!("tide-line"),
];

/// The page itself. A line `<!-- NAME -->` stands for the part of that name.
static PAGE: LazyLock<String> = LazyLock::new(|| {
    let page = include_str!("page/index.html").to_owned();
    PARTS.iter().fold(page, |page, (name, part)| {
        page.replace(&format!("<!-- {name} -->\n"), part)
    })
});

/// A part of the page under its name.
macro_rules! part {
    ($name:literal) => {
        ($name, include_str!(concat!("page/", $name)))
    };
}

/// The parts of the page.
const PARTS: &[(&str, &str)] = &[
    part!("dialogs.html"),
    part!("info-panel.html"),
    part!("source-panel.html"),
    part!("start-page.html"),
    part!("workspace.html"),
];

const HTML: &str = "text/html; charset=utf-8";
const CSS: &str = "text/css; charset=utf-8";
const JSON: &str = "application/json";
const SVG: &str = "image/svg+xml";
const JS: &str = "text/javascript; charset=utf-8";

/// `GET /TOKEN/`.
pub async fn page(State(desk): State<Arc<Desk>>) -> HandlerResult {
    desk.launched();
    Ok(response(HTML, PAGE.as_str()))
}

/// `GET /TOKEN/NAME`. Compares names; no folder is read.
pub async fn file(path: Result<Path<(String, String)>, PathRejection>) -> HandlerResult {
    let Path((_, name)) = path.map_err(|_| not_found())?;
    let found = FILES.iter().find(|file| file.name == name);
    let file = found.ok_or_else(not_found)?;
    Ok(response(file.media_type, file.body))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn motifs_to_begin_with_are_the_samples() {
        let samples = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("samples");
        for file in FILES.iter().filter(|file| file.media_type == SVG) {
            let name = file.name.strip_prefix("motif-").unwrap_or(file.name);
            let sample = std::fs::read(samples.join(name)).expect("a sample");
            assert_eq!(file.body, sample, "{name}");
        }
    }

    #[test]
    fn every_part_of_the_page_is_put_in_once() {
        for (name, part) in PARTS {
            assert_eq!(PAGE.matches(part).count(), 1, "{name}");
        }
        assert!(!PAGE.contains("<!--"));
    }
}
