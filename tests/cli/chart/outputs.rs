//! Where charts, drawings and messages go: files, folders, standard streams, full disks, closed
//! pipes.

use super::{Chart, bench, chart, list};
use crate::common::{Bench, valid};
use crate::schema::suits;
use std::fs;
use std::process::Stdio;

const EXISTS: &str = "hint: choose another name, or add --force to replace it";

pub fn gull() -> Bench {
    bench(&["tin.csv", "kittiwake.png"])
}

/// The call without an output.
const CALL: [&str; 8] = [
    "chart",
    "--match",
    "nearest",
    "kittiwake.png",
    "--palette",
    "tin.csv",
    "--rows",
    "12",
];

pub fn with<'a>(options: &[&'a str]) -> Vec<&'a str> {
    [&CALL[..], options].concat()
}

#[test]
fn a_chart_goes_from_standard_input_to_standard_output_and_the_words_to_standard_error() {
    let bench = gull();
    let file = bench.run(&with(&["-o", "band.json"])).ok();
    let picture = bench.get("kittiwake.png");
    for output in [&[][..], &["-o", "-"]] {
        let call = [
            &[
                "chart",
                "--match",
                "nearest",
                "-",
                "--palette",
                "tin.csv",
                "--rows",
                "12",
            ],
            output,
        ]
        .concat();
        let run = bench.run_with(&call, &picture).ok();
        let piped = Chart::of(&run.out);
        assert_eq!(piped.rows, Chart::read(&bench, "band.json").rows);
        assert_eq!(piped.value["made"]["source"], "standard input");
        assert_eq!(run.err, file.out.replace("band.json:", "chart:"));
    }
    let palette = bench.get("tin.csv");
    let run = bench
        .run_with(
            &[
                "chart",
                "--match",
                "nearest",
                "kittiwake.png",
                "-p",
                "-",
                "--rows",
                "12",
                "-o",
                "-",
            ],
            &palette,
        )
        .ok();
    assert_eq!(
        Chart::of(&run.out).rows,
        Chart::read(&bench, "band.json").rows
    );
}

#[test]
fn a_drawing_on_standard_output_stands_there_alone() {
    let bench = gull();
    let run = bench
        .run(&with(&["-o", "band.json", "--preview", "-"]))
        .ok();
    resvg::usvg::roxmltree::Document::parse(&run.out).expect("nothing but SVG");
    assert!(run.err.starts_with("band.json: "), "{}", run.told());
    // Nor do the words of other pictures mix with a chart.
    fs::create_dir(bench.path("out")).unwrap();
    let call = [
        "chart",
        "--match",
        "nearest",
        "kittiwake.png",
        "-",
        "--palette",
        "tin.csv",
        "--rows",
        "12",
    ];
    let run = bench.run_with(&call, &bench.get("kittiwake.png")).ok();
    Chart::of(&run.out);
    assert!(
        run.err.contains("kittiwake.json: ") && run.err.contains("chart: "),
        "{}",
        run.told()
    );
}

#[test]
fn the_chart_is_named_after_the_picture() {
    let bench = gull();
    fs::create_dir(bench.path("out")).unwrap();
    bench.run(&CALL).ok();
    bench.run(&with(&["-o", "out"])).ok();
    bench.run(&with(&["-o", "out/", "--force"])).ok();
    assert_eq!(bench.listing(), "kittiwake.json kittiwake.png out tin.csv");
    assert_eq!(bench.get("out/kittiwake.json"), bench.get("kittiwake.json"));
}

#[test]
fn drawings_are_files_or_are_written_beside_their_chart() {
    let bench = gull();
    for (wish, name) in [
        ("mine.png", "mine.png"),
        ("mine.SVG", "mine.SVG"),
        ("png", "band.png"),
        ("svg", "band.svg"),
    ] {
        let run = bench
            .run(&with(&["-o", "band.json", "--force", "--preview", wish]))
            .ok();
        assert!(
            run.out.contains(&format!("\npicture: {name}\n")),
            "{}",
            run.told()
        );
        let bytes = bench.get(name);
        if name.to_lowercase().ends_with("png") {
            assert!(image::load_from_memory(&bytes).expect("a PNG").width() > 300)
        } else {
            let text = String::from_utf8(bytes).unwrap();
            let document = resvg::usvg::roxmltree::Document::parse(&text).unwrap();
            let uses = document
                .descendants()
                .filter(|node| node.has_tag_name("use"));
            assert!(uses.count() >= 54, "a bead each");
        }
    }
    // As `show` draws it.
    bench
        .run(&["show", "band.json", "--flat", "shown.svg"])
        .ok();
    assert_eq!(bench.get("shown.svg"), bench.get("band.svg"));
}

