//! What is set out on a sheet: each place that pipe is laid up to, with its fitting and its levels.

use std::collections::{BTreeMap, BTreeSet};

use super::numbers::walk;
use super::{Datum, End, Framing, SetOut, Shown, ToJoists};
use crate::captions::{called, numbered};
use crate::fittings::{Does, Fitting};
use crate::job::Lies;
use crate::levels::bores::Bores;
use crate::levels::falls::is_vertical;
use crate::levels::{FallFrom, Stub, is_of_storey, lies, stub};
use crate::network::{JointIx, JointKind, Network, PieceIx, RunKind, reached_at, reached_in_stack};
use crate::solve::Work;
use crate::units::{Length, PipeSize, Printer};

/// The places of a sheet of drains in the order of the work.
pub fn set_out(work: &Work<'_>, shown: &Shown<'_>) -> Vec<SetOut> {
    let Shown {
        datum,
        numbers,
        pieces,
        cut,
        whole,
        framing,
    } = *shown;
    let writer = Writer {
        work,
        whole,
        framing,
        datum,
        numbers,
        bores: Bores::new(work.job, work.net),
        print: Printer {
            units: work.job.units,
        },
    };
    let here: BTreeSet<PieceIx> = pieces.iter().copied().collect();
    let mut rows = Vec::new();
    let mut exits = BTreeSet::new();
    for piece in walk(work.net) {
        if !here.contains(&piece) || cut.contains(&piece) {
            continue;
        }
        let Some((from, to)) = work.net.graph.edge_endpoints(piece) else {
            continue;
        };
        if work.net.graph[to].kind == JointKind::Exit && exits.insert(to) {
            rows.push(writer.exit(to, piece));
        }
        if work.net.runs[work.net.graph[piece].run.0].kind != RunKind::Sewer {
            rows.push(writer.row(piece, from));
        }
    }
    rows
}

struct Writer<'a> {
    work: &'a Work<'a>,
    whole: &'a Network,
    framing: &'a Framing,
    datum: &'a Datum,
    numbers: &'a BTreeMap<JointIx, usize>,
    bores: Bores<'a>,
    print: Printer,
}

