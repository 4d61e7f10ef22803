//! The level table: inverts along each drain, from the exit up.

use std::collections::{HashMap, HashSet};

use crate::catalogue;
use crate::levels::{Bores, Levels, Station, bounds};
use crate::network::RunKind;
use crate::sheets::lettering::kept;
use crate::units::Printer;

use super::{Inputs, Say, Table, heads, surveyed};

/// Each place with its station and invert; what is missing is said.
pub fn levels(set: &Inputs<'_>, say: &Say) -> Table {
    let levels = &set.solution.levels;
    let survey = set.job.zero.as_ref().is_some_and(|z| z.survey.is_some());
    let mut head = heads(&["Place", "On"]);
    head.push(say.in_unit("Station"));
    head.push(say.in_unit("Invert"));
    if survey {
        head.push(say.in_unit("Survey elev."));
    }
    // On a sheet the reasons stand below, each once.
    let said = say.data();
    let whole = say.whole();
    if whole {
        head.push(say.in_unit("Top of pipe"));
        head.push("Size".into());
        head.push("Fall".into());
        head.push(say.in_unit("Drop"));
        head.push(say.in_unit("Room"));
        head.push("Bound by".into());
    }
    // On a sheet room is nobody's business, until there is none.
    let short = !whole && any_short(levels);
    if short {
        head.push("Room".into());
    }
    if said {
        head.push("Not known because".into());
    }
    let print = Printer {
        units: set.job.units,
    };
    let bores = Bores::new(set.job, set.net);
    // The place before each on the same drain.
    let mut last: HashMap<&str, &Station> = HashMap::new();
    let below = levels.stations.iter().map(|s| last.insert(&s.run, s));
    let below: Vec<Option<&Station>> = below.collect();
    let listed = |s: &Station| {
        say.whole()
            || set
                .typical
                .is_none_or(|t| !t.out().joints.contains(&s.joint))
    };
    let rows = levels
        .stations
        .iter()
        .zip(below)
        .filter(|(s, _)| listed(s))
        .map(|(s, below)| {
            let mut row = vec![s.place.clone(), s.run.clone(), say.length(s.station)];
            row.push(say.level(s.invert));
            if survey {
                row.push(say.elevation(surveyed(set.job, s.invert)));
            }
            if whole {
                let size = set.solution.sizing.pieces.get(&s.piece).map(|p| p.size);
                let top = size.and_then(|z| bores.top(s.piece, z));
                let fall = levels.pieces.get(&s.piece).and_then(|l| l.fall);
                row.push(say.level(s.invert.zip(top).map(|(i, t)| i + t)));
                row.push(size.map_or_else(|| say.nothing(), |z| print.size_plain(z)));
                row.push(fall.map_or_else(|| say.nothing(), |f| print.fall_plain(f)));
                // Over the way from the place before it on the same drain.
                let below = below.and_then(|b| b.invert);
                let drop = s.invert.zip(below).map(|(up, down)| up - down);
                row.push(say.short(drop));
                row.push(say.room(s.room.map(|r| r.spare)));
                let bound = s.room.map(|r| bounds::words(set.job, set.net, r.bound));
                row.push(bound.unwrap_or_else(|| say.nothing()));
            }
            if short {
                row.push(say.room(s.room.map(|r| r.spare)));
            }
            if said {
                row.push(s.missing.clone().unwrap_or_default());
            }
            row
        })
        .collect();
    let mut foot = Vec::new();
    if !say.data() {
        let ie = "Invert: bottom of the bore, IE on the drawing. Station: developed length up the \
                  drain.";
        foot.push(ie.into());
        if whole {
            let whole = "Top of pipe: its outside. Drop: over the way from the place before it on \
                         the same drain.";
            foot.push(whole.into());
            foot.push(room(say));
        }
        if !levels.missing.is_empty() {
            foot.push(format!("Lengths not given: {}.", some(&levels.missing)));
        }
        foot.extend(reasons(levels));
        foot.extend(hung(set));
        if short {
            foot.push(room(say));
        }
    }
    Table {
        name: "levels",
        title: "Levels".into(),
        head,
        rows,
        foot,
        ..Table::default()
    }
}

/// Why inverts are not known, other than for the lengths that are listed.
fn reasons(levels: &Levels) -> Option<String> {
    const SHOWN: usize = 6;
    // Looked up for each word of each station: thousands of both.
    let missing: HashSet<&str> = levels.missing.iter().map(String::as_str).collect();
    let listed = |why: &str| why.split_whitespace().any(|w| missing.contains(w));
    let mut seen: HashSet<&str> = HashSet::new();
    let mut all: Vec<&str> = Vec::new();
    for why in levels.stations.iter().filter_map(|s| s.missing.as_deref()) {
        if seen.insert(why) && !listed(why) {
            all.push(why);
        }
    }
    if all.is_empty() {
        return None;
    }
    let more = if all.len() > SHOWN {
        "; and others"
    } else {
        ""
    };
    all.truncate(SHOWN);
    Some(format!("Not known: {}{more}.", all.join("; ")))
}

/// What the column of rooms says.
fn room(say: &Say) -> String {
    format!(
        "Room: how much higher a drain could lie there with all that lies upstream of it, or, within \
         joists, how much lower, if that is less. Negative: {}",
        say.wanting()
    )
}

/// Whether any place has less than no room.
fn any_short(levels: &Levels) -> bool {
    let mut rooms = levels.stations.iter().filter_map(|s| s.room);
    rooms.any(|r| -r.spare > catalogue::fine())
}

/// The branches whose inverts nobody stated: they hang from their fixtures.
fn hung(set: &Inputs<'_>) -> Option<String> {
    let (net, levels) = (set.net, &set.solution.levels.pieces);
    let runs = net.runs.iter().filter(|r| r.kind == RunKind::Branch);
    let hung = runs.filter(|r| {
        let first = r.pieces.first().and_then(|p| levels.get(p));
        first.is_some_and(|l| l.hung)
    });
    let names: Vec<String> = hung.map(|r| r.id.clone()).collect();
    (!names.is_empty()).then(|| {
        format!(
            "No invert stated, so as high as their fixtures and what lies over them let them: {}.",
            some(&names)
        )
    })
}

/// The first of a list, and how many more there are.
fn some(ids: &[String]) -> String {
    const SHOWN: usize = 24;
    let shown: Vec<String> = ids.iter().take(SHOWN).map(|i| kept(i)).collect();
    let mut words = shown.join(", ");
    if ids.len() > SHOWN {
        words += &format!(" and {} more, see the pipe schedule", ids.len() - SHOWN);
    }
    words
}
