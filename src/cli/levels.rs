//! `stackfall levels`: the levels from the exit up, with the room to spare at each place.

use super::End;
use super::args::LevelsArgs;
use super::failed::failed;
use super::summary;
use super::table;
use super::terminal;
use super::working;
use crate::pipeline::{self, Working};

pub(super) fn levels(a: &LevelsArgs) -> End {
    if a.profile {
        return working::working(&a.write, Working::Profile);
    }
    let a = &a.write;
    let solved = match pipeline::solve(&a.job) {
        Ok(solved) => solved,
        Err(failure) => return failed(&a.say, &failure.problems, &failure.source),
    };
    table::print(&solved.levels(), "levels", a.say.format);
    if a.say.timings {
        terminal::err(&summary::timings(&solved.timings));
    }
    summary::end(&solved.findings)
}
