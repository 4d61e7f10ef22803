//! Builds the network of a part: joints, pipes and runs with indices of their own, the ends of
//! what goes on on other sheets, and its words and symbols.

mod carried;
mod hidden;

use std::collections::{BTreeMap, BTreeSet};

use super::gaps::Gap;
use super::gather::{Bit, Cutter};
use super::{Part, Whole};
use crate::job::FloorIx;
use crate::network::{
    Column, Joint, JointIx, JointKind, Network, Piece, PieceIx, Run, RunIx, System, Trap, TrapIx,
    VentAt, VentLevel,
};
use crate::placement::columns::Base;
use crate::placement::grow::vent_at;
use crate::placement::share::{Root, Share};
use crate::placement::ways::{LegWay, Ways};

/// A column of vents of the whole, as a key.
type ColumnKey = (u8, usize);

fn key(column: Column) -> ColumnKey {
    match column {
        Column::Over(j) => (0, j.index()),
        Column::Beside(j) => (1, j.index()),
        Column::Riser(run) => (2, run.0),
    }
}

/// Builds the network of a part.
pub(super) struct Builder<'a> {
    cutter: &'a Cutter<'a>,
    net: Network,
    joints: BTreeMap<JointIx, JointIx>,
    runs: BTreeMap<RunIx, RunIx>,
    traps: BTreeMap<TrapIx, TrapIx>,
    /// Where a column that comes up from another sheet stands, by its share.
    feet: BTreeMap<(usize, ColumnKey), JointIx>,
    /// The joints at which what is cut ends, with the symbol of the whole that marks it there.
    marks: Vec<(JointIx, usize)>,
    /// Symbols of cut drains: their place is found as they grow.
    stubs: Vec<(PieceIx, [usize; 2])>,
    pieces: Vec<Option<PieceIx>>,
    ways: Ways,
    /// For each share that begins at a stack: the pipe of the stack, and the joint it stands on.
    stands: BTreeMap<usize, JointIx>,
    /// The floors that it shows, in the job.
    floors: Vec<FloorIx>,
    /// Those among them that stand for several.
    gaps: BTreeMap<FloorIx, Gap>,
    /// The symbols of the whole that stand in it.
    figured: Vec<usize>,
}

impl<'a> Builder<'a> {
    pub(super) fn new(cutter: &'a Cutter<'a>, bits: &[Bit]) -> Self {
        let whole = cutter.whole;
        let (floors, gaps) = cutter.floors();
        let mut b = Builder {
            cutter,
            net: Network::default(),
            joints: BTreeMap::new(),
            runs: BTreeMap::new(),
            traps: BTreeMap::new(),
            feet: BTreeMap::new(),
            marks: Vec::new(),
            stubs: Vec::new(),
            pieces: Vec::new(),
            ways: Ways::new(),
            stands: BTreeMap::new(),
            floors,
            gaps,
            figured: Vec::new(),
        };
        let mut runs: BTreeSet<RunIx> = bits.iter().map(|b| whole.net.graph[b.piece].run).collect();
        for &j in cutter.joints.keys() {
            if let Some(Column::Riser(run)) = vent_at(whole.net, j).map(|at| at.column) {
                runs.insert(run);
            }
        }
        for run in runs {
            let new = RunIx(b.net.runs.len());
            b.runs.insert(run, new);
            let own = &whole.net.runs[run.0];
            let floor = own.floor.map(|f| b.floor(f));
            b.net.runs.push(Run {
                floor,
                pieces: Vec::new(),
                span: None,
                invert: None,
                ..own.clone()
            });
        }
        for j in cutter.ordered() {
            let new = b.net.graph.add_node(whole.net.graph[j].clone());
            b.joints.insert(j, new);
        }
        b
    }

    /// Traps and columns in the names of the part, once all its joints stand.
    pub(super) fn rename(&mut self) {
        let whole = self.cutter.whole.net;
        for (old, new) in self.in_order() {
            let kind = match whole.graph[old].kind {
                JointKind::Trap(t) => JointKind::Trap(self.trap(t)),
                JointKind::VentJoint(at) => JointKind::VentJoint(self.column(old, at)),
                JointKind::Terminal(at) => JointKind::Terminal(self.column(old, at)),
                JointKind::Valve(at) => JointKind::Valve(self.column(old, at)),
                JointKind::Relief(f) => JointKind::Relief(self.floor(f)),
                JointKind::OffsetFoot(f) => JointKind::OffsetFoot(self.floor(f)),
                JointKind::Bare(f) => JointKind::Bare(self.floor(f)),
                kind => kind,
            };
            self.net.graph[new].kind = kind;
        }
    }

    /// The joints that it has from the whole, there and here, in its own order.
    fn in_order(&self) -> Vec<(JointIx, JointIx)> {
        let mut all: Vec<(JointIx, JointIx)> = self.joints.iter().map(|(a, b)| (*a, *b)).collect();
        all.sort_unstable_by_key(|(_, new)| *new);
        all
    }

