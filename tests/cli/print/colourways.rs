//! Several colourways in one booklet: one chart by keys, and a table a way.

use super::print;
use crate::common::{Bench, repository};
use crate::pdf::{Drawn, Element, Pdf};
use std::fs;

/// Two ways; in the second, beak and foam become the same bead.
const TABLE: &str =
    "colour,Night,Fog\ns,tar black,herring grey\nf,,gull white\nb,buoy red,gull white\n";

fn bench() -> Bench {
    let bench = Bench::new();
    bench.put("band.json", include_str!("../../data/gull.json"));
    bench.put("tin.csv", fs::read(repository("palettes/tin.csv")).unwrap());
    bench.put("ways.csv", TABLE);
    bench
}

/// The same, but for foam, which the palette does not have: a maker's sheet needs all beads in it.
const FULL: &str = "colour,Night,Fog\ns,tar black,herring grey\nf,coral,gull white\nb,buoy red,";

/// The words of the rows of each table in a chapter, cell by cell.
fn tables(chapter: &[Element]) -> Vec<Vec<Vec<String>>> {
    let mut all: Vec<Vec<Vec<String>>> = Vec::new();
    for element in chapter {
        match element.role.as_str() {
            "Table" => all.push(Vec::new()),
            "TR" => all.last_mut().unwrap().push(Vec::new()),
            "TH" | "TD" => {
                let row = all.last_mut().unwrap().last_mut().unwrap();
                row.push(element.words.trim().to_string());
            }
            _ => {}
        }
    }
    all
}

fn headings(pdf: &Pdf) -> Vec<String> {
    let chapter = pdf.chapter("Colourways").iter();
    let heads = chapter.filter(|one| one.role == "H3");
    heads.map(|one| one.words.trim().to_string()).collect()
}

#[test]
fn each_colourway_has_a_table_of_what_the_keys_stand_for() {
    let bench = bench();
    let pdf = print(&bench, &["--ways", "ways.csv", "--palette", "tin.csv"]);
    assert_eq!(headings(&pdf), ["Night", "Fog"]);
    let tables = tables(pdf.chapter("Colourways"));
    let [night, fog] = tables.as_slice() else {
        panic!("{tables:?}");
    };
    // Key, code, name and beads of each; the gull has 40, 13 and 1.
    let rows = |table: &[Vec<String>]| -> Vec<String> {
        table.iter().map(|row| row[..4].join(" ")).collect()
    };
    let heads = "key code name beads";
    assert_eq!(
        rows(night),
        [
            heads,
            "ss quay-09 tar black 40",
            "foa f foam 13",
            "by quay-11 buoy red 1",
            "   54"
        ]
    );
    assert_eq!(
        rows(fog),
        [
            heads,
            "ss quay-04 herring grey 40",
            "foa, by quay-01 gull white 14",
            "   54"
        ]
    );
    let words = |one: &Element| one.words.trim().to_string();
    let told: Vec<String> = pdf.chapter("Colourways").iter().map(words).collect();
    let same = "The keys foa and by are the same bead here.";
    assert!(told.iter().any(|one| one == same), "{told:?}");
    // The rows go by keys, which are the same in every colourway, unless names are asked for.
    let rows = |options: &[&str]| -> String {
        let pdf = print(&bench, options);
        let chapter = pdf.chapter("Row by row").iter().map(words);
        chapter.collect::<Vec<_>>().join("\n")
    };
    let all = ["--ways", "ways.csv", "--palette", "tin.csv"];
    assert!(rows(&all).contains("4 ss"), "{}", rows(&all));
    let named = rows(&[&all[..], &["--keys", "names"]].concat());
    assert!(named.contains("4 slate sea"), "{named}");
}

#[test]
fn a_table_of_colourways_that_cannot_be_read_is_named() {
    let bench = bench();
    bench.put("bad.csv", "colour,Night\ns,tar blak\n");
    bench
        .line("print band.json --ways bad.csv --palette tin.csv -o a.pdf")
        .fails(
            1,
            "error: bad.csv:2:3: no colour has the code or name 'tar blak'\n\
             hint: did you mean quay-09?",
        );
    bench.line("print - --ways - -o a.pdf").fails(
        2,
        "error: --ways: two files cannot both come from standard input\n\
             hint: name a file for one of them",
    );
    bench
        .line("print band.json --ways ways.csv --palette tin.csv -o ways.csv --force")
        .fails_with(2, "error: -o: ");
    assert_eq!(bench.text("ways.csv"), TABLE);
    bench
        .line("print band.json band.json --ways ways.csv -o a.pdf")
        .fails(
            2,
            "error: --ways: colourways are of one design, and 2 charts are named\n\
             hint: print each design with its own table, or leave the table out",
        );
    assert!(!bench.path("a.pdf").exists());
}

