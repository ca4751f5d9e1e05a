//! The weaver's gauge on the desk: as `upbead fit --remember` writes it, and as `--gauge` reads it.

use super::same_bytes::prepared;
use serde_json::json;
use std::process::Stdio;

#[test]
fn a_gauge_is_saved_as_the_command_line_s_file_and_read_back() {
    let desk = prepared();
    for (bead, option, words) in [
        ("11", "swatch", "40=33.6"),
        ("8", "swatch", "9x20=23x31.5"),
        ("15", "fits", "9x90=us7"),
    ] {
        let typed = format!("--{option}");
        let call = [
            "fit",
            "--bead",
            bead,
            &typed,
            words,
            "--remember",
            "--gauge",
            "own.json",
        ];
        let before = match bead {
            "11" => json!(null),
            _ => json!(desk.bench.text("own.json")),
        };
        desk.bench.run(&call).ok();
        let file = desk.bench.text("own.json");
        let about = json!({ "bead": bead, option: words, "file": before });
        assert!(desk.ask("gauge-file", &about).ok().text() == file, "{bead}");
        let told = desk.post(&format!("gauge?name=own.json&bead={bead}"), file.as_bytes());
        assert_eq!(told.ok().json()[option], words);
    }
    let told = desk.post(
        "gauge?name=own.json&bead=10",
        desk.bench.text("own.json").as_bytes(),
    );
    let told = told.fails(422, "it has no gauge for 10/0 beads");
    assert_eq!(told["where"], "own.json");
    assert_eq!(told["hint"], "it has one for 11/0, 8/0, 15/0");
    // A spacing that was changed by hand is refused, not overruled.
    let text = desk.bench.text("own.json").replace("1.641026", "1.7");
    let told = desk.post("gauge?bead=11", text.as_bytes());
    told.fails(
        422,
        "'swatch 40=33.6' does not give the bead-to-bead spacing of 1.7 mm beside it",
    );
    let chart = br#"{ "format": "upbead-chart" }"#;
    desk.post("gauge", chart).fails(
        422,
        "not a gauge file: the format 'upbead-chart' is not 'upbead-gauge'",
    );
    let told = desk.ask("gauge-file", &json!({ "bead": "11" }));
    told.fails(400, "there is no gauge to remember");
}

#[test]
fn a_gauge_is_remembered_where_the_command_line_looks_and_replaced_only_on_request() {
    let desk = prepared();
    let about = json!({ "swatch": "40=33.6" });
    let told = desk.ask("remember", &about).ok();
    let again = desk
        .bench
        .run(&["fit", "--swatch", "40=33.6", "--remember", "--json"])
        .ok();
    assert!(told.text() == again.out, "{}\n{}", told.text(), again.out);
    let fit = desk
        .bench
        .run(&["fit", "--size", "us7", "--json"])
        .ok()
        .json();
    assert_eq!(fit["gauge"]["from"], "swatch 40=33.6");
    // What the desk asks after that uses it too.
    assert_eq!(desk.ask("fit", &json!({ "size": "us7" })).ok().json(), fit);
    let other = json!({ "fits": "70=us7" });
    let told = desk.ask("remember", &other);
    let refused = desk.bench.run(&["fit", "--fits", "70=us7", "--remember"]);
    let told = told.fails(
        422,
        "another gauge for 11/0 beads is remembered: 1.64 mm from swatch 40=33.6",
    );
    assert_eq!(told["hint"], "add --force to replace it");
    assert!(
        refused.err.contains(told["what"].as_str().unwrap()),
        "{}",
        refused.err
    );
    let kept = desk
        .bench
        .run(&["fit", "--size", "us7", "--json"])
        .ok()
        .json();
    assert_eq!(kept, fit, "nothing is replaced unasked");
    desk.ask("remember", &json!({ "fits": "70=us7", "force": true }))
        .ok();
    let fit = desk
        .bench
        .run(&["fit", "--size", "us7", "--json"])
        .ok()
        .json();
    assert_eq!(fit["gauge"]["from"], "fits 70=us7");
    desk.ask("remember", &json!({}))
        .fails(400, "there is no gauge to remember");
    // A file is named by nobody but the user who runs the desk.
    for more in [json!({ "file": "/etc/x" }), json!({ "gauge": "/etc/x" })] {
        let (name, _) = more.as_object().unwrap().iter().next().unwrap();
        let mut about = more.clone();
        about["swatch"] = json!("40=33.6");
        desk.ask("remember", &about)
            .fails(400, &format!("'{name}' is not an option here"));
    }
    assert_eq!(
        desk.ask(
            "remember",
            &json!({ "swatch": "40=33.6", "file": "/etc/x" , "more": 1 })
        )
        .status,
        400
    );
}

#[test]
fn the_desk_and_the_command_line_remember_at_once() {
    let desk = prepared();
    for round in 0..12 {
        let (here, there) = (
            format!("9x{}=us7", 72 + 2 * (round % 2)),
            format!("9x{}=us7", 58 + 2 * (round % 2)),
        );
        let call = [
            "fit",
            "--bead",
            "10",
            "--fits",
            &there,
            "--remember",
            "--force",
        ];
        let mut child = desk
            .bench
            .command(&call)
            .stdout(Stdio::null())
            .spawn()
            .unwrap();
        let about = json!({ "fits": here, "force": true });
        desk.ask("remember", &about).ok();
        assert!(child.wait().unwrap().success());
        let text = desk.bench.text(".config/upbead/gauge.json");
        for fits in [here, there] {
            assert!(
                text.contains(&format!("\"fits {fits}\"")),
                "round {round}: {text}"
            );
        }
    }
}

#[test]
fn another_page_makes_the_desk_write_nothing() {
    let desk = prepared();
    let body = json!({ "swatch": "40=33.6", "force": true }).to_string();
    let before = desk.bench.listing();
    for (path, origin) in [
        (
            format!("/{}/remember", desk.token),
            "Origin: https://harbour.example\r\n",
        ),
        (format!("/{}/remember", "0".repeat(32)), ""),
    ] {
        let request = format!(
            "POST {path} HTTP/1.1\r\n\
             Host: 127.0.0.1:{}\r\n\
             {origin}Content-Length: {}\r\n\
             Connection: close\r\n\
             \r\n\
             {body}",
            desk.port,
            body.len()
        );
        let reply = desk.raw(request.as_bytes());
        assert!([403, 404].contains(&reply.status), "{}", reply.head);
    }
    assert_eq!(desk.get("remember").status, 405);
    let large = vec![b' '; (64 << 10) + 1];
    for route in ["gauge", "gauge-file", "remember", "alike"] {
        assert_eq!(desk.post(route, &large).status, 413, "{route}");
        assert_eq!(desk.post(route, b"\xff\xfe").status / 100, 4, "{route}");
    }
    assert_eq!(desk.bench.listing(), before);
    let config = desk
        .bench
        .run(&["fit", "--size", "us7", "--json"])
        .ok()
        .json();
    assert_eq!(config["gauge"]["source"], "assumed");
}
