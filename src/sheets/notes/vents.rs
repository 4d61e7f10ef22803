//! Vents: grade, tie-in, island vents, terminals, frost, air admittance valves.

use super::{Say, list};
use crate::network::{JointKind, RunKind, VentMethod};
use crate::sheets::lettering::kept;

/// What vents must keep to.
pub(super) fn notes(say: &Say<'_>, notes: &mut Vec<String>) {
    let book = say.set.book;
    let tie = book.tie_in();
    notes.push(format!(
        "Vents: graded and connected to drain back to the drain by gravity{}; dry vents leave \
         above the drain's centerline{} and rise not less than {} above the flood level rim of \
         the highest fixture served before they turn level or join another vent ({}).",
        say.section("vent-grade"),
        say.section("vent-connection"),
        say.short(tie.value),
        tie.cite(),
    ));
    notes.extend(islands(say));
    let any = say
        .set
        .net
        .graph
        .node_weights()
        .any(|j| matches!(j.kind, JointKind::Terminal(_)));
    if any {
        notes.push(terminals(say));
    }
    let valves = say
        .set
        .net
        .traps
        .iter()
        .any(|t| t.vent == VentMethod::AirAdmittance);
    if valves {
        let section = book
            .methods()
            .get("air admittance valve")
            .map(|m| m.section.as_str());
        notes.push(format!(
            "Air admittance valves only where the authority accepts them{}: reachable, in a space \
             that air enters, above what they serve; one vent at least goes to the open air.",
            section.map(|s| format!(" ({s})")).unwrap_or_default()
        ));
    }
}

/// The cleanouts that the vents of islands need, which the drawing does not show.
fn islands(say: &Say<'_>) -> Option<String> {
    let rule = say.set.book.cleanouts().island_vent.as_ref();
    let rule = rule.filter(|r| r.value)?;
    let runs = say.set.net.runs.iter();
    let names: Vec<String> = runs
        .filter(|r| r.kind == RunKind::IslandVent)
        .map(|r| kept(&r.id))
        .collect();
    if names.is_empty() {
        return None;
    }
    Some(format!(
        "Island vents {}: cleanouts in the vent, within reach, from which a rod goes both ways \
         through all of it that lies below the flood level rim ({}). They are not drawn.",
        list(&names),
        rule.cite()
    ))
}

fn terminals(say: &Say<'_>) -> String {
    let t = say.set.book.terminal();
    let job = &say.set.job.practice;
    let least = t.above(job.frost.is_some());
    let height = job
        .above_roof
        .map_or(least.value, |own| own.max(least.value));
    let snow = if t.above_snow.value {
        " and above the expected snow"
    } else {
        ""
    };
    let mut words = format!(
        "Vents through the roof (VTR) end {} above it{snow}, {} above a roof that people walk on \
         ({}); {} level from any door, window or air intake unless {} above it",
        say.short(height),
        say.length(t.above_walked_roof.value),
        least.cite(),
        say.length(t.from_openings.value),
        say.short(t.above_openings.value),
    );
    match job.frost {
        Some(frost) => {
            words += &format!(
                ". Against frost they are {} at least through the roof, from {} inside the warm \
                 part of the building ({})",
                say.print.size(frost.max(t.frost.value)),
                say.short(t.frost_inside.value),
                t.frost.cite(),
            );
        }
        None => {
            words += &format!(
                ". Frost closing is not stated for this place; where it is, {} at least through \
                 the roof, from {} inside ({})",
                say.print.size(t.frost.value),
                say.short(t.frost_inside.value),
                t.frost.cite(),
            );
        }
    }
    words + ". Flashing is watertight."
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{codebook::Book, findings, job, network, proposals, sheets, solve};

    fn notes_of(fixtures: &str) -> Vec<String> {
        let text = format!(
            "[job]\ntitle = \"t\"\ncode = \"irc-2021\"\n[floors]\nfirst = {{ level = \"0\" }}\n\
             roof = {{ level = \"10'\" }}\n[stacks]\nS1 = {{}}\n[drains]\nisl = {{ into = \"S1\", \
             floor = \"first\", run = [\"east 9'\"] }}\n{fixtures}"
        );
        let job = job::read("t", "t.toml", &text).expect("reads");
        let book = Book::builtin("irc-2021").expect("a built-in book");
        let (net, _) = proposals::complete(&job, network::build(&job).expect("stands"), &book);
        let solution = solve::solve(&job, &net, &book);
        let findings = findings::run(&job, &net, &book, &solution);
        let set = sheets::Inputs {
            job: &job,
            net: &net,
            book: &book,
            solution: &solution,
            findings: &findings,
            paper: sheets::paper("arch-d").expect("a paper"),
            marks: &[],
            shows: &[],
            scale: None,
            typical: None,
            standing: None,
        };
        let print = crate::units::Printer { units: job.units };
        let mut all = Vec::new();
        notes(&Say { set: &set, print }, &mut all);
        all
    }

    #[test]
    fn an_island_vent_is_said_to_need_its_cleanout() {
        let sink =
            "[fixtures]\nKS-1 = { kind = \"kitchen sink\", floor = \"first\", into = \"isl\"";
        let island = notes_of(&format!(
            "{sink}, station = \"9'\", vent = \"V1\" }}\n[vents]\nV1 = {{ kind = \"island\", foot = \
             {{ into = \"isl\", station = \"3'\" }}, into = \"S1\" }}"
        ));
        let said = |notes: &[String]| notes.iter().filter(|n| n.contains("P3112.3")).count();
        assert_eq!(said(&island), 1, "{island:#?}");
        assert!(island.iter().any(|n| n.contains("V1")), "{island:#?}");
        assert_eq!(said(&notes_of(&format!("{sink} }}"))), 0);
    }
}
