//! What passes through a hole, in words. Where its name is its tag, the tag says it.

use crate::job::Job;
use crate::network::{NetCleanout, Network, Run, RunKind, TrapIx, run_called};

/// A vent or a pumped discharge.
pub(super) fn vent(net: &Network, run: &Run) -> String {
    without_name(run_called(net, run), &run.id)
}

/// A drain, or the drop of a fixture.
pub(super) fn drain(job: &Job, net: &Network, run: &Run, trap: Option<TrapIx>) -> String {
    match (run.kind, trap) {
        (RunKind::FixtureDrain, Some(trap)) => format!("{} drain", fixture(job, net, trap)),
        _ => without_name(run_called(net, run), &run.id),
    }
}

/// A fixture.
pub(super) fn fixture(job: &Job, net: &Network, trap: TrapIx) -> String {
    let of = net.traps.get(trap.0);
    let of = of.and_then(|t| job.fixtures.get(t.fixture));
    of.map_or("fixture", |f| f.kind.value.as_str()).to_owned()
}

/// A cleanout.
pub(super) fn cleanout(net: &Network, cleanout: &NetCleanout) -> String {
    match net.runs.get(cleanout.run.0) {
        Some(run) if cleanout.id.contains('.') => {
            let called = run_called(net, run);
            let the = if called == "building drain" {
                "the "
            } else {
                ""
            };
            format!("cleanout of {the}{called}")
        }
        _ => "cleanout".to_owned(),
    }
}

fn without_name(words: String, name: &str) -> String {
    let bare = words.strip_suffix(name).map(str::trim_end);
    let bare = bare.map(|w| w.strip_suffix(" of").unwrap_or(w));
    bare.map_or(words.clone(), str::to_owned)
}
