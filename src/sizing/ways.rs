//! Ways down the drains, and the drains that are wet vents.

use super::traps::kind_of;
use crate::job::Job;
use crate::levels::falls::is_vertical;
use crate::network::{JointIx, Network, PieceIx, RunIx, RunKind, Table, TrapIx, VentMethod};

/// Some pieces: a table that says of each only whether it is one of them.
#[derive(Clone, Debug, Default)]
pub struct Pieces(Table<PieceIx, ()>);

impl Pieces {
    /// Whether a piece is one of them.
    pub fn contains(&self, piece: &PieceIx) -> bool {
        self.0.contains_key(piece)
    }
}

impl FromIterator<PieceIx> for Pieces {
    fn from_iter<I: IntoIterator<Item = PieceIx>>(pieces: I) -> Self {
        Pieces(pieces.into_iter().map(|p| (p, ())).collect())
    }
}

/// Joints from here to the exit, each with the piece that leaves it.
pub fn way_down(net: &Network, from: JointIx) -> impl Iterator<Item = (JointIx, PieceIx)> + '_ {
    let mut at = Some(from);
    // A drain has no more pieces than the network; the bound is for a network with a cycle.
    (0..net.graph.edge_count()).map_while(move |_| {
        let joint = at?;
        let piece = net.downstream(joint)?;
        at = net.to(piece);
        Some((joint, piece))
    })
}

/// The runs of drain that the water of a joint goes through, each with the joint at its foot: as
/// many steps as there are runs, however many pieces they are cut into.
pub fn runs_down(net: &Network, from: JointIx) -> impl Iterator<Item = (RunIx, JointIx)> + '_ {
    let mut at = Some(from);
    // The bound is for a network with a cycle.
    (0..=net.runs.len()).map_while(move |_| {
        let run = net.graph.edge_weight(net.downstream(at?)?)?.run;
        let foot = net.to(*net.runs.get(run.0)?.pieces.first()?)?;
        at = Some(foot);
        Some((run, foot))
    })
}

/// So many pieces down two ways are followed side by side: most that meet do so sooner, and what
/// lies below, a building drain, may be long.
const NEAR: usize = 16;

/// The pieces from one joint down to where the way of another comes in.
pub fn way_to(net: &Network, from: JointIx, other: JointIx) -> Vec<PieceIx> {
    let near: Vec<JointIx> = way_down(net, other).take(NEAR).map(|(j, _)| j).collect();
    let met = way_down(net, from)
        .take(NEAR)
        .position(|(joint, _)| near.contains(&joint));
    match met {
        Some(met) => way_down(net, from).take(met).map(|(_, p)| p).collect(),
        None => way_to_far(net, from, other),
    }
}

/// The same wherever the two ways meet, and the whole way where they do not.
fn way_to_far(net: &Network, from: JointIx, other: JointIx) -> Vec<PieceIx> {
    // Both ways lead to the exit; from where as much is left of both they go side by side.
    let (own, others) = (way_down(net, from).count(), way_down(net, other).count());
    let mut beside = way_down(net, other).skip(others.saturating_sub(own));
    let mut way = Vec::new();
    for (i, (joint, piece)) in way_down(net, from).enumerate() {
        let level = i >= own.saturating_sub(others);
        if level && beside.next().is_some_and(|(j, _)| j == joint) {
            break;
        }
        way.push(piece);
    }
    way
}

/// The drain through which one trap is wet-vented by another's dry vent: from that vent's fitting
/// down to where the trap's own drain comes in. None for a trap that is not wet-vented.
pub fn wet_way(net: &Network, trap: TrapIx) -> Option<Vec<PieceIx>> {
    let trap = net.traps.get(trap.0)?;
    let VentMethod::Wet(by) = trap.vent else {
        return None;
    };
    let by = net.traps.get(by.0)?;
    let foot = by
        .vent_piece
        .and_then(|v| net.from(v))
        .or(by.vent_fitting)?;
    Some(way_to(net, foot, trap.vent_fitting.or(trap.joint)?))
}

/// All pieces of drain that are wet vents. `upright_apart`: an upright one has sizes of its own, and
/// the own drain of the fixture at its head is none.
pub fn wet_pieces(net: &Network, upright_apart: bool) -> Pieces {
    let way = |t: usize| match upright_apart && is_upright(net, TrapIx(t)) {
        true => shared_way(net, TrapIx(t)),
        false => wet_way(net, TrapIx(t)).unwrap_or_default(),
    };
    (0..net.traps.len()).flat_map(way).collect()
}

/// Whether a trap is wet-vented through upright drain alone, but for the own drain of the fixture
/// whose dry vent it is.
pub fn is_upright(net: &Network, trap: TrapIx) -> bool {
    let way = shared_way(net, trap);
    !way.is_empty() && way.iter().all(|p| is_vertical(net, *p))
}

/// The way through which a trap is wet-vented, without the own drains of fixtures.
fn shared_way(net: &Network, trap: TrapIx) -> Vec<PieceIx> {
    let own = |p: &PieceIx| {
        let run = net
            .graph
            .edge_weight(*p)
            .and_then(|p| net.runs.get(p.run.0));
        run.is_some_and(|r| matches!(r.kind, RunKind::FixtureDrain | RunKind::Arm))
    };
    let way = wet_way(net, trap).unwrap_or_default();
    way.into_iter().filter(|p| !own(p)).collect()
}

/// The drains that are wet vents and stand upright all the way.
pub fn upright_wet_pieces(net: &Network) -> Pieces {
    let upright = (0..net.traps.len()).filter(|t| is_upright(net, TrapIx(*t)));
    upright.flat_map(|t| shared_way(net, TrapIx(t))).collect()
}

/// How many traps each trap's dry vent serves as a wet vent.
pub fn wet_served(net: &Network) -> Table<TrapIx, usize> {
    let mut served = Table::new();
    for trap in &net.traps {
        if let VentMethod::Wet(by) = trap.vent {
            *served.or_default(by) += 1;
        }
    }
    served
}

/// Whether two traps share one vent at different levels: one is wet-vented upright by the other,
/// whose vent serves no third, and they are not both of a bathroom group. `served` is how many
/// each vent serves, [`wet_served`].
pub fn is_common_of_levels(
    job: &Job,
    net: &Network,
    served: &Table<TrapIx, usize>,
    trap: TrapIx,
) -> bool {
    let Some(VentMethod::Wet(by)) = net.traps.get(trap.0).map(|t| &t.vent).cloned() else {
        return false;
    };
    let bath = |t: TrapIx| {
        let fixture = net.traps.get(t.0).and_then(|t| job.fixtures.get(t.fixture));
        fixture.and_then(kind_of).is_some_and(|k| k.bath_group)
    };
    let alone = served.get(&by) == Some(&1);
    alone && !(bath(trap) && bath(by)) && is_upright(net, trap)
}

/// The upright drains between two such traps.
pub fn common_pieces(job: &Job, net: &Network) -> Pieces {
    let served = wet_served(net);
    (0..net.traps.len())
        .filter(|t| is_common_of_levels(job, net, &served, TrapIx(*t)))
        .flat_map(|t| shared_way(net, TrapIx(t)))
        .collect()
}
