//! The commands, run as a user runs them.

#[path = "cli/arguments.rs"]
mod arguments;
#[path = "cli/commands.rs"]
mod commands;
#[path = "writers/temp.rs"]
mod temp;

use snapbox::cmd::{Command, cargo_bin};

/// The command, in a folder, with nothing about it that differs between machines.
fn stackfall(folder: &std::path::Path) -> Command {
    Command::new(cargo_bin!("stackfall"))
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .env_remove("CLICOLOR_FORCE")
}

/// The path of a sample's job file.
fn sample(name: &str) -> String {
    format!("{}/samples/{name}/job.toml", env!("CARGO_MANIFEST_DIR"))
}
