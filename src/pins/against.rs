//! What of the pins cannot be kept, as far as the network tells.

use super::{Names, Place, paper};
use crate::diagnostics::Span;
use crate::job::{Job, Pin};
use crate::network::{Network, RunIx, RunKind};

/// A pin that is not kept.
pub struct NotKept<'a> {
    /// The pin.
    pub pin: &'a Pin,
    /// The words of it at fault.
    pub span: Span,
    /// Why.
    pub why: String,
    /// What to do.
    pub help: &'static str,
}

/// Pins that what the job states, or what a thing is, stands against.
pub fn against<'a>(job: &'a Job, net: &Network) -> Vec<NotKept<'a>> {
    if job.pins.is_empty() {
        return Vec::new();
    }
    let names = Names::of(net);
    let mut all = Vec::new();
    for pin in &job.pins {
        let Some(place) = names.get(&pin.on.value) else {
            continue;
        };
        let checks = [
            way(pin, place, net),
            length(job, pin, place, net),
            order(pin, place, &names, net),
        ];
        all.extend(checks.into_iter().flatten());
    }
    all
}

const OVER_DRAINS: &str = "pin the drains that it serves: vents follow them";

fn way<'a>(pin: &'a Pin, place: &Place, net: &Network) -> Option<NotKept<'a>> {
    let on = &pin.on.value;
    let side = pin.side.as_ref().map(|s| s.span.clone());
    let span = pin.heading.as_ref().map(|h| h.span.clone()).or(side)?;
    let not = |why, help| {
        Some(NotKept {
            pin,
            span: span.clone(),
            why,
            help,
        })
    };
    if place.is_vent(net) {
        let why = format!("{on} is a vent, which is drawn over the drains that it serves");
        return not(why, OVER_DRAINS);
    }
    let Some((piece, leg)) = place.level_leg(net) else {
        let why = format!("{on} stands upright, so it leads to no side");
        return not(why, "pin what drains into it");
    };
    let stated = net.graph[piece].legs.get(leg).and_then(|l| l.heading)?;
    let pinned = pin.heading.as_ref()?.value;
    if stated == pinned {
        return None;
    }
    let why = format!(
        "{on} runs {} by the job's own words, not {}",
        stated.word(),
        pinned.word()
    );
    not(why, "take the pin out, or the heading")
}

fn length<'a>(job: &Job, pin: &'a Pin, place: &Place, net: &Network) -> Option<NotKept<'a>> {
    let (on, said) = (&pin.on.value, pin.length.as_ref()?);
    let not = |why, help| {
        Some(NotKept {
            pin,
            span: said.span.clone(),
            why,
            help,
        })
    };
    if place.is_vent(net) {
        let why = format!("{on} is a vent, which is as long as the drains that it serves");
        return not(why, OVER_DRAINS);
    }
    let pieces = place.pieces(net);
    let [piece] = pieces.as_slice() else {
        let first = pieces.first().map_or("", |p| net.graph[*p].id.as_str());
        let why = format!(
            "{on} is {} pipes, so {} is the length of none of them (one is {first})",
            pieces.len(),
            paper(said.value)
        );
        return not(
            why,
            "pin one of its pipes, by its name in the pipe schedule",
        );
    };
    let known = net.graph[*piece].legs.iter().all(|l| l.length.is_some());
    if job.drawing.to_scale && known {
        let why = format!("{on} is drawn to scale, whatever its pin says");
        return not(why, "take the pin out, or `to_scale`");
    }
    None
}

fn order<'a>(pin: &'a Pin, place: &Place, names: &Names<'_>, net: &Network) -> Option<NotKept<'a>> {
    let (on, after) = (&pin.on.value, pin.after.as_ref()?);
    let other = &after.value;
    let not = |why, help| {
        Some(NotKept {
            pin,
            span: after.span.clone(),
            why,
            help,
        })
    };
    let meet = |place: &Place| entered(place, net);
    let (one, two) = (meet(place), names.get(other).and_then(meet));
    match (one, two) {
        (Some((r, a)), Some((s, b))) if r == s => match a.cmp(&b) {
            std::cmp::Ordering::Greater => None,
            std::cmp::Ordering::Equal => not(
                format!("{on} and {other} join in one place"),
                "give one of them another station",
            ),
            std::cmp::Ordering::Less => not(
                format!("{on} joins downstream of {other} by what the job states"),
                "take the pin out, or mend the stations",
            ),
        },
        _ => not(
            format!("{on} and {other} do not join one drain or stack"),
            "name two things that drain into the same",
        ),
    }
}

/// The run that something drains into, and how many joints up.
fn entered(place: &Place, net: &Network) -> Option<(usize, usize)> {
    let foot = |run: RunIx| net.to(*net.runs.get(run.0)?.pieces.first()?);
    let mut into = net.downstream(foot(place.run)?)?;
    // An arm flows into its drop, which is not what is meant.
    let own = net.graph.edge_weight(into)?.run;
    if net.runs.get(own.0)?.kind == RunKind::FixtureDrain {
        into = net.downstream(foot(own)?)?;
    }
    let run = net.graph.edge_weight(into)?.run;
    let joints = &net.runs.get(run.0)?.pieces;
    Some((run.0, joints.iter().position(|p| *p == into)?))
}
