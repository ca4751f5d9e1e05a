//! The help of every verb and option, as it is printed; [`super::manual`] holds the manual page and
//! the completions to the same list.

use crate::common::{Bench, repository};
use std::fs;

/// Longest text of an option under `-h`.
const LINE: usize = 54;

/// One option or argument of a verb, as `-h` or `--help` prints it.
#[derive(Debug, Clone)]
pub struct Told {
    /// `--columns`, or `<PICTURE>...`.
    pub name: String,
    /// `-o`, if it has one.
    pub short: Option<String>,
    /// Its help, line ends taken out.
    pub help: String,
}

/// What a call prints.
pub fn printed(arguments: &[&str]) -> String {
    Bench::new().run(arguments).ok().out
}

/// The names of the verbs.
pub fn verbs() -> Vec<String> {
    let text = printed(&["--help"]);
    let verbs: Vec<String> = text
        .lines()
        .skip_while(|line| *line != "Commands:")
        .skip(1)
        .take_while(|line| !line.is_empty())
        .filter_map(|line| line.split_whitespace().next().map(String::from))
        .collect();
    assert!(
        verbs.len() >= 7 && verbs.contains(&"chart".to_string()),
        "{text}"
    );
    verbs
}

/// The verbs, and the one that a verb has below it.
pub fn calls() -> Vec<String> {
    [verbs(), vec!["palette from-photo".to_string()]].concat()
}

/// What a verb prints with `-h` or `--help`.
pub fn help(verb: &str, option: &str) -> String {
    let words: Vec<&str> = verb.split(' ').chain([option]).collect();
    printed(&words)
}

/// The options and arguments in a verb's help, `--help` itself left out.
pub fn told(text: &str) -> Vec<Told> {
    let mut all: Vec<Told> = Vec::new();
    for line in text.lines() {
        let start = line.trim_start();
        let indent = line.len() - start.len();
        let begins = (start.starts_with('-') && (indent == 2 || indent == 6))
            || (start.starts_with('<') && indent == 2);
        if line.starts_with(|letter: char| letter.is_alphabetic()) {
            // A heading ends the option before it.
            all.push(Told {
                name: String::new(),
                short: None,
                help: String::new(),
            });
        } else if begins {
            let (names, help) = start.split_once("  ").unwrap_or((start, ""));
            let mut words = names.split([' ', ',']).filter(|word| !word.is_empty());
            let first = words.next().expect("a name").to_string();
            let (short, name) = match first.len() {
                2 => (Some(first), words.next().expect("a long name").to_string()),
                _ => (None, first),
            };
            all.push(Told {
                name,
                short,
                help: help.trim().to_string(),
            });
        } else if let Some(last) = all.last_mut() {
            last.help = format!("{} {start}", last.help).trim().to_string();
        }
    }
    all.retain(|one| !["", "--help", "--version"].contains(&one.name.as_str()));
    all
}

#[test]
fn every_verb_and_option_has_a_line_of_help_that_is_short() {
    let mut count = 0;
    for verb in calls() {
        let text = help(&verb, "-h");
        for one in told(&text) {
            count += 1;
            // The names of the choices are the program's, not the writer's.
            let help = one.help.split(" [possible").next().unwrap();
            assert!(!help.is_empty(), "{verb} {}", one.name);
            assert!(
                help.chars().count() <= LINE,
                "{verb} {}: '{help}' is {} long",
                one.name,
                help.chars().count()
            );
            assert!(!help.ends_with('.'), "{verb} {}: '{help}'", one.name);
        }
        assert!(
            text.lines().all(|line| line.chars().count() <= 100),
            "{text}"
        );
    }
    assert!(count > 40, "only {count} options were found");
}

#[test]
fn the_long_help_of_every_option_names_its_default_and_has_an_example() {
    for verb in calls() {
        for one in told(&help(&verb, "--help")) {
            if one.name.starts_with('<') || one.name == "--palette" {
                continue;
            }
            let help = one.help.to_lowercase();
            let settled = ["default", "needed"].iter().any(|word| help.contains(word));
            assert!(
                settled,
                "{verb} {} does not say what holds without it: {help}",
                one.name
            );
            let name = one.name.trim_end_matches(']');
            let shown = one.help.contains(&format!(": {name} ")) || one.help.contains("Example: ");
            let own = one.help.contains(name)
                || one
                    .short
                    .is_some_and(|short| one.help.contains(&format!("{short} ")));
            assert!(shown && own, "{verb} {name} has no example: {}", one.help);
        }
    }
}

/// The option's own default, where the short help names one, must be what happens without it.
#[test]
fn defaults_are_what_the_help_says() {
    let bench = prepared();
    let call = [
        "chart",
        "dusk.jpg",
        "--palette",
        "mine.csv",
        "--size",
        "us7",
        "--force",
        "-o",
        "a.json",
    ];
    bench.run(&call).ok();
    let plain = bench.get("a.json");
    for default in [
        ["--columns", "9"],
        ["--margin", "0"],
        ["--bead", "11"],
        ["--prefer", "smaller"],
    ] {
        let all = told(&help("chart", "--help"));
        let one = all
            .iter()
            .find(|one| one.name == default[0])
            .expect(default[0]);
        assert!(one.help.contains(default[1]), "{}", one.help);
        bench.run(&[&call[..], &default].concat()).ok();
        assert!(bench.get("a.json") == plain, "{default:?}");
    }
    let dithered = [&call[..], &["--dither", "mask"]].concat();
    bench.run(&dithered).ok();
    let plain = bench.get("a.json");
    bench
        .run(&[&dithered[..], &["--strength", "0.5"]].concat())
        .ok();
    assert!(bench.get("a.json") == plain);
}

