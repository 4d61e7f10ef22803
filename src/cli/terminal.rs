//! Where words go: colour or not, and a standard output that may be closed at any time.

use std::io::{self, IsTerminal, Write};

use super::args::Colour;

/// Prints to the standard output. A reader that has gone away (`| head`) is no error.
pub(super) fn out(words: &str) {
    let mut to = io::stdout().lock();
    let _ = to.write_all(words.as_bytes()).and_then(|()| to.flush());
}

/// Prints to the standard error.
pub(super) fn err(words: &str) {
    let mut to = io::stderr().lock();
    let _ = to.write_all(words.as_bytes()).and_then(|()| to.flush());
}

/// A standard stream.
#[derive(Clone, Copy, Debug)]
pub(super) enum Stream {
    Out,
    Err,
}

/// Whether what goes to a stream is coloured. Follows `NO_COLOR` (no-color.org) and `TERM`.
pub(super) fn coloured(when: Colour, stream: Stream) -> bool {
    match when {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto => {
            let plain = std::env::var_os("NO_COLOR").is_some_and(|v| !v.is_empty())
                || std::env::var_os("TERM").is_some_and(|v| v == "dumb");
            let terminal = match stream {
                Stream::Out => io::stdout().is_terminal(),
                Stream::Err => io::stderr().is_terminal(),
            };
            terminal && !plain
        }
    }
}

/// What words are marked with when they are coloured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Mark {
    Bold,
    Red,
    Yellow,
    Cyan,
}

/// Marks words, if they are to be coloured at all.
pub(super) fn marked(words: &str, mark: Mark, colour: bool) -> String {
    if !colour {
        return words.to_owned();
    }
    let code = match mark {
        Mark::Bold => "1",
        Mark::Red => "1;31",
        Mark::Yellow => "1;33",
        Mark::Cyan => "1;36",
    };
    format!("\u{1b}[{code}m{words}\u{1b}[0m")
}
