//! Pinned orders: what enters one drain or stack, where no station says where.

use crate::job::Job;
use crate::network::draft::{Draft, DraftRun, Who};

/// Sets each thing that is pinned after another right behind that, in every run that both enter;
/// what states its station stays.
pub fn order(job: &Job, draft: &mut Draft) {
    for pin in &job.pins {
        let Some(after) = &pin.after else { continue };
        for run in 0..draft.runs.len() {
            let place = |name: &str| {
                let own = &draft.runs[run];
                let mut all = own.entrants.iter();
                all.position(|e| {
                    e.name == name || of_run(&e.who, draft).is_some_and(|r| r.id == name)
                })
            };
            let both = place(&pin.on.value).zip(place(&after.value));
            let Some((one, other)) = both.filter(|(one, other)| one != other) else {
                continue;
            };
            let entrants = &mut draft.runs[run].entrants;
            if entrants[one].station.is_none() && one < other {
                let entrant = entrants.remove(one);
                entrants.insert(other, entrant);
            } else if entrants[one].station.is_none() {
                let entrant = entrants.remove(one);
                entrants.insert(other + 1, entrant);
            }
        }
    }
}

fn of_run<'d>(who: &Who, draft: &'d Draft) -> Option<&'d DraftRun> {
    match who {
        Who::Run(run) => draft.runs.get(*run),
        _ => None,
    }
}
