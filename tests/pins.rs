//! Pins: each kind is kept by the drawing where the job leaves the thing free, what the job states
//! wins, and a name of nothing is an error with the nearest right one.

use stackfall::diagnostics::Diagnostic;
use stackfall::pipeline::{self, Options, Placed};
use stackfall::projection::Space;

const JOB: &str = r#"
[job]
title = "Pins"
code = "irc-2021"

[floors]
first = { level = "0", joists = "11 7/8in" }
second = { level = "10'", joists = "11 7/8in" }
roof = { level = "20'" }

[exit]
heading = "south"

[stacks]
S1 = {}
S2 = {}

[drains]
b1 = { into = "S1", floor = "second" }
b2 = { into = "S1", floor = "second" }

[fixtures]
WC-1 = { kind = "water closet", floor = "second", into = "b1" }
LAV-1 = { kind = "lavatory", floor = "second", into = "b1" }
KS-1 = { kind = "kitchen sink", floor = "second", into = "b2" }
KS-2 = { kind = "kitchen sink", floor = "second", into = "S2" }
"#;

fn placed(pins: &str) -> Placed {
    let text = format!("{JOB}\n[pins]\n{pins}\n");
    let options = Options::default();
    pipeline::placed_text("pins", "pins.toml", &text, &options)
        .unwrap_or_else(|f| panic!("{pins}: {:#?}", f.problems))
}

/// What is told of pins.
fn told(pins: &str) -> Vec<Diagnostic> {
    let text = format!("{JOB}\n[pins]\n{pins}\n");
    let options = Options::default();
    let all = match pipeline::run_text("pins", "pins.toml", &text, &options) {
        Ok(run) => run.findings,
        Err(failure) => failure.problems,
    };
    let of_pins = |d: &Diagnostic| d.code == "P103" || d.code == "J015";
    all.into_iter().filter(of_pins).collect()
}

/// The path of a pipe, from its upstream end.
fn path(placed: &Placed, id: &str) -> Vec<Space> {
    let mut pipes = placed.plans.iter().flat_map(|p| &p.placement.pipes);
    let found = pipes.find(|p| placed.net.graph[p.piece].id == id);
    found.unwrap_or_else(|| panic!("no pipe {id}")).path.clone()
}

/// How far to the right a pipe leads from where it begins.
fn right(placed: &Placed, id: &str) -> f64 {
    let path = path(placed, id);
    (path[path.len() - 2] - path[path.len() - 1]).paper().x
}

#[test]
fn a_branch_leads_to_the_side_that_is_pinned() {
    for branch in ["b1", "b2"] {
        let first = if branch == "b1" { "b1.WC-1" } else { "b2.KS-1" };
        let left = placed(&format!("P1 = {{ on = \"{branch}\", side = \"left\" }}"));
        assert!(right(&left, first) < 0.0, "{branch}");
        let pin = format!("P1 = {{ on = \"{branch}\", side = \"right\" }}");
        assert!(right(&placed(&pin), first) > 0.0, "{branch}");
        assert!(told(&pin).is_empty(), "{branch}: {:#?}", told(&pin));
    }
}

#[test]
fn a_branch_runs_along_the_heading_that_is_pinned() {
    for heading in ["north", "east", "south", "west"] {
        let placed = placed(&format!("P1 = {{ on = \"b1\", heading = \"{heading}\" }}"));
        let path = path(&placed, "b1.WC-1");
        let step = path[path.len() - 2] - path[path.len() - 1];
        let corner = placed.plans[0].placement.corner;
        let wanted = stackfall::units::Heading::from_word(heading).expect("a heading");
        let unit = corner.way(wanted).unit();
        let along = step.x * unit.x + step.y * unit.y + step.z * unit.z;
        assert!((along - step.length()).abs() < 1e-6, "{heading}");
    }
}

#[test]
fn a_pipe_is_as_long_as_it_is_pinned() {
    let free = placed("");
    let long = |p: &Placed| {
        let path = path(p, "LAV-1.arm");
        (path[0] - path[path.len() - 1]).length()
    };
    let pinned = placed("P1 = { on = \"LAV-1.arm\", length = \"70mm\" }");
    assert!(long(&free) < 70.0, "{}", long(&free));
    assert!(long(&pinned) >= 70.0, "{}", long(&pinned));
}

#[test]
fn an_order_is_kept_on_a_drain_and_up_a_stack() {
    let above = |p: &Placed, one: &str, other: &str| {
        let z = |id: &str| path(p, id).last().map_or(0.0, |s| s.z);
        z(one) - z(other)
    };
    let free = placed("");
    assert!(above(&free, "b2.KS-1", "b1.WC-1") > 0.0);
    let turned = placed("P1 = { on = \"b1\", after = \"b2\" }");
    assert!(above(&turned, "b2.KS-1", "b1.WC-1") < 0.0);
    // Along the drain: so many pipes from the foot of a stack to the exit.
    let exit = |p: &Placed, stack: &str| {
        let run = p.net.runs.iter().find(|r| r.id == stack).expect("a stack");
        let foot = p.net.to(run.pieces[0]).expect("a foot");
        let mut at = foot;
        let mut steps = 0;
        while let Some(piece) = p.net.downstream(at) {
            at = p.net.to(piece).expect("an end");
            steps += 1;
        }
        steps
    };
    assert!(exit(&free, "S2") > exit(&free, "S1"));
    let turned = placed("P1 = { on = \"S1\", after = \"S2\" }");
    assert!(exit(&turned, "S2") < exit(&turned, "S1"));
    assert!(told("P1 = { on = \"S1\", after = \"S2\" }").is_empty());
}

#[test]
fn what_a_pin_names_must_be_there() {
    let told = told("P1 = { on = \"b11\", side = \"left\" }\nP2 = { on = \"S1\", after = \"S3\" }");
    assert_eq!(told.len(), 2, "{told:#?}");
    assert!(told.iter().all(|d| d.code == "J015" && d.span.is_some()));
    let help: Vec<&str> = told.iter().filter_map(|d| d.help.as_deref()).collect();
    assert!(
        help[0].contains("`b1`") && help[1].contains("did you mean `S"),
        "{help:?}"
    );
}

/// Two branches of one floor cannot lead both along the vent of the other: the drawing decides, and
/// what it does not keep is told.
#[test]
fn a_pin_that_the_drawing_does_not_keep_is_told() {
    let main = "P1 = { on = \"b1\", heading = \"north\", side = \"left\" }\n\
                P2 = { on = \"b2\", heading = \"north\", side = \"right\" }";
    let told = told(main);
    assert_eq!(told.len(), 1, "{told:#?}");
    assert_eq!(told[0].code, "P103");
}
