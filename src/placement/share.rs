//! What of the drains stands on one sheet, and how a drawing too large for one is shared out.

use std::collections::{BTreeMap, BTreeSet};

use super::bands::Bands;
use super::columns::Base;
use super::grow::vent_at;
use super::tree::Tree;
use crate::network::{Column, JointIx, JointKind, Network, PieceIx, RunIx, RunKind, System};

/// Where a share begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Root {
    /// At an exit.
    Exit(JointIx),
    /// At a cut across this pipe, with all upstream of it.
    Cut(PieceIx),
    /// At the vents of a stack that come up into a band of floors without it.
    Vents {
        /// The band.
        band: usize,
        /// The stack.
        stack: RunIx,
    },
}

impl Root {
    /// The lowest joint of the drains in it.
    pub fn first(self, net: &Network) -> Option<JointIx> {
        match self {
            Root::Exit(joint) => Some(joint),
            Root::Cut(piece) => net.from(piece),
            Root::Vents { .. } => None,
        }
    }
    /// Where it comes in the walk from the exits up.
    fn place(self, net: &Network, tree: &Tree) -> (u8, u32) {
        let place = self.first(net).map_or(0, |j| tree.place(j));
        match self {
            Root::Exit(_) => (0, place),
            Root::Cut(_) => (1, place),
            Root::Vents { .. } => (2, 0),
        }
    }
}

/// What stands on one sheet: everything upstream of its root, as far as the cuts.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Share {
    /// Where it begins.
    pub root: Root,
    /// Pipes that are cut: what lies upstream of them stands on other sheets.
    pub cuts: BTreeSet<PieceIx>,
}

/// A pipe that may be cut: nothing but this pipe joins what lies upstream of it to the rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cuttable {
    /// The pipe.
    pub piece: PieceIx,
    /// The joint at its upstream end.
    pub joint: JointIx,
    /// Joints of the drains upstream of it.
    pub weight: usize,
}

/// The pipes of the drains that may be cut, in the order of the walk from the exits up: level
/// drains, and stacks at their base, where no vent of the same band leads across.
pub fn cuttable(net: &Network, base: &Base, bands: &Bands) -> Vec<Cuttable> {
    let tree = &base.tree;
    let crossed = crossed(net, tree, bands);
    let mut found = Vec::new();
    for piece in net.graph.edge_indices() {
        let (Some(from), Some(to)) = (net.from(piece), net.to(piece)) else {
            continue;
        };
        let at_base = net.graph[to].kind == JointKind::StackBase;
        let whole = match net.runs[net.graph[piece].run.0].kind {
            RunKind::BuildingDrain | RunKind::BuildingBranch | RunKind::Branch => true,
            RunKind::Stack => at_base,
            _ => false,
        };
        let at_exit = net.graph[to].kind == JointKind::Exit;
        if net.graph[piece].system == System::Waste
            && whole
            && !at_exit
            && !crossed.contains(&piece)
            && !bands.cuts().contains_key(&piece)
        {
            found.push(Cuttable {
                piece,
                joint: from,
                weight: tree.weight(from),
            });
        }
    }
    found.sort_by_key(|c| tree.place(c.joint));
    found
}

/// Pipes of the drains past which some vent leads that stands in one band with what it vents.
pub fn crossed(net: &Network, tree: &Tree, bands: &Bands) -> BTreeSet<PieceIx> {
    let mut stands: BTreeMap<RunIx, JointIx> = BTreeMap::new();
    let over = |v: JointIx| match vent_at(net, v).map(|at| at.column) {
        Some(Column::Over(j) | Column::Beside(j)) => Some(j),
        Some(Column::Riser(_)) => None,
        None => Some(v),
    };
    let riser = |v: JointIx| match vent_at(net, v).map(|at| at.column) {
        Some(Column::Riser(run)) => Some(run),
        _ => None,
    };
    let vents = || {
        net.graph
            .edge_indices()
            .filter(|&e| net.graph[e].system == System::Vent)
    };
    // A riser stands with the drains that its first vent comes from.
    for e in vents() {
        let (Some(a), Some(b)) = (net.from(e), net.to(e)) else {
            continue;
        };
        for (v, other) in [(a, b), (b, a)] {
            if let (Some(run), Some(j)) = (riser(v), over(other)) {
                stands.entry(run).or_insert(j);
            }
        }
    }
    let anchor = |v: JointIx| over(v).or_else(|| stands.get(&riser(v)?).copied());
    let mut crossed = BTreeSet::new();
    for e in vents() {
        if bands.cuts_vent(net, e) {
            continue;
        }
        let ends = (net.from(e).and_then(anchor), net.to(e).and_then(anchor));
        let (Some(a), Some(b)) = ends else { continue };
        let Some(meet) = tree.meet(net, a, b) else {
            continue;
        };
        for end in [a, b] {
            let mut at = end;
            while at != meet {
                let Some(piece) = tree.down(at) else { break };
                crossed.insert(piece);
                match net.to(piece) {
                    Some(next) => at = next,
                    None => break,
                }
            }
        }
    }
    crossed
}

