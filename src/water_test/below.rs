//! The drains below ground by themselves: what is closed at their own ends, and where the standpipe
//! stands that fills them.

use std::collections::{BTreeMap, BTreeSet};

use super::filling::Pipe;
use super::gather::Gather;
use super::model::{Closing, Closure, Standpipe, Uncounted};
use crate::levels::{Bores, Stub, stub};
use crate::network::{JointIx, JointKind, PieceIx, RunKind, System, stands_outside};
use crate::solve::Work;
use crate::takeoff::Phase;
use crate::units::{Length, PipeSize, Volume};

/// What is closed below ground, and where its standpipes stand.
#[derive(Default)]
pub(super) struct Below {
    /// What is closed.
    pub closures: Vec<Closure>,
    /// The standpipes, one for each part that hangs together by itself.
    pub standpipes: Vec<Standpipe>,
    /// What the stubs hold that are capped at the floor; what carries a standpipe counts with that.
    pub stubs: Volume,
    /// The stubs that are not counted in it, of drains that are.
    pub uncounted: Vec<Uncounted>,
}

/// What may carry a standpipe: the stub of a stack before that of a riser, the larger before the
/// smaller, the first by name of those that are alike.
type Mouth<'a> = (Closing, PipeSize, &'a str);

/// Where a mouth rises from: the invert of its drain, if known, and its own pipe.
type Foot = (Option<Length>, PieceIx);

/// What is stubbed up: how, from where, and what of it stands below the floor, if known.
type Rising<'a> = (Mouth<'a>, Foot, Option<Stub>);

