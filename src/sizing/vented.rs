//! What each dry vent vents: the load and the drain at its foot.

use std::sync::Arc;

use super::groups::Groups;
use super::loads::Carried;
use super::model::{PieceSize, TrapSize};
use super::waste::Stacks;
use super::ways::{runs_down, way_to};
use crate::network::{
    JointIx, JointKind, Network, OwnVent, PieceIx, RunIx, RunKind, Table, TrapIx, VentMethod,
};
use crate::units::{Length, PipeSize};

/// What enters the vents at the foot of one piece.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Vented {
    /// What the traps or the stack that it vents bring, counted as the drains count it.
    pub carried: Carried,
    /// Of that, what no stack vent on the way to the open air counts as its stack's own.
    pub rest: Carried,
    /// Required size of the drain that it serves.
    pub drain: Option<PipeSize>,
    /// Required size of the stack, if it is a stack vent.
    pub stack: Option<PipeSize>,
    /// How it serves traps on that stack, if it does, and the stack's size as it is laid.
    pub whole: Option<(OwnVent, PipeSize)>,
    /// What is known of the length of the stack beside it, if it is a vent stack: its first piece is
    /// no shorter than that and what follows of it together.
    pub beside: Length,
}

/// Finds what every vent piece takes up at its own foot.
///
/// An individual or common vent serves its traps' fixture drain. A dry vent that wet-vents others
/// serves the drain from its own fitting down to the last of them, and is sized on the largest
/// required size on that way. A stack vent serves its stack, with all that the stack carries, so
/// vents of the stack's own fixtures that join it are not counted again.
pub fn vented(
    net: &Network,
    (traps, groups, stacks): (&Table<TrapIx, Arc<TrapSize>>, &Groups, &Stacks),
    pieces: &Table<PieceIx, PieceSize>,
    ordered: &[PieceIx],
) -> Table<PieceIx, Vented> {
    let mut all: Table<PieceIx, Vented> = Table::new();
    // The stack whose vent stack leaves the drains at a joint.
    let mut vent_stacks: Table<JointIx, RunIx> = Table::new();
    for (stack, foot) in &net.vent_stacks {
        vent_stacks.or_insert_with(*foot, || *stack);
    }
    let code = |p: PieceIx| pieces.get(&p).and_then(|s| s.code_size);
    for piece in ordered {
        let Some(from) = net.from(*piece) else {
            continue;
        };
        let drains = net.downstream(from);
        let run = |p: PieceIx| net.graph.edge_weight(p).and_then(|w| net.runs.get(w.run.0));
        let Some(drain) = drains else { continue };
        if run(*piece).is_some_and(|r| r.kind == RunKind::StackVent) {
            let stack = stack_of(net, *piece);
            let base = stack
                .and_then(|s| net.runs.get(s.0))
                .and_then(|r| r.pieces.first().copied())
                .unwrap_or(drain);
            let entry = all.or_default(*piece);
            entry.stack = code(base);
            let own = stack.and_then(|s| net.own_vents.get(&s)).copied();
            entry.whole = own.zip(pieces.get(&base).map(|s| s.size));
            entry.carried = stacks.get(&base).cloned().unwrap_or_default();
            entry.rest = entry.carried.clone();
        } else if let Some(stack) = vent_stacks.get(&from).copied() {
            // It vents what its stack carries; that stack's own vent counts the same once.
            let base = net
                .runs
                .get(stack.0)
                .and_then(|r| r.pieces.first().copied());
            let entry = all.or_default(*piece);
            entry.beside = known_length(net, stack);
            entry.stack = base.and_then(code);
            entry.carried = base
                .and_then(|b| stacks.get(&b))
                .cloned()
                .unwrap_or_default();
        } else {
            let entry = all.or_default(*piece);
            let basin = net.graph.node_weight(from).map(|j| j.kind) == Some(JointKind::Basin);
            if basin {
                // A basin's vent serves what drains into it.
                let entering = net.upstream(from).into_iter().filter_map(code);
                entry.drain = entering.max();
            }
        }
    }
    for (i, trap) in net.traps.iter().enumerate() {
        let (Some(vent), Some(size)) = (trap.vent_piece, traps.get(&TrapIx(i))) else {
            continue;
        };
        // What its stack serves is in the load of the stack's own vent.
        if trap.vent.by_stack() {
            continue;
        }
        let own_stack = absorbed(net, vent, trap.joint);
        let entry = all.or_default(vent);
        if entry.stack.is_some() {
            continue;
        }
        entry.carried.add_trap(groups, TrapIx(i), size);
        if !own_stack {
            entry.rest.add_trap(groups, TrapIx(i), size);
        }
        // A closet's arm that enters a wet vent at its lower end is no part of it.
        let wet = matches!(trap.vent, VentMethod::Wet(_));
        let largest = own_way(net, vent, trap.vent_fitting.or(trap.joint))
            .into_iter()
            .chain(trap.arm.filter(|_| !wet))
            .filter_map(code)
            .max();
        entry.drain = entry.drain.max(largest);
    }
    // A vent that no trap names (an island's foot) serves the drain that it stands on.
    for (piece, base) in all.iter_mut() {
        if base.drain.is_none() && base.stack.is_none() {
            let foot = net.from(*piece).and_then(|j| net.downstream(j));
            base.drain = foot.and_then(code);
        }
    }
    all
}

