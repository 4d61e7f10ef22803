//! The words themselves, in the trade's marks.

use std::collections::{BTreeMap, BTreeSet};

use super::crew::{CrewWords, numbered};
use crate::job::{CleanoutKind, FloorIx, Job, Wye};
use crate::network::{
    JointIx, JointKind, NetLeg, Network, Openings, PieceIx, Run, RunIx, RunKind, State, System,
    Trap, TrapIx, reached_at,
};
use crate::solve::Solution;
use crate::typical::{Typical, together};
use crate::units::{Heading, Length, Printer};

/// The run that a piece is lettered under: a fixture's arm and drop go by the fixture's name.
pub fn lettered_run(net: &Network, piece: PieceIx) -> String {
    let p = &net.graph[piece];
    let run = &net.runs[p.run.0];
    match run.kind {
        RunKind::Arm | RunKind::FixtureDrain => owner(&run.id).to_owned(),
        _ => run.id.clone(),
    }
}

/// Whether a leg runs at 45°, in plan or rising.
pub(super) fn is_45(leg: &NetLeg) -> bool {
    leg.rises_45 || leg.heading.is_some_and(Heading::is_diagonal)
}

fn owner(id: &str) -> &str {
    id.rsplit_once('.').map_or(id, |(owner, _)| owner)
}

/// A text with the mark of its state: `(E)`, `(F)`, or `*` for proposed.
pub fn marked(text: &str, state: State) -> String {
    match state {
        State::Stated => text.to_owned(),
        State::Proposed => format!("{text}*"),
        State::Existing => format!("(E) {text}"),
        State::Future => format!("(F) {text}"),
    }
}

/// How a stack is called.
pub(super) fn stack_name(run: &Run) -> String {
    format!("STACK {}", run.id)
}

pub(super) struct Words<'a> {
    pub job: &'a Job,
    pub net: &'a Network,
    pub solution: &'a Solution,
    pub openings: Openings<'a>,
    /// The parts that are built otherwise than approved.
    pub changed: BTreeSet<&'a str>,
    /// Whether each trap is the first at its vent fitting: a riser that several share is said once.
    pub first_at_fitting: Vec<bool>,
    /// What of it stands for more.
    pub typical: Option<&'a Typical>,
    /// How a crew's sheets are lettered; none: a permit set.
    pub crew: Option<CrewWords<'a>>,
    pub print: Printer,
}

/// The room of the fixtures on each drain; none where they stand in several, or in none with a
/// name.
pub(super) fn rooms<'a>(job: &'a Job, net: &Network) -> BTreeMap<RunIx, Option<&'a str>> {
    let mut rooms: BTreeMap<RunIx, Option<&str>> = BTreeMap::new();
    for trap in &net.traps {
        let room = job
            .fixtures
            .get(trap.fixture)
            .and_then(|f| f.room.as_deref());
        let mut at = trap.arm;
        while let Some(piece) = at {
            let run = net.graph[piece].run;
            if !matches!(net.runs[run.0].kind, RunKind::Arm | RunKind::FixtureDrain) {
                let known = rooms.entry(run).or_insert(room);
                *known = known.filter(|r| Some(*r) == room);
                break;
            }
            at = net.to(piece).and_then(|j| net.downstream(j));
        }
    }
    rooms
}

/// Whether each trap is the first at its vent fitting, or has none.
pub(super) fn first_at_fitting(net: &Network) -> Vec<bool> {
    let mut seen: BTreeSet<JointIx> = BTreeSet::new();
    let mut first = |t: &Trap| t.vent_fitting.is_none_or(|j| seen.insert(j));
    net.traps.iter().map(&mut first).collect()
}

/// A text with the mark of what is built otherwise than approved: `(C)`.
pub fn on_site(text: String, changed: bool) -> String {
    match changed {
        true => format!("(C) {text}"),
        false => text,
    }
}

/// The part that a piece is of: a fixture's arm and drop are its own.
pub(crate) fn part_of(net: &Network, piece: PieceIx) -> Option<&str> {
    let run = net.runs.get(net.graph.edge_weight(piece)?.run.0)?;
    Some(match run.kind {
        RunKind::Arm | RunKind::FixtureDrain => owner(&run.id),
        _ => &run.id,
    })
}

