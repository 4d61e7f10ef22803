//! Gathers what of the whole stands in a part: its joints, numbered as the water is walked up, and
//! its pipes.

use std::collections::{BTreeMap, BTreeSet};

use super::Whole;
use super::gaps::{Gap, gaps};
use crate::job::FloorIx;
use crate::network::{Column, JointIx, JointKind, PieceIx, RunIx, System};
use crate::placement::grow::vent_at;
use crate::placement::share::{Root, Share};

/// A pipe of a part: its ends in the whole, none where an end stands on another sheet.
#[derive(Clone, Copy)]
pub(super) struct Bit {
    pub(super) piece: PieceIx,
    pub(super) from: Option<JointIx>,
    pub(super) to: Option<JointIx>,
}

/// What of the whole stands in a part.
pub(super) struct Cutter<'a> {
    pub(super) whole: &'a Whole<'a>,
    /// Its joints, each with its place: drains as the water is walked up, vents by what they stand
    /// over. So parts that are alike are numbered alike.
    pub(super) joints: BTreeMap<JointIx, usize>,
    /// The share of each vent joint, by its place in the list.
    pub(super) share: BTreeMap<JointIx, usize>,
    /// Drains that go on upstream on another sheet.
    pub(super) cut: BTreeSet<PieceIx>,
    /// The pipe of the whole by which each share begins, if it is a cut one.
    pub(super) begin: Vec<Option<PieceIx>>,
    pub(super) bands: (usize, usize),
}

impl<'a> Cutter<'a> {
    pub(super) fn new(whole: &'a Whole<'a>) -> Self {
        Cutter {
            whole,
            joints: BTreeMap::new(),
            share: BTreeMap::new(),
            cut: BTreeSet::new(),
            begin: Vec::new(),
            bands: (usize::MAX, 0),
        }
    }

    /// Gathers the joints of a share.
    pub(super) fn gather(&mut self, share: &Share) {
        let (net, base, bands) = (self.whole.net, self.whole.base, self.whole.bands);
        let ix = self.begin.len();
        let first = share.root.first(net);
        if let Root::Exit(j) = share.root
            && let Some(tap) = base.tree.down(j).and_then(|p| net.to(p))
        {
            self.take(tap);
        }
        let mut waiting: Vec<JointIx> = first.into_iter().collect();
        while let Some(j) = waiting.pop() {
            self.take(j);
            let band = bands.of_joint(j);
            self.bands = (self.bands.0.min(band), self.bands.1.max(band));
            for vents in [base.over.get(&j), base.beside.get(&j)] {
                self.stand(vents.into_iter().flatten().copied(), band, ix);
            }
            for &p in base.tree.up(j).iter().rev() {
                let run = net.graph[p].run;
                if net.is_stack(run) && net.runs[run.0].pieces.first() == Some(&p) {
                    self.risers(run, band, ix);
                }
                if share.cuts.contains(&p) {
                    self.cut.insert(p);
                } else {
                    waiting.extend(net.from(p));
                }
            }
        }
        for &v in bands.through(share.root) {
            self.share.insert(v, ix);
        }
        if let Root::Vents { band, .. } = share.root {
            self.bands = (self.bands.0.min(band), self.bands.1.max(band));
        }
        let begin = match share.root {
            Root::Cut(p) => Some(p),
            Root::Exit(_) | Root::Vents { .. } => None,
        };
        if let Some(p) = begin.filter(|p| net.is_stack(net.graph[*p].run)) {
            let band = first.map_or(0, |j| bands.of_joint(j));
            self.risers(net.graph[p].run, band, ix);
        }
        self.begin.push(begin);
    }

    /// Takes in a joint.
    fn take(&mut self, joint: JointIx) {
        let next = self.joints.len();
        self.joints.entry(joint).or_insert(next);
    }

    /// Takes in the vent joints of all shares, once their drains are there.
    pub(super) fn take_vents(&mut self) {
        let (net, base) = (self.whole.net, self.whole.base);
        let over = |v: JointIx| {
            let at = vent_at(net, v)?;
            let (kind, joint) = match at.column {
                Column::Over(j) => (0, j),
                Column::Beside(j) => (1, j),
                Column::Riser(run) => {
                    let riser = base.risers.binary_search_by_key(&run, |r| r.run).ok()?;
                    (2, base.risers.get(riser)?.over)
                }
            };
            let place = self.joints.get(&joint).copied().unwrap_or(usize::MAX);
            Some((place, kind, at.level, joint))
        };
        let mut vents: Vec<JointIx> = self.share.keys().copied().collect();
        vents.sort_by(|a, b| {
            let by = (self.share.get(a), over(*a)).partial_cmp(&(self.share.get(b), over(*b)));
            by.unwrap_or(std::cmp::Ordering::Equal).then(a.cmp(b))
        });
        for v in vents {
            self.take(v);
        }
    }

