//! Files that the desk exports: the same bytes as the verbs write.

use super::client::Desk;
use super::same_bytes::{both, prepared};
use serde_json::{Value, json};
use std::io::Read;

/// The kittiwake on navy.
fn gull(desk: &Desk) -> String {
    let wish = json!({ "size": "us7", "place": "motif", "ground": "quay-58" });
    let line = "--size us7 --place motif --ground quay-58";
    both(desk, "kittiwake.png", "tin.csv", line, &wish).0
}

/// The desk, its chart, and its palette.
struct Export {
    desk: Desk,
    text: String,
    palette: String,
}

impl Export {
    fn prepared() -> Self {
        let desk = prepared();
        Self {
            text: gull(&desk),
            palette: desk.palette("tin.csv"),
            desk,
        }
    }

    fn of(&self, kind: &str, options: &Value) -> super::client::Reply {
        let about = json!({
            "chart": self.text,
            "name": "band.json",
            "palette": { "id": self.palette },
            "options": options,
        });
        self.desk.ask(&format!("export?kind={kind}"), &about).ok()
    }

    /// What the program prints or, where a name is given, writes into that file.
    fn made(&self, call: &str, file: &str) -> Vec<u8> {
        let printed = self.desk.bench.line(call).ok().bytes;
        if file.is_empty() {
            printed
        } else {
            self.desk.bench.get(file)
        }
    }

    /// Kinds and options, each with the call that makes the same, and the file that it writes.
    fn same(&self, cases: &[(&str, Value, &str, &str)]) {
        for (kind, options, call, file) in cases {
            let (reply, made) = (self.of(kind, options), self.made(call, file));
            assert!(reply.body == made, "{kind} {options}: {call}");
        }
    }
}

#[test]
fn drawings_are_the_same_bytes() {
    let export = Export::prepared();
    assert!(export.of("chart", &json!({})).body == export.desk.bench.get("band.json"));
    export.same(&[
        ("svg", json!({}), "show band.json --flat a.svg", "a.svg"),
        (
            "svg",
            json!({ "scale": "true", "backdrop": "18222B" }),
            "show band.json --flat b.svg --scale true --backdrop 18222B",
            "b.svg",
        ),
        ("png", json!({}), "show band.json --flat a.png", "a.png"),
        (
            "png",
            json!({ "scale": 2, "density": 150, "backdrop": "transparent" }),
            "show band.json --flat b.png --scale 2 --density 150 --backdrop transparent",
            "b.png",
        ),
        (
            "svg",
            json!({ "lettered": true, "scale": 5 }),
            "show band.json --flat c.svg --lettered --scale 5",
            "c.svg",
        ),
        (
            "beads",
            json!({ "density": 100 }),
            "show band.json --flat c.png --beads --density 100",
            "c.png",
        ),
    ]);
    let reply = export.of("svg", &json!({}));
    assert_eq!(
        reply.header("content-disposition"),
        Some("attachment; filename=\"band.svg\"; filename*=UTF-8''band.svg")
    );
    assert_eq!(reply.header("content-type"), Some("image/svg+xml"));
    reply.is_guarded();
}

#[test]
fn ring_pictures_and_loops_are_the_same_bytes() {
    let export = Export::prepared();
    export.same(&[
        (
            "ring",
            json!({ "pixels": 200, "turn": 20, "tilt": -10, "ground": "transparent" }),
            "show band.json --ring d.png --pixels 200 --roll 20 --tilt -10 --backdrop transparent",
            "d.png",
        ),
        (
            "turntable",
            json!({ "pixels": 64, "frames": 8 }),
            "show band.json --turntable e.png --pixels 64 --frames 8",
            "e.png",
        ),
    ]);
    for form in ["gif", "png"] {
        let reply = export.of(
            "turntable",
            &json!({ "pixels": 64, "frames": 8, "as": form }),
        );
        let disposition = reply.header("content-disposition").unwrap_or_default();
        assert!(disposition.contains(&format!(".{form}\"")), "{disposition}");
        let file = format!("loop.{form}");
        let call = format!("show band.json --turntable {file} --pixels 64 --frames 8");
        assert!(reply.body == export.made(&call, &file));
    }
}

#[test]
fn rows_and_kits_are_the_same_bytes() {
    Export::prepared().same(&[
        ("rows", json!({}), "weave band.json", ""),
        (
            "rows",
            json!({ "start": "right", "from": "top", "as": "markdown", "keys": "short" }),
            "weave band.json --start right --from top --as markdown --keys short",
            "",
        ),
        (
            "rows",
            json!({ "rows": "20..35", "from": "top" }),
            "weave band.json --rows 20..35 --from top",
            "",
        ),
        ("kit-text", json!({}), "kit band.json --palette tin.csv", ""),
        (
            "kit-csv",
            json!({ "make": 12, "spare": "25%", "thread": 0.13, "tail": 150 }),
            "kit band.json --palette tin.csv --make 12 --spare 25% --thread 0.13 --tail 150 \
             --as csv",
            "",
        ),
    ]);
}

