//! `stackfall draw`: the whole set of sheets.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use serde_json::json;

use super::End;
use super::args::{DrawArgs, Form, Reader};
use super::failed::failed;
use super::progress::Progress;
use super::summary;
use super::terminal::{self, Stream};
use super::working;
use crate::earlier::Earlier;
use crate::job::Source;
use crate::pipeline::{self, Options, Working};
use crate::writers::{self, Folder, Format, json};

pub(super) fn draw(a: &DrawArgs) -> End {
    match a.reader {
        Reader::Permit => {}
        Reader::Inspector => return working::working(&a.write, Working::Inspector),
        Reader::Crew => return working::working(&a.write, Working::Crew),
    }
    let like = &a.like;
    let a = &a.write;
    let mut progress = Progress::start();
    progress.at(&a.job.display().to_string());
    let like = match like.as_deref().map(Earlier::open).transpose() {
        Ok(earlier) => earlier.map(Arc::new),
        Err(problems) => {
            let source = Source {
                path: a.job.display().to_string(),
                text: String::new(),
            };
            return failed(&a.say, &problems, &source);
        }
    };
    let options = Options {
        sheet: a.sheet.clone(),
        like,
    };
    let mut run = match pipeline::run(&a.job, &options) {
        Ok(run) => run,
        Err(failure) => return failed(&a.say, &failure.problems, &failure.source),
    };
    let out = a
        .out
        .clone()
        .unwrap_or_else(|| Path::new("output").join(folder_name(&run.job.name)));
    let formats: Vec<Format> = match a.only.as_slice() {
        [] => Format::ALL.to_vec(),
        some => some.iter().map(|o| Format::from(*o)).collect(),
    };
    let written = Folder::open(&out, a.force).and_then(|folder| {
        let mut tell = |name: &str| progress.at(name);
        let tables = || run.tables();
        writers::write(folder, &run.sheets, &tables, &formats, a.dpi, &mut tell)
    });
    drop(progress);
    let (written, timings) = match written {
        Ok(done) => done,
        Err(problems) => return failed(&a.say, &problems, &run.job.source),
    };
    run.timings.extend(timings);
    match a.say.format {
        Form::Json => {
            let mut result = run.result();
            if let Some(object) = result.as_object_mut() {
                object.insert("folder".to_owned(), json!(written.folder.to_string_lossy()));
                object.insert("files".to_owned(), json!(written.files));
            }
            terminal::out(&json::print(&result));
        }
        Form::Text => {
            let colour = terminal::coloured(a.say.colour, Stream::Out);
            let command = format!("stackfall check {}", a.job.display());
            terminal::out(&summary::of_drawing(&run, &written, &command, colour));
        }
    }
    if a.say.timings {
        terminal::err(&summary::timings(&run.timings));
    }
    summary::end(&run.findings)
}

/// The job's name as one folder below `output`, whatever the file is called.
pub(super) fn folder_name(name: &str) -> PathBuf {
    match name {
        "" | "." | ".." => PathBuf::from("job"),
        name => PathBuf::from(name.replace(['/', '\\'], "-")),
    }
}
