//! Stage 7b. In: job, network, sizes. Out: [`Typical`], what is drawn of a building whose job
//! repeats groups: of storeys that are built alike one, of stacks that are built alike one.
//! Promises: nothing is left out but what is the same as something drawn, with the same sizes, falls
//! and loads of its own; a stack or vent drawn in place of several storeys keeps one size over all
//! of them; what is drawn keeps its indices and ids; the network that was sized is not touched.

mod fold;
mod like;
mod names;
mod out;
mod owners;
mod storeys;

use std::collections::BTreeMap;

use crate::job::{FloorIx, Job};
use crate::network::{JointIx, Network, Openings, PieceIx, RunIx};
use crate::solve::Solution;
pub use names::{together, together_as};
pub use out::Out;
use owners::Owners;
use storeys::Namer;

/// What is drawn of a building with typical storeys.
#[derive(Clone, Debug)]
pub struct Typical {
    /// The network without the storeys that are left out.
    pub net: Network,
    /// Ranges of floors that are left out of each stack, lowest first.
    pub ranges: BTreeMap<RunIx, Vec<Range>>,
    /// Pipes drawn in place of several: the pipe at the lower end of what each stands for.
    pub broken: BTreeMap<PieceIx, PieceIx>,
    /// The floors that such a pipe passes and that are left out.
    pub past: BTreeMap<PieceIx, Range>,
    /// Stacks that are drawn once, each with those built like it, in the order of the job.
    pub like: BTreeMap<RunIx, Vec<RunIx>>,
    /// Where each of those others is left off: its lowest pipes, each with the pipe of the stack
    /// drawn that it corresponds to.
    pub as_drawn: BTreeMap<PieceIx, PieceIx>,
    owners: Owners,
    out: Out,
}

/// Floors that are left out of a drawing because they are built as the one below them is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Range {
    /// The floor that is drawn.
    pub drawn: FloorIx,
    /// The lowest of those left out.
    pub first: FloorIx,
    /// The highest of them.
    pub last: FloorIx,
}

impl Range {
    /// The floors that are left out, by their names; parts of floors apart.
    pub fn named(self, job: &Job) -> String {
        let floors = job.floors.get(self.first.0..=self.last.0);
        let floors = floors.into_iter().flatten().filter(|f| f.part_of.is_none());
        together(floors.map(|f| f.name.as_str()))
    }
}

impl Typical {
    /// What is drawn of a job; none where nothing is drawn in place of something else.
    pub fn of(job: &Job, net: &Network, solution: &Solution) -> Option<Typical> {
        if job.made.repeats.is_empty() {
            return None;
        }
        let ground = Owners::of(net);
        let mut typical = Typical {
            net: net.clone(),
            ranges: BTreeMap::new(),
            broken: BTreeMap::new(),
            past: BTreeMap::new(),
            like: BTreeMap::new(),
            as_drawn: BTreeMap::new(),
            owners: Owners::default(),
            out: Out::default(),
        };
        let namer = Namer {
            job,
            net,
            solution,
            owners: &ground,
            openings: Openings::of(net),
            changed: job.changed(),
        };
        for (stack, ranges) in storeys::alike(&namer) {
            for range in ranges {
                fold::fold(&mut typical, &ground, stack, range);
            }
        }
        let Network { graph, runs, .. } = &mut typical.net;
        for run in runs {
            run.pieces.retain(|p| graph.edge_weight(*p).is_some());
        }
        like::gather(&namer, &mut typical);
        typical.out = Out::of(&typical, net, &ground);
        typical.owners = ground;
        let nothing = typical.ranges.is_empty() && typical.like.is_empty();
        (!nothing).then_some(typical)
    }

    /// The same where all stacks are drawn after all: only storeys are left out.
    pub fn storeys_only(mut self, whole: &Network) -> Typical {
        self.like.clear();
        self.as_drawn.clear();
        self.out = Out::of(&self, whole, &self.owners);
        self
    }

    /// The stack and the floor that a joint stands on, of the whole network; none of what stands on no
    /// storey of a stack.
    pub fn stands(&self, joint: JointIx) -> Option<(RunIx, FloorIx)> {
        let owner = self.owners.of_joint(joint)?;
        Some((owner.stack, owner.floor?))
    }

    /// All joints on a floor of a stack, of the whole network.
    pub fn on(&self, stack: RunIx, floor: FloorIx) -> impl Iterator<Item = JointIx> {
        self.owners.within(stack, floor..=floor)
    }

    /// The floors of a stack that are left out because they are built as this one.
    pub fn like_floor(&self, stack: RunIx, floor: FloorIx) -> Option<Range> {
        let ranges = self.ranges.get(&stack)?;
        ranges.iter().find(|r| r.drawn == floor).copied()
    }

    /// What is left out.
    pub fn out(&self) -> &Out {
        &self.out
    }
}
