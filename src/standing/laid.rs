//! How a pipe stands by the marks of the job: by its own, or by that of the drain that it was tested
//! with.

use crate::captions::part_of;
use crate::job::{Progress, Standing};
use crate::levels::bores::Part;
use crate::levels::{carried_by, ground};
use crate::network::{Network, PieceIx, RunKind, State};
use crate::solve::Work;

/// Whether how a pipe stands says it of what joins it: what is a fixture's own goes with the drain that it
/// joins.
pub fn stands_for_its_own(net: &Network, piece: PieceIx) -> bool {
    let run = net.graph.edge_weight(piece).map(|p| p.run.0);
    run.and_then(|r| net.runs.get(r)).is_some_and(|run| {
        matches!(
            run.kind,
            RunKind::BuildingDrain | RunKind::BuildingBranch | RunKind::Branch | RunKind::Stack
        )
    })
}

impl<'a> Work<'a> {
    /// How a pipe stands by the job's marks, if it is laid: by its own, its run's, or that of the
    /// fixture that it is of. Else, of a fixture's own below ground, by that of the drain that it
    /// joins, if that is tested: it was under the same water.
    pub fn mark(&self, piece: PieceIx) -> Option<&'a Progress> {
        if self.job.progress.is_empty() {
            return None;
        }
        let buried = || {
            let below = ground(self, piece) == Part::Below;
            below && !stands_for_its_own(self.net, piece) && !self.is_proposed(piece)
        };
        self.own_mark(piece)
            .or_else(|| buried().then(|| self.tested_drain(piece))?)
    }

    /// How the stub of a pipe stands that rises from below ground: as the pipe, else as the drain
    /// that it rises from, if that is tested, for the test is held on the stub's cap. Of what the job
    /// does not state only its own mark says that it is there.
    pub fn stub_mark(&self, piece: PieceIx) -> Option<&'a Progress> {
        let drain = || self.mark(carried_by(self.net, piece)?).filter(is_tested);
        let stated = !self.is_proposed(piece);
        self.mark(piece).or_else(|| stated.then(drain)?)
    }

    fn is_proposed(&self, piece: PieceIx) -> bool {
        let run = self.net.graph.edge_weight(piece).map(|p| p.run.0);
        let run = run.and_then(|r| self.net.runs.get(r));
        run.is_some_and(|r| r.state == State::Proposed)
    }

    /// The mark of the drain that a pipe goes to, if it is tested.
    fn tested_drain(&self, piece: PieceIx) -> Option<&'a Progress> {
        let next = |p: &PieceIx| self.net.downstream(self.net.to(*p)?);
        // A way has no more pipes than the network; the bound is for a network with a cycle.
        let way = std::iter::successors(Some(piece), next).take(self.net.graph.edge_count());
        let mut drains = way.skip_while(|p| !stands_for_its_own(self.net, *p));
        self.own_mark(drains.next()?).filter(is_tested)
    }

    fn own_mark(&self, piece: PieceIx) -> Option<&'a Progress> {
        let p = self.net.graph.edge_weight(piece)?;
        let run = self.net.runs.get(p.run.0).map(|r| r.id.as_str());
        let names = [Some(p.id.as_str()), run, part_of(self.net, piece)];
        let mut names = names.into_iter().flatten();
        names.find_map(|name| self.job.stands(name))
    }
}

fn is_tested(mark: &&Progress) -> bool {
    mark.is == Standing::Tested
}