/// The lines under `Examples:`.
fn examples(verb: &str) -> Vec<String> {
    let text = help(verb, "--help");
    let (_, after) = text
        .split_once("\nExamples:\n")
        .unwrap_or_else(|| panic!("{verb} has no examples"));
    // A long example is broken for the terminal.
    let mut lines: Vec<String> = Vec::new();
    for line in after.lines().map(str::trim) {
        match lines.last_mut() {
            Some(last) if !line.starts_with("upbead ") => *last += &format!(" {line}"),
            _ => lines.push(line.to_string()),
        }
    }
    lines
}

/// A folder with the files that the examples name.
fn prepared() -> Bench {
    let bench = Bench::new();
    let sample = |name: &str| fs::read(repository("samples").join(name)).unwrap();
    bench.put("dusk.jpg", sample("harbour-dusk.jpg"));
    bench.put("bird.png", sample("kittiwake.png"));
    bench.put("picture.png", sample("tide-line.png"));
    let tin = fs::read_to_string(repository("palettes/tin.csv")).unwrap();
    bench.put("mine.csv", tin.replace("quay-58", "navy-1"));
    bench.put("owned.csv", tin.replace("quay-58", "navy-1"));
    bench.put("stock.csv", tin.replace("quay-58", "navy-1"));
    bench.put("colours.csv", &tin);
    bench.put("tray.png", super::photo::small());
    bench.put(
        "rows.txt",
        "Rows 1 & 2: 2N 1G 2N\nR3: 3N\nR4: 2N\nR5: 3G\nR6: 2N\n",
    );
    bench.put("grid.csv", "brass,brass,brass\nbrass,brass\n".repeat(3));
    bench.put("sizes/none", "");
    bench.put(".local/share/bash-completion/completions/none", "");
    bench.put(".config/fish/completions/none", "");
    bench
}

/// Through a shell, as they would be typed; what a pager does with them is its own affair.
#[cfg(unix)]
#[test]
fn every_verb_ends_with_two_examples_that_run() {
    let program = std::path::Path::new(env!("CARGO_BIN_EXE_upbead"));
    let top = printed(&["--help"]);
    let (_, start) = top.split_once("Start with:").expect("a start");
    let start = start.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut all = vec![start];
    for verb in calls() {
        let own = examples(&verb);
        assert_eq!(own.len(), 2, "{verb}: {own:?}");
        assert!(
            own.iter()
                .all(|line| line.starts_with(&format!("upbead {verb}"))),
            "{own:?}"
        );
        all.extend(own);
    }
    let first = prepared();
    let made = "chart bird.png --palette mine.csv --size us7 --place motif --ground navy-1 \
                -o band.json";
    first.run(&made.split(' ').collect::<Vec<_>>()).ok();
    for example in all {
        let bench = prepared();
        if example.split(' ').nth(2) == Some("band.json") {
            bench.put("band.json", first.get("band.json"));
        }
        let typed = example.split(" | ").next().unwrap();
        if typed.starts_with("upbead desk") {
            opens(&bench, typed, program);
            continue;
        }
        let output = std::process::Command::new("/bin/sh")
            .args(["-c", typed])
            .current_dir(bench.path(""))
            .env_clear()
            .env("HOME", bench.path(""))
            .env("PATH", program.parent().unwrap())
            .output()
            .unwrap();
        let run = bench.ended(&[&example], output).ok();
        let writes = [">", "--flat", "--ring", "--page"];
        let speaks = !run.out.is_empty() || writes.iter().any(|mark| typed.contains(mark));
        assert!(speaks, "{}", run.told());
    }
}

/// The desk stays open: it has to say where it is, and to end when it is told to.
#[cfg(unix)]
fn opens(bench: &Bench, typed: &str, program: &std::path::Path) {
    use std::io::{BufRead, BufReader};
    let mut child = std::process::Command::new("/bin/sh")
        .args(["-c", &format!("exec {typed}")])
        .current_dir(bench.path(""))
        .env_clear()
        .env("HOME", bench.path(""))
        .env("PATH", program.parent().unwrap())
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::null())
        .spawn()
        .unwrap();
    let mut line = String::new();
    let mut out = BufReader::new(child.stdout.as_mut().unwrap());
    out.read_line(&mut line).unwrap();
    assert!(
        line.starts_with("The desk is at http://127.0.0.1:"),
        "{typed}: {line}"
    );
    let pid = child.id().to_string();
    let sent = std::process::Command::new("kill")
        .args(["-TERM", &pid])
        .status();
    assert!(
        sent.unwrap().success() && child.wait().unwrap().success(),
        "{typed}"
    );
}

#[test]
fn a_wrong_verb_is_told_with_the_nearest_one() {
    let wrong = Bench::new().run(&["chrat"]);
    assert_eq!(wrong.status, Some(2), "{}", wrong.told());
    assert!(wrong.err.contains("'chart'"), "{}", wrong.told());
    let version = printed(&["--version"]);
    assert_eq!(
        version.trim(),
        format!("upbead {}", env!("CARGO_PKG_VERSION"))
    );
}
