//! The order of the stages: the one place that knows it.
//!
//! A library call with no global state: the same text and options give the same run.

mod crew;
mod drawn;
mod like;
mod papers;
mod solved;
mod working;

use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use crate::at_once;
use crate::captions::{Captions, MatchMark, Subject};
use crate::codebook::Book;
use crate::diagnostics::{Diagnostic, Outcome, Severity, tidy};
use crate::earlier::{self, Earlier, Told};
use crate::findings::{self, Findings};
use crate::job::{self, Job, Source};
use crate::linework;
use crate::network::{self, Network};
use crate::pins;
use crate::placement::{Figures, Plan, Shows};
use crate::proposals;
use crate::result;
use crate::sheets::{self, Inputs, Paper, SheetSet, Table};
use crate::solve::{self, Solution, Work};
use crate::standing::{self, Standing};
use crate::typical::Typical;
use crate::writers::coverage;
use papers::Papers;
pub use solved::{Solved, solve, solve_text, solve_under};
pub use working::{Working, WorkingPaper};

/// The book of a job that names none: most jobs are houses.
const DEFAULT_BOOK: &str = "irc-2021";
/// A job file larger than this is none, in bytes.
const LARGEST: u64 = 64 << 20;

/// What a run can be asked for beyond what the job file says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Options {
    /// Paper, by name; above what the job file says.
    pub sheet: Option<String>,
    /// An earlier drawing that this one is to be like.
    pub like: Option<Arc<Earlier>>,
}

/// All that a run gives.
#[derive(Debug)]
pub struct Run {
    /// The job.
    pub job: Job,
    /// What stands against the work, or is worth knowing.
    pub findings: Vec<Diagnostic>,
    /// The sheets.
    pub sheets: SheetSet,
    /// The code book.
    pub book: Arc<Book>,
    /// The network, complete.
    pub net: Network,
    /// Sizes, levels and fittings.
    pub solution: Solution,
    /// Time spent on each stage.
    pub timings: Vec<(&'static str, Duration)>,
    /// The run in a few figures.
    pub summary: Summary,
    waived: Vec<(Diagnostic, usize)>,
    marks: Vec<MatchMark>,
    paper: Paper,
    typical: Option<Typical>,
    standing: Option<Standing>,
    told: Told,
}

impl Run {
    /// The tables, as data; built when asked for, since most runs only draw.
    pub fn tables(&self) -> Vec<Table> {
        let findings = Findings {
            open: self.findings.clone(),
            waived: self.waived.clone(),
        };
        sheets::tables(&Inputs {
            job: &self.job,
            net: &self.net,
            book: &self.book,
            solution: &self.solution,
            findings: &findings,
            paper: self.paper,
            marks: &self.marks,
            shows: &[],
            scale: None,
            typical: self.typical.as_ref(),
            standing: self.standing.as_ref(),
        })
    }

    /// What `--format json` prints; built when asked for, since most runs only draw.
    pub fn result(&self) -> serde_json::Value {
        let work = Work {
            job: &self.job,
            net: &self.net,
            book: &self.book,
            solution: &self.solution,
        };
        let mut result = result::object(
            &work,
            &self.findings,
            &self.sheets,
            self.typical.as_ref(),
            self.standing.as_ref(),
        );
        if let Some(object) = result.as_object_mut() {
            object.insert("drawing".to_owned(), self.drawing());
        }
        result
    }

    /// What was chosen for the drawing: the object `drawing` of the result.
    pub fn drawing(&self) -> serde_json::Value {
        let typical = self.typical.is_some();
        earlier::drawing(&self.told, &self.job, &self.net, typical, |i| {
            sheets::drawing_number(i)
        })
    }
}

/// A run in a few figures.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Summary {
    /// Id and title of the code book.
    pub book: String,
    /// How many fixtures there are.
    pub fixtures: usize,
    /// Name of each exit and its load in drainage fixture units.
    pub load_at_exit: Vec<(String, f64)>,
    /// The unit of those loads.
    pub unit: String,
}

/// Why there is nothing to show: all problems, and the text that they point into.
#[derive(Debug)]
pub struct Failure {
    /// The job file.
    pub source: Arc<Source>,
    /// What is wrong.
    pub problems: Vec<Diagnostic>,
}

