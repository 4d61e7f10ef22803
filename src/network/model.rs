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

use std::collections::BTreeMap;

use petgraph::stable_graph::{EdgeIndex, NodeIndex, StableDiGraph};

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

/// Where a vent joint stands: over which joint of the drains, and at which level.
///
/// Horizontal vents between two columns follow the drains' own path between them, at their
/// level: so a vent always closes, whatever lengths the drawing gives the drains.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VentAt {
    /// Where in plan.
    pub column: Column,
    /// At which level.
    pub level: VentLevel,
}

/// The plan position of a vent joint.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Column {
    /// Straight above this joint of the drains.
    Over(JointIx),
    /// A short step downstream of this joint, along the drain that leaves it (an island's loop).
    Beside(JointIx),
    /// A vent riser of its own, out beyond the branches that it serves; the run is a
    /// [`RunKind::Riser`], all joints of one riser name the same run.
    Riser(RunIx),
}

/// The level of a vent joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum VentLevel {
    /// Where a vent comes up from another sheet: only in the part of a network that one sheet shows.
    Foot,
    /// Where a relief vent comes over to a vent stack, on its way past this floor.
    Relief(FloorIx),
    /// Under the floor, just above the drain (the low leg of an island's loop).
    UnderFloor(FloorIx),
    /// High under the counter (the top of an island's loop).
    UnderCounter(FloorIx),
    /// 6 in or more above the highest flood level rim on this floor.
    AboveRim(FloorIx),
    /// Above the roof.
    Roof,
}

impl VentLevel {
    /// The floor that it goes by.
    pub fn floor(self) -> Option<FloorIx> {
        match self {
            VentLevel::Relief(f)
            | VentLevel::UnderFloor(f)
            | VentLevel::UnderCounter(f)
            | VentLevel::AboveRim(f) => Some(f),
            VentLevel::Foot | VentLevel::Roof => None,
        }
    }
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

/// How a trap is vented.
#[derive(Clone, Debug, PartialEq)]
pub enum VentMethod {
    /// By its own dry vent.
    Individual,
    /// By a dry vent shared with other traps at the same fitting.
    Common(Vec<TrapIx>),
    /// Through the drain of a bathroom group, by the dry vent of this fixture.
    Wet(TrapIx),
    /// By an island loop.
    Island,
    /// By entering the stack at its highest connection, close enough that the stack vent serves it.
    StackVent,
    /// By its stack: the branch is unvented, and the stack's own vent serves it.
    SingleStack,
    /// By its stack, which takes waste alone and each fixture's drain by itself.
    WasteStack,
    /// By an air admittance valve (only where the job allows it).
    AirAdmittance,
    /// By the circuit vent of its branch.
    Circuit,
    /// By a combination drain and vent (only where the job allows it).
    Combination,
    /// Needs none: an indirect waste.
    Indirect,
    /// Not vented: a finding.
    None,
}

impl VentMethod {
    /// The method's word in a book; none where there is nothing to ask.
    pub fn word(&self) -> Option<&'static str> {
        Some(match self {
            VentMethod::Individual => "individual",
            VentMethod::Common(_) => "common",
            VentMethod::Wet(_) => "wet vent",
            VentMethod::Island => "island",
            VentMethod::StackVent => "stack vent",
            VentMethod::SingleStack => SINGLE_STACK,
            VentMethod::WasteStack => WASTE_STACK,
            VentMethod::AirAdmittance => "air admittance valve",
            VentMethod::Circuit => CIRCUIT,
            VentMethod::Combination => COMBINATION,
            VentMethod::Indirect | VentMethod::None => return None,
        })
    }
    /// Whether it is the stack's own vent that serves the trap.
    pub fn by_stack(&self) -> bool {
        use VentMethod::{SingleStack, StackVent, WasteStack};
        matches!(self, StackVent | SingleStack | WasteStack)
    }
}

/// The book's word for stacks whose own vent serves unvented branches.
pub const SINGLE_STACK: &str = "single stack";
/// The book's word for stacks whose own vent serves waste drains that join them one by one.
pub const WASTE_STACK: &str = "waste stack";

