//! Materials, falls, trap arms, cleanouts, fittings, primers, air gaps, backwater, ejectors.

use super::{Say, grouped, list};
use crate::catalogue;
use crate::codebook::Turn;
use crate::sheets::lettering::kept;
use crate::units::{Length, PipeSize};

/// What drains must keep to.
pub(super) fn notes(say: &Say<'_>, notes: &mut Vec<String>) {
    let p = &say.set.job.practice;
    notes.push(format!(
        "Materials: below ground {}; above ground {}; vents {}. Fittings are of the same material, \
         of drainage pattern{}.",
        p.material_below.trim(),
        p.material_above.trim(),
        p.material_vents.trim(),
        standards([&p.material_below, &p.material_above, &p.material_vents]),
    ));
    notes.extend(falls(say));
    notes.extend(arms(say));
    notes.extend(fittings(say));
    notes.push(cleanouts(say));
    notes.extend(primers(say));
    notes.extend(air_gaps(say));
    notes.push(backwater(say));
    if !say.set.job.basins.is_empty() {
        notes.push(format!(
            "Ejector basins are gas-tight, vented, with a check valve and a stop valve in the \
             discharge{}.",
            say.section("sumps")
        ));
    }
}

/// The standards of the materials, where the catalogue knows their pipe by one.
fn standards(materials: [&String; 3]) -> String {
    let mut known: Vec<String> = Vec::new();
    let Some(size) = PipeSize::from_inches(3.0) else {
        return String::new();
    };
    for word in materials {
        let name = catalogue::material(word);
        let source = catalogue::outside(word, size).map(|d| d.source);
        let Some((name, source)) = name.zip(source) else {
            continue;
        };
        let standard = source.split(',').next().unwrap_or_default().trim();
        if !standard.contains("ASTM ") {
            continue;
        }
        let words = format!("{name} pipe to {standard}");
        if !known.contains(&words) {
            known.push(words);
        }
    }
    match known.is_empty() {
        true => String::new(),
        false => format!("; {}", known.join("; ")),
    }
}

fn falls(say: &Say<'_>) -> Option<String> {
    let book = say.set.book;
    let mut cite = None;
    let mut rows = Vec::new();
    for size in say.drain_sizes() {
        if let Ok(found) = book.least_fall(size) {
            cite = cite.or_else(|| Some(found.cite().to_owned()));
            rows.push((say.print.size(size), say.fall(found.value)));
        }
    }
    let cite = cite?;
    let mut words = format!(
        "Falls: horizontal drains slope uniformly, at least as follows ({cite}): {}. The fall of each is on the \
         drawing",
        grouped(rows)
    );
    let preferred = &say.set.job.practice.falls;
    if !preferred.is_empty() {
        let rows = preferred
            .iter()
            .map(|(s, f)| (say.print.size(*s), say.fall(f.value)))
            .collect();
        words += &format!(". This job prefers for {}", grouped(rows));
    }
    Some(words + ".")
}

fn arms(say: &Say<'_>) -> Option<String> {
    let (net, sizing, book) = (say.set.net, &say.set.solution.sizing, say.set.book);
    let arms = net.traps.iter().filter_map(|t| t.arm);
    let mut sizes: Vec<PipeSize> = arms
        .filter_map(|a| sizing.pieces.get(&a))
        .map(|s| s.size)
        .collect();
    sizes.sort_unstable();
    sizes.dedup();
    let mut cite = None;
    let mut rows = Vec::new();
    for size in sizes {
        if let Ok(found) = book.trap_arm(size) {
            cite = cite.or_else(|| Some(found.cite().to_owned()));
            rows.push((say.print.size(size), say.length(found.value.length)));
        }
    }
    let cite = cite?;
    let rules = book.arm_rules();
    let fall = rules.fall_diameters.as_ref().map(|f| {
        let fall = match f.value {
            whole if (whole - 1.0).abs() < 1e-9 => "one pipe diameter".to_owned(),
            whole => format!("{} pipe diameters", crate::units::number(whole, 2, false)),
        };
        format!(" No more fall than {fall} ({})", rules.section)
    });
    let exempt = match &rules.closet_arm {
        Some(own) => format!(
            "; the arm of a water closet at most {} from its flange ({})",
            say.length(own.value),
            own.cite()
        ),
        None if rules.closet_exempt.value => "; water closets are exempt".to_owned(),
        None => String::new(),
    };
    Some(format!(
        "Trap arms: from weir to vent at most as follows ({cite}): {}.{}{exempt}.",
        grouped(rows),
        fall.unwrap_or_default()
    ))
}

