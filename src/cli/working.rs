//! The working papers: `stackfall takeoff` and its like.

use std::path::Path;

use serde_json::{Map, Value};

use super::End;
use super::args::{Form, WorkingArgs};
use super::draw::folder_name;
use super::failed::failed;
use super::progress::Progress;
use super::summary;
use super::table;
use super::terminal;
use crate::diagnostics::{Diagnostic, Severity};
use crate::pipeline::{self, Working};
use crate::sheets;
use crate::writers::{self, Folder, Format, json};

/// Makes a working paper of a job, and writes it.
pub(super) fn working(a: &WorkingArgs, what: Working) -> End {
    let mut progress = Progress::start();
    progress.at(&a.job.display().to_string());
    let mut solved = match pipeline::solve(&a.job) {
        Ok(solved) => solved,
        Err(failure) => return failed(&a.say, &failure.problems, &failure.source),
    };
    let paper = a.sheet.as_deref().and_then(sheets::paper);
    let Some(made) = solved.working(what, paper) else {
        let message = format!(
            "the code book {} says nothing of a {}",
            solved.book_id(),
            what.word()
        );
        let problem = Diagnostic::plain("P006", "not-in-the-book", Severity::Error, message);
        return failed(&a.say, &[problem], &solved.job.source);
    };
    solved.findings.extend(made.said.iter().cloned());
    let usual = || {
        Path::new("output")
            .join(folder_name(&solved.job.name))
            .join(what.word())
    };
    let out = a.out.clone().unwrap_or_else(usual);
    let formats: Vec<Format> = match a.only.as_slice() {
        [] => Format::ALL.to_vec(),
        some => some.iter().map(|o| Format::from(*o)).collect(),
    };
    let written = Folder::open(&out, a.force).and_then(|folder| {
        let mut tell = |name: &str| progress.at(name);
        let tables = || made.tables.clone();
        writers::write(folder, &made.set, &tables, &formats, a.dpi, &mut tell)
    });
    drop(progress);
    let (written, timings) = match written {
        Ok(done) => done,
        Err(problems) => return failed(&a.say, &problems, &solved.job.source),
    };
    solved.timings.extend(timings);
    match a.say.format {
        Form::Json => {
            let rows = made.tables.iter().map(|t| {
                let rows: Vec<Value> = t.rows.iter().map(|row| table::named(t, row)).collect();
                (t.name.to_owned(), rows.into())
            });
            let object: Map<String, Value> = rows.collect();
            terminal::out(&json::print(&Value::Object(object)));
        }
        Form::Text => {
            let mut words = String::new();
            for table in &made.shown {
                words += &format!("{}\n{}\n", table.title, table::text(table));
            }
            words += &format!(
                "{}, in {}\n",
                summary::files(&written),
                written.folder.display()
            );
            terminal::out(&words);
        }
    }
    if a.say.timings {
        terminal::err(&summary::timings(&solved.timings));
    }
    summary::end(&solved.findings)
}
