//! The stages that need no drawing, and what is asked of a job worked through so far.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use super::{Clock, Failure, Options, begun, read_file};
use crate::codebook::Book;
use crate::diagnostics::{Diagnostic, tidy};
use crate::findings::Findings;
use crate::job::{self, Job, Said, Source};
use crate::network::Network;
use crate::reach;
use crate::sheets::{self, Inputs, Paper};
use crate::sizing::PieceSize;
use crate::solve::{Solution, Work};
use crate::standing::Standing;
use crate::why;

/// A job up to its levels and findings: what needs no drawing.
pub struct Solved {
    /// The job as it was read.
    pub job: Job,
    /// Its findings, but those of the drawing.
    pub findings: Vec<Diagnostic>,
    /// Time spent on each stage.
    pub timings: Vec<(&'static str, Duration)>,
    book: Arc<Book>,
    net: Network,
    solution: Solution,
    standing: Option<Standing>,
    pub(super) found: Findings,
    pub(super) paper: Paper,
}

impl Solved {
    /// The level table from the exit up, with all that is known at each place.
    pub fn levels(&self) -> sheets::Table {
        sheets::levels_whole(&self.inputs())
    }

    /// All that sheets without a drawing are made from.
    pub(super) fn inputs(&self) -> Inputs<'_> {
        Inputs {
            job: &self.job,
            net: &self.net,
            book: &self.book,
            solution: &self.solution,
            findings: &self.found,
            paper: self.paper,
            marks: &[],
            shows: &[],
            scale: None,
            typical: None,
            standing: self.standing.as_ref(),
        }
    }

    /// How far the end of each drain can still be pushed.
    pub fn reach(&self) -> sheets::Table {
        reach::all(&self.work())
    }

    /// The same for one drain, at each legal size and fall; none where there is no such drain.
    pub fn reach_of(&self, drain: &str) -> Option<sheets::Table> {
        reach::one(&self.work(), drain)
    }

    /// The drain whose name is nearest to this.
    pub fn drain_like(&self, name: &str) -> Option<&str> {
        let drains = self.job.drains.iter();
        job::nearest(name, drains.map(|d| d.name.as_str()))
    }

    /// The whole working of a pipe, or of every pipe of a run.
    pub fn why(&self, name: &str) -> Vec<why::Why> {
        why::why(&self.work(), name)
    }

    /// The pipe whose name is nearest to this.
    pub fn pipe_like(&self, name: &str) -> Option<&str> {
        why::like(&self.net, name)
    }

    /// The size of every pipe, by its id.
    pub fn sizes(&self) -> BTreeMap<String, &PieceSize> {
        let all = self.solution.sizing.pieces.iter();
        let named = all.filter_map(|(p, size)| {
            let id = &self.net.graph.edge_weight(*p)?.id;
            Some((id.clone(), size))
        });
        named.collect()
    }

    /// Its network, complete.
    pub fn network(&self) -> &Network {
        &self.net
    }

    /// The id of its code book.
    pub fn book_id(&self) -> &str {
        self.book.id()
    }

    pub(super) fn work(&self) -> Work<'_> {
        Work {
            job: &self.job,
            net: &self.net,
            book: &self.book,
            solution: &self.solution,
        }
    }
}

/// Runs the stages that need no drawing on a job file.
///
/// # Errors
/// As [`super::run`].
pub fn solve(path: &Path) -> Result<Solved, Failure> {
    solve_under(path, None)
}

/// The same under another code book than the job names, by its id or its path from here.
///
/// # Errors
/// As [`super::run`]; also where there is no such book.
pub fn solve_under(path: &Path, code: Option<&str>) -> Result<Solved, Failure> {
    let shown = path.display().to_string();
    let failure = |source: Arc<Source>| |problems| Failure { source, problems };
    let nothing = Arc::new(Source {
        path: shown.clone(),
        text: String::new(),
    });
    let text = read_file(path).map_err(failure(nothing))?;
    let whole = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    solved((&job::name_of(&whole), path), text, code)
}

/// The same on the text of a job file; see [`super::run_text`].
///
/// # Errors
/// As [`super::run`].
pub fn solve_text(name: &str, path: &str, text: &str) -> Result<Solved, Failure> {
    solved((name, Path::new(path)), text.to_owned(), None)
}

fn solved(
    (name, path): (&str, &Path),
    text: String,
    code: Option<&str>,
) -> Result<Solved, Failure> {
    let shown = path.display().to_string();
    let failure = |source: Arc<Source>| |problems| Failure { source, problems };
    let mut clock = Clock::start();
    let outcome = job::read(name, &shown, &text);
    clock.lap("job");
    let source = match &outcome {
        Ok(job) => Arc::clone(&job.source),
        Err(_) => Arc::new(Source { path: shown, text }),
    };
    let solved = outcome.and_then(|job| {
        let mut job = job;
        let mut beside = path;
        if let Some(code) = code {
            job.code = Some(Said {
                value: code.to_owned(),
                span: 0..0,
            });
            beside = Path::new(".");
        }
        let begun = begun(job, beside, &Options::default(), &mut clock)?;
        let mut findings = begun.findings.open.clone();
        findings.extend(begun.said);
        tidy(&mut findings);
        Ok(Solved {
            findings,
            paper: begun.papers.shared,
            job: begun.job,
            book: begun.book,
            net: begun.net,
            solution: begun.solution,
            standing: begun.standing,
            timings: clock.laps,
            found: begun.findings,
        })
    });
    solved.map_err(failure(source))
}
