//! What a sheet's stacks and vents stand on where what carries them is drawn on another sheet.

use super::Builder;
use crate::job::Wye;
use crate::network::{Column, JointIx, NetLeg, Piece, PieceIx, Run, RunIx, RunKind, State, System};
use crate::placement::grow::vent_at;
use crate::placement::part::Whole;
use crate::placement::part::beside::{self, Link};
use crate::placement::ways::LegWay;
use crate::projection::Way;

impl Builder<'_> {
    /// Lets each stack that begins on this sheet, and the vents that come up beside it, stand on
    /// pipes that are not drawn, along the drain below the stack. Gives the joint that they begin
    /// with.
    pub(super) fn hidden(&mut self, share: usize) -> JointIx {
        let whole = self.cutter.whole;
        let feet = self.feet.iter().filter(|((s, _), _)| *s == share);
        let mut up: Vec<JointIx> = feet.map(|(_, j)| *j).collect();
        let stack = self.stands.get(&share).copied();
        up.extend(stack);
        let piece = self.cutter.begin.get(share).copied().flatten();
        let way = piece.map_or(Way::X, |p| level_below(whole, whole.net.graph[p].run));
        let start = self.cut_joint();
        for line in beside::lines(up.len(), &self.links(&up, stack), way) {
            let run = self.hidden_run();
            let mut below = line.on.map_or(start, |i| up[i]);
            for joint in line.columns.iter().map(|i| up[*i]) {
                self.hidden_piece(joint, below, run, line.way);
                below = joint;
            }
        }
        start
    }

    /// The headers between joints that stand on what is not drawn: a stack among them stands for all
    /// that it carries.
    fn links(&self, up: &[JointIx], stack: Option<JointIx>) -> Vec<Link> {
        let place = |j: JointIx| up.iter().position(|u| *u == j);
        let carried = |j: JointIx| {
            let down = |j: &JointIx| self.net.downstream(*j).and_then(|p| self.net.to(p));
            std::iter::successors(Some(j), down).any(|j| Some(j) == stack)
        };
        let column = |v: JointIx| {
            let j = match vent_at(&self.net, v).map(|at| at.column) {
                Some(Column::Over(j) | Column::Beside(j)) => j,
                Some(Column::Riser(_)) => return None,
                None => v,
            };
            place(j).or_else(|| stack.filter(|_| carried(j)).and_then(place))
        };
        let level = |v: JointIx| vent_at(&self.net, v).map(|at| at.level);
        let link = |e: PieceIx| {
            let (a, b) = self.net.graph.edge_endpoints(e)?;
            let level = level(a).max(level(b))?;
            let ends = (column(a)?, column(b)?);
            (ends.0 != ends.1).then_some(Link { ends, level })
        };
        let vents = self.net.graph.edge_indices();
        let vents = vents.filter(|e| self.net.graph[*e].system == System::Vent);
        vents.filter_map(link).collect()
    }

    /// A run that is not drawn.
    fn hidden_run(&mut self) -> RunIx {
        let run = RunIx(self.net.runs.len());
        self.net.runs.push(Run {
            id: "cut".to_owned(),
            kind: RunKind::BuildingDrain,
            state: State::Stated,
            span: None,
            floor: None,
            wye: Wye::default(),
            wye_stated: false,
            invert: None,
            pieces: Vec::new(),
        });
        run
    }

    /// A pipe of such a run.
    fn hidden_piece(&mut self, from: JointIx, to: JointIx, run: RunIx, way: Way) {
        let new = self.net.graph.add_edge(
            from,
            to,
            Piece {
                id: format!("cut.{}", self.pieces.len()),
                run,
                system: System::Waste,
                state: State::Stated,
                span: None,
                legs: vec![NetLeg::default()],
                size: None,
                fall: None,
            },
        );
        self.pieces.push(None);
        let own = LegWay {
            way,
            hatched: false,
            lane: 0,
        };
        self.ways.insert((new, 0), own);
    }
}

/// The way of the pipe that is not drawn, on which a stack and the vents beside it stand: the vents
/// come up on the side that the stack's branches do not lead to.
fn level_below(whole: &Whole<'_>, stack: RunIx) -> Way {
    let (net, tree) = (whole.net, &whole.base.tree);
    let joints = net.runs[stack.0].pieces.iter().filter_map(|p| net.from(*p));
    let enter = joints
        .flat_map(|j| tree.up(j))
        .filter(|p| net.graph[**p].run != stack);
    let ways = enter.filter_map(|p| whole.ways.get(&(*p, 0)));
    let right = ways.map(|w| w.way.paper().x);
    let sides = right.fold(0, |sum, x| match x {
        x if x > 1e-9 => sum + 1,
        x if x < -1e-9 => sum - 1,
        _ => sum,
    });
    match sides < 0 {
        true => Way::Y,
        false => Way::X,
    }
}
