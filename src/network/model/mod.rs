//! The graph of joints and pieces. Stage 2 makes it from the job, stage 3 adds what is missing
//! and freezes it; every later result is a table keyed by its ids.
//!
//! What holds about a frozen network:
//! - Waste edges point downstream, vent edges point from the drain to the open air.
//! - Every joint but an exit has exactly one waste edge leaving it, if it is a waste joint.
//! - Every trap is a source; from each one path of waste edges leads to an exit (or a basin).
//! - A piece is `RUN.X`, X the name of what enters at its upstream end; the joint at that end
//!   has the same id. Proposed things are `OWNER.PART` (`WC-1.arm`, `S1.second`).
//! - Every trap has a vent method.

mod asked;
mod vents;

use std::collections::BTreeMap;

use petgraph::stable_graph::{EdgeIndex, NodeIndex, StableDiGraph};

pub use asked::level_and_drop;
pub use vents::*;

use super::draft::Draft;
use crate::diagnostics::Span;
use crate::job::{CleanoutKind, FloorIx, Lies, Said, Wye};
use crate::units::{Fall, Heading, Length, PipeSize};

/// A place where pieces meet or end.
pub type JointIx = NodeIndex<u32>;
/// A pipe from joint to joint.
pub type PieceIx = EdgeIndex<u32>;

/// Index into [`Network::runs`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct RunIx(pub usize);
/// Index into [`Network::traps`], in the order of the job's fixtures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct TrapIx(pub usize);

/// The whole drain-and-vent network.
#[derive(Clone, Debug, Default)]
pub struct Network {
    /// Joints and pieces.
    pub graph: StableDiGraph<Joint, Piece>,
    /// Drains, stacks, branches, fixture drains, arms and vents; pieces of one belong together.
    pub runs: Vec<Run>,
    /// One for each fixture of the job, same order (an indirect waste has one without an arm).
    pub traps: Vec<Trap>,
    /// Where the vent stack of a stack leaves the drain below it, by the stack's run.
    pub vent_stacks: BTreeMap<RunIx, JointIx>,
    /// Cleanouts, stated ones first.
    pub cleanouts: Vec<NetCleanout>,
    /// Valves.
    pub valves: Vec<NetValve>,
    /// The exits, in the order of the job.
    pub exits: Vec<JointIx>,
    /// Stacks whose own vent serves traps on them.
    pub own_vents: BTreeMap<RunIx, OwnVent>,
    /// Vents on branches that serve several traps each.
    pub branch_vents: Vec<BranchVent>,
    /// What the job does not say and was proposed, for the sheet and the JSON.
    pub proposals: Vec<Proposal>,
    /// The runs before they were cut, with what enters each; stage 3 adds to it and cuts again.
    pub draft: Draft,
}

/// The system a piece belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum System {
    /// Soil and waste.
    Waste,
    /// Vent.
    Vent,
}

impl System {
    /// The word in data attributes.
    pub fn word(self) -> &'static str {
        match self {
            System::Waste => "waste",
            System::Vent => "vent",
        }
    }
}

/// Whether a thing was stated, proposed, is there already, or is for later.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum State {
    /// The job states it.
    #[default]
    Stated,
    /// The tool proposed it.
    Proposed,
    /// It is there already: drawn lighter, marked (E), never resized.
    Existing,
    /// Roughed in for later: counted, marked (F).
    Future,
}

impl State {
    /// The word in data attributes.
    pub fn word(self) -> &'static str {
        match self {
            State::Stated => "stated",
            State::Proposed => "proposed",
            State::Existing => "existing",
            State::Future => "future",
        }
    }
}

/// What a run is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RunKind {
    /// The building drain.
    BuildingDrain,
    /// A horizontal drain that joins the building drain (directly, or through another such).
    BuildingBranch,
    /// The existing or new sewer beyond the exit; drawn, not sized here.
    Sewer,
    /// A horizontal branch of a stack.
    Branch,
    /// A stack (its waste part; the stack vent is a run of its own).
    Stack,
    /// A fixture drain below the vent fitting: the drop from the vent fitting to its branch.
    FixtureDrain,
    /// A trap arm: vent fitting to trap.
    Arm,
    /// A vent that serves one trap, or the common vent of two.
    FixtureVent,
    /// A vent that gathers others (a header).
    Header,
    /// A vent riser beside or beyond a stack, for the floors below its top.
    Riser,
    /// A stack vent.
    StackVent,
    /// A vent stack: from the base of a drainage stack up beside it, with the relief vents that come
    /// over to it from the stack.
    VentStack,
    /// The loop and foot of an island vent.
    IslandVent,
    /// Pumped discharge of a basin.
    Discharge,
}

/// A named run of pieces.
#[derive(Clone, Debug)]
pub struct Run {
    /// Its id: the job's name for it, or `OWNER.PART`.
    pub id: String,
    /// What it is.
    pub kind: RunKind,
    /// Stated, proposed, existing, future.
    pub state: State,
    /// Where the job states it.
    pub span: Option<Span>,
    /// The floor it hangs beneath or serves.
    pub floor: Option<FloorIx>,
    /// How it joins what it flows into.
    pub wye: Wye,
    /// Whether the job states how it joins.
    pub wye_stated: bool,
    /// Invert where a branch meets its stack, from its floor.
    pub invert: Option<Said<Length>>,
    /// Its pieces, from its downstream end up (a vent: from the drain up).
    pub pieces: Vec<PieceIx>,
}

