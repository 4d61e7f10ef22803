//! `stackfall completions`: what a shell needs to complete the command.

use clap::CommandFactory;
use clap_complete::Shell;

use super::args::Arguments;
use super::{End, terminal};

pub(super) fn completions(shell: Shell) -> End {
    // Written to memory first: the generator panics on a closed standard output.
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "stackfall", &mut script);
    terminal::out(&String::from_utf8_lossy(&script));
    End::Clean
}
