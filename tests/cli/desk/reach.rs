//! Everything that the command line does can be done on the desk: each verb and each option has a
//! row here that says where, or why it means nothing in a browser.
//!
//! The rows are held against the command line's own definitions, against the page, and against what
//! the program says that it makes. That what is reached gives the same bytes is held by
//! [`super::same_bytes`], [`super::anew`], [`super::gauge`] and the journeys in
//! `tests/browser`.

mod reasons;

use super::client::Desk;
use crate::common::repository;
use clap::Command;
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;

/// Where something is reached.
#[derive(Debug, Clone, Copy)]
enum Where {
    /// An element of the page by its id.
    On(&'static str),
    /// A field of how a kind of file is made, by its kind: the option has the command line's long
    /// name.
    Made(&'static str),
    /// The kind of file to take away.
    Take(&'static str),
    /// Nowhere, and why.
    No(&'static str),
}

use Where::{Made, No, On, Take};
use reasons::*;

/// What says what a band costs, by `kit` and by `print`.
const PRICE: &[(&str, Where)] = &[
    ("--currency", SHEET),
    ("--pace", SHEET),
    ("--hourly", SHEET),
    ("--materials", SHEET),
    ("--markup", SHEET),
];

/// What says how a picture is charted, by `chart` and by `propose`.
const CHARTING: &[(&str, Where)] = &[
    ("--columns", On("columns")),
    ("--size", On("size")),
    ("--rows", On("rows")),
    ("--open", On("length-by")),
    ("--place", On("place")),
    ("--position", On("position-custom")),
    ("--rotate", On("rotate")),
    ("--crop", On("crop")),
    ("--scaling", On("scaling")),
    ("--margin", On("margin")),
    ("--ground", On("ground")),
    ("--colours", On("colours")),
    ("--keep", On("colour-keep")),
    ("--without", On("colour-exclude")),
    ("--from-stock", On("from-stock")),
    ("--make", On("stock-make")),
    ("--spare", On("stock-spare")),
    ("--dither", On("dither")),
    ("--strength", On("strength")),
    ("--refine", On("refine")),
    ("--distances", On("distances-custom")),
    ("--calm", On("calm")),
    ("--crisp", On("crisp")),
    ("--simplify", On("simplify")),
    ("--match", On("match")),
    ("--mirror", On("mirror")),
    ("--bead", On("bead-custom")),
    ("--swatch", On("swatch")),
    ("--fits", On("fits")),
    ("--gauge", On("gauge-open")),
    ("--prefer", On("prefer")),
];

const ROWS: &[(&str, &[(&str, Where)])] = &[
    (
        "chart",
        &[
            ("<PICTURE>", On("pick-picture")),
            ("--palette", On("pick-palette")),
            ("--output", DIALOG),
            ("--preview", Take("png")),
            ("--json", On("report-save")),
            ("--force", DIALOG),
            ("--title", On("title")),
            ("--plain", On("chart-picture")),
            ("--border", LAYERS),
            ("--border-columns", LAYERS),
            ("--back", LAYERS),
            ("--letters", LAYERS),
            ("--ink", LAYERS),
            ("--letters-height", LAYERS),
            ("--letters-direction", LAYERS),
            ("--letters-repeat", LAYERS),
            ("--letters-clear", LAYERS),
        ],
    ),
    (
        "propose",
        &[
            ("<PICTURE>", On("pick-picture")),
            ("--palette", On("pick-palette")),
            ("--output", NOT_YET),
            ("--take", NOT_YET),
            ("--json", NOT_YET),
            ("--force", DIALOG),
        ],
    ),
    (
        "refine",
        &[
            ("<CHART>", On("pick-chart")),
            ("--picture", On("pick-picture")),
            ("--palette", On("pick-palette")),
            ("--output", DIALOG),
            ("--force", DIALOG),
            ("--json", On("report-save")),
            ("--distances", On("distances-custom")),
            ("--calm", On("calm")),
            ("--simplify", On("simplify")),
            ("--pin", On("pin")),
        ],
    ),
    (
        "compare",
        &[
            ("<CHART>", On("pick-chart")),
            ("--picture", On("pick-picture")),
            ("--distances", On("compare-distances")),
            ("--json", Take("near-json")),
            ("--place", On("compare-as-set")),
            ("--position", On("compare-as-set")),
            ("--rotate", On("compare-as-set")),
            ("--crop", On("compare-as-set")),
            ("--scaling", On("compare-as-set")),
            ("--margin", On("compare-as-set")),
            ("--crisp", On("compare-as-set")),
            ("--ground", On("compare-as-set")),
        ],
    ),
    (
        "fit",
        &[
            ("<SIZE>", On("size")),
            ("--size", On("size")),
            ("--columns", On("columns")),
            ("--units", On("row-counts-list")),
            ("--json", Take("fit-json")),
            ("--bead", On("bead-custom")),
            ("--swatch", On("swatch")),
            ("--fits", On("fits")),
            ("--gauge", On("gauge-save")),
            ("--prefer", On("prefer")),
            ("--remember", On("gauge-remember")),
            ("--force", On("gauge-replace")),
        ],
    ),
    (
        "show",
        &[
            ("<CHART>", On("pick-chart")),
            ("--flat", Take("svg")),
            ("--beads", Take("beads")),
            ("--ring", Take("ring")),
            ("--turntable", Take("turntable")),
            ("--seen", Made("seen")),
            ("--scale", Made("png")),
            ("--density", Made("png")),
            ("--pixels", Made("ring")),
            ("--roll", Made("ring")),
            ("--tilt", Made("ring")),
            (
                "--lying",
                No("the desk shows the ring as a wheel; its booklet lays it where that suits"),
            ),
            ("--frames", Made("turntable")),
            ("--backdrop", Made("ring")),
            ("--lettered", Made("png")),
            ("--blank-ground", Made("png")),
            ("--force", DIALOG),
        ],
    ),
    (
        "weave",
        &[
            ("--units", Made("rows")),
            ("<CHART>", On("pick-chart")),
            ("--start", Made("rows")),
            ("--from", Made("rows")),
            ("--keys", Made("rows")),
            ("--odd-turn", Made("rows")),
            ("--thread", Made("rows")),
            ("--tail", Made("rows")),
            ("--rows", Made("rows")),
            ("--as", Made("rows")),
            ("--json", Take("weave-json")),
            ("--page", Take("page")),
            ("--force", DIALOG),
        ],
    ),
    (
        "print",
        &[
            ("--units", Made("pdf")),
            ("<CHART>", On("pick-chart")),
            ("--output", DIALOG),
            ("--paper", Made("pdf")),
            ("--sizes", Made("pdf")),
            ("--step", Made("pdf")),
            ("--nearest", Made("pdf")),
            ("--palette", On("pick-palette")),
            ("--title", On("title")),
            ("--by", Made("pdf")),
            ("--for", SHEET),
            ("--year", SHEET),
            ("--terms", SHEET),
            ("--edition", SHEET),
            ("--make", SHEET),
            ("--spare", SHEET),
            ("--note", Made("pdf")),
            ("--picture", On("cover")),
            ("--start", Made("pdf")),
            ("--from", Made("pdf")),
            ("--keys", Made("pdf")),
            ("--odd-turn", Made("pdf")),
            ("--thread", Made("pdf")),
            ("--tail", Made("pdf")),
            ("--blank-ground", Made("pdf")),
            ("--turn-over", Made("pdf")),
            ("--force", DIALOG),
            ("--swatch", On("swatch")),
            ("--fits", On("fits")),
            ("--gauge", On("gauge-open")),
            ("--prefer", On("prefer")),
        ],
    ),
    (
        "kit",
        &[
            ("--units", Made("kit-text")),
            ("<CHART>", On("pick-chart")),
            ("--palette", On("pick-palette")),
            ("--make", Made("kit-text")),
            ("--spare", Made("kit-text")),
            ("--thread", Made("kit-text")),
            ("--tail", Made("kit-text")),
            ("--odd-turn", Made("kit-text")),
            ("--as", Take("kit-csv")),
            ("--json", Take("kit-json")),
        ],
    ),
    (
        "check",
        &[
            ("<CHART>", On("pick-chart")),
            ("--palette", On("pick-palette")),
            ("--make", Made("check")),
            ("--thread", Made("check")),
            ("--length", Made("check")),
            (
                "--strict",
                No("it sets a script's exit status; the page lists the problems"),
            ),
            ("--json", Take("check-json")),
        ],
    ),
    (
        "resize",
        &[
            ("<CHART>", On("pick-chart")),
            ("--sizes", Made("sizes")),
            ("--step", Made("sizes")),
            ("--output", DIALOG),
            ("--nearest", Made("sizes")),
            ("--force", DIALOG),
            ("--json", Take("sizes-json")),
            ("--swatch", On("swatch")),
            ("--fits", On("fits")),
            ("--gauge", On("gauge-open")),
            ("--prefer", On("prefer")),
        ],
    ),
    (
        "desk",
        &[
            ("<CHART>", On("pick-chart")),
            ("--palette", On("pick-palette")),
            ("--port", No("the page has come by it already")),
            ("--no-open", No("the page is open already")),
        ],
    ),
    (
        "swap",
        &[
            ("<CHART>", On("pick-chart")),
            ("--palette", On("recolour")),
            ("--map", On("replace-colour")),
            ("--ways", WAYS),
            ("--suggest", WAYS),
            ("--output", DIALOG),
            ("--force", DIALOG),
            ("--json", On("report-save")),
        ],
    ),
    (
        "set",
        &[
            ("<CHART>", On("pick-chart")),
            ("<BEADS>", On("band")),
            ("--mirror", On("draw-mirror-columns")),
            ("--palette", On("pick-palette")),
            ("--output", DIALOG),
            ("--force", DIALOG),
            ("--json", COUNTED),
        ],
    ),
    (
        "shift",
        &[
            ("<CHART>", On("pick-chart")),
            ("--up", On("shift-up")),
            ("--right", On("shift-right")),
            ("--output", DIALOG),
            ("--force", DIALOG),
            ("--json", COUNTED),
        ],
    ),
    (
        "flip",
        &[
            ("<CHART>", On("pick-chart")),
            ("--mirror", ALL_SELECTED),
            ("--output", DIALOG),
            ("--force", DIALOG),
            ("--json", COUNTED),
        ],
    ),
    (
        "repeat",
        &[
            ("<CHART>", On("pick-chart")),
            ("--rows", COPIES),
            ("--times", COPIES),
            ("--output", DIALOG),
            ("--force", DIALOG),
            ("--json", COUNTED),
        ],
    ),
    (
        "palette",
        &[
            ("<FILE>", On("pick-palette")),
            ("--below", On("below")),
            ("--json", Take("palette-json")),
        ],
    ),
    (
        "palette from-photo",
        &[
            ("<PHOTO>", On("pick-photo")),
            ("--output", On("palette-save")),
            ("--grid", On("grid")),
            ("--spots", On("spots")),
            ("--white", On("white")),
            ("--force", DIALOG),
            ("--json", On("photo-report")),
        ],
    ),
    (
        "read",
        &[
            ("<FILE>", NOT_READ_YET),
            ("--palette", NOT_READ_YET),
            ("--kind", NOT_READ_YET),
            ("--map", NOT_READ_YET),
            ("--first-row", NOT_READ_YET),
            ("--direction", NOT_READ_YET),
            ("--sides", NOT_READ_YET),
            ("--columns", NOT_READ_YET),
            ("--open", NOT_READ_YET),
            ("--bead", NOT_READ_YET),
            ("--title", NOT_READ_YET),
            ("--output", DIALOG),
            ("--force", DIALOG),
            ("--json", NOT_READ_YET),
        ],
    ),
    ("schema", &[("--of", Take("schema-weave"))]),
    ("manual", &[]),
    (
        "completions",
        &[("<SHELL>", No("a browser has no shell to complete for"))],
    ),
];

/// What a verb does beside its options, where it has none or prints something of its own.
const VERBS: &[(&str, Where)] = &[
    ("chart", On("chart-picture")),
    ("propose", NOT_YET),
    ("refine", On("refine-chart")),
    ("compare", On("compare-figures")),
    ("fit", On("row-counts-list")),
    ("show", On("viewport")),
    ("weave", Take("rows")),
    ("print", Take("pdf")),
    ("kit", Take("kit-text")),
    ("check", Take("check")),
    ("resize", Take("sizes")),
    ("desk", On("workspace")),
    ("swap", On("recolour")),
    ("set", On("band")),
    ("shift", On("band-panel")),
    ("flip", ALL_SELECTED),
    ("repeat", COPIES),
    ("palette", On("palette-colours")),
    ("read", NOT_READ_YET),
    ("palette from-photo", On("palette-photo")),
    ("schema", Take("schema")),
    (
        "manual",
        No("it is the manual of the command line; the page explains itself, and its shortcuts"),
    ),
    ("completions", No("a browser has no shell to complete for")),
];

/// The options and arguments of every verb, as the command line parses them.
fn spoken() -> BTreeMap<String, Vec<String>> {
    let mut all = BTreeMap::new();
    let mut command = upbead::cli::command();
    command.build();
    for verb in command.get_subcommands() {
        gather("", verb, &mut all);
    }
    all
}

fn gather(above: &str, verb: &Command, all: &mut BTreeMap<String, Vec<String>>) {
    let name = format!("{above}{}", verb.get_name());
    let options = verb
        .get_arguments()
        .filter(|one| one.get_id() != "help")
        .map(|one| match (one.get_long(), one.get_value_names()) {
            (Some(long), _) => format!("--{long}"),
            (None, Some([value, ..])) => format!("<{value}>"),
            (None, _) => one.get_id().to_string(),
        });
    all.insert(name.clone(), options.collect());
    for below in verb.get_subcommands() {
        gather(&format!("{name} "), below, all);
    }
}

/// Every fault, so that all of them are told at once.
#[test]
fn every_option_of_every_verb_is_on_the_page_or_says_why_not() {
    let spoken = spoken();
    assert!(
        spoken.len() > 15 && spoken["chart"].len() > 30,
        "{spoken:?}"
    );
    let mut faults = Vec::new();
    let rows: BTreeMap<&str, BTreeMap<&str, Where>> = ROWS
        .iter()
        .map(|(verb, rows)| {
            let charts = ["chart", "propose"].contains(verb);
            let more = if charts {
                CHARTING
            } else if ["kit", "print"].contains(verb) {
                PRICE
            } else {
                &[]
            };
            (*verb, rows.iter().chain(more).copied().collect())
        })
        .collect();
    for (verb, options) in &spoken {
        let known = rows.get(verb.as_str());
        if known.is_none() || !VERBS.iter().any(|(name, _)| name == verb) {
            faults.push(format!("{verb} has no row"));
        }
        for option in options {
            if !known.is_some_and(|known| known.contains_key(option.as_str())) {
                faults.push(format!(
                    "{verb} {option} has no row: where is it reached on the desk?"
                ));
            }
        }
    }
    for (verb, rows) in &rows {
        for option in rows.keys() {
            if !spoken
                .get(*verb)
                .is_some_and(|all| all.iter().any(|one| one == option))
            {
                faults.push(format!("{verb} {option} has a row and is no option"));
            }
        }
    }
    let page = Page::read();
    for (verb, place) in VERBS {
        faults.extend(page.fault(verb, "", *place));
    }
    for (verb, rows) in &rows {
        for (option, place) in rows {
            faults.extend(page.fault(verb, option, *place));
        }
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

/// What the page has, and what the program says that it makes.
struct Page {
    html: String,
    names: String,
    kinds: Vec<Value>,
}

impl Page {
    fn read() -> Self {
        let file = |name: &str| fs::read_to_string(repository("src/desk/page").join(name)).unwrap();
        // The page is put together from its parts.
        let parts = [
            "index",
            "dialogs",
            "info-panel",
            "source-panel",
            "start-page",
            "workspace",
        ];
        let begin = Desk::open().get("begin").ok().json();
        Self {
            html: parts.map(|part| file(&format!("{part}.html"))).concat(),
            names: file("export-kinds.js"),
            kinds: begin["kinds"].as_array().unwrap().clone(),
        }
    }

    fn fault(&self, verb: &str, option: &str, place: Where) -> Option<String> {
        let (fine, what) = match place {
            On(id) => (self.has(id), format!("the page has no {id}")),
            Take(kind) => (
                self.takes(kind),
                format!("nothing of the kind {kind} is offered"),
            ),
            Made(kind) => (
                self.takes(kind)
                    && self.made(kind, &option.trim_start_matches("--").replace('-', "_")),
                format!("the kind {kind} has no field for it"),
            ),
            No(why) => (why.len() > 20, "why not?".to_string()),
        };
        (!fine).then(|| format!("{verb} {option}: {what}"))
    }

    fn has(&self, id: &str) -> bool {
        self.html.contains(&format!(" id=\"{id}\""))
    }

    fn kind(&self, word: &str) -> Option<&Value> {
        self.kinds.iter().find(|kind| kind["kind"] == word)
    }

    /// The program makes it, and the page has a name for it.
    fn takes(&self, kind: &str) -> bool {
        let named = [format!("  {kind}: \""), format!("  \"{kind}\": \"")];
        self.kind(kind).is_some() && named.iter().any(|name| self.names.contains(name))
    }

    /// The kind takes the option, and the page has a field for it that is meant for that kind.
    fn made(&self, kind: &str, option: &str) -> bool {
        let takes = self.kind(kind).and_then(|kind| kind["options"].as_array());
        let takes = takes.is_some_and(|options| options.iter().any(|one| one == option));
        let field = self.html.split('<').any(|tag| {
            let of_kind = tag
                .split("data-kinds=\"")
                .nth(1)
                .and_then(|rest| rest.split('"').next());
            tag.contains(&format!("data-option=\"{option}\""))
                && of_kind.is_none_or(|kinds| kinds.split(' ').any(|one| one == kind))
        });
        takes && field
    }
}
