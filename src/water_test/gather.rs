//! Openings, those of one kind, size and floor together; what nobody knows the level of by itself.

use std::collections::BTreeMap;

use super::model::{Closing, Closure};
use crate::job::FloorIx;
use crate::network::{JointIx, PieceIx, TrapIx, stands_outside};
use crate::sizing::traps::kind_of;
use crate::solve::Work;
use crate::units::{Length, PipeSize};

/// What openings are gathered by: how they are closed, their size and floor.
pub(super) type Kind = (Closing, PipeSize, Option<usize>);

/// Openings of one kind: what they belong to, the lowest level and the most head.
#[derive(Default)]
struct Openings {
    of: Vec<String>,
    lowest: Option<Length>,
    head: Option<Length>,
}

/// Gathers openings.
pub(super) struct Gather<'w, 'a, H: Fn(Length) -> Option<Length>> {
    work: &'w Work<'a>,
    /// The head that an opening at a level stands under, if known.
    head: H,
    /// By kind, those whose level is not known apart: what is said of the others does not hold for
    /// them.
    all: BTreeMap<(Kind, bool), Openings>,
}

impl<'w, 'a, H: Fn(Length) -> Option<Length>> Gather<'w, 'a, H> {
    /// None yet.
    pub fn new(work: &'w Work<'a>, head: H) -> Self {
        Gather {
            work,
            head,
            all: BTreeMap::new(),
        }
    }

    /// One opening.
    pub fn add(&mut self, kind: Kind, of: &str, level: Option<Length>) {
        let head = level.and_then(&self.head);
        let row = self.all.entry((kind, level.is_none())).or_default();
        row.of.push(of.to_owned());
        let lower = |b: Length| row.lowest.map_or(b, |a| a.min(b));
        row.lowest = level.map(lower).or(row.lowest);
        let more = |b: Length| row.head.map_or(b, |a| a.max(b));
        row.head = head.map(more).or(row.head);
    }

    /// The lower end of a drain at an exit.
    pub fn exit(&mut self, exit: JointIx, piece: PieceIx) {
        let at = self.work.net.exits.iter().position(|e| *e == exit);
        let name = at.and_then(|i| self.work.job.exits.get(i));
        let name = name.map_or("exit", |e| e.name.as_str());
        let net = self.work.net;
        let mut cleanouts = net.cleanouts.iter();
        // The plug is set through one that stands outside, upstream of it: no water stands over that.
        let by = cleanouts.find(|c| c.joint == exit && stands_outside(net, c));
        let name = match by {
            Some(by) => format!(
                "{name}, through {}, set on the building's side of it",
                by.id
            ),
            None => name.to_owned(),
        };
        let level = self.work.solution.levels.pieces.get(&piece);
        let level = level.and_then(|l| l.invert_down);
        if let Some(size) = self.work.size(piece) {
            self.add((Closing::ExitPlug, size, None), &name, level);
        }
    }

    /// A trap's end of its arm.
    pub fn trap(&mut self, index: usize) {
        let work = self.work;
        let trap = work.net.traps.get(index);
        let Some((arm, fixture)) = trap.and_then(|t| t.arm.zip(work.job.fixtures.get(t.fixture)))
        else {
            return;
        };
        let with = match kind_of(fixture) {
            Some(k) if k.closet => Closing::ClosetCap,
            Some(k) if k.floor_drain => Closing::DrainPlug,
            _ => Closing::ArmCap,
        };
        let level = work.solution.levels.pieces.get(&arm);
        let level = level.and_then(|l| l.invert_up);
        let floor = floor_of(work, TrapIx(index));
        if let Some(size) = work.size(arm) {
            self.add((with, size, floor.map(|f| f.0)), &fixture.name, level);
        }
    }

    /// The invert of its drain at a cleanout, if known.
    pub fn level_of(&self, cleanout: usize) -> Option<Length> {
        let work = self.work;
        let joint = work.net.cleanouts.get(cleanout)?.joint;
        let levels = &work.solution.levels.pieces;
        let at = work.net.downstream(joint);
        let below = at.and_then(|p| levels.get(&p)?.invert_up);
        // At an exit nothing of the job goes on downstream.
        let mut above = work.net.upstream(joint).into_iter();
        below.or_else(|| above.find_map(|p| levels.get(&p)?.invert_down))
    }

    /// A cleanout, at the invert of its drain there; none that stands beyond the plug at an exit.
    pub fn cleanout(&mut self, index: usize) {
        let work = self.work;
        let own = work.net.cleanouts.get(index);
        let Some(cleanout) = own.filter(|c| !stands_outside(work.net, c)) else {
            return;
        };
        let level = self.level_of(index);
        let floor = work.net.runs.get(cleanout.run.0).and_then(|r| r.floor);
        if let Some(size) = work.solution.fittings.cleanouts.get(&index) {
            let kind = (Closing::Cleanout, *size, floor.map(|f| f.0));
            self.add(kind, &cleanout.id, level);
        }
    }

    /// All of them, as a plan lists them.
    pub fn done(self) -> Vec<Closure> {
        let floors = &self.work.job.floors;
        let closure = |(((with, size, floor), _), open): ((Kind, bool), Openings)| Closure {
            with,
            size,
            floor: floor
                .and_then(|f| floors.get(f))
                .map_or_else(String::new, |f| f.name.clone()),
            of: open.of,
            lowest: open.lowest,
            head: open.head,
        };
        self.all.into_iter().map(closure).collect()
    }
}

fn floor_of(work: &Work<'_>, trap: TrapIx) -> Option<FloorIx> {
    let fixture = work.net.traps.get(trap.0)?.fixture;
    work.net.draft.fixtures.get(fixture)?.floor
}
