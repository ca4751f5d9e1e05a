//! The same inputs give the same bytes, whatever the number of threads and the surroundings.

use super::bench;
use crate::common::{Bench, repository};

fn bytes(bench: &Bench, options: &[&str], threads: &str) -> [Vec<u8>; 3] {
    let call = [
        "chart",
        "harbour-dusk.jpg",
        "--palette",
        "harbour.csv",
        "--rows",
        "74",
    ];
    let outputs = [
        "-o",
        "band.json",
        "--preview",
        "band.png",
        "--force",
        "--json",
    ];
    let arguments = [&call[..], &outputs, options].concat();
    let output = bench
        .command(&arguments)
        .env("RAYON_NUM_THREADS", threads)
        .output()
        .expect("the program starts");
    let run = bench.ended(&arguments, output).ok();
    [bench.get("band.json"), bench.get("band.png"), run.bytes]
}

#[test]
fn one_thread_and_four_give_the_same_chart_picture_and_summary() {
    for options in [
        "",
        "--match nearest --colours 6",
        "--match nearest --dither diffuse",
        "--match nearest --dither mask",
        "--mirror both",
        "--match nearest --columns 41 --colours 8 --dither diffuse --mirror columns",
        "--match nearest --place repeat:5 --dither mask",
    ] {
        let bench = bench(&["harbour-dusk.jpg", "harbour.csv"]);
        let options: Vec<&str> = options.split_whitespace().collect();
        let one = bytes(&bench, &options, "1");
        let four = bytes(&bench, &options, "4");
        assert!(one == four, "{options:?}");
    }
}

/// In a folder of its own, which has another name each time; the picture is under another path too.
#[test]
fn threads_locale_time_zone_and_folder_do_not_show() {
    let made = |surroundings: &[(&str, &str)], folder: &str| {
        let bench = Bench::new();
        for name in ["samples/tide-line.png", "palettes/harbour.csv"] {
            let file = name.rsplit('/').next().unwrap();
            let bytes = std::fs::read(repository(name)).unwrap();
            bench.put(&format!("{folder}/{file}"), bytes);
        }
        for call in [
            "chart tide-line.png --palette harbour.csv --size us7 -o band.json --preview band.svg",
            "print band.json --palette harbour.csv -o band.pdf",
            "weave band.json --page band.html",
            "show band.json --ring ring.png --pixels 96",
        ] {
            let arguments: Vec<&str> = call.split(' ').collect();
            let mut command = bench.command(&arguments);
            command.envs(surroundings.iter().copied());
            let output = command.current_dir(bench.path(folder)).output().unwrap();
            bench.ended(&arguments, output).ok();
        }
        ["band.json", "band.svg", "band.pdf", "band.html", "ring.png"]
            .map(|name| (name, bench.get(&format!("{folder}/{name}"))))
    };
    let usual = made(&[("RAYON_NUM_THREADS", "1")], "work");
    for (surroundings, folder) in [
        ([("RAYON_NUM_THREADS", "2"), ("LC_ALL", "tr_TR.UTF-8")], "ğ"),
        (
            [("RAYON_NUM_THREADS", "7"), ("TZ", "Pacific/Kiritimati")],
            "a b/c",
        ),
        ([("LANG", "de_DE"), ("SOURCE_DATE_EPOCH", "9")], "x"),
    ] {
        for ((name, bytes), (_, expected)) in made(&surroundings, folder).iter().zip(&usual) {
            assert!(bytes == expected, "{name}: {surroundings:?}");
        }
    }
}

#[test]
fn several_pictures_are_reported_in_the_order_given() {
    let names = [
        "tide-line.png",
        "harbour-dusk.jpg",
        "kittiwake.png",
        "lighthouse.svg",
    ];
    let bench = bench(&[&names[..], &["tin.csv"]].concat());
    let call = [
        &["chart"],
        &names[..],
        &["--palette", "tin.csv", "--rows", "74", "--json", "--force"],
    ]
    .concat();
    let told: Vec<String> = ["1", "3"]
        .map(|threads| {
            let output = bench
                .command(&call)
                .env("RAYON_NUM_THREADS", threads)
                .output()
                .unwrap();
            bench.ended(&call, output).ok().out
        })
        .into();
    assert_eq!(told[0], told[1]);
    let json: serde_json::Value = serde_json::from_str(&told[0]).unwrap();
    let pictures: Vec<&str> = super::list(&json)
        .iter()
        .filter_map(|one| one["picture"].as_str())
        .collect();
    assert_eq!(pictures, names);
}
