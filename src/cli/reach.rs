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
            help: solved
                .drain_like(name)
                .map(|n| format!("did you mean `{n}`?")),
            ..Diagnostic::plain(
                "P003",
                "no-such-drain",
                Severity::Error,
                format!("the job has no drain `{name}`"),
            )
        };
        return failed(&a.say, &[problem], &solved.job.source);
    };
    table::print(&found, "reach", a.say.format);
    summary::end(&solved.findings)
}
