//! The dry vents: where each rises, which gather in a header, and how they reach the open air.

mod dry;
mod emit;
mod gather;
mod goals;
mod island;
mod paths;
mod risers;
mod vent_stacks;

use std::collections::{BTreeMap, BTreeSet, HashSet};

use super::notes::Notes;
use super::sites::Site;
use crate::job::{FloorIx, Job, Said};
use crate::network::faults::Faults;
use crate::network::tree::Tree;
use crate::network::{
    Column, Ids, JointIx, Network, PieceIx, Run, RunIx, RunKind, State, TrapIx, VentLevel,
};
use crate::units::PipeSize;

pub(super) use dry::Dry;

/// A vertical line of vent: from its base up through the levels at which others meet it.
pub(super) struct Vertical {
    pub(super) run: RunIx,
    pub(super) column: Column,
    /// The joint it rises from; none: it starts at its lowest level.
    pub(super) base: Option<JointIx>,
    pub(super) levels: BTreeSet<VentLevel>,
    /// Id of its first piece; the others are named by what they pass up to.
    pub(super) first: Option<String>,
    pub(super) end: End,
    pub(super) state: State,
    /// The dry vent that it is, if it is the rise of one.
    pub(super) dry: Option<usize>,
}

/// Where a vertical ends.
pub(super) enum End {
    /// At its highest level, where it meets others.
    Meets,
    /// Above the roof, with the terminal's id.
    Roof(String),
    /// In an air admittance valve at this level, with the valve's id.
    Valve(VentLevel, String),
}

/// A level line of vent between two columns.
pub(super) struct Level {
    pub(super) run: RunIx,
    pub(super) level: VentLevel,
    pub(super) from: Column,
    pub(super) to: Column,
    /// Last part of its id.
    pub(super) name: String,
    pub(super) state: State,
}

/// A stack's own vent.
pub(super) struct StackVent {
    /// Index of its vertical.
    pub(super) vertical: usize,
    /// The top joint of the stack.
    pub(super) top: JointIx,
    /// The highest floor that drains into the stack, or beneath which it steps aside.
    pub(super) floor: Option<FloorIx>,
}

/// What is being laid out.
pub(super) struct Vents<'a, 'n> {
    pub(super) job: &'a Job,
    pub(super) net: &'a mut Network,
    pub(super) tree: &'a Tree,
    pub(super) sites: &'a [Option<Site>],
    pub(super) notes: &'a mut Notes<'n>,
    pub(super) faults: &'a mut Faults,
    pub(super) ids: Ids,
    pub(super) dry: Vec<Dry>,
    pub(super) verticals: Vec<Vertical>,
    pub(super) levels: Vec<Level>,
    pub(super) reliefs: Vec<vent_stacks::Relief>,
    pub(super) stacks: BTreeMap<usize, StackVent>,
    /// The run of each stack's own vent.
    pub(super) own_vents: BTreeMap<usize, RunIx>,
    /// The run of each stated vent of the job, once something needs it.
    pub(super) stated: BTreeMap<usize, RunIx>,
    pub(super) headers: BTreeMap<String, RunIx>,
    /// First piece of each dry vent.
    pub(super) rises: Vec<Option<PieceIx>>,
    /// Vent joints by place.
    pub(super) places: BTreeMap<((u8, usize), VentLevel), JointIx>,
    /// Which joints stand above each other.
    pub(super) upright: paths::Upright,
    /// The stack whose vent stands in a place.
    pub(super) stack_places: BTreeMap<usize, usize>,
    /// The first dry vent of each stated vent of the job, and the names of them all: of use once
    /// all are listed.
    pub(super) first_of: BTreeMap<usize, usize>,
    pub(super) dry_names: HashSet<String>,
    /// Stated sizes of vents.
    pub(super) sizes: BTreeMap<RunIx, Said<PipeSize>>,
}

/// Lays out all vents. `at` is the joint of each trap's dry vent, if it has one.
pub(super) fn propose(
    job: &Job,
    net: &mut Network,
    (tree, sites): (&Tree, &[Option<Site>]),
    at: &[Option<JointIx>],
    notes: &mut Notes<'_>,
    faults: &mut Faults,
) {
    let ids = Ids::of(net);
    let upright = paths::Upright::of(net);
    let mut vents = Vents {
        job,
        net,
        tree,
        sites,
        notes,
        faults,
        ids,
        dry: Vec::new(),
        verticals: Vec::new(),
        levels: Vec::new(),
        reliefs: Vec::new(),
        stacks: BTreeMap::new(),
        own_vents: BTreeMap::new(),
        stated: BTreeMap::new(),
        headers: BTreeMap::new(),
        rises: Vec::new(),
        places: BTreeMap::new(),
        upright,
        stack_places: BTreeMap::new(),
        first_of: BTreeMap::new(),
        dry_names: HashSet::new(),
        sizes: BTreeMap::new(),
    };
    vents.list(at);
    vents.unused();
    vents.stack_vents();
    vents.islands();
    vents.gather();
    vents.reliefs();
    vents.emit();
    vents.serve(at);
}

