//! A101 arm-too-long
//!
//! Checks the developed length of every trap arm, from the trap's weir to the vent fitting,
//! against the book's limit for the trap's size. A water closet has no limit, or one of its own
//! from its flange.
//!
//! Why: a long arm fills to its crown before it reaches the vent and siphons its trap.
//!
//! Example: `LAV-1 = { kind = "lavatory", arm = "8'" }`: a 1 1/2 in trap stands within 6 ft of its vent.
//!
//! To do: bring the vent nearer, or give the trap and its arm a larger size.
//!
//! Section: IPC 909.1, IRC P3105.1, UPC 1002.2.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{TrapIx, VentMethod};
use crate::sizing::traps::kind_of;
use crate::units::PipeSize;

/// A101.
pub const META: Meta = Meta::new("A101", "arm-too-long", Severity::Error);

/// Arms longer than the book allows.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let print = ctx.print;
    let mut found = Vec::new();
    for (i, trap) in ctx.net.traps.iter().enumerate() {
        let (Some(fixture), Some(arm)) = (ctx.fixture(TrapIx(i)), trap.arm) else {
            continue;
        };
        let rules = ctx.book.arm_rules();
        let closet = kind_of(fixture).is_some_and(|k| k.closet);
        let own = rules.closet_arm.as_ref().filter(|_| closet);
        let exempt = closet && own.is_none() && rules.closet_exempt.value;
        let other = matches!(
            trap.vent,
            VentMethod::SingleStack | VentMethod::Combination | VentMethod::Indirect
        );
        if exempt || other {
            continue;
        }
        let level = ctx.solution.levels.pieces.get(&arm);
        let size = ctx.solution.sizing.traps.get(&TrapIx(i));
        let (Some(length), Some(size)) = (level.and_then(|l| l.length), size) else {
            continue;
        };
        let row = match own {
            Some(limit) => limit.clone(),
            None => match ctx.book.trap_arm(size.size) {
                Ok(row) => row.map(|r| r.length),
                Err(_) => continue,
            },
        };
        let most = row.value;
        if length <= most || length.same(most) {
            continue;
        }
        let larger = PipeSize::all().filter(|s| *s > size.size).find(|s| {
            ctx.book
                .trap_arm(*s)
                .is_ok_and(|r| r.value.length >= length)
        });
        let mut help = format!("set the vent within {} of the trap", print.length(most));
        if let Some(larger) = larger.filter(|_| own.is_none()) {
            help.push_str(&format!(
                ", or make the trap and its arm {}",
                print.size(larger)
            ));
        }
        let span = fixture.arm.as_ref().map(|a| a.span.clone());
        found.push(Diagnostic {
            help: Some(help),
            section: Some(row.section.clone()),
            ..META.finding(
                &fixture.name,
                span.or_else(|| Some(fixture.span.clone())),
                format!(
                    "the arm of {} is {} long, {} more than the {} that a {} may have",
                    fixture.name,
                    print.length(length),
                    print.length(length - most),
                    print.length(most),
                    match own {
                        Some(_) => "water closet".to_owned(),
                        None => format!("{} trap", print.size(size.size)),
                    }
                ),
            )
        });
    }
    found
}