#[test]
fn a_title_is_kept_and_drawn() {
    let bench = gull();
    for title in [
        "Harbour & dusk",
        "</svg> \"q\" \\ \u{1b}[31m\nnext",
        "сумерки",
    ] {
        let run = chart(
            &bench,
            "kittiwake.png",
            &["--rows", "12", "--title", title, "--preview", "svg"],
        )
        .ok();
        let read = Chart::read(&bench, "band.json");
        assert_eq!(read.value["title"], title, "{}", run.told());
        bench.run(&["show", "band.json"]).ok();
        let svg = bench.text("band.svg");
        let document = resvg::usvg::roxmltree::Document::parse(&svg).unwrap();
        let first = title.split(' ').next().unwrap();
        let drawn = document
            .descendants()
            .any(|n| n.text().is_some_and(|text| text.starts_with(first)));
        assert!(drawn, "{svg}");
    }
}

#[test]
fn the_summary_for_programs_agrees_with_the_chart() {
    let bench = gull();
    let call = with(&[
        "-o",
        "band.json",
        "--preview",
        "png",
        "--place",
        "motif",
        "--json",
    ]);
    let json = bench.run(&call).ok().json();
    let read = Chart::read(&bench, "band.json");
    suits("chart-report", &json);
    assert_eq!(json["chart"], "band.json");
    assert_eq!(json["preview"], "band.png");
    assert_eq!(json["picture"], "kittiwake.png");
    assert_eq!(json["rows"], read.rows.len());
    assert_eq!(json["columns"], read.columns);
    assert_eq!(json["beads"], read.rows.iter().flatten().count());
    for colour in list(&json["colours"]) {
        let code = colour["code"].as_str().unwrap();
        let beads = read
            .rows
            .iter()
            .flatten()
            .filter(|own| *own == code)
            .count();
        assert_eq!(colour["beads"], beads);
    }
    assert_eq!(list(&json["colours"]).len(), read.codes().len());
    assert!(
        list(&json["warnings"])
            .iter()
            .any(|warning| warning["kind"] == "ground_chosen")
    );
}

/// Charts four pictures, two of which cannot be read.
const TWO_OF_FOUR: &str = "chart --match nearest \
        kittiwake.png gone.png empty.png tide-line.png -p tin.csv \
    --rows 12 -o out --preview svg";

fn two_of_four() -> Bench {
    let bench = bench(&["tin.csv", "kittiwake.png", "tide-line.png"]);
    bench.put("empty.png", "");
    fs::create_dir(bench.path("out")).unwrap();
    bench
}

