//! The follow-along page on the desk, and the files of the desk's own page.

use super::client::Desk;
use crate::common::{Bench, repository};
use serde_json::json;

/// A desk in a folder with a chart.
fn charted() -> (Desk, String) {
    let bench = Bench::new();
    for path in ["samples/tide-line.png", "palettes/tin.csv"] {
        let name = path.rsplit('/').next().unwrap();
        bench.put(name, std::fs::read(repository(path)).unwrap());
    }
    let call = "chart tide-line.png --palette tin.csv --rows 72 --colours 5 -o tide.json";
    bench.run(&call.split(' ').collect::<Vec<_>>()).ok();
    let text = bench.text("tide.json");
    (Desk::open_with(bench, &[]), text)
}

#[test]
fn the_follow_along_page_is_the_command_line_s_and_has_its_own_policy() {
    let (desk, text) = charted();
    for (asked, typed) in [
        (json!({}), ""),
        (
            json!({ "start": "right", "from": "top" }),
            " --start right --from top",
        ),
    ] {
        let call = format!("weave tide.json --page -{typed}");
        let page = desk
            .bench
            .run(&call.split(' ').collect::<Vec<_>>())
            .ok()
            .bytes;
        let mut about = json!({ "chart": text, "name": "tide.json" });
        about
            .as_object_mut()
            .unwrap()
            .extend(asked.as_object().unwrap().clone());
        let at = desk.ask("follow", &about).ok().json()["at"].clone();
        let reply = desk.get(at.as_str().unwrap()).ok();
        assert!(reply.body == page);
        assert_eq!(
            reply.header("content-type"),
            Some("text/html; charset=utf-8")
        );
        let policy = reply.header("content-security-policy").unwrap();
        assert!(policy.starts_with("default-src 'none'; script-src 'sha256-"));
        assert!(policy.ends_with("; frame-ancestors 'self'"), "{policy}");
        assert!(!policy.contains("unsafe"), "{policy}");
        // The same page is in the list of files to take away.
        let export = json!({ "chart": text, "name": "tide.json", "options": asked });
        assert!(desk.ask("export?kind=page", &export).ok().body == page);
    }
    desk.get("follow/0000")
        .fails(410, "this page is no longer kept");
    for wrong in [
        json!({ "chart": "{}" }),
        json!({ "chart": text, "name": "../tide.json" }),
        json!({ "chart": text, "start": "both" }),
    ] {
        let reply = desk.ask("follow", &wrong);
        assert!((400..500).contains(&reply.status), "{}", reply.text());
        reply.is_guarded();
    }
}

#[test]
fn every_file_of_the_page_is_served() {
    let desk = Desk::open();
    let folder = repository("src/desk/page");
    let page = desk.get("").ok();
    page.is_guarded();
    let html = String::from_utf8(page.body).unwrap();
    let mut names: Vec<String> = std::fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name != "index.html")
        .collect();
    names.sort();
    assert!(names.len() > 10);
    let (parts, files): (Vec<_>, Vec<_>) = names.iter().partition(|name| name.ends_with(".html"));
    for part in parts {
        let part = std::fs::read_to_string(folder.join(part)).unwrap();
        assert_eq!(html.matches(&part).count(), 1, "{part}");
    }
    for name in files {
        let reply = desk.get(name).ok();
        reply.is_guarded();
        assert!(
            reply.body == std::fs::read(folder.join(name)).unwrap(),
            "{name}"
        );
        let kind = match name.rsplit('.').next() {
            Some("js") => "text/javascript; charset=utf-8",
            _ => "text/css; charset=utf-8",
        };
        assert_eq!(reply.header("content-type"), Some(kind), "{name}");
    }
}