    fn trap(&mut self, trap: TrapIx) -> TrapIx {
        if let Some(known) = self.traps.get(&trap) {
            return *known;
        }
        let new = TrapIx(self.net.traps.len());
        self.traps.insert(trap, new);
        let own = &self.cutter.whole.net.traps[trap.0];
        self.net.traps.push(Trap {
            joint: own.joint.and_then(|j| self.joints.get(&j).copied()),
            arm: None,
            vent_fitting: None,
            vent_piece: None,
            ..own.clone()
        });
        new
    }

    /// A vent joint's place, over what carries its column here.
    fn column(&mut self, vent: JointIx, at: VentAt) -> VentAt {
        let here = match at.column {
            Column::Over(j) => self.joints.get(&j).map(|j| Column::Over(*j)),
            Column::Beside(j) => self.joints.get(&j).map(|j| Column::Beside(*j)),
            Column::Riser(run) => Some(Column::Riser(self.runs.get(&run).copied().unwrap_or(run))),
        };
        let through = self.cutter.whole.bands.is_through(vent);
        let column = match here.filter(|_| !through) {
            Some(here) => here,
            None => {
                let share = self.cutter.share.get(&vent).copied().unwrap_or(0);
                Column::Over(self.foot(share, at.column))
            }
        };
        let level = match at.level {
            VentLevel::Relief(f) => VentLevel::Relief(self.floor(f)),
            VentLevel::UnderFloor(f) => VentLevel::UnderFloor(self.floor(f)),
            VentLevel::UnderCounter(f) => VentLevel::UnderCounter(self.floor(f)),
            VentLevel::AboveRim(f) => VentLevel::AboveRim(self.floor(f)),
            level => level,
        };
        VentAt { column, level }
    }

    /// What its floors are counted from.
    fn first_floor(&self) -> usize {
        self.floors.first().map_or(0, |f| f.0)
    }

    /// A floor of the job, counted from the part's first.
    fn floor(&self, floor: FloorIx) -> FloorIx {
        FloorIx(floor.0.saturating_sub(self.first_floor()))
    }

    /// The joint beside a stack over which a column stands that comes up from another sheet.
    fn foot(&mut self, share: usize, column: Column) -> JointIx {
        let of = (share, key(column));
        if let Some(known) = self.feet.get(&of) {
            return *known;
        }
        let new = self.cut_joint();
        self.feet.insert(of, new);
        new
    }

    fn cut_joint(&mut self) -> JointIx {
        let id = format!("cut.{}", self.net.graph.node_count());
        self.net.graph.add_node(Joint {
            id,
            kind: JointKind::Cut,
        })
    }

    /// The column of a joint of the whole: a vent's own, else that over it.
    fn column_of(&self, joint: JointIx) -> Column {
        let at = vent_at(self.cutter.whole.net, joint);
        at.map_or(Column::Over(joint), |at| at.column)
    }

    /// Adds a pipe, with the ends that it has by itself.
    pub(super) fn bit(&mut self, bit: Bit) {
        let whole = self.cutter.whole;
        let net = whole.net;
        let Some((a, b)) = net.graph.edge_endpoints(bit.piece) else {
            return;
        };
        let marks = whole.figures.mark(bit.piece);
        let own = &net.graph[bit.piece];
        let old = |b: &Self, j: Option<JointIx>| j.and_then(|j| b.joints.get(&j).copied());
        let (mut from, mut to) = (old(self, bit.from), old(self, bit.to));
        let at_joint = |joint: JointIx, side: usize, b: &mut Self| {
            b.marks.extend(marks.map(|m| (joint, m[side])));
        };
        match own.system {
            System::Waste => {
                let stack = whole.bands.cuts().contains_key(&bit.piece);
                if from.is_none() {
                    let joint = self.cut_joint();
                    from = Some(joint);
                    if stack {
                        at_joint(joint, 0, self);
                    }
                }
                if to.is_none() {
                    let joint = self.cut_joint();
                    to = Some(joint);
                    let share = self.cutter.begin.iter().position(|p| *p == Some(bit.piece));
                    self.stands.extend(share.map(|s| (s, joint)));
                    if stack {
                        at_joint(joint, 1, self);
                    }
                }
            }
            System::Vent => {
                if to.is_none() {
                    let on = VentAt {
                        column: self.column_of(a),
                        level: VentLevel::Roof,
                    };
                    let on = self.column(a, on);
                    let joint = self.net.graph.add_node(Joint {
                        id: format!("{}.on", own.id),
                        kind: JointKind::VentJoint(on),
                    });
                    at_joint(joint, 1, self);
                    to = Some(joint);
                }
                if from.is_none() {
                    let share = self.cutter.share.get(&b).copied().unwrap_or(0);
                    let (below, above) = (self.column_of(a), self.column_of(b));
                    let riser = match (below, above) {
                        (Column::Riser(r), Column::Riser(s)) if r == s => Some(r),
                        _ => None,
                    };
                    let riser = riser.filter(|_| !whole.bands.is_through(b));
                    let joint = match riser.and_then(|r| self.runs.get(&r).copied()) {
                        Some(run) => {
                            let at = VentAt {
                                column: Column::Riser(run),
                                level: VentLevel::Foot,
                            };
                            self.net.graph.add_node(Joint {
                                id: format!("{}.from", own.id),
                                kind: JointKind::VentJoint(at),
                            })
                        }
                        None => self.foot(share, below),
                    };
                    at_joint(joint, 0, self);
                    from = Some(joint);
                }
            }
        }
        let (Some(from), Some(to)) = (from, to) else {
            return;
        };
        let Some(&run) = self.runs.get(&own.run) else {
            return;
        };
        let new = self.net.graph.add_edge(
            from,
            to,
            Piece {
                run,
                span: None,
                size: None,
                fall: None,
                ..own.clone()
            },
        );
        self.pieces.push(Some(bit.piece));
        if let Some(marks) = marks {
            self.stubs.push((new, marks));
        }
        for leg in 0..own.legs.len() {
            let way = whole.ways.get(&(bit.piece, leg));
            self.ways.extend(way.map(|w| ((new, leg), *w)));
        }
    }