/// The book's word for one vent on a branch that serves a battery of fixtures.
pub const CIRCUIT: &str = "circuit";
/// The book's word for a drain so large that it is its own fixtures' vent.
pub const COMBINATION: &str = "combination";

/// A method by which one vent on a branch serves several traps on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BranchMethod {
    /// [`VentMethod::Circuit`].
    Circuit,
    /// [`VentMethod::Combination`].
    Combination,
}

impl BranchMethod {
    /// The book's word.
    pub fn word(self) -> &'static str {
        match self {
            BranchMethod::Circuit => CIRCUIT,
            BranchMethod::Combination => COMBINATION,
        }
    }
    /// The method of the traps that it serves.
    pub fn of_traps(self) -> VentMethod {
        match self {
            BranchMethod::Circuit => VentMethod::Circuit,
            BranchMethod::Combination => VentMethod::Combination,
        }
    }
}

/// One vent on a branch that serves several traps on it.
#[derive(Clone, Debug, PartialEq)]
pub struct BranchVent {
    /// By which method.
    pub method: BranchMethod,
    /// The branch.
    pub run: RunIx,
    /// The traps, in the order of the job.
    pub traps: Vec<TrapIx>,
    /// Whether the job states it.
    pub stated: bool,
    /// Where it rises from the branch.
    pub vent: Option<JointIx>,
    /// Where its relief vent rises, if it has one of its own.
    pub relief: Option<JointIx>,
}

/// How the own vent of a stack serves the traps on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OwnVent {
    /// By which method.
    pub method: StackMethod,
    /// How high the stack is, from the lowest floor that drains into it to the roof, if known.
    pub height: Option<Length>,
}

/// A method by which the own vent of a stack serves the traps on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StackMethod {
    /// Branches are unvented: [`VentMethod::SingleStack`].
    Single,
    /// Waste alone, each drain by itself: [`VentMethod::WasteStack`].
    Waste,
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

