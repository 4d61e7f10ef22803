//! `stackfall check`: what stands against the job, and nothing else.

use super::End;
use super::args::{CheckArgs, Form};
use super::failed::failed;
use super::summary;
use super::terminal::{self, Stream};
use crate::diagnostics;
use crate::pipeline::{self, Options};
use crate::writers::json;

pub(super) fn check(a: &CheckArgs) -> End {
    let options = Options {
        sheet: a.sheet.clone(),
        ..Options::default()
    };
    let run = match pipeline::run(&a.job, &options) {
        Ok(run) => run,
        Err(failure) => return failed(&a.say, &failure.problems, &failure.source),
    };
    match a.say.format {
        Form::Json => terminal::out(&json::print(&run.result())),
        Form::Text => {
            let colour = terminal::coloured(a.say.colour, Stream::Out);
            let mut words = diagnostics::render(&run.findings, &run.job.source, colour);
            if !words.is_empty() {
                words.push('\n');
            }
            words += &summary::tally(&run.findings, colour);
            words.push('\n');
            terminal::out(&words);
        }
    }
    if a.say.timings {
        terminal::err(&summary::timings(&run.timings));
    }
    summary::end(&run.findings)
}
