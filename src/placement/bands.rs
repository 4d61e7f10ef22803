//! Bands of floors: where a drawing that is too high for its paper is cut across all its stacks,
//! and on which side of each cut every joint of the drains and of the vents stands.

use std::collections::{BTreeMap, BTreeSet};

use super::columns::Base;
use super::grow::vent_at;
use super::share::Root;
use crate::job::FloorIx;
use crate::network::{Column, JointIx, JointKind, Network, PieceIx, RunIx, System, VentLevel};

/// The bands of a drawing, lowest first.
#[derive(Clone, Debug, Default)]
pub struct Bands {
    /// The lowest floor of each band but the first.
    bounds: Vec<FloorIx>,
    /// The pipes of stacks that are cut, each with the band that lies upstream of it.
    cuts: BTreeMap<PieceIx, usize>,
    /// The pipe by which a band of a stack begins.
    units: BTreeMap<(usize, RunIx), PieceIx>,
    /// The band of each joint, by its index.
    band: Vec<usize>,
    /// Vent joints that stand in a band without the drains that they rise from, by what they
    /// stand beside there.
    through: BTreeMap<Root, Vec<JointIx>>,
    /// The same joints.
    alone: BTreeSet<JointIx>,
}

impl Bands {
    /// Cuts all stacks just below the branches of some floors, lowest first.
    pub fn of(net: &Network, base: &Base, bounds: Vec<FloorIx>) -> Self {
        let size = net.graph.node_indices().map(|j| j.index() + 1).max();
        let mut bands = Bands {
            bounds,
            band: vec![0; size.unwrap_or(0)],
            ..Bands::default()
        };
        if bands.bounds.is_empty() {
            return bands;
        }
        let mut drains: Vec<JointIx> = net.graph.node_indices().collect();
        drains.retain(|&j| vent_at(net, j).is_none());
        drains.sort_by_key(|&j| base.tree.place(j));
        let mut stack_of: Vec<Option<RunIx>> = vec![None; bands.band.len()];
        for &j in &drains {
            let Some((down, to)) = base.tree.down(j).and_then(|p| Some((p, net.to(p)?))) else {
                continue;
            };
            let run = net.graph[down].run;
            if net.is_stack(run) && net.runs[run.0].pieces.first() == Some(&down) {
                bands.cut(net, base, run, bands.band[to.index()]);
            }
            let below = bands.band[to.index()];
            bands.band[j.index()] = bands.cuts.get(&down).copied().unwrap_or(below);
            stack_of[j.index()] = match net.is_stack(run) {
                true => Some(run),
                false => stack_of[to.index()],
            };
        }
        bands.stand_vents(net, base, &stack_of);
        bands
    }

    /// Cuts a stack at every bound above the band that its foot stands in.
    fn cut(&mut self, net: &Network, base: &Base, stack: RunIx, foot: usize) {
        let pieces = &net.runs[stack.0].pieces;
        let floor = |p: PieceIx| {
            let j = net.from(p)?;
            match net.graph[j].kind {
                JointKind::Relief(f) | JointKind::OffsetFoot(f) => Some(f),
                // An offset is not cut: its upper end stands on the floor of its lower one.
                JointKind::OffsetHead => match net.to(p).map(|foot| net.graph[foot].kind) {
                    Some(JointKind::OffsetFoot(f)) => Some(f),
                    _ => base.tree.floor(j),
                },
                _ => base.tree.floor(j),
            }
        };
        for (k, &bound) in self.bounds.iter().enumerate().skip(foot) {
            let last_below = pieces
                .iter()
                .rposition(|&p| floor(p).is_some_and(|f| f < bound));
            let first = last_below.map_or(0, |i| i + 1);
            let goes_on = |p: &&PieceIx| floor(**p).is_some_and(|f| f >= bound);
            let (Some(&piece), Some(_)) = (
                pieces.get(first),
                pieces[first.min(pieces.len())..].iter().find(goes_on),
            ) else {
                continue;
            };
            // Where a band has nothing of the stack, the stack goes on in the one above it.
            if let Some(was) = self.cuts.insert(piece, k + 1) {
                self.units.remove(&(was, stack));
            }
            self.units.insert((k + 1, stack), piece);
        }
    }

