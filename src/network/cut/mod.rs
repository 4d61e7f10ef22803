//! Cuts the runs of a draft into pieces at everything that enters them.

mod legs;
mod level;
mod stack;
mod trap;

use std::collections::{HashMap, HashSet};

use super::draft::{CleanoutAt, Draft, Entrant, Root, Who};
use super::model::{
    BranchVent, Joint, JointIx, JointKind, NetCleanout, NetLeg, NetValve, Network, Piece, PieceIx,
    Run, RunIx, RunKind, State, System, TrapIx,
};
use crate::diagnostics::Span;
use crate::job::{CleanoutKind, FloorIx, Job, Said, Wye};
use crate::units::{Fall, Heading, PipeSize};

/// Cuts a draft. Runs that reach no exit and no basin are left out, with all that is on them.
pub(crate) fn cut(job: &Job, draft: &Draft) -> Network {
    let mut cutter = Cutter {
        job,
        draft,
        net: Network::default(),
        ids: Ids::default(),
        basins: Vec::new(),
        fixtures: vec![None; job.fixtures.len()],
        heads: vec![None; draft.runs.len()],
        feet: vec![None; draft.runs.len()],
        stated: Vec::new(),
    };
    cutter.ends();
    cutter.runs();
    cutter.traps();
    cutter.cleanouts();
    cutter.net
}

/// The ids given so far; a second one of the same name gets a number.
#[derive(Debug, Default)]
pub(crate) struct Ids {
    /// Looked up only, never gone through.
    taken: HashSet<String>,
    /// The last number that an id got: those below it are taken.
    last: HashMap<String, usize>,
}

impl Ids {
    /// This id if it is free, else with the next number.
    pub(crate) fn take(&mut self, id: String) -> String {
        if self.taken.insert(id.clone()) {
            return id;
        }
        let n = self.last.entry(id.clone()).or_insert(1);
        loop {
            *n += 1;
            let numbered = format!("{id}-{n}");
            if self.taken.insert(numbered.clone()) {
                return numbered;
            }
        }
    }
    /// The ids of a network.
    pub(crate) fn of(net: &Network) -> Ids {
        let mut ids = Ids::default();
        let count = net.graph.edge_count() + net.graph.node_count() + net.runs.len();
        ids.taken.reserve(count);
        for e in net.graph.edge_indices() {
            ids.taken.insert(net.graph[e].id.clone());
        }
        for n in net.graph.node_indices() {
            ids.taken.insert(net.graph[n].id.clone());
        }
        for r in &net.runs {
            ids.taken.insert(r.id.clone());
        }
        ids
    }
}

struct Cutter<'a> {
    job: &'a Job,
    draft: &'a Draft,
    net: Network,
    ids: Ids,
    /// Joint of each basin.
    basins: Vec<JointIx>,
    /// The joint that each fixture enters at.
    fixtures: Vec<Option<JointIx>>,
    /// Upstream end of each run of the draft.
    heads: Vec<Option<JointIx>>,
    /// Downstream end of each run of the draft.
    feet: Vec<Option<JointIx>>,
    /// Cleanouts and valves that got a joint of their own.
    stated: Vec<(Entrant, usize, JointIx)>,
}

/// What a new piece needs to know besides its ends.
struct Cut {
    id: String,
    run: RunIx,
    state: State,
    span: Option<Span>,
    legs: Vec<NetLeg>,
    size: Option<Said<PipeSize>>,
    fall: Option<Said<Fall>>,
}