    /// The joints, in the order of their places.
    pub(super) fn ordered(&self) -> Vec<JointIx> {
        let mut all: Vec<(usize, JointIx)> = self.joints.iter().map(|(j, i)| (*i, *j)).collect();
        all.sort_unstable();
        all.into_iter().map(|(_, j)| j).collect()
    }

    /// Takes in those of some vent joints that stand in a band with the drains below them.
    fn stand(&mut self, vents: impl Iterator<Item = JointIx>, band: usize, share: usize) {
        let bands = self.whole.bands;
        for v in vents.filter(|&v| !bands.is_through(v) && bands.of_joint(v) == band) {
            self.share.insert(v, share);
        }
    }

    /// Takes in the joints of a stack's risers that stand in a band.
    fn risers(&mut self, stack: RunIx, band: usize, share: usize) {
        let base = self.whole.base;
        for &r in base.risers_of.get(&stack.0).into_iter().flatten() {
            let joints = base.risers[r].joints.iter().map(|(v, _)| *v);
            self.stand(joints, band, share);
        }
    }

    /// The floors that it shows, lowest first, and those that a mark stands for.
    pub(super) fn floors(&self) -> (Vec<FloorIx>, BTreeMap<FloorIx, Gap>) {
        let (whole, all) = (self.whole, self.in_bands());
        if whole.left.is_empty() {
            return (all, BTreeMap::new());
        }
        let (net, tree) = (whole.net, &whole.base.tree);
        let (mut shown, mut stacks) = (BTreeSet::new(), BTreeSet::new());
        for &j in self.joints.keys() {
            shown.extend(tree.floor(j));
            shown.extend(match net.graph[j].kind {
                JointKind::Relief(f) | JointKind::OffsetFoot(f) => Some(f),
                _ => vent_at(net, j).and_then(|at| at.level.floor()),
            });
            let run = tree.down(j).map(|p| net.graph[p].run);
            stacks.extend(run.filter(|r| net.is_stack(*r)));
        }
        gaps(all, &shown, &stacks, whole.left)
    }

    /// The floors of the bands that it stands in, lowest first.
    fn in_bands(&self) -> Vec<FloorIx> {
        let whole = self.whole;
        let (low, high) = self.bands;
        let all = whole.job.floors.iter().enumerate();
        let own = all.filter(|(_, f)| f.part_of.is_none());
        let own = own.map(|(i, _)| FloorIx(i));
        own.filter(|f| (low..=high).contains(&whole.bands.of_floor(*f)))
            .collect()
    }

    /// The pipes of the part, in the order of the joints at their ends.
    pub(super) fn bits(&self) -> Vec<Bit> {
        use petgraph::Direction::{Incoming, Outgoing};
        use petgraph::visit::EdgeRef;
        let net = self.whole.net;
        let mut pieces: BTreeSet<PieceIx> = BTreeSet::new();
        for &j in self.joints.keys() {
            for d in [Incoming, Outgoing] {
                let edges = net.graph.edges_directed(j, d);
                let here = edges.filter(|e| match e.weight().system {
                    System::Vent => true,
                    System::Waste => {
                        let both = [e.source(), e.target()];
                        both.iter().all(|j| self.joints.contains_key(j))
                    }
                });
                pieces.extend(here.map(|e| e.id()));
            }
        }
        let begins = || self.begin.iter().copied().flatten();
        pieces.extend(begins());
        pieces.extend(&self.cut);
        let begins: BTreeSet<PieceIx> = begins().collect();
        let bit = |piece: PieceIx| {
            let (from, to) = net.graph.edge_endpoints(piece)?;
            let here = |j: JointIx| Some(j).filter(|j| self.joints.contains_key(j));
            Some(Bit {
                piece,
                from: here(from).filter(|_| !self.cut.contains(&piece)),
                to: here(to).filter(|_| !begins.contains(&piece)),
            })
        };
        let place = |j: Option<JointIx>| j.and_then(|j| self.joints.get(&j).copied());
        let mut bits: Vec<Bit> = pieces.into_iter().filter_map(bit).collect();
        // What goes on on another sheet comes last, by the end that stands on this one.
        bits.sort_by_key(|b| {
            let (from, to) = (place(b.from), place(b.to));
            (from.is_none(), from, to.is_none(), to, b.piece)
        });
        bits
    }
}
