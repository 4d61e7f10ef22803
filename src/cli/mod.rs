//! The commands, one file a command.
//!
//! Exit code 0: clean; 1: findings of error severity; 2: could not run.

mod args;
mod book;
mod check;
mod completions;
mod draw;
mod explain;
mod failed;
mod levels;
mod progress;
mod reach;
mod schema;
mod summary;
mod table;
mod terminal;
mod why;
mod working;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::Parser;

use crate::pipeline::Working;
use args::{Arguments, Command};

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum End {
    /// Nothing stands against the work.
    Clean,
    /// Findings of error severity.
    Findings,
    /// Could not run.
    Failed,
}

impl From<End> for ExitCode {
    fn from(end: End) -> ExitCode {
        ExitCode::from(match end {
            End::Clean => 0,
            End::Findings => 1,
            End::Failed => 2,
        })
    }
}

/// Runs the command that the arguments name.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(said) => {
            // Help and version come this way too, with exit code 0.
            let code = u8::try_from(said.exit_code()).unwrap_or(2);
            // Nobody is left to tell when the terminal is gone.
            let _ = said.print();
            return ExitCode::from(code);
        }
    };
    let end = match arguments.command {
        Command::Draw(a) => draw::draw(&a),
        Command::Check(a) => check::check(&a),
        Command::Levels(a) => levels::levels(&a),
        Command::Reach(a) => reach::reach(&a),
        Command::Test(a) => working::working(&a, Working::Test),
        Command::Drops(a) => working::working(&a, Working::Drops),
        Command::Takeoff(a) => working::working(&a, Working::Takeoff),
        Command::Why(a) => why::why(&a),
        Command::Book(a) => book::book(&a),
        Command::Explain(a) => explain::explain(&a),
        Command::Schema => schema::schema(),
        Command::Completions(a) => completions::completions(a.shell),
    };
    end.into()
}
