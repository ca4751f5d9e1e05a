//! Two copies: the buyer's pattern tells nothing of stock and money, the maker's sheet all of it.

use super::ring;
use crate::common::Bench;
use crate::pdf::{Drawn, Pdf};

/// What the maker has: half a gram of the ground, packs of 5 g, prices in EUR.
fn owned(bench: &Bench) {
    let chart = bench.run(&["kit", "band.json", "--json"]).ok().json();
    let mut text = "code,name,hex,grams,price,per_pack,currency\n".to_string();
    for colour in chart["colours"].as_array().unwrap() {
        let [code, name, hex] =
            ["code", "name", "hex"].map(|field| colour[field].as_str().unwrap());
        text += &format!("{code},{name},{hex},0.5,0.40,5,EUR\n");
    }
    bench.put("owned.csv", text);
}

fn all_words(pdf: &Pdf) -> String {
    let drawn = pdf.drawn.iter().flatten();
    let words = drawn.filter_map(|drawn| match drawn {
        Drawn::Words { words, .. } => Some(words.as_str()),
        Drawn::Outline { .. } => None,
    });
    words.collect::<Vec<_>>().join("\n")
}

#[test]
fn the_buyer_s_pattern_says_nothing_of_stock_cost_and_what_is_short() {
    let bench = ring();
    owned(&bench);
    let call = ["print", "band.json", "--palette", "owned.csv", "-o", "-"];
    let words = all_words(&Pdf::read(&bench.run(&call).ok().bytes));
    for secret in [
        "in stock", "cost", "short", "to buy", "to pay", "EUR", "packs",
    ] {
        let found = words.lines().find(|line| line.contains(secret));
        assert_eq!(found, None, "{secret}");
    }
    assert!(words.contains("with spare"), "test file is broken: {words}");
}

/// Figures of the sheet are those of the kit: what is in stock, packs, and the parts of the price.
#[test]
fn the_maker_s_sheet_has_the_figures_of_the_kit() {
    let bench = ring();
    owned(&bench);
    let options = ["--palette", "owned.csv", "--make", "12", "--pace", "12"];
    let more = ["--hourly", "18", "--materials", "0.80", "--markup", "40%"];
    let options = [&options[..], &more].concat();
    let kit = [&["kit", "band.json", "--json"], &options[..]].concat();
    let kit = bench.run(&kit).ok().json();
    let call = ["print", "band.json", "--for", "maker", "-o", "-"];
    let pdf = Pdf::read(&bench.run(&[&call[..], &options].concat()).ok().bytes);
    let words = all_words(&pdf);
    assert_eq!(kit["currency"], "EUR");
    let price = &kit["price"];
    let money = |field: &str| format!("{:.2}", price[field].as_f64().unwrap());
    // Cost and markup come to the price, and twelve prices to all of it, as they are shown.
    let number = |field: &str| (price[field].as_f64().unwrap() * 100.0).round() as i64;
    assert_eq!(
        number("beads") + number("materials") + number("work"),
        number("cost")
    );
    assert_eq!(number("cost") + number("markup"), number("price"));
    assert_eq!(number("price") * 12, number("all"));
    for field in [
        "beads",
        "materials",
        "work",
        "cost",
        "markup",
        "price",
        "all",
    ] {
        assert!(
            words.lines().any(|line| line == money(field)),
            "{field}: {words}"
        );
    }
    for colour in kit["colours"].as_array().unwrap() {
        if colour["packs"] != 0 {
            let packs = format!("{} × 5 g", colour["packs"]);
            assert!(words.contains(&packs), "{packs}: {words}");
        }
    }
    for said in [
        "cost EUR",
        "in stock g",
        "To buy",
        "to pay EUR",
        "Maker's sheet: 12 rings",
    ] {
        assert!(words.contains(said), "{said}: {words}");
    }
    assert!(
        !words.contains("Row by row") && pdf.pages.len() == 1,
        "{words}"
    );
}

