//! Fixtures.

use super::pipes::{into, itself, station};
use crate::job::model::{Fixture, FloorIx, Said};
use crate::job::problems::{MISSING_KEY, any_of};
use crate::job::resolve::Resolver;
use crate::job::values::Values;

/// Reads one fixture.
pub(super) fn fixture(v: &Values, r: &mut Resolver<'_>) -> Fixture {
    let into = into(v, r);
    let station = station(v, &into, r);
    Fixture {
        name: v.name.clone(),
        span: v.span.clone(),
        // A fixture without a kind has been reported as such.
        kind: v.text("kind").unwrap_or(Said {
            value: String::new(),
            span: v.span.clone(),
        }),
        room: v.words("room"),
        floor: floor(v, r),
        into,
        station,
        side: v.heading("side"),
        at: v.at("at"),
        run: v.legs("run"),
        arm: v.length("arm"),
        size: v.size("size"),
        fall: v.fall("fall"),
        outlet: v.plain_length("outlet"),
        rim: v.plain_length("rim"),
        gpf: v.number("gpf").map(|g| g.value),
        flow: v.flow("flow").map(|f| f.value),
        heads: v.count("heads").map(|c| c.value),
        with: v
            .texts("with")
            .map(|t| t.value.into_iter().map(|s| s.value).collect())
            .unwrap_or_default(),
        vent: r.index(v, "vent"),
        vented_by: other(v, "vented_by", r),
        primed_by: other(v, "primed_by", r),
        over: other(v, "over", r),
        gap: v.plain_length("gap"),
        load: v.load("load"),
        trap: v.size("trap"),
        public: v.flag("public"),
        emergency: v.flag("emergency"),
        existing: v.flag("existing"),
        future: v.flag("future"),
    }
}

/// The floor it stands on. With one floor there is nothing to state; with more there is.
fn floor(v: &Values, r: &mut Resolver<'_>) -> Option<FloorIx> {
    if !v.lacks("floor") {
        return r.floor(v, "floor");
    }
    match r.floor_order {
        [] => None,
        [_] => Some(FloorIx(0)),
        floors => {
            let help = format!("expected {}", any_of(floors.iter().map(String::as_str)));
            let message = format!("fixture `{}` does not say on which floor it stands", v.name);
            r.problems
                .add(MISSING_KEY, &v.name, v.span.clone(), message, Some(help));
            None
        }
    }
}

/// Another fixture, by index.
fn other(v: &Values, key: &str, r: &mut Resolver<'_>) -> Option<Said<usize>> {
    if itself(v, key, r) {
        None
    } else {
        r.index(v, key)
    }
}
