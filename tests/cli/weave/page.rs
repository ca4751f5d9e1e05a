//! `upbead weave --page`: the file. What a browser shows of it is tested in `tests/browser`.

use super::{bench, ring, strip};
use base64::Engine;
use serde_json::Value;
use sha2::{Digest, Sha256};
use upbead::chart::Chart;

/// What stands between two marks.
fn between<'a>(text: &'a str, from: &str, to: &str) -> &'a str {
    let (_, rest) = text.split_once(from).unwrap_or_else(|| panic!("{from}"));
    rest.split_once(to).unwrap_or_else(|| panic!("{to}")).0
}

fn carried(html: &str) -> Value {
    let json = between(
        html,
        "<script type=\"application/json\" id=\"work\">",
        "</script>",
    );
    serde_json::from_str(json).unwrap()
}

#[test]
fn a_page_is_one_file_that_is_the_same_each_time() {
    let bench = bench(&ring());
    let run = bench
        .run(&["weave", "band.json", "--page", "rows.html"])
        .ok();
    assert_eq!((run.out.as_str(), run.err.as_str()), ("", ""));
    assert_eq!(bench.listing(), "band.json rows.html");
    let page = bench.text("rows.html");
    assert!(page.starts_with("<!doctype html>\n") && page.ends_with("</html>\n"));
    assert!(!page.contains('\r') && page.len() < 300_000);
    let printed = bench.run(&["weave", "band.json", "--page", "-"]).ok();
    assert_eq!(printed.out, page);
    bench
        .run(&["weave", "band.json", "--page", "rows.html", "--force"])
        .ok();
    assert_eq!(bench.text("rows.html"), page);
}

/// Content Security Policy Level 3, section 2.3.1: the base64 of the SHA-256 of the element's text.
#[test]
fn the_policy_allows_this_script_and_this_style_and_nothing_else() {
    let bench = bench(&ring());
    bench
        .run(&["weave", "band.json", "--page", "rows.html"])
        .ok();
    let page = bench.text("rows.html");
    let hash = |text: &str| base64::engine::general_purpose::STANDARD.encode(Sha256::digest(text));
    let script = hash(between(&page, "<script type=\"module\">", "</script>"));
    let style = hash(between(&page, "<style>", "</style>"));
    assert_eq!(
        between(
            &page,
            "http-equiv=\"Content-Security-Policy\" content=\"",
            "\""
        ),
        format!(
            "default-src 'none'; script-src 'sha256-{script}'; style-src 'sha256-{style}'; img-src \
             data:; base-uri 'none'; form-action 'none'"
        )
    );
    // The only address is the name of a vocabulary.
    let addresses = page.matches("://").count();
    assert_eq!(
        addresses,
        page.matches("http://www.w3.org/2000/svg").count()
    );
    assert!(!page.contains(" src=") && !page.contains("@import url"));
}

#[test]
fn the_words_are_those_of_the_written_rows() {
    let bench = bench(&ring());
    let text = bench.run(&["weave", "band.json"]).ok().out;
    let unbroken: Vec<&str> = text.split_whitespace().collect();
    let unbroken = unbroken.join(" ");
    bench
        .run(&["weave", "band.json", "--page", "rows.html"])
        .ok();
    let work = carried(&bench.text("rows.html"));
    assert_eq!(work["title"], "Garnet * wave");
    let mut told = 0;
    for step in work["steps"].as_array().unwrap() {
        let notes = step["notes"].as_array().into_iter().flatten();
        let notes = notes.flat_map(|note| note["paragraphs"].as_array().unwrap());
        let words = step["text"].as_array().into_iter().flatten().chain(notes);
        let first = step["turn"]["first"] == true && step["turn"]["how"].is_string();
        let words = words.chain(first.then_some(&step["turn"]["how"]));
        for words in words.map(|words| words.as_str().unwrap()) {
            // The text has a sentence of its own between these two.
            for sentence in words.split_inclusive("edge of the work).") {
                assert!(unbroken.contains(sentence.trim()), "{sentence}\n{text}");
                told += 1;
            }
        }
    }
    for part in work["help"].as_array().unwrap() {
        for words in part["paragraphs"].as_array().unwrap() {
            assert!(unbroken.contains(words.as_str().unwrap()), "{words}");
            told += 1;
        }
    }
    assert!(told > 12, "only {told} sentences were found");
}

