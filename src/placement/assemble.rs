//! From the grown block to a placement: every pipe as a path in the drawing's space, every label,
//! symbol and mark where it stands.

use std::collections::{BTreeMap, BTreeSet};

use kurbo::Rect;

use super::block::{Block, PlacedLabel, PlacedMark, PlacedSymbol};
use super::grow::{BESIDE, Grower, vent_at};
use super::lengths::Lengths;
use crate::network::{Column, JointIx, Network, PieceIx, System, VentAt};
use crate::projection::{Corner, Space, Way};

/// One pipe, placed.
#[derive(Clone, Debug)]
pub struct PlacedPipe {
    /// The piece.
    pub piece: PieceIx,
    /// Its path, from its upstream joint to its downstream joint (a vent: to the open air).
    pub path: Vec<Space>,
    /// For each stretch of the path: whether it carries the 45° hatch.
    pub hatched: Vec<bool>,
}

/// The key of a label whose words stand in the sheet's keyed notes.
#[derive(Clone, Debug)]
pub struct PlacedKey {
    /// Its number on the sheet, from one.
    pub number: usize,
    /// Where the key stands.
    pub label: PlacedLabel,
}

impl PlacedKey {
    /// The key as printed.
    pub fn printed(number: impl std::fmt::Display) -> String {
        format!("#{number}")
    }
}

/// A drawing, placed in its own frame; a sheet moves it as a whole.
#[derive(Clone, Debug)]
pub struct Placement {
    /// The corner it is seen from.
    pub corner: Corner,
    /// The joints of the drains, and of risers, that stand in it.
    pub joints: BTreeSet<JointIx>,
    /// Its pipes.
    pub pipes: Vec<PlacedPipe>,
    /// Its labels.
    pub labels: Vec<PlacedLabel>,
    /// The keys of those labels that found no place.
    pub keyed: Vec<PlacedKey>,
    /// Its symbols.
    pub symbols: Vec<PlacedSymbol>,
    /// Its floor marks.
    pub marks: Vec<PlacedMark>,
    /// The box round everything.
    pub bounds: Rect,
    /// What its lengths are.
    pub lengths: Lengths,
}

impl Placement {
    /// A drawing of nothing.
    pub fn empty(corner: Corner) -> Self {
        Placement {
            corner,
            joints: BTreeSet::new(),
            pipes: Vec::new(),
            labels: Vec::new(),
            keyed: Vec::new(),
            symbols: Vec::new(),
            marks: Vec::new(),
            bounds: Rect::ZERO,
            lengths: Lengths::default(),
        }
    }
}

/// Makes the placement of a grown block.
pub fn assemble(grower: &Grower<'_>, block: &Block, corner: Corner) -> Placement {
    let net = grower.net;
    let flat = flatten(block);
    let mut places = vec![
        None;
        net.graph
            .node_indices()
            .map(|j| j.index() + 1)
            .max()
            .unwrap_or(0)
    ];
    let joints = flat.joints.iter().map(|(j, _)| *j).collect();
    for (j, s) in flat.joints {
        places[j.index()] = Some(s);
    }
    let mut legs: BTreeMap<PieceIx, BTreeMap<usize, Space>> = BTreeMap::new();
    for (p, i, s) in flat.legs {
        legs.entry(p).or_default().insert(i, s);
    }
    let trail = Trail {
        grower,
        places: &places,
        legs: &legs,
        cuts: flat.cuts.into_iter().collect(),
        aside: flat.bends.into_iter().collect(),
    };
    let mut pipes = Vec::new();
    for piece in net.graph.edge_indices() {
        if grower.is_hidden(piece) {
            continue;
        }
        let path = match net.graph[piece].system {
            System::Waste => trail.waste(piece),
            System::Vent => trail.vent(piece),
        };
        let Some(path) = path else { continue };
        let hatched = trail.hatches(piece, &path);
        pipes.push(PlacedPipe {
            piece,
            path,
            hatched,
        });
    }
    let mut bounds = block.bounds();
    for p in pipes.iter().flat_map(|p| &p.path) {
        let q = p.point();
        let round = Rect::from_points(q, q).inflate(1.0, 1.0);
        bounds = Some(bounds.map_or(round, |b| b.union(round)));
    }
    Placement {
        corner,
        joints,
        pipes,
        labels: flat.labels,
        keyed: Vec::new(),
        symbols: flat.symbols,
        marks: flat.marks,
        bounds: bounds.unwrap_or_default(),
        lengths: Lengths {
            scale: grower.scale,
            heights: grower.heights.clone(),
        },
    }
}

