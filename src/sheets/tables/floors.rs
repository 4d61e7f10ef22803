//! Floors and their levels.

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
    let roof = job.roof.as_ref().map(|r| ("roof", r.value, None));
    let floors = job
        .floors
        .iter()
        .rev()
        .map(|f| (f.name.as_str(), f.level, f.grade));
    let rows = roof
        .into_iter()
        .chain(floors)
        .map(|(name, level, grade)| {
            let mut row = vec![name.to_owned(), say.level(Some(level))];
            if survey {
                row.push(say.elevation(surveyed(job, Some(level))));
            }
            if grades {
                row.push(say.level(grade));
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