#[test]
fn the_place_depends_on_beads_and_direction_not_on_names() {
    let id = |chart: &Chart, options: &[&str]| {
        let bench = bench(chart);
        let page = bench
            .run(&[&["weave", "band.json", "--page", "-"], options].concat())
            .ok();
        carried(&page.out)["id"].as_str().unwrap().to_string()
    };
    let own = id(&ring(), &[]);
    assert!(own.len() == 16 && own.bytes().all(|digit| digit.is_ascii_hexdigit()));
    let mut renamed = ring();
    renamed.title = None;
    renamed.colours[0].name = "ruby".to_string();
    assert_eq!(id(&renamed, &["--keys", "short"]), own);
    let mut mended = ring();
    mended.beads[20] = 2;
    let others = [
        id(&mended, &[]),
        id(&ring(), &["--from", "top"]),
        id(&ring(), &["--start", "right"]),
        id(&ring(), &["--rows", "3..12"]),
    ];
    for (at, other) in others.iter().enumerate() {
        assert!(*other != own && !others[..at].contains(other), "{at}");
    }
}

#[test]
fn a_page_without_a_title_is_named_after_the_file() {
    let bench = bench(&strip());
    let page = bench.run(&["weave", "band.json", "--page", "-"]).ok().out;
    assert_eq!(between(&page, "<title>", "</title>"), "band");
    let chart = bench.get("band.json");
    let page = bench
        .run_with(&["weave", "-", "--page", "-"], &chart)
        .ok()
        .out;
    assert_eq!(between(&page, "<title>", "</title>"), "Weaving guide");
}

#[test]
fn files_are_replaced_only_with_force_and_the_chart_never() {
    let bench = bench(&ring());
    bench.put("rows.html", "mine");
    bench
        .run(&["weave", "band.json", "--page", "rows.html"])
        .fails(
            1,
            "error: rows.html: the file exists\n\
             hint: choose another name, or add --force to replace it",
        );
    assert_eq!(bench.text("rows.html"), "mine");
    bench.put("chart.html", bench.get("band.json"));
    bench
        .run(&["weave", "chart.html", "--page", "./chart.html", "--force"])
        .fails(
            2,
            "error: --page: 'chart.html' is read and cannot be written over\n\
             hint: choose another name",
        );
    bench
        .run(&["weave", "band.json", "--page", "band.json", "--force"])
        .fails(
            2,
            "error: --page: 'band.json' does not end as a page does\nhint: end its name in .html",
        );
    bench
        .run(&["weave", "band.json", "--page", "sub/rows.html"])
        .fails(
            1,
            "error: sub/rows.html: there is no folder 'sub'\nhint: make the folder first",
        );
    bench.put("bad.json", "{");
    assert_eq!(
        bench
            .run(&["weave", "bad.json", "--page", "new.html"])
            .status,
        Some(1)
    );
    assert_eq!(bench.listing(), "bad.json band.json chart.html rows.html");
}

#[test]
fn a_page_is_neither_text_nor_json() {
    let bench = bench(&ring());
    for (options, option) in [(&["--json"][..], "--json"), (&["--as", "markdown"], "--as")] {
        let call = [&["weave", "band.json", "--page", "rows.html"], options].concat();
        bench.run(&call).fails(
            2,
            &format!(
                "error: {option}: a page is a form of its own\nhint: leave out {option} or --page"
            ),
        );
    }
    bench.run(&["weave", "band.json", "--force"]).fails(
        2,
        "error: --force: only a page can be replaced\nhint: add --page, or leave --force out",
    );
    assert_eq!(bench.listing(), "band.json");
}
