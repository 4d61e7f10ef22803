//! What is looked at beside the drains: trap arms, vents and their ends, cleanouts.

use super::model::{Arm, Opening, VentRun};
use super::walk::standing;
use crate::findings::Context;
use crate::network::{
    JointKind, NetCleanout, Network, PieceIx, Run, RunKind, System, Trap, TrapIx, cleanout_words,
};
use crate::result::vent_words;
use crate::units::{Length, PipeSize};

/// The arm of every trap, in the order of the job.
pub(super) fn arms(ctx: &Context<'_>) -> Vec<Arm> {
    let sizing = &ctx.solution.sizing;
    let traps = ctx.net.traps.iter().enumerate();
    let arm = |(i, trap): (usize, &Trap)| {
        let (piece, fixture) = trap.arm.zip(ctx.fixture(TrapIx(i)))?;
        let level = ctx.solution.levels.pieces.get(&piece);
        let fall = level.and_then(|l| Some(l.fall?.over(l.horizontal?)));
        let run = ctx.net.graph.edge_weight(piece);
        let run = run.and_then(|p| ctx.net.runs.get(p.run.0));
        Some(Arm {
            fixture: fixture.name.clone(),
            trap: sizing.traps.get(&TrapIx(i)).map(|t| t.size),
            size: sizing.pieces.get(&piece).map(|s| s.size),
            length: level.and_then(|l| l.length),
            fall,
            vented: vent_words(&trap.vent),
            standing: standing(ctx, [fixture.name.as_str(), run.map_or("", |r| &r.id)]),
        })
    };
    traps.filter_map(arm).collect()
}

/// Every vent, and where it ends.
pub(super) fn vents(ctx: &Context<'_>) -> Vec<VentRun> {
    let net = ctx.net;
    let vent = |run: &Run| {
        let last = run.pieces.last()?;
        let is_vent = net.graph.edge_weight(*last)?.system == System::Vent;
        is_vent.then_some(())?;
        let sizes = run
            .pieces
            .iter()
            .filter_map(|p| ctx.solution.sizing.pieces.get(p));
        let mut sizes: Vec<PipeSize> = sizes.map(|s| s.size).collect();
        sizes.sort_unstable();
        sizes.dedup();
        Some(VentRun {
            vent: run.id.clone(),
            kind: kind(run.kind),
            sizes,
            ends: ends(ctx, *last)?,
            state: run.state,
            standing: standing(
                ctx,
                [run.id.as_str()].into_iter().chain(owner(ctx, &run.id)),
            ),
        })
    };
    net.runs.iter().filter_map(vent).collect()
}

/// What a vent ends in, from one of its pieces on.
fn ends(ctx: &Context<'_>, piece: PieceIx) -> Option<String> {
    let net = ctx.net;
    let own = net.graph.edge_weight(piece)?.run;
    let mut at = piece;
    // A vent has no rings; that bound is kept all the same.
    for _ in 0..net.graph.edge_count() {
        let (_, top) = net.graph.edge_endpoints(at)?;
        match net.graph.node_weight(top)?.kind {
            JointKind::Terminal(_) => return Some("terminal through the roof".to_owned()),
            JointKind::Valve(_) => return Some("air admittance valve".to_owned()),
            _ => {}
        }
        let Some(next) = net.vents_from(top).first().copied() else {
            return Some(String::new());
        };
        let run = net.graph.edge_weight(next)?.run;
        if run != own {
            return Some(format!("joins {}", net.runs.get(run.0)?.id));
        }
        at = next;
    }
    None
}

/// The fixture that a vent is of: its mark is its vent's too, where a drain's is not.
fn owner<'a>(ctx: &Context<'a>, id: &str) -> Option<&'a str> {
    let (of, _) = id.rsplit_once('.')?;
    let mut fixtures = ctx.job.fixtures.iter();
    fixtures.find(|f| f.name == of).map(|f| f.name.as_str())
}

fn kind(kind: RunKind) -> &'static str {
    match kind {
        RunKind::FixtureVent => "vent of fixtures",
        RunKind::Header => "header",
        RunKind::Riser => "riser",
        RunKind::StackVent => "stack vent",
        RunKind::VentStack => "vent stack",
        RunKind::IslandVent => "island vent",
        _ => "vent",
    }
}

/// Every cleanout, and where it stands.
pub(super) fn cleanouts(ctx: &Context<'_>) -> Vec<Opening> {
    let rules = ctx.book.cleanouts();
    let all = ctx.net.cleanouts.iter().enumerate();
    let opening = |(i, c): (usize, &NetCleanout)| {
        let size = ctx.solution.fittings.cleanouts.get(&i).copied();
        let levels = &ctx.solution.levels.pieces;
        let at = ctx.net.downstream(c.joint);
        let below = at.and_then(|p| levels.get(&p)?.invert_up);
        // At an exit nothing of the job goes on downstream.
        let mut above = ctx.net.upstream(c.joint).into_iter();
        let invert = below.or_else(|| above.find_map(|p| levels.get(&p)?.invert_down));
        let run = ctx.net.runs.get(c.run.0).map(|r| r.id.as_str());
        Opening {
            tag: c.id.clone(),
            kind: cleanout_words(ctx.net, c),
            stands: stands(ctx, c),
            size,
            invert,
            clear: size.map(|s| rules.clearance(s).value),
            state: c.state,
            standing: standing(ctx, [c.id.as_str(), run.unwrap_or_default()]),
        }
    };
    all.map(opening).collect()
}

/// Where a cleanout stands: at the exit, a stack's base, the end of a drain, or so far up it; and
/// the floor, if its drain names one.
fn stands(ctx: &Context<'_>, cleanout: &NetCleanout) -> String {
    let net = ctx.net;
    let Some(run) = net.runs.get(cleanout.run.0) else {
        return String::new();
    };
    let id = &run.id;
    let place = match net.graph.node_weight(cleanout.joint).map(|j| j.kind) {
        Some(JointKind::Exit) => "at the exit".to_owned(),
        Some(JointKind::StackBase) => format!("at the base of {id}"),
        Some(JointKind::End) => format!("at the upper end of {id}"),
        _ => match up(ctx, net, cleanout) {
            Some(length) => format!("{} up {id}", ctx.print.length(length)),
            None => format!("on {id}"),
        },
    };
    match run.floor.and_then(|f| ctx.job.floors.get(f.0)) {
        Some(floor) => format!("{place}, {}", floor.name),
        None => place,
    }
}

/// How far up its run a cleanout stands.
fn up(ctx: &Context<'_>, net: &Network, cleanout: &NetCleanout) -> Option<Length> {
    let run = net.runs.get(cleanout.run.0)?;
    let mut far = Length::ZERO;
    for piece in &run.pieces {
        if net.to(*piece) == Some(cleanout.joint) {
            return Some(far);
        }
        far += ctx.solution.levels.pieces.get(piece)?.length?;
    }
    let top = run.pieces.last().and_then(|p| net.from(*p));
    (top == Some(cleanout.joint)).then_some(far)
}
