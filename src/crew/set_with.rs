//! What is set with some pipes, or looked after, and has no row of its own in a list.

use std::collections::BTreeSet;

use super::set_out::named;
use crate::job::{CleanoutKind, Fixture};
use crate::levels::lies;
use crate::network::{JointIx, PieceIx, State, reached_in_stack};
use crate::sizing::traps::kind_of;
use crate::solve::Work;
use crate::units::Printer;

/// What is set with some pipes, in words: how a backwater valve lies, what is open over the floor in a
/// stack, what primes a trap, and what ends over a receptor with an air gap.
pub(super) fn set_with(work: &Work<'_>, pieces: &[PieceIx]) -> Vec<String> {
    let joints = joints(work, pieces);
    let all = [
        valves(work, &joints),
        in_stacks(work, pieces),
        brought_up(work, &joints),
        unseen(work, pieces),
        primers(work, &joints),
        air_gaps(work, &joints),
        standpipes(work, &joints),
    ];
    all.concat()
}

/// The joints that some pipes lead up to: each is that of one pipe only.
fn joints(work: &Work<'_>, pieces: &[PieceIx]) -> BTreeSet<JointIx> {
    pieces.iter().filter_map(|p| work.net.from(*p)).collect()
}

/// The flap of a backwater valve is reached from above: its maker says how large the box is.
fn valves(work: &Work<'_>, joints: &BTreeSet<JointIx>) -> Vec<String> {
    let here = work.net.valves.iter().filter(|v| joints.contains(&v.joint));
    let words =
        |id: &str| format!("{id}: arrow with the flow, level; box to the floor, by its maker");
    here.map(|v| words(&v.id)).collect()
}

/// The cleanouts at the feet of stacks: each is set with the pipe of its stack that rises from there.
fn in_stacks(work: &Work<'_>, pieces: &[PieceIx]) -> Vec<String> {
    let net = work.net;
    let print = Printer {
        units: work.job.units,
    };
    let own = |i: usize| work.solution.fittings.beside.get(&i);
    let all = net.cleanouts.iter().enumerate();
    let stacks = pieces.iter().filter(|p| net.is_stack(net.graph[**p].run));
    let feet: BTreeSet<JointIx> = stacks.filter_map(|p| net.to(*p)).collect();
    let here = all.filter(|(_, c)| feet.contains(&c.joint) && reached_in_stack(net, c));
    let words = here.map(|(i, c)| {
        let fitting = own(i).map(|f| format!("{} ", named(f, print)));
        let fitting = fitting.unwrap_or_default();
        let floor = floor_over(work, c.joint).map(|f| format!(", {f}"));
        let floor = floor.unwrap_or_default();
        format!(
            "with the stack: {fitting}{} over the floor{floor}, in reach",
            c.id
        )
    });
    words.collect()
}

/// The floor over the drain that a joint is on.
fn floor_over<'a>(work: &Work<'a>, joint: JointIx) -> Option<&'a str> {
    let drain = work.net.downstream(joint)?;
    let last = work.net.graph.edge_weight(drain)?.legs.len();
    let (_, floor) = lies(work.job, work.net, drain, last.saturating_sub(1))?;
    work.job.floors.get(floor.0).map(|f| f.name.as_str())
}

/// Cleanouts that are turned up to a floor: how far beyond their fittings they come up, these say.
fn brought_up(work: &Work<'_>, joints: &BTreeSet<JointIx>) -> Vec<String> {
    let here = work.net.cleanouts.iter();
    let here = here.filter(|c| joints.contains(&c.joint) && c.state != State::Existing);
    let up = here.filter(|c| c.kind == CleanoutKind::Floor);
    up.map(|c| {
        format!(
            "{}: turn it up to the floor, sleeve where that comes up",
            c.id
        )
    })
    .collect()
}

/// Cleanouts that the job does not state, on drains that are marked as laid: nobody says that they are
/// there.
fn unseen(work: &Work<'_>, pieces: &[PieceIx]) -> Vec<String> {
    let Work { net, job, .. } = *work;
    let ends = |p: &PieceIx| {
        let exit = net.to(*p).filter(|j| net.exits.contains(j));
        net.from(*p).into_iter().chain(exit)
    };
    let laid = pieces.iter().filter(|p| work.mark(**p).is_some());
    let joints: BTreeSet<JointIx> = laid.flat_map(ends).collect();
    let open = net.cleanouts.iter().filter(|c| {
        let proposed = c.state == State::Proposed && job.stands(&c.id).is_none();
        proposed && joints.contains(&c.joint) && !reached_in_stack(net, c)
    });
    open.map(|c| format!("{} is proposed: see whether it is there", c.id))
        .collect()
}

/// The standpipe of a washer stands on its trap.
fn standpipes(work: &Work<'_>, joints: &BTreeSet<JointIx>) -> Vec<String> {
    let washers = traps(work, joints).filter(|(_, f)| kind_of(f).is_some_and(|k| k.washer));
    washers
        .map(|(_, f)| {
            format!(
                "standpipe on the trap of {}, as high as the code asks",
                f.name
            )
        })
        .collect()
}

/// The traps that joints are the weirs of, with their fixtures.
fn traps<'a>(
    work: &'a Work<'_>,
    joints: &'a BTreeSet<JointIx>,
) -> impl Iterator<Item = (usize, &'a Fixture)> {
    let traps = work.net.traps.iter().enumerate();
    let here = traps.filter(|(_, t)| t.joint.is_some_and(|j| joints.contains(&j)));
    here.filter_map(|(i, t)| Some((i, work.job.fixtures.get(t.fixture)?)))
}

fn primers(work: &Work<'_>, joints: &BTreeSet<JointIx>) -> Vec<String> {
    let by = |trap: usize| {
        let by = work.net.traps.get(trap)?.primed_by?;
        work.job.fixtures.get(by)
    };
    let all = traps(work, joints).filter_map(|(i, own)| Some((own, by(i)?)));
    let sleeve = |own: &Fixture| {
        let slab = own.floor.and_then(|f| work.job.floors.get(f.0)?.slab);
        slab.map_or("", |_| ", sleeved through the slab")
    };
    all.map(|(own, by)| {
        format!(
            "primer line to {} from {}{}",
            own.name,
            by.name,
            sleeve(own)
        )
    })
    .collect()
}

fn air_gaps(work: &Work<'_>, joints: &BTreeSet<JointIx>) -> Vec<String> {
    let print = Printer {
        units: work.job.units,
    };
    let over = |trap: usize| {
        let all = work.net.traps.iter();
        let here = all.filter(move |t| t.over.is_some_and(|o| o.0 == trap));
        here.filter_map(|t| work.job.fixtures.get(t.fixture))
    };
    let words = |receptor: &Fixture, own: &Fixture| {
        let gap = own.gap.map(|gap| format!(" of {}", print.short(gap)));
        let gap = gap.unwrap_or_default();
        format!("{} ends over {}, air gap{gap}", own.name, receptor.name)
    };
    let all = traps(work, joints).flat_map(|(i, receptor)| over(i).map(move |own| (receptor, own)));
    all.map(|(receptor, own)| words(receptor, own)).collect()
}