/// All things of a block, where they stand in it; in an order that does not tell how it grew.
fn flatten(block: &Block) -> Block {
    let mut flat = Block::default();
    block.walk(Space::default(), &mut |b, at| {
        let by = at.paper();
        let joints = b.joints.iter().map(|(j, s)| (*j, *s + at));
        flat.joints.extend(joints);
        let legs = b.legs.iter().map(|(p, i, s)| (*p, *i, *s + at));
        flat.legs.extend(legs);
        flat.cuts.extend(b.cuts.iter().map(|(p, s)| (*p, *s + at)));
        flat.bends
            .extend(b.bends.iter().map(|(p, s)| (*p, *s + at)));
        flat.labels.extend(b.labels.iter().map(|l| PlacedLabel {
            at: l.at + by,
            leader: l.leader.map(|(a, b)| (a + by, b + by)),
            ..l.clone()
        }));
        flat.symbols.extend(b.symbols.iter().map(|s| PlacedSymbol {
            at: s.at + by,
            ..s.clone()
        }));
        flat.marks.extend(b.marks.iter().map(|m| PlacedMark {
            at: m.at + by,
            text_at: m.text_at + by,
            ..m.clone()
        }));
    });
    flat.labels.sort_by_key(|l| l.caption);
    flat.symbols.sort_by_key(|s| s.symbol);
    let across = |m: &PlacedMark| (m.floor, m.at.x, m.at.y);
    flat.marks.sort_by(|a, b| {
        let ((f, x, y), (g, u, v)) = (across(a), across(b));
        f.cmp(&g).then(x.total_cmp(&u)).then(y.total_cmp(&v))
    });
    flat
}

struct Trail<'a> {
    grower: &'a Grower<'a>,
    places: &'a [Option<Space>],
    legs: &'a BTreeMap<PieceIx, BTreeMap<usize, Space>>,
    cuts: BTreeMap<PieceIx, Space>,
    /// Where pipes reach the lanes beside their stacks.
    aside: BTreeMap<PieceIx, Space>,
}