    /// The band of every vent joint, and those that no drain of their band carries.
    fn stand_vents(&mut self, net: &Network, base: &Base, stack_of: &[Option<RunIx>]) {
        let feet: BTreeMap<JointIx, RunIx> =
            net.vent_stacks.iter().map(|(r, j)| (*j, *r)).collect();
        let mut homes: BTreeMap<JointIx, Root> = BTreeMap::new();
        let mut loose: Vec<(JointIx, Root)> = Vec::new();
        for v in net.graph.node_indices() {
            let Some(at) = vent_at(net, v) else { continue };
            let (own, stack, beside) = match at.column {
                Column::Over(j) | Column::Beside(j) => {
                    let stack = feet.get(&j).copied().or(stack_of[j.index()]);
                    (self.band[j.index()], stack, j)
                }
                Column::Riser(run) => {
                    let riser = base.risers.binary_search_by_key(&run, |r| r.run);
                    let Some(riser) = riser.ok().and_then(|i| base.risers.get(i)) else {
                        continue;
                    };
                    let foot = net.runs[riser.stack].pieces.first();
                    let foot = foot.and_then(|p| net.to(*p));
                    let own = foot.map_or(0, |j| self.band[j.index()]);
                    (own, Some(RunIx(riser.stack)), riser.over)
                }
            };
            let band = self.of_level(at.level).unwrap_or(own).max(own);
            self.band[v.index()] = band;
            let unit = stack.and_then(|s| self.units.get(&(band, s)).copied());
            let rises = match at.column {
                // It stands beside its own stack wherever that has a part in the band.
                Column::Riser(_) => band > own && unit.is_none(),
                _ => band > own,
            };
            match unit.map(Root::Cut) {
                Some(root) if rises => self.stand(v, root),
                Some(root) => {
                    homes.insert(v, root);
                }
                None if rises => {
                    let near = || self.nearest(net, base, band, beside);
                    let stack = stack.or_else(|| near().map(|p| net.graph[p].run));
                    loose.extend(stack.map(|stack| (v, Root::Vents { band, stack })));
                }
                None => {}
            }
        }
        for (root, joints) in &self.through {
            homes.extend(joints.iter().map(|v| (*v, *root)));
        }
        // What has no stack in its band stands with what it leads to there, else by itself.
        let own: BTreeMap<JointIx, Root> = loose.iter().copied().collect();
        let mut done: BTreeSet<JointIx> = BTreeSet::new();
        for (v, vents) in loose {
            let mut group = vec![v];
            let mut root = None;
            let mut at = 0;
            while let Some(&u) = group.get(at) {
                at += 1;
                for w in net.graph.neighbors_undirected(u) {
                    if self.band[w.index()] != self.band[u.index()] {
                        continue;
                    }
                    root = root.or(homes.get(&w).copied());
                    if own.contains_key(&w) && !group.contains(&w) {
                        group.push(w);
                    }
                }
            }
            for u in group.into_iter().filter(|u| done.insert(*u)) {
                self.stand(u, root.unwrap_or(vents));
            }
        }
    }

    /// Lets a vent joint stand beside what begins a band, without the drains that it rises from.
    fn stand(&mut self, vent: JointIx, root: Root) {
        self.through.entry(root).or_default().push(vent);
        self.alone.insert(vent);
    }

    /// The cut pipe of a band whose stack stands nearest to a joint of the drains.
    fn nearest(&self, net: &Network, base: &Base, band: usize, to: JointIx) -> Option<PieceIx> {
        let here = i64::from(base.tree.place(to));
        let all = self.units.iter().filter(|((b, _), _)| *b == band);
        let far = |(_, p): &(&(usize, RunIx), &PieceIx)| {
            let foot = net.runs[net.graph[**p].run.0].pieces.first();
            let foot = foot.and_then(|p| net.from(*p));
            foot.map_or(i64::MAX, |j| (i64::from(base.tree.place(j)) - here).abs())
        };
        all.min_by_key(far).map(|(_, p)| *p)
    }

    fn of_level(&self, level: VentLevel) -> Option<usize> {
        match level {
            VentLevel::AboveRim(f) | VentLevel::Relief(f) => Some(self.of_floor(f)),
            VentLevel::Roof => Some(self.bounds.len()),
            VentLevel::Foot | VentLevel::UnderFloor(_) | VentLevel::UnderCounter(_) => None,
        }
    }

    /// The lowest floor of each band but the first.
    pub fn bounds(&self) -> &[FloorIx] {
        &self.bounds
    }
    /// The band in which a floor stands.
    pub fn of_floor(&self, floor: FloorIx) -> usize {
        self.bounds.iter().filter(|b| **b <= floor).count()
    }
    /// The band in which a joint stands.
    pub fn of_joint(&self, joint: JointIx) -> usize {
        self.band.get(joint.index()).copied().unwrap_or(0)
    }
    /// The pipes of stacks that are cut, each with the band that lies upstream of it.
    pub fn cuts(&self) -> &BTreeMap<PieceIx, usize> {
        &self.cuts
    }
    /// Vent joints that come up from drains of a lower band beside what begins here.
    pub fn through(&self, root: Root) -> &[JointIx] {
        self.through.get(&root).map_or(&[], Vec::as_slice)
    }
    /// Where vents come up into a band that has nothing else of their stack.
    pub fn vents(&self) -> impl Iterator<Item = Root> + '_ {
        let all = self.through.keys().copied();
        all.filter(|r| matches!(r, Root::Vents { .. }))
    }
    /// Whether a vent joint stands in its band without the drains that it rises from.
    pub fn is_through(&self, vent: JointIx) -> bool {
        self.alone.contains(&vent)
    }
    /// Whether a vent goes on from one band to another.
    pub fn cuts_vent(&self, net: &Network, piece: PieceIx) -> bool {
        let ends = net.graph.edge_endpoints(piece);
        let vent = net
            .graph
            .edge_weight(piece)
            .is_some_and(|p| p.system == System::Vent);
        vent && ends.is_some_and(|(a, b)| self.of_joint(a) != self.of_joint(b))
    }
    /// The vents that go on from one band to another.
    pub fn vents_cut(&self, net: &Network) -> Vec<PieceIx> {
        let all = net.graph.edge_indices();
        all.filter(|e| self.cuts_vent(net, *e)).collect()
    }
}
