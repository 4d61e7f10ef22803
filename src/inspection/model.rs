//! What an inspector's list says.

use super::Idle;
use crate::codebook::Provenance;
use crate::network::State;
use crate::units::{Fall, Length, PipeSize};

/// An inspector's list.
#[derive(Clone, Debug, PartialEq)]
pub struct Inspection {
    /// How many findings stand.
    pub verdict: Verdict,
    /// How many limits and rules are not known, at all or some of their places, to be kept.
    pub unjudged: usize,
    /// What drains leave by each exit, and how that was counted, in words.
    pub loads: String,
    /// The worst case of each limit.
    pub measures: Vec<Measure>,
    /// The drains, from the exit up.
    pub walk: Vec<Step>,
    /// The arms of traps.
    pub arms: Vec<Arm>,
    /// The vents.
    pub vents: Vec<VentRun>,
    /// The cleanouts.
    pub cleanouts: Vec<Opening>,
    /// What the job states against what was proposed.
    pub shares: Vec<Share>,
    /// The rules that were run.
    pub rules: Vec<Ran>,
    /// What of the book the list goes by and was not read in a text of the code, each with where its
    /// figures are from.
    pub unread: Vec<(String, Provenance)>,
}

/// How many findings stand, by how bad they are.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Verdict {
    /// The work would not pass.
    pub errors: usize,
    /// Codes of those, each once.
    pub codes: Vec<&'static str>,
    /// Allowed, but somebody will ask.
    pub warnings: usize,
    /// Good to know.
    pub advice: usize,
    /// What a waiver of the job answers.
    pub waived: usize,
}

/// The worst case of one limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// What is measured.
    pub what: String,
    /// Table or section of the limit.
    pub section: String,
    /// Where the limit is from; none: not from the book.
    pub provenance: Option<Provenance>,
    /// To how many places it applied.
    pub applied: usize,
    /// The worst place, by name.
    pub at: String,
    /// What it has there, printed.
    pub has: String,
    /// The limit there, printed.
    pub limit: String,
    /// What is left, printed; where the limit is passed, by how much.
    pub margin: String,
    /// Whether the limit is kept; none: it is not known.
    pub kept: Option<bool>,
}

/// A place on the way up.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// The place, in words.
    pub place: String,
    /// The run that it is on.
    pub run: String,
    /// What stands there: a fitting, a cleanout; whether that was proposed.
    pub fitting: String,
    /// Size of the pipe that leaves it downstream.
    pub size: Option<PipeSize>,
    /// Its fall.
    pub fall: Option<Fall>,
    /// Invert at the place.
    pub invert: Option<Length>,
    /// Whether that pipe was stated, proposed, or exists.
    pub state: State,
    /// How it stands on site, if the job says so: `tested 2026-03-10`.
    pub standing: Option<String>,
}

/// The arm of a trap.
#[derive(Clone, Debug, PartialEq)]
pub struct Arm {
    /// The fixture.
    pub fixture: String,
    /// Size of its trap.
    pub trap: Option<PipeSize>,
    /// Size of the arm itself.
    pub size: Option<PipeSize>,
    /// Its developed length, if known.
    pub length: Option<Length>,
    /// How far it falls on it, if known.
    pub fall: Option<Length>,
    /// How the trap is vented.
    pub vented: &'static str,
    /// How it stands on site, if the job says so.
    pub standing: Option<String>,
}

/// A vent, from its foot up.
#[derive(Clone, Debug, PartialEq)]
pub struct VentRun {
    /// Its name.
    pub vent: String,
    /// What it is.
    pub kind: &'static str,
    /// Its sizes, smallest first.
    pub sizes: Vec<PipeSize>,
    /// What it ends in, in words.
    pub ends: String,
    /// Whether it was stated, proposed, or exists.
    pub state: State,
    /// How it stands on site, if the job says so.
    pub standing: Option<String>,
}

/// A cleanout.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// Its name.
    pub tag: String,
    /// How it is built.
    pub kind: &'static str,
    /// Where it stands, in words.
    pub stands: String,
    /// Its size.
    pub size: Option<PipeSize>,
    /// Invert of the drain there.
    pub invert: Option<Length>,
    /// Clear room in front of it.
    pub clear: Option<Length>,
    /// Whether it was stated, proposed, or exists.
    pub state: State,
    /// How it stands on site, if the job says so.
    pub standing: Option<String>,
}

/// How much of one kind of thing is stated.
#[derive(Clone, Debug, PartialEq)]
pub struct Share {
    /// The kind of thing.
    pub what: &'static str,
    /// How many the job states.
    pub stated: usize,
    /// How many were proposed.
    pub proposed: usize,
    /// How many exist.
    pub existing: usize,
    /// How many are for later.
    pub future: usize,
}

/// A rule that was run.
#[derive(Clone, Debug, PartialEq)]
pub struct Ran {
    /// Its code.
    pub code: &'static str,
    /// What it checks.
    pub checks: String,
    /// Its section in the book of the job; empty where that has none.
    pub section: String,
    /// Findings of it that stand.
    pub open: usize,
    /// Findings of it that are waived.
    pub waived: usize,
    /// Why it looked at nothing; none where it looked at something.
    pub idle: Option<Idle>,
}
