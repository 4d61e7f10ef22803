//! Finds the holes: goes through everything that stands upright.

use std::collections::BTreeMap;

use super::member::{Through, member};
use super::once::once_a_floor;
use super::words;
use super::{Hole, Joists, Level, Member, Of, Plates, Unknown};
use crate::catalogue;
use crate::job::{CleanoutKind, FloorIx, Stack};
use crate::levels::falls::leg_is_vertical;
use crate::levels::{Bores, Storeys, inverts};
use crate::network::{
    Column, JointIx, JointKind, Network, PieceIx, Run, RunIx, RunKind, State, System, Table,
    TrapIx, piece_called, positions, run_called, unplaced_by, walk, way_missing,
};
use crate::sizing::traps::kind_of;
use crate::solve::Work;
use crate::units::{Length, PipeSize, UnitSystem};

type Place = Result<(Length, Length), String>;

/// All holes by level, and what may make more.
pub(super) fn collect(work: &Work<'_>, clearance: Length) -> (Vec<Hole>, Vec<Unknown>) {
    let mut all = Collect {
        work,
        storeys: Storeys {
            job: work.job,
            net: work.net,
            drains: &work.solution.levels.pieces,
        },
        places: positions(work.job, work.net),
        bores: Bores::new(work.job, work.net),
        stacks: stacks(work),
        clearance,
        holes: Vec::new(),
        unknown: Vec::new(),
    };
    for (i, run) in work.net.runs.iter().enumerate() {
        all.run(RunIx(i), run);
    }
    all.traps();
    all.cleanouts();
    let Collect {
        mut holes, unknown, ..
    } = all;
    holes.sort_by_key(|h| h.level);
    once_a_floor(&mut holes);
    (holes, unknown)
}

struct Collect<'a> {
    work: &'a Work<'a>,
    storeys: Storeys<'a>,
    places: Table<JointIx, (Length, Length)>,
    bores: Bores<'a>,
    /// The stack of the job that a run is, or whose vent it is.
    stacks: BTreeMap<RunIx, usize>,
    clearance: Length,
    holes: Vec<Hole>,
    unknown: Vec<Unknown>,
}

/// What passes, and where.
struct Pass {
    piece: PieceIx,
    floor: usize,
    tag: String,
    of: Of,
    what: String,
    at: Place,
    stack: Option<usize>,
    through: Through,
    /// The size of what comes up, if it is another than the pipe's.
    own: Option<PipeSize>,
}

