//! A job that leaves the way of its fixtures open gets no backwater valve that water from above
//! passes, and no fixture that the sewer can come up through.

use super::complete;
use crate::common::Worked;

/// A house on a low lot, its first floor above the manhole and its basement below.
fn house(code: &str, more: &str) -> Worked {
    let text = format!(
        r#"
[job]
title = "Low house"
code = "{code}"
[floors]
basement = {{ level = "-9'", slab = "4in" }}
first = {{ level = "0" }}
roof = {{ level = "10'" }}
[exit]
invert = "-11'"
heading = "south"
sewer = {{ manhole_rim = "-7'" }}
[stacks]
S1 = {{}}
[fixtures]
WC-1 = {{ kind = "water closet", floor = "first" }}
LAV-1 = {{ kind = "lavatory", floor = "first" }}
WC-2 = {{ kind = "water closet", floor = "basement" }}
LAV-2 = {{ kind = "lavatory", floor = "basement", rim = "32in" }}
FD-1 = {{ kind = "floor drain", floor = "basement", primed_by = "LAV-1" }}
{more}
"#
    );
    complete(&text)
        .unwrap_or_else(|e| panic!("{e:#?}"))
        .worked()
}

/// What drains through the valves, by name.
fn behind(w: &Worked) -> Vec<&str> {
    let net = &w.net;
    let valves: Vec<_> = net.valves.iter().map(|v| v.joint).collect();
    let through = |trap: &&stackfall::network::Trap| {
        let mut at = trap.joint;
        while let Some(joint) = at {
            if valves.contains(&joint) {
                return true;
            }
            at = net.downstream(joint).and_then(|p| net.to(p));
        }
        false
    };
    let found = net.traps.iter().filter(through);
    found
        .map(|t| w.job.fixtures[t.fixture].name.as_str())
        .collect()
}

fn codes(w: &Worked) -> Vec<&str> {
    let open = w.findings.open.iter().map(|d| d.code);
    open.filter(|c| c.starts_with('B')).collect()
}

#[test]
fn what_lies_below_the_manhole_drains_by_itself_through_a_valve() {
    // By the floor: all of the basement. By the rim: the lavatory's lies above the manhole.
    for (code, kept) in [
        ("ipc-2021", &["WC-2", "LAV-2", "FD-1"][..]),
        ("irc-2021", &["WC-2", "FD-1"][..]),
    ] {
        let w = house(code, "");
        assert_eq!(behind(&w), kept, "{code}");
        assert_eq!(w.net.valves.len(), 1);
        assert!(codes(&w).is_empty(), "{code}: {:?}", codes(&w));
        assert!(
            w.net
                .proposals
                .iter()
                .any(|p| p.what.contains("backwater valve"))
        );
    }
}

#[test]
fn what_the_job_states_stays() {
    // A valve of the job: none is proposed beside it.
    let valve =
        "[drains]\nbb = { into = \"exit\" }\n[valves]\nBW = { kind = \"backwater\", on = \"bb\" }";
    assert_eq!(house("ipc-2021", valve).net.valves.len(), 1);
    // A fixture that names its stack stays on it, and the finding stands.
    let w = house(
        "ipc-2021",
        "SH-3 = { kind = \"shower\", floor = \"basement\", into = \"S1\" }",
    );
    assert!(!behind(&w).contains(&"SH-3"));
    assert_eq!(codes(&w), ["B102"]);
}

#[test]
fn no_manhole_no_valve() {
    let w = house("ipc-2021", "");
    assert!(!w.net.valves.is_empty());
    let text = "[job]\ncode = \"ipc-2021\"\n[floors]\nb = { level = \"-9'\" }\n[fixtures]\nWC-1 = { kind = \"water closet\" }\n";
    let w = complete(text).unwrap_or_else(|e| panic!("{e:#?}")).worked();
    assert!(w.net.valves.is_empty());
}
