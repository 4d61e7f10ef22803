//! Which venting methods are proposed where a job allows, prefers or forbids them.

use stackfall::diagnostics::Severity;
use stackfall::network::{JointIx, RunKind, VentMethod};

use super::common::{Worked, worked};

/// Two storeys over a shop on one stack, under a code and with methods as the job states them.
fn flats(code: &str, methods: &str, more: &str) -> Worked {
    let mut text = format!(
        "[job]\ncode = \"{code}\"\nmethods = {{ {methods} }}\n[floors]\n\
         first = {{ level = \"0\", slab = \"4in\" }}\n\
         second = {{ level = \"12'\", joists = \"11 7/8in\" }}\n\
         third = {{ level = \"22'\", joists = \"11 7/8in\" }}\nroof = {{ level = \"33'\" }}\n\
         [exit]\ninvert = \"-5'\"\n[stacks]\nS1 = {{ {more} }}\n[fixtures]\n"
    );
    for (n, floor) in ["second", "third"].into_iter().enumerate() {
        for (tag, kind) in [
            ("WC", "water closet"),
            ("LAV", "lavatory"),
            ("BT", "bathtub"),
        ] {
            text += &format!(
                "{tag}-{n} = {{ kind = \"{kind}\", floor = \"{floor}\", room = \"Bath {n}\" }}\n"
            );
        }
    }
    worked("flats", &text)
}

fn methods(of: &Worked) -> Vec<&VentMethod> {
    of.net.traps.iter().map(|t| &t.vent).collect()
}

fn all_single(of: &Worked) -> bool {
    methods(of).iter().all(|m| **m == VentMethod::SingleStack)
}

#[test]
fn a_single_stack_only_where_the_job_allows_it() {
    let plain = flats("ipc-2021", "", "");
    assert!(!methods(&plain).contains(&&VentMethod::SingleStack));
    let allowed = flats("ipc-2021", "allow = [\"single stack\"]", "");
    assert!(all_single(&allowed), "{:?}", methods(&allowed));
    assert!(all_single(&flats(
        "ipc-2021",
        "prefer = [\"single stack\"]",
        ""
    )));
    // A book without it, and a job that forbids it or would rather have a vent at each trap.
    for (code, said) in [
        ("irc-2021", "allow = [\"single stack\"]"),
        (
            "ipc-2021",
            "allow = [\"single stack\"], forbid = [\"single stack\"]",
        ),
        (
            "ipc-2021",
            "allow = [\"single stack\"], prefer = [\"individual\"]",
        ),
    ] {
        let kept = flats(code, said, "");
        assert!(
            !methods(&kept).contains(&&VentMethod::SingleStack),
            "{code} {said}"
        );
    }
    assert!(errors(&allowed).is_empty(), "{:?}", errors(&allowed));
    let told = allowed
        .net
        .proposals
        .iter()
        .find(|p| p.what.contains("single stack"));
    assert!(
        told.is_some_and(|p| p.id == "S1.vent" && p.reason.contains("917.1")),
        "{told:?}"
    );
}

/// The stack is of one size up to the roof, by the table of single stacks.
#[test]
fn a_single_stack_is_of_one_size_up_to_the_roof() {
    let of = flats("ipc-2021", "allow = [\"single stack\"]", "");
    let runs = of
        .net
        .runs
        .iter()
        .filter(|r| r.id == "S1" || r.id == "S1.vent");
    let pieces = runs.flat_map(|r| r.pieces.iter());
    let sizes: Vec<_> = pieces.map(|p| &of.solution.sizing.pieces[p]).collect();
    assert!(sizes.len() >= 3);
    assert!(
        sizes.iter().all(|s| s.code_size == sizes[0].code_size),
        "{sizes:#?}"
    );
    assert_eq!(sizes[0].working.table.as_deref(), Some("Table 917.2"));
    assert_eq!(sizes[0].capacity.map(|c| c.number()), Some(24.0));
}

