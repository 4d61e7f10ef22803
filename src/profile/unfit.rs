//! Whether a drain lies too high, and where that comes from.

use crate::catalogue;
use crate::levels::bounds;
use crate::network::run_called;
use crate::solve::Work;
use crate::units::Printer;

/// That the drains do not fit: the place that lacks most room, farthest upstream, and what bounds it.
pub(super) fn unfit(work: &Work<'_>, called: &str) -> Option<String> {
    let print = Printer {
        units: work.job.units,
    };
    let fine = catalogue::fine();
    let stations = work.solution.levels.stations.iter();
    let short = stations.filter_map(|s| {
        let room = s.room.filter(|r| -r.spare > fine)?;
        Some((s, room))
    });
    // All that lies downstream of the worst place lacks as much; that one is last.
    let worst = short.reduce(|a, b| match b.1.spare <= a.1.spare + fine {
        true => b,
        false => a,
    });
    let (s, room) = worst?;
    let run = work.net.runs.iter().find(|r| r.id == s.run);
    let on = run.map_or_else(|| s.run.clone(), |r| run_called(work.net, r));
    let fixture = s.place.strip_prefix("junction of ");
    let at = fixture.and_then(|f| work.job.fixtures.iter().find(|x| x.name == f));
    let room_name = at.and_then(|f| f.room.as_deref());
    let room_name = room_name.map(|r| format!(" ({r})")).unwrap_or_default();
    Some(format!(
        "Does not fit: all from the {called} up lies {} too high for the {} on the {on}{room_name}, \
         whose limit is: {}.",
        print.short(print.rounded_up(room.spare.abs())),
        s.place,
        bounds::words(work.job, work.net, room.bound)
    ))
}
