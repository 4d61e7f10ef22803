//! Where the symbols of a set of sheets stand, each by what it stands for, and from the foot of its
//! stack.

use std::collections::{BTreeMap, BTreeSet};

use kurbo::{BezPath, Point, Rect, Shape as _, Vec2};
use petgraph::Direction;
use petgraph::visit::EdgeRef;
use stackfall::network::{JointIx, Network, PieceIx, System};
use stackfall::pipeline::Run;
use stackfall::sheets::{Item, Role, Sheet};

/// A symbol on its sheet.
#[derive(Clone, Debug)]
pub struct Place {
    /// The number of its sheet.
    pub sheet: String,
    /// The middle of it, mm.
    pub at: Point,
    /// The same from the foot of its stack, or from the exit where it stands on none: where that is
    /// drawn on another sheet, from the lowest that this one shows of it. None for the foot itself.
    pub from_foot: Option<Vec2>,
}

/// The symbols of a set, by kind and by the thing or the joint that each stands for. Match marks
/// stand for nothing of the job and are left out.
pub fn places(run: &Run) -> BTreeMap<String, Place> {
    let net = &run.net;
    let joints: BTreeMap<&str, JointIx> = (net.graph.node_indices())
        .map(|j| (net.graph[j].id.as_str(), j))
        .collect();
    let mut all = BTreeMap::new();
    for sheet in &run.sheets.sheets {
        let drawn = Drawn::on(net, sheet);
        let symbols = sheet.items.iter().filter(|i| i.role == Role::Symbol);
        for item in symbols.filter(|i| said(i, "kind") != "match") {
            let key = match said(item, "kind") {
                "fixture" => item.id.clone(),
                kind => format!("{kind}.{}", said(item, "for")),
            };
            let at = hull(item).center();
            let foot = joints.get(said(item, "for")).and_then(|j| drawn.foot(*j));
            let place = Place {
                sheet: sheet.number.clone(),
                at,
                from_foot: foot.map(|f| at - f),
            };
            all.insert(key, place);
        }
    }
    all
}

/// The value of a data attribute; empty for none.
pub fn said<'a>(item: &'a Item, key: &str) -> &'a str {
    let found = item.data.iter().find(|(k, _)| *k == key);
    found.map_or("", |(_, v)| v.as_str())
}

/// The box round an item's shapes.
pub fn hull(item: &Item) -> Rect {
    let boxes = item.shapes.iter().map(|s| s.path.bounding_box());
    boxes.reduce(|a, b| a.union(b)).unwrap_or_default()
}

/// The pipes of a sheet.
struct Drawn<'a> {
    net: &'a Network,
    /// The downstream end of each.
    ends: BTreeMap<PieceIx, Point>,
}

impl<'a> Drawn<'a> {
    fn on(net: &'a Network, sheet: &Sheet) -> Self {
        let ids: BTreeMap<&str, PieceIx> = (net.graph.edge_indices())
            .map(|p| (net.graph[p].id.as_str(), p))
            .collect();
        let pipes = sheet.items.iter().filter(|i| i.role == Role::Pipe);
        let end = |i: &Item| Some((*ids.get(i.id.as_str())?, last(&i.shapes.first()?.path)?));
        Drawn {
            net,
            ends: pipes.filter_map(end).collect(),
        }
    }

    /// The drain that a vent joint stands over in the end.
    fn vented(&self, joint: JointIx) -> JointIx {
        let mut at = joint;
        let mut seen = BTreeSet::new();
        while self.net.downstream(at).is_none() && seen.insert(at) {
            let below = self.net.graph.edges_directed(at, Direction::Incoming);
            let vents = below.filter(|e| e.weight().system == System::Vent);
            let Some(first) = vents.min_by_key(|e| e.id()) else {
                break;
            };
            at = first.source();
        }
        at
    }

    /// The foot of the stack that a joint is on, as low as it is drawn on this sheet.
    fn foot(&self, joint: JointIx) -> Option<Point> {
        let mut at = self.vented(joint);
        let mut stack = None;
        let mut foot = None;
        while let Some(piece) = self.net.downstream(at) {
            let run = self.net.graph[piece].run;
            if stack.is_some_and(|s| s != run) {
                break;
            }
            if self.net.is_stack(run) {
                stack = Some(run);
            }
            foot = self.ends.get(&piece).copied().or(foot);
            at = self.net.to(piece)?;
        }
        foot
    }
}

fn last(path: &BezPath) -> Option<Point> {
    path.elements().last().and_then(|e| e.end_point())
}
