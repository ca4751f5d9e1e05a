//! Drawings that refer to files outside themselves, or that would take forever.

use super::{Chart, bench, chart, crafted, painted};
use crate::common::Bench;
use crate::common::hostile::base64;
use std::fmt::Write;

fn svg(body: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" \
         width=\"90\" height=\"120\">{body}</svg>"
    )
}

/// A picture as it is carried inside an SVG.
fn carried(bytes: &[u8]) -> String {
    let text = base64(bytes);
    svg(&format!(
        "<image width=\"90\" height=\"120\" preserveAspectRatio=\"none\" \
         href=\"data:image/png;base64,{text}\"/>"
    ))
}

#[track_caller]
fn refused(bench: &Bench, name: &str, drawing: &str, error: &str) {
    bench.put(name, drawing);
    let before = bench.listing();
    chart(bench, name, &["--rows", "12"]).fails(1, &format!("error: {name}: {error}"));
    assert_eq!(bench.listing(), before);
}

#[test]
fn pictures_outside_the_drawing_are_not_read_and_named() {
    let bench = bench(&["tin.csv", "kittiwake.png"]);
    let image = |name: &str| format!("<image width=\"90\" height=\"120\" xlink:href=\"{name}\"/>");
    refused(
        &bench,
        "only.svg",
        &svg(&image("kittiwake.png")),
        "the picture is fully transparent where the band would show it\n\
         hint: the SVG shows 'kittiwake.png' from another file, which is not read; embed the \
         picture in the drawing",
    );
    let file = bench.path("kittiwake.png").display().to_string();
    for name in [
        "kittiwake.png",
        "./kittiwake.png",
        &file,
        "/etc/hostname",
        "https://example.org/a.png",
    ] {
        let ground = "<rect width=\"90\" height=\"120\" fill=\"#FAFAF6\"/>";
        bench.put(
            "both.svg",
            svg(&format!("{ground}{}{}", image(name), image(name))),
        );
        let run = chart(&bench, "both.svg", &["--rows", "12"]).ok();
        let note = format!(
            "note: the SVG shows '{name}' from another file, which is not read; embed the picture \
             in the drawing\n"
        );
        assert_eq!(run.out.matches(&note).count(), 1, "{}", run.told());
        assert_eq!(Chart::read(&bench, "band.json").codes(), ["quay-01"].into());
    }
}

#[test]
fn pictures_inside_the_drawing_are_shown() {
    let bench = bench(&["tin.csv"]);
    let halves = |x, _| if x < 5 { super::WHITE } else { super::BLACK };
    bench.put("inside.svg", carried(&painted(10, 10, halves)));
    let run = chart(&bench, "inside.svg", &["--rows", "12", "--rotate", "0"]).ok();
    assert!(!run.out.contains("outside"), "{}", run.told());
    let read = Chart::read(&bench, "band.json");
    assert_eq!(read.of_columns(1..=4), ["quay-01"].into());
    assert_eq!(read.of_columns(6..=9), ["quay-09"].into());
}

#[test]
fn pictures_inside_the_drawing_keep_to_the_limits_too() {
    let bench = bench(&["tin.csv"]);
    for (name, side, told) in [
        ("huge.svg", 60_000, "60,000 x 60,000"),
        ("big.svg", 9_000, "9000 x 9000"),
    ] {
        let inside = carried(&crafted::png(side, 8, 6, b""));
        let told = format!(
            "inside the SVG, the picture declares {told} pixels, which is too large\n\
             hint: make it smaller: a few thousand pixels a side are plenty for a band"
        );
        refused(&bench, name, &inside, &told);
    }
}

/// The error for too many layers.
fn layers(count: usize) -> String {
    format!(
        "the SVG has {count} nested layers; at most 64 are drawn\n\
         hint: export it as PNG"
    )
}

/// All links of a chain but the first, each of which names the one before it.
fn chain(count: usize, link: &dyn Fn(usize) -> String) -> String {
    (1..count).map(link).collect()
}

/// Each would take hours, or more memory or stack than there is.
#[test]
fn drawings_that_unfold_without_end_are_refused() {
    let bench = bench(&["tin.csv"]);
    let deep = format!(
        "{}<rect width=\"9\" height=\"9\"/>{}",
        "<g>".repeat(9_000),
        "</g>".repeat(9_000)
    );
    refused(
        &bench,
        "deep.svg",
        &svg(&deep),
        "the SVG has elements more than 1000 deep inside one another\n\
         hint: simplify it in a drawing program, or export it as PNG",
    );
    let groups = format!(
        "{}<rect width=\"9\" height=\"9\"/>{}",
        "<g opacity=\"0.9\">".repeat(500),
        "</g>".repeat(500)
    );
    refused(&bench, "groups.svg", &svg(&groups), &layers(500));
}

/// As [`drawings_that_unfold_without_end_are_refused`], by what clips, masks and fills one another.
#[test]
fn chains_of_clip_paths_masks_and_patterns_are_refused() {
    let bench = bench(&["tin.csv"]);
    for kind in ["clipPath", "mask"] {
        let property = if kind == "mask" { "mask" } else { "clip-path" };
        let link = |at: usize| {
            format!(
                "<{kind} id=\"c{at}\" {property}=\"url(#c{})\"><rect width=\"9\" height=\"9\" \
                 fill=\"white\"/></{kind}>",
                at - 1
            )
        };
        let links = |count| {
            svg(&format!(
                "{}<rect {property}=\"url(#c{})\" width=\"9\" height=\"9\"/>",
                chain(count, &link),
                count - 1
            ))
        };
        refused(&bench, "links.svg", &links(5_000), &layers(5_000));
        refused(
            &bench,
            "links.svg",
            &links(25_000),
            "the SVG has 24,999 clip paths, masks and patterns; at most 8000 are allowed\n\
             hint: simplify it in a drawing program, or export it as PNG",
        );
    }
    let tile = |at: usize| {
        format!(
            "<pattern id=\"p{at}\" width=\"1\" height=\"1\"><rect fill=\"url(#p{})\" width=\"9\" \
             height=\"9\"/></pattern>",
            at - 1
        )
    };
    let tiles = format!(
        "{}<rect fill=\"url(#p2999)\" width=\"9\" height=\"9\"/>",
        chain(3_000, &tile)
    );
    refused(&bench, "tiles.svg", &svg(&tiles), &layers(2_999));
}

#[test]
fn entities_that_multiply_are_refused() {
    let bench = bench(&["tin.csv"]);
    let mut head = String::from("<?xml version=\"1.0\"?><!DOCTYPE svg [<!ENTITY e0 \"ha\">");
    for at in 1..30 {
        write!(head, "<!ENTITY e{at} \"&e{0};&e{0};&e{0};&e{0};\">", at - 1).unwrap();
    }
    bench.put(
        "laugh.svg",
        format!("{head}]>{}", svg("<text>&e29;</text>")),
    );
    let run = chart(&bench, "laugh.svg", &["--rows", "12"]);
    assert_eq!(run.status, Some(1), "{}", run.told());
    assert!(
        run.err
            .starts_with("error: laugh.svg: the SVG cannot be read ("),
        "{}",
        run.told()
    );
}

#[test]
fn a_drawing_that_refers_to_itself_is_drawn_once() {
    let bench = bench(&["tin.csv"]);
    bench.put(
        "self.svg",
        svg("<g id=\"a\"><rect width=\"90\" height=\"120\" \
            fill=\"#FAFAF6\"/><use href=\"#a\"/></g>"),
    );
    let read = super::charted(&bench, "self.svg", &["--rows", "12"]);
    assert_eq!(read.codes(), ["quay-01"].into());
}
