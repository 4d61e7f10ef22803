//! Floors and their levels.

use crate::job::Floor;
use crate::units::Length;

use super::{Inputs, Say, Table, surveyed};

/// Every floor, highest first, and the roof.
pub fn floors(set: &Inputs<'_>, say: &Say) -> Table {
    let job = set.job;
    let survey = job.zero.as_ref().is_some_and(|z| z.survey.is_some());
    let mut head = vec!["Floor".to_owned(), say.in_unit("F.F. EL.")];
    if survey {
        head.push(say.in_unit("Survey elev."));
    }
    let grades = job.floors.iter().any(|f| f.grade.is_some());
    if grades {
        head.push(say.in_unit("Grade outside"));
    }
    let built = job
        .floors
        .iter()
        .any(|f| f.slab.is_some() || f.joists.is_some());
    if built {
        head.push("Built of".to_owned());
    }
    // From a floor to the next one up, or to the roof.
    let mut heights = job.floors.len() > 1 || job.roof.is_some() && !job.floors.is_empty();
    heights &= job.floors.windows(2).all(|w| w[0].level < w[1].level);
    if heights {
        head.push(say.in_unit("Story height"));
    }
    let next = |level: Length| {
        let floors = job.floors.iter().map(|f| f.level);
        let all = floors.chain(job.roof.as_ref().map(|r| r.value));
        let over = all.filter(|l| *l > level);
        over.min_by(Length::total_cmp).map(|l| l - level)
    };
    let roof = job.roof.as_ref().map(|r| ("roof", r.value, None));
    let floors = job.floors.iter().rev();
    let floors = floors.map(|f| (f.name.as_str(), f.level, Some(f)));
    let rows = roof
        .into_iter()
        .chain(floors)
        .map(|(name, level, floor)| {
            let mut row = vec![name.to_owned(), say.level(Some(level))];
            if survey {
                row.push(say.elevation(surveyed(job, Some(level))));
            }
            if grades {
                row.push(say.level(floor.and_then(|f| f.grade)));
            }
            if built {
                let built = floor.map(|f| built_of(say, f)).filter(|w| !w.is_empty());
                row.push(built.unwrap_or_else(|| say.nothing()));
            }
            if heights {
                row.push(say.length(next(level)));
            }
            row
        })
        .collect();
    Table {
        name: "floors",
        title: "Floor levels".into(),
        head,
        rows,
        ..Table::default()
    }
}

/// What lies over the pipes beneath a floor: `slab 4″`, `deck ¾″, joists 11⅞″`.
fn built_of(say: &Say, floor: &Floor) -> String {
    let parts = [
        ("slab", floor.slab),
        ("deck", floor.deck),
        ("joists", floor.joists),
        ("soffit", floor.soffit),
    ];
    let parts = parts.iter().filter_map(|(word, depth)| {
        let depth = say.print.short((*depth)?);
        Some(format!("{word} {depth}"))
    });
    parts.collect::<Vec<_>>().join(", ")
}