/// What weighs so many times as much as the heaviest that fits a sheet does not fit.
const HOPELESS: usize = 4;

/// Shares some parts of a drawing out: cuts what fits on a sheet of its own off what does not. `fills` says how
/// much of a sheet a share takes, 1 for all of it.
pub fn share_out(
    net: &Network,
    base: &Base,
    bands: &Bands,
    roots: Vec<Share>,
    fills: &mut dyn FnMut(&Share) -> f64,
) -> Vec<Share> {
    let tree = &base.tree;
    let all = cuttable(net, base, bands);
    let mut done: Vec<Share> = Vec::new();
    let mut waiting = roots;
    // The heaviest that fitted a sheet so far; what weighs many times as much is not tried.
    let mut heaviest: Option<usize> = None;
    let most = |heaviest: Option<usize>| heaviest.map_or(usize::MAX, |h| h * HOPELESS);
    // What each root filled when it was last tried, and its weight then.
    let mut tried: BTreeMap<Root, (f64, usize)> = BTreeMap::new();
    let mut fills = |share: &Share| {
        let weight = share.weight(net, tree);
        if let Some((fill, was)) = tried.get(&share.root) {
            let now = fill * weight as f64 / (*was).max(1) as f64;
            // A little less on a sheet far too full leaves it too full.
            if now * 0.7 > 1.0 {
                return now;
            }
        }
        let fill = fills(share);
        tried.insert(share.root, (fill, weight));
        fill
    };
    while let Some(mut share) = waiting.pop() {
        if share.weight(net, tree) <= most(heaviest) && fills(&share) <= 1.0 {
            let weight = share.weight(net, tree);
            heaviest = heaviest.map_or(Some(weight), |h: usize| Some(h.max(weight)));
            done.push(share);
            continue;
        }
        let cuts = Cuts::of(&share, net, tree);
        let within: Vec<Cuttable> = all
            .iter()
            .filter(|c| cuts.has(tree, c.joint) && Root::Cut(c.piece) != share.root)
            .copied()
            .collect();
        let best = best_cut(
            (&share, &cuts),
            &within,
            most(heaviest),
            &mut fills,
            net,
            tree,
        );
        let Some(cut) = best else {
            // It cannot be cut.
            done.push(share);
            continue;
        };
        let above = Share {
            root: Root::Cut(cut.piece),
            cuts: share.cuts_above(net, tree, cut.joint),
        };
        share.cuts.retain(|c| !above.cuts.contains(c));
        share.cuts.insert(cut.piece);
        waiting.extend([share, above]);
    }
    done = rejoin(done, heaviest, &mut fills, net, tree);
    // In the order of the walk from the exits up.
    done.sort_by_key(|s| s.root.place(net, tree));
    done
}

/// Up to so many sheets a cut is looked for that makes two do.
const FEW: usize = 3;
/// So many cuts that fit are tried for it.
const PAIRS: usize = 6;
/// Shares that weigh together so much more than the heaviest that fitted are not tried as one.
const HEAVIER: f64 = 1.25;

/// Takes back every cut whose two sides fit on one sheet after all.
fn rejoin(
    mut shares: Vec<Share>,
    heaviest: Option<usize>,
    fills: &mut dyn FnMut(&Share) -> f64,
    net: &Network,
    tree: &Tree,
) -> Vec<Share> {
    let most = heaviest.map_or(0.0, |h| h as f64 * HEAVIER);
    // From the outermost shares in, so that small ones gather on what they flow to.
    shares.sort_by_key(|s| s.root.place(net, tree));
    let mut at = shares.len();
    while at > 0 {
        at -= 1;
        let Root::Cut(piece) = shares[at].root else {
            continue;
        };
        let Some(below) = shares.iter().position(|s| s.cuts.contains(&piece)) else {
            continue;
        };
        let mut both = shares[below].clone();
        both.cuts.remove(&piece);
        both.cuts.extend(&shares[at].cuts);
        if both.weight(net, tree) as f64 <= most && fills(&both) <= 1.0 {
            shares[below] = both;
            shares.remove(at);
        }
    }
    shares
}

