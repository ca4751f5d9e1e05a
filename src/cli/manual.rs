//! `upbead manual` and `upbead completions`: from the same definitions as the help.

use crate::error::{Error, Result};
use crate::files;
use clap::Command;
use clap_complete::Shell;

/// Options of `upbead manual`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  upbead manual > upbead.1\n  upbead manual | man -l -")]
pub(crate) struct ManualArgs {}

/// Options of `upbead completions`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    upbead completions bash > ~/.local/share/bash-completion/completions/upbead\n  \
    upbead completions fish > ~/.config/fish/completions/upbead.fish")]
pub(crate) struct CompletionsArgs {
    /// The shell
    #[arg(value_name = "SHELL")]
    shell: Shell,
}

/// Prints the manual page, in roff: the program's and every verb's.
pub(crate) fn manual(_: &ManualArgs, command: Command) -> Result<()> {
    let mut page = Vec::new();
    let mut command = command;
    command.build();
    let refused = |e: std::io::Error| Error::new("the manual page could not be made").because(e);
    clap_mangen::Man::new(command.clone())
        .render(&mut page)
        .map_err(refused)?;
    for verb in command.get_subcommands() {
        of_verb("UPBEAD", verb, &mut page).map_err(refused)?;
    }
    files::print(&page)
}

/// A verb's part of the page, and those of the verbs below it.
fn of_verb(above: &str, verb: &Command, page: &mut Vec<u8>) -> std::io::Result<()> {
    let name = format!("{above} {}", verb.get_name().to_uppercase());
    let man = clap_mangen::Man::new(verb.clone());
    page.extend_from_slice(format!(".SH \"{name}\"\n").as_bytes());
    man.render_synopsis_section(page)?;
    man.render_description_section(page)?;
    man.render_options_section(page)?;
    man.render_extra_section(page)?;
    verb.get_subcommands()
        .try_for_each(|below| of_verb(&name, below, page))
}

/// Prints the completions of a shell.
pub(crate) fn completions(args: &CompletionsArgs, mut command: Command) -> Result<()> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut command, "upbead", &mut script);
    files::print(&script)
}
