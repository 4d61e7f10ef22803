//! Floors: sorted by level, the roof apart.

use std::collections::BTreeMap;

use super::FloorNames;
use crate::job::model::{Floor, FloorIx, Job, Offset, Said};
use crate::job::problems::{Problems, REFERS_TO_ITSELF, ROOF_BELOW_FLOOR};
use crate::job::resolve::Resolver;
use crate::job::values::Values;
use crate::units::{Length, Printer};

/// Reads the floors, lowest first (equal levels in the order of the file), and the roof.
pub(super) fn fill(job: &mut Job, file: &Values, problems: &mut Problems) -> FloorNames {
    for v in file.many("floors") {
        match v.name.as_str() {
            "roof" => job.roof = v.length("level"),
            _ => job.floors.push(floor(v)),
        }
    }
    job.floors.sort_by(|a, b| a.level.total_cmp(&b.level));
    if let (Some(Said { value: roof, span }), Some(top)) = (&job.roof, job.floors.last())
        && *roof <= top.level
    {
        let print = Printer { units: job.units };
        let message = format!(
            "the roof at {} is not above the floor `{}` at {}",
            print.level(*roof),
            top.name,
            print.level(top.level)
        );
        let help = Some("expected a level above every floor".to_owned());
        problems.add(ROOF_BELOW_FLOOR, "roof", span.clone(), message, help);
    }
    let by_name = job
        .floors
        .iter()
        .enumerate()
        .map(|(i, f)| (f.name.clone(), FloorIx(i)));
    by_name.collect::<BTreeMap<_, _>>()
}

fn floor(v: &Values) -> Floor {
    Floor {
        name: v.name.clone(),
        span: v.span.clone(),
        // A floor without a level has been reported as such.
        level: v.plain_length("level").unwrap_or(Length::ZERO),
        slab: v.plain_length("slab"),
        deck: v.plain_length("deck"),
        joists: v.plain_length("joists"),
        joists_run: v.heading("joists_run").map(|h| h.value),
        spacing: v.plain_length("spacing"),
        first_joist: v.plain_length("first_joist"),
        joist_width: v.plain_length("joist_width"),
        ceiling: v.plain_length("ceiling"),
        soffit: v.plain_length("soffit"),
        grade: v.plain_length("grade"),
        part_of: None,
    }
}

/// Resolves `part_of`, which may name any floor.
pub(super) fn parts(job: &mut Job, file: &Values, r: &mut Resolver<'_>) {
    for v in file.many("floors").iter().filter(|v| v.name != "roof") {
        let Some(part_of) = r.floor(v, "part_of") else {
            continue;
        };
        let Some(own) = r.floors.get(&v.name).copied() else {
            continue;
        };
        if own == part_of {
            let span = v.text("part_of").map_or(v.span.clone(), |s| s.span);
            let message = format!("floor `{}` is part of itself", v.name);
            r.problems.add(
                REFERS_TO_ITSELF,
                &v.name,
                span,
                message,
                Some("expected another floor".to_owned()),
            );
        } else if let Some(floor) = job.floors.get_mut(own.0) {
            floor.part_of = Some(part_of);
        }
    }
}

/// Sorts a stack's offsets by the level at which they lie.
pub(super) fn lowest_first(floors: &[Floor], offsets: &mut [Offset]) {
    let level = |o: &Offset| {
        let floor = floors.get(o.floor.0).map_or(Length::ZERO, |f| f.level);
        floor + o.invert.as_ref().map_or(Length::ZERO, |i| i.value)
    };
    offsets.sort_by(|a, b| level(a).total_cmp(&level(b)));
}