/// A third closet is more than 3 in takes: the stack is 4 in, and where it is stated as 3 in it is
/// not proposed so.
#[test]
fn more_closets_than_3_in_takes_make_the_stack_larger() {
    let text = |size: &str| {
        format!(
            "[job]\ncode = \"ipc-2021\"\nmethods = {{ allow = [\"single stack\"] }}\n[floors]\n\
             first = {{ level = \"0\", joists = \"12in\" }}\nroof = {{ level = \"10'\" }}\n\
             [stacks]\nS1 = {{ {size} }}\n[fixtures]\n\
             A = {{ kind = \"water closet\", floor = \"first\" }}\n\
             B = {{ kind = \"water closet\", floor = \"first\" }}\n\
             C = {{ kind = \"water closet\", floor = \"first\" }}\n"
        )
    };
    let of = worked("closets", &text(""));
    assert!(all_single(&of));
    let stack = of
        .net
        .runs
        .iter()
        .find(|r| r.id == "S1")
        .expect("the stack");
    let sizes = stack
        .pieces
        .iter()
        .map(|p| of.solution.sizing.pieces[p].size.inches());
    assert_eq!(sizes.fold(0.0, f64::max), 4.0);
    let small = worked("closets", &text("size = 3"));
    assert!(!methods(&small).contains(&&VentMethod::SingleStack));
}

/// Where a book goes by the size of the branch, sizing makes it as large as its length asks for;
/// a winding one is found.
#[test]
fn unvented_branches_by_their_size() {
    let text = |run: &str, size: &str| {
        format!(
            "[job]\ncode = \"tests/findings/towns/short-branches.toml\"\n[floors]\n\
             first = {{ level = \"0\", joists = \"24in\" }}\nroof = {{ level = \"10'\" }}\n\
             [exit]\ninvert = \"-8'\"\n[drains]\nmain = {{ into = \"exit\", run = [\"north 9'\"] }}\n\
             b = {{ into = \"S1\", floor = \"first\", invert = \"-18in\", run = [{run}]{size} }}\n\
             [stacks]\nS1 = {{ into = \"main\" }}\n[fixtures]\n\
             LAV = {{ kind = \"lavatory\", floor = \"first\", into = \"b\", run = [\"up 2'\"], arm = \"1'\" }}\n"
        )
    };
    let codes = |of: &Worked| -> Vec<&'static str> {
        let errors = of
            .findings
            .open
            .iter()
            .filter(|d| d.severity == Severity::Error);
        errors.map(|d| d.code).collect()
    };
    let size = |of: &Worked| {
        let run = of
            .net
            .runs
            .iter()
            .find(|r| r.id == "b")
            .expect("the branch");
        of.solution.sizing.pieces[&run.pieces[0]].size.inches()
    };
    for (run, inches) in [
        ("\"west 1'\"", 1.5),
        ("\"west 6'\"", 2.0),
        ("\"west 15'\"", 3.0),
    ] {
        let of = worked("branch", &text(run, ""));
        assert!(all_single(&of), "{run}");
        assert_eq!((size(&of), codes(&of)), (inches, vec![]), "{run}");
    }
    // Farther than the longest row: a vent. Too small as stated, or winding: found.
    assert!(!all_single(&worked("branch", &text("\"west 40'\"", ""))));
    let winding = "\"west 1'\", \"north 1'\", \"west 1'\", \"north 1'\", \"west 1'\"";
    assert_eq!(codes(&worked("branch", &text(winding, ""))), ["M103"]);
    let small = worked("branch", &text("\"west 6'\"", ", size = 1.5"));
    assert!(codes(&small).contains(&"M103"));
}

fn errors(of: &Worked) -> Vec<(&'static str, &str)> {
    let errors = of
        .findings
        .open
        .iter()
        .filter(|d| d.severity == Severity::Error);
    errors.map(|d| (d.code, d.at.as_str())).collect()
}

fn run<'a>(of: &'a Worked, id: &str) -> &'a stackfall::network::Run {
    let run = of.net.runs.iter().find(|r| r.id == id);
    run.unwrap_or_else(|| {
        panic!(
            "no run {id}: {:?}",
            of.net.runs.iter().map(|r| &r.id).collect::<Vec<_>>()
        )
    })
}

/// Required sizes along a run, from its foot up, inches.
fn required(of: &Worked, id: &str) -> Vec<f64> {
    let sizes = run(of, id)
        .pieces
        .iter()
        .map(|p| of.solution.sizing.pieces[p].code_size);
    sizes.map(|s| s.map_or(0.0, |s| s.inches())).collect()
}

fn name(of: &Worked, joint: JointIx) -> &str {
    &of.net.graph[joint].id
}