    pub(super) fn finish(mut self, shares: &[Share]) -> Part {
        let whole = self.cutter.whole;
        let cuts = whole.bands.cuts();
        let floor_cut = |s: &Share| match s.root {
            Root::Exit(_) => false,
            Root::Cut(p) => cuts.contains_key(&p),
            Root::Vents { .. } => true,
        };
        // Runs that are not drawn come last.
        let first = RunIx(self.net.runs.len());
        let hidden = shares.iter().any(floor_cut).then_some(first);
        let mut roots = Vec::new();
        for (i, share) in shares.iter().enumerate() {
            roots.extend(match share.root {
                Root::Exit(j) => self.joints.get(&j).copied(),
                _ if floor_cut(share) => Some(self.hidden(i)),
                _ => self.stands.get(&i).copied(),
            });
        }
        self.pieces_of_runs();
        self.vent_stacks();
        let (figures, symbols) = self.figures();
        let (captions, words) = self.captions();
        let first_floor = self.first_floor();
        let floors = self.floors.iter().map(|f| self.floor(*f)).collect();
        let mut joints = vec![None; self.net.graph.node_count()];
        for (old, new) in &self.joints {
            joints[new.index()] = Some(*old);
        }
        Part {
            base: Base::of(&self.net),
            riser_ways: self.riser_ways(),
            net: self.net,
            ways: self.ways,
            captions,
            figures,
            roots,
            hidden,
            floors,
            gaps: self.gaps.into_values().collect(),
            first_floor,
            pieces: self.pieces,
            joints,
            runs: self.runs.into_keys().collect(),
            symbols,
            words,
        }
    }

    /// Every run's pieces, in the order of the whole.
    fn pieces_of_runs(&mut self) {
        let mut new: BTreeMap<PieceIx, PieceIx> = BTreeMap::new();
        for e in self.net.graph.edge_indices() {
            match self.pieces.get(e.index()).copied().flatten() {
                Some(old) => {
                    new.insert(old, e);
                }
                None => {
                    let run = self.net.graph[e].run;
                    self.net.runs[run.0].pieces.push(e);
                }
            }
        }
        for (old, run) in &self.runs {
            let own = self.cutter.whole.net.runs[old.0].pieces.iter();
            self.net.runs[run.0].pieces = own.filter_map(|p| new.get(p).copied()).collect();
        }
    }

    /// Which way the branches lead that each riser serves, on whatever sheets they stand.
    fn riser_ways(&self) -> BTreeMap<RunIx, LegWay> {
        let whole = self.cutter.whole;
        let way = |(old, new): (&RunIx, &RunIx)| {
            let riser = whole.base.risers.binary_search_by_key(old, |r| r.run);
            let riser = whole.base.risers.get(riser.ok()?)?;
            Some((*new, *whole.ways.get(&(branch(whole, riser.over)?, 0))?))
        };
        self.runs.iter().filter_map(way).collect()
    }

    /// The feet of vent stacks: where they leave their drains, or come up beside their stacks.
    fn vent_stacks(&mut self) {
        for (stack, foot) in &self.cutter.whole.net.vent_stacks {
            let Some(&run) = self.runs.get(stack) else {
                continue;
            };
            let own = self.joints.get(foot).copied();
            let over = key(Column::Over(*foot));
            let feet = self.feet.iter().find(|((_, k), _)| *k == over);
            if let Some(joint) = own.or(feet.map(|(_, j)| *j)) {
                self.net.vent_stacks.insert(run, joint);
            }
        }
    }
}

/// The first pipe of the branch of a stack on which a joint of the drains stands.
fn branch(whole: &Whole<'_>, joint: JointIx) -> Option<PieceIx> {
    let mut at = joint;
    let mut branch = None;
    while let Some(piece) = whole.base.tree.down(at) {
        if whole.net.is_stack(whole.net.graph[piece].run) {
            return branch;
        }
        branch = Some(piece);
        at = whole.net.to(piece)?;
    }
    None
}
