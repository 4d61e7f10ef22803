//! What a list of material never counts, where the job has such things.

use crate::catalogue::Kind;
use crate::job::CleanoutKind;
use crate::network::{Piece, Run, RunKind, State, System};
use crate::sizing::traps::kind_of;
use crate::solve::Work;

/// A thing that is bought for the work and never counted: no length or make of it is stated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Never {
    /// What brings a cleanout up from its drain to a floor, a wall or the ground.
    CleanoutRisers,
    /// The cleanout in the vent of an island.
    IslandCleanouts,
    /// Pipe between the bend of a closet and its flange.
    ClosetRisers,
    /// The standpipe of a clothes washer, over its trap.
    WasherStandpipes,
    /// The tube from a trap primer to its trap.
    PrimerTubing,
    /// Bodies and strainers of drains in the floor.
    DrainBodies,
    /// Bends where nobody says which way a drain goes.
    UnsaidTurns,
    /// What joins a trap to the tail of its fixture.
    TrapAdapters,
    /// Sleeves in slabs, and caps for stubs and for the test.
    SleevesAndCaps,
}

impl Never {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Never::CleanoutRisers => {
                "risers of cleanouts up to the floor or the ground, with the bend that turns them up"
            }
            Never::IslandCleanouts => "the cleanout in an island's vent",
            Never::ClosetRisers => "pipe between a closet's bend and its flange",
            Never::WasherStandpipes => "the standpipe of a clothes washer over its trap",
            Never::PrimerTubing => "tubing from a trap primer to its trap",
            Never::DrainBodies => "bodies and strainers of floor drains",
            Never::UnsaidTurns => "bends where the job does not say which way a drain goes",
            Never::TrapAdapters => "adapters from a trap to its fixture",
            Never::SleevesAndCaps => {
                "sleeves in slabs; caps, plugs and test tees for stubs and the test"
            }
        }
    }
}

/// Those that the job has: of what exists nothing is bought.
pub(super) fn never(work: &Work<'_>) -> Vec<Never> {
    let (job, net) = (work.job, work.net);
    let mut all = Vec::new();
    let rises = |kind| {
        let up = [
            CleanoutKind::Floor,
            CleanoutKind::Wall,
            CleanoutKind::Grade,
            CleanoutKind::TwoWay,
        ];
        up.contains(&kind)
    };
    let cleanouts = net.cleanouts.iter();
    let mut new = cleanouts.filter(|c| c.state != State::Existing);
    if new.any(|c| rises(c.kind)) {
        all.push(Never::CleanoutRisers);
    }
    let island = |r: &Run| r.kind == RunKind::IslandVent && r.state != State::Existing;
    if work.book.cleanouts().asks_in_island_vents() && net.runs.iter().any(island) {
        all.push(Never::IslandCleanouts);
    }
    let kinds = job.fixtures.iter().filter(|f| !f.existing);
    let kinds: Vec<_> = kinds.filter_map(kind_of).collect();
    if kinds.iter().any(|k| k.closet) {
        all.push(Never::ClosetRisers);
    }
    if kinds.iter().any(|k| k.washer) {
        all.push(Never::WasherStandpipes);
    }
    let mut primed = job.fixtures.iter();
    if primed.any(|f| f.primed_by.is_some() && !f.existing) {
        all.push(Never::PrimerTubing);
    }
    if kinds.iter().any(|k| k.floor_drain) {
        all.push(Never::DrainBodies);
    }
    let waste = |p: &&Piece| p.system == System::Waste && p.state != State::Existing;
    let unsaid = |p: &Piece| p.legs.iter().any(|l| l.heading.is_none());
    if net.graph.edge_weights().filter(waste).any(unsaid) {
        all.push(Never::UnsaidTurns);
    }
    let adapted = |k: &&Kind| !k.closet && !k.floor_drain;
    if kinds.iter().any(adapted) {
        all.push(Never::TrapAdapters);
    }
    if !job.floors.iter().all(|f| f.slab.is_none()) || work.book.test().is_some() {
        all.push(Never::SleevesAndCaps);
    }
    all
}
