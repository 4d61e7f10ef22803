//! A job taken through stages 1 to 7, for the tests that look at what comes of it.

// Every test takes what it needs of this.
#![allow(dead_code)]

pub mod dump;
pub mod edits;
pub mod jobs;
pub mod pictures;
pub mod places;
pub mod touching;

use std::path::Path;
use std::sync::Arc;

use stackfall::codebook::Book;
use stackfall::diagnostics::{Diagnostic, Severity};
use stackfall::findings::{self, Findings};
use stackfall::job::{self, Job};
use stackfall::network::{self, Network, PieceIx};
use stackfall::proposals;
use stackfall::solve::{Solution, solve};

/// The samples, by their name.
pub const SAMPLES: [&str; 8] = [
    "alder-court",
    "garden-cottage",
    "linden-hof",
    "mill-house",
    "quarry-flats",
    "ridge-walkout",
    "ridge-walkout-cured",
    "weir-house",
];
/// A closet and a lavatory on a building drain, every length stated.
pub const HAND: &str = r#"
[job]
title = "Hand-worked"
code = "irc-2021"
stock = [1.5, 2, 3, 4]

[floors]
ground = { level = "0", slab = "4in" }
roof = { level = "12'" }

[exit]
invert = "-4'"
heading = "south"

[drains]
main = { into = "exit", run = ["lies under slab", "north 22'"], size = 4 }

[fixtures]
WC-1 = { kind = "water closet", into = "main", station = "12'", side = "east", run = ["east 3'"], arm = "2'" }
LAV-1 = { kind = "lavatory", into = "main", station = "20'", side = "east", run = ["east 1'", "up 5'"], arm = "2'" }
"#;

/// A tower of baths on stacks as they are written, under `ipc-2021`; `drawing` goes under `[drawing]`,
/// `fixtures` under `[fixtures]`.
pub fn tower_of_baths(
    bank: &str,
    (stacks, floors): (usize, usize),
    drawing: &str,
    fixtures: &str,
) -> String {
    format!(
        r#"
[job]
code = "ipc-2021"
whole_risers = true
[drawing]
{drawing}
[floors]
"1..{floors}" = {{ from = "0'", each = "10'", deck = "8in" }}
roof = {{ level = "{roof}'" }}
[exit]
invert = "-8'"
heading = "south"
[drains]
main = {{ into = "exit", floor = "1", run = ["lies under joists", "north 200'"] }}
[stacks]
{bank}
[groups.bath.fixtures]
WC-1 = {{ kind = "water closet", room = "Bath", gpf = 1.28 }}
LAV-1 = {{ kind = "lavatory", room = "Bath" }}
BT-1 = {{ kind = "bathtub", room = "Bath" }}
[repeat]
baths = {{ group = "bath", into = "S1..S{stacks}", floors = "1..{floors}" }}
[fixtures]
{fixtures}
"#,
        roof = floors * 10,
    )
}

/// The sample that is a draft and does not fit.
pub const DRAFT: &str = "ridge-walkout";

/// Where a sample's job file is: in the folder of its name, or beside the draft that it cures.
pub fn sample_path(name: &str) -> String {
    match name.strip_suffix("-cured") {
        Some(draft) => format!("samples/{draft}/{name}.toml"),
        None => format!("samples/{name}/job.toml"),
    }
}

/// How a sheet in feet says its figures.
pub fn say() -> stackfall::sheets::Say {
    stackfall::sheets::Say {
        print: stackfall::units::Printer {
            units: stackfall::units::UnitSystem::Feet,
        },
        form: stackfall::sheets::Form::Sheet,
    }
}

/// A job with its network complete.
pub struct Completed {
    pub job: Job,
    pub book: Arc<Book>,
    pub net: Network,
    /// What completing it told.
    pub told: Vec<Diagnostic>,
}

/// Reads a job and completes its network.
pub fn complete(name: &str, text: &str) -> Result<Completed, Vec<Diagnostic>> {
    let job = job::read("test", name, text)?;
    let code = job.code.as_ref().map_or("irc-2021", |c| c.value.as_str());
    let options: Vec<String> = job.code_options.iter().map(|o| o.value.clone()).collect();
    let book = Book::open(code, Path::new("."), &options)?;
    let stated = network::build(&job)?;
    let (net, told) = proposals::complete(&job, stated, &book);
    Ok(Completed {
        job,
        book,
        net,
        told,
    })
}

impl Completed {
    /// Whether completing it told of an error.
    pub fn is_faulty(&self) -> bool {
        self.told.iter().any(|d| d.severity == Severity::Error)
    }
    /// The same with sizes, levels, fittings and findings.
    pub fn worked(self) -> Worked {
        let solution = solve(&self.job, &self.net, &self.book);
        let findings = findings::run(&self.job, &self.net, &self.book, &solution);
        Worked {
            job: self.job,
            book: self.book,
            net: self.net,
            solution,
            findings,
        }
    }
}

/// A job with everything that stages 1 to 7 give.
pub struct Worked {
    pub job: Job,
    pub book: Arc<Book>,
    pub net: Network,
    pub solution: Solution,
    pub findings: Findings,
}

/// A job that is meant to come through without an error on its way.
pub fn worked(name: &str, text: &str) -> Worked {
    let done = complete(name, text).unwrap_or_else(|d| panic!("{name}: {d:#?}"));
    assert!(!done.is_faulty(), "{name}: {:#?}", done.told);
    done.worked()
}

/// The text of a sample's job file.
pub fn sample_text(name: &str) -> String {
    let path = format!("{}/{}", env!("CARGO_MANIFEST_DIR"), sample_path(name));
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path}: {e}"))
}

impl Worked {
    /// The piece of an id.
    pub fn piece(&self, id: &str) -> PieceIx {
        let piece = self.net.piece_by_id(id);
        piece.unwrap_or_else(|| panic!("no piece {id}"))
    }
}

/// Numbers that a job is made of, taken in turn.
pub struct Dice(pub Vec<u32>, pub usize);

impl Dice {
    pub fn roll(&mut self, sides: u32) -> u32 {
        self.1 += 1;
        let n = self
            .0
            .get(self.1 % self.0.len().max(1))
            .copied()
            .unwrap_or(0);
        // Mixed with the place, so that a short list does not repeat itself.
        n.wrapping_mul(2_654_435_761)
            .wrapping_add(self.1 as u32 * 40_503)
            .rotate_left(7)
            % sides
    }
    pub fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        of[self.roll(of.len() as u32) as usize]
    }
    pub fn maybe(&mut self, percent: u32) -> bool {
        self.roll(100) < percent
    }
    /// The same things in another order.
    pub fn shuffle<T>(&mut self, things: &mut [T]) {
        for i in (1..things.len()).rev() {
            things.swap(i, self.roll(i as u32 + 1) as usize);
        }
    }
}