/// What a joint is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum JointKind {
    /// An exit, at the outside face of the wall.
    Exit,
    /// Beyond the exit: where the sewer is tapped.
    Tap,
    /// Where something enters a horizontal drain.
    Junction,
    /// Where a stack stands on its drain.
    StackBase,
    /// Where something enters a stack.
    StackJunction,
    /// Where a relief vent leaves a stack, below what enters it beneath this floor.
    Relief(FloorIx),
    /// Lower end of a stack offset, which lies beneath this floor.
    OffsetFoot(FloorIx),
    /// Upper end of a stack offset.
    OffsetHead,
    /// Where a trap arm meets the vent and the drop.
    VentFitting,
    /// The weir of a trap.
    Trap(TrapIx),
    /// The dead upstream end of a drain.
    End,
    /// A stated change of size or fall within a drain.
    Change,
    /// A cleanout, valve or footing mark in line.
    InLine,
    /// A basin.
    Basin,
    /// Where vents meet or turn.
    VentJoint(VentAt),
    /// A vent's terminal above the roof.
    Terminal(VentAt),
    /// An air admittance valve.
    Valve(VentAt),
    /// A joint of a stack on a floor, what enters there left out: only in a network with fewer pipes.
    Bare(FloorIx),
    /// Where a drain goes on on another sheet: only in the part of a network that one sheet shows.
    Cut,
}

/// A joint.
#[derive(Clone, Debug)]
pub struct Joint {
    /// Its id: that of the piece whose upstream end it is; `exit`; a trap's is its fixture's name.
    pub id: String,
    /// What it is.
    pub kind: JointKind,
}

/// One straight leg of a piece, walking upstream (a vent: from the drain up).
#[derive(Clone, Debug, PartialEq, Default)]
pub struct NetLeg {
    /// Which way, if known; placement chooses otherwise.
    pub heading: Option<Heading>,
    /// How long, if known (centre line; a leg that rises at 45°: how far it goes across, which
    /// is how far it climbs).
    pub length: Option<Length>,
    /// Whether it rises at 45° along its plan heading (a stack offset's 45° leg).
    pub rises_45: bool,
    /// Where it lies, if stated.
    pub lies: Option<Lies>,
}

/// A pipe from joint to joint.
#[derive(Clone, Debug)]
pub struct Piece {
    /// `RUN.X`.
    pub id: String,
    /// The run it belongs to.
    pub run: RunIx,
    /// Its system.
    pub system: System,
    /// Stated, proposed, existing, future.
    pub state: State,
    /// Where the job states it: its own words, else its run's or its fixture's.
    pub span: Option<Span>,
    /// Legs from its downstream end to its upstream end (a vent: from the drain up); never
    /// empty. Vertical legs of stacks have heading up and a length when floors give it.
    pub legs: Vec<NetLeg>,
    /// Stated size.
    pub size: Option<Said<PipeSize>>,
    /// Stated fall.
    pub fall: Option<Said<Fall>>,
}

/// A fixture's trap in the network.
#[derive(Clone, Debug)]
pub struct Trap {
    /// Index of its fixture in the job.
    pub fixture: usize,
    /// Its joint (the weir); none for an indirect waste.
    pub joint: Option<JointIx>,
    /// Its arm; none for an indirect waste.
    pub arm: Option<PieceIx>,
    /// The joint at which it is vented: where its arm ends.
    pub vent_fitting: Option<JointIx>,
    /// How it is vented.
    pub vent: VentMethod,
    /// The dry vent piece that serves it, directly or through others.
    pub vent_piece: Option<PieceIx>,
    /// Whether its vent was stated or proposed.
    pub vent_state: State,
    /// The bathroom group it was counted in, if any: an index shared by its members.
    pub group: Option<usize>,
    /// Trap that stands over a receptor: the receptor's trap.
    pub over: Option<TrapIx>,
    /// Fixture whose use primes it: its index in the job.
    pub primed_by: Option<usize>,
    /// Stated, existing or future.
    pub state: State,
}

/// A cleanout in the network.
#[derive(Clone, Debug)]
pub struct NetCleanout {
    /// Its name, or `OWNER.co` / `OWNER.co-2` when proposed.
    pub id: String,
    /// Where it is.
    pub joint: JointIx,
    /// The run it cleans.
    pub run: RunIx,
    /// Its kind.
    pub kind: CleanoutKind,
    /// Stated size.
    pub size: Option<Said<PipeSize>>,
    /// Stated or proposed.
    pub state: State,
    /// Where the job states it.
    pub span: Option<Span>,
}

/// A valve in the network.
#[derive(Clone, Debug)]
pub struct NetValve {
    /// Its name.
    pub id: String,
    /// Where it is.
    pub joint: JointIx,
    /// The run it stands in.
    pub run: RunIx,
    /// Its kind, `backwater`.
    pub kind: String,
    /// Stated or proposed.
    pub state: State,
    /// Where the job states it.
    pub span: Option<Span>,
}

/// Something that the job does not state and the tool proposed.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    /// Id of the run, vent or cleanout.
    pub id: String,
    /// What was proposed, in a few words.
    pub what: String,
    /// Why, with the code section where one is the reason.
    pub reason: String,
}
