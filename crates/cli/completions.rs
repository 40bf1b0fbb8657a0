//! `countermix completions`: the shell completes commands and options.

use crate::load::{Trouble, say};
use clap_complete::{Shell, generate};

#[derive(clap::Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Args {
    /// The shell.
    shell: Shell,
}

const EXAMPLES: &str = "\
Examples:
  countermix completions bash > ~/.local/share/bash-completion/completions/countermix
  countermix completions fish > ~/.config/fish/completions/countermix.fish
  countermix completions zsh > _countermix        # into a folder of $fpath";

pub(crate) fn run(args: &Args, mut command: clap::Command) -> Result<(), Trouble> {
    let mut script = Vec::new();
    generate(args.shell, &mut command, "countermix", &mut script);
    say(String::from_utf8_lossy(&script).trim_end())
}
