//! The stations of the sections as a table.

use super::model::{Place, Profile};
use crate::job::Job;
use crate::sheets::{Form, Say, Table};
use crate::units::Length;

/// Every place of every section; on sheets only of those that are not drawn whole, whose figures
/// stand nowhere else.
pub fn tables(profiles: &[Profile], say: &Say) -> Vec<Table> {
    let mut head = vec!["Drain".to_owned(), "Place".to_owned()];
    for word in [
        "Station",
        "Distance",
        "Invert",
        "Invert in",
        "Top of pipe",
        "Cover",
        "Room",
    ] {
        head.push(say.in_unit(word));
    }
    head.extend(["Held by", "Size", "Fall"].map(str::to_owned));
    let mut rows = Vec::new();
    for profile in profiles {
        rows.extend(profile.places.iter().map(|p| row(profile, p, say)));
    }
    let mut foot = match say.data() {
        true => Vec::new(),
        false => missing(profiles),
    };
    let mut gone: Vec<usize> = Vec::new();
    // On a sheet a column that says nothing is left out, and lengths that nobody gives are said once.
    if say.form == Form::Sheet {
        let nothing = say.nothing();
        let empty = |i: usize| rows.iter().all(|r: &Vec<String>| r[i] == nothing);
        gone.extend((2..head.len()).filter(|i| empty(*i)));
        if profiles.len() == 1 {
            gone.insert(0, 0);
        }
        let none = profiles
            .iter()
            .flat_map(|p| &p.places)
            .all(|p| p.invert.is_none() && p.top.is_none());
        if none {
            foot.insert(
                0,
                "No lengths are given, so no levels are known.".to_owned(),
            );
        }
    }
    let mut table = Table {
        name: "stations",
        title: "Stations".into(),
        head,
        rows,
        foot,
        ..Table::default()
    };
    for at in gone.into_iter().rev() {
        table.drop_column(at);
    }
    vec![table]
}

/// What keeps a section from being drawn whole.
fn missing(profiles: &[Profile]) -> Vec<String> {
    let each = |p: &Profile| {
        let up = p.missing.as_ref();
        let drawn = p.pipes.iter().any(|pipe| pipe.run == p.run);
        let up = up.map(|why| match drawn {
            true => format!("The section of the {} ends where {why}.", p.called),
            false => format!("The {} is not drawn: {why}.", p.called),
        });
        let the = if p.exit == "exit" { "the " } else { "" };
        let down = p.beyond.as_ref();
        let down = down.map(|why| format!("Beyond {the}{} nothing is drawn: {why}.", p.exit));
        [up, down].into_iter().flatten().collect::<Vec<_>>()
    };
    profiles.iter().flat_map(each).collect()
}

fn row(profile: &Profile, p: &Place, say: &Say) -> Vec<String> {
    vec![
        profile.run.clone(),
        p.what.clone(),
        say.length(p.station),
        say.length(p.distance),
        say.level(p.invert),
        say.level(p.invert_in),
        say.level(p.top),
        say.short(p.cover),
        say.room(p.room),
        p.held.clone().unwrap_or_else(|| say.nothing()),
        say.size(p.size),
        say.fall(p.fall),
    ]
}

/// What a reader of the sections must know.
pub fn notes(profiles: &[Profile], job: &Job, say: &Say) -> Vec<String> {
    let undrawn = profiles.iter().filter(|p| p.pipes.is_empty());
    let mut notes: Vec<String> = undrawn.filter_map(|p| p.unfit.clone()).collect();
    notes.push(datum(job, say));
    notes.extend(
        [
        "Levels and stations are those of the permit sheets. Stations count the developed length, a rise \
         with it; it is drawn to scale in plan.",
        "Invert: bottom of the bore; `in`: of the pipe that comes in. Top of pipe: its outside. Cover: \
         from the underside of the slab, outside from the ground, down to that. Below BM: with a minus \
         sign it lies above.",
    ]
    .map(|n| n.replace('`', "\"")),
    );
    let spare = job.practice.spare.map(|spare| {
        let spare = say.print.short(spare);
        format!(" The job keeps {spare} of it: so much less may be used.")
    });
    notes.push(format!(
        "Room: how much higher the drain could lie there, and what it would meet first.{} Negative: {}",
        spare.unwrap_or_default(),
        say.wanting()
    ));
    if profiles.iter().flat_map(|p| &p.pipes).any(|p| !p.outside) {
        notes.push(
            "No outside of these pipes is stated or in the catalogue: their tops and their cover are not \
             known. They are drawn as high as their nominal size."
                .to_owned(),
        );
    }
    if profiles.iter().any(|p| !p.footings.is_empty()) {
        notes.push("Footings: their widths are not to scale.".to_owned());
    }
    notes.extend(missing(profiles));
    notes
}

/// What level 0 is, and how the benchmark and the survey lie to it.
fn datum(job: &Job, say: &Say) -> String {
    let zero = job.zero.as_ref();
    let is = zero.and_then(|z| z.is.as_deref());
    let mut words = match is {
        Some(is) => format!("Level 0 is {is}"),
        None => "The job does not say what level 0 is".to_owned(),
    };
    if let Some(survey) = zero.and_then(|z| z.survey) {
        words += &format!(", survey elevation {}", say.elevation(Some(survey)));
    }
    words += ".";
    match zero.map(|z| (z.benchmark.as_deref(), z.level)) {
        Some((Some(name), Some(level))) => {
            let side = match level < Length::ZERO {
                true => "below",
                false => "above",
            };
            let off = say.print.length(level.abs());
            words += &format!(
                " Benchmark (BM): {name}, level {}: {off} {side} 0.",
                say.print.level(level)
            );
        }
        Some((Some(name), None)) => {
            words += &format!(" Benchmark: {name}; its level is not stated.");
        }
        _ => words += " No benchmark is stated.",
    }
    words
}
