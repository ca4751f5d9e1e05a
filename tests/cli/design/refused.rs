//! Design files and options of layers that are refused, and what is said.

use super::*;

#[test]
fn mistakes_in_a_design_file_are_told_with_their_place() {
    let bench = bench();
    let said = |text: &str, status: i32, error: &str| {
        bench.put("design.json", text);
        let call = "chart design.json --palette tin.csv --columns 9 --rows 40 -o band.json --force";
        bench.line(call).fails_with(status, error);
        assert!(!bench.path("band.json").exists());
    };
    said(
        "{\n  \"format\": \"upbead-design\",\n  \"version\": 1,\n  \"layers\": [\n    \
         { \"kind\": \"border\", \"file\": \"red.png\", \"colums\": 3 }\n  ]\n}",
        1,
        "error: design.json:5:44: no field 'colums' is known here\n\
         hint: did you mean 'columns'?\n",
    );
    said(
        "{\"format\": \"upbead-chart\", \"version\": 1}",
        1,
        "error: design.json:1:12: this is a chart, not a picture or a design\n\
         hint: name the picture that it was made of, or a design file\n",
    );
    for (layers, error) in [
        (
            "[]",
            "design.json:1:53: a design of 0 layers cannot be made\nhint: give from 1 to 32 layers",
        ),
        (
            "[{\"kind\": \"stripe\"}]",
            "design.json:1:63: there is no kind of layer 'stripe'\n\
             hint: write ground, picture, border, motif or letters",
        ),
        (
            "[{\"kind\": \"motif\", \"file\": \"/art/red.png\"}]",
            "design.json:1:80: '/art/red.png' is not a file beside the design\n\
             hint: name the picture relative to the design file, such as pictures/gull.png",
        ),
        (
            "[{\"kind\": \"picture\", \"file\": \"red.png\"}, {\"kind\": \"ground\", \
             \"colour\": \"quay-58\"}]",
            "design.json:1:94: a ground above other layers would hide them\n\
             hint: make it the first layer",
        ),
        (
            "[{\"kind\": \"motif\", \"file\": \"red.png\", \"at\": \"side\"}]",
            "design.json:1:97: 'at' is neither front, back nor a row\n\
             hint: write \"front\" (opposite the seam), \"back\" (at the seam) or a row such as 12",
        ),
        (
            "[{\"kind\": \"motif\", \"file\": \"red.png\", \"rotate\": 45}]",
            "design.json:1:101: 'rotate': '45' is no quarter turn\n\
             hint: write auto, 0, 90, 180 or 270, clockwise",
        ),
    ] {
        let text =
            format!("{{\"format\": \"upbead-design\", \"version\": 1, \"layers\": {layers}}}");
        said(&text, 1, &format!("error: {error}\n"));
    }
}

#[test]
fn a_motif_that_does_not_fit_is_told_with_what_does() {
    let bench = bench();
    let motif = |more: Value| {
        let mut layer = json!({ "kind": "motif", "file": "tall.png" });
        layer
            .as_object_mut()
            .unwrap()
            .extend(more.as_object().unwrap().clone());
        json!([{ "kind": "ground", "colour": "quay-58" }, layer])
    };
    for (layers, options, told) in [
        (
            motif(json!({ "columns": 5 })),
            "--rows 100",
            "design.json: the motif tall.png has 163 rows where it is 5 columns wide, and the band \
             has 100\nhint: give it at most 3 columns, or fewer 'rows', which make it smaller, or \
             a band of 163 rows",
        ),
        (
            motif(json!({ "columns": 12 })),
            "--rows 100",
            "design.json: the motif tall.png cannot have 12 columns of 9\nhint: a motif has from 3 \
             to 9 columns",
        ),
        (
            motif(json!({ "at": 101, "columns": 3 })),
            "--rows 100",
            "design.json: the motif tall.png is at row 101, and the band has 100\n\
             hint: give a row from 1 to 100",
        ),
        (
            motif(json!({ "at": "back", "columns": 3 })),
            "--rows 100 --open",
            "design.json: the motif tall.png is at the back, and an open strip has no seam",
        ),
    ] {
        let said = charted(&bench, layers, &format!("--columns 9 {options}"));
        refused(&said, 1, told);
        assert!(!bench.path("band.json").exists());
    }
}

