//! What the placement of a part depends on, as a list of numbers: parts with the same key are
//! drawn alike, whatever their things are called, and are placed once.

use std::collections::BTreeMap;

use super::figures::Stands;
use super::part::Part;
use crate::captions::{Caption, Captions, lettered_run};
use crate::job::FloorIx;
use crate::network::{Column, JointKind, VentAt, VentLevel};
use crate::pins::Pins;
use crate::projection::Way;

/// The key of a part with its words.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Key(Vec<u64>);

/// Gives equal numbers to equal words, in the order in which they come.
#[derive(Default)]
struct Classes<'a>(BTreeMap<&'a str, u64>);

impl<'a> Classes<'a> {
    fn of(&mut self, word: &'a str) -> u64 {
        let next = self.0.len() as u64;
        *self.0.entry(word).or_insert(next)
    }
}

impl Key {
    /// The key of a part with some words and pinned lengths; `levels` are the levels of its floors, mm.
    pub fn of(
        part: &Part,
        captions: &Captions,
        pins: &Pins,
        levels: impl Iterator<Item = f64>,
    ) -> Key {
        let mut key = Key(Vec::with_capacity(part.net.graph.edge_count() * 16));
        let net = &part.net;
        // Names count only by which of them are the same.
        let runs: Vec<String> = net
            .graph
            .edge_indices()
            .map(|e| lettered_run(net, e))
            .collect();
        let mut names = Classes::default();
        let mut sizes = Classes::default();
        key.0.extend(levels.map(f64::to_bits));
        for list in [&captions.floors, &captions.all] {
            key.mark();
            for caption in list {
                key.caption(caption);
                key.0.push(names.of(&caption.names));
            }
        }
        // The words of a stretch up to its load, which settle whether it says the same again.
        let words: Vec<String> = captions.all.iter().map(|c| c.lines.join(" ")).collect();
        for line in &words {
            let own = line.split(" ·").next().unwrap_or_default();
            key.0.push(sizes.of(own));
        }
        key.mark();
        for joint in net.graph.node_weights() {
            key.kind(joint.kind);
        }
        key.mark();
        for (e, name) in net.graph.edge_indices().zip(&runs) {
            let piece = &net.graph[e];
            let ends = [net.from(e), net.to(e)];
            key.0
                .extend(ends.map(|j| j.map_or(u64::MAX, |j| j.index() as u64)));
            key.0.extend([piece.run.0 as u64, piece.system as u64]);
            key.0.extend([names.of(&piece.id), names.of(name)]);
            key.option(captions.pieces.get(&e).copied());
            key.option(captions.rooms.get(&e).copied());
            let pinned = pins.lengths.get(&piece.id);
            key.0.push(pinned.map_or(0, |l| l.to_bits()));
            key.0.push(piece.legs.len() as u64);
            for (i, leg) in piece.legs.iter().enumerate() {
                key.0.push(leg.heading.map_or(0, |h| h as u64 + 1));
                key.0
                    .push(leg.length.map_or(u64::MAX, |l| l.mm().to_bits()));
                key.0.push(u64::from(leg.rises_45));
                if let Some(own) = part.ways.get(&(e, i)) {
                    key.way(own.way);
                    key.0.extend([u64::from(own.hatched), u64::from(own.lane)]);
                }
            }
        }
        key.mark();
        for run in &net.runs {
            key.0.push(run.kind as u64);
            key.option(run.floor.map(|f| f.0));
            key.0.push(run.pieces.len() as u64);
            key.0.extend(run.pieces.iter().map(|p| p.index() as u64));
        }
        key.0
            .extend(net.traps.iter().map(|t| u64::from(t.joint.is_some())));
        key.mark();
        for (run, joint) in &net.vent_stacks {
            key.0.extend([run.0 as u64, joint.index() as u64]);
        }
        for (run, own) in &part.riser_ways {
            key.0.push(run.0 as u64);
            key.way(own.way);
            key.0.push(u64::from(own.lane));
        }
        key.mark();
        for (joint, caption) in &captions.joints {
            key.0.extend([joint.index() as u64, *caption as u64]);
        }
        key.mark();
        for (i, figure) in part.figures.all.iter().enumerate() {
            // A match mark is as large as its letters ask for, whichever they are.
            let shape = match figure.stands {
                Stands::Match(_) => figure.word.chars().count() as u64,
                _ => figure.shape as u64,
            };
            key.0.extend([figure.joint.index() as u64, shape]);
            key.0.push(stands_of(figure.stands));
            key.0.push(names.of(&figure.id));
            key.option(part.figures.caption(i, captions));
        }
        for e in net.graph.edge_indices() {
            let marks = part.figures.mark(e).into_iter().flatten();
            key.0.extend(marks.map(|m| m as u64));
            key.mark();
        }
        key.0.extend(part.roots.iter().map(|j| j.index() as u64));
        key.option(part.hidden.map(|r| r.0));
        key.0.extend(part.floors.iter().map(|f| f.0 as u64));
        key
    }

