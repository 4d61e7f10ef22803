//! What lies below the exit drains into a basin, whose pump lifts it to the building drain.

use super::super::below_the_exit::below;
use super::super::context::Context;
use super::subject::up;
use crate::diagnostics::Cure;
use crate::job::edit::{Edit, length_words};
use crate::job::{Drain, Fixture, FloorIx, Target};
use crate::network::{JointKind, RunKind, TrapIx};
use crate::units::{Length, UnitSystem, number};

/// One basin for all that lies too low on the floor of a fixture, at the first place of the
/// building drain that is far enough from the bases of its stacks.
pub(super) fn cure(ctx: &Context<'_>, name: &str) -> Option<Cure> {
    let job = ctx.job;
    let traps = (0..ctx.net.traps.len()).map(TrapIx);
    let low: Vec<(&Fixture, Option<FloorIx>)> = traps
        .filter(|t| below(ctx, *t).is_some())
        .filter_map(|t| {
            let fixture = ctx.fixture(t)?;
            let at = ctx.net.traps.get(t.0)?.fixture;
            Some((fixture, ctx.net.draft.fixtures.get(at)?.floor))
        })
        .collect();
    let floor = low.iter().find(|(f, _)| f.name == name)?.1?;
    let low: Vec<&Fixture> = low
        .into_iter()
        .filter(|(_, own)| *own == Some(floor))
        .map(|(f, _)| f)
        .collect();
    let drain = building_drain(ctx)?;
    let size = ctx.book.ejector_least()?;
    let flow = ctx.book.ejector_flow(size)?.ok()?;
    let (basin, vent) = (free(ctx, "EJ"), free(ctx, "EV"));
    let gpm = number(flow.value.gpm(), 1, false);
    let station = station(ctx, drain);
    let at = station.map_or(String::new(), |s| {
        format!(", station = \"{}\"", length_words(s, job.units))
    });
    let floor_name = &job.floors.get(floor.0)?.name;
    let mut edits = vec![
        Edit::write(&["vents", &vent], "{ into = \"roof\" }"),
        Edit::write(
            &["basins", &basin],
            format!(
                "{{ floor = \"{floor_name}\", pump = \"{gpm} gpm\", into = \"{}\"{at}, size = {}, \
                 vent = \"{vent}\" }}",
                drain.name,
                number(size.inches(), 2, false)
            ),
        ),
    ];
    edits.extend(moved(ctx, &low, &basin));
    let names: Vec<&str> = low.iter().map(|f| f.name.as_str()).collect();
    let words = format!(
        "let {} drain into an ejector basin {basin} in the {floor_name}, its pump of {gpm} gpm or \
         more ({}) lifting into {}{}, with a vent of its own",
        names.join(", "),
        flow.cite(),
        drain.name,
        station.map_or(String::new(), |s| format!(
            " at station {}",
            ctx.print.length(s)
        ))
    );
    Some(Cure { words, edits })
}

/// The building drain, as the job states it.
fn building_drain<'a>(ctx: &Context<'a>) -> Option<&'a Drain> {
    let runs = ctx.net.runs.iter();
    let mut building = runs.filter(|r| r.kind == RunKind::BuildingDrain);
    building.find_map(|r| ctx.job.drains.iter().find(|d| d.name == r.id))
}

/// A name that nothing has yet.
fn free(ctx: &Context<'_>, start: &str) -> String {
    let job = ctx.job;
    let taken = |name: &str| {
        job.basins.iter().any(|b| b.name == name)
            || job.vents.iter().any(|v| v.name == name)
            || job.fixtures.iter().any(|f| f.name == name)
            || job.drains.iter().any(|d| d.name == name)
            || job.stacks.iter().any(|s| s.name == name)
            || job.cleanouts.iter().any(|c| c.name == name)
            || job.valves.iter().any(|v| v.name == name)
            || job.footings.iter().any(|f| f.name == name)
            || job.exits.iter().any(|e| e.name == name)
            || job.waivers.iter().any(|w| w.name == name)
    };
    // One of so many names is free: there are no more things than that.
    let mut names = (1..).map(|n| format!("{start}-{n}"));
    names.find(|n| !taken(n)).unwrap_or_default()
}

/// The first whole foot, or half metre, far enough from the base of every stack of the drain.
fn station(ctx: &Context<'_>, drain: &Drain) -> Option<Length> {
    let clear = ctx.book.discharge_distance()?.value;
    let run = ctx.net.runs.iter().find(|r| r.id == drain.name)?;
    let mut bases: Vec<Length> = Vec::new();
    let mut at = Length::ZERO;
    for piece in &run.pieces {
        at += ctx.solution.levels.pieces.get(piece)?.length?;
        let joint = ctx.net.from(*piece)?;
        if ctx.net.graph.node_weight(joint)?.kind == JointKind::StackBase {
            bases.push(at);
        }
    }
    let step = match ctx.job.units {
        UnitSystem::Feet => Length::from_inches(12.0),
        UnitSystem::Metric => Length::from_mm(500.0),
    };
    let mut place = step * 2.0;
    while place < at {
        let near = bases.iter().copied().find(|b| (*b - place).abs() < clear);
        match near {
            None => return Some(place),
            // On to the first step beyond this base.
            Some(base) => place = up(base + clear, step).max(place + step),
        }
    }
    None
}

/// What leads the fixtures into the basin: a drain that serves only them, else each by itself.
fn moved(ctx: &Context<'_>, low: &[&Fixture], basin: &str) -> Vec<Edit> {
    let job = ctx.job;
    let is_low = |f: &Fixture| low.iter().any(|l| l.name == f.name);
    let mut edits = Vec::new();
    let mut done: Vec<&str> = Vec::new();
    for fixture in low {
        let into = fixture.into.as_ref().map(|t| &t.value);
        let own = match into {
            Some(Target::Drain(i)) => job.drains.get(*i).filter(|d| {
                let target = Target::Drain(*i);
                let enters = |f: &&Fixture| f.into.as_ref().is_some_and(|t| t.value == target);
                let drains = job.drains.iter();
                d.floor == fixture.floor
                    && d.floor.is_some()
                    && job.fixtures.iter().filter(enters).all(is_low)
                    && !drains
                        .into_iter()
                        .any(|o| o.into.as_ref().is_some_and(|t| t.value == target))
            }),
            _ => None,
        };
        let (section, name, station) = match own {
            Some(drain) => ("drains", drain.name.as_str(), drain.station.is_some()),
            None => ("fixtures", fixture.name.as_str(), fixture.station.is_some()),
        };
        if done.contains(&name) {
            continue;
        }
        done.push(name);
        edits.push(Edit::write(
            &[section, name, "into"],
            format!("\"{basin}\""),
        ));
        if station {
            edits.push(Edit::remove(&[section, name, "station"]));
        }
    }
    edits
}
