//! What is asked of a network: by id, up and down from a joint, along the way of a trap's water.

use petgraph::Direction;
use petgraph::visit::EdgeRef;

use super::{
    BranchVent, JointIx, NetCleanout, NetLeg, Network, PieceIx, Run, RunIx, RunKind, System, TrapIx,
};
use crate::units::{Heading, Length};

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
        self.graph
            .edges(joint)
            .find(|e| e.weight().system == System::Waste)
            .map(|e| e.id())
    }
    /// The waste pieces that enter a joint from upstream, in a stable order.
    pub fn upstream(&self, joint: JointIx) -> Vec<PieceIx> {
        let mut pieces: Vec<PieceIx> = self
            .graph
            .edges_directed(joint, Direction::Incoming)
            .filter(|e| e.weight().system == System::Waste)
            .map(|e| e.id())
            .collect();
        pieces.sort_unstable();
        pieces
    }
    /// The runs that enter a joint from upstream, stacks apart, in a stable order.
    pub fn entering(&self, joint: JointIx) -> impl Iterator<Item = &Run> {
        let runs = self.upstream(joint).into_iter().map(|p| self.graph[p].run);
        runs.filter(|r| !self.is_stack(*r)).map(|r| &self.runs[r.0])
    }
    /// The vents that come up to a joint, in a stable order.
    pub fn vents_into(&self, joint: JointIx) -> Vec<PieceIx> {
        self.vents_at(joint, Direction::Incoming)
    }
    /// The vents that go on up from a joint, in a stable order.
    pub fn vents_from(&self, joint: JointIx) -> Vec<PieceIx> {
        self.vents_at(joint, Direction::Outgoing)
    }
    fn vents_at(&self, joint: JointIx, way: Direction) -> Vec<PieceIx> {
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
