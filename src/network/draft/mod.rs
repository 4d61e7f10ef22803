//! The runs of a job before they are cut into pieces: what each flows into and what enters it.
//!
//! A run can only be cut when everything that enters it is known. Stage 2 drafts what the job
//! states and cuts it; stage 3 adds what it proposes to the same draft and cuts it again.

mod homes;
mod marks;
mod order;
mod read;
mod roots;

pub(crate) use homes::settle_in;
pub use order::{Spot, spots};
pub(crate) use order::{StackSpot, stack_spots};
pub(crate) use read::{read, stand, state as state_of};
pub(crate) use roots::{circles, settle};

use super::model::{RunKind, State};
use crate::diagnostics::Span;
use crate::job::{CleanoutKind, FloorIx, Lies, Offset, Said, Wye};
use crate::units::{Fall, Heading, Length, PipeSize};

/// Every run of drain of a job, uncut.
#[derive(Clone, Debug, Default)]
pub struct Draft {
    /// Drains, stacks (and the laterals to their bases), in the order of the job, then proposals.
    pub runs: Vec<DraftRun>,
    /// The run of each drain of the job.
    pub drains: Vec<usize>,
    /// The run of each stack of the job.
    pub stacks: Vec<usize>,
    /// The way each fixture of the job takes.
    pub fixtures: Vec<DraftFixture>,
    /// Cleanouts that stand at a joint which is there anyway.
    pub cleanouts: Vec<DraftCleanout>,
}

/// What a run flows into.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Root {
    /// An exit.
    Exit(usize),
    /// Another run, where it is an entrant.
    Run(usize),
    /// A basin.
    Basin(usize),
}

/// A run of drain, uncut.
#[derive(Clone, Debug)]
pub struct DraftRun {
    /// Its id.
    pub id: String,
    /// What it is; settled from where it ends.
    pub kind: RunKind,
    /// Stated, proposed, existing, future.
    pub state: State,
    /// Where the job states it.
    pub span: Option<Span>,
    /// The floor it hangs beneath.
    pub floor: Option<FloorIx>,
    /// How it joins.
    pub wye: Option<Wye>,
    /// Invert at its stack, from its floor.
    pub invert: Option<Said<Length>>,
    /// Size of the whole.
    pub size: Option<Said<PipeSize>>,
    /// Fall of the whole.
    pub fall: Option<Said<Fall>>,
    /// What it flows into, once known.
    pub root: Option<Root>,
    /// Its legs, walking upstream; empty when nothing is known. A single leg without a length
    /// only says which way it goes.
    pub legs: Vec<DraftLeg>,
    /// What enters it, in the order of the job.
    pub entrants: Vec<Entrant>,
    /// Offsets, of a stack.
    pub offsets: Vec<Offset>,
    /// Plan position of its downstream end, if it can be worked out.
    pub origin: Option<(Length, Length)>,
}

/// A leg of a run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DraftLeg {
    /// Which way, walking upstream.
    pub heading: Option<Heading>,
    /// How long.
    pub length: Option<Length>,
    /// Size that holds here.
    pub size: Option<Said<PipeSize>>,
    /// Fall that holds here.
    pub fall: Option<Said<Fall>>,
    /// Where it lies.
    pub lies: Option<Lies>,
}

/// What enters a run.
#[derive(Clone, Debug, PartialEq)]
pub enum Who {
    /// A run, by index.
    Run(usize),
    /// A fixture of the job.
    Fixture(usize),
    /// The discharge of a basin of the job.
    Basin(usize),
    /// A cleanout of the job.
    Cleanout(usize),
    /// A cleanout that is proposed, with its kind.
    Proposed(CleanoutKind),
    /// A valve of the job.
    Valve(usize),
    /// A backwater valve that is proposed.
    Backwater,
    /// A footing of the job.
    Footing(usize),
    /// The foot of an island vent of the job.
    Foot(usize),
    /// The foot of the vent stack of the stack that is this run.
    VentStack(usize),
    /// A relief vent, which leaves a stack.
    Relief,
}

/// Something that enters a run, and where.
#[derive(Clone, Debug, PartialEq)]
pub struct Entrant {
    /// What.
    pub who: Who,
    /// Its name, the last part of the id of the joint that it makes.
    pub name: String,
    /// Developed length up the run, if known.
    pub station: Option<Length>,
    /// Whether it goes on in line from the end of the run.
    pub in_line: bool,
    /// Fixture whose place it shares, if it has none of its own.
    pub with: Option<usize>,
    /// Floor at which it enters a stack.
    pub floor: Option<FloorIx>,
    /// Invert at which it enters a stack, from that floor.
    pub invert: Option<Length>,
    /// Where the job states it.
    pub span: Option<Span>,
}

impl Entrant {
    /// An entrant of which only the name is known.
    pub fn new(who: Who, name: impl Into<String>) -> Self {
        Entrant {
            who,
            name: name.into(),
            station: None,
            in_line: false,
            with: None,
            floor: None,
            invert: None,
            span: None,
        }
    }
    /// Whether it only marks a place in the pipe, and no water enters.
    pub fn is_mark(&self) -> bool {
        matches!(
            self.who,
            Who::Cleanout(_) | Who::Proposed(_) | Who::Valve(_) | Who::Backwater | Who::Footing(_)
        )
    }
}

/// The way from a run to a fixture's trap.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DraftFixture {
    /// What it enters, once known.
    pub home: Option<Root>,
    /// The floor it stands on.
    pub floor: Option<FloorIx>,
    /// Whether it is an indirect waste, over a receptor.
    pub indirect: bool,
    /// Legs of the drop from the run to the vent fitting, as stated; none: as its kind asks.
    pub drop: Vec<DraftLeg>,
    /// Whether it has a drop.
    pub has_drop: bool,
    /// Way square off the run to where it stands, from plan positions.
    pub offset: Option<(Heading, Length)>,
    /// Side of the run it stands on.
    pub side: Option<Heading>,
    /// Length of the arm as stated.
    pub arm: Option<Length>,
    /// Longest arm that the book allows, once known; the drop takes the rest of the offset.
    pub arm_limit: Option<Length>,
}

/// A cleanout at a joint that is there anyway.
#[derive(Clone, Debug, PartialEq)]
pub struct DraftCleanout {
    /// Its id.
    pub id: String,
    /// Cleanout of the job, or none if it is proposed.
    pub job: Option<usize>,
    /// The run it cleans.
    pub run: usize,
    /// Where.
    pub at: CleanoutAt,
    /// Its kind.
    pub kind: CleanoutKind,
}

/// A joint that is there anyway.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CleanoutAt {
    /// The downstream end of the run.
    Foot,
    /// The upstream end of the run.
    Head,
}

impl Draft {
    /// The run that the water of this run flows into.
    pub fn parent(&self, run: usize) -> Option<usize> {
        match self.runs.get(run)?.root {
            Some(Root::Run(parent)) => Some(parent),
            _ => None,
        }
    }
    /// The building drain that things go to which name nothing: the first one.
    pub fn building_drain(&self) -> Option<usize> {
        self.runs
            .iter()
            .position(|r| r.kind == RunKind::BuildingDrain && matches!(r.root, Some(Root::Exit(_))))
    }
    /// Whether a run, or what it flows into, reaches an exit or a basin.
    pub fn rooted(&self, run: usize) -> bool {
        let mut at = run;
        for _ in 0..=self.runs.len() {
            match self.runs.get(at).and_then(|r| r.root) {
                Some(Root::Run(next)) => at = next,
                Some(_) => return true,
                None => return false,
            }
        }
        false
    }
}
