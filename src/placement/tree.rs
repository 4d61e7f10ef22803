//! The drains as a tree, looked up once and asked often: who enters a joint, who lies upstream of
//! whom, and on which heights of the drawing the look of a subtree depends.

use std::collections::BTreeMap;

use crate::job::FloorIx;
use crate::network::{JointIx, JointKind, Network, PieceIx, VentLevel};
use crate::placement::grow::vent_at;

/// The drains, walked once.
pub struct Tree {
    up: Vec<Vec<PieceIx>>,
    down: Vec<Option<PieceIx>>,
    floor: Vec<Option<FloorIx>>,
    span: Vec<(u32, u32)>,
    asks: Vec<Asks>,
    hung: Vec<Asks>,
}

/// The heights on which the look of everything upstream of a joint depends.
#[derive(Clone, Debug, Default)]
pub struct Asks {
    /// Vents above, or under the counters below, the rims of these floors.
    pub rims: Vec<FloorIx>,
    /// Something reaches the roof.
    pub roof: bool,
    /// A stack stands there: every height counts.
    pub stacks: bool,
}

impl Asks {
    fn vent(&mut self, level: VentLevel) {
        match level {
            VentLevel::UnderCounter(f) | VentLevel::AboveRim(f) => self.rims.push(f),
            VentLevel::Roof => self.roof = true,
            VentLevel::Relief(_) => self.stacks = true,
            VentLevel::Foot | VentLevel::UnderFloor(_) => {}
        }
    }
    fn with(&mut self, more: &Asks) {
        self.roof |= more.roof;
        self.stacks |= more.stacks;
        self.rims.extend(&more.rims);
    }
    fn tidied(mut self) -> Self {
        self.rims.sort_unstable();
        self.rims.dedup();
        if self.stacks {
            self.rims.clear();
        }
        self
    }
}

impl Tree {
    /// Walks the drains of a network. `over` and `beside` are its vents by their joint.
    pub fn of(
        net: &Network,
        over: &BTreeMap<JointIx, Vec<JointIx>>,
        beside: &BTreeMap<JointIx, Vec<JointIx>>,
    ) -> Self {
        let bound = net
            .graph
            .node_indices()
            .map(|j| j.index() + 1)
            .max()
            .unwrap_or(0);
        let mut tree = Tree {
            up: vec![Vec::new(); bound],
            down: vec![None; bound],
            floor: vec![None; bound],
            span: vec![(0, 0); bound],
            asks: vec![Asks::default(); bound],
            hung: vec![Asks::default(); bound],
        };
        for j in net.graph.node_indices() {
            tree.up[j.index()] = net.upstream(j);
            tree.down[j.index()] = net.downstream(j);
        }
        for j in net.graph.node_indices() {
            let entering = net.entering(j).find_map(|r| r.floor);
            tree.floor[j.index()] = entering.or(match net.graph[j].kind {
                JointKind::Bare(f) => Some(f),
                _ => None,
            });
        }
        let roots = net.graph.node_indices();
        let order = tree.number(net, roots.filter(|&j| net.downstream(j).is_none()));
        for &j in order.iter().rev() {
            let mut hung = Asks::default();
            let vents = [over.get(&j), beside.get(&j)]
                .into_iter()
                .flatten()
                .flatten();
            for at in vents.filter_map(|v| vent_at(net, *v)) {
                hung.vent(at.level);
            }
            let mut asks = hung.clone();
            let own = tree.down[j.index()].map(|p| net.graph[p].run);
            for &p in &tree.up[j.index()] {
                let run = net.graph[p].run;
                let mut more = Asks {
                    stacks: net.is_stack(run),
                    ..Asks::default()
                };
                if let Some(from) = net.from(p) {
                    more.with(&tree.asks[from.index()]);
                }
                asks.with(&more);
                if own != Some(run) {
                    hung.with(&more);
                }
            }
            tree.asks[j.index()] = asks.tidied();
            tree.hung[j.index()] = hung.tidied();
        }
        tree
    }

    /// Numbers the joints upstream of some roots, each before all that lies upstream of it.
    fn number(&mut self, net: &Network, roots: impl Iterator<Item = JointIx>) -> Vec<JointIx> {
        enum Step {
            In(JointIx),
            Out(JointIx),
        }
        let mut order = Vec::with_capacity(self.up.len());
        let mut steps: Vec<Step> = roots.map(Step::In).collect();
        while let Some(step) = steps.pop() {
            let count = order.len() as u32;
            match step {
                Step::In(j) => {
                    self.span[j.index()].0 = count;
                    order.push(j);
                    steps.push(Step::Out(j));
                    let above = self.up[j.index()].iter();
                    steps.extend(above.rev().filter_map(|&p| net.from(p)).map(Step::In));
                }
                Step::Out(j) => self.span[j.index()].1 = count,
            }
        }
        order
    }

    /// The waste pieces that enter a joint from upstream, in a stable order.
    pub fn up(&self, joint: JointIx) -> &[PieceIx] {
        &self.up[joint.index()]
    }
    /// The waste piece that leaves a joint downstream.
    pub fn down(&self, joint: JointIx) -> Option<PieceIx> {
        self.down[joint.index()]
    }
    /// The floor of the first branch that enters a joint of a stack.
    pub fn floor(&self, joint: JointIx) -> Option<FloorIx> {
        self.floor[joint.index()]
    }
    /// The heights on which everything upstream of a joint depends.
    pub fn asks(&self, joint: JointIx) -> &Asks {
        &self.asks[joint.index()]
    }
    /// The heights on which what hangs at a joint depends: all upstream of it, but for the run that
    /// goes on there.
    pub fn asks_hung(&self, joint: JointIx) -> &Asks {
        &self.hung[joint.index()]
    }
    /// How many joints lie upstream of a joint, itself counted.
    pub fn weight(&self, joint: JointIx) -> usize {
        let (first, end) = self.span[joint.index()];
        (end - first) as usize
    }
    /// Where a joint comes in the walk from the exits up.
    pub fn place(&self, joint: JointIx) -> u32 {
        self.span[joint.index()].0
    }
    /// Whether a joint of the drains lies upstream of another, or is it.
    pub fn upstream_of(&self, joint: JointIx, of: JointIx) -> bool {
        let (a, b) = (self.span[joint.index()], self.span[of.index()]);
        b.0 <= a.0 && a.0 < b.1
    }
    /// The joint where the paths of two joints down to the exit meet.
    pub fn meet(&self, net: &Network, a: JointIx, b: JointIx) -> Option<JointIx> {
        let mut at = a;
        while !self.upstream_of(b, at) {
            at = net.to(self.down(at)?)?;
        }
        Some(at)
    }
}
