//! `upbead manual` and `upbead completions`: nothing in the help is missing there.

use super::help::{calls, help, printed, told, verbs};
use crate::common::Bench;

#[test]
fn the_manual_page_names_every_verb_and_option() {
    let page = printed(&["manual"]);
    assert!(page.contains(".TH upbead 1"), "{page}");
    let page = page
        .replace("\\-", "-")
        .replace("\\fR", "")
        .replace("\\fB", "")
        .replace("\\fI", "");
    for verb in calls() {
        let heading = format!(".SH \"UPBEAD {}\"\n", verb.to_uppercase());
        let (_, own) = page
            .split_once(&heading)
            .unwrap_or_else(|| panic!("{heading}"));
        let own = own.split("\n.SH \"UPBEAD ").next().unwrap();
        for one in told(&help(&verb, "--help")) {
            let name = one.name.trim_matches(['<', '>', '.', '[', ']']);
            assert!(own.contains(name), "{verb} {name}: {own}");
        }
        assert!(
            own.contains("upbead ") && own.contains("Examples:"),
            "{verb}"
        );
    }
}

#[test]
fn completions_of_every_shell_know_every_verb_and_option() {
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let script = printed(&["completions", shell]);
        for verb in verbs() {
            assert!(script.contains(&verb), "{shell}: {verb}");
            for one in told(&printed(&[&verb, "-h"])) {
                // Some shells write an option without its dashes.
                let name = one.name.trim_start_matches('-');
                assert!(
                    name.starts_with('<') || script.contains(name),
                    "{shell}: {verb} {name}"
                );
            }
        }
    }
    let run = Bench::new().run(&["completions", "tcsh"]);
    assert_eq!(run.status, Some(2), "{}", run.told());
    assert!(
        run.err
            .contains("[possible values: bash, elvish, fish, powershell, zsh]"),
        "{}",
        run.told()
    );
}
