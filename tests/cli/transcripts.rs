//! Transcripts: every `console` block of `golden/transcripts/verbs.md` prints just that; and
//! README's two commands.

use crate::common::{Bench, repository};
use std::fmt::Write;
use std::fs;

/// A command, and what it prints; a line of `...` stands for any lines.
struct Block {
    command: String,
    printed: String,
}

fn blocks(text: &str) -> Vec<Block> {
    let mut blocks = Vec::new();
    for part in text.split("```console\n").skip(1) {
        let block = part.split("\n```").next().unwrap();
        let command = block.lines().next().unwrap();
        let command = command.strip_prefix("$ ").expect("a command");
        let printed = block.lines().skip(1).fold(String::new(), |mut all, line| {
            writeln!(all, "{line}").unwrap();
            all
        });
        blocks.push(Block {
            command: command.to_string(),
            printed,
        });
    }
    blocks
}

/// A folder with the samples and palettes in it.
fn bench() -> Bench {
    let bench = Bench::new();
    for folder in ["samples", "palettes"] {
        for entry in fs::read_dir(repository(folder)).unwrap() {
            let path = entry.unwrap().path();
            if path.is_file() {
                let name = path.file_name().unwrap().to_str().unwrap();
                bench.put(&format!("{folder}/{name}"), fs::read(&path).unwrap());
            }
        }
    }
    bench
}

fn run(bench: &Bench, command: &str) -> String {
    let words: Vec<&str> = command.split_whitespace().collect();
    assert_eq!(words[0], "upbead", "{command}");
    let run = bench.run(&words[1..]);
    run.out + &run.err
}

/// Whether `actual` is `wanted`, whose lines of `...` stand for any lines.
fn fits(wanted: &str, actual: &str) -> bool {
    let parts: Vec<&str> = wanted.split("...\n").collect();
    let [first, rest @ ..] = &parts[..] else {
        return false;
    };
    let Some(mut left) = actual.strip_prefix(first) else {
        return false;
    };
    let Some((last, between)) = rest.split_last() else {
        return left.is_empty();
    };
    for part in between {
        let Some(at) = left.find(part) else {
            return false;
        };
        left = &left[at + part.len()..];
    }
    left.ends_with(last)
}

/// The two commands that set a newcomer up: the main job on a sample, and the tests. The first is
/// run with this very program.
#[test]
fn readme_s_first_command_makes_its_files_and_its_second_is_the_tests() {
    let readme = fs::read_to_string(repository("README.md")).unwrap();
    let commands: Vec<&str> = readme
        .split("```sh\n")
        .skip(1)
        .map(|part| part.split("\n```").next().unwrap())
        .collect();
    assert_eq!(commands[1], "cargo test");
    let bench = bench();
    let words: Vec<&str> = commands[0].split_whitespace().collect();
    let call = words.strip_prefix(&["cargo", "run", "--"][..]).unwrap();
    bench.run(call).ok();
    for option in ["-o", "--preview"] {
        let at = call.iter().position(|&word| word == option).unwrap();
        assert!(!bench.get(call[at + 1]).is_empty(), "{option}");
    }
}

#[test]
fn every_verb_prints_what_its_transcript_says() {
    let bench = bench();
    let path = repository("tests/golden/transcripts/verbs.md");
    let mut text = fs::read_to_string(&path).unwrap();
    let blocks = blocks(&text);
    assert!(blocks.len() > 20, "the transcripts are gone");
    let mut wrong = Vec::new();
    for Block { command, printed } in blocks {
        let actual = run(&bench, &command);
        if !fits(&printed, &actual) {
            let block = |printed: &str| format!("$ {command}\n{printed}```");
            text = text.replace(&block(&printed), &block(&actual));
            wrong.push(format!("$ {command}\n{actual}"));
        }
    }
    if std::env::var_os("UPBEAD_BLESS").is_some() {
        fs::write(&path, text).unwrap();
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn any_lines_stand_in_for_dots() {
    for (wanted, actual) in [
        ("a\n...\n", "a\nb\nc\n"),
        ("a\n...\nc\n", "a\nb\nc\n"),
        ("a\n", "a\n"),
        ("...\nb\n...\n", "a\nb\nc\n"),
    ] {
        assert!(fits(wanted, actual), "{wanted:?} {actual:?}");
    }
    for (wanted, actual) in [("a\n...\nd\n", "a\nb\nc\n"), ("a\n", "a\nb\n")] {
        assert!(!fits(wanted, actual), "{wanted:?} {actual:?}");
    }
}
