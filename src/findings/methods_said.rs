//! Where a job states how a trap is vented.

use std::collections::BTreeSet;

use super::context::Context;
use crate::diagnostics::Span;
use crate::job::Stack;
use crate::network::{RunIx, Trap, TrapIx};

/// Where the job states the method of a trap: at its `vent` or `vented_by`, or the `method` of its
/// stack; none where the tool chose it.
pub(super) fn said(ctx: &Context<'_>, ix: TrapIx, trap: &Trap) -> Option<Span> {
    let fixture = ctx.fixture(ix)?;
    let own = fixture.vented_by.as_ref().map(|s| &s.span);
    let own = own.or(fixture.vent.as_ref().map(|s| &s.span));
    own.cloned().or_else(|| {
        let (_, run) = ctx.net.way_to_stack(ix).filter(|_| trap.vent.by_stack())?;
        Some(stack(ctx, run)?.method.as_ref()?.span.clone())
    })
}

/// The stack of the job that a run is.
pub(super) fn stack<'a>(ctx: &Context<'a>, run: RunIx) -> Option<&'a Stack> {
    let stacks = &ctx.net.draft.stacks;
    let at = stacks.iter().position(|r| *r == run.0)?;
    ctx.job.stacks.get(at)
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