/// A sheet for each chart in a folder takes the number of bands of its own chart.
#[test]
fn sheets_in_a_folder_have_their_own_numbers_of_bands() {
    let bench = ring();
    bench.put("other.json", bench.get("band.json"));
    std::fs::create_dir(bench.path("sheets")).unwrap();
    let call = ["print", "band.json", "other.json", "--for", "maker"];
    let call = [&call[..], &["--make", "12,4", "-o", "sheets"]].concat();
    bench.run(&call).ok();
    for (name, bands) in [("band", "12 rings"), ("other", "4 rings")] {
        let words = all_words(&Pdf::read(&bench.get(&format!("sheets/{name}.pdf"))));
        assert!(
            words.contains(&format!("Maker's sheet: {bands}")),
            "{words}"
        );
    }
}

#[test]
fn options_for_another_reader_are_refused() {
    let bench = ring();
    let cases: [(&[&str], &str); 6] = [
        (
            &["--make", "12"],
            "error: --make: this is only for a maker's sheet\n\
             hint: add --for maker, or leave it out",
        ),
        (
            &["--hourly", "18"],
            "error: --hourly: this is only for a maker's sheet\n\
             hint: add --for maker, or leave it out",
        ),
        (
            &["--for", "maker", "--sizes", "us5..us9"],
            "error: --sizes: this is only for a pattern\nhint: leave it out",
        ),
        (
            &["--for", "maker", "--picture", "bird.png"],
            "error: --picture: this is only for a pattern\nhint: leave it out",
        ),
        (
            &["--for", "maker", "--hourly", "18"],
            "error: --hourly: pay for an hour needs the time that the work takes\n\
             hint: add --pace, the beads that you weave in a minute",
        ),
        (
            &["--year", "26"],
            "error: --year: '26' is not a year\nhint: give four digits, such as 2026",
        ),
    ];
    for (options, error) in cases {
        bench
            .run(&[&["print", "band.json", "-o", "a.pdf"], options].concat())
            .fails(2, error);
        assert!(!bench.listing().contains(&"a.pdf".to_string()));
    }
}

/// Every page has the title, its number, the maker, the year, the terms and the version; the
/// version changes with the chart and not otherwise.
#[test]
fn the_foot_of_each_page_has_maker_year_terms_and_version() {
    let bench = ring();
    let terms = "For your own use";
    let options = ["--by", "Tide & Thrift", "--year", "2026", "--terms", terms];
    let printed = |more: &[&str]| {
        let call = ["print", "band.json", "-o", "-"];
        Pdf::read(&bench.run(&[&call[..], &options, more].concat()).ok().bytes)
    };
    let foot = |pdf: &Pdf, page: usize| -> Vec<String> {
        let high = pdf.pages[page].1;
        let words = pdf.drawn[page].iter().filter_map(|drawn| match drawn {
            Drawn::Words { at, words, .. } if at.1 > high - 20.0 => Some(words.clone()),
            _ => None,
        });
        words.collect()
    };
    let pdf = printed(&["--edition", "1.2"]);
    for page in 0..pdf.pages.len() {
        let number = format!("{} of {}", page + 1, pdf.pages.len());
        let maker = format!("© 2026 Tide & Thrift · {terms}");
        assert_eq!(
            foot(&pdf, page),
            ["Band", number.as_str(), maker.as_str(), "edition 1.2"]
        );
    }
    let edition = |pdf: &Pdf| foot(pdf, 0).pop().unwrap();
    let own = edition(&printed(&[]));
    assert!(own.starts_with("edition ") && own.len() == 14, "{own}");
    assert_eq!(edition(&printed(&["--paper", "letter"])), own);
    let text = bench.text("band.json").replacen("[0,", "[1,", 1);
    let text = if text == bench.text("band.json") {
        text.replacen("quay-58", "quay-59", 1)
    } else {
        text
    };
    assert_ne!(text, bench.text("band.json"), "test file is broken");
    bench.put("band.json", text);
    assert_ne!(edition(&printed(&[])), own);
}