impl Collect<'_> {
    fn run(&mut self, ix: RunIx, run: &Run) {
        if run.state == State::Existing {
            return;
        }
        match run.kind {
            RunKind::Stack => self.stack(ix, run),
            RunKind::Sewer => {}
            RunKind::Arm => {}
            RunKind::BuildingDrain
            | RunKind::BuildingBranch
            | RunKind::Branch
            | RunKind::FixtureDrain => {
                for &piece in &run.pieces {
                    self.level(run, piece);
                }
            }
            _ => {
                for &piece in &run.pieces {
                    self.riser(ix, run, piece);
                }
            }
        }
    }

    /// A stack: between joints whose heights are known.
    fn stack(&mut self, ix: RunIx, run: &Run) {
        let net = self.work.net;
        let base = run.pieces.first().and_then(|p| net.to(*p));
        let mut joints: Vec<(JointIx, Option<PieceIx>)> = Vec::new();
        joints.extend(base.map(|b| (b, None)));
        for &piece in &run.pieces {
            joints.extend(net.from(piece).map(|j| (j, Some(piece))));
        }
        let heights: Vec<Option<usize>> = joints
            .iter()
            .map(|(j, _)| self.storeys.of_joint(*j))
            .collect();
        let known: Vec<usize> = (0..joints.len())
            .filter(|i| heights[*i].is_some())
            .collect();
        let stack = self.stacks.get(&ix).copied();
        let unknown_end = known.first() != Some(&0);
        if unknown_end {
            self.unknown(run_called(net, run), "the level of its foot is not known");
        }
        let turns = self.offsets(run, stack);
        for pair in known.windows(2) {
            let (&[a, b], [Some(low), Some(high)]) = (pair, [pair[0], pair[1]].map(|i| heights[i]))
            else {
                continue;
            };
            let pieces = joints[a + 1..=b].iter().filter_map(|j| j.1);
            let size = |p: &PieceIx| self.work.size(*p);
            let Some(piece) = pieces.max_by_key(|p| size(p)) else {
                continue;
            };
            let at = match (self.place(joints[a].0), self.place(joints[b].0)) {
                (Ok(p), Ok(q)) if apart(p, q) => Err(aside()),
                (Ok(p), _) | (_, Ok(p)) => Ok(p),
                (Err(e), _) => Err(e),
            };
            for floor in self.storeys.between(low, high, run.floor) {
                // Above an offset of the same floor it stands beside the wall that it came up in.
                let aside = turns.contains(&FloorIx(floor));
                self.add(Pass {
                    piece,
                    floor,
                    tag: run.id.clone(),
                    of: Of::Pipe,
                    what: "stack".to_owned(),
                    at: at.clone(),
                    stack,
                    through: if aside { Through::Sole } else { Through::Both },
                    own: None,
                });
            }
        }
    }

    /// Where a stack turns aside between the joists of a floor it bores the top plate of the wall
    /// that it came up in; beneath the joists it has none. Gives the offsets, by floor.
    fn offsets(&mut self, run: &Run, stack: Option<usize>) -> Vec<FloorIx> {
        let (net, job) = (self.work.net, self.work.job);
        let turns: Vec<(FloorIx, JointIx, PieceIx)> = run
            .pieces
            .iter()
            .filter_map(|&piece| {
                let joint = net.from(piece)?;
                match net.graph[joint].kind {
                    JointKind::OffsetFoot(floor) => Some((floor, joint, piece)),
                    _ => None,
                }
            })
            .collect();
        for &(floor, joint, piece) in &turns {
            let of = job.floors.get(floor.0);
            let under = of.and_then(|f| Some(f.deck.unwrap_or_default() + f.joists?));
            let invert = net
                .draft
                .runs
                .iter()
                .find(|r| r.id == run.id)
                .and_then(|r| {
                    let own = r.offsets.iter().find(|o| o.floor == floor)?;
                    own.invert.as_ref().map(|i| i.value)
                });
            let (Some(under), Some(invert)) = (under, invert) else {
                continue;
            };
            if invert < -under {
                continue;
            }
            self.add(Pass {
                piece,
                floor: floor.0,
                tag: run.id.clone(),
                of: Of::Pipe,
                what: "stack".to_owned(),
                at: self.place(joint),
                stack,
                through: Through::Top,
                own: None,
            });
        }
        turns.into_iter().map(|t| t.0).collect()
    }

    /// A piece of vent, or of a pumped discharge.
    fn riser(&mut self, ix: RunIx, run: &Run, piece: PieceIx) {
        let net = self.work.net;
        let Some((from, to)) = net.graph.edge_endpoints(piece) else {
            return;
        };
        let heights = (self.storeys.of_joint(from), self.storeys.of_joint(to));
        let (Some(a), Some(b)) = heights else {
            let level = net.graph[piece]
                .legs
                .iter()
                .all(|l| !leg_is_vertical(l) && l.heading.is_some());
            if !level {
                let pipe = piece_called(net, piece);
                self.unknown(pipe, "the level of its lower end is not known");
            }
            return;
        };
        let (low, high) = (a.min(b), a.max(b));
        if low == high {
            return;
        }
        let at = match (self.place(from), self.place(to)) {
            (Ok(p), Ok(q)) if apart(p, q) => Err(aside()),
            (Ok(p), Ok(_)) => Ok(p),
            (Err(e), _) | (_, Err(e)) => Err(e),
        };
        let stack = self.stacks.get(&ix).copied();
        let what = words::vent(net, run);
        let own = run.floor;
        for floor in self.storeys.between(low, high, own) {
            self.add(Pass {
                piece,
                floor,
                tag: run.id.clone(),
                of: Of::Pipe,
                what: what.clone(),
                at: at.clone(),
                stack,
                through: Through::Both,
                own: None,
            });
        }
    }

    /// The upright legs of a drain, or of a fixture's drop.
    fn level(&mut self, run: &Run, piece: PieceIx) {
        let net = self.work.net;
        let p = &net.graph[piece];
        let upright: Vec<usize> = (0..p.legs.len())
            .filter(|i| leg_is_vertical(&p.legs[*i]))
            .collect();
        if upright.is_empty() {
            return;
        }
        let ends = net.graph.edge_endpoints(piece);
        let Some((up, down)) = ends else { return };
        let start = self.place(down);
        let walked = start
            .as_ref()
            .map(|s| walk(*s, &p.legs))
            .unwrap_or_default();
        let level = self.work.solution.levels.pieces.get(&piece);
        let known = level.map(|l| inverts(p, l)).unwrap_or_default();
        let end_heights = (self.storeys.of_joint(down), self.storeys.of_joint(up));
        let trap = fixture_of(net, run, up);
        let own = trap.and_then(|t| self.storeys.floor_of(t)).or(run.floor);
        let tag = match (run.kind, trap) {
            (RunKind::FixtureDrain, Some(_)) => run.id.strip_suffix(".drop").unwrap_or(&run.id),
            _ => &run.id,
        };
        let tag = tag.to_owned();
        let what = words::drain(self.work.job, net, run, trap);
        for &leg in &upright {
            let by_invert = known.get(leg).copied().flatten();
            let heights = match by_invert {
                // A drop ends at its fitting, whose side of the floor the fixture says.
                Some((low, high)) => Some((self.storeys.at(low), self.storeys.at(high))),
                None if upright.len() == 1 => end_heights.0.zip(end_heights.1),
                None => None,
            };
            let Some((low, high)) = heights else {
                self.unknown(piece_called(net, piece), "its level is not known");
                continue;
            };
            let at = match walked.get(leg) {
                Some(at) => Ok(*at),
                None => Err(match &start {
                    Err(e) => e.clone(),
                    Ok(_) => way_missing(net, piece),
                }),
            };
            for floor in self.storeys.between(low.min(high), low.max(high), own) {
                self.add(Pass {
                    piece,
                    floor,
                    tag: tag.clone(),
                    of: Of::Pipe,
                    what: what.clone(),
                    at: at.clone(),
                    stack: None,
                    through: Through::Both,
                    own: None,
                });
            }
        }
    }

    /// Fixtures whose water goes down through the floor where they stand.
    fn traps(&mut self) {
        let net = self.work.net;
        for (t, trap) in net.traps.iter().enumerate() {
            let ix = TrapIx(t);
            let (Some(joint), Some(arm)) = (trap.joint, trap.arm) else {
                continue;
            };
            let below = self.storeys.leaves_below(ix).unwrap_or_default();
            let Some(floor) = self.storeys.floor_of(ix) else {
                continue;
            };
            if trap.state == State::Existing {
                continue;
            }
            if !below {
                // An arm that starts above the floor and ends below it has a drop that nobody states.
                let end = net.to(arm).and_then(|j| self.storeys.of_joint(j));
                let under = end.zip(self.storeys.beneath(floor));
                if under.is_some_and(|(end, under)| end <= under) {
                    let what = words::fixture(self.work.job, net, ix);
                    let pipe = format!("arm of {what} {}", net.graph[joint].id);
                    let why =
                        "it starts above the floor and its drain lies below, but no drop is stated";
                    self.unknown(pipe, why);
                }
                continue;
            }
            let id = &net.graph[joint].id;
            self.add(Pass {
                piece: arm,
                floor: floor.0,
                tag: id.clone(),
                of: Of::Outlet(ix),
                what: words::fixture(self.work.job, net, ix),
                at: self.place(joint),
                stack: None,
                through: Through::Both,
                own: self.trap_size(ix),
            });
        }
    }

    /// The size of a trap; of a closet, which has none of its own, its arm's.
    fn trap_size(&self, trap: TrapIx) -> Option<PipeSize> {
        let of = self.work.net.traps.get(trap.0)?;
        let fixture = self.work.job.fixtures.get(of.fixture)?;
        let closet = kind_of(fixture).is_some_and(|k| k.closet);
        let own = self
            .work
            .solution
            .sizing
            .traps
            .get(&trap)
            .filter(|_| !closet)?;
        Some(own.size)
    }

    /// Cleanouts that are brought up to a floor inside.
    fn cleanouts(&mut self) {
        let work = self.work;
        let net = work.net;
        for (i, cleanout) in net.cleanouts.iter().enumerate() {
            let inside = match cleanout.kind {
                CleanoutKind::Floor => true,
                CleanoutKind::TwoWay => !net.exits.contains(&cleanout.joint),
                _ => false,
            };
            if !inside || cleanout.state == State::Existing {
                continue;
            }
            let Some(piece) = net
                .downstream(cleanout.joint)
                .or(net.upstream(cleanout.joint).first().copied())
            else {
                continue;
            };
            let Some(height) = self.storeys.of_joint(cleanout.joint) else {
                let pipe = words::cleanout(net, cleanout);
                self.unknown(pipe, "the level of its drain is not known");
                continue;
            };
            let own = net.runs.get(cleanout.run.0).and_then(|r| r.floor);
            let Some(floor) = self
                .storeys
                .between(height, height + 1, own)
                .first()
                .copied()
            else {
                continue;
            };
            if floor >= self.work.job.floors.len() {
                continue;
            }
            self.add(Pass {
                piece,
                floor,
                tag: cleanout.id.clone(),
                of: Of::Cleanout,
                what: words::cleanout(net, cleanout),
                at: self.place(cleanout.joint),
                stack: None,
                through: Through::Both,
                own: work.solution.fittings.cleanouts.get(&i).copied(),
            });
        }
    }

    fn unknown(&mut self, pipe: String, why: &str) {
        let why = why.to_owned();
        self.unknown.push(Unknown { pipe, why });
    }

    /// What passes a level, and apart from it what passes the top plate of the wall below, where a
    /// branch comes in between the two and another pipe goes on from there.
    fn add(&mut self, pass: Pass) {
        let work = self.work;
        let level = match pass.floor < work.job.floors.len() {
            true => Level::Floor(FloorIx(pass.floor)),
            false => Level::Roof,
        };
        let stack: Option<&Stack> = pass.stack.and_then(|s| work.job.stacks.get(s));
        let Some(member) = member(work, level, stack, pass.through) else {
            return;
        };
        let plates = member
            .plates()
            .filter(|p| p.top && pass.through == Through::Both);
        let lower = plates.cloned().zip(self.plate_pipe(pass.piece, pass.floor));
        let Some((plates, lower)) = lower else {
            return self.push(pass, level, member);
        };
        let run = work.net.graph.edge_weight(lower).map(|p| p.run.0);
        let run = run.and_then(|r| work.net.runs.get(r));
        let below = Pass {
            piece: lower,
            tag: run.map_or_else(|| pass.tag.clone(), |r| r.id.clone()),
            of: Of::Pipe,
            what: "stack".to_owned(),
            at: pass.at.clone(),
            through: Through::Top,
            ..pass
        };
        let plates = Plates {
            sole: false,
            ..plates
        };
        self.push(below, level, Member::TopPlate { plates });
        self.push(pass, level, member.without_top_plate());
    }

    /// The pipe of a stack that passes the underside of a floor's joists, if it is another than the
    /// one that passes the floor, or of another size.
    fn plate_pipe(&self, piece: PieceIx, floor: usize) -> Option<PieceIx> {
        let (net, floor) = (self.work.net, self.work.job.floors.get(floor)?);
        let under = floor.level - floor.deck.unwrap_or_default() - floor.joists?;
        let run = |p: PieceIx| net.graph.edge_weight(p).map(|p| p.run);
        let mut at = piece;
        // A network without circles ends; the bound is for one with.
        for _ in 0..net.graph.edge_count() {
            let lower = match net.graph.edge_weight(at)?.system {
                System::Waste => net.to(at)?,
                System::Vent => net.from(at)?,
            };
            if self.work.inlet(lower).is_none_or(|level| level <= under) {
                break;
            }
            match net.downstream(lower) {
                Some(next) if run(next).is_some_and(|r| net.is_stack(r)) => at = next,
                _ => break,
            }
        }
        let other = run(at) != run(piece) || self.work.size(at) != self.work.size(piece);
        other.then_some(at)
    }

    fn push(&mut self, pass: Pass, level: Level, member: Member) {
        let work = self.work;
        let size = pass.own.or_else(|| work.size(pass.piece));
        let outside = size.and_then(|s| self.bores.outside(pass.piece, s));
        let bored = outside.map(|o| rounded_to_bit(o + self.clearance, work.job.units));
        let joists = match level {
            Level::Floor(f) => work.job.floors.get(f.0).and_then(Joists::of),
            Level::Roof => None,
        };
        let only_plate = matches!(member, Member::TopPlate { .. });
        let joists = joists.filter(|_| !only_plate);
        let meets = match (&joists, &pass.at, bored) {
            (Some(joists), Ok(at), Some(bored)) => Some(joists.meets(*at, bored)),
            _ => None,
        };
        self.holes.push(Hole {
            tag: pass.tag,
            level,
            of: pass.of,
            what: pass.what,
            piece: pass.piece,
            size,
            outside,
            bored,
            at: pass.at,
            member,
            joists,
            meets,
        });
    }

    /// Where a joint stands in plan, or what is missing for it.
    fn place(&self, joint: JointIx) -> Place {
        let net = self.work.net;
        let over = match net.graph.node_weight(joint).map(|j| j.kind) {
            Some(JointKind::VentJoint(at) | JointKind::Terminal(at) | JointKind::Valve(at)) => {
                match at.column {
                    Column::Over(j) => j,
                    Column::Beside(_) => {
                        return Err("the place of its loop is not stated".to_owned());
                    }
                    Column::Riser(r) => {
                        return Err(match net.runs.get(r.0) {
                            Some(run) if run.state == State::Proposed => {
                                "choose one in a wall and measure it".to_owned()
                            }
                            Some(run) => {
                                format!("where the {} goes up is not stated", run_called(net, run))
                            }
                            None => "where it goes up is not stated".to_owned(),
                        });
                    }
                }
            }
            _ => joint,
        };
        if let Some(at) = self.places.get(&over) {
            return Ok(*at);
        }
        Err(match unplaced_by(net, &self.places, over) {
            Some(piece) => way_missing(net, piece),
            None => "where its drain leaves is not stated".to_owned(),
        })
    }
}

