//! Finds the storeys of a stack that are built alike: copy for copy of the job's groups, with the
//! same sizes, falls and loads, and the stack and its vents of one size through all of them.

use std::collections::{BTreeMap, BTreeSet};

use super::Range;
use super::owners::{Owner, Owners, vent_at};
use crate::captions::part_of;
use crate::job::{FloorIx, Job};
use crate::network::{
    Column, JointIx, JointKind, Network, Openings, PieceIx, RunIx, System, VentLevel,
};
use crate::solve::Solution;

/// Fewer storeys than this are not worth a break, the one that is drawn counted.
const FEW: usize = 3;

/// A pipe that passes from storey to storey.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Passing {
    /// The lower end's name on its storey, and the upper end's.
    ends: [String; 2],
    /// Its size, in words.
    size: String,
}

/// A storey of a stack.
#[derive(Default)]
struct Storey {
    /// What lies within it, in words without its own names.
    within: Vec<String>,
    /// Pipes that go on upward, each with the storey of its other end; none where that is on none.
    up: Vec<(Passing, Option<FloorIx>)>,
    /// The storeys from which pipes come up; none where one comes from no storey.
    down: Vec<Option<FloorIx>>,
}

/// Names things without saying which of the like places they are at.
pub(super) struct Namer<'a> {
    pub(super) job: &'a Job,
    pub(super) net: &'a Network,
    pub(super) solution: &'a Solution,
    pub(super) owners: &'a Owners,
    pub(super) openings: Openings<'a>,
    /// The parts that are built otherwise than approved.
    pub(super) changed: BTreeSet<&'a str>,
}

/// The ranges of floors of each stack that need not be drawn, lowest first.
pub(super) fn alike(namer: &Namer<'_>) -> BTreeMap<RunIx, Vec<Range>> {
    let mut storeys: BTreeMap<RunIx, BTreeMap<FloorIx, Storey>> = BTreeMap::new();
    for ((stack, floor), storey) in namer.storeys() {
        storeys.entry(stack).or_default().insert(floor, storey);
    }
    let own = namer.job.floors.iter().enumerate();
    let own = own.filter(|(_, f)| f.part_of.is_none());
    let floors: Vec<FloorIx> = own.map(|(i, _)| FloorIx(i)).collect();
    let ranges = |of: &BTreeMap<FloorIx, Storey>| {
        let mut ranges = Vec::new();
        let mut at = 0;
        while at < floors.len() {
            let like = run_of(&floors[at..], of);
            if like + 1 >= FEW {
                ranges.push(Range {
                    drawn: floors[at],
                    first: floors[at + 1],
                    last: floors[at + like],
                });
            }
            at += like + 1;
        }
        ranges
    };
    storeys.iter().map(|(s, of)| (*s, ranges(of))).collect()
}

/// How many of the floors after the first are built as that one is, and can be left out.
fn run_of(floors: &[FloorIx], storeys: &BTreeMap<FloorIx, Storey>) -> usize {
    let storey = |i: usize| floors.get(i).and_then(|f| storeys.get(f));
    let Some(first) = storey(0) else { return 0 };
    // Pipes from a storey to the next, the same all the way up.
    let to_next = |i: usize| {
        let next = floors.get(i + 1).copied();
        let all = storey(i)?.up.iter();
        all.map(|(p, to)| (*to == next).then_some(p))
            .collect::<Option<Vec<&Passing>>>()
    };
    let Some(passing) = to_next(0) else { return 0 };
    let mut like = 0;
    while let Some(next) = storey(like + 1) {
        let from_below = next.down.iter().all(|f| *f == Some(floors[like]));
        let same = next.within == first.within && from_below;
        let goes_on = to_next(like).is_some_and(|p| p == passing);
        if !same || !goes_on {
            break;
        }
        like += 1;
    }
    // What goes on above the last keeps its size, and starts where the others do.
    let starts = |p: &Passing| {
        let by = |q: &&&Passing| q.ends[0] == p.ends[0];
        passing.iter().find(by).map(|q| q.size.as_str())
    };
    while like > 0 {
        let all = storey(like).into_iter().flat_map(|s| &s.up);
        if all.clone().count() == passing.len()
            && all
                .into_iter()
                .all(|(p, _)| starts(p) == Some(p.size.as_str()))
        {
            break;
        }
        like -= 1;
    }
    like
}

