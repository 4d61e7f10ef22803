//! Cleanouts, basins, valves, footings and waivers.

use super::pipes::{into, station};
use crate::job::model::{
    Basin, Cleanout, CleanoutKind, Footing, Job, Line, PaperSide, Pin, Said, Target, Valve, Waiver,
};
use crate::job::problems::MISSING_KEY;
use crate::job::resolve::Resolver;
use crate::job::values::Values;

/// Reads these sections. A thing whose `on` is missing or unknown has been reported as such and
/// is left out.
pub(super) fn fill(job: &mut Job, file: &Values, r: &mut Resolver<'_>) {
    job.cleanouts = file
        .many("cleanouts")
        .iter()
        .filter_map(|v| cleanout(v, r))
        .collect();
    job.basins = file.many("basins").iter().map(|v| basin(v, r)).collect();
    job.valves = file
        .many("valves")
        .iter()
        .filter_map(|v| valve(v, r))
        .collect();
    job.footings = file
        .many("footings")
        .iter()
        .filter_map(|v| footing(v, r))
        .collect();
    job.lines = file
        .many("lines")
        .iter()
        .filter_map(|v| line(v, r))
        .collect();
    job.pins = file.many("pins").iter().filter_map(pin).collect();
    job.waivers = file.many("waivers").iter().filter_map(waiver).collect();
}

fn on(v: &Values, r: &mut Resolver<'_>) -> Option<Said<Target>> {
    r.target(v, "on")
}

fn cleanout(v: &Values, r: &mut Resolver<'_>) -> Option<Cleanout> {
    Some(Cleanout {
        name: v.name.clone(),
        span: v.span.clone(),
        on: on(v, r)?,
        station: v.length("station"),
        kind: v.words("kind").and_then(|k| kind(&k)),
        size: v.size("size"),
    })
}

fn kind(word: &str) -> Option<CleanoutKind> {
    Some(match word {
        "floor" => CleanoutKind::Floor,
        "wall" => CleanoutKind::Wall,
        "grade" => CleanoutKind::Grade,
        "two-way" => CleanoutKind::TwoWay,
        "stack" => CleanoutKind::Stack,
        "end" => CleanoutKind::End,
        _ => return None,
    })
}

fn basin(v: &Values, r: &mut Resolver<'_>) -> Basin {
    let into = into(v, r);
    let station = station(v, &into, r);
    Basin {
        name: v.name.clone(),
        span: v.span.clone(),
        floor: r.floor(v, "floor"),
        pump: v.flow("pump").map(|f| f.value),
        into,
        station,
        size: v.size("size"),
        inlet: v.length("inlet"),
        vent: r.index(v, "vent"),
    }
}

fn valve(v: &Values, r: &mut Resolver<'_>) -> Option<Valve> {
    Some(Valve {
        name: v.name.clone(),
        span: v.span.clone(),
        kind: v.text("kind")?,
        on: on(v, r)?,
        station: v.length("station"),
    })
}

fn footing(v: &Values, r: &mut Resolver<'_>) -> Option<Footing> {
    Some(Footing {
        name: v.name.clone(),
        span: v.span.clone(),
        on: on(v, r)?,
        station: v.length("station"),
        top: v.plain_length("top"),
        bottom: v.plain_length("bottom"),
    })
}

/// A line that states both ways, or neither, is no line.
fn line(v: &Values, r: &mut Resolver<'_>) -> Option<Line> {
    let (east, north) = (v.plain_length("east"), v.plain_length("north"));
    if east.is_some() == north.is_some() {
        let stated = match east {
            Some(_) => "both `east` and `north`",
            None => "neither `east` nor `north`",
        };
        let message = format!("line `{}` states {stated}", v.name);
        let help = "give `east` if it runs north and south, `north` if it runs east and west";
        r.problems.add(
            MISSING_KEY,
            &v.name,
            v.span.clone(),
            message,
            Some(help.to_owned()),
        );
        return None;
    }
    Some(Line {
        name: v.name.clone(),
        span: v.span.clone(),
        is: v.words("is")?,
        east,
        north,
    })
}

fn pin(v: &Values) -> Option<Pin> {
    let side = |said: Said<String>| Said {
        value: match said.value.as_str() {
            "left" => PaperSide::Left,
            _ => PaperSide::Right,
        },
        span: said.span,
    };
    Some(Pin {
        name: v.name.clone(),
        span: v.span.clone(),
        on: v.text("on")?,
        side: v.text("side").map(side),
        heading: v.heading("heading"),
        after: v.text("after"),
        length: v.length("length"),
    })
}

fn waiver(v: &Values) -> Option<Waiver> {
    Some(Waiver {
        name: v.name.clone(),
        span: v.span.clone(),
        code: v.text("code")?,
        on: v.text("on"),
        reason: v.words("reason"),
        by: v.words("by"),
    })
}
