//! A103 arm-turns-down-before-its-vent
//!
//! Checks that no drain of a trap turns down between the trap's weir and the place where it gets
//! its air. A water closet's own drain always turns down and is not meant; a combination drain
//! and vent and the unvented branch of a single stack have rules of their own.
//!
//! Why: what turns down before its vent is an S-trap: it fills, and its falling leg siphons the
//! trap dry.
//!
//! Example: `LAV-2 = { into = "bath", run = ["up 2'"], vented_by = "LAV-1" }`: it drops two feet
//! before it comes to the drain that is its vent.
//!
//! To do: give the trap a dry vent where its arm turns down (`vent`), and take the drop below it;
//! or let the arm join the wet vent level.
//!
//! Section: IPC 1002.3 and 909.2, IRC P3201.5 and P3105.2.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::levels::falls::leg_is_vertical;
use crate::network::{JointIx, NetLeg, PieceIx, Trap, TrapIx, VentMethod};
use crate::sizing::traps::kind_of;
use crate::sizing::ways::{way_down, way_to};
use crate::units::{Heading, Length};

/// A103.
pub const META: Meta = Meta::new("A103", "arm-turns-down-before-its-vent", Severity::Error);

/// Traps whose drain turns down before it has air.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let print = ctx.print;
    let mut found = Vec::new();
    for (i, trap) in ctx.net.traps.iter().enumerate() {
        let Some(fixture) = ctx.fixture(TrapIx(i)) else {
            continue;
        };
        if kind_of(fixture).is_some_and(|k| k.closet) {
            continue;
        }
        let mut turns = way_to_air(ctx, trap)
            .into_iter()
            .filter_map(|p| ctx.net.graph.edge_weight(p))
            .flat_map(|p| p.legs.iter().filter(|l| turns_down(l)))
            .peekable();
        if turns.peek().is_none() {
            continue;
        }
        let by = turns.map(|l| l.length).sum::<Option<Length>>();
        let by = by.map_or(String::new(), |by| format!(" {}", print.length(by)));
        let vented = match trap.vent {
            VentMethod::Wet(by) => ctx
                .fixture(by)
                .map(|f| format!("the drain that {} vents", f.name)),
            VentMethod::StackVent | VentMethod::WasteStack => Some("its stack".to_owned()),
            _ => None,
        };
        let vented = vented.unwrap_or_else(|| "its vent".to_owned());
        found.push(Diagnostic {
            help: Some(format!(
                "give {} a vent of its own where its arm turns down: `vent = \"…\"`",
                fixture.name
            )),
            section: ctx.book.section("s-trap").map(str::to_owned),
            ..META.finding(
                &fixture.name,
                Some(fixture.span.clone()),
                format!(
                    "the arm of {} turns down{by} before it comes to {vented}: an S-trap",
                    fixture.name
                ),
            )
        });
    }
    found
}

/// Whether water that comes down this leg falls: its legs are read walking upstream.
fn turns_down(leg: &NetLeg) -> bool {
    leg_is_vertical(leg) && leg.heading != Some(Heading::Down)
}

/// The pieces from a trap's weir down to where its air comes in.
pub(super) fn way_to_air(ctx: &Context<'_>, trap: &Trap) -> Vec<PieceIx> {
    let net = ctx.net;
    let foot = |trap: &Trap| trap.vent_piece.and_then(|v| net.from(v));
    let Some(weir) = trap.joint else {
        return Vec::new();
    };
    match trap.vent {
        VentMethod::Wet(by) => {
            let by = net.traps.get(by.0);
            let dry = by.and_then(|by| foot(by).or(by.vent_fitting));
            dry.map_or(Vec::new(), |dry| way_to(net, weir, dry))
        }
        VentMethod::StackVent | VentMethod::WasteStack => way_down(net, weir)
            .take_while(|(_, p)| {
                let run = net.graph.edge_weight(*p).map(|p| p.run);
                !run.is_some_and(|r| net.is_stack(r))
            })
            .map(|(_, p)| p)
            .collect(),
        // What may drop there has its own limits.
        VentMethod::SingleStack
        | VentMethod::Combination
        | VentMethod::Indirect
        | VentMethod::None => Vec::new(),
        _ => foot(trap).map_or(Vec::new(), |foot| way_until(ctx, weir, foot)),
    }
}

/// The pieces down from one joint to another; none if it does not lie on the way.
fn way_until(ctx: &Context<'_>, from: JointIx, to: JointIx) -> Vec<PieceIx> {
    let mut way = Vec::new();
    for (joint, piece) in way_down(ctx.net, from) {
        if joint == to {
            return way;
        }
        way.push(piece);
    }
    Vec::new()
}