impl Words<'_> {
    /// Size of a piece.
    pub(super) fn size(&self, piece: PieceIx) -> String {
        let size = self.solution.sizing.pieces.get(&piece);
        size.map_or("?".to_owned(), |s| self.print.size(s.size))
    }

    /// Whether a part is built otherwise than approved.
    pub(super) fn is_changed(&self, part: &str) -> bool {
        self.changed.contains(part)
    }

    /// Size and fall of a piece.
    pub(super) fn size_fall(&self, piece: PieceIx) -> String {
        let mut text = self.size(piece);
        if let Some(fall) = self.solution.levels.pieces.get(&piece).and_then(|l| l.fall) {
            text.push_str(" @ ");
            text.push_str(&self.print.fall(fall));
        }
        text
    }

    /// What must not change over a stretch that one label serves.
    pub(super) fn stretch(&self, piece: PieceIx) -> (String, State) {
        (self.size_fall(piece), self.net.graph[piece].state)
    }

    /// Whether a relief vent leaves a stack at a joint.
    pub(super) fn is_relief(&self, joint: JointIx) -> bool {
        matches!(self.net.graph[joint].kind, JointKind::Relief(_))
    }

    /// The line set along a piece; `first` on the stretch over which size and fall do not change.
    pub(super) fn piece(&self, piece: PieceIx, first: bool) -> String {
        let p = &self.net.graph[piece];
        let run = &self.net.runs[p.run.0];
        if let Some(crew) = self.crew.filter(|_| run.kind != RunKind::Sewer) {
            return self.crew_piece(crew, piece, first);
        }
        let mut text = self.size_fall(piece);
        let load = self
            .solution
            .sizing
            .pieces
            .get(&piece)
            .map(|s| self.print.demand(s.demand).replace("dfu", "DFU"));
        match (p.system, run.kind) {
            (System::Vent, RunKind::FixtureVent | RunKind::IslandVent) => {}
            (System::Vent, RunKind::VentStack) => text.push_str(match self.net.from(piece) {
                Some(joint) if self.is_relief(joint) => " RELIEF VENT",
                _ => " VENT STACK",
            }),
            (System::Vent, _) => text.push_str(" VENT"),
            (System::Waste, RunKind::Sewer) => text = self.sewer(piece),
            (System::Waste, RunKind::Discharge) => text.push_str(" PUMPED"),
            (System::Waste, _) => {
                if let Some(load) = load {
                    text.push_str(&format!(" · {}{load}", self.load_below(piece)));
                }
            }
        }
        let legs = &p.legs;
        if p.system == System::Waste && run.kind != RunKind::Stack {
            // A drain that rises says so, and a 45° run, which can read as another.
            for leg in legs.iter().filter(|l| l.heading == Some(Heading::Up)) {
                text.push_str(" · UP");
                text.extend(leg.length.map(|l| format!(" {}", self.print.length(l))));
            }
        }
        if legs.iter().any(is_45) {
            text.push_str(" · 45°");
        }
        let named = matches!(
            run.kind,
            RunKind::BuildingDrain | RunKind::BuildingBranch | RunKind::Branch
        );
        // By its name what is proposed is found in the table of proposals.
        let own = matches!(run.state, State::Stated | State::Proposed);
        if named && own && run.pieces.first() == Some(&piece) {
            text = format!("{}: {text}", run.id);
        }
        on_site(marked(&text, p.state), self.says_changed(piece))
    }

    /// Whether the part that a piece belongs to was changed on site.
    pub(super) fn says_changed(&self, piece: PieceIx) -> bool {
        part_of(self.net, piece).is_some_and(|part| self.is_changed(part))
    }

    /// The load at the lower end of a pipe drawn in place of several, before that at its upper end.
    fn load_below(&self, piece: PieceIx) -> String {
        let lowest = self.typical.and_then(|t| t.broken.get(&piece));
        let size = lowest.and_then(|p| self.solution.sizing.pieces.get(p));
        let load = size.map(|s| self.print.demand(s.demand));
        let figure = load.and_then(|l| l.split(' ').next().map(str::to_owned));
        figure.map_or(String::new(), |f| format!("{f} TO "))
    }

    /// The stacks for which a stack is drawn.
    pub(super) fn stands_for(&self, stack: RunIx) -> Option<String> {
        let like = self.typical?.like.get(&stack)?;
        let name = |s: &RunIx| self.net.runs.get(s.0).map(|r| r.id.as_str());
        let names: Vec<&str> = like.iter().filter_map(name).collect();
        Some(match names.as_slice() {
            [] => return None,
            [one] => format!("AND STACK {one}"),
            _ => format!("AND STACKS {}", together(names).replace(" to ", " TO ")),
        })
    }

    /// What lies beyond the exit: whose it is, how long, and where it ends.
    fn sewer(&self, piece: PieceIx) -> String {
        let mut lines = vec![format!("{} SEWER", self.size(piece))];
        if self.net.graph[piece].state != State::Existing {
            lines.push("BY OTHERS".to_owned());
        }
        if let Some(level) = self.solution.levels.pieces.get(&piece) {
            let length = level.length.map(|l| self.print.length(l));
            let fall = level.fall.map(|f| format!("@ {}", self.print.fall(f)));
            let both: Vec<String> = length.into_iter().chain(fall).collect();
            lines.extend((!both.is_empty()).then(|| both.join(" ")));
            // A crew measures down from one place, and reads no level above zero.
            let tap = level.invert_down.map(|t| match self.crew {
                Some(crew) => format!("TAP INV {} DOWN", self.print.length(crew.datum - t)),
                None => format!("TAP {}", self.ie(t)),
            });
            lines.extend(tap);
            let from = self.crew.and_then(|c| c.from);
            lines.extend(from.map(|f| format!("FROM {}", f.to_uppercase())));
        }
        lines.join("\n")
    }

    /// Whether a piece must carry its words itself, whatever the piece before says.
    pub(super) fn says_itself(&self, piece: PieceIx) -> bool {
        let p = &self.net.graph[piece];
        let level = p.system == System::Waste && !self.net.is_stack(p.run);
        level && self.rises(piece) || p.legs.iter().any(is_45)
    }

    /// Whether a piece has an upright leg.
    pub(super) fn rises(&self, piece: PieceIx) -> bool {
        let legs = &self.net.graph[piece].legs;
        legs.iter().any(|l| l.heading == Some(Heading::Up))
    }

    /// Tag, size and fall of a fixture.
    pub(super) fn trap(&self, trap: TrapIx) -> (String, Vec<String>) {
        let t = &self.net.traps[trap.0];
        let Some(fixture) = self.job.fixtures.get(t.fixture) else {
            return (String::new(), vec!["?".to_owned()]);
        };
        let tag = match t.state {
            State::Existing => format!("{} (E)", fixture.name),
            State::Future => format!("{} (F)", fixture.name),
            _ => fixture.name.clone(),
        };
        let tag = match self.is_changed(&fixture.name) {
            true => format!("{tag} (C)"),
            false => tag,
        };
        if self.crew.is_some() {
            return (fixture.name.clone(), self.crew_trap(trap, tag));
        }
        let mut lines = vec![tag];
        if let Some(arm) = t.arm {
            let state = self.net.graph[arm].state;
            let words = self.size_fall(arm);
            lines.push(if state == State::Proposed {
                format!("{words}*")
            } else {
                words
            });
            lines.extend(self.riser(trap, arm));
        }
        if let Some(over) = t
            .over
            .and_then(|o| self.job.fixtures.get(self.net.traps[o.0].fixture))
        {
            lines.push(format!("OVER {}", over.name));
            if let Some(gap) = fixture.gap {
                lines.push(format!("AIR GAP {}", self.print.short(gap)));
            }
        }
        if let Some(by) = t.primed_by.and_then(|f| self.job.fixtures.get(f)) {
            lines.push(format!("PRIMER AT {}", by.name));
        }
        (fixture.name.clone(), lines)
    }

    /// The size of the riser that a fixture's arm stands on, where it is another than the arm's.
    pub(super) fn riser(&self, trap: TrapIx, arm: PieceIx) -> Option<String> {
        let sizes = &self.solution.sizing.pieces;
        let fitting = self.net.traps[trap.0].vent_fitting;
        let drop = fitting.and_then(|j| self.net.downstream(j));
        let drop = drop.filter(|&d| self.is_drop(d) && self.first_at_fitting[trap.0])?;
        let (d, a) = (sizes.get(&drop)?, sizes.get(&arm)?);
        (d.size != a.size).then(|| {
            let words = format!("{} RISER", self.print.size(d.size));
            match self.net.graph[drop].state {
                State::Proposed => format!("{words}*"),
                _ => words,
            }
        })
    }

    fn is_drop(&self, piece: PieceIx) -> bool {
        self.net.runs[self.net.graph[piece].run.0].kind == RunKind::FixtureDrain
    }

    /// What stands beside a joint: the stack's name, the invert where it is known and an inspector
    /// looks for it, and how a branch enters where it is not flat.
    pub(super) fn joint(&self, joint: JointIx) -> Option<(String, Vec<String>)> {
        if let Some(crew) = self.crew {
            return self.crew_joint(crew, joint);
        }
        let net = self.net;
        let kind = net.graph[joint].kind;
        let down = net.downstream(joint);
        let level = down
            .and_then(|p| self.solution.levels.pieces.get(&p))
            .and_then(|l| l.invert_up);
        // Cleanouts and valves carry the invert with their own tag.
        let own_tag = self.openings.cleanouts(joint).next().is_some()
            || self.openings.valves(joint).next().is_some();
        if kind == JointKind::StackBase {
            let stack = net
                .upstream(joint)
                .into_iter()
                .find(|&p| net.is_stack(net.graph[p].run))
                .map(|p| &net.runs[net.graph[p].run.0])?;
            let mut lines = vec![stack_name(stack)];
            lines.extend(level.map(|l| self.ie(l)));
            return Some((stack.id.clone(), lines));
        }
        let down = down?;
        let own = net.graph[down].id.clone();
        let run = &net.runs[net.graph[down].run.0];
        match kind {
            JointKind::Junction | JointKind::End | JointKind::Change | JointKind::InLine => {
                let building = matches!(run.kind, RunKind::BuildingDrain | RunKind::BuildingBranch);
                // Of a branch of a stack only its ends are levels to build to.
                let start = run.kind == RunKind::Branch && run.pieces.last() == Some(&down);
                let vented = net.upstream(joint).len() < 2 && self.vent_foot(joint);
                let shown = (building || start || vented) && !own_tag;
                let level = level.filter(|_| shown);
                let mut lines: Vec<String> = level.map(|l| self.ie(l)).into_iter().collect();
                lines.extend(self.wyes(joint, &run.id));
                (!lines.is_empty()).then_some((own, lines))
            }
            JointKind::StackJunction => {
                let branches = net.upstream(joint);
                let branch = branches.iter().find(|&&p| {
                    let of = net.graph[p].run;
                    net.runs[of.0].kind == RunKind::Branch
                })?;
                let level = self.solution.levels.pieces.get(branch)?.invert_down?;
                Some((own, vec![self.ie(level)]))
            }
            JointKind::OffsetFoot(_) | JointKind::OffsetHead => Some((own, vec![self.ie(level?)])),
            _ => None,
        }
    }

    /// Whether a vent rises straight from a drain there, as the foot of an island's does.
    fn vent_foot(&self, joint: JointIx) -> bool {
        let mut edges = self.net.graph.edges(joint);
        edges.any(|e| e.weight().system == System::Vent)
    }

    /// How branches enter a drain at a joint where their wye is not flat, each with the step of the
    /// inverts where it is known.
    fn wyes(&self, joint: JointIx, run: &str) -> Vec<String> {
        let net = self.net;
        let mut lines = Vec::new();
        for piece in net.upstream(joint) {
            let branch = &net.runs[net.graph[piece].run.0];
            let drain = matches!(branch.kind, RunKind::BuildingBranch | RunKind::Branch);
            if branch.id == run || !drain || branch.pieces.first() != Some(&piece) {
                continue;
            }
            let words = match branch.wye {
                Wye::Flat => continue,
                Wye::Rolled => "WYE ROLLED 45°",
                Wye::OnBack => "WYE ON ITS BACK",
            };
            let step = self.solution.levels.pieces.get(&piece);
            let step = step.and_then(|l| l.step).filter(|s| *s > Length::ZERO);
            lines.push(match step {
                Some(step) => format!("{words}, INVERT UP {}", self.print.short(step)),
                None => words.to_owned(),
            });
        }
        lines
    }

    /// The level of an invert at a joint, as this kind of sheet has it; none on one that has none.
    fn ie_at(&self, joint: JointIx, level: Option<Length>) -> Option<String> {
        match self.crew {
            // The list of what is set out has it.
            Some(crew) => (crew.number)(joint).map(numbered),
            None => level.map(|l| self.ie(l)),
        }
    }

    fn ie(&self, level: Length) -> String {
        format!("IE {}", self.print.level(level))
    }

    /// Tags of the symbols that are not fixtures: cleanouts, valves, terminals, the exit.
    pub(super) fn symbols(&self) -> Vec<(String, Vec<String>)> {
        let net = self.net;
        let mut tags = Vec::new();
        let invert = |joint: JointIx| {
            net.downstream(joint)
                .and_then(|p| self.solution.levels.pieces.get(&p))
                .and_then(|l| l.invert_up)
        };
        for (i, c) in net.cleanouts.iter().enumerate() {
            let size = self
                .solution
                .fittings
                .cleanouts
                .get(&i)
                .map(|s| self.print.size(*s));
            let mark = match c.kind {
                CleanoutKind::Floor => "FCO",
                CleanoutKind::Wall => "WCO",
                CleanoutKind::Grade => "COTG",
                CleanoutKind::TwoWay => "2-WAY CO",
                CleanoutKind::Stack => "CO",
                CleanoutKind::End => "CO",
            };
            let words: Vec<&str> = (Some(c.id.as_str()).into_iter())
                .chain(size.as_deref())
                .chain([mark])
                .collect();
            let words = marked(&words.join(" "), c.state);
            let mut lines = vec![on_site(words, self.is_changed(&c.id))];
            lines.extend(reached_at(net, c).map(str::to_uppercase));
            lines.extend(self.ie_at(c.joint, invert(c.joint)));
            tags.push((net.cleanout_mark(c), lines));
        }
        for v in &net.valves {
            let size = net.downstream(v.joint);
            let size = size.and_then(|p| self.solution.sizing.pieces.get(&p));
            let size = size.map_or(String::new(), |s| format!("{} ", self.print.size(s.size)));
            let kind = v.kind.to_uppercase();
            let tag = on_site(marked(&v.id, v.state), self.is_changed(&v.id));
            let mut lines = vec![tag, format!("{size}{kind} VALVE")];
            lines.extend(self.ie_at(v.joint, invert(v.joint)));
            tags.push((v.id.clone(), lines));
        }
        for joint in net.graph.node_indices() {
            let j = &net.graph[joint];
            match j.kind {
                JointKind::Exit => {
                    let exit = net.exits.iter().position(|&e| e == joint);
                    let exit = exit.and_then(|i| self.job.exits.get(i));
                    let to = exit.and_then(|e| e.to.as_deref()).unwrap_or("sewer");
                    let changed = exit.is_some_and(|e| self.is_changed(&e.name));
                    let words = format!("EXIT TO {}", to.to_uppercase());
                    let mut lines = vec![on_site(words, changed)];
                    let level = exit.and_then(|e| e.invert.as_ref()).map(|l| l.value);
                    lines.extend(self.ie_at(joint, level));
                    tags.push((format!("{}.mark", j.id), lines));
                }
                JointKind::Terminal(_) => {
                    tags.push((format!("{}.mark", j.id), vec![self.ending(joint, "VTR")]));
                }
                JointKind::Valve(_) => {
                    tags.push((format!("{}.mark", j.id), vec![self.ending(joint, "AAV")]));
                }
                JointKind::Basin => {
                    tags.push((
                        format!("{}.mark", j.id),
                        vec![
                            on_site(j.id.clone(), self.is_changed(&j.id)),
                            "EJECTOR BASIN".into(),
                        ],
                    ));
                }
                _ => {}
            }
        }
        tags
    }

    /// What a vent ends in, with its size, marked as the vent itself is.
    fn ending(&self, joint: JointIx, what: &str) -> String {
        use petgraph::Direction::Incoming;
        use petgraph::visit::EdgeRef;
        let mut vents = self.net.graph.edges_directed(joint, Incoming);
        let Some(vent) = vents.next() else {
            return what.to_owned();
        };
        let size = self.solution.sizing.pieces.get(&vent.id());
        let size = size.map(|s| format!("{} ", self.print.size(s.size)));
        marked(
            &format!("{}{what}", size.unwrap_or_default()),
            vent.weight().state,
        )
    }

    /// Words of the floor marks, in the order of the job, the roof last.
    pub(super) fn floors(&self) -> Vec<Vec<String>> {
        let mut all: Vec<Vec<String>> = (0..self.job.floors.len())
            .filter_map(|i| self.job.floors.get(FloorIx(i).0))
            .map(|f| {
                let level = match self.crew {
                    Some(_) => "F.F.".to_owned(),
                    None => format!("F.F. EL. {}", self.print.level(f.level)),
                };
                vec![f.name.to_uppercase(), level]
            })
            .collect();
        let mut roof = vec!["ROOF".to_owned()];
        let level = self.job.roof.as_ref().filter(|_| self.crew.is_none());
        roof.extend(level.map(|r| format!("EL. {}", self.print.level(r.value))));
        all.push(roof);
        all
    }
}
