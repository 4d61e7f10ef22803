//! M105 too-steep-for-its-vent
//!
//! Checks that what is its own fixtures' vent lies no steeper than the book allows: the part of a
//! branch that a circuit vent serves, and a combination drain and vent.
//!
//! Why: air passes over the water only where it runs slowly and low in the pipe.
//!
//! Example: `floor = { method = "combination", fall = "3/4" }`.
//!
//! To do: lay it flatter.
//!
//! Section: IPC 914.3 and 915.2.1, IRC P3110.3 and P3111.2.1, UPC 911.3.

use super::context::{Context, Meta, Worst};
use crate::codebook::Found;
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::{BranchMethod, PieceIx};
use crate::units::Fall;

/// M105.
pub const META: Meta = Meta::new("M105", "too-steep-for-its-vent", Severity::Error);

/// Vented branches that lie too steep.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let mut worst = Worst::new(ctx);
    for VentFall {
        piece,
        fall,
        most,
        method,
    } in falls_of_vents(ctx)
    {
        let Some(weight) = ctx.net.graph.edge_weight(piece) else {
            continue;
        };
        if fall <= most.value || fall.same(most.value) {
            continue;
        }
        let said = weight.fall.as_ref().map(|f| f.span.clone());
        let finding = Diagnostic {
            help: Some(format!(
                "let it fall {} at most",
                ctx.print.fall(most.value)
            )),
            section: Some(most.section.clone()),
            ..META.finding(
                &weight.id,
                said.or(weight.span.clone()),
                format!(
                    "{} falls {}; as a {} it may fall {}",
                    weight.id,
                    ctx.print.fall(fall),
                    crate::result::vent_words(&method.of_traps()),
                    ctx.print.fall(most.value)
                ),
            )
        };
        worst.add(weight, fall, finding);
    }
    worst.into_findings()
}

/// The fall of a pipe that is its own fixtures' vent.
pub struct VentFall<'a> {
    /// The pipe.
    pub piece: PieceIx,
    /// Its fall.
    pub fall: Fall,
    /// The most that it may be.
    pub most: &'a Found<Fall>,
    /// How it vents them.
    pub method: BranchMethod,
}

/// The falls of all such pipes that the book limits, where they are known.
pub fn falls_of_vents<'a>(ctx: &Context<'a>) -> Vec<VentFall<'a>> {
    let mut all = Vec::new();
    for vent in &ctx.net.branch_vents {
        let (most, pieces): (_, &[PieceIx]) = match vent.method {
            BranchMethod::Circuit => (
                ctx.book.circuit_rules().and_then(|r| r.most_fall.as_ref()),
                ctx.net.vented_part(vent),
            ),
            BranchMethod::Combination => {
                let run = ctx.net.runs.get(vent.run.0);
                (
                    ctx.book
                        .combination_rules()
                        .and_then(|r| r.most_fall.as_ref()),
                    run.map_or(&[][..], |r| &r.pieces),
                )
            }
        };
        let Some(most) = most else { continue };
        let fall = |p: &PieceIx| Some((*p, ctx.solution.levels.pieces.get(p)?.fall?));
        let known = pieces.iter().filter_map(fall);
        all.extend(known.map(|(piece, fall)| VentFall {
            piece,
            fall,
            most,
            method: vent.method,
        }));
    }
    all
}
