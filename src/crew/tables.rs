//! The crew's sheets as tables: what is set out, and the steps.

use super::{CrewPart, CrewSheet, Height};
use crate::sheets::{Say, Table};

/// The tables of a set.
pub fn tables(set: &[CrewSheet], say: &Say) -> Vec<Table> {
    vec![set_out(set, say), steps(set)]
}

/// Everything that is set out, sheet by sheet.
fn set_out(set: &[CrewSheet], say: &Say) -> Table {
    let mut head: Vec<String> = ["Sheet", "At", "Fitting", "From", "Size"]
        .map(str::to_owned)
        .to_vec();
    let lengths = ["Length", "Drop", "Low invert", "Low top", "Invert", "Top"];
    head.extend(lengths.map(|h| say.in_unit(h)));
    head.push(say.in_unit("At least up"));
    head.extend(["Bends", "Past floors", "Down from"].map(str::to_owned));
    let mut rows = Vec::new();
    for (sheet, part) in parts(set) {
        for place in part.set_out.iter().filter(|p| !p.goes_on) {
            rows.push(vec![
                sheet.number.clone(),
                place.key.clone(),
                place.fitting.clone(),
                place.from.clone().unwrap_or_default(),
                say.size(place.size),
                say.length(place.length),
                say.length(place.drop),
                say.length(place.low.invert),
                say.length(place.low.top),
                say.length(place.high.invert),
                say.length(place.high.top),
                match place.height {
                    Some(Height::AtLeast(up)) => say.length(Some(up)),
                    Some(Height::Said(words)) => words.to_owned(),
                    None => String::new(),
                },
                place.bends.join(", "),
                place.past.clone().unwrap_or_default(),
                place.over.as_ref().unwrap_or(&part.datum).words.clone(),
            ]);
        }
    }
    Table {
        name: "set-out",
        title: "What is set out".to_owned(),
        head,
        rows,
        foot: vec![
            "Size, length, drop: of the pipe that leads up to the place. Low invert and low top: its \
             lower end. Invert and top at the place. They are measured down; minus: up. A joint of \
             vents stands at least so high up."
                .to_owned(),
        ],
        strong: Vec::new(),
        prose: Vec::new(),
    }
}

/// The parts of all sheets.
fn parts(set: &[CrewSheet]) -> impl Iterator<Item = (&CrewSheet, &CrewPart)> {
    set.iter().flat_map(|s| s.parts.iter().map(move |p| (s, p)))
}

/// The steps of every sheet.
fn steps(set: &[CrewSheet]) -> Table {
    let mut rows = Vec::new();
    for sheet in set {
        let all = sheet
            .parts
            .iter()
            .flat_map(|p| p.first.iter().chain(&p.steps));
        for (i, step) in all.enumerate() {
            let done = if step.done { "yes" } else { "" };
            rows.push(vec![
                sheet.number.clone(),
                sheet.title.clone(),
                (i + 1).to_string(),
                step.words.clone(),
                done.to_owned(),
            ]);
        }
    }
    Table {
        name: "steps",
        title: "Steps".to_owned(),
        head: ["Sheet", "Title", "Step", "What is done", "Done"]
            .map(str::to_owned)
            .to_vec(),
        rows,
        foot: Vec::new(),
        strong: Vec::new(),
        prose: Vec::new(),
    }
}
