//! What else enters the drains: discharges of basins, feet of island vents; and what marks a place
//! in them: cleanouts, valves, footings.

use super::read::{amiss, station, wrong};
use super::{CleanoutAt, Draft, DraftCleanout, Entrant, Who};
use crate::job::{CleanoutKind, Job, Target};
use crate::network::faults::{self, Faults};
use crate::network::model::RunKind;

/// The discharges of basins and the feet of island vents.
pub(super) fn discharges(job: &Job, draft: &mut Draft, faults: &mut Faults) {
    for (i, b) in job.basins.iter().enumerate() {
        let at = station(&b.name, b.station.as_ref(), faults);
        let to = match b.into.as_ref().map(|t| &t.value) {
            Some(Target::Drain(d)) => draft.drains.get(*d).copied(),
            Some(Target::Stack(s)) => draft.stacks.get(*s).copied(),
            _ => None,
        };
        match (to, &b.into) {
            (Some(run), _) => draft.runs[run].entrants.push(Entrant {
                station: at,
                floor: b.floor,
                span: Some(b.span.clone()),
                ..Entrant::new(Who::Basin(i), &b.name)
            }),
            (None, Some(into)) => {
                let help = "a basin pumps into a drain or a stack";
                wrong(&b.name, "the basin", into, help, faults);
            }
            (None, None) => {
                let message = format!("basin `{}` does not say what it pumps into", b.name);
                let help = "add into = \"…\", a drain or a stack";
                faults.error(
                    faults::BASIN_LOST,
                    &b.name,
                    Some(b.span.clone()),
                    message,
                    help,
                );
            }
        }
    }
    for (i, v) in job.vents.iter().enumerate() {
        let Some((foot, at)) = &v.foot else { continue };
        let run = match foot.value {
            Target::Drain(d) => draft.drains.get(d).copied(),
            _ => None,
        };
        match run {
            Some(run) => draft.runs[run].entrants.push(Entrant {
                station: *at,
                span: Some(v.span.clone()),
                ..Entrant::new(Who::Foot(i), &v.name)
            }),
            None => {
                let help = "the foot of an island vent stands on a drain";
                amiss(
                    (&v.name, "the foot of vent", "stand on"),
                    foot,
                    help,
                    faults,
                );
            }
        }
    }
}

/// Cleanouts, valves and footings.
pub(super) fn marks(job: &Job, draft: &mut Draft, faults: &mut Faults) {
    let on = |draft: &Draft, target: &Target| match target {
        Target::Drain(d) => draft.drains.get(*d).copied(),
        Target::Stack(s) => draft.stacks.get(*s).copied(),
        _ => None,
    };
    for (i, c) in job.cleanouts.iter().enumerate() {
        let at = station(&c.name, c.station.as_ref(), faults);
        let Some(run) = on(draft, &c.on.value) else {
            amiss(
                (&c.name, "the cleanout", "stand on"),
                &c.on,
                "a cleanout stands on a drain or a stack",
                faults,
            );
            continue;
        };
        let stack = draft.runs[run].kind == RunKind::Stack;
        if at.is_some() && !stack {
            draft.runs[run].entrants.push(Entrant {
                station: at,
                span: Some(c.span.clone()),
                ..Entrant::new(Who::Cleanout(i), &c.name)
            });
        } else {
            draft.cleanouts.push(DraftCleanout {
                id: c.name.clone(),
                job: Some(i),
                run,
                at: if stack {
                    CleanoutAt::Foot
                } else {
                    CleanoutAt::Head
                },
                kind: c.kind.unwrap_or(match stack {
                    true => CleanoutKind::Stack,
                    false => CleanoutKind::End,
                }),
            });
        }
    }
    for (i, v) in job.valves.iter().enumerate() {
        let at = station(&v.name, v.station.as_ref(), faults);
        match on(draft, &v.on.value).filter(|&r| draft.runs[r].kind != RunKind::Stack) {
            Some(run) => draft.runs[run].entrants.push(Entrant {
                station: at,
                span: Some(v.span.clone()),
                ..Entrant::new(Who::Valve(i), &v.name)
            }),
            None => amiss(
                (&v.name, "the valve", "stand on"),
                &v.on,
                "a valve stands in a drain",
                faults,
            ),
        }
    }
    for (i, x) in job.footings.iter().enumerate() {
        let at = station(&x.name, x.station.as_ref(), faults);
        match on(draft, &x.on.value).filter(|&r| draft.runs[r].kind != RunKind::Stack) {
            // Somewhere on the drain is no place to cut it: what lies beyond would lose its level.
            Some(_) if at.is_none() => {}
            Some(run) => draft.runs[run].entrants.push(Entrant {
                station: at,
                span: Some(x.span.clone()),
                ..Entrant::new(Who::Footing(i), &x.name)
            }),
            None => amiss(
                (&x.name, "the footing", "stand on"),
                &x.on,
                "a footing crosses a drain",
                faults,
            ),
        }
    }
}
