//! D110 branch-too-near-the-base-of-a-stack
//!
//! Checks that nothing horizontal joins the drain nearer downstream of a stack's base than the book
//! has it, in diameters of the stack. Other stacks, and what only carries other stacks, are not
//! meant; places whose distance nobody gave are not judged.
//!
//! Why: water that comes down a stack shoots along the drain and piles up within these diameters;
//! it blows into what joins there.
//!
//! Example: S1 of 3 in at `station = "12'"` and a branch at `station = "10'"` of the same drain.
//!
//! To do: let the branch join farther downstream, or upstream of the stack's base.
//!
//! Section: IPC 704.3, IRC P3005.5; the UPC has no such rule.

use super::context::{Context, Meta};
use crate::diagnostics::{Diagnostic, Severity};
use crate::network::draft::Who;
use crate::network::{JointIx, JointKind, PieceIx, RunIx, RunKind};
use crate::sizing::ways::way_down;
use crate::units::Length;

/// D110.
pub const META: Meta = Meta::new(
    "D110",
    "branch-too-near-the-base-of-a-stack",
    Severity::Error,
);

/// Branches that join where a stack's water piles up.
pub fn check(ctx: &Context<'_>) -> Vec<Diagnostic> {
    let all = below_bases(ctx).into_iter();
    let near = all.filter(|j| j.away < j.clear && !j.away.same(j.clear));
    near.filter_map(|j| said(ctx, &j)).collect()
}

/// What joins the drain downstream of a stack's base.
pub struct Joining {
    /// The stack.
    pub stack: RunIx,
    /// Its lowest pipe.
    pub first: PieceIx,
    /// What joins.
    pub entering: PieceIx,
    /// How far from the base.
    pub away: Length,
    /// How far it is to be.
    pub clear: Length,
}

/// What joins downstream of each stack's base, as far as distances are known: all that is nearer than the
/// book has it, and the next.
pub fn below_bases(ctx: &Context<'_>) -> Vec<Joining> {
    let net = ctx.net;
    let mut found = Vec::new();
    let Some(heel) = ctx.book.heel_distance() else {
        return found;
    };
    for stack in (0..net.runs.len()).map(RunIx).filter(|r| net.is_stack(*r)) {
        let first = net.runs.get(stack.0).and_then(|r| r.pieces.first());
        let Some((first, base)) = first.and_then(|p| Some((*p, net.to(*p)?))) else {
            continue;
        };
        let Some(size) = ctx.solution.sizing.pieces.get(&first) else {
            continue;
        };
        let clear = Length::from_inches(size.size.inches()) * heel.value;
        let (mut away, mut from) = (Length::ZERO, first);
        for (joint, piece) in way_down(net, base) {
            let kind = net.graph.node_weight(joint).map(|j| j.kind);
            if matches!(kind, Some(JointKind::Exit)) {
                break;
            }
            let before = found.len();
            for entering in net.upstream(joint) {
                if entering != from && joins(ctx, entering, piece) {
                    found.push(Joining {
                        stack,
                        first,
                        entering,
                        away,
                        clear,
                    });
                }
            }
            let far = away >= clear || away.same(clear);
            let length = ctx.solution.levels.pieces.get(&piece);
            let length = length.and_then(|l| l.length);
            let Some(length) = length.filter(|_| !far || found.len() == before) else {
                break;
            };
            away += length;
            from = piece;
        }
    }
    found
}

/// Whether a piece joins another from the side and carries more than stacks.
fn joins(ctx: &Context<'_>, entering: PieceIx, goes_on: PieceIx) -> bool {
    let net = ctx.net;
    let run = |p: PieceIx| net.graph.edge_weight(p).map(|p| p.run);
    let (Some(own), Some(under)) = (run(entering), run(goes_on)) else {
        return false;
    };
    let kind = net.runs.get(own.0).map(|r| r.kind);
    // What goes on from the drain's end is the drain itself.
    let in_line = net
        .draft
        .runs
        .get(under.0)
        .is_some_and(|r| (r.entrants.iter()).any(|e| e.in_line && e.who == Who::Run(own.0)));
    let sideways = !matches!(kind, Some(RunKind::Stack | RunKind::Discharge));
    own != under && sideways && !in_line && carries_more_than_stacks(ctx, entering)
}

fn carries_more_than_stacks(ctx: &Context<'_>, piece: PieceIx) -> bool {
    let net = ctx.net;
    let mut todo: Vec<JointIx> = net.from(piece).into_iter().collect();
    while let Some(joint) = todo.pop() {
        match net.graph.node_weight(joint).map(|j| j.kind) {
            Some(JointKind::Trap(_) | JointKind::Basin) => return true,
            _ => todo.extend(net.upstream(joint).into_iter().filter_map(|p| {
                let run = net.graph.edge_weight(p)?.run;
                (!net.is_stack(run)).then(|| net.from(p)).flatten()
            })),
        }
    }
    false
}

/// What a piece is called: a fixture's drop or arm goes by its fixture.
pub fn joining_name<'a>(ctx: &Context<'a>, entering: PieceIx) -> Option<&'a str> {
    let piece = ctx.net.graph.edge_weight(entering)?;
    let branch = ctx.net.runs.get(piece.run.0)?;
    Some(match branch.kind {
        RunKind::Arm | RunKind::FixtureDrain => branch
            .id
            .rsplit_once('.')
            .map_or(branch.id.as_str(), |n| n.0),
        _ => branch.id.as_str(),
    })
}

fn said(ctx: &Context<'_>, joining: &Joining) -> Option<Diagnostic> {
    let &Joining {
        stack,
        first,
        entering,
        away,
        clear,
    } = joining;
    let (net, print) = (ctx.net, ctx.print);
    let heel = ctx.book.heel_distance()?;
    let piece = net.graph.edge_weight(entering)?;
    let (branch, stack) = (net.runs.get(piece.run.0)?, net.runs.get(stack.0)?);
    let size = ctx.solution.sizing.pieces.get(&first)?.size;
    let name = joining_name(ctx, entering)?;
    Some(Diagnostic {
        help: Some(format!(
            "let it join {} farther down, or upstream of {}",
            print.length(ctx.rounded_up(clear - away)),
            stack.id
        )),
        section: Some(heel.section.clone()),
        ..META.finding(
            name,
            branch.span.clone(),
            format!(
                "{name} joins the drain {} downstream of the base of {}, {} nearer than {} \
                 diameters of its {}",
                print.length(away),
                stack.id,
                print.length(ctx.rounded_up(clear - away)),
                crate::units::number(heel.value, 1, false),
                print.size(size)
            ),
        )
    })
}