/// Runs all stages on a job file.
///
/// # Errors
/// When the file does not read, or says nothing that could be drawn.
pub fn run(path: &Path, options: &Options) -> Result<Run, Failure> {
    let shown = path.display().to_string();
    let start = Instant::now();
    let text = read_file(path).map_err(|problems| Failure {
        source: Arc::new(Source {
            path: shown.clone(),
            text: String::new(),
        }),
        problems,
    })?;
    let read = ("read", start.elapsed());
    // So that `job.toml` in the folder one stands in has the folder's name.
    let whole = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let mut run = run_text(&job::name_of(&whole), &shown, &text, options)?;
    run.timings.insert(0, read);
    Ok(run)
}

/// Runs all stages on the text of a job file.
///
/// # Arguments
/// - `name`: the job's short name.
/// - `path`: the file's path, for messages, and for code books named relative to it.
///
/// # Errors
/// As [`run`].
pub fn run_text(name: &str, path: &str, text: &str, options: &Options) -> Result<Run, Failure> {
    let mut clock = Clock::start();
    let outcome = job::read(name, path, text);
    clock.lap("job");
    let source = match &outcome {
        Ok(job) => Arc::clone(&job.source),
        Err(_) => Arc::new(Source {
            path: path.to_owned(),
            text: text.to_owned(),
        }),
    };
    outcome
        .and_then(|job| stages(job, Path::new(path), options, clock))
        .map_err(|problems| Failure { source, problems })
}

/// A job up to its placement: what stands where, before it is drawn.
pub struct Placed {
    /// The job.
    pub job: Job,
    /// Its network.
    pub net: Network,
    /// The words.
    pub captions: Captions,
    /// The symbols.
    pub figures: Figures,
    /// What stands on each sheet of the drawing.
    pub plans: Vec<Plan>,
    /// The paper.
    pub paper: Paper,
}

/// Runs the stages up to the placement on the text of a job file, as [`run_text`] does.
///
/// # Errors
/// As [`run`].
pub fn placed_text(
    name: &str,
    path: &str,
    text: &str,
    options: &Options,
) -> Result<Placed, Failure> {
    let placed = |job: Job| {
        let begun = begun(job, Path::new(path), options, &mut Clock::start())?;
        let Begun { job, net, .. } = begun;
        let earlier = options.like.as_deref();
        let drawn = drawn::drawn(subject(&job, &net, &begun.solution), &begun.papers, earlier)?;
        let net = drawn.typical.map_or(net, |t| t.net);
        Ok(Placed {
            captions: drawn.captions,
            figures: drawn.figures,
            plans: drawn.plans,
            paper: drawn.paper,
            job,
            net,
        })
    };
    let failure = |problems| Failure {
        source: Arc::new(Source {
            path: path.to_owned(),
            text: text.to_owned(),
        }),
        problems,
    };
    job::read(name, path, text)
        .and_then(placed)
        .map_err(failure)
}

/// The whole of a job, as it is to be drawn.
fn subject<'a>(job: &'a Job, net: &'a Network, solution: &'a Solution) -> Subject<'a> {
    Subject {
        job,
        net,
        solution,
        typical: None,
    }
}

/// What is known before anything is drawn.
struct Begun {
    job: Job,
    papers: Papers,
    book: Arc<Book>,
    net: Network,
    solution: Solution,
    findings: Findings,
    said: Vec<Diagnostic>,
    standing: Option<Standing>,
}

/// Works a job through as it is built, and where anything is changed as it was approved too.
fn begun(job: Job, path: &Path, options: &Options, clock: &mut Clock) -> Outcome<Begun> {
    let mut built = worked(job, path, options, clock)?;
    let approved = match built.job.is_changed() {
        true => {
            let mut approved = job::approved(&built.job)?;
            approved.code = built.job.code.clone();
            let approved = worked(approved, path, options, &mut Clock::start())?;
            clock.lap("approved");
            Some(approved)
        }
        false => None,
    };
    let before = approved.as_ref().map(Begun::all);
    let now = built.all();
    built.standing = standing::standing(
        &built.state(&now),
        approved
            .as_ref()
            .zip(before.as_deref())
            .map(|(a, all)| a.state(all))
            .as_ref(),
    );
    if let Some(before) = &before {
        standing::moved(&built.job, before, &mut built.findings.open);
        standing::moved(&built.job, before, &mut built.said);
    }
    // What many copies have is told once: only now, so that copies can be compared.
    built.said = findings::likewise(&built.job.made, built.said);
    built.findings = built.findings.told_once(&built.job.made);
    Ok(built)
}

