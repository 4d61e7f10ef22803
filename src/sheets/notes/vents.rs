//! Vents: grade, tie-in, terminals, frost, air admittance valves.

use super::Say;
use crate::network::{JointKind, VentMethod};

/// What vents must keep to.
pub(super) fn notes(say: &Say<'_>, notes: &mut Vec<String>) {
    let book = say.set.book;
    let tie = book.tie_in();
    notes.push(format!(
        "Vents: graded and connected to drain back to the drain by gravity{}; dry vents leave \
         above the drain's centre line{} and rise not less than {} above the flood level rim of \
         the highest fixture served before they turn level or join another vent ({}).",
        say.section("vent-grade"),
        say.section("vent-connection"),
        say.short(tie.value),
        tie.cite(),
    ));
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

fn terminals(say: &Say<'_>) -> String {
    let t = say.set.book.terminal();
    let job = &say.set.job.practice;
    let height = job
        .above_roof
        .map_or(t.above_roof.value, |own| own.max(t.above_roof.value));
    let snow = if t.above_snow.value {
        " and above the expected snow"
    } else {
        ""
    };
    let mut words = format!(
        "Vents through the roof (VTR) end {} above it{snow}, {} above a roof that people walk on \
         ({}); {} level from any door, window or air intake unless {} above it",
        say.short(height),
        say.short(t.above_walked_roof.value),
        t.above_roof.cite(),
        say.print.length(t.from_openings.value),
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
