//! Scope, code, loads, levels.

use super::Say;
use crate::network::State;
use crate::sheets::Inputs;
use crate::sheets::lettering::kept;
use crate::units::{Length, UnitSystem, number};

/// What the set is about and what it rests on.
pub(super) fn notes(say: &Say<'_>, notes: &mut Vec<String>) {
    let set = say.set;
    let job = set.job;
    let scope = match &job.title.scope {
        Some(scope) => scope.trim().trim_end_matches('.').to_owned(),
        None => "Drains, wastes and vents inside the building, from the fixtures to the outside \
                 face of the wall"
            .to_owned(),
    };
    notes.push(format!(
        "Scope: {scope}. Not in this set: water supply, gas, storm drains and the sewer beyond \
         the wall. No grease interceptor unless one is drawn."
    ));
    notes.push(format!(
        "Code: {} {}{}. {} Sized by the code's tables; no engineered design.",
        set.book.title(),
        set.book.edition(),
        authority(set),
        amendments(set),
    ));
    notes.extend(options(set));
    notes.extend(changes(set));
    if !set.solution.sizing.load_method.is_empty() {
        notes.push(format!(
            "Loads ({}): {}",
            set.book.unit().to_uppercase(),
            set.solution.sizing.load_method
        ));
    }
    let mut datum = match job.zero.as_ref().and_then(|z| z.is.as_deref()) {
        Some(is) => format!("Datum: level 0 is {}", is.trim()),
        None => "Datum: level 0 is the job's own zero".to_owned(),
    };
    if let Some(zero) = &job.zero {
        if let Some(survey) = zero.survey {
            let figure = figure(say.print.units, survey);
            datum += &format!(", survey elevation {figure}");
        }
        if let Some(mark) = &zero.benchmark {
            datum += &format!("; benchmark: {}", mark.trim());
            if let Some(level) = zero.level {
                datum += &format!(" at {}", say.level(level));
                if let Some(survey) = zero.survey {
                    datum += &format!(", {}", figure(say.print.units, survey + level));
                }
            }
        }
    }
    let north = match set.net.has_headings() {
        true => "",
        false => " Plan north is not stated: the ways that pipes run are not those of the house.",
    };
    notes.push(format!(
        "{datum}. IE is the invert, the bottom of the bore. {}; build to the levels and to the \
         lengths of the schedules.{north}",
        scale(set)
    ));
    if !set.solution.levels.missing.is_empty() {
        notes.push(
            "Inverts beyond a length that nobody gave are not known and are left out; the level \
             table names the lengths."
                .to_owned(),
        );
    }
    let any = |s: State| set.net.graph.edge_weights().any(|p| p.state == s);
    if any(State::Proposed) {
        notes.push(
            "Parts marked * are proposed, not stated in the job: confirm them before work. Stated \
             sizes are kept and checked."
                .to_owned(),
        );
    }
    if any(State::Existing) {
        notes.push("Parts marked (E) are existing: they are not resized.".to_owned());
    }
    if any(State::Future) {
        notes.push("Parts marked (F) are roughed in, capped and counted for later.".to_owned());
    }
}

/// A survey elevation, with its unit.
fn figure(units: UnitSystem, survey: Length) -> String {
    kept(&match units {
        UnitSystem::Feet => format!("{} ft", number(survey.feet(), 2, true)),
        UnitSystem::Metric => format!("{} m", number(survey.mm() / 1000.0, 3, true)),
    })
}

fn authority(set: &Inputs<'_>) -> String {
    match set.book.authority().trim() {
        "" => String::new(),
        words => format!(", {words}"),
    }
}

/// What amends the code here, in a sentence.
pub fn amendments(set: &Inputs<'_>) -> String {
    let id = set.book.id();
    if let Some((base, _)) = set.book.amends() {
        return format!("Local amendments of {base}, {id}: they are listed in the notes.");
    }
    if crate::codebook::Book::builtin_ids().contains(&id) {
        "No local amendments are stated in the job; those of the authority govern.".to_owned()
    } else {
        format!("Local book {id}: its amendments are in the figures.")
    }
}

/// What is chosen of the book's options, and what the job leaves to the tool.
fn options(set: &Inputs<'_>) -> Option<String> {
    let groups = set.book.options().groups();
    let (stated, open): (Vec<_>, Vec<_>) = groups.iter().partition(|g| g.stated);
    let words = |all: Vec<&crate::codebook::Group>| {
        let words: Vec<String> = all.iter().map(|g| g.chosen.clone()).collect();
        words.join(", ")
    };
    let told = match (stated.is_empty(), open.is_empty()) {
        (true, true) => return None,
        (false, true) => words(stated),
        (true, false) => format!("{} (not stated, taken)", words(open)),
        (false, false) => format!("{}; not stated, taken: {}", words(stated), words(open)),
    };
    Some(format!("Of the code's options: {told}."))
}

/// Every figure that the town changed, with its own citation.
fn changes(set: &Inputs<'_>) -> Option<String> {
    let (base, changes) = set.book.amends()?;
    let each = changes.iter().map(|c| {
        let table = set.book.tables().iter().find(|t| t.key == c.key);
        let title = table.map_or(c.key.as_str(), |t| t.title.as_str());
        format!("{title} ({}): {}", c.section, c.rows.join("; "))
    });
    let each: Vec<String> = each.collect();
    Some(format!("Figures amended from {base}: {}.", each.join(". ")))
}

/// How lengths are drawn.
fn scale(set: &Inputs<'_>) -> String {
    let Some(scale) = set.scale else {
        return "Isometric, not to scale: do not scale it".to_owned();
    };
    let mut words = format!(
        "Isometric, lengths of drains at {} along its three axes; lengths that nobody gave, and \
         vents, are not to scale",
        kept(scale.words)
    );
    if !scale.missed.is_empty() {
        words += &format!(
            "; drawn longer than they are, for room: {}",
            scale
                .missed
                .iter()
                .map(|id| kept(id))
                .collect::<Vec<_>>()
                .join(", ")
        );
    }
    words
}
