//! The foot of an island vent that states none: on the island's own drain, downstream of it.

use super::notes::Notes;
use crate::job::Job;
use crate::network::draft::{Draft, Entrant, Root, Who};

/// Lets the foot of each such vent enter the drain just below its fixture.
pub(crate) fn propose(job: &Job, draft: &mut Draft, notes: &mut Notes<'_>) {
    for (v, vent) in job.vents.iter().enumerate() {
        let island = vent.kind.as_ref().is_some_and(|k| k.value == "island");
        if !island || vent.foot.is_some() {
            continue;
        }
        let fixture = job
            .fixtures
            .iter()
            .position(|f| f.vent.as_ref().is_some_and(|x| x.value == v));
        let Some(fixture) = fixture else { continue };
        let Some(Root::Run(run)) = draft.fixtures.get(fixture).and_then(|f| f.home) else {
            continue;
        };
        let Some(own) = draft.runs.get_mut(run) else {
            continue;
        };
        let at = own
            .entrants
            .iter()
            .position(|e| e.who == Who::Fixture(fixture));
        let Some(at) = at else { continue };
        own.entrants.insert(
            at,
            Entrant {
                span: Some(vent.span.clone()),
                ..Entrant::new(Who::Foot(v), vent.name.clone())
            },
        );
        let id = own.id.clone();
        let reason = notes.method(
            "island",
            "an island vent needs a foot on the drain below it",
        );
        notes.add(&vent.name, format!("its foot on {id}"), reason);
    }
}
