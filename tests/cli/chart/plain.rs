//! `--plain`: a band of one colour, to begin with.

use super::{Chart, bench};

#[test]
fn a_plain_band_has_one_colour_and_needs_no_picture() {
    let bench = bench(&["tin.csv"]);
    let call = ["chart", "--plain", "--palette", "tin.csv"];
    let run = bench.run(&[&call[..], &["--size", "us7", "--ground", "quay-58"]].concat());
    let run = run.ok();
    let said = &run.out;
    assert!(
        said.contains("band.json: 9 columns") && said.contains("colours: 1 of 12 in tin\n"),
        "{said}"
    );
    let chart = Chart::read(&bench, "band.json");
    assert_eq!(chart.codes(), ["quay-58"].into());
    assert_eq!(chart.option("ground"), Some("quay-58"));
    bench.run(&["check", "band.json"]).ok();
    bench.run(&["kit", "band.json"]).ok();
    // An open strip with its picture, and the lightest colour where none is named.
    let open = [
        "--open",
        "--rows",
        "31",
        "-o",
        "strip.json",
        "--preview",
        "png",
        "--json",
    ];
    let told = bench.run(&[&call[..], &open].concat()).ok().json();
    assert_eq!(told["picture"], "");
    assert_eq!(told["chart"], "strip.json");
    assert!(
        told["warnings"]
            .to_string()
            .contains("the ground is gull white"),
        "{told}"
    );
    assert!(bench.get("strip.png").starts_with(b"\x89PNG"));
    assert_eq!(
        Chart::read(&bench, "strip.json").codes(),
        ["quay-01"].into()
    );
}

#[test]
fn options_about_the_picture_are_refused_without_one() {
    let bench = bench(&["tin.csv", "kittiwake.png"]);
    let call = ["chart", "--plain", "--palette", "tin.csv", "--size", "us7"];
    for more in [
        &["kittiwake.png"][..],
        &["--place", "motif"],
        &["--colours", "5"],
        &["--dither", "mask"],
        &["--crop", "1,1,4,4"],
        &["--mirror", "both"],
        &["--refine"],
        &["--from-stock"],
    ] {
        let run = bench.run(&[&call[..], more].concat());
        assert_eq!(run.status, Some(2), "{more:?}");
    }
    let none = bench.run(&["chart", "--palette", "tin.csv", "--size", "us7"]);
    assert_eq!(none.status, Some(2));
    bench.run(&call).ok();
    let again = bench.run(&call);
    assert_eq!(again.status, Some(1), "nothing is written over");
}