#[test]
fn a_border_that_does_not_fit_is_told_with_what_does() {
    let bench = bench();
    let border = |more: Value| {
        let mut layer = json!({ "kind": "border", "file": "steps.png" });
        layer
            .as_object_mut()
            .unwrap()
            .extend(more.as_object().unwrap().clone());
        json!([layer])
    };
    for (layers, options, told) in [
        (
            border(json!({ "columns": 5 })),
            "--rows 40",
            "design.json: the border steps.png has 5 columns and a margin of 0, which does not fit \
             on 9\nhint: margin and columns of an edge take at most 4 together",
        ),
        (
            border(json!({ "repeats": 7 })),
            "--rows 40",
            "design.json: 40 rows do not divide into 7 repeats of the border steps.png, an even \
             number of rows each\nhint: 5 or 10 repeats do; 7 repeats need a multiple of 14 rows, \
             such as 28",
        ),
        (
            border(json!({ "columns": 2 })),
            "--rows 74",
            "design.json: 74 rows do not divide into even repeats of the border steps.png, of \
             about 7 rows each\nhint: 72 or 78 rows do",
        ),
        (
            json!([{ "kind": "picture", "file": "red.png", "colours": ["quay-99"] }]),
            "--rows 40",
            "design.json: no colour has the code or name 'quay-99'",
        ),
        (
            json!([{ "kind": "motif", "file": "clear.png" }]),
            "--rows 40",
            "clear.png: ",
        ),
        (
            json!([{ "kind": "motif", "file": "gone.png" }]),
            "--rows 40",
            "gone.png: cannot read: no such file or directory",
        ),
    ] {
        let said = charted(&bench, layers, &format!("--columns 9 {options}"));
        refused(&said, 1, told);
        assert!(!bench.path("band.json").exists());
    }
}

#[test]
fn options_that_a_layer_says_itself_are_refused() {
    let bench = bench();
    let layers = json!([
        { "kind": "ground", "colour": "quay-58" },
        { "kind": "motif", "file": "red.png", "columns": 3 },
    ]);
    for (options, told) in [
        (
            "--rotate 90",
            "--rotate: a design says for each of its layers how its picture is shown\n\
             hint: leave it out, and say it in the layer",
        ),
        (
            "--ground quay-01",
            "--ground: the design has a ground of its own",
        ),
        (
            "--border red.png",
            "--border: a design file has its own layers",
        ),
        (
            "--border-columns 2",
            "--border-columns: there is no border to give columns to",
        ),
    ] {
        let said = charted(
            &bench,
            layers.clone(),
            &format!("--columns 9 --rows 40 {options}"),
        );
        refused(&said, 2, told);
    }
    let call = |more: &str| {
        let call = format!("chart red.png --palette tin.csv --columns 9 --rows 40 {more}");
        bench.line(&call)
    };
    refused(
        &call("--back tall.png --crisp 0.5"),
        2,
        "--crisp: beside other layers",
    );
    refused(
        &call("--border tall.png -o tall.png --force"),
        2,
        "'tall.png' is read",
    );
    let palette = bench.line("chart tin.csv --palette tin.csv --rows 40 -o band.json");
    refused(
        &palette,
        1,
        "tin.csv: this is a palette, not a picture or a design",
    );
}

#[test]
fn a_record_that_is_no_design_is_refused() {
    let bench = bench();
    let layers = json!([
        { "kind": "ground", "colour": "jersey navy" },
        { "kind": "motif", "file": "red.png", "columns": 3 },
    ]);
    charted(&bench, layers, "--columns 9 --rows 40").ok();
    let text = bench
        .text("band.json")
        .replace("\\\"kind\\\": \\\"motif", "\\\"kind\\\": \\\"moth");
    bench.put("band.json", text);
    let said = bench.line("check band.json");
    refused(
        &said,
        1,
        "the option 'design' under 'made': there is no kind of layer 'moth'",
    );
}
