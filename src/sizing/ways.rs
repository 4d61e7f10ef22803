//! Ways down the drains, and the drains that are wet vents.

use std::collections::BTreeSet;

use crate::network::{JointIx, Network, PieceIx, TrapIx, VentMethod};

/// Joints from here to the exit, each with the piece that leaves it.
pub fn way_down(net: &Network, from: JointIx) -> impl Iterator<Item = (JointIx, PieceIx)> + '_ {
    let mut at = Some(from);
    // A drain has no more pieces than the network; the bound is for a network with a cycle.
    (0..net.graph.edge_count()).map_while(move |_| {
        let joint = at?;
        let piece = net.downstream(joint)?;
        at = net.to(piece);
        Some((joint, piece))
    })
}

/// The pieces from one joint down to where the way of another comes in.
pub fn way_to(net: &Network, from: JointIx, other: JointIx) -> Vec<PieceIx> {
    // Both ways lead to the exit; from where as much is left of both they go side by side.
    let (own, others) = (way_down(net, from).count(), way_down(net, other).count());
    let mut beside = way_down(net, other).skip(others.saturating_sub(own));
    let mut way = Vec::new();
    for (i, (joint, piece)) in way_down(net, from).enumerate() {
        let level = i >= own.saturating_sub(others);
        if level && beside.next().is_some_and(|(j, _)| j == joint) {
            break;
        }
        way.push(piece);
    }
    way
}

/// The drain through which one trap is wet-vented by another's dry vent: from that vent's fitting
/// down to where the trap's own drain comes in. None for a trap that is not wet-vented.
pub fn wet_way(net: &Network, trap: TrapIx) -> Option<Vec<PieceIx>> {
    let trap = net.traps.get(trap.0)?;
    let VentMethod::Wet(by) = trap.vent else {
        return None;
    };
    let by = net.traps.get(by.0)?;
    let foot = by
        .vent_piece
        .and_then(|v| net.from(v))
        .or(by.vent_fitting)?;
    Some(way_to(net, foot, trap.vent_fitting.or(trap.joint)?))
}

/// All pieces of drain that are wet vents.
pub fn wet_pieces(net: &Network) -> BTreeSet<PieceIx> {
    (0..net.traps.len())
        .filter_map(|t| wet_way(net, TrapIx(t)))
        .flatten()
        .collect()
}
