//! Fixtures below the rim of the next manhole upstream in the sewer drain by themselves, through a
//! backwater valve, where the job leaves their way open: so nothing from above passes the valve.

use super::branches::{names, on_main};
use super::notes::Notes;
use super::routes::proposed;
use crate::job::{FloorIx, Job};
use crate::network::draft::{Draft, Entrant, Root, Who};
use crate::network::{Ids, RunKind, State};
use crate::sizing::traps::rim;
use crate::units::Length;

/// The kind of such a valve, as jobs say it.
pub(crate) const BACKWATER: &str = "backwater";

/// Whether a fixture of the building drain is for the protected branch: it lies below the manhole,
/// and the job says neither where it drains to nor of any backwater valve.
pub(super) fn below_manhole(
    job: &Job,
    draft: &Draft,
    main: usize,
    f: usize,
    notes: &Notes<'_>,
) -> bool {
    let below = || {
        let by_floor = notes.book.backwater_by_floor()?.value;
        let Some(Root::Exit(exit)) = draft.runs.get(main)?.root else {
            return None;
        };
        let manhole = job.exits.get(exit)?.sewer.as_ref()?.manhole_rim?;
        let fixture = job.fixtures.get(f)?;
        let open = fixture.into.is_none() && fixture.station.is_none() && fixture.at.is_none();
        let floor: Option<FloorIx> = draft.fixtures.get(f)?.floor;
        let floor = job.floors.get(floor?.0)?;
        let above = if by_floor {
            Length::ZERO
        } else {
            rim(fixture)?
        };
        Some(open && floor.level + above < manhole)
    };
    let stated = job.valves.iter().any(|v| v.kind.value == BACKWATER);
    !stated && below().unwrap_or(false)
}

/// Proposes the branch of such fixtures, with its valve.
pub(super) fn propose(
    job: &Job,
    draft: &mut Draft,
    (main, fixtures): (usize, &[usize]),
    taken: &mut Ids,
    notes: &mut Notes<'_>,
) {
    let Some(owner) = draft.runs.get(main).map(|r| r.id.clone()) else {
        return;
    };
    let id = taken.take(format!("{owner}.protected"));
    let floor = fixtures
        .iter()
        .find_map(|&f| draft.fixtures.get(f).and_then(|way| way.floor));
    let mut run = proposed(id.clone(), RunKind::BuildingBranch, Root::Run(main));
    run.floor = floor;
    run.state = State::Proposed;
    run.entrants.push(Entrant::new(Who::Backwater, BACKWATER));
    let at = draft.runs.len();
    draft.runs.push(run);
    if let Some(main) = draft.runs.get_mut(main) {
        main.entrants.push(Entrant {
            floor,
            ..Entrant::new(Who::Run(at), id.clone())
        });
    }
    on_main(job, draft, at, fixtures, taken, notes);
    let section = notes.book.backwater_by_floor().map(|f| f.section);
    let reason = format!(
        "they lie below the rim of the next manhole upstream, and nothing from above may pass \
         their valve ({})",
        section.unwrap_or_default()
    );
    let whom = names(job, fixtures).join(", ");
    let what = format!("a branch with a backwater valve for {whom}");
    notes.add(&id, what, reason);
}
