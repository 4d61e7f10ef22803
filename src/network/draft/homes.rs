//! The way that each fixture's water takes, as far as it is stated, and on which floor it stands.

use super::read::{legs, station, wrong};
use super::{Draft, DraftFixture, Entrant, Root, Who};
use crate::diagnostics::Span;
use crate::job::{FloorIx, Job, Said, Target};
use crate::network::faults::{self, Faults};
use crate::network::kinds::ways;
use crate::network::model::RunKind;
use crate::units::Length;

/// The way of each fixture, as far as it is stated.
pub(super) fn homes(job: &Job, draft: &mut Draft, faults: &mut Faults) {
    for f in &job.fixtures {
        let ways = ways(&f.kind.value);
        let only = (job.floors.len() == 1).then_some(FloorIx(0));
        let positive = |l: &Option<Said<Length>>| l.as_ref().map(|l| (l.value, l.span.clone()));
        if let Some((length, span)) = positive(&f.arm)
            && !(length.mm() > 0.0 && length.mm().is_finite())
        {
            let message = format!(
                "the arm of `{}` has a length that is not above nought",
                f.name
            );
            let help = "the arm goes from the vent fitting to the trap weir";
            faults.error(faults::BAD_LENGTH, &f.name, Some(span), message, help);
        }
        draft.fixtures.push(DraftFixture {
            home: None,
            floor: f.floor.or(only),
            indirect: f.over.is_some() || (ways.indirect && f.into.is_none()),
            drop: legs(&f.name, &f.run, faults),
            has_drop: !f.run.is_empty() || ways.wall,
            offset: None,
            side: f.side.as_ref().map(|s| s.value),
            arm: f.arm.as_ref().map(|a| a.value),
            arm_limit: None,
        });
    }
    for (i, f) in job.fixtures.iter().enumerate() {
        let at = station(&f.name, f.station.as_ref(), faults);
        if draft.fixtures[i].indirect {
            continue;
        }
        let Some(into) = &f.into else { continue };
        let (home, with) = match follow(job, i) {
            Some((Target::Drain(d), with)) => (draft.drains.get(d).map(|&r| Root::Run(r)), with),
            Some((Target::Basin(b), with)) if b < job.basins.len() => (Some(Root::Basin(b)), with),
            // Into a stack or an exit it needs a drain of its own: proposed later.
            Some((Target::Stack(_) | Target::Exit(_), _)) => (None, None),
            Some(_) => {
                let help = "a fixture flows into a drain, a stack or a basin";
                wrong(&f.name, "the fixture", into, help, faults);
                (None, None)
            }
            None => (None, None),
        };
        if let Some(home) = home {
            settle_in(job, draft, i, home, at, with);
        }
    }
    floors(job, draft, faults);
}

/// Where a fixture's water goes, through the fixtures whose drains it shares.
fn follow(job: &Job, fixture: usize) -> Option<(Target, Option<usize>)> {
    let (mut at, mut with) = (fixture, None);
    for _ in 0..=job.fixtures.len() {
        match &job.fixtures.get(at)?.into.as_ref()?.value {
            Target::Fixture(next) => {
                with.get_or_insert(*next);
                at = *next;
            }
            other => return Some((other.clone(), with)),
        }
    }
    Some((Target::Fixture(at), None))
}

/// Lets a fixture enter a run or a basin.
pub(crate) fn settle_in(
    job: &Job,
    draft: &mut Draft,
    fixture: usize,
    home: Root,
    station: Option<Length>,
    with: Option<usize>,
) {
    let (Some(f), Some(own)) = (job.fixtures.get(fixture), draft.fixtures.get_mut(fixture)) else {
        return;
    };
    own.home = Some(home);
    let Root::Run(run) = home else { return };
    let with = with.or_else(|| shares(job, draft, fixture, run));
    if let Some(run) = draft.runs.get_mut(run) {
        run.entrants.push(Entrant {
            station,
            with: with.filter(|_| station.is_none()),
            floor: draft.fixtures[fixture].floor,
            span: Some(f.span.clone()),
            ..Entrant::new(Who::Fixture(fixture), &f.name)
        });
    }
}

/// The fixture before it on the same run that names the same vent, so that both use one fitting.
fn shares(job: &Job, draft: &Draft, fixture: usize, run: usize) -> Option<usize> {
    let f = job.fixtures.get(fixture)?;
    let vent = f.vent.as_ref()?.value;
    let way = draft.fixtures.get(fixture)?;
    (draft.runs.get(run)?.entrants.iter()).find_map(|e| {
        let Who::Fixture(other) = e.who else {
            return None;
        };
        let (g, its) = (job.fixtures.get(other)?, draft.fixtures.get(other)?);
        let same = g.vent.as_ref().is_some_and(|v| v.value == vent)
            && f.station.is_none()
            && its.floor == way.floor
            && (its.has_drop, &its.drop) == (way.has_drop, &way.drop);
        same.then_some(other)
    })
}

/// Floors that follow from what stands on a drain or from the drain itself.
fn floors(job: &Job, draft: &mut Draft, faults: &mut Faults) {
    // From the leaves down: drains far from the exit may stand first or last in the file.
    for _ in 0..2 {
        for run in (0..draft.runs.len()).chain((0..draft.runs.len()).rev()) {
            if draft.runs[run].floor.is_some() || draft.runs[run].kind == RunKind::Stack {
                continue;
            }
            let found = draft.runs[run].entrants.iter().find_map(|e| match e.who {
                Who::Fixture(f) => draft.fixtures.get(f).and_then(|f| f.floor),
                Who::Run(r) if draft.runs[r].kind != RunKind::Stack => draft.runs[r].floor,
                _ => None,
            });
            // The floor of a building drain is not that of what stands on it.
            if matches!(draft.runs[run].root, Some(Root::Run(p)) if draft.runs[p].kind == RunKind::Stack)
            {
                draft.runs[run].floor = found;
            }
        }
    }
    for run in 0..draft.runs.len() {
        for e in 0..draft.runs[run].entrants.len() {
            let entrant = &draft.runs[run].entrants[e];
            let floor = match entrant.who {
                Who::Run(r) => draft.runs[r].floor,
                Who::Fixture(f) => draft.fixtures[f].floor.or(draft.runs[run].floor),
                _ => None,
            };
            if let Who::Fixture(f) = entrant.who {
                draft.fixtures[f].floor = floor;
            }
            let entrant = &mut draft.runs[run].entrants[e];
            entrant.floor = entrant.floor.or(floor);
            if draft.runs[run].kind == RunKind::Stack && draft.runs[run].entrants[e].floor.is_none()
            {
                let e = &draft.runs[run].entrants[e];
                missing(&e.name.clone(), e.span.clone(), faults);
            }
        }
    }
    for (i, f) in job.fixtures.iter().enumerate() {
        let own = &mut draft.fixtures[i];
        if let (None, Some(Root::Basin(b))) = (own.floor, own.home) {
            own.floor = job.basins.get(b).and_then(|b| b.floor);
        }
        if own.floor.is_none() && !own.indirect {
            missing(&f.name, Some(f.span.clone()), faults);
        }
    }
}

fn missing(of: &str, span: Option<Span>, faults: &mut Faults) {
    let message = format!("nothing says on which floor `{of}` is");
    faults.error(
        faults::FLOOR_MISSING,
        of,
        span,
        message,
        "add floor = \"…\"",
    );
}
