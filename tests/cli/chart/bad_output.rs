//! Outputs that contradict one another or cannot be written.

use super::bench;
use super::outputs::{gull, with};
use std::fs;

/// Each of the calls fails as told and leaves the folder as it was.
fn refused_with_nothing_written(cases: &[(&[&str], &str)]) {
    let bench = bench(&["tin.csv", "kittiwake.png", "tide-line.png"]);
    fs::create_dir(bench.path("out")).unwrap();
    let before = bench.listing();
    for (options, error) in cases {
        bench.run(&with(options)).fails(2, error);
        assert_eq!(bench.listing(), before);
    }
}

#[test]
fn outputs_of_one_name_are_refused() {
    refused_with_nothing_written(&[
        (
            &["-o", "a.png", "--preview", "./a.png"],
            "error: --preview: two outputs would be called './a.png'\n\
             hint: give the chart and its drawing different names",
        ),
        (
            &["kittiwake.png", "-o", "out"],
            "error: -o: two outputs would be called 'out/kittiwake.json'\n\
             hint: chart pictures of the same name one by one",
        ),
        (
            &["tide-line.png", "-o", "band.json"],
            "error: -o: 'band.json' is not a folder, and there are several pictures\n\
             hint: name a folder that exists",
        ),
        (
            &["tide-line.png", "--preview", "a.png"],
            "error: --preview: one drawing cannot hold several charts\n\
             hint: write --preview png or --preview svg, for one beside each chart",
        ),
        (
            &["-o", "a.png"],
            "error: -o: 'a.png' would be a picture, and a chart is JSON\n\
             hint: end its name in .json; --preview names its drawing",
        ),
        (
            &["--preview", "a.jpg"],
            "error: --preview: '.jpg' is no kind of picture\nhint: end the name in .svg or .png",
        ),
    ]);
}

#[test]
fn standard_input_and_output_are_used_once() {
    refused_with_nothing_written(&[
        (
            &["-", "-", "-o", "out"],
            "error: standard input can be read only once\nhint: name files for the others",
        ),
        (
            &["-o", "-", "--json"],
            "error: --json: the summary and what was made cannot both go to standard output\n\
             hint: give the chart a file with -o, and the drawing one with --preview",
        ),
        (
            &["-o", "a.json", "--preview", "-", "--json"],
            "error: --json: the summary and what was made cannot both go to standard output\n\
             hint: give the chart a file with -o, and the drawing one with --preview",
        ),
        (
            &["-o", "-", "--preview", "-"],
            "error: --preview: the chart and its drawing cannot both go to standard output\n\
             hint: give one of them a name",
        ),
        (
            &["-o", "-", "--preview", "png"],
            "error: --preview: there is no chart file to put the drawing beside\n\
             hint: give the drawing a name, or the chart one with -o",
        ),
    ]);
    let bench = bench(&[]);
    bench.run(&["chart", "-", "-p", "-", "--rows", "12"]).fails(
        2,
        "error: standard input can be read only once\nhint: name files for the others",
    );
}

#[test]
fn outputs_that_cannot_be_written_are_named_before_any_work() {
    let bench = gull();
    let before = bench.listing();
    for (output, error) in [
        (
            "none/band.json",
            "error: none/band.json: there is no folder 'none'\nhint: make the folder first",
        ),
        (
            "none/",
            "error: none/: there is no folder 'none/'\nhint: make the folder first",
        ),
        (
            "tin.csv/band.json",
            "error: tin.csv/band.json: its folder is a file\nhint: name a folder",
        ),
        (
            "/dev/null/band.json",
            "error: /dev/null/band.json: its folder is a file\nhint: name a folder",
        ),
    ] {
        bench.run(&with(&["-o", output])).fails(1, error);
        // The picture is not even opened.
        let gone = [
            "chart", "gone.png", "-p", "tin.csv", "--rows", "12", "-o", output,
        ];
        bench.run(&gone).fails(1, error);
        bench.run(&with(&[
            "-o",
            "band.json",
            "--preview",
            &format!("{output}.svg"),
        ]));
        assert_eq!(bench.listing(), before);
    }
}
