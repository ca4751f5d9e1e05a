//! Several charts: one booklet with contents, or a booklet each.

use super::{KITTIWAKE, ring};
use crate::common::Bench;
use crate::pdf::{Drawn, Element, Pdf};
use lopdf::{Document, Object};

/// Two rings of one shape and one that is narrower.
fn class() -> Bench {
    let bench = ring();
    let other = ["gull.json", "--title", "Gull at sea"];
    bench.run(&[&KITTIWAKE[..], &other].concat()).ok();
    let plain = ["chart", "--plain", "--palette", "tin.csv", "--size", "us7"];
    let named = ["--title", "Plain sand", "-o", "plain.json"];
    bench.run(&[&plain[..], &named].concat()).ok();
    bench
}

const ALL: [&str; 4] = ["print", "band.json", "gull.json", "plain.json"];

fn headings(pdf: &Pdf, role: &str) -> Vec<String> {
    let of_role = pdf.elements.iter().filter(|element| element.role == role);
    of_role.map(|element| element.words.clone()).collect()
}

fn page_of(pdf: &Pdf, element: &Element) -> usize {
    let at = pdf
        .elements
        .iter()
        .position(|one| std::ptr::eq(one, element));
    let after = pdf.elements[at.unwrap()..].iter();
    after.flat_map(|one| &one.marks).next().unwrap().0
}

/// The links of the first page: what they say, and the page they lead to.
fn links(bytes: &[u8]) -> Vec<(String, u32)> {
    let document = Document::load_mem(bytes).unwrap();
    let pages = document.get_pages();
    let page = document.get_dictionary(pages[&1]).unwrap();
    let follow = |object: &Object| document.dereference(object).unwrap().1.clone();
    let links = follow(page.get(b"Annots").unwrap());
    let link = |link: &Object| {
        let link = follow(link);
        let link = link.as_dict().unwrap();
        let words = link.get(b"Contents").unwrap().as_str().unwrap();
        let there = follow(link.get(b"Dest").unwrap());
        let there = there.as_array().unwrap()[0].as_reference().unwrap();
        let number = pages.iter().find(|(_, page)| **page == there).unwrap().0;
        (String::from_utf8(words.to_vec()).unwrap(), *number)
    };
    links.as_array().unwrap().iter().map(link).collect()
}

#[test]
fn one_booklet_has_contents_a_part_for_each_design_and_techniques_once() {
    let bench = class();
    let run = bench
        .run(&[&ALL[..], &["--title", "Three rings", "-o", "-"]].concat())
        .ok();
    let pdf = Pdf::read(&run.bytes);
    assert_eq!(headings(&pdf, "H1"), ["Three rings"]);
    let chapters = headings(&pdf, "H2");
    let expected = [
        "Contents",
        "What you need for one of each",
        "Band",
        "Gull at sea",
        "Plain sand",
        // All counts are odd; eleven columns for two of them, nine for the third.
        "How the thread goes",
        "Your size",
        "Finish",
        "Your size",
        "Finish",
    ];
    assert_eq!(chapters, expected);
    let parts = headings(&pdf, "H3");
    for part in ["What you need", "Chart", "Row by row"] {
        assert_eq!(parts.iter().filter(|one| *one == part).count(), 3, "{part}");
    }
    // The page that the contents give is the one that the design begins on.
    for title in ["Band", "Gull at sea", "Plain sand"] {
        let is = |one: &&Element| one.role == "H2" && one.words == title;
        let page = page_of(&pdf, pdf.elements.iter().find(is).unwrap()) + 1;
        let told = |one: &&Element| one.role == "LI" && one.words.starts_with(title);
        let line = &pdf.elements.iter().find(told).unwrap().words;
        assert!(line.ends_with(&format!("page {page}")), "{title}: {line}");
        assert!(links(&run.bytes).contains(&(format!("{title}, page {page}"), page as u32)));
    }
    let foot = pdf.drawn[2]
        .iter()
        .any(|drawn| matches!(drawn, Drawn::Words { words, .. } if words == "Three rings · Band"));
    assert!(foot, "no design at the foot of its pages");
}

/// The table for all is the shopping list of the kit.
#[test]
fn what_is_needed_for_all_is_what_the_kit_says() {
    let bench = class();
    let pdf = Pdf::read(&bench.run(&[&ALL[..], &["-o", "-"]].concat()).ok().bytes);
    let call = ["kit", "band.json", "gull.json", "plain.json", "--json"];
    let order = bench.run(&call).ok().json();
    let is = |one: &&Element| one.role == "Table";
    let table = pdf.elements.iter().position(|one| is(&one)).unwrap();
    let rows: Vec<&str> = pdf.elements[table..]
        .iter()
        .filter(|one| one.role == "TR")
        .map(|one| one.words.as_str())
        .collect();
    for (colour, row) in order["colours"].as_array().unwrap().iter().zip(&rows[1..]) {
        for field in ["code", "name"] {
            assert!(row.contains(colour[field].as_str().unwrap()), "{row}");
        }
        for field in ["beads", "beads_with_spare"] {
            assert!(row.contains(&colour[field].to_string()), "{field}: {row}");
        }
    }
}

/// The booklets are those that are printed one by one.
#[test]
fn a_folder_gets_a_booklet_for_each_chart() {
    let bench = class();
    std::fs::create_dir(bench.path("booklets")).unwrap();
    let run = bench.run(&[&ALL[..], &["-o", "booklets"]].concat()).ok();
    assert_eq!(run.out.lines().count(), 3, "{}", run.out);
    for name in ["band", "gull", "plain"] {
        let alone = ["print", &format!("{name}.json"), "-o", "-"];
        let alone = bench.run(&alone).ok().bytes;
        assert!(
            bench.get(&format!("booklets/{name}.pdf")) == alone,
            "{name}"
        );
    }
}

#[test]
fn nothing_is_written_where_one_of_several_is_refused() {
    let bench = class();
    std::fs::create_dir(bench.path("booklets")).unwrap();
    std::fs::create_dir(bench.path("more")).unwrap();
    bench.put("more/band.json", bench.get("band.json"));
    bench.put("broken.json", "{");
    let before = bench.listing();
    let refused = |options: &[&str], status: i32, error: &str| {
        bench
            .run(&[&["print"], options].concat())
            .fails(status, error);
        assert_eq!(bench.listing(), before);
        let written = std::fs::read_dir(bench.path("booklets")).unwrap();
        assert_eq!(written.count(), 0);
    };
    refused(
        &["band.json", "more/band.json", "-o", "booklets"],
        2,
        "error: -o: two booklets would be called 'booklets/band.pdf'\n\
         hint: print charts of the same name one by one",
    );
    refused(
        &["band.json", "gull.json", "--title", "Two", "-o", "booklets"],
        2,
        "error: --title: one title is given for several booklets\n\
         hint: leave it out, or name a file with -o for one booklet of all",
    );
    refused(
        &["band.json", "broken.json", "-o", "booklets"],
        1,
        "error: broken.json:1:2: the chart ends too soon\n\
         hint: the file was cut short: copy it again, or make the chart again",
    );
    refused(
        &["band.json", "gull.json", "-o", "nowhere"],
        1,
        "error: nowhere: there is no such folder\n\
         hint: make the folder first, or end the name of one booklet in .pdf",
    );
    refused(
        &["-", "-", "-o", "a.pdf"],
        2,
        "error: two charts cannot both come from standard input\n\
         hint: name a file for all but one of them",
    );
}