impl Begun {
    /// All that was found.
    fn all(&self) -> Vec<Diagnostic> {
        self.findings
            .open
            .iter()
            .chain(&self.said)
            .cloned()
            .collect()
    }

    fn state<'a>(&'a self, found: &'a [Diagnostic]) -> standing::State<'a> {
        let work = Work {
            job: &self.job,
            net: &self.net,
            book: &self.book,
            solution: &self.solution,
        };
        standing::State { work, found }
    }
}

/// The stages that need no drawing.
fn worked(job: Job, path: &Path, options: &Options, clock: &mut Clock) -> Outcome<Begun> {
    let (papers, book, mut said) = chosen(&job, path, options)?;
    clock.lap("book");
    let once = |list| findings::likewise(&job.made, list);
    let stated = network::build(&job).map_err(once)?;
    clock.lap("network");
    let (net, open) = proposals::complete(&job, stated, &book);
    said.extend(open);
    let mut unknown = pins::unknown(&job, &net);
    unknown.extend(standing::unknown(&job, &net));
    if !unknown.is_empty() {
        return Err(unknown);
    }
    clock.lap("proposals");
    let solution = solve::solve(&job, &net, &book);
    clock.lap("solve");
    let findings = findings::run(&job, &net, &book, &solution);
    clock.lap("findings");
    Ok(Begun {
        job,
        papers,
        book,
        net,
        solution,
        findings,
        said,
        standing: None,
    })
}

fn stages(job: Job, path: &Path, options: &Options, mut clock: Clock) -> Outcome<Run> {
    let Begun {
        job,
        papers,
        book,
        net,
        solution,
        mut findings,
        mut said,
        standing,
    } = begun(job, path, options, &mut clock)?;
    let drawn = drawn::drawn(
        subject(&job, &net, &solution),
        &papers,
        options.like.as_deref(),
    )?;
    said.extend(drawn.said);
    said.extend(pins::drawn(&job, &net, &drawn.plans, &findings.open));
    clock.lap("placement");
    let style = linework::Style::default();
    let typical = drawn.typical.as_ref();
    let subject = linework::Subject {
        job: &job,
        net: typical.map_or(&net, |t| &t.net),
        solution: &solution,
        captions: &drawn.captions,
        figures: &drawn.figures,
    };
    let field = sheets::layout(drawn.paper).field;
    let scenes = at_once::each(&drawn.plans, |plan| {
        linework::scene(&subject, plan, field, &style)
    });
    clock.lap("linework");
    findings.open.extend(said);
    tidy(&mut findings.open);
    let scale = drawn.scale.map(|scale| sheets::ToScale {
        words: scale.words,
        missed: drawn
            .plans
            .iter()
            .flat_map(|p| scale.missed(&p.placement, &net))
            .collect(),
    });
    let mut told = drawn.told;
    told.sheets = at_once::each(&drawn.plans, |p| earlier::Sheet::of(subject.net, p));
    // Of a large set all that is not needed any more makes room for its sheets.
    let shows: Vec<Shows> = drawn.plans.into_iter().map(|p| p.shows).collect();
    let inputs = Inputs {
        job: &job,
        net: &net,
        book: &book,
        solution: &solution,
        findings: &findings,
        paper: drawn.paper,
        marks: &drawn.marks,
        shows: &shows,
        scale: scale.as_ref(),
        typical,
        standing: standing.as_ref(),
    };
    let mut sheets = sheets::compose(&inputs, scenes);
    findings.open.extend(coverage::settle(&mut sheets));
    clock.lap("sheets");
    let Findings { open, waived } = findings;
    let summary = summary(&job, &net, &book, &solution);
    Ok(Run {
        job,
        findings: open,
        sheets,
        book,
        net,
        solution,
        timings: clock.laps,
        summary,
        waived,
        marks: drawn.marks,
        paper: drawn.paper,
        typical: drawn.typical,
        standing,
        told,
    })
}

