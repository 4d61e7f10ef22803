//! The waste side of a network as what it is: a tree towards the exits.

use petgraph::visit::{EdgeRef, IntoEdgeReferences};

use super::model::{JointIx, Network, PieceIx, RunIx, RunKind, System};

/// For each joint, what leaves it downstream and how far it is from its exit, along pumped discharges too.
#[derive(Clone, Debug, Default)]
pub(crate) struct Tree {
    down: Vec<Option<(PieceIx, JointIx)>>,
    depth: Vec<usize>,
}

impl Tree {
    /// Reads the waste pieces of a network.
    pub(crate) fn of(net: &Network) -> Tree {
        let mut tree = Tree {
            down: vec![
                None;
                net.graph
                    .node_indices()
                    .map(|n| n.index() + 1)
                    .max()
                    .unwrap_or(0)
            ],
            depth: Vec::new(),
        };
        for e in (&net.graph).edge_references() {
            let kind = net.runs.get(e.weight().run.0).map(|r| r.kind);
            let inside = kind != Some(RunKind::Sewer);
            if e.weight().system == System::Waste
                && inside
                && let Some(slot) = tree.down.get_mut(e.source().index())
            {
                *slot = Some((e.id(), e.target()));
            }
        }
        tree.depth = vec![usize::MAX; tree.down.len()];
        for n in net.graph.node_indices() {
            let mut chain = Vec::new();
            let mut at = n;
            let mut depth = loop {
                if tree.depth.get(at.index()).is_some_and(|&d| d != usize::MAX) {
                    break tree.depth[at.index()];
                }
                chain.push(at);
                match tree.down(at) {
                    Some((_, to)) if chain.len() <= tree.down.len() => at = to,
                    _ => break usize::MAX,
                }
            };
            for j in chain.into_iter().rev() {
                depth = depth.wrapping_add(1);
                if let Some(slot) = tree.depth.get_mut(j.index()) {
                    *slot = depth;
                }
            }
        }
        tree
    }
    /// The piece that leaves a joint downstream, and where it goes.
    pub(crate) fn down(&self, joint: JointIx) -> Option<(PieceIx, JointIx)> {
        self.down.get(joint.index()).copied().flatten()
    }
    /// How many pieces away its exit or basin is.
    pub(crate) fn depth(&self, joint: JointIx) -> usize {
        self.depth.get(joint.index()).copied().unwrap_or(0)
    }
    /// The joints from one to the other along the drains, both included.
    pub(crate) fn path(&self, from: JointIx, to: JointIx) -> Option<Vec<JointIx>> {
        let (mut a, mut b) = (from, to);
        let (mut there, mut back) = (vec![a], vec![b]);
        while a != b {
            if self.depth(a) >= self.depth(b) {
                a = self.down(a)?.1;
                there.push(a);
            } else {
                b = self.down(b)?.1;
                back.push(b);
            }
        }
        back.pop();
        there.extend(back.into_iter().rev());
        Some(there)
    }
    /// The runs that the water of a joint goes through, nearest first.
    pub(crate) fn runs_below<'a>(
        &'a self,
        net: &'a Network,
        joint: JointIx,
    ) -> impl Iterator<Item = RunIx> + 'a {
        let mut at = joint;
        let mut last = None;
        std::iter::from_fn(move || {
            loop {
                let (piece, to) = self.down(at)?;
                at = to;
                let run = net.graph.edge_weight(piece)?.run;
                if last != Some(run) {
                    last = Some(run);
                    return Some(run);
                }
            }
        })
    }
}
