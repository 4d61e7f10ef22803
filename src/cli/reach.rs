//! `stackfall reach`: how far the end of each drain can still be pushed.

use super::End;
use super::args::ReachArgs;
use super::failed::failed;
use super::summary;
use super::table;
use crate::diagnostics::{Diagnostic, Severity};
use crate::pipeline;

pub(super) fn reach(a: &ReachArgs) -> End {
    let solved = match pipeline::solve(&a.job) {
        Ok(solved) => solved,
        Err(failure) => return failed(&a.say, &failure.problems, &failure.source),
    };
    let found = match &a.drain {
        None => Some(solved.reach()),
        Some(drain) => solved.reach_of(drain),
    };
    let Some(found) = found else {
        let name = a.drain.as_deref().unwrap_or_default();
        let problem = Diagnostic {
            code: "P003",
            name: "no-such-drain",
            severity: Severity::Error,
            at: String::new(),
            span: None,
            message: format!("the job has no drain `{name}`"),
            help: solved
                .drain_like(name)
                .map(|n| format!("did you mean `{n}`?")),
            section: None,
            note: None,
            cures: Vec::new(),
        };
        return failed(&a.say, &[problem], &solved.job.source);
    };
    table::print(&found, "reach", a.say.format);
    summary::end(&solved.findings)
}
