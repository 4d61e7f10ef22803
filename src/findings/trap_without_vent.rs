//! V102 trap-without-vent
//!
//! Checks that every trap has a vent that reaches it. A wet vent reaches a trap on the same floor
//! whose own fixture drain joins it; of those that join upstream of the dry vent only so many as
//! the book allows.
//!
//! Why: without air the trap is siphoned or blown, and the sewer's gas comes into the room.
//!
//! Example: `BT-1 = { into = "kb", vented_by = "LAV-1" }` where LAV-1 drains into another branch.
//!
//! To do: give the fixture a vent, let it share one (`vent`), or wet-vent it by a fixture of the
//! same drain (`vented_by`).
//!
//! Section: IPC 901, 912; IRC P3101, P3108.

use std::collections::BTreeMap;

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{RunKind, TrapIx, VentMethod};
use crate::sizing::ways::{way_down, way_to};

/// V102.
pub const META: Meta = Meta::new("V102", "trap-without-vent", Severity::Error);

/// Traps that no vent reaches.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let mut upstream: BTreeMap<TrapIx, u32> = BTreeMap::new();
    let mut found = Vec::new();
    for (i, trap) in ctx.net.traps.iter().enumerate() {
        let Some(fixture) = ctx.fixture(TrapIx(i)).filter(|_| trap.joint.is_some()) else {
            continue;
        };
        let why = match &trap.vent {
            VentMethod::None => Some("has no vent".to_owned()),
            VentMethod::Individual
            | VentMethod::Common(_)
            | VentMethod::Island
            | VentMethod::AirAdmittance => {
                trap.vent_piece.is_none().then(|| "has no vent".to_owned())
            }
            VentMethod::Wet(by) => unreached(ctx, TrapIx(i), *by, &mut upstream),
            VentMethod::StackVent
            | VentMethod::SingleStack
            | VentMethod::WasteStack
            | VentMethod::Combination
            | VentMethod::Indirect => None,
        };
        let Some(why) = why else { continue };
        let wet = matches!(trap.vent, VentMethod::Wet(_));
        let section = match wet {
            true => ctx.book.wet_vent_rules().map(|r| r.section.clone()),
            false => ctx.book.section("vent-needed").map(str::to_owned),
        };
        let span = fixture.vented_by.as_ref().filter(|_| wet);
        found.push(Diagnostic {
            help: Some(format!(
                "give {} a vent of its own: `vent = \"…\"`",
                fixture.name
            )),
            section,
            ..META.finding(
                &fixture.name,
                Some(span.map_or(fixture.span.clone(), |s| s.span.clone())),
                format!("the trap of {} {why}", fixture.name),
            )
        });
    }
    found
}

/// Why a dry vent's drain does not wet-vent a trap, if so.
fn unreached(
    ctx: &Context<'_>,
    trap: TrapIx,
    by: TrapIx,
    upstream: &mut BTreeMap<TrapIx, u32>,
) -> Option<String> {
    let Some(rules) = ctx.book.wet_vent_rules() else {
        return Some("is wet-vented, which the book does not have".to_owned());
    };
    let (own, other) = (ctx.fixture(trap)?, ctx.fixture(by)?);
    let dry = ctx.net.traps.get(by.0)?;
    if dry.vent_piece.is_none() || matches!(dry.vent, VentMethod::Wet(_) | VentMethod::None) {
        return Some(format!(
            "is vented by {}, which has no dry vent",
            other.name
        ));
    }
    if rules.same_floor.value && own.floor != other.floor {
        return Some(format!(
            "is vented by {}, which stands on another floor",
            other.name
        ));
    }
    let foot = dry
        .vent_piece
        .and_then(|v| ctx.net.from(v))
        .or(dry.vent_fitting)?;
    let way = way_to(ctx.net, ctx.net.traps.get(trap.0)?.joint?, foot);
    let meet = way.last().and_then(|p| ctx.net.to(*p))?;
    let run_at = ctx
        .net
        .downstream(meet)
        .and_then(|p| ctx.net.graph.edge_weight(p))
        .map(|p| p.run);
    let mut through = false;
    for piece in way {
        let p = ctx.net.graph.edge_weight(piece)?;
        if matches!(ctx.kind(p), Some(RunKind::Arm | RunKind::FixtureDrain)) {
            continue;
        }
        if Some(p.run) != run_at || ctx.kind(p) == Some(RunKind::Stack) {
            return Some(format!(
                "is vented by {}, whose drain does not pass it",
                other.name
            ));
        }
        through = true;
    }
    // The way through the run itself: it joins upstream of the dry vent.
    let below = way_down(ctx.net, foot).any(|(j, _)| j == meet);
    if through && below {
        let count = upstream.entry(by).or_default();
        *count += 1;
        if *count > rules.upstream_of_dry_vent.value {
            return Some(format!(
                "joins upstream of the dry vent of {}, where {} may",
                other.name, rules.upstream_of_dry_vent.value
            ));
        }
    }
    None
}
