//! What meets at a joint.

use crate::codebook::Book;
use crate::job::Job;
use crate::levels::falls::leg_is_vertical;
use crate::network::{
    JointIx, JointKind, NetCleanout, NetLeg, Network, Openings, Piece, PieceIx, RunKind, TrapIx,
};
use crate::sizing::Sizing;
use crate::sizing::traps::kind_of;
use crate::units::{Heading, PipeSize};

/// What fittings are named from.
pub struct Place<'a> {
    /// The job.
    pub job: &'a Job,
    /// The network.
    pub net: &'a Network,
    /// The book.
    pub book: &'a Book,
    /// Sizes.
    pub sizing: &'a Sizing,
    /// Cleanouts and valves by joint.
    pub openings: Openings<'a>,
}

/// The drains that meet at a joint.
pub struct Meets {
    /// The one that leaves.
    pub below: PieceIx,
    /// The one that it goes on as, in line.
    pub in_line: Option<PieceIx>,
    /// The others that come in.
    pub branches: Vec<PieceIx>,
}

/// Eighths of a turn in plan from one leg into the next; none: not known.
pub fn eighths_between(a: &NetLeg, b: &NetLeg) -> Option<usize> {
    let plan = |l: &NetLeg| l.heading.and_then(Heading::eighth);
    let apart = plan(a)?.abs_diff(plan(b)?);
    Some(apart.min(8 - apart))
}

impl Place<'_> {
    /// A piece.
    pub fn piece(&self, ix: PieceIx) -> Option<&Piece> {
        self.net.graph.edge_weight(ix)
    }
    /// Its chosen size.
    pub fn size(&self, ix: PieceIx) -> Option<PipeSize> {
        self.sizing.pieces.get(&ix).map(|s| s.size)
    }
    /// Its leg at the lower end.
    pub fn first_leg(&self, ix: PieceIx) -> Option<&NetLeg> {
        self.piece(ix)?.legs.first()
    }
    /// Its leg at the upper end.
    pub fn last_leg(&self, ix: PieceIx) -> Option<&NetLeg> {
        self.piece(ix)?.legs.last()
    }
    /// Whether it comes in upright at its lower end.
    pub fn comes_upright(&self, ix: PieceIx) -> bool {
        self.first_leg(ix).is_some_and(leg_is_vertical)
    }
    /// Whether it is upright at its upper end.
    pub fn leaves_upright(&self, ix: PieceIx) -> bool {
        self.last_leg(ix).is_some_and(leg_is_vertical)
    }

    /// The drains at a joint. What goes on in line is the piece of the same run, else one that
    /// comes in straight where nothing else goes on.
    pub fn meets(&self, joint: JointIx) -> Option<Meets> {
        let below = self.net.downstream(joint)?;
        let run = self.piece(below)?.run;
        let mut branches = self.net.upstream(joint);
        let same = branches
            .iter()
            .position(|p| self.piece(*p).is_some_and(|p| p.run == run));
        let straight = || {
            branches
                .iter()
                .position(|p| !self.comes_upright(*p) && self.turn(below, *p) == Some(0))
        };
        let at = same.or_else(straight);
        let in_line = at.map(|i| branches.remove(i));
        Some(Meets {
            below,
            in_line,
            branches,
        })
    }

    /// Eighths of a turn in plan from the piece above into the piece below; none: not known.
    pub fn turn(&self, below: PieceIx, above: PieceIx) -> Option<usize> {
        eighths_between(self.last_leg(below)?, self.first_leg(above)?)
    }

    /// Eighths of a turn in plan between two pieces that enter one joint: 4 stand opposite each
    /// other, 2 square; none: not known.
    pub fn turn_between(&self, a: PieceIx, b: PieceIx) -> Option<usize> {
        eighths_between(self.first_leg(a)?, self.first_leg(b)?)
    }

    /// Whether what is pumped comes down a piece: of a basin, or of a washing machine for clothes
    /// or dishes, by whatever way.
    pub fn takes_pumped(&self, piece: PieceIx) -> bool {
        let mut todo = vec![piece];
        let mut left = self.net.graph.edge_count();
        while let Some(p) = todo.pop() {
            let kind = self.piece(p).and_then(|p| self.net.runs.get(p.run.0));
            if kind.is_some_and(|r| r.kind == RunKind::Discharge) {
                return true;
            }
            let Some(from) = self.net.from(p) else {
                continue;
            };
            let joint = self.net.graph.node_weight(from).map(|j| j.kind);
            if let Some(JointKind::Trap(trap)) = joint
                && self.is_pumped(trap)
            {
                return true;
            }
            let Some(rest) = left.checked_sub(1) else {
                return false;
            };
            left = rest;
            todo.extend(self.net.upstream(from));
        }
        false
    }

    fn is_pumped(&self, trap: TrapIx) -> bool {
        let fixture = self.net.traps.get(trap.0);
        let fixture = fixture.and_then(|t| self.job.fixtures.get(t.fixture));
        fixture.is_some_and(|f| {
            kind_of(f).is_some_and(|k| k.washer) || f.with.iter().any(|w| w == "dishwasher")
        })
    }

    /// The size of a cleanout: stated, else as the book asks for the pipe it stands on.
    pub fn cleanout(&self, cleanout: &NetCleanout) -> Option<PipeSize> {
        if let Some(said) = &cleanout.size {
            return Some(said.value);
        }
        Some(self.book.cleanouts().size(self.stands_on(cleanout)?).value)
    }

    /// The size of the pipe that a cleanout stands on: one in a stack's foot on the stack, not on the
    /// drain that the stack stands on.
    pub fn stands_on(&self, cleanout: &NetCleanout) -> Option<PipeSize> {
        let run = self.net.runs.get(cleanout.run.0);
        let in_stack = run.filter(|r| r.kind == RunKind::Stack);
        let own = |p: &PieceIx| in_stack.is_some_and(|r| r.pieces.contains(p));
        let below = self.net.downstream(cleanout.joint);
        let above = self.net.upstream(cleanout.joint);
        let all = || below.iter().chain(&above).copied();
        let at = all().find(own).or_else(|| all().next());
        let of_run = || run.and_then(|r| r.pieces.first().copied());
        at.or_else(of_run).and_then(|p| self.size(p))
    }
}
