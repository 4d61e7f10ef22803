//! How a command says that it could not run.

use serde_json::json;

use super::End;
use super::args::{Form, SayArgs};
use super::terminal::{self, Stream};
use crate::diagnostics::{self, Diagnostic};
use crate::job::Source;
use crate::writers::json;

/// All problems, on the standard error; with `--format json` as findings on the standard output.
pub(super) fn failed(say: &SayArgs, problems: &[Diagnostic], source: &Source) -> End {
    match say.format {
        Form::Text => {
            let colour = terminal::coloured(say.colour, Stream::Err);
            terminal::err(&diagnostics::render(problems, source, colour));
            terminal::err(&format!(
                "\nnothing was written: {}\n",
                count(problems.len())
            ));
        }
        Form::Json => {
            let findings = diagnostics::to_json(problems, source);
            terminal::out(&json::print(&json!({ "findings": findings, "ran": false })));
        }
    }
    End::Failed
}

fn count(n: usize) -> String {
    match n {
        1 => "1 error".to_owned(),
        n => format!("{n} errors"),
    }
}
