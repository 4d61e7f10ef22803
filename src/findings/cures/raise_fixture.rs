//! The fixture that bounds the drain is raised: a wall outlet within its bowl's reach, what drains
//! through the floor on a platform no higher than a step.

use super::Subject;
use super::subject::up;
use crate::catalogue::{self, Outlet};
use crate::diagnostics::Cure;
use crate::job::edit::{Edit, length_words};
use crate::levels::Bound;

/// Raises the outlet by what is wanting.
pub(super) fn cures(s: &Subject<'_>) -> Vec<Cure> {
    cure(s).into_iter().collect()
}

fn cure(s: &Subject<'_>) -> Option<Cure> {
    let Bound::Outlet(trap) = s.room.bound else {
        return None;
    };
    let (ctx, print) = (s.ctx, s.ctx.print);
    let fixture = ctx.fixture(trap)?;
    let kind = catalogue::kind(&fixture.kind.value)?;
    let old = fixture.outlet.unwrap_or(kind.default_outlet.height);
    // By no more than is wanting: what it stated of its outlet has to agree with the levels.
    let new = up(old - s.room.spare, s.fine());
    let by = print.short(new - old);
    let name = &fixture.name;
    let words = match kind.outlet {
        Outlet::Wall => {
            let bowl = ctx.rim(fixture)? + kind.deepest_bowl?.height;
            (new <= bowl).then_some(())?;
            format!("raise the outlet of {name} by {by}")
        }
        Outlet::Floor if kind.floor_drain => return None,
        Outlet::Floor => {
            (new - old <= catalogue::platform()?.value).then_some(())?;
            format!("stand {name} on a platform of {by}")
        }
        Outlet::Indirect => return None,
    };
    let value = length_words(new, ctx.job.units);
    Some(Cure {
        words,
        edits: vec![Edit::write(
            &["fixtures", name, "outlet"],
            format!("\"{value}\""),
        )],
    })
}
