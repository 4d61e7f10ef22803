//! What lies below the exit drains into a basin, whose pump lifts it to the building drain.

use super::super::below_the_exit::below;
use super::super::context::Context;
use super::subject::up;
use crate::diagnostics::Cure;
use crate::job::edit::{Edit, length_words};
use crate::job::{Drain, Fixture, FloorIx, Target};
use crate::network::{JointKind, RunKind, TrapIx};
use crate::sizing::ways::way_down;
use crate::units::{Length, UnitSystem, number};

/// One basin for all that lies too low on the floor of a fixture, at the first place of the drain
/// they flow to now that is far enough from the bases of its stacks. Of several such floors this
/// is the `nth`.
pub(super) fn cure(ctx: &Context<'_>, name: &str, nth: usize) -> Option<Cure> {
    let traps = (0..ctx.net.traps.len()).map(TrapIx);
    let low: Vec<(TrapIx, &Fixture, Option<FloorIx>)> = traps
        .filter(|t| below(ctx, *t).is_some())
        .filter_map(|t| Some((t, ctx.fixture(t)?, floor_of(ctx, t))))
        .collect();
    let (trap, _, floor) = low.iter().find(|(_, f, _)| f.name == name)?;
    let fixtures = low.iter().filter(|(_, _, own)| own == floor);
    let fixtures: Vec<&Fixture> = fixtures.map(|(_, f, _)| *f).collect();
    lifted(ctx, *trap, (*floor)?, &fixtures, nth)
}

/// The same for a pit that has no room for its drains: all that stands in it.
pub(super) fn of_pit(ctx: &Context<'_>, floor: FloorIx) -> Option<Cure> {
    ctx.job.floors.get(floor.0)?.part_of?;
    let traps = (0..ctx.net.traps.len()).map(TrapIx);
    let here: Vec<(TrapIx, &Fixture)> = traps
        .filter(|t| floor_of(ctx, *t) == Some(floor))
        .filter_map(|t| Some((t, ctx.fixture(t)?)))
        .collect();
    let fixtures: Vec<&Fixture> = here.iter().map(|(_, f)| *f).collect();
    lifted(ctx, here.first()?.0, floor, &fixtures, 0)
}

fn floor_of(ctx: &Context<'_>, trap: TrapIx) -> Option<FloorIx> {
    let at = ctx.net.traps.get(trap.0)?.fixture;
    ctx.net.draft.fixtures.get(at)?.floor
}

fn lifted(
    ctx: &Context<'_>,
    trap: TrapIx,
    floor: FloorIx,
    low: &[&Fixture],
    nth: usize,
) -> Option<Cure> {
    let job = ctx.job;
    let floor_name = &job.floors.get(floor.0)?.name;
    // What drains into a basin already stays.
    let away = |f: &&&Fixture| !matches!(f.into.as_ref().map(|t| &t.value), Some(Target::Basin(_)));
    let low: Vec<&Fixture> = low.iter().filter(away).copied().collect();
    let low = low.as_slice();
    let names: Vec<&str> = low.iter().map(|f| f.name.as_str()).collect();
    let names = names.join(", ");
    // One that stands there already takes them too.
    if let Some(basin) = job.basins.iter().find(|b| b.floor == Some(floor)) {
        return Some(Cure {
            words: format!("let {names} drain into {}", basin.name),
            edits: moved(ctx, low, &basin.name),
        });
    }
    let size = ctx.book.ejector_least()?;
    let flow = ctx.book.ejector_flow(size)?.ok()?;
    let (basin, vent) = (free(ctx, "EJ", nth), free(ctx, "EV", nth));
    let gpm = number(flow.value.gpm(), 1, false);
    // A sketch without a building drain has nothing that a pump could lift into.
    let drain = building_drain(ctx, trap)?;
    let station = station(ctx, drain, nth);
    let at = station.map_or(String::new(), |s| {
        format!(", station = \"{}\"", length_words(s, job.units))
    });
    let into = &drain.name;
    let size_words = match job.units {
        UnitSystem::Feet => number(size.inches(), 2, false),
        UnitSystem::Metric => size.dn().to_string(),
    };
    let mut edits = vec![
        Edit::write(&["vents", &vent], "{ into = \"roof\" }"),
        Edit::write(
            &["basins", &basin],
            format!(
                "{{ floor = \"{floor_name}\", pump = \"{gpm} gpm\", into = \"{into}\"{at}, size = \
                 {size_words}, vent = \"{vent}\" }}"
            ),
        ),
    ];
    edits.extend(moved(ctx, low, &basin));
    let to = match station {
        None => into.clone(),
        Some(s) => format!("{into} at station {}", ctx.print.length(s)),
    };
    let words = format!(
        "let {names} drain into an ejector basin {basin} of floor {floor_name}; its pump, {gpm} gpm or \
         more ({}), lifts into {to}; it has a vent of its own",
        flow.cite(),
    );
    Some(Cure { words, edits })
}

/// The building drain that a trap flows to now, if the job states it.
fn building_drain<'a>(ctx: &Context<'a>, trap: TrapIx) -> Option<&'a Drain> {
    let weir = ctx.net.traps.get(trap.0)?.joint?;
    let runs = way_down(ctx.net, weir).filter_map(|(_, piece)| {
        let run = ctx.net.graph.edge_weight(piece)?.run;
        ctx.net.runs.get(run.0)
    });
    let mut building = runs.filter(|r| r.kind == RunKind::BuildingDrain);
    building.find_map(|r| ctx.job.drains.iter().find(|d| d.name == r.id))
}

/// The `nth` name that nothing has yet.
fn free(ctx: &Context<'_>, start: &str, nth: usize) -> String {
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
    let names = (1..).map(|n| format!("{start}-{n}"));
    names.filter(|n| !taken(n)).nth(nth).unwrap_or_default()
}

/// The first whole foot, or half metre, far enough from the base of every stack of the drain; the
/// `nth` of them is a step farther each.
fn station(ctx: &Context<'_>, drain: &Drain, nth: usize) -> Option<Length> {
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
            None => return Some(place + step * nth as f64).filter(|p| *p < at),
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
