//! What the job states against what was proposed.

use super::model::Share;
use crate::findings::Context;
use crate::network::{RunKind, State};

/// Kinds of things, as they are counted.
const KINDS: [(&str, &[RunKind]); 5] = [
    (
        "drains",
        &[
            RunKind::BuildingDrain,
            RunKind::BuildingBranch,
            RunKind::Branch,
        ],
    ),
    ("stacks", &[RunKind::Stack]),
    (
        "fixtures' own drains and arms",
        &[RunKind::FixtureDrain, RunKind::Arm],
    ),
    (
        "vents of fixtures",
        &[RunKind::FixtureVent, RunKind::IslandVent],
    ),
    (
        "stack vents, vent stacks, risers and headers",
        &[
            RunKind::Header,
            RunKind::Riser,
            RunKind::StackVent,
            RunKind::VentStack,
        ],
    ),
];

/// How much of each kind is stated.
pub(super) fn shares(ctx: &Context<'_>) -> Vec<Share> {
    let runs = KINDS.iter().map(|(what, kinds)| {
        let states = ctx.net.runs.iter().filter(|r| kinds.contains(&r.kind));
        share(what, states.map(|r| r.state))
    });
    let cleanouts = share("cleanouts", ctx.net.cleanouts.iter().map(|c| c.state));
    let fixtures = ctx
        .job
        .fixtures
        .iter()
        .map(|f| match (f.existing, f.future) {
            (true, _) => State::Existing,
            (_, true) => State::Future,
            _ => State::Stated,
        });
    let fixtures = share("fixtures", fixtures);
    let all = std::iter::once(fixtures).chain(runs).chain([cleanouts]);
    all.filter(|s| s.stated + s.proposed + s.existing + s.future > 0)
        .collect()
}

fn share(what: &'static str, states: impl Iterator<Item = State>) -> Share {
    let mut share = Share {
        what,
        stated: 0,
        proposed: 0,
        existing: 0,
        future: 0,
    };
    for state in states {
        match state {
            State::Stated => share.stated += 1,
            State::Proposed => share.proposed += 1,
            State::Existing => share.existing += 1,
            State::Future => share.future += 1,
        }
    }
    share
}