impl Writer<'_> {
    /// The outside face of the wall, where the drain begins.
    fn exit(&self, exit: JointIx, piece: PieceIx) -> SetOut {
        let level = self.work.solution.levels.pieces.get(&piece);
        let invert = level.and_then(|l| l.invert_down);
        let size = self.work.size(piece);
        SetOut {
            joint: exit,
            key: self.work.net.graph[exit].id.clone(),
            fitting: std::iter::once("outside face of wall".to_owned())
                .chain(self.openings(exit))
                .collect::<Vec<String>>()
                .join(", "),
            size,
            high: self.end(piece, invert),
            done: self.work.mark(piece).is_some(),
            ..SetOut::default()
        }
    }

    fn row(&self, piece: PieceIx, from: JointIx) -> SetOut {
        let net = self.work.net;
        let levels = self.work.solution.levels.pieces.get(&piece);
        let invert = levels.and_then(|l| l.invert_up);
        let fall = levels.and_then(|l| l.fall);
        let low = levels.and_then(|l| l.invert_down);
        let upright = is_vertical(net, piece);
        let bends = self.work.solution.fittings.bends.get(&piece);
        let key = match net.graph[from].kind {
            JointKind::Trap(trap) => net
                .traps
                .get(trap.0)
                .and_then(|t| self.work.job.fixtures.get(t.fixture))
                .map(|f| f.name.clone()),
            _ => self.numbers.get(&from).map(|n| numbered(*n)),
        };
        SetOut {
            joint: from,
            key: key.unwrap_or_else(|| net.graph[from].id.clone()),
            fitting: self.fitting(from),
            pipe: Some(piece),
            size: self.work.size(piece),
            length: levels
                .and_then(|l| l.length)
                .filter(|_| !is_of_storey(self.whole, piece)),
            lies: self.lies(piece),
            joists: self.joists(piece),
            is_flatter: levels.is_some_and(|l| matches!(l.fall_from, FallFrom::Flattened(_))),
            stub: stub(self.work, piece).map(Stub::whole),
            bends: bends.cloned().unwrap_or_default(),
            drop: fall.and(low.zip(invert)).map(|(low, high)| high - low),
            low: match upright {
                true => End::default(),
                false => self.end(piece, low),
            },
            high: match upright {
                true => End {
                    invert: self
                        .work
                        .inlet(from)
                        .or(invert)
                        .map(|l| self.datum.level - l),
                    top: None,
                },
                false => self.end(piece, invert),
            },
            done: self.work.mark(piece).is_some(),
            ..SetOut::default()
        }
    }

    /// How a drain lies to joists. That nobody says which way these run is said once a run.
    fn joists(&self, piece: PieceIx) -> Option<ToJoists> {
        let joists = self.framing.to_joists(piece);
        joists.filter(|j| *j != ToJoists::Unsaid || self.lies(piece).is_some())
    }

    /// How a drain lies, where it begins.
    fn lies(&self, piece: PieceIx) -> Option<Lies> {
        let net = self.work.net;
        let run = net.runs.get(net.graph.edge_weight(piece)?.run.0)?;
        let first = run.pieces.first() == Some(&piece) && !is_vertical(net, piece);
        let lies = lies(self.work.job, net, piece, 0).filter(|_| first)?.0;
        (lies != Lies::UnderSlab).then_some(lies)
    }

    /// An end of a pipe whose invert is known, and the top of its outside there.
    fn end(&self, piece: PieceIx, invert: Option<Length>) -> End {
        let size = self.work.size(piece);
        let over = size.and_then(|size| self.bores.top(piece, size));
        let down = |level: Length| self.datum.level - level;
        End {
            invert: invert.map(down),
            top: invert.zip(over).map(|(invert, over)| down(invert + over)),
        }
    }

    /// The cleanouts and valves at a joint.
    fn openings(&self, joint: JointIx) -> impl Iterator<Item = String> {
        let net = self.work.net;
        let cleanouts = net.cleanouts.iter().enumerate();
        // What is reached over the floor has a step of its own: it is set later.
        let cleanouts =
            cleanouts.filter(move |(_, c)| c.joint == joint && !reached_in_stack(net, c));
        let valves = net.valves.iter().filter(move |v| v.joint == joint);
        cleanouts
            .map(|(i, c)| {
                let own = match self.work.solution.fittings.beside.get(&i) {
                    // It stands in a fitting of its own beside the joint's.
                    Some(fitting) => format!("{} {}", named(fitting, self.print), c.id),
                    None => c.id.clone(),
                };
                match reached_at(net, c) {
                    Some(place) => format!("{own}, {place}"),
                    None => own,
                }
            })
            .chain(valves.map(|v| v.id.clone()))
    }

    /// The fitting at a joint with its sizes, what else stands there, and the stack that rises from it.
    fn fitting(&self, joint: JointIx) -> String {
        let net = self.work.net;
        let mut words: Vec<String> = Vec::new();
        if let Some(fitting) = self.work.solution.fittings.joints.get(&joint) {
            words.push(named(fitting, self.print));
        }
        let stack = net.upstream(joint).into_iter().map(|p| net.graph[p].run);
        if net.graph[joint].kind == JointKind::StackBase
            && let Some(stack) = stack.into_iter().find(|r| net.is_stack(*r))
        {
            words.push(format!("stack {}", net.runs[stack.0].id));
        }
        words.extend(self.openings(joint));
        // What is rolled up for the vent, or reduced to it, says so already.
        let rolled = |f: &Fitting| f.does == Does::Vents || f.to_vent.is_some();
        let rolled = self
            .work
            .solution
            .fittings
            .joints
            .get(&joint)
            .is_some_and(rolled);
        let vents = self.whole.vents_from(joint).into_iter().filter(|_| !rolled);
        let vents = vents.filter_map(|v| self.work.size(v));
        words.extend(vents.map(|v| format!("vent {} up", self.print.size(v))));
        if let (JointKind::Trap(_), false) = (net.graph[joint].kind, words.is_empty()) {
            words.truncate(1);
        }
        if words.is_empty() {
            words.push("straight on".to_owned());
        }
        words.join(", ")
    }
}

/// A fitting with its sizes, and the reducer beside it. What only turns or goes on is of the larger
/// size, and the reducer takes it to the other.
pub(super) fn named(fitting: &Fitting, print: Printer) -> String {
    let plain = |sizes: &[PipeSize]| {
        let sizes = sizes.iter().map(|s| print.size(*s).replace(['″', '"'], ""));
        let sizes: Vec<String> = sizes.collect();
        sizes.join("×").replace("×DN ", "×")
    };
    let is_reducer = fitting.does == Does::Reduces;
    let own = match fitting.sizes[..] {
        [a, b] if !is_reducer => vec![a.max(b)],
        _ => fitting.sizes.clone(),
    };
    let name = format!("{} {}", called(&fitting.name), plain(&own));
    let name = name.trim_end().to_owned();
    let turn = fitting.turn.iter().map(|turn| {
        let size = fitting.sizes.first().copied();
        format!(
            "{} {}",
            called(turn),
            plain(&size.into_iter().collect::<Vec<_>>())
        )
    });
    let own = fitting.reducer.filter(|_| !is_reducer);
    let own = own.map(|(large, small)| format!("reducer {}", plain(&[large, small])));
    let vent = fitting.to_vent;
    let vent = vent.map(|(large, small)| format!("reducer to the vent {}", plain(&[large, small])));
    let all = std::iter::once(name).chain(turn).chain(own).chain(vent);
    all.collect::<Vec<String>>().join(", ")
}