impl Cutter<'_> {
    /// Exits with their sewers, and basins.
    fn ends(&mut self) {
        for r in &self.draft.runs {
            self.ids.take(r.id.clone());
            self.net.runs.push(Run {
                id: r.id.clone(),
                kind: r.kind,
                state: r.state,
                span: r.span.clone(),
                floor: r.floor,
                wye: r.wye.unwrap_or_default(),
                wye_stated: r.wye.is_some(),
                invert: r.invert.clone(),
                pieces: Vec::new(),
            });
        }
        let vents = self.draft.branch_vents.iter();
        self.net.branch_vents = vents
            .map(|v| BranchVent {
                method: v.method,
                run: RunIx(v.run),
                traps: v.fixtures.iter().map(|f| TrapIx(*f)).collect(),
                stated: v.stated,
                vent: None,
                relief: None,
            })
            .collect();
        for exit in &self.job.exits {
            let id = self.ids.take(exit.name.clone());
            let joint = self.joint(id, JointKind::Exit);
            self.net.exits.push(joint);
            let Some(sewer) = &exit.sewer else { continue };
            let state = match sewer.existing {
                true => State::Existing,
                false => State::Stated,
            };
            let id = self.ids.take(format!("{}.sewer", exit.name));
            let tap = self.ids.take(format!("{}.tap", exit.name));
            let tap = self.joint(tap, JointKind::Tap);
            let run = self.run(&id, RunKind::Sewer, state, Some(exit.span.clone()), None);
            let heading = exit.heading.as_ref().map(|h| h.value.reversed());
            let span = exit.span.clone();
            let cut = Cut {
                id,
                run,
                state,
                span: Some(span.clone()),
                legs: vec![NetLeg {
                    heading,
                    length: sewer.length,
                    ..NetLeg::default()
                }],
                size: sewer.size.map(|value| Said { value, span }),
                fall: None,
            };
            self.piece(joint, tap, cut);
        }
        if self.job.exits.is_empty() {
            // Nothing is known of the exit, but the water leaves somewhere.
            let id = self.ids.take("exit".to_owned());
            let joint = self.joint(id, JointKind::Exit);
            self.net.exits.push(joint);
        }
        for basin in &self.job.basins {
            let id = self.ids.take(basin.name.clone());
            let joint = self.joint(id, JointKind::Basin);
            self.basins.push(joint);
        }
    }

    /// Every run that can be reached from an exit or a basin, each after what it flows into.
    fn runs(&mut self) {
        let mut ready: Vec<(usize, JointIx)> = Vec::new();
        for (i, run) in self.draft.runs.iter().enumerate().rev() {
            let foot = match run.root {
                Some(Root::Exit(e)) => self.net.exits.get(e).copied(),
                Some(Root::Basin(b)) => self.basins.get(b).copied(),
                _ => None,
            };
            ready.extend(foot.map(|foot| (i, foot)));
        }
        while let Some((run, foot)) = ready.pop() {
            if self.feet[run].is_some() {
                continue;
            }
            self.feet[run] = Some(foot);
            let entered = match self.draft.runs[run].kind {
                RunKind::Stack => self.stack(run, foot),
                _ => self.level(run, foot),
            };
            for (entrant, joint) in entered.into_iter().rev() {
                match entrant.who {
                    Who::Run(r) => ready.push((r, joint)),
                    Who::Fixture(f) => {
                        if let Some(place) = self.fixtures.get_mut(f) {
                            *place = Some(joint);
                        }
                    }
                    Who::Basin(b) => self.discharge(b, joint),
                    Who::Cleanout(_) | Who::Proposed(_) | Who::Valve(_) | Who::Backwater => {
                        self.stated.push((entrant, run, joint));
                    }
                    Who::BranchVent(v) => {
                        if let Some(vent) = self.net.branch_vents.get_mut(v) {
                            vent.vent = Some(joint);
                        }
                    }
                    Who::Relief(v) => {
                        if let Some(vent) = self.net.branch_vents.get_mut(v) {
                            vent.relief = Some(joint);
                        }
                    }
                    Who::Footing(_) | Who::Foot(_) | Who::StackRelief => {}
                    Who::VentStack(stack) => {
                        self.net.vent_stacks.insert(RunIx(stack), joint);
                    }
                }
            }
        }
        for (own, place) in self.draft.fixtures.iter().zip(&mut self.fixtures) {
            if let Some(Root::Basin(b)) = own.home
                && let Some(&joint) = self.basins.get(b)
            {
                *place = Some(joint);
            }
        }
    }

    /// The pumped discharge of a basin, into the joint that it made.
    fn discharge(&mut self, basin: usize, to: JointIx) {
        let (Some(b), Some(&from)) = (self.job.basins.get(basin), self.basins.get(basin)) else {
            return;
        };
        let id = self.ids.take(format!("{}.discharge", b.name));
        let span = Some(b.span.clone());
        let run = self.run(
            &id,
            RunKind::Discharge,
            State::Stated,
            span.clone(),
            b.floor,
        );
        let cut = Cut {
            id,
            run,
            state: State::Stated,
            span,
            legs: vec![NetLeg::default()],
            size: b.size.clone(),
            fall: None,
        };
        self.piece(from, to, cut);
    }

    fn cleanouts(&mut self) {
        let mut listed: Vec<(bool, usize, NetCleanout)> = Vec::new();
        for (n, (entrant, run, joint)) in self.stated.iter().enumerate() {
            let own = |id: String, kind, size, state, span| NetCleanout {
                id,
                joint: *joint,
                run: RunIx(*run),
                kind,
                size,
                state,
                span,
            };
            match &entrant.who {
                Who::Cleanout(i) => {
                    let Some(c) = self.job.cleanouts.get(*i) else {
                        continue;
                    };
                    let kind = c.kind.unwrap_or(CleanoutKind::Floor);
                    let span = Some(c.span.clone());
                    let cleanout = own(c.name.clone(), kind, c.size.clone(), State::Stated, span);
                    listed.push((false, *i, cleanout));
                }
                Who::Proposed(kind) => {
                    let run = &self.draft.runs[*run];
                    let id = format!("{}.{}", run.id, entrant.name);
                    let cleanout = own(id, *kind, None, State::Proposed, None);
                    listed.push((true, n, cleanout));
                }
                Who::Valve(i) => {
                    let Some(v) = self.job.valves.get(*i) else {
                        continue;
                    };
                    self.net.valves.push(NetValve {
                        id: v.name.clone(),
                        joint: *joint,
                        run: RunIx(*run),
                        kind: v.kind.value.clone(),
                        state: State::Stated,
                        span: Some(v.span.clone()),
                    });
                }
                Who::Backwater => {
                    let id = format!("{}.{}", self.draft.runs[*run].id, entrant.name);
                    self.net.valves.push(NetValve {
                        id,
                        joint: *joint,
                        run: RunIx(*run),
                        kind: entrant.name.clone(),
                        state: State::Proposed,
                        span: None,
                    });
                }
                _ => {}
            }
        }
        for c in &self.draft.cleanouts {
            let joint = match c.at {
                CleanoutAt::Foot => self.feet.get(c.run).copied().flatten(),
                CleanoutAt::Head => self.heads.get(c.run).copied().flatten(),
            };
            let Some(joint) = joint else { continue };
            let said = c.job.and_then(|i| self.job.cleanouts.get(i));
            listed.push((
                c.job.is_none(),
                c.job.unwrap_or(usize::MAX),
                NetCleanout {
                    id: c.id.clone(),
                    joint,
                    run: RunIx(c.run),
                    kind: c.kind,
                    size: said.and_then(|c| c.size.clone()),
                    state: match c.job {
                        Some(_) => State::Stated,
                        None => State::Proposed,
                    },
                    span: said.map(|c| c.span.clone()),
                },
            ));
        }
        listed.sort_by_key(|(proposed, order, _)| (*proposed, *order));
        self.net.cleanouts = listed.into_iter().map(|(_, _, c)| c).collect();
        // Proposed ones after those of the job.
        let places = self.job.valves.iter().enumerate();
        let places: HashMap<&str, usize> = places.map(|(i, v)| (v.name.as_str(), i)).collect();
        let order = |name: &str| places.get(name).copied().unwrap_or(usize::MAX);
        self.net.valves.sort_by_key(|v| order(&v.id));
    }

    fn joint(&mut self, id: String, kind: JointKind) -> JointIx {
        self.net.graph.add_node(Joint { id, kind })
    }

    fn run(
        &mut self,
        id: &str,
        kind: RunKind,
        state: State,
        span: Option<Span>,
        floor: Option<FloorIx>,
    ) -> RunIx {
        self.net.runs.push(Run {
            id: id.to_owned(),
            kind,
            state,
            span,
            floor,
            wye: Wye::default(),
            wye_stated: false,
            invert: None,
            pieces: Vec::new(),
        });
        RunIx(self.net.runs.len() - 1)
    }

    /// A piece of drain from its upstream joint to its downstream one.
    fn piece(&mut self, from: JointIx, to: JointIx, cut: Cut) -> PieceIx {
        let run = cut.run;
        let mut legs = cut.legs;
        if legs.is_empty() {
            legs.push(NetLeg::default());
        }
        let piece = self.net.graph.add_edge(
            from,
            to,
            Piece {
                id: cut.id,
                run,
                system: System::Waste,
                state: cut.state,
                span: cut.span,
                legs,
                size: cut.size,
                fall: cut.fall,
            },
        );
        self.net.runs[run.0].pieces.push(piece);
        piece
    }
}

/// A leg straight up, of a length that nobody knows.
fn up() -> NetLeg {
    NetLeg {
        heading: Some(Heading::Up),
        ..NetLeg::default()
    }
}
