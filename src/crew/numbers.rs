//! The numbers of the joints that are set out, in the order of the work.

use std::collections::{BTreeMap, VecDeque};

use crate::network::{JointIx, JointKind, Network, PieceIx, RunIx, System};

/// Numbers the joints of the drains from the exits up, each band of floors after the one below it:
/// along each run before what joins it. Exits and traps have names of their own; joints that have no
/// band are not drawn, and have no number.
pub fn numbers(net: &Network, band: impl Fn(JointIx) -> Option<usize>) -> BTreeMap<JointIx, usize> {
    let mut order: Vec<JointIx> = walk(net)
        .into_iter()
        .filter_map(|p| net.from(p))
        .filter(|j| is_numbered(net.graph[*j].kind) && band(*j).is_some())
        .collect();
    order.sort_by_key(|j| band(*j));
    let numbered = order.into_iter().enumerate();
    numbered.map(|(i, j)| (j, i + 1)).collect()
}

/// The pipes of the drains in the order in which they are laid: from the exits up, along each run
/// before what joins it.
pub(super) fn walk(net: &Network) -> Vec<PieceIx> {
    let mut order = Vec::new();
    let mut seen = vec![false; net.runs.len()];
    let mut runs: VecDeque<RunIx> = VecDeque::new();
    let enter = |joint: JointIx, runs: &mut VecDeque<RunIx>, seen: &mut Vec<bool>| {
        for piece in net.upstream(joint) {
            let p = &net.graph[piece];
            let new = p.system == System::Waste && seen.get(p.run.0) == Some(&false);
            if new {
                seen[p.run.0] = true;
                runs.push_back(p.run);
            }
        }
    };
    let roots = net
        .graph
        .node_indices()
        .filter(|j| matches!(net.graph[*j].kind, JointKind::Exit | JointKind::Basin));
    for root in roots {
        enter(root, &mut runs, &mut seen);
    }
    while let Some(run) = runs.pop_front() {
        for &piece in &net.runs[run.0].pieces {
            if net
                .graph
                .edge_weight(piece)
                .is_none_or(|p| p.system != System::Waste)
            {
                continue;
            }
            order.push(piece);
            if let Some(from) = net.from(piece) {
                enter(from, &mut runs, &mut seen);
            }
        }
    }
    order
}

fn is_numbered(kind: JointKind) -> bool {
    matches!(
        kind,
        JointKind::Junction
            | JointKind::StackBase
            | JointKind::StackJunction
            | JointKind::OffsetFoot(_)
            | JointKind::OffsetHead
            | JointKind::VentFitting
            | JointKind::End
            | JointKind::Change
            | JointKind::InLine
            | JointKind::Relief(_)
    )
}
