//! Where vents stand, and by what method traps are vented.

use super::{JointIx, RunIx, TrapIx};
use crate::job::FloorIx;
use crate::units::Length;

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