/// Papers to try, smallest first, the code book, and what is to be said about the choice.
fn chosen(
    job: &Job,
    path: &Path,
    options: &Options,
) -> Outcome<(Papers, Arc<Book>, Vec<Diagnostic>)> {
    let mut said = Vec::new();
    let code = match &job.code {
        Some(code) => code.value.as_str(),
        None => {
            said.push(book_not_stated());
            DEFAULT_BOOK
        }
    };
    let papers = papers::papers(job, options);
    let words: Vec<String> = job.code_options.iter().map(|o| o.value.clone()).collect();
    match (Book::open(code, path, &words), papers) {
        (Ok(book), Ok(papers)) => Ok((papers, book, said)),
        (book, papers) => {
            let mut problems = papers.err().unwrap_or_default();
            // A book that is not there is blamed on the words that name it.
            let at = (job.code_options.first().map(|o| o.span.clone()))
                .filter(|_| {
                    book.as_ref()
                        .is_err_and(|all| all.iter().any(|d| d.code == "B018"))
                })
                .or(job.code.as_ref().map(|c| c.span.clone()));
            let of_book = book.err().unwrap_or_default().into_iter();
            problems.extend(of_book.map(|d| Diagnostic {
                span: d.span.or(at.clone()),
                ..d
            }));
            Err(problems)
        }
    }
}

fn summary(job: &Job, net: &Network, book: &Book, solution: &Solution) -> Summary {
    let load = |i: usize, joint| {
        let total = solution.sizing.totals.iter().find(|t| t.joint == joint)?;
        let name = job
            .exits
            .get(i)
            .map_or_else(|| "exit".to_owned(), |e| e.name.clone());
        Some((name, total.load.dfu()))
    };
    Summary {
        unit: book.unit().to_owned(),
        book: format!("{}, {}", book.id(), book.title()),
        fixtures: net.traps.len(),
        load_at_exit: net
            .exits
            .iter()
            .enumerate()
            .filter_map(|(i, j)| load(i, *j))
            .collect(),
    }
}

/// The text of a job file.
fn read_file(path: &Path) -> Outcome<String> {
    let cannot = |why: String| {
        let message = format!("cannot read {}: {why}", path.display());
        vec![problem("P002", "cannot-read", Severity::Error, message)]
    };
    let size = std::fs::metadata(path).map_err(|e| cannot(e.to_string()))?;
    if size.is_dir() {
        let inside = path.join("job.toml");
        return Err(cannot(format!(
            "it is a folder; the job file may be {}",
            inside.display()
        )));
    }
    if size.len() > LARGEST {
        return Err(cannot(format!(
            "{} bytes are too many for a job file",
            size.len()
        )));
    }
    let bytes = std::fs::read(path).map_err(|e| cannot(e.to_string()))?;
    String::from_utf8(bytes).map_err(|e| {
        let at = e.utf8_error().valid_up_to();
        cannot(format!("it is not UTF-8 text, from byte {at} on"))
    })
}

fn book_not_stated() -> Diagnostic {
    Diagnostic {
        help: Some(format!(
            "write code = \"{DEFAULT_BOOK}\" into [job], or the book in force"
        )),
        ..problem(
            "P101",
            "code-book-not-stated",
            Severity::Warning,
            format!("the job names no code book; {DEFAULT_BOOK} was used"),
        )
    }
}

fn problem(
    code: &'static str,
    name: &'static str,
    severity: Severity,
    message: String,
) -> Diagnostic {
    Diagnostic::plain(code, name, severity, message)
}

/// Takes the time of each stage.
struct Clock {
    since: Instant,
    laps: Vec<(&'static str, Duration)>,
}

impl Clock {
    fn start() -> Clock {
        Clock {
            since: Instant::now(),
            laps: Vec::new(),
        }
    }

    fn lap(&mut self, stage: &'static str) {
        let now = Instant::now();
        self.laps.push((stage, now - self.since));
        self.since = now;
    }
}