impl Vents<'_, '_> {
    /// A new run of vent.
    pub(super) fn run(
        &mut self,
        id: String,
        kind: RunKind,
        state: State,
        floor: Option<FloorIx>,
    ) -> RunIx {
        let id = self.ids.take(id);
        self.net.runs.push(Run {
            id,
            kind,
            state,
            span: None,
            floor,
            wye: crate::job::Wye::default(),
            wye_stated: false,
            invert: None,
            pieces: Vec::new(),
        });
        RunIx(self.net.runs.len() - 1)
    }
    /// The run of a stated vent.
    pub(super) fn stated_run(&mut self, vent: usize, kind: RunKind, floor: FloorIx) -> RunIx {
        if let Some(&run) = self.stated.get(&vent) {
            return run;
        }
        let (name, state, span) = match self.job.vents.get(vent) {
            Some(v) => {
                let state = crate::network::draft::state_of(v.existing, v.future);
                (v.name.clone(), state, Some(v.span.clone()))
            }
            None => ("vent".to_owned(), State::Stated, None),
        };
        let run = self.run(name, kind, state, Some(floor));
        self.net.runs[run.0].span = span;
        self.stated.insert(vent, run);
        run
    }
    /// The header of a branch.
    pub(super) fn header(&mut self, of: usize, state: State, floor: FloorIx) -> RunIx {
        let id = match self.net.runs.get(of) {
            Some(run) => format!("{}.header", run.id),
            None => "header".to_owned(),
        };
        if let Some(&run) = self.headers.get(&id) {
            return run;
        }
        let run = self.run(id.clone(), RunKind::Header, state, Some(floor));
        if state == State::Proposed {
            let reason = self.notes.topic(
                "vent-rise",
                "vents turn and gather above the rims they serve",
            );
            self.notes.add(&id, "a vent header", reason);
        }
        self.headers.insert(id, run);
        run
    }

    /// Each trap's dry vent: its own, or that of the fixture through whose drain it is vented.
    /// What its stack serves has that stack's own vent.
    fn serve(&mut self, at: &[Option<JointIx>]) {
        let by_joint: BTreeMap<JointIx, usize> = self
            .dry
            .iter()
            .enumerate()
            .map(|(d, dry)| (dry.joint, d))
            .collect();
        // The first vent of a branch that serves each trap by its own method.
        let mut by_branch: BTreeMap<usize, usize> = BTreeMap::new();
        for (b, vent) in self.net.branch_vents.iter().enumerate() {
            let method = vent.method.of_traps();
            for TrapIx(t) in &vent.traps {
                if self.net.traps.get(*t).is_some_and(|t| t.vent == method) {
                    by_branch.entry(*t).or_insert(b);
                }
            }
        }
        let branches = self.dry.iter().enumerate();
        let branches = branches.filter_map(|(d, dry)| match dry.branch? {
            (b, false) => Some((b, d)),
            _ => None,
        });
        let of_branch: BTreeMap<usize, usize> = branches.collect();
        for t in 0..self.net.traps.len() {
            let mut source = t;
            let mut left = self.net.traps.len();
            while let crate::network::VentMethod::Wet(next) = self.net.traps[source].vent {
                if left == 0 {
                    break;
                }
                left -= 1;
                source = next.0;
            }
            let joint = at.get(source).copied().flatten();
            let dry = joint.and_then(|j| by_joint.get(&j));
            self.net.traps[t].vent_piece = dry.and_then(|&d| self.rises.get(d).copied().flatten());
            if let Some(b) = by_branch.get(&t) {
                let dry = of_branch.get(b).copied();
                self.net.traps[t].vent_piece = dry.and_then(|d| self.rises.get(d).copied()?);
            }
            if self.net.traps[t].vent.by_stack() {
                let stack = self.sites.get(t).copied().flatten().and_then(|s| s.stack);
                let own = stack.and_then(|s| self.own_vents.get(&s)).copied();
                let run = own.and_then(|r| self.net.runs.get(r.0));
                self.net.traps[t].vent_piece = run.and_then(|r| r.pieces.first().copied());
            }
        }
    }
}