    /// Holds two lists apart.
    fn mark(&mut self) {
        self.0.push(u64::MAX - 1);
    }

    fn option(&mut self, value: Option<usize>) {
        self.0.push(value.map_or(u64::MAX, |v| v as u64));
    }

    fn way(&mut self, way: Way) {
        let u = way.unit();
        self.0.extend([u.x, u.y, u.z].map(f64::to_bits));
    }

    fn caption(&mut self, caption: &Caption) {
        self.0.push(caption.lines.len() as u64);
        self.0.extend(caption.widths.iter().map(|w| w.to_bits()));
        self.0.extend([caption.em.to_bits(), caption.weight as u64]);
    }

    fn kind(&mut self, kind: JointKind) {
        let floor = |f: FloorIx| f.0 as u64;
        let (kind, more) = match kind {
            JointKind::Exit => (0, 0),
            JointKind::Tap => (1, 0),
            JointKind::Junction => (2, 0),
            JointKind::StackBase => (3, 0),
            JointKind::StackJunction => (4, 0),
            JointKind::Relief(f) => (5, floor(f)),
            JointKind::OffsetFoot(f) => (6, floor(f)),
            JointKind::OffsetHead => (7, 0),
            JointKind::VentFitting => (8, 0),
            JointKind::Trap(t) => (9, t.0 as u64),
            JointKind::End => (10, 0),
            JointKind::Change => (11, 0),
            JointKind::InLine => (12, 0),
            JointKind::Basin => (13, 0),
            JointKind::VentJoint(at) => (14, self.at(at)),
            JointKind::Terminal(at) => (15, self.at(at)),
            JointKind::Valve(at) => (16, self.at(at)),
            JointKind::Cut => (17, 0),
            JointKind::Bare(f) => (18, floor(f)),
        };
        self.0.extend([kind, more]);
    }

    /// Where a vent joint stands.
    fn at(&mut self, at: VentAt) -> u64 {
        let (column, of) = match at.column {
            Column::Over(j) => (0, j.index()),
            Column::Beside(j) => (1, j.index()),
            Column::Riser(r) => (2, r.0),
        };
        let (level, floor) = match at.level {
            VentLevel::Foot => (0, 0),
            VentLevel::Relief(f) => (1, f.0),
            VentLevel::UnderFloor(f) => (2, f.0),
            VentLevel::UnderCounter(f) => (3, f.0),
            VentLevel::AboveRim(f) => (4, f.0),
            VentLevel::Roof => (5, 0),
        };
        self.0.extend([column, of as u64, level]);
        floor as u64
    }
}

/// What of what a symbol stands for counts.
fn stands_of(stands: Stands) -> u64 {
    match stands {
        Stands::Fixture(t) => 16 + t.0 as u64,
        Stands::Cleanout(_, kind) => 8 + kind as u64,
        Stands::Valve(_) => 0,
        Stands::Exit => 1,
        Stands::Terminal => 2,
        Stands::AirAdmittance => 3,
        Stands::Basin => 4,
        Stands::Reducer => 5,
        Stands::Match(_) => 6,
        Stands::VentUp => 7,
    }
}
