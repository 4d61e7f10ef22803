//! What is found of copies, what a waiver and a question may name, and what puts a copy right.

use stackfall::diagnostics::Severity;
use stackfall::findings::Findings;
use stackfall::why::why;

use stackfall::solve::Work;

use crate::common::worked;

/// Two stacks of six storeys; the arm of each lavatory is too long.
fn job(waivers: &str) -> String {
    format!(
        "[job]\ncode = \"ipc-2021\"\n[floors]\n\"1..6\" = {{ from = \"0\", each = \"10'\" }}\nroof = {{ level = \"60'\" }}\n\
         [stacks]\n\"S1..S2\" = {{}}\n[groups.wash.fixtures]\nLAV-1 = {{ kind = \"lavatory\", arm = \"30'\" }}\n\
         KS-1 = {{ kind = \"kitchen sink\" }}\n[repeat]\nr = {{ group = \"wash\", into = \"S1..S2\", floors = \"1..6\" }}\n\
         [waivers]\n{waivers}"
    )
}

fn long_arms(findings: &Findings) -> Vec<&str> {
    let open = findings.open.iter().filter(|d| d.code == "A101");
    open.map(|d| d.at.as_str()).collect()
}

#[test]
fn what_is_found_alike_is_told_once() {
    let of = worked("wash", &job(""));
    assert_eq!(long_arms(&of.findings).len(), 12);
    let told = of.findings.clone().told_once(&of.job.made);
    let arms: Vec<_> = told.open.iter().filter(|d| d.code == "A101").collect();
    assert_eq!(arms.len(), 1);
    assert!(arms[0].at.starts_with("LAV-1@S1-1"), "{}", arms[0].at);
    let note = arms[0].note.as_deref().unwrap_or("");
    assert!(
        note.contains("likewise at 11 more places: LAV-1@S1-2"),
        "{note}"
    );
    assert!(note.ends_with(" and 7 more"), "{note}");
    // No error gets lost that way, of whatever code.
    let codes = |f: &Findings| {
        let all = f.open.iter().filter(|d| d.severity == Severity::Error);
        let mut all: Vec<&str> = all.map(|d| d.code).collect();
        all.sort_unstable();
        all.dedup();
        all.join(" ")
    };
    assert_eq!(codes(&told), codes(&of.findings));
}

/// A copy by its name, or all of a group by the group's.
#[test]
fn waivers_name_a_copy_or_a_group() {
    let waiver =
        |on: &str| format!("W = {{ code = \"A101\", on = \"{on}\", reason = \"as agreed\" }}\n");
    let one = worked("one", &job(&waiver("LAV-1@S2-3")));
    assert_eq!(one.findings.waived.len(), 1);
    assert_eq!(long_arms(&one.findings).len(), 11);
    assert!(
        long_arms(&one.findings)
            .iter()
            .all(|at| !at.starts_with("LAV-1@S2-3"))
    );
    let all = worked("all", &job(&waiver("wash")));
    assert_eq!(
        (long_arms(&all.findings).len(), all.findings.waived.len()),
        (0, 12)
    );
    let once = all.findings.told_once(&all.job.made);
    assert_eq!(once.waived.len(), 1);
    let none = worked("none", &job(&waiver("LAV-1@S2-9")));
    assert!(none.findings.open.iter().any(|d| d.code == "W101"));
}

#[test]
fn a_copy_answers_why_by_its_name() {
    let of = worked("wash", &job(""));
    let work = Work {
        job: &of.job,
        net: &of.net,
        book: &of.book,
        solution: &of.solution,
    };
    let found = why(&work, "LAV-1@S2-3.arm");
    assert_eq!(found.len(), 1);
    assert!(
        found[0].text().contains("LAV-1@S2-3"),
        "{}",
        found[0].text()
    );
}

/// A drain of a group that does not fit is put right in the group.
#[test]
fn cures_change_the_group() {
    let text = "[job]\ncode = \"ipc-2021\"\n[floors]\n1 = { level = \"0\", slab = \"4in\" }\n\
        \"2..4\" = { from = \"12'\", each = \"10'\", deck = \"1in\", joists = \"30in\" }\nroof = { level = \"42'\" }\n\
        [exit]\ninvert = \"-6'\"\n[drains]\nmain = { into = \"exit\", run = [\"north 30'\"] }\n\
        [stacks]\nS1 = { into = \"main\", station = \"20'\" }\n\
        [groups.bath.drains]\nb = { run = [\"west 12'\"], invert = \"-5in\", size = 3 }\n\
        [groups.bath.fixtures]\nWC-1 = { kind = \"water closet\", into = \"b\", station = \"11'\", arm = \"1'\" }\n\
        LAV-1 = { kind = \"lavatory\", into = \"b\", station = \"12'\", run = [\"up 2'\"], arm = \"1'\" }\n\
        [repeat]\nr = { group = \"bath\", into = \"S1\", floors = \"2..4\" }\n";
    let of = worked("high", text);
    let short = of.findings.open.iter().find(|d| d.code == "L104");
    let short = short.expect("a drain that hangs too high");
    let typed: Vec<String> = short.cures.iter().map(|c| c.typed()).collect();
    assert!(
        typed
            .iter()
            .any(|t| t.starts_with("groups.bath.drains.b.invert = ")),
        "{typed:?}"
    );
}