impl Namer<'_> {
    /// Every storey on which something stands.
    fn storeys(&self) -> BTreeMap<(RunIx, FloorIx), Storey> {
        let mut storeys: BTreeMap<(RunIx, FloorIx), Storey> = BTreeMap::new();
        for (joint, owner) in self.owners.all() {
            if let Some(floor) = owner.floor {
                let storey = storeys.entry((owner.stack, floor)).or_default();
                storey.within.push(self.joint(joint, owner));
            }
        }
        for e in self.net.graph.edge_indices() {
            let Some((from, to)) = self.net.graph.edge_endpoints(e) else {
                continue;
            };
            let (a, b) = (self.owners.of_joint(from), self.owners.of_joint(to));
            let floor = |o: Option<Owner>| o.and_then(|o| o.floor);
            if floor(a).is_none() && floor(b).is_none() {
                continue;
            }
            let stack = |o: Option<Owner>| o.map(|o| o.stack);
            let same = stack(a) == stack(b);
            match (floor(a), floor(b)) {
                (Some(f), Some(g)) if same && f == g => {
                    let words = a.map_or(String::new(), |a| self.within(e, a));
                    let key = stack(a).map(|s| (s, f));
                    let storey = key.map(|k| storeys.entry(k).or_default());
                    storey
                        .into_iter()
                        .for_each(|s| s.within.push(words.clone()));
                }
                (f, g) if same || stack(a).is_none() || stack(b).is_none() => {
                    // Up, as the building stands: against the flow of waste, with that of air.
                    let waste = self.net.graph[e].system == System::Waste;
                    let ends = match waste {
                        true => [(to, b, g), (from, a, f)],
                        false => [(from, a, f), (to, b, g)],
                    };
                    let [(low, own, below), (high, over, above)] = ends;
                    let Some(stack) = own.or(over).map(|o| o.stack) else {
                        continue;
                    };
                    let name = |j, o: Option<Owner>| o.map_or(String::new(), |o| self.name(j, o));
                    let passing = Passing {
                        ends: [name(low, own), name(high, over)],
                        size: self.size(e),
                    };
                    if let Some(below) = below {
                        let storey = storeys.entry((stack, below)).or_default();
                        storey.up.push((passing, above));
                    }
                    if let Some(above) = above {
                        storeys.entry((stack, above)).or_default().down.push(below);
                    }
                }
                _ => {
                    // It leads over to another stack: like nothing else.
                    for o in [a, b].into_iter().flatten() {
                        let key = o.floor.map(|f| (o.stack, f));
                        let storey = key.map(|k| storeys.entry(k).or_default());
                        let words = || self.net.graph[e].id.clone();
                        storey.into_iter().for_each(|s| s.within.push(words()));
                    }
                }
            }
        }
        for storey in storeys.values_mut() {
            storey.within.sort_unstable();
            storey.up.sort_unstable();
        }
        storeys
    }

    /// An id without what tells its stack and its floor.
    pub(super) fn alias(&self, id: &str, owner: Owner) -> String {
        let stack = self.net.runs[owner.stack.0].id.as_str();
        let floor = owner.floor.and_then(|f| self.job.floors.get(f.0));
        let floor = floor.map(|f| f.name.replace(' ', "_"));
        let part = |part: &str| match part.split_once('@') {
            Some((written, _)) => format!("{written}@"),
            None if part == stack => "@".to_owned(),
            None if Some(part) == floor.as_deref() => "#".to_owned(),
            None => part.to_owned(),
        };
        id.split('.').map(part).collect::<Vec<_>>().join(".")
    }

    /// A joint's name on its storey.
    pub(super) fn name(&self, joint: JointIx, owner: Owner) -> String {
        let Some(at) = vent_at(self.net, joint) else {
            return match self.net.graph[joint].kind {
                JointKind::Relief(_) => "relief".to_owned(),
                _ => self.alias(&self.net.graph[joint].id, owner),
            };
        };
        let over = |j: JointIx| match self.owners.of_joint(j) {
            Some(under) if vent_at(self.net, j).is_none() => self.name(j, under),
            // Over a joint of the building's drains: the foot of a vent stack.
            _ => "foot".to_owned(),
        };
        let column = match at.column {
            Column::Over(j) => format!("over {}", over(j)),
            Column::Beside(j) => format!("beside {}", over(j)),
            Column::Riser(run) => {
                let id = self.net.runs.get(run.0).map_or("", |r| r.id.as_str());
                format!("on {}", self.alias(id, owner))
            }
        };
        let level = match at.level {
            VentLevel::Foot => "foot",
            VentLevel::Relief(_) => "relief",
            VentLevel::UnderFloor(_) => "under the floor",
            VentLevel::UnderCounter(_) => "under the counter",
            VentLevel::AboveRim(_) => "above the rim",
            VentLevel::Roof => "roof",
        };
        format!("{column}, {level}")
    }

    /// A joint with all that stands at it, in words.
    pub(super) fn joint(&self, joint: JointIx, owner: Owner) -> String {
        let net = self.net;
        // Of reducers only those of level drains are drawn.
        let down = net.downstream(joint);
        let level = down.is_some_and(|p| !net.is_stack(net.graph[p].run));
        let fitting = self.solution.fittings.joints.get(&joint).filter(|_| level);
        let reducer = fitting.and_then(|f| f.reducer);
        let mut words = format!("{} {reducer:?}", self.name(joint, owner));
        if let JointKind::Trap(t) = net.graph[joint].kind
            && let Some(trap) = net.traps.get(t.0)
        {
            let fixture = self.job.fixtures.get(trap.fixture);
            let kind = fixture.map(|f| (f.kind.value.as_str(), f.room.as_deref()));
            let primed = trap.primed_by.and_then(|i| self.job.fixtures.get(i));
            let primed = primed.map(|f| self.alias(&f.name, owner));
            if fixture.is_some_and(|f| self.changed.contains(f.name.as_str())) {
                words += " changed";
            }
            words += &format!(
                " {kind:?} {:?} {:?} {primed:?}",
                trap.state,
                trap.vent.word()
            );
        }
        for c in self.openings.cleanouts(joint) {
            let changed = self.changed.contains(c.id.as_str());
            words += &format!(" {:?} {:?} {changed}", c.kind, c.state);
        }
        for v in self.openings.valves(joint) {
            words += &format!(" {} {:?}", v.kind, v.state);
        }
        words
    }

    /// A pipe within a storey, in words.
    pub(super) fn within(&self, piece: PieceIx, owner: Owner) -> String {
        /// Lengths worked out from others differ in their last bits.
        const TENTHS: f64 = 10.0;
        let p = &self.net.graph[piece];
        let ends = [self.net.from(piece), self.net.to(piece)];
        let end = |j: Option<JointIx>| j.map_or(String::new(), |j| self.name(j, owner));
        // What a stack carries grows from storey to storey.
        let stack = self.net.is_stack(p.run);
        let size = self.solution.sizing.pieces.get(&piece);
        let load = size
            .filter(|_| !stack && p.system == System::Waste)
            .map(|s| s.demand);
        let legs: Vec<_> = p
            .legs
            .iter()
            .map(|l| {
                let length = l.length.map(|l| (l.mm() * TENTHS).round() as i64);
                (l.heading, length, l.rises_45)
            })
            .collect();
        let run = self.alias(&self.net.runs[p.run.0].id, owner);
        format!(
            "{run} {:?} {load:?} {legs:?} {}",
            ends.map(end),
            self.size(piece)
        )
    }

    /// The size and fall of a pipe and whether it stands there already, in words.
    pub(super) fn size(&self, piece: PieceIx) -> String {
        let size = self.solution.sizing.pieces.get(&piece).map(|s| s.size);
        let fall = self.solution.levels.pieces.get(&piece).and_then(|l| l.fall);
        let part = part_of(self.net, piece);
        let changed = part.is_some_and(|p| self.changed.contains(p));
        format!(
            "{size:?} {fall:?} {changed} {:?}",
            self.net.graph[piece].state
        )
    }
}