/// The cut that leaves both sides of a share about evenly full, if what lies upstream of it fits on
/// a sheet; else the one with the least upstream of it that does not.
fn best_cut(
    (share, cuts): (&Share, &Cuts),
    within: &[Cuttable],
    most: usize,
    fills: &mut dyn FnMut(&Share) -> f64,
    net: &Network,
    tree: &Tree,
) -> Option<Cuttable> {
    let above = |c: &Cuttable| Share {
        root: Root::Cut(c.piece),
        cuts: share.cuts_above(net, tree, c.joint),
    };
    let mut by_weight: Vec<(usize, Cuttable)> = within
        .iter()
        .map(|c| (cuts.weight_above(tree, c.joint), *c))
        .collect();
    by_weight.sort_by_key(|(w, c)| (std::cmp::Reverse(*w), tree.place(c.joint)));
    // The heaviest that fits on a sheet says how many sheets it takes.
    let mut at = by_weight.iter().take_while(|(w, _)| *w > most).count();
    let mut too_large = at.checked_sub(1).and_then(|i| by_weight.get(i));
    let mut fitting = None;
    while let Some((w, c)) = by_weight.get(at) {
        let fill = fills(&above(c));
        if fill <= 1.0 {
            fitting = Some(*w);
            break;
        }
        too_large = by_weight.get(at);
        // On to a weight that promises to fit, by how much this one is too large.
        let goal = (*w as f64 / fill.clamp(1.05, 4.0)) as usize;
        let heavier = by_weight[at..].iter().take_while(|(w, _)| *w > goal);
        at += heavier.count().max(1);
    }
    let Some(fitting) = fitting else {
        return too_large.map(|(_, c)| *c);
    };
    let whole = share.weight(net, tree);
    let sheets = whole.div_ceil(fitting.max(1)).max(2);
    let even = whole / sheets;
    let mut near: Vec<(usize, Cuttable)> = by_weight;
    near.retain(|(w, _)| *w <= fitting);
    near.sort_by_key(|(w, c)| (w.abs_diff(even), tree.place(c.joint)));
    // Where a few sheets do, two may: by the cut that leaves the rest on one of them.
    let rest = |c: &Cuttable| {
        let mut rest = share.clone();
        rest.cuts.retain(|p| !above(c).cuts.contains(p));
        rest.cuts.insert(c.piece);
        rest
    };
    let (mut first, mut pairs) = (None, 0);
    for (_, c) in near {
        if fills(&above(&c)) > 1.0 {
            continue;
        }
        if sheets > FEW || fills(&rest(&c)) <= 1.0 {
            return Some(c);
        }
        first = first.or(Some(c));
        pairs += 1;
        if pairs == PAIRS {
            break;
        }
    }
    first
}

/// The cuts of a share in the order of the walk from the exits up, none upstream of another.
struct Cuts {
    root: Option<JointIx>,
    /// The joint upstream of each.
    joints: Vec<JointIx>,
    /// The weight of all before each, and of all.
    before: Vec<usize>,
}

impl Cuts {
    fn of(share: &Share, net: &Network, tree: &Tree) -> Cuts {
        let mut joints: Vec<JointIx> = share.cuts.iter().filter_map(|&p| net.from(p)).collect();
        joints.sort_by_key(|j| tree.place(*j));
        let mut before = vec![0];
        let mut sum = 0;
        for j in &joints {
            sum += tree.weight(*j);
            before.push(sum);
        }
        Cuts {
            root: share.root.first(net),
            joints,
            before,
        }
    }
    /// Whether a joint of the drains stands in the share.
    fn has(&self, tree: &Tree, joint: JointIx) -> bool {
        let within = self.root.is_some_and(|r| tree.upstream_of(joint, r));
        let after = |j: &JointIx| tree.place(*j) <= tree.place(joint);
        let last = self.joints.partition_point(after).checked_sub(1);
        let last = last.and_then(|i| self.joints.get(i));
        within && !last.is_some_and(|j| tree.upstream_of(joint, *j))
    }
    /// Joints of the drains of the share that lie upstream of one of them.
    fn weight_above(&self, tree: &Tree, joint: JointIx) -> usize {
        let start = (self.joints).partition_point(|j| tree.place(*j) < tree.place(joint));
        let above = self.joints.get(start..).unwrap_or_default();
        let end = start + above.partition_point(|j| tree.upstream_of(*j, joint));
        let sum = |i: usize| self.before.get(i).copied().unwrap_or_default();
        let cut = sum(end) - sum(start);
        tree.weight(joint).saturating_sub(cut)
    }
}

impl Share {
    /// Everything upstream of an exit.
    pub fn whole(exit: JointIx) -> Self {
        Share {
            root: Root::Exit(exit),
            cuts: BTreeSet::new(),
        }
    }
    /// Its cuts that lie upstream of a joint.
    fn cuts_above(&self, net: &Network, tree: &Tree, joint: JointIx) -> BTreeSet<PieceIx> {
        let above = |p: &&PieceIx| net.from(**p).is_some_and(|j| tree.upstream_of(j, joint));
        self.cuts.iter().filter(above).copied().collect()
    }
    /// Joints of the drains in it.
    fn weight(&self, net: &Network, tree: &Tree) -> usize {
        let root = self.root.first(net);
        let cut: usize = self
            .cuts
            .iter()
            .filter_map(|&p| net.from(p))
            .map(|j| tree.weight(j))
            .sum();
        root.map_or(0, |r| tree.weight(r)).saturating_sub(cut)
    }
}