fn fittings(say: &Say<'_>) -> Option<String> {
    const NAMES: [&str; 6] = [
        "wye",
        "combination wye and eighth bend",
        "eighth bend",
        "long sweep",
        "quarter bend",
        "sanitary tee",
    ];
    let book = say.set.book;
    let named = |all: Vec<&&str>| -> Vec<String> {
        all.into_iter().map(|n| book.fitting_called(n)).collect()
    };
    // A fitting that only fixture drains may use, or only some sizes, is not named here.
    let may = |turn: Turn| {
        let free = |n: &&&str| {
            book.fitting(n, turn)
                .is_some_and(|f| f.value.allowed && f.value.fixture_drain_to.is_none())
        };
        named(NAMES.iter().filter(free).collect())
    };
    let not = |n: &&&str| {
        [Turn::VerticalToHorizontal, Turn::HorizontalToHorizontal]
            .iter()
            .all(|t| book.fitting(n, *t).is_some_and(|f| !f.value.allowed))
    };
    let never = named(NAMES.iter().filter(not).collect());
    let cite = book
        .fitting("wye", Turn::HorizontalToHorizontal)?
        .cite()
        .to_owned();
    let mut words = format!(
        "Changes of direction ({cite}): from vertical to horizontal by {}; between horizontal \
         pipes by {}",
        list(&may(Turn::VerticalToHorizontal)),
        list(&may(Turn::HorizontalToHorizontal)),
    );
    if !never.is_empty() {
        words += &format!("; no {} on its back or side", list(&never));
    }
    Some(words + ".")
}

fn cleanouts(say: &Say<'_>) -> String {
    let r = say.set.book.cleanouts();
    let mut words = format!(
        "Cleanouts ({}): full pipe size to {}, not less than {} on larger; {} clear in front to \
         {}, {} on larger; not more than {} apart; {}",
        r.spacing.cite(),
        say.print.size(r.full_size_to.value),
        say.print.size(r.least_on_larger.value),
        say.short(r.clearance.value),
        say.print.size(r.near_to.value),
        say.short(r.clearance_larger.value),
        say.length(r.spacing.value),
        turns(say),
    );
    if let Some(rule) = &r.upper_end {
        words += &format!(
            "; one at the upper end of each building drain and its branches ({})",
            rule.cite()
        );
    }
    if r.base_of_stack.value {
        words += "; one near the base of each stack";
    }
    words + ". They stay reachable behind finish."
}

/// Which changes of direction need a cleanout.
fn turns(say: &Say<'_>) -> String {
    let r = say.set.book.cleanouts();
    let degrees = crate::units::number(r.turn_degrees.value, 0, false);
    let cite = r.turn_degrees.cite();
    if r.turns_added {
        return format!("one more where changes of direction add up to over {degrees}° ({cite})");
    }
    format!(
        "one at each change of direction over {degrees}° ({cite}), and where there are more of \
         them one serves all within {} of developed length",
        say.length(r.turn_reach.value),
    )
}

fn primers(say: &Say<'_>) -> Option<String> {
    let (job, net) = (say.set.job, say.set.net);
    let mut primed = Vec::new();
    let mut dry = Vec::new();
    for t in &net.traps {
        let Some(f) = job.fixtures.get(t.fixture) else {
            continue;
        };
        let by = t.primed_by.and_then(|i| job.fixtures.get(i));
        match by {
            Some(by) => primed.push(format!("{} from {}", kept(&f.name), kept(&by.name))),
            None if catalogue::kind(&f.kind.value).is_some_and(|k| k.needs_primer) => {
                dry.push(kept(&f.name));
            }
            None => {}
        }
    }
    if primed.is_empty() && dry.is_empty() {
        return None;
    }
    let mut words = format!(
        "Trap primers: traps that may dry out are kept filled{}",
        say.section("primer")
    );
    if !primed.is_empty() {
        words += &format!(": {}", list(&primed));
    }
    if !dry.is_empty() {
        words += &format!("; not stated for {}", list(&dry));
    }
    Some(words + ". The primer's supply has an air gap or vacuum breaker.")
}

