//! The stations of the sections as a table.

use super::model::{Place, Profile};
use crate::sheets::{Say, Table};

/// Every place of every section; on sheets only of those that are not drawn whole, whose figures
/// stand nowhere else.
pub fn tables(profiles: &[Profile], say: &Say) -> Vec<Table> {
    let mut head = vec!["Drain".to_owned(), "Place".to_owned()];
    for word in [
        "Station",
        "Distance",
        "Invert",
        "Top of pipe",
        "Cover",
        "Room",
    ] {
        head.push(say.in_unit(word));
    }
    head.extend(["Size", "Fall"].map(str::to_owned));
    let mut rows = Vec::new();
    for profile in profiles {
        rows.extend(profile.places.iter().map(|p| row(profile, p, say)));
    }
    let foot = match say.data() {
        true => Vec::new(),
        false => missing(profiles),
    };
    vec![Table {
        name: "stations",
        title: "Stations".into(),
        head,
        rows,
        foot,
        ..Table::default()
    }]
}

/// What keeps a section from being drawn whole.
fn missing(profiles: &[Profile]) -> Vec<String> {
    let each = |p: &Profile| {
        let up = p.missing.as_ref();
        let drawn = p.pipes.iter().any(|pipe| pipe.run == p.run);
        let up = up.map(|why| match drawn {
            true => format!("The section of {} ends where {why}.", p.run),
            false => format!("{} is not drawn: {why}.", p.run),
        });
        let down = p.beyond.as_ref();
        let down = down.map(|why| format!("Beyond {} nothing is drawn: {why}.", p.exit));
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
        say.level(p.top),
        say.short(p.cover),
        say.room(p.room),
        say.size(p.size),
        say.fall(p.fall),
    ]
}

/// What a reader of the sections must know.
pub fn notes(profiles: &[Profile]) -> Vec<String> {
    let mut notes: Vec<String> = [
        "Levels and stations are those of the permit sheets of the same job file. Distances go along \
         the drain in plan from the exit: where it rises two places stand over each other.",
        "Heights are drawn to a larger scale than lengths, so falls look steeper than they are.",
        "Invert: bottom of the bore. Top of pipe: its outside. Cover: from the underside of the slab, \
         at the exit and beyond it from the ground, down to the top of the pipe.",
        "Room: how much higher the drain could lie there with all that lies upstream of it; negative: \
         it does not fit.",
        "Footings and the ground are drawn where the job states their levels; their widths are not to \
         scale.",
    ]
    .map(str::to_owned)
    .to_vec();
    notes.extend(missing(profiles));
    notes
}
