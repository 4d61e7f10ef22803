//! `stackfall why`: the whole working of one pipe.

use super::End;
use super::args::{Form, WhyArgs};
use super::failed::failed;
use super::terminal;
use crate::diagnostics::{Diagnostic, Severity};
use crate::pipeline;
use crate::writers::json;

pub(super) fn why(a: &WhyArgs) -> End {
    let solved = match pipeline::solve(&a.job) {
        Ok(solved) => solved,
        Err(failure) => return failed(&a.say, &failure.problems, &failure.source),
    };
    let found = solved.why(&a.pipe);
    if found.is_empty() {
        let meant = solved.pipe_like(&a.pipe);
        let problem = Diagnostic {
            help: meant.map(|n| format!("did you mean `{n}`?")),
            ..Diagnostic::plain(
                "P004",
                "no-such-pipe",
                Severity::Error,
                format!("the job has no pipe and no run of pipe `{}`", a.pipe),
            )
        };
        return failed(&a.say, &[problem], &solved.job.source);
    }
    match a.say.format {
        Form::Text => {
            let each: Vec<String> = found.iter().map(|w| w.text()).collect();
            terminal::out(&each.join("\n"));
        }
        Form::Json => {
            let each: Vec<serde_json::Value> = found.iter().map(|w| w.to_json()).collect();
            terminal::out(&json::print(&serde_json::json!({ "pipes": each })));
        }
    }
    End::Clean
}