fn air_gaps(say: &Say<'_>) -> Option<String> {
    let (job, net) = (say.set.job, say.set.net);
    let gaps: Vec<String> = net
        .traps
        .iter()
        .filter_map(|t| {
            let f = job.fixtures.get(t.fixture)?;
            let over = net.traps.get(t.over?.0)?;
            let receptor = job.fixtures.get(over.fixture)?;
            let gap = match f.gap {
                Some(gap) => format!(", gap {}", say.short(gap)),
                None => String::new(),
            };
            Some(format!(
                "{} over {}{gap}",
                kept(&f.name),
                kept(&receptor.name)
            ))
        })
        .collect();
    if gaps.is_empty() {
        return None;
    }
    Some(format!(
        "Indirect wastes end over their receptor with an air gap{}: {}.",
        say.section("indirect"),
        list(&gaps)
    ))
}

/// Yes or no, with the rim that it was judged by.
fn backwater(say: &Say<'_>) -> String {
    let (job, net) = (say.set.job, say.set.net);
    let cite = say.section("backwater");
    let valves: Vec<String> = net
        .valves
        .iter()
        .map(|v| {
            let run = net.runs.get(v.run.0).map_or("", |r| r.id.as_str());
            format!("{} on {}", kept(&v.id), kept(run))
        })
        .collect();
    let fitted = if valves.is_empty() {
        "no valve is drawn".to_owned()
    } else {
        format!("yes, {}", list(&valves))
    };
    let rim = job.exits.iter().find_map(|e| e.sewer.as_ref()?.manhole_rim);
    let by_floor = (say.set.book.backwater_by_floor()).is_some_and(|by| by.value);
    let (judged_by, lowest) = match by_floor {
        true => ("floor", "lowest floors with fixtures"),
        false => ("flood level rim", "lowest flood level rims"),
    };
    let Some(rim) = rim else {
        return format!(
            "Backwater protection{cite}: {fitted}. The rim of the next upstream manhole is not \
             stated: compare it with the {lowest} before work."
        );
    };
    let judged: Vec<Judged> = (job.fixtures.iter())
        .filter_map(|f| {
            let floor = f.floor.and_then(|x| job.floors.get(x.0))?;
            let kind = catalogue::kind(&f.kind.value);
            let height = match by_floor {
                true => Length::ZERO,
                false => f.rim.or_else(|| kind.map(|k| k.default_rim.height))?,
            };
            let assumed = !by_floor && f.rim.is_none();
            Some(Judged {
                level: floor.level + height,
                assumed,
                name: kept(&f.name),
            })
        })
        .collect();
    let assumed = judged.iter().any(|j| j.assumed);
    let mut judged = margins(say, judged, rim, judged_by);
    if assumed {
        judged += "; rims that the job does not state are the usual ones of their kinds: verify";
    }
    let reach = match valves.is_empty() {
        true => "",
        false => " Valves stay in reach for service.",
    };
    format!(
        "Backwater protection{cite}: {fitted}. Rim of the next upstream manhole {}; {judged}. Only \
         fixtures below the rim drain through a valve.{reach}",
        say.level(rim)
    )
}

/// A fixture with the level that it is judged by.
struct Judged {
    level: Length,
    /// Whether it is the usual rim of its kind, which the job does not state.
    assumed: bool,
    name: String,
}

/// Which fixtures lie below the rim of a manhole and how far, and how near above it the lowest of
/// the others is: what the decision rests on.
fn margins(say: &Say<'_>, mut all: Vec<Judged>, rim: Length, judged_by: &str) -> String {
    all.sort_by(|a, b| a.level.total_cmp(&b.level));
    // Those of one level together, lowest first.
    let mut levels: Vec<(Length, Vec<String>)> = Vec::new();
    for j in all {
        match levels.last_mut() {
            Some((level, names)) if level.same(j.level) => names.push(j.name),
            _ => levels.push((j.level, vec![j.name])),
        }
    }
    let below = |level: Length| level < rim && !level.same(rim);
    let words = |(level, names): &(Length, Vec<String>)| {
        let (far, side) = match below(*level) {
            true => (rim - *level, "below"),
            false => (*level - rim, "above"),
        };
        format!(
            "{} at {}, {} {side}",
            list(names),
            say.level(*level),
            say.length(far)
        )
    };
    let (under, over): (Vec<_>, Vec<_>) = levels.iter().partition(|(level, _)| below(*level));
    let mut said = match under.as_slice() {
        [] => format!("no fixture's {judged_by} is below it"),
        _ => {
            let each: Vec<String> = under.into_iter().map(words).collect();
            format!("by {judged_by}, below it: {}", each.join("; "))
        }
    };
    if let Some(lowest) = over.first() {
        said += &format!("; lowest of the others {}", words(lowest));
    }
    said
}