/// Sinks on one stack, with more of it as stated.
fn sinks(methods: &str, stack: &str, more: &str) -> Worked {
    worked(
        "sinks",
        &format!(
            "[job]\ncode = \"ipc-2021\"\nmethods = {{ {methods} }}\n[floors]\n\
             first = {{ level = \"0\", joists = \"12in\" }}\n\
             second = {{ level = \"10'\", joists = \"12in\" }}\nroof = {{ level = \"20'\" }}\n\
             [stacks]\nS1 = {{ {stack} }}\n[fixtures]\n\
             KS-1 = {{ kind = \"kitchen sink\", floor = \"first\" }}\n\
             KS-2 = {{ kind = \"kitchen sink\", floor = \"second\" }}\n\
             LAV-2 = {{ kind = \"lavatory\", floor = \"second\" }}\n{more}"
        ),
    )
}

fn all_waste(of: &Worked) -> bool {
    methods(of).iter().all(|m| **m == VentMethod::WasteStack)
}

#[test]
fn a_waste_stack_only_for_waste_that_joins_it_one_by_one() {
    let allow = "allow = [\"waste stack\"]";
    let of = sinks(allow, "", "");
    assert!(all_waste(&of), "{:?}", methods(&of));
    assert_eq!(errors(&of), vec![]);
    // Each has a branch of its own, without a drop, and the stack is of one size up to the roof.
    let branches = of.net.runs.iter().filter(|r| r.kind == RunKind::Branch);
    assert_eq!(branches.count(), 3);
    assert!(of.net.runs.iter().all(|r| r.kind != RunKind::FixtureDrain));
    let stack = required(&of, "S1");
    assert!(stack.iter().all(|s| *s == stack[0]));
    // The vent is as large as the stack that is laid, 3 in from the truck.
    assert_eq!(required(&of, "S1.vent"), [3.0]);
    // By the table of waste stacks 5 dfu need 2 1/2 in.
    assert_eq!(stack[0], 2.5);
    for (methods, stack, more) in [
        ("", "", ""),
        (
            allow,
            "",
            "WC = { kind = \"water closet\", floor = \"first\" }\n",
        ),
        (allow, "size = 2", ""),
        (
            allow,
            "offsets = [{ floor = \"second\", go = \"east 2'\" }]",
            "",
        ),
        (
            "allow = [\"waste stack\"], forbid = [\"waste stack\"]",
            "",
            "",
        ),
    ] {
        let of = sinks(methods, stack, more);
        let any = of
            .net
            .traps
            .iter()
            .any(|t| t.vent == VentMethod::WasteStack);
        assert!(!any, "{methods} {stack} {more}");
    }
    // Which of two methods goes first is the job's to say.
    let both = "allow = [\"waste stack\", \"single stack\"]";
    assert!(all_waste(&sinks(both, "", "")));
    let rather = "prefer = [\"single stack\"], allow = [\"waste stack\"]";
    assert!(all_single(&sinks(rather, "", "")));
}

/// A battery of closets on the first floor of a stack that takes another from the second.
fn battery(closets: usize, code: &str, methods: &str, more: &str) -> Worked {
    let mut text = format!(
        "[job]\ncode = \"{code}\"\nmethods = {{ {methods} }}\n[floors]\n\
         first = {{ level = \"0\", joists = \"24in\" }}\n\
         second = {{ level = \"12'\", joists = \"24in\" }}\nroof = {{ level = \"24'\" }}\n\
         [exit]\ninvert = \"-8'\"\n[drains]\nmain = {{ into = \"exit\", run = [\"north 9'\"] }}\n\
         b = {{ into = \"S1\", floor = \"first\", invert = \"-20in\", run = [\"west 40'\"] }}\n\
         [stacks]\nS1 = {{ into = \"main\" }}\n[fixtures]\n\
         WC-up = {{ kind = \"water closet\", floor = \"second\", into = \"S1\" }}\n{more}"
    );
    for n in 1..=closets {
        text += &format!(
            "WC-{n} = {{ kind = \"water closet\", floor = \"first\", into = \"b\", station = \"{}'\", arm = \"1'\" }}\n",
            3 * n
        );
    }
    worked("battery", &text)
}

