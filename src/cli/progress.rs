//! One line on the terminal that says what long work is at.

use std::io::{self, IsTerminal};
use std::time::{Duration, Instant};

use super::terminal::err;

/// Work shorter than this shows nothing.
const PATIENCE: Duration = Duration::from_millis(200);

/// The line; it is wiped away when the work is done.
pub(super) struct Progress {
    since: Instant,
    terminal: bool,
    shown: bool,
}

impl Progress {
    pub(super) fn start() -> Progress {
        Progress {
            since: Instant::now(),
            terminal: io::stderr().is_terminal(),
            shown: false,
        }
    }

    /// Says what comes next.
    pub(super) fn at(&mut self, what: &str) {
        if self.terminal && self.since.elapsed() >= PATIENCE {
            self.shown = true;
            // A name may hold anything; on the terminal it is only words.
            let what: String = what.chars().filter(|c| !c.is_control()).take(60).collect();
            err(&format!("\r\u{1b}[Kdrawing {what} …"));
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if self.shown {
            err("\r\u{1b}[K");
        }
    }
}