fn apart(a: (Length, Length), b: (Length, Length)) -> bool {
    // Finer than anyone sets a pipe.
    let near = Length::from_mm(6.0);
    (a.0 - b.0).abs() > near || (a.1 - b.1).abs() > near
}

fn aside() -> String {
    "it steps aside between two floors, at a level that is not stated".to_owned()
}

/// The fixture whose drop ends at a joint.
fn fixture_of(net: &Network, run: &Run, fitting: JointIx) -> Option<TrapIx> {
    if run.kind != RunKind::FixtureDrain {
        return None;
    }
    let up = net.upstream(fitting).into_iter();
    up.filter_map(|p| net.from(p))
        .find_map(|j| match net.graph[j].kind {
            JointKind::Trap(t) => Some(t),
            _ => None,
        })
}

/// The stack that each stack's run, and the run of each stack's own vent, belongs to.
fn stacks(work: &Work<'_>) -> BTreeMap<RunIx, usize> {
    let net = work.net;
    let mut all: BTreeMap<RunIx, usize> = BTreeMap::new();
    for (s, &run) in net.draft.stacks.iter().enumerate() {
        all.insert(RunIx(run), s);
    }
    for (i, run) in net.runs.iter().enumerate() {
        if run.kind != RunKind::StackVent {
            continue;
        }
        let first = run.pieces.first().and_then(|p| net.from(*p));
        let below = first.and_then(|j| net.downstream(j));
        let stack = below.and_then(|p| net.graph.edge_weight(p)).map(|p| p.run);
        if let Some(s) = stack.and_then(|r| all.get(&r).copied()) {
            all.insert(RunIx(i), s);
        }
    }
    all
}

/// The next bit that is no smaller.
pub(super) fn rounded_to_bit(diameter: Length, units: UnitSystem) -> Length {
    match catalogue::bit_step(units).map(|d| d.value) {
        Some(step) => step * (diameter / step - 1e-6).ceil(),
        None => diameter,
    }
}