#[test]
fn one_bad_picture_does_not_stop_the_others() {
    let bench = two_of_four();
    let call: Vec<&str> = TWO_OF_FOUR.split(' ').collect();
    let run = bench.run(&call);
    assert_eq!(run.status, Some(1), "{}", run.told());
    assert_eq!(
        run.err,
        "error: gone.png: cannot read: no such file or directory\n\
         hint: check the spelling and the folder\n\
         error: empty.png: the file is empty\n\
         hint: export the picture again\n"
    );
    let names: Vec<&str> = run
        .out
        .lines()
        .filter_map(|line| line.strip_prefix("out/"))
        .collect();
    assert!(
        names[0].starts_with("kittiwake.json: ") && names[1].starts_with("tide-line.json: "),
        "{}",
        run.told()
    );
    let mut written: Vec<String> = fs::read_dir(bench.path("out"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    written.sort();
    assert_eq!(
        written,
        [
            "kittiwake.json",
            "kittiwake.svg",
            "tide-line.json",
            "tide-line.svg"
        ]
    );
    Chart::read(&bench, "out/tide-line.json");
}

#[test]
fn programs_are_told_of_each_picture_in_the_order_of_the_call() {
    let call = format!("{TWO_OF_FOUR} --json");
    let call: Vec<&str> = call.split(' ').collect();
    let run = two_of_four().run(&call);
    assert_eq!(run.status, Some(1), "{}", run.told());
    let json = run.json();
    valid(&json, "chart-report");
    assert_eq!(json[0]["rows"], 12);
    assert_eq!(
        json[1]["error"],
        "gone.png: cannot read: no such file or directory"
    );
    assert_eq!(json[2]["hint"], "export the picture again");
    assert_eq!(json[3]["chart"], "out/tide-line.json");
}

#[test]
fn the_worst_result_is_the_status_and_each_error_names_its_picture() {
    let bench = bench(&["tin.csv", "kittiwake.png", "tide-line.png"]);
    // 300 pixels are there in one of them only: a wrong call, beside a missing file.
    let call = [
        "chart",
        "--match",
        "nearest",
        "gone.png",
        "kittiwake.png",
        "tide-line.png",
        "-p",
        "tin.csv",
        "--rows",
        "12",
        "--crop",
        "0,0,300,300",
    ];
    let run = bench.run(&call);
    assert_eq!(run.status, Some(2), "{}", run.told());
    assert!(
        run.err.contains(
            "error: --crop: tide-line.png: the crop 0,0,300,300 reaches beyond the \
             picture\n\
             hint: the picture is 240 x 300 pixels\n"
        ),
        "{}",
        run.told()
    );
    assert_eq!(
        bench.listing(),
        "kittiwake.json kittiwake.png tide-line.png tin.csv"
    );
}

#[test]
fn files_that_exist_are_replaced_only_with_force() {
    let bench = gull();
    bench.put("band.json", "mine");
    bench
        .run(&with(&["-o", "band.json"]))
        .fails(1, &format!("error: band.json: the file exists\n{EXISTS}"));
    assert_eq!(bench.text("band.json"), "mine");
    // A drawing in the way stops the chart too.
    bench.put("band.png", "mine");
    let both = with(&["-o", "other.json", "--preview", "band.png"]);
    bench
        .run(&both)
        .fails(1, &format!("error: band.png: the file exists\n{EXISTS}"));
    assert_eq!(bench.listing(), "band.json band.png kittiwake.png tin.csv");
    bench
        .run(&with(&["-o", "band.json", "--preview", "png", "--force"]))
        .ok();
    Chart::read(&bench, "band.json");
}

#[test]
fn no_input_is_ever_overwritten() {
    let bench = gull();
    let before = [bench.get("kittiwake.png"), bench.get("tin.csv")];
    for (options, option, name) in [
        (&["-o", "kittiwake.png"][..], "-o", "kittiwake.png"),
        (&["-o", "./kittiwake.png"], "-o", "kittiwake.png"),
        (&["-o", "tin.csv"], "-o", "tin.csv"),
        (&["--preview", "png"], "--preview", "kittiwake.png"),
        (
            &["--preview", "./kittiwake.png"],
            "--preview",
            "kittiwake.png",
        ),
    ] {
        let told = format!(
            "error: {option}: '{name}' is read and cannot be written over\n\
             hint: choose another name, or name another folder with -o"
        );
        bench
            .run(&[&with(options)[..], &["--force"]].concat())
            .fails(2, &told);
    }
    assert_eq!(before, [bench.get("kittiwake.png"), bench.get("tin.csv")]);
    assert_eq!(bench.listing(), "kittiwake.png tin.csv");
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_refuses_files_is_named() {
    let bench = gull();
    // Nobody may make files there, not even the owner of the machine.
    let run = bench.run(&with(&["-o", "/proc/band.json"]));
    assert_eq!(run.status, Some(1), "{}", run.told());
    assert!(
        run.err
            .starts_with("error: /proc/band.json: cannot write: "),
        "{}",
        run.told()
    );
    assert_eq!(bench.listing(), "kittiwake.png tin.csv");
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_device_is_an_error_and_the_drawing_is_not_left_behind() {
    let bench = gull();
    let told = "error: /dev/full: cannot write: no space left on device\n\
        hint: free some space or choose another disk";
    bench.run(&with(&["-o", "/dev/full"])).fails(1, told);
    bench
        .run(&with(&["-o", "/dev/full", "--preview", "a.svg"]))
        .fails(1, told);
    assert_eq!(bench.listing(), "kittiwake.png tin.csv");
    for options in [&["-o", "-"][..], &["-o", "a.json", "--preview", "-"]] {
        let full = fs::OpenOptions::new()
            .write(true)
            .open("/dev/full")
            .unwrap();
        let call = with(options);
        let output = bench.command(&call).stdout(full).output().unwrap();
        bench.ended(&call, output).fails(
            1,
            "error: standard output: cannot write: no space left on device\n\
             hint: free some space or choose another disk",
        );
    }
    assert_eq!(bench.listing(), "kittiwake.png tin.csv");
}

/// Where mounting is not allowed this says so and holds nothing.
#[cfg(target_os = "linux")]
#[test]
fn on_a_full_disk_the_old_file_stays_whole_and_nothing_is_left() {
    struct Mounted<'a>(&'a std::path::Path);
    impl Drop for Mounted<'_> {
        fn drop(&mut self) {
            let _ = std::process::Command::new("umount").arg(self.0).status();
        }
    }
    let bench = gull();
    let disk = bench.path("disk");
    fs::create_dir(&disk).unwrap();
    let mount = std::process::Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=16k", "tmpfs"])
        .arg(&disk)
        .output();
    if !mount.is_ok_and(|output| output.status.success()) {
        println!("skipped: this user may not mount a small disk");
        return;
    }
    let _mounted = Mounted(&disk);
    bench.put("disk/band.json", "mine");
    bench.put("disk/filler", [0; 8192]);
    let told =
        "cannot write: no space left on device\nhint: free some space or choose another disk";
    let big = ["--rows", "2000", "--columns", "9", "--force"];
    let call = [
        "chart",
        "--match",
        "nearest",
        "kittiwake.png",
        "-p",
        "tin.csv",
        "-o",
        "disk/band.json",
    ];
    bench
        .run(&[&call[..], &big].concat())
        .fails(1, &format!("error: disk/band.json: {told}"));
    // The drawing is too large, the chart is not: neither is written.
    let both = ["--rows", "12", "--force", "--preview", "disk/band.svg"];
    let small = ["--preview", "disk/band.png"];
    bench
        .run(&[&call[..], &both[..3], &small].concat())
        .fails(1, &format!("error: disk/band.png: {told}"));
    assert_eq!(bench.text("disk/band.json"), "mine");
    let mut left: Vec<String> = fs::read_dir(&disk)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    left.sort();
    assert_eq!(left, ["band.json", "filler"]);
}

#[test]
fn a_closed_pipe_is_no_error() {
    let bench = gull();
    for options in [
        &["-o", "-"][..],
        &["-o", "a.json", "--preview", "-", "--force"],
        &["-o", "b.json", "--force"],
    ] {
        // Larger than a pipe holds, so that the write meets the closed end.
        let call = [
            "chart",
            "--match",
            "nearest",
            "kittiwake.png",
            "-p",
            "tin.csv",
            "--rows",
            "4000",
            "--columns",
            "41",
        ];
        let mut child = bench
            .command(&[&call[..], options].concat())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{options:?}");
        assert_eq!(String::from_utf8_lossy(&output.stderr), "", "{options:?}");
    }
    // What went into files is there.
    assert_eq!(bench.listing(), "a.json b.json kittiwake.png tin.csv");
}

#[test]
fn the_status_is_an_error_even_if_standard_error_is_closed() {
    let bench = gull();
    for (call, status) in [
        (with(&["-o", "none/a.json"]), 1),
        (with(&["--margin", "7"]), 2),
        (vec!["show", "gone.json"], 1),
    ] {
        let (reader, writer) = std::io::pipe().unwrap();
        drop(reader);
        let output = bench.command(&call).stderr(writer).output().unwrap();
        assert_eq!(output.status.code(), Some(status), "{call:?}");
    }
}
