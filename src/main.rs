//! The `stackfall` command: a thin shell over the library.
#![forbid(unsafe_code)]

use std::process::ExitCode;

fn main() -> ExitCode {
    stackfall::cli::run(std::env::args_os())
}
