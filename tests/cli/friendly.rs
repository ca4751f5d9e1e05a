//! Files and options as a tired person gives them.

use crate::common::{Bench, repository};
use std::fs;

fn bench() -> Bench {
    let bench = Bench::new();
    for (folder, name) in [
        ("samples", "tide-line.png"),
        ("samples", "harbour-dusk.jpg"),
        ("samples", "kittiwake.svg"),
        ("palettes", "tin.csv"),
    ] {
        bench.put(name, fs::read(repository(folder).join(name)).unwrap());
    }
    bench
}

#[test]
fn a_palette_with_semicolons_and_decimal_commas_is_the_same_palette() {
    let bench = bench();
    bench.put(
        "shelf.csv",
        "code,name,hex,grams,price,\"box; shelf\"\n\
         a,\"sand, pale\",E8D8B0,2.5,0.40,x\n\
         b,sea; deep,1C3261,1000,,\"y, z\"\n",
    );
    let with_commas = bench.line("palette shelf.csv --json").ok();
    for text in [
        "code;name;hex;grams;price;\"box; shelf\"\n\
         a;sand, pale;E8D8B0;2,5;0,40;x\n\
         b;\"sea; deep\";1C3261;1000;;y, z\n",
        "code;name;hex;grams;price;\"box; shelf\"\r\n\
         a;\"sand, pale\";E8D8B0;\"2,5\";0.40;x\r\n\
         b;\"sea; deep\";1C3261;1000,0;;\"y, z\"\r\n",
    ] {
        bench.put("shelf.csv", text);
        let with_semicolons = bench.line("palette shelf.csv --json").ok();
        assert_eq!(with_semicolons.out, with_commas.out);
    }
}

#[test]
fn a_picture_where_a_text_is_wanted_is_called_a_picture() {
    let bench = bench();
    for picture in ["tide-line.png", "harbour-dusk.jpg", "kittiwake.svg"] {
        for (call, wanted) in [
            ("palette IN", "a palette"),
            (
                "chart tide-line.png --palette IN --size us7 -o x.json",
                "a palette",
            ),
            ("show IN", "a chart"),
            ("kit IN", "a chart"),
            ("desk IN --no-open", "a chart"),
            ("desk --palette IN --no-open", "a palette"),
            ("fit --size us7 --gauge IN", "a gauge file"),
        ] {
            bench.line(&call.replace("IN", picture)).fails(
                1,
                &format!(
                    "error: {picture}: this is a picture, not {wanted}\nhint: name {wanted} here"
                ),
            );
        }
    }
}

#[test]
fn a_colour_s_name_is_as_good_as_its_code() {
    let bench = bench();
    let call = [
        "chart",
        "tide-line.png",
        "--palette",
        "tin.csv",
        "--size",
        "us7",
        "--colours",
        "4",
        "--place",
        "motif",
        "--force",
        "-o",
        "x.json",
    ];
    let chart = |more: [&str; 6]| {
        bench.run(&[&call[..], &more].concat()).ok();
        bench.text("x.json")
    };
    let by_code = chart([
        "--ground",
        "quay-11",
        "--keep",
        "quay-01",
        "--without",
        "quay-04",
    ]);
    assert!(by_code.contains("\"ground\": \"quay-11\""), "{by_code}");
    for [ground, keep, without] in [
        ["buoy red", "gull white", "herring grey"],
        ["Buoy Red", "quay-01", " herring grey "],
    ] {
        let by_name = chart(["--ground", ground, "--keep", keep, "--without", without]);
        assert_eq!(by_name, by_code);
    }
}

#[test]
fn a_name_of_several_colours_is_refused_and_a_code_goes_before_a_name() {
    let bench = bench();
    bench.put(
        "two.csv",
        "code,name,hex\na,kelp,2F5D50\nb,kelp,2F5D51\nkelp-2,sand,E8D8B0\nd,kelp-2,FFFFFF\n",
    );
    let call = "chart tide-line.png --palette two.csv --size us7 --place motif -o x.json --ground";
    bench.line(&format!("{call} kelp")).fails(
        2,
        "error: --ground: 2 colours are called 'kelp'\nhint: give the code: a or b",
    );
    bench.line(&format!("{call} kelp-2")).ok();
    assert!(bench.text("x.json").contains("\"ground\": \"kelp-2\""));
}

#[test]
fn repeat_points_to_the_place_that_repeats() {
    let bench = bench();
    let call = "chart tide-line.png --palette tin.csv --size us7";
    for (more, told) in [
        (
            "--repeat 4",
            "there is no option --repeat\nhint: write --place repeat:4",
        ),
        (
            "--repeats 6",
            "there is no option --repeats\nhint: write --place repeat:6",
        ),
        (
            "--repeat=3",
            "there is no option --repeat\nhint: write --place repeat:3",
        ),
    ] {
        bench
            .line(&format!("{call} {more}"))
            .fails(2, &format!("error: {told}"));
    }
    // A verb that places nothing has no such hint.
    let run = bench.line("kit band.json --repeat 4");
    assert!(
        run.status == Some(2) && !run.err.contains("--place"),
        "{}",
        run.told()
    );
}