/// The openings of the drains below ground, filled to a level if that is known.
pub(super) fn below(work: &Work<'_>, pipes: &[Pipe], water: Option<Length>) -> Below {
    let net = work.net;
    let own = pipes.iter().filter(|p| p.phase == Phase::Underground);
    let own: BTreeSet<PieceIx> = own.map(|p| p.piece).collect();
    let tested: BTreeSet<PieceIx> = pipes.iter().map(|p| p.piece).collect();
    let mut joints: BTreeSet<JointIx> = BTreeSet::new();
    for piece in &own {
        let ends = net.graph.edge_endpoints(*piece);
        joints.extend(ends.into_iter().flat_map(|(a, b)| [a, b]));
    }
    let levels = &work.solution.levels.pieces;
    let over = |level: Length| water.map(|w| w - level).filter(|h| *h >= Length::ZERO);
    let mut all = Gather::new(work, over);
    let mut mouths: BTreeMap<JointIx, Vec<(Mouth<'_>, Foot)>> = BTreeMap::new();
    let mut stubs: Vec<Rising<'_>> = Vec::new();
    for joint in &joints {
        let flows_from = net.downstream(*joint).filter(|p| own.contains(p));
        let comes = net.upstream(*joint);
        let level = flows_from
            .and_then(|p| levels.get(&p)?.invert_up)
            .or_else(|| comes.iter().find_map(|p| levels.get(p)?.invert_down));
        match net.graph.node_weight(*joint).map(|j| j.kind) {
            Some(JointKind::Exit) => {
                for piece in comes.iter().filter(|p| own.contains(p)) {
                    all.exit(*joint, *piece);
                }
            }
            Some(JointKind::Trap(trap)) if flows_from.is_some() => all.trap(trap.0),
            _ => {
                // What lies below ground may end above what carries it on.
                let ends = comes.iter().filter(|p| own.contains(p));
                let on = net.downstream(*joint).filter(|_| flows_from.is_none());
                for piece in ends.filter(|_| on.is_some() || net.downstream(*joint).is_none()) {
                    if let Some(size) = work.size(*piece) {
                        let level = levels.get(piece).and_then(|l| l.invert_down);
                        all.add((Closing::EndPlug, size, None), name(work, *piece), level);
                    }
                }
            }
        }
        let mut rising = [comes, net.vents_into(*joint), net.vents_from(*joint)].concat();
        rising.sort_unstable();
        rising.retain(|p| tested.contains(p) && !own.contains(p));
        for piece in rising {
            let (Some(p), Some(size)) = (net.graph.edge_weight(piece), work.size(piece)) else {
                continue;
            };
            let kind = net.runs.get(p.run.0).map(|r| r.kind);
            let with = match (p.system, kind) {
                (System::Vent, _) => Closing::VentStub,
                (_, Some(RunKind::Stack)) => Closing::StackStub,
                _ => Closing::Stub,
            };
            let foot = levels.get(&piece).and_then(|l| l.invert_down).or(level);
            let called = name(work, piece);
            let mouth = (with, size, called);
            stubs.push((mouth, (foot, piece), stub(work, piece)));
            let here = mouths.entry(*joint).or_default();
            here.push((mouth, (foot, piece)));
        }
    }
    for (i, cleanout) in net.cleanouts.iter().enumerate() {
        if !joints.contains(&cleanout.joint) || stands_outside(net, cleanout) {
            continue;
        }
        // One in a stack, above its base, is not under this water.
        let stands = net.runs.get(cleanout.run.0);
        if stands.is_some_and(|r| !r.pieces.iter().any(|p| own.contains(p))) {
            continue;
        }
        all.cleanout(i);
        if let Some(size) = work.solution.fittings.cleanouts.get(&i) {
            let mouth = (Closing::Cleanout, *size, cleanout.id.as_str());
            let joint = cleanout.joint;
            let on = net
                .downstream(joint)
                .or(net.upstream(joint).first().copied());
            let here = mouths.entry(joint).or_default();
            here.extend(on.map(|piece| (mouth, (all.level_of(i), piece))));
        }
    }
    let parts = together(work, &own);
    let standpipes = parts.iter().filter_map(|part| {
        let here = part.iter().filter_map(|j| mouths.get(j)).flatten();
        here.min_by(|(a, _), (b, _)| {
            let rank = |m: &Mouth<'_>| Closing::MOUTHS.iter().position(|c| *c == m.0);
            (rank(a).cmp(&rank(b)))
                .then(b.1.cmp(&a.1))
                .then(a.2.cmp(b.2))
        })
    });
    let standpipes: Vec<&(Mouth<'_>, Foot)> = standpipes.collect();
    let bores = Bores::new(work.job, net);
    let (mut held, mut uncounted) = (Volume::default(), Vec::new());
    for (mouth, (foot, piece), stub) in &stubs {
        // A cap stands at the floor, over the drain that its stub rises from.
        let (with, level) = match standpipes.iter().any(|s| s.0 == *mouth) {
            true => (Closing::Standpipe, *foot),
            false => (mouth.0, stub.map(|s| s.floor).or(*foot)),
        };
        all.add((with, mouth.1, None), mouth.2, level);
        match stub {
            _ if with == Closing::Standpipe => {}
            Some(stub) => held += Volume::of_cylinder(bores.of(*piece, mouth.1), stub.whole()),
            None if foot.is_none() => {}
            None => uncounted.push(Uncounted {
                pipe: net.graph[*piece].id.clone(),
                level_only: work.length(*piece).is_some(),
            }),
        }
    }
    let standpipe = |((_, size, on), (foot, piece)): &(Mouth<'_>, Foot)| {
        let rises = foot.and_then(over);
        let level = stub(work, *piece).map_or(Length::ZERO, |s| s.level);
        Standpipe {
            on: (*on).to_owned(),
            size: *size,
            rises,
            holds: rises.map(|r| Volume::of_cylinder(bores.of(*piece, *size), r + level)),
        }
    };
    Below {
        standpipes: standpipes.into_iter().map(standpipe).collect(),
        closures: all.done(),
        stubs: held,
        uncounted,
    }
}

/// What a pipe is called where it ends: a fixture's own by its fixture.
fn name<'a>(work: &Work<'a>, piece: PieceIx) -> &'a str {
    let run = work.net.graph.edge_weight(piece);
    let run = run.and_then(|p| work.net.runs.get(p.run.0));
    run.map_or("", |r| match r.kind {
        RunKind::Arm | RunKind::FixtureDrain => r.id.rsplit_once('.').map_or(&r.id, |(of, _)| of),
        _ => &r.id,
    })
}

/// The joints of the pipes that hang together, each part by itself, in the order of the network.
fn together(work: &Work<'_>, own: &BTreeSet<PieceIx>) -> Vec<BTreeSet<JointIx>> {
    let mut parts: Vec<BTreeSet<JointIx>> = Vec::new();
    for piece in own {
        let Some((a, b)) = work.net.graph.edge_endpoints(*piece) else {
            continue;
        };
        let touches = |part: &BTreeSet<JointIx>| part.contains(&a) || part.contains(&b);
        let (mut with, rest): (Vec<_>, Vec<_>) = parts.into_iter().partition(touches);
        parts = rest;
        let mut part: BTreeSet<JointIx> = with.drain(..).flatten().collect();
        part.extend([a, b]);
        parts.push(part);
    }
    parts.sort_by_key(|p| p.first().copied());
    parts
}