#[test]
fn colours_that_become_the_same_bead_are_told() {
    let bench = bench();
    bench.put("full.csv", format!("{FULL}gull white\n"));
    let note = "note: in the colourway 'Fog' foam and beak yellow of the design are the same \
                bead, gull white; give them different beads in the table if they should stay \
                apart\n";
    for options in ["ways.csv", "full.csv --for maker"] {
        let call = format!("print band.json --palette tin.csv -o a.pdf --force --ways {options}");
        let run = bench.line(&call).ok();
        assert!(run.err.contains(note), "{}", run.told());
        assert!(!run.err.contains("'Night'"), "{}", run.told());
    }
}

/// What a buyer is not told of the maker's palette.
#[test]
fn a_buyer_does_not_see_what_the_maker_has_and_the_maker_does() {
    let bench = bench();
    let all = ["--ways", "ways.csv", "--palette", "tin.csv"];
    let heads = |pdf: &Pdf| -> Vec<String> {
        let heads = pdf.elements.iter().filter(|one| one.role == "TH");
        heads.map(|one| one.words.trim().to_string()).collect()
    };
    let buyer = heads(&print(&bench, &all));
    assert!(buyer.iter().all(|head| head != "in stock g"), "{buyer:?}");
    assert!(buyer.iter().any(|head| head == "with spare"), "{buyer:?}");

    bench.put("full.csv", format!("{FULL}brass\n"));
    let maker = [
        "--ways",
        "full.csv",
        "--palette",
        "tin.csv",
        "--for",
        "maker",
        "--make",
        "12,3",
    ];
    let pdf = print(&bench, &maker);
    let tables = tables(&pdf.elements);
    let first: Vec<String> = tables[0].iter().map(|row| row[..3].join(" ")).collect();
    assert_eq!(
        first,
        [
            "colourway bands beads each",
            "Night 12 54",
            "Fog 3 54",
            " 15 "
        ]
    );
    assert!(heads(&pdf).iter().any(|head| head == "in stock g"));
    // 40 of the ground in each of twelve bands.
    let beads = |code: &str| {
        let row = tables[1].iter().find(|row| row[0] == code);
        row.map(|row| row[2].clone())
    };
    assert_eq!(beads("quay-09").as_deref(), Some("480"));
    assert_eq!(beads("quay-04").as_deref(), Some("120"));
    assert_eq!(beads("s"), None);
}

#[test]
fn twelve_colourways_tell_how_the_thread_goes_once_and_are_the_same_each_time() {
    let bench = bench();
    let names: Vec<String> = (1..=12).map(|way| format!("Way {way}")).collect();
    let cells = ["tar black"; 12].join(",");
    bench.put(
        "many.csv",
        format!("colour,{}\ns,{cells}\n", names.join(",")),
    );
    let printed = |paper: &str, threads: &str| {
        let file = ["--ways", "many.csv", "--palette", "tin.csv"];
        let all = [
            &["print", "band.json", "-o", "-", "--paper", paper],
            &file[..],
        ]
        .concat();
        let mut command = bench.command(&all);
        command
            .env("RAYON_NUM_THREADS", threads)
            .output()
            .unwrap()
            .stdout
    };
    let letter = printed("letter", "1");
    assert!(letter == printed("letter", "4"));
    let a4 = Pdf::read(&printed("a4", "2"));
    for pdf in [&a4, &Pdf::read(&letter)] {
        assert_eq!(headings(pdf), names);
        for chapter in ["Chart", "How the thread goes", "Row by row", "Finish"] {
            let heads = pdf.elements.iter().filter(|one| one.role == "H2");
            let told = heads.filter(|one| one.words.trim() == chapter).count();
            assert_eq!(told, 1, "{chapter}");
        }
    }
    // The version at the foot tells one table from another.
    let edition = |pdf: &Pdf| {
        let words = pdf.drawn[0].iter().filter_map(|drawn| match drawn {
            Drawn::Words { words, .. } if words.starts_with("edition ") => Some(words.clone()),
            _ => None,
        });
        words.collect::<Vec<_>>()
    };
    let other = print(&bench, &["--ways", "ways.csv", "--palette", "tin.csv"]);
    assert_eq!(edition(&a4).len(), 1);
    assert_ne!(edition(&a4), edition(&other));
}