#[test]
fn a_battery_has_one_circuit_vent_for_eight() {
    let allow = "allow = [\"circuit\"]";
    let forbidden = battery(5, "ipc-2021", "forbid = [\"circuit\"]", "");
    assert!(forbidden.net.branch_vents.is_empty());
    // Closets in a row are a battery without a word; a bathroom's bathtub among them is none.
    assert_eq!(battery(5, "ipc-2021", "", "").net.branch_vents.len(), 1);
    let tub = "BT = { kind = \"bathtub\", floor = \"first\", into = \"b\", station = \"1'\" }\n";
    assert!(battery(5, "ipc-2021", "", tub).net.branch_vents.is_empty());
    assert_eq!(battery(5, "ipc-2021", allow, tub).net.branch_vents.len(), 1);
    for code in ["ipc-2021", "irc-2021", "upc-2021"] {
        let of = battery(5, code, allow, "");
        assert_eq!(of.net.branch_vents.len(), 1, "{code}");
        let vent = &of.net.branch_vents[0];
        assert_eq!(vent.traps.len(), 5);
        // Between the two most upstream, and the whole vented part of one size.
        let below = of
            .net
            .downstream(vent.vent.expect("a vent"))
            .expect("drain");
        assert_eq!(
            name(&of, of.net.to(below).expect("a joint")),
            "b.WC-4",
            "{code}"
        );
        let part = of
            .net
            .vented_part(vent)
            .iter()
            .map(|p| of.solution.sizing.pieces[p].code_size);
        let part: Vec<_> = part.collect();
        assert!(
            part.len() > 5 && part.iter().all(|s| *s == part[0]),
            "{code} {part:?}"
        );
        assert!(errors(&of).is_empty(), "{code} {:?}", errors(&of));
        // The residential code asks for no relief vent.
        assert_eq!(vent.relief.is_some(), code != "irc-2021", "{code}");
        let served = of
            .net
            .traps
            .iter()
            .filter(|t| t.vent == VentMethod::Circuit);
        assert!(served.clone().all(|t| t.vent_piece.is_some()));
        assert_eq!(served.count(), 5);
    }
    let nine = battery(9, "ipc-2021", allow, "");
    let counts: Vec<usize> = nine
        .net
        .branch_vents
        .iter()
        .map(|v| v.traps.len())
        .collect();
    assert_eq!(counts, [5, 4]);
    assert!(errors(&nine).is_empty(), "{:?}", errors(&nine));
}

/// Three closets on the branch are no four, and a vented lavatory below them is relief enough.
#[test]
fn a_relief_vent_only_where_nothing_else_relieves() {
    let allow = "allow = [\"circuit\"]";
    let relief = |of: &Worked| of.net.branch_vents.iter().any(|v| v.relief.is_some());
    assert!(!relief(&battery(3, "ipc-2021", allow, "")));
    assert!(relief(&battery(4, "ipc-2021", allow, "")));
    let lavatory = "LAV = { kind = \"lavatory\", floor = \"first\", into = \"b\", station = \"1'\", \
                    run = [\"up 2' 6\"], arm = \"1'\" }\n";
    let of = battery(4, "ipc-2021", allow, lavatory);
    assert!(!relief(&of) && of.net.branch_vents.len() == 1);
}

/// A floor drain and two sinks on one drain under a slab.
fn cafe(code: &str, methods: &str, more: &str) -> Worked {
    worked(
        "cafe",
        &format!(
            "[job]\ncode = \"{code}\"\nmethods = {{ {methods} }}\n[floors]\n\
             ground = {{ level = \"0\", slab = \"4in\" }}\nroof = {{ level = \"12'\" }}\n[exit]\n\
             invert = \"-5'\"\n[drains]\nmain = {{ into = \"exit\", run = [\"north 20'\"] }}\n\
             bar = {{ into = \"main\", station = \"9'\", floor = \"ground\", run = [\"west 12'\"] }}\n[fixtures]\n\
             FD = {{ kind = \"floor drain\", floor = \"ground\", into = \"bar\", station = \"12'\", primed_by = \"LAV\" }}\n\
             FD-2 = {{ kind = \"floor drain\", floor = \"ground\", into = \"bar\", station = \"6'\", primed_by = \"LAV\" }}\n\
             LAV = {{ kind = \"lavatory\", floor = \"ground\", into = \"main\", station = \"15'\" }}\n{more}"
        ),
    )
}