#[test]
fn booklets_are_the_same_bytes() {
    let export = Export::prepared();
    export.same(&[
        (
            "pdf",
            json!({}),
            "print band.json --palette tin.csv -o a.pdf",
            "a.pdf",
        ),
        (
            "pdf",
            json!({
                "paper": "letter",
                "by": "Kittiwake",
                "sizes": "us6..us8",
                "start": "right",
                "from": "top",
                "keys": "short",
                "swatch": "40=33.6",
            }),
            "print band.json --palette tin.csv --paper letter --by Kittiwake --sizes us6..us8 \
             --start right --from top --keys short --swatch 40=33.6 -o b.pdf",
            "b.pdf",
        ),
    ]);
    let cover = json!({
        "chart": export.text,
        "name": "band.json",
        "picture": export.desk.picture("harbour-dusk.jpg"),
        "options": { "note": "For a cold day", "title": "Gull" },
    });
    let words = ["--note", "For a cold day", "--title", "Gull", "-o", "c.pdf"];
    let call = ["print", "band.json", "--picture", "harbour-dusk.jpg"];
    let bench = &export.desk.bench;
    bench.run(&[&call[..], &words].concat()).ok();
    assert!(export.desk.ask("export?kind=pdf", &cover).ok().body == bench.get("c.pdf"));
}

#[test]
fn bands_seen_from_a_distance_are_the_same_bytes() {
    let export = Export::prepared();
    export.same(&[(
        "seen",
        json!({ "seen": "700,2000", "density": 200, "ground": "F5F0E6" }),
        "show band.json --seen 700,2000 g.png --density 200 --backdrop F5F0E6",
        "g.png",
    )]);
    let (desk, text) = (&export.desk, &export.text);
    let sight = desk.ask("seen?lane=seen&n=1", &json!({ "chart": text, "mm": 700 }));
    assert_eq!(sight.header("content-type"), Some("image/png"));
    assert!(sight.ok().body == export.made("show band.json --seen 700 f.png", "f.png"));
    let told = desk
        .ask("seen", &json!({ "chart": text, "mm": 7 }))
        .fails(400, "'7' is not a viewing distance");
    assert_eq!(told["option"], "seen");
}

#[test]
fn other_sizes_are_the_same_charts_and_table() {
    let desk = prepared();
    let text = gull(&desk);
    let about = json!({
        "chart": text,
        "name": "band.json",
        "options": { "sizes": "us6..us8", "step": 0.5, "prefer": "nearest" },
    });
    let zip = desk.ask("export?kind=sizes", &about).ok().body;
    assert!(zip == desk.ask("export?kind=sizes", &about).ok().body);
    desk.bench.put("sizes/none", "");
    let table = desk
        .bench
        .line("resize band.json --sizes us6..us8 --step 0.5 --prefer nearest -o sizes")
        .ok()
        .out;
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(zip)).unwrap();
    let mut names = Vec::new();
    for at in 0..archive.len() {
        let mut file = archive.by_index(at).unwrap();
        let mut text = String::new();
        file.read_to_string(&mut text).unwrap();
        let name = file.name().unwrap().to_string();
        if name.ends_with(".json") {
            assert!(text == desk.bench.text(&format!("sizes/{name}")), "{name}")
        } else {
            // Where the command line names a flag, the page names its field.
            let flag = "--swatch ROWS=MM";
            assert!(table.contains(flag) && !text.contains("--"), "{text}");
            let field = "“Swatch” under “Your gauge”";
            assert_eq!(text, table.replace("sizes/", "").replace(flag, field))
        }
        names.push(name);
    }
    assert_eq!(
        names,
        [
            "band-us6.json",
            "band-us6.5.json",
            "band-us7.json",
            "band-us7.5.json",
            "band-us8.json",
            "band-sizes.txt"
        ]
    );
}

/// A picture that goes all round has no plain stretch to take rows from.
#[test]
fn a_band_without_a_plain_stretch_has_no_other_sizes() {
    let desk = prepared();
    let (text, _) = both(
        &desk,
        "harbour-dusk.jpg",
        "shelf.csv",
        "--size us7 --colours 6",
        &json!({ "size": "us7", "colours": 6 }),
    );
    let round = json!({ "chart": text, "name": "band.json", "options": { "sizes": "us1" } });
    let told = desk.ask("export?kind=sizes", &round);
    assert_eq!(told.status, 422, "{}", told.text());
    assert_eq!(told.json()["error"]["where"], "band.json");
}