/// What is known of the length of a stack, up to the lowest relief vent on it if it has any.
fn known_length(net: &Network, stack: RunIx) -> Length {
    let pieces = net.runs.get(stack.0).map_or(&[][..], |r| &r.pieces);
    let relief = |p: &PieceIx| {
        let joint = net.from(*p).and_then(|j| net.graph.node_weight(j));
        joint.is_some_and(|j| matches!(j.kind, JointKind::Relief(_)))
    };
    let lowest = pieces.iter().position(relief);
    let up_to = lowest.map_or(pieces.len(), |i| i + 1);
    let pieces = pieces.iter().take(up_to);
    let legs = pieces.filter_map(|p| net.graph.edge_weight(*p));
    legs.flat_map(|p| &p.legs).filter_map(|l| l.length).sum()
}

/// The stack of a stack vent: the run that drains its foot.
fn stack_of(net: &Network, piece: PieceIx) -> Option<RunIx> {
    let run = net.graph.edge_weight(piece)?.run;
    let foot = net.runs.get(run.0)?.pieces.first().copied()?;
    let below = net.downstream(net.from(foot)?)?;
    let stack = net.graph.edge_weight(below)?.run;
    net.is_stack(stack).then_some(stack)
}

/// The pieces of drain from a vent's foot down to where a trap's own drain comes in; at a fitting
/// that has a drop below it, that drop. A vent that stands on a branch where the arm comes in
/// serves the arm, not the branch.
fn own_way(net: &Network, vent: PieceIx, trap: Option<JointIx>) -> Vec<PieceIx> {
    let (Some(foot), Some(trap)) = (net.from(vent), trap) else {
        return Vec::new();
    };
    if foot == trap {
        let own = net.graph.node_weight(foot).map(|j| j.kind) == Some(JointKind::VentFitting);
        if !own {
            return Vec::new();
        }
        return net.downstream(foot).into_iter().collect();
    }
    way_to(net, foot, trap)
}

/// Whether a vent joins, sooner or later, the vent of a stack that takes this trap's waste.
fn absorbed(net: &Network, vent: PieceIx, trap: Option<JointIx>) -> bool {
    let Some(trap) = trap else { return false };
    let mut at = net.to(vent);
    for _ in 0..net.graph.edge_count() {
        let Some(piece) = at.and_then(|j| vent_above(net, j)) else {
            return false;
        };
        let run = net.graph.edge_weight(piece).map(|p| p.run);
        if run
            .and_then(|r| net.runs.get(r.0))
            .is_some_and(|r| r.kind == RunKind::StackVent)
            && let Some(stack) = stack_of(net, piece)
            && runs_down(net, trap).any(|(run, _)| run == stack)
        {
            return true;
        }
        at = net.to(piece);
    }
    false
}

/// The vent piece that leaves a joint toward the open air.
pub fn vent_above(net: &Network, joint: JointIx) -> Option<PieceIx> {
    use petgraph::visit::EdgeRef;
    net.graph
        .edges(joint)
        .filter(|e| e.weight().system == crate::network::System::Vent)
        .map(|e| e.id())
        .min()
}
