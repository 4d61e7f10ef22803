//! The `stackfall` command: a thin shell over the library.
#![forbid(unsafe_code)]

use std::process::ExitCode;

/// A large building is a few million small lists, built by two threads at once: the system's own
/// allocator took a fifth of the time over them.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    stackfall::cli::run(std::env::args_os())
}