impl Trail<'_> {
    fn net(&self) -> &Network {
        self.grower.net
    }
    fn place(&self, joint: JointIx) -> Option<Space> {
        self.places[joint.index()]
    }

    /// A drain's path, upstream end first.
    fn waste(&self, piece: PieceIx) -> Option<Vec<Space>> {
        let cut = || self.cuts.get(&piece).copied();
        let from = self.place(self.net().from(piece)?).or_else(cut)?;
        let to = self.place(self.net().to(piece)?).or_else(cut)?;
        if from == to {
            return None;
        }
        let mut path = vec![from];
        path.extend(self.bends(piece));
        path.push(to);
        Some(path)
    }

    /// The bends of a drain between its ends, upstream first.
    fn bends(&self, piece: PieceIx) -> Vec<Space> {
        let legs = self.legs.get(&piece);
        // The last leg ends at the upstream joint itself.
        let ends = legs.into_iter().flat_map(|l| l.values().rev().skip(1));
        ends.chain(self.aside.get(&piece)).copied().collect()
    }

    /// Which stretches of a path are hatched.
    fn hatches(&self, piece: PieceIx, path: &[Space]) -> Vec<bool> {
        let waste = self.net().graph[piece].system == System::Waste;
        let aside = usize::from(self.aside.contains_key(&piece));
        let n = path.len().saturating_sub(1);
        let hatched = |i: usize| {
            // Paths run downstream, legs upstream.
            let leg = (n - 1 - i).checked_sub(aside)?;
            self.grower.ways.get(&(piece, leg)).map(|w| w.hatched)
        };
        (0..n)
            .map(|i| waste && hatched(i).unwrap_or(false))
            .collect()
    }

    /// The place of a vent joint.
    fn vent_place(&self, joint: JointIx) -> Option<Space> {
        let Some(at) = vent_at(self.net(), joint) else {
            return self.place(joint);
        };
        match at.column {
            Column::Riser(_) => self.place(joint),
            Column::Over(j) => {
                let p = self.place(j)?;
                Some(Space::new(p.x, p.y, self.grower.vent_height(at, p.z)))
            }
            Column::Beside(j) => {
                let (foot, way) = self.beside(j)?;
                let p = foot + way.reversed().unit() * BESIDE;
                Some(Space::new(p.x, p.y, self.grower.vent_height(at, p.z)))
            }
        }
    }

    /// The level drain at a joint: the foot of its drop, and the way of the drain that leaves it.
    fn beside(&self, joint: JointIx) -> Option<(Space, Way)> {
        let mut at = joint;
        for _ in 0..4 {
            let piece = self.grower.tree.down(at)?;
            let way = self.grower.ways.get(&(piece, 0))?.way;
            if !way.is_vertical() {
                return Some((self.place(at)?, way));
            }
            at = self.net().to(piece)?;
        }
        None
    }

    /// A vent's path: straight up in one column, or above the drains between two.
    fn vent(&self, piece: PieceIx) -> Option<Vec<Space>> {
        let (a, b) = (self.net().from(piece)?, self.net().to(piece)?);
        let (pa, pb) = (self.vent_place(a)?, self.vent_place(b)?);
        let flat = |p: Space, z: f64| Space::new(p.x, p.y, z);
        if (pa - flat(pb, pa.z)).paper().hypot() < 1e-6 {
            return Some(vec![pa, pb]);
        }
        let (ca, cb) = (self.column(a), self.column(b));
        let mut path = vec![pa];
        // A vent goes across at the higher of its two levels.
        let z = pa.z.max(pb.z);
        if pa.z < z - 1e-6 {
            path.push(flat(pa, z));
        }
        match (ca, cb) {
            (Some(ja), Some(jb)) => {
                for p in self.between(ja, jb) {
                    path.push(flat(p, z));
                }
            }
            _ => {
                // To or from a riser.
                let run = |v| match vent_at(self.net(), v).map(|at| at.column) {
                    Some(Column::Riser(run)) => Some(run),
                    _ => None,
                };
                let riser = run(a).or(run(b)).and_then(|r| self.grower.riser_of(r));
                let ((foot, column), over) = match ca {
                    None => ((pa, pb), cb),
                    Some(_) => ((pb, pa), ca),
                };
                if let (Some(riser), Some(over)) = (riser, over) {
                    let (foot, column) = (flat(foot, 0.0), flat(column, 0.0));
                    let turns = self.grower.riser_turns(riser, foot, over, column);
                    let mut turns = turns.map(|p| flat(p, z));
                    if ca.is_none() {
                        turns.reverse();
                    }
                    path.extend(turns);
                }
            }
        }
        path.push(flat(pb, z));
        path.push(pb);
        Some(straighten(path))
    }

    fn column(&self, joint: JointIx) -> Option<JointIx> {
        match vent_at(self.net(), joint) {
            Some(VentAt {
                column: Column::Over(j) | Column::Beside(j),
                ..
            }) => Some(j),
            Some(_) => None,
            None => Some(joint),
        }
    }

    /// Corners of the drains' path from one joint to another, both left out.
    fn between(&self, a: JointIx, b: JointIx) -> Vec<Space> {
        let Some(meet) = self.grower.tree.meet(self.net(), a, b) else {
            return Vec::new();
        };
        let mut path = self.down_to(a, meet);
        if a != meet && b != meet {
            path.extend(self.place(meet));
        }
        path.extend(self.down_to(b, meet).into_iter().rev());
        path
    }

    /// Corners of the drains from a joint down to another, both left out.
    fn down_to(&self, joint: JointIx, end: JointIx) -> Vec<Space> {
        let mut path = Vec::new();
        let mut at = joint;
        while at != end {
            if at != joint {
                path.extend(self.place(at));
            }
            let Some(piece) = self.grower.tree.down(at) else {
                break;
            };
            path.extend(self.bends(piece));
            match self.net().to(piece) {
                Some(next) => at = next,
                None => break,
            }
        }
        path
    }
}

/// Leaves out points that lie on the line between their neighbours.
fn straighten(path: Vec<Space>) -> Vec<Space> {
    let mut out: Vec<Space> = Vec::with_capacity(path.len());
    for p in path {
        if out.last().is_some_and(|q| near(*q, p)) {
            continue;
        }
        while out.len() > 1 {
            let (a, b) = (out[out.len() - 2], out[out.len() - 1]);
            if !on_line(a, b, p) {
                break;
            }
            out.pop();
        }
        out.push(p);
    }
    out
}

fn near(a: Space, b: Space) -> bool {
    let d = a - b;
    d.x.abs() + d.y.abs() + d.z.abs() < 1e-6
}

fn on_line(a: Space, b: Space, c: Space) -> bool {
    let (u, v) = (b - a, c - b);
    let cross = Space::new(
        u.y * v.z - u.z * v.y,
        u.z * v.x - u.x * v.z,
        u.x * v.y - u.y * v.x,
    );
    cross.x.abs() + cross.y.abs() + cross.z.abs() < 1e-6
}
