//! What is set with some pipes and has no row of its own in a list.

use std::collections::BTreeSet;

use super::set_out::named;
use crate::job::Fixture;
use crate::network::{JointIx, PieceIx, reached_in_stack};
use crate::solve::Work;
use crate::units::Printer;

/// What is set with some pipes, in words: how a backwater valve lies, what is open over the floor in a
/// stack, what primes a trap, and what ends over a receptor with an air gap.
pub(super) fn set_with(work: &Work<'_>, pieces: &[PieceIx]) -> Vec<String> {
    let joints = joints(work, pieces);
    let all = [
        valves(work, &joints),
        in_stacks(work, &joints),
        primers(work, &joints),
        air_gaps(work, &joints),
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

fn in_stacks(work: &Work<'_>, joints: &BTreeSet<JointIx>) -> Vec<String> {
    let net = work.net;
    let print = Printer {
        units: work.job.units,
    };
    let own = |i: usize| work.solution.fittings.beside.get(&i);
    let all = net.cleanouts.iter().enumerate();
    let here = all.filter(|(_, c)| joints.contains(&c.joint) && reached_in_stack(net, c));
    let words = here.map(|(i, c)| {
        let fitting = own(i).map(|f| format!("{} ", named(f, print)));
        let fitting = fitting.unwrap_or_default();
        format!("{fitting}{} in the stack, over the floor", c.id)
    });
    words.collect()
}

/// The traps that joints are the weirs of, with their fixtures.
fn traps<'a>(
    work: &'a Work<'_>,
    joints: &BTreeSet<JointIx>,
) -> impl Iterator<Item = (usize, &'a Fixture)> {
    let joints = joints.clone();
    let traps = work.net.traps.iter().enumerate();
    let here = traps.filter(move |(_, t)| t.joint.is_some_and(|j| joints.contains(&j)));
    here.filter_map(|(i, t)| Some((i, work.job.fixtures.get(t.fixture)?)))
}

fn primers(work: &Work<'_>, joints: &BTreeSet<JointIx>) -> Vec<String> {
    let by = |trap: usize| {
        let by = work.net.traps.get(trap)?.primed_by?;
        work.job.fixtures.get(by)
    };
    let all = traps(work, joints).filter_map(|(i, own)| Some((own, by(i)?)));
    all.map(|(own, by)| format!("primer line to {} from {}", own.name, by.name))
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
