//! Which table of the book a piece of drain is sized by.

use super::traps::kind_of;
use crate::catalogue::Outlet;
use crate::codebook::Book;
use crate::job::{Job, Lies};
use crate::levels::falls::is_vertical;
use crate::network::{JointKind, Network, Piece, PieceIx, RunIx, RunKind, StackMethod};
use crate::units::{Length, PipeSize, Printer};

/// The class of a waste pipe in the eyes of a code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Class {
    /// Building drain, its branches, and level stack offsets: sized at their fall.
    BuildingDrain,
    /// Horizontal branch of a stack.
    Branch,
    /// Upright part of a stack.
    Stack(RunIx),
    /// Trap arm or fixture drain.
    FixtureDrain,
    /// Beyond the exit: drawn, not sized.
    Sewer,
    /// Pumped discharge of a basin.
    Discharge,
}

/// The class of a waste piece.
pub fn class(net: &Network, piece: PieceIx) -> Class {
    let Some(p) = net.graph.edge_weight(piece) else {
        return Class::Branch;
    };
    match net.runs.get(p.run.0).map(|r| r.kind) {
        Some(RunKind::BuildingDrain | RunKind::BuildingBranch) => Class::BuildingDrain,
        Some(RunKind::Stack) if is_vertical(net, piece) => Class::Stack(p.run),
        Some(RunKind::Stack) => Class::BuildingDrain,
        Some(RunKind::FixtureDrain | RunKind::Arm) => Class::FixtureDrain,
        Some(RunKind::Sewer) => Class::Sewer,
        Some(RunKind::Discharge) => Class::Discharge,
        _ => Class::Branch,
    }
}

/// Whether a piece is a trap's arm.
pub fn is_arm(net: &Network, piece: PieceIx) -> bool {
    net.graph
        .edge_weight(piece)
        .and_then(|p| net.runs.get(p.run.0))
        .is_some_and(|r| r.kind == RunKind::Arm)
}

/// More than a book lets drain through a pipe of this size, whatever its load: so many water
/// closets, or so many fixtures; in words, with the section.
pub fn too_many(
    (net, book, print): (&Network, &Book, Printer),
    piece: PieceIx,
    size: PipeSize,
    (closets, fixtures): (u32, u32),
) -> Option<(String, String)> {
    let upright = is_vertical(net, piece);
    if let Some(most) = book.closets_most(size, upright)
        && closets > most.value
    {
        let how = if upright { "upright" } else { "level" };
        let words = format!(
            "{} {how} takes {} water closets at most",
            print.size(size),
            most.value
        );
        return Some((words, most.section));
    }
    if let Class::Stack(run) = class(net, piece)
        && net
            .own_vents
            .get(&run)
            .is_some_and(|own| own.method == StackMethod::Single)
        && let Some(most) = book.single_stack_closets(size)
        && closets > most.value
    {
        let words = format!(
            "{} as a single stack takes {} water closets at most",
            print.size(size),
            most.value
        );
        return Some((words, most.section));
    }
    if class(net, piece) == Class::BuildingDrain
        && let Some(most) = book.building_drain_fixtures(size)
        && fixtures > most.value
    {
        let words = format!("{} takes {} fixtures at most", print.size(size), most.value);
        return Some((words, most.section));
    }
    None
}

/// Whether a piece lies under a slab: as the job says of it, else a building drain or a branch of
/// it below a floor that has a slab, and what a fixture on a slab has down there: the drop into
/// such a drain, and the arm that joins one without rising to a wall first.
pub fn under_slab(job: &Job, net: &Network, piece: PieceIx) -> bool {
    let Some(p) = net.graph.edge_weight(piece) else {
        return false;
    };
    if p.legs.iter().any(|l| l.lies.is_some()) {
        return p.legs.iter().any(|l| l.lies == Some(Lies::UnderSlab));
    }
    let below = || net.to(piece).and_then(|joint| net.downstream(joint));
    match net.runs.get(p.run.0).map(|r| r.kind) {
        Some(RunKind::BuildingDrain | RunKind::BuildingBranch) => slab_over(job, net, p),
        Some(RunKind::FixtureDrain) => {
            slab_over(job, net, p)
                && below().is_some_and(|b| is_building(net, b) && under_slab(job, net, b))
        }
        Some(RunKind::Arm) => {
            let Some(below) = below() else { return false };
            let direct = is_building(net, below);
            slab_over(job, net, p)
                && (direct || floor_outlet(job, net, piece))
                && under_slab(job, net, below)
        }
        _ => false,
    }
}

fn is_building(net: &Network, piece: PieceIx) -> bool {
    net.graph
        .edge_weight(piece)
        .and_then(|p| net.runs.get(p.run.0))
        .is_some_and(|r| matches!(r.kind, RunKind::BuildingDrain | RunKind::BuildingBranch))
}

/// Whether the trap of an arm lies under a slab: its fixture lets its waste out through the floor into
/// an arm that lies there.
pub fn is_buried(job: &Job, net: &Network, arm: PieceIx) -> bool {
    floor_outlet(job, net, arm) && under_slab(job, net, arm)
}

/// Whether an arm's fixture lets its waste out through the floor, by what the job states of its
/// outlet, else by its kind.
fn floor_outlet(job: &Job, net: &Network, arm: PieceIx) -> bool {
    let trap = net
        .from(arm)
        .and_then(|j| net.graph.node_weight(j))
        .and_then(|j| match j.kind {
            JointKind::Trap(trap) => net.traps.get(trap.0),
            _ => None,
        });
    let Some(fixture) = trap.and_then(|t| job.fixtures.get(t.fixture)) else {
        return false;
    };
    match fixture.outlet {
        Some(outlet) => outlet <= Length::ZERO,
        None => kind_of(fixture).is_some_and(|k| k.outlet == Outlet::Floor),
    }
}

fn slab_over(job: &Job, net: &Network, piece: &Piece) -> bool {
    let floor = net
        .runs
        .get(piece.run.0)
        .and_then(|r| r.floor)
        .and_then(|f| job.floors.get(f.0))
        .or_else(|| job.floors.first());
    floor.is_some_and(|f| f.slab.is_some())
}

/// Whether a piece serves a single trap directly: its arm, or the fixture drain below it.
pub fn of_one_trap(net: &Network, piece: PieceIx) -> bool {
    let mut joint = net.from(piece);
    // An arm starts at its trap; a fixture drain has only the arm above it.
    for _ in 0..2 {
        let Some(at) = joint else { return false };
        if matches!(
            net.graph.node_weight(at).map(|j| j.kind),
            Some(JointKind::Trap(_))
        ) {
            return net.upstream(at).is_empty();
        }
        let above = net.upstream(at);
        let [one] = above.as_slice() else {
            return false;
        };
        joint = net.from(*one);
    }
    matches!(
        joint.and_then(|j| net.graph.node_weight(j)).map(|j| j.kind),
        Some(JointKind::Trap(_))
    )
}