#[test]
fn a_combination_drain_and_vent_for_what_it_takes() {
    let allow = "allow = [\"combination\"]";
    assert!(cafe("ipc-2021", "", "").net.branch_vents.is_empty());
    let of = cafe("ipc-2021", allow, "");
    assert_eq!(of.net.branch_vents.len(), 1);
    assert!(errors(&of).is_empty(), "{:?}", errors(&of));
    // 2 + 2 dfu to a branch of the building drain: 2 in takes four.
    assert_eq!(required(&of, "bar")[0], 2.0);
    let vent = of.net.branch_vents[0].vent.expect("a dry vent");
    let below = of.net.downstream(vent).expect("drain");
    assert_eq!(name(&of, of.net.to(below).expect("a joint")), "bar.FD-2");
    // Two sizes larger under the uniform code, trap and pipe, and only by approval.
    let of = cafe("upc-2021", allow, "");
    let larger = required(&of, "bar");
    assert!(larger.iter().all(|s| *s >= 3.0), "{larger:?}");
    let told = of
        .net
        .proposals
        .iter()
        .find(|p| p.what.contains("combination drain"));
    assert!(
        told.is_some_and(|p| p.reason.contains("by prior approval")),
        "{told:?}"
    );
    let trap = of
        .solution
        .sizing
        .traps
        .iter()
        .next()
        .expect("the floor drain's trap")
        .1;
    assert_eq!(trap.code_size.inches(), 3.0);
    // Not with a closet on it, nor a disposer.
    for other in [
        "WC = { kind = \"water closet\", floor = \"ground\", into = \"bar\", station = \"3'\" }\n",
        "KS = { kind = \"kitchen sink\", floor = \"ground\", into = \"bar\", station = \"3'\", with = [\"disposer\"] }\n",
    ] {
        assert!(
            cafe("ipc-2021", allow, other).net.branch_vents.is_empty(),
            "{other}"
        );
    }
}

/// Fixtures on the upright end of a drain, by their heights on it, all wet-vented by the highest.
fn upright(code: &str, fixtures: &[(&str, &str)]) -> Worked {
    let mut text = format!(
        "[job]\ncode = \"{code}\"\n[floors]\nfirst = {{ level = \"0\", joists = \"24in\" }}\n\
         roof = {{ level = \"12'\" }}\n[exit]\ninvert = \"-8'\"\n[drains]\n\
         main = {{ into = \"exit\", run = [\"north 9'\"] }}\n\
         w = {{ into = \"main\", floor = \"first\", run = [\"north 4'\", \"up 8' 6\"] }}\n[fixtures]\n\
         F-0 = {{ kind = \"{}\", floor = \"first\", into = \"w\", station = \"{}\", arm = \"1'\", side = \"west\", run = [\"west 6in\"], vent = \"V\" }}\n",
        fixtures[0].0, fixtures[0].1
    );
    for (n, (kind, at)) in fixtures.iter().enumerate().skip(1) {
        text += &format!(
            "F-{n} = {{ kind = \"{kind}\", floor = \"first\", into = \"w\", station = \"{at}\", arm = \"1'\", side = \"west\", run = [\"west 6in\"], vented_by = \"F-0\" }}\n"
        );
    }
    text += "[vents]\nV = { into = \"roof\" }\n";
    worked("upright", &text)
}

#[test]
fn upright_wet_vents_and_common_vents_of_two_levels() {
    let codes = |of: &Worked| -> Vec<&'static str> {
        let about = errors(of).into_iter().map(|e| e.0);
        about
            .filter(|c| c.starts_with('M') || c.starts_with('V'))
            .collect()
    };
    let between = |of: &Worked| {
        let w = required(of, "w");
        w[w.len() - 1]
    };
    // Two sinks of no bathroom share one vent: the pipe between them by the upper one's load.
    let sinks = [("sink", "12' 6"), ("sink", "12'")];
    let of = upright("ipc-2021", &sinks);
    assert_eq!((codes(&of), between(&of)), (vec![], 2.0));
    // Three of them do not.
    let three = [("sink", "12' 6"), ("sink", "12'"), ("sink", "11' 6")];
    assert_eq!(codes(&upright("ipc-2021", &three)), ["M102", "M102"]);
    // The uniform code: one size larger, 2 in at least, of one and two unit fixtures, four at most.
    let baths = [("lavatory", "12' 6"), ("bidet", "12'")];
    let of = upright("upc-2021", &baths);
    assert_eq!((codes(&of), between(&of)), (vec![], 2.0));
    let closet = [("lavatory", "12' 6"), ("water closet", "12'")];
    assert_eq!(codes(&upright("upc-2021", &closet)), ["M102"]);
    let at = ["12' 6", "12' 3", "12'", "11' 9", "11' 6"];
    let five: Vec<_> = at.iter().map(|a| ("lavatory", *a)).collect();
    assert_eq!(codes(&upright("upc-2021", &five)), ["M104"]);
    assert_eq!(codes(&upright("upc-2021", &five[..4])), Vec::<&str>::new());
}