impl Network {
    /// The piece of this id.
    pub fn piece_by_id(&self, id: &str) -> Option<PieceIx> {
        self.graph.edge_indices().find(|&e| self.graph[e].id == id)
    }
    /// The run of this id.
    pub fn run_by_id(&self, id: &str) -> Option<RunIx> {
        self.runs.iter().position(|r| r.id == id).map(RunIx)
    }
    /// The id of a cleanout's symbol: its own, unless a pipe has that already.
    pub fn cleanout_mark(&self, cleanout: &NetCleanout) -> String {
        match self.graph.node_weight(cleanout.joint) {
            Some(joint) if joint.id == cleanout.id => format!("{}.mark", cleanout.id),
            _ => cleanout.id.clone(),
        }
    }
    /// Upstream joint of a piece (for a vent: the drain's end).
    pub fn from(&self, piece: PieceIx) -> Option<JointIx> {
        self.graph.edge_endpoints(piece).map(|e| e.0)
    }
    /// Downstream joint of a piece (for a vent: the open-air end).
    pub fn to(&self, piece: PieceIx) -> Option<JointIx> {
        self.graph.edge_endpoints(piece).map(|e| e.1)
    }
    /// The waste piece that leaves a joint downstream.
    pub fn downstream(&self, joint: JointIx) -> Option<PieceIx> {
        use petgraph::visit::EdgeRef;
        self.graph
            .edges(joint)
            .find(|e| e.weight().system == System::Waste)
            .map(|e| e.id())
    }
    /// The waste pieces that enter a joint from upstream, in a stable order.
    pub fn upstream(&self, joint: JointIx) -> Vec<PieceIx> {
        use petgraph::visit::EdgeRef;
        let mut pieces: Vec<PieceIx> = self
            .graph
            .edges_directed(joint, petgraph::Direction::Incoming)
            .filter(|e| e.weight().system == System::Waste)
            .map(|e| e.id())
            .collect();
        pieces.sort_unstable();
        pieces
    }
    /// The vents that come up to a joint, in a stable order.
    pub fn vents_into(&self, joint: JointIx) -> Vec<PieceIx> {
        self.vents_at(joint, petgraph::Direction::Incoming)
    }
    /// The vents that go on up from a joint, in a stable order.
    pub fn vents_from(&self, joint: JointIx) -> Vec<PieceIx> {
        self.vents_at(joint, petgraph::Direction::Outgoing)
    }
    fn vents_at(&self, joint: JointIx, way: petgraph::Direction) -> Vec<PieceIx> {
        use petgraph::visit::EdgeRef;
        let edges = self.graph.edges_directed(joint, way);
        let vents = edges.filter(|e| e.weight().system == System::Vent);
        let mut pieces: Vec<PieceIx> = vents.map(|e| e.id()).collect();
        pieces.sort_unstable();
        pieces
    }
    /// The pieces from a trap's weir down to what serves it by its own vent: the stack that takes
    /// its water, else the building drain that stacks stand on; none before a basin or an exit.
    pub fn way_to_vented_run(&self, trap: TrapIx) -> Option<(Vec<PieceIx>, RunIx)> {
        self.way_to(trap, |k| {
            matches!(k, RunKind::Stack | RunKind::BuildingDrain)
        })
    }
    /// The pieces from a trap's weir down to the stack that takes its water; none if none does
    /// before a basin or an exit.
    pub fn way_to_stack(&self, trap: TrapIx) -> Option<(Vec<PieceIx>, RunIx)> {
        self.way_to(trap, |k| k == RunKind::Stack)
    }
    fn way_to(
        &self,
        trap: TrapIx,
        ends: impl Fn(RunKind) -> bool,
    ) -> Option<(Vec<PieceIx>, RunIx)> {
        let mut at = self.traps.get(trap.0)?.joint?;
        let mut way = Vec::new();
        // A way has no more pieces than the network; the bound is for a network with a cycle.
        for _ in 0..self.graph.edge_count() {
            let piece = self.downstream(at)?;
            let run = self.graph.edge_weight(piece)?.run;
            match self.runs.get(run.0)?.kind {
                kind if ends(kind) => return Some((way, run)),
                RunKind::Discharge => return None,
                _ => way.push(piece),
            }
            at = self.to(piece)?;
        }
        None
    }
    /// How many joints up a run a trap's own drain comes in; none if it does not.
    pub fn place_on(&self, trap: TrapIx, run: RunIx) -> Option<usize> {
        let pieces = &self.runs.get(run.0)?.pieces;
        let mut at = self.traps.get(trap.0)?.joint?;
        for _ in 0..self.graph.edge_count() {
            let piece = self.downstream(at)?;
            if self.graph.edge_weight(piece)?.run == run {
                return pieces.iter().position(|p| *p == piece);
            }
            at = self.to(piece)?;
        }
        None
    }
    /// The pieces of a branch along which its vent serves traps: from the uppermost of them down
    /// to below the lowest.
    pub fn vented_part(&self, vent: &BranchVent) -> &[PieceIx] {
        let places = vent
            .traps
            .iter()
            .filter_map(|t| self.place_on(*t, vent.run));
        let (low, high) = (places.clone().min(), places.max());
        let pieces = self.runs.get(vent.run.0).map_or(&[][..], |r| &r.pieces);
        low.zip(high)
            .and_then(|(l, h)| pieces.get(l..=h))
            .unwrap_or_default()
    }
    /// Whether the job states which way anything of it runs in plan, so that north has a meaning.
    pub fn has_headings(&self) -> bool {
        let plan = |l: &NetLeg| l.heading.is_some_and(|h| !h.is_vertical());
        self.graph.edge_weights().any(|p| p.legs.iter().any(plan))
    }
    /// Whether a run is vertical by its kind.
    pub fn is_stack(&self, run: RunIx) -> bool {
        self.runs[run.0].kind == RunKind::Stack
    }
}

/// How far some pieces of drain go level and how far they drop, as far as lengths are known.
pub fn level_and_drop(net: &Network, way: &[PieceIx]) -> (Length, Length) {
    let legs = way.iter().filter_map(|p| net.graph.edge_weight(*p));
    let mut sums = (Length::ZERO, Length::ZERO);
    for leg in legs.flat_map(|p| &p.legs) {
        let length = leg.length.unwrap_or(Length::ZERO);
        match leg.heading.is_some_and(Heading::is_vertical) {
            true => sums.1 += length,
            false => sums.0 += length,
        }
    }
    sums
}
