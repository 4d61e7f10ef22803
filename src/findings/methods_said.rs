//! Where a job states how a trap is vented.

use std::collections::BTreeSet;

use super::context::Context;
use crate::diagnostics::Span;
use crate::job::{Drain, Stack};
use crate::network::{BranchVent, PieceIx, RunIx, Trap, TrapIx, VentMethod};

/// Where the job states the method of a trap: at its `vent` or `vented_by`, or the `method` of its
/// stack; none where the tool chose it.
pub(super) fn said(ctx: &Context<'_>, ix: TrapIx, trap: &Trap) -> Option<Span> {
    let fixture = ctx.fixture(ix)?;
    let own = fixture.vented_by.as_ref().map(|s| &s.span);
    let own = own.or(fixture.vent.as_ref().map(|s| &s.span));
    own.cloned().or_else(|| {
        if let Some(vent) = branch_vent(ctx, ix) {
            return Some(drain(ctx, vent.run)?.method.as_ref()?.span.clone());
        }
        let (_, run) = ctx.net.way_to_stack(ix).filter(|_| trap.vent.by_stack())?;
        Some(stack(ctx, run)?.method.as_ref()?.span.clone())
    })
}

/// The vent of a branch by which a trap is vented, if it is.
pub(super) fn branch_vent<'a>(ctx: &Context<'a>, ix: TrapIx) -> Option<&'a BranchVent> {
    let method = &ctx.net.traps.get(ix.0)?.vent;
    let all = ctx.branch_vents.get(&ix)?.iter();
    let mut all = all.filter_map(|v| ctx.net.branch_vents.get(*v));
    all.find(|v| *method == v.method.of_traps())
}

/// The drain of the job that a run is.
pub(super) fn drain<'a>(ctx: &Context<'a>, run: RunIx) -> Option<&'a Drain> {
    ctx.job.drains.get(*ctx.drains.get(&run)?)
}

/// The stack of the job that a run is.
pub(super) fn stack<'a>(ctx: &Context<'a>, run: RunIx) -> Option<&'a Stack> {
    ctx.job.stacks.get(*ctx.stacks.get(&run)?)
}

/// Places of the job file that were told of already: one word may be about many fixtures.
#[derive(Default)]
pub(super) struct Told(BTreeSet<(usize, usize)>);

impl Told {
    /// Whether a place is told of for the first time.
    pub(super) fn first(&mut self, span: &Span) -> bool {
        self.0.insert((span.start, span.end))
    }
}

/// The pieces over which a trap's arm is measured: the arm itself; on a waste stack all the way to
/// the stack, which is where its air comes in.
pub fn measured(ctx: &Context<'_>, ix: TrapIx, trap: &Trap) -> Vec<PieceIx> {
    let whole = ctx.net.way_to_stack(ix);
    match whole.filter(|_| trap.vent == VentMethod::WasteStack) {
        Some((way, _)) => way,
        None => trap.arm.into_iter().collect(),
    }
}