/// A stated method that the book lacks, or the job forbids, is told of once, at its own word.
#[test]
fn a_stated_method_is_found_where_it_stands() {
    let text = |code: &str, forbid: &str| {
        format!(
            "[job]\ncode = \"{code}\"\nmethods = {{ forbid = [{forbid}] }}\n[floors]\n\
             first = {{ level = \"0\", joists = \"12in\" }}\nroof = {{ level = \"10'\" }}\n[stacks]\n\
             S1 = {{ method = \"waste stack\" }}\n[fixtures]\n\
             KS-1 = {{ kind = \"kitchen sink\", floor = \"first\" }}\n\
             KS-2 = {{ kind = \"kitchen sink\", floor = \"first\" }}\n"
        )
    };
    let found = |code: &str, forbid: &str| -> Vec<(&'static str, String)> {
        let text = text(code, forbid);
        let of = worked("stated", &text);
        let errors = of
            .findings
            .open
            .iter()
            .filter(|d| d.severity == Severity::Error);
        let at =
            |d: &stackfall::diagnostics::Diagnostic| d.span.clone().map(|s| text[s].to_owned());
        errors
            .map(|d| (d.code, at(d).unwrap_or_default()))
            .collect()
    };
    let word = "\"waste stack\"".to_owned();
    assert_eq!(found("ipc-2021", ""), vec![]);
    assert_eq!(
        found("ipc-2021", "\"waste stack\""),
        vec![("M101", word.clone())]
    );
    assert_eq!(found("upc-2021", ""), vec![("V106", word)]);
}

/// A kitchen below a bathroom on one stack, and a laundry tub on the building drain.
fn with_sinks(methods: &str) -> Worked {
    let text = format!(
        "[job]\ncode = \"ipc-2021\"\nmethods = {{ {methods} }}\n[floors]\n\
         first = {{ level = \"0\" }}\nsecond = {{ level = \"10'\" }}\nroof = {{ level = \"20'\" }}\n\
         [exit]\ninvert = \"-4'\"\n[drains]\nmain = {{ into = \"exit\" }}\n\
         [stacks]\nS1 = {{ into = \"main\" }}\n[fixtures]\n\
         WC-1 = {{ kind = \"water closet\", floor = \"second\", into = \"S1\" }}\n\
         LAV-1 = {{ kind = \"lavatory\", floor = \"second\", into = \"S1\" }}\n\
         LAV-2 = {{ kind = \"lavatory\", floor = \"first\", into = \"S1\" }}\n\
         KS-1 = {{ kind = \"kitchen sink\", floor = \"first\", into = \"S1\" }}\n\
         LT-1 = {{ kind = \"laundry tub\", floor = \"first\", into = \"main\" }}\n\
         FD-1 = {{ kind = \"floor drain\", floor = \"first\", into = \"main\", primed_by = \"LT-1\" }}\n"
    );
    worked("with sinks", &text)
}

fn on_valves(of: &Worked) -> Vec<&str> {
    let all = of.job.fixtures.iter().zip(&of.net.traps);
    let valves = all.filter(|(_, t)| t.vent == VentMethod::AirAdmittance);
    valves.map(|(f, _)| f.name.as_str()).collect()
}

/// Valves are for the job to allow; then they stand where a vent would need a riser of its own, and
/// where the job prefers them wherever one can: never at a closet or a floor drain, and the
/// building keeps its vent outdoors.
#[test]
fn valves_only_where_the_job_allows_them() {
    assert!(on_valves(&with_sinks("")).is_empty());
    let valve = "\"air admittance valve\"";
    let allowed = with_sinks(&format!("allow = [{valve}]"));
    assert_eq!(on_valves(&allowed), ["LAV-2", "KS-1", "LT-1"]);
    let forbidden = with_sinks(&format!("allow = [{valve}], forbid = [{valve}]"));
    assert!(on_valves(&forbidden).is_empty());
    let preferred = with_sinks(&format!("prefer = [{valve}, \"individual\"]"));
    let closets = ["WC-1", "FD-1"];
    assert!(on_valves(&preferred).iter().all(|f| !closets.contains(f)));
    for of in [&allowed, &preferred] {
        let errors = of
            .findings
            .open
            .iter()
            .filter(|d| d.severity == Severity::Error);
        assert_eq!(
            errors.collect::<Vec<_>>(),
            Vec::<&stackfall::diagnostics::Diagnostic>::new()
        );
        let why = of
            .net
            .proposals
            .iter()
            .find(|p| p.what == "an air admittance valve");
        let why = why.expect("it is among the proposals");
        assert!(why.reason.contains("918.1"), "{}", why.reason);
    }
}
