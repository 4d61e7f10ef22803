//! The holes as tables.

use super::{Axis, Drops, Hole, Level, Limit, Meets, Member, Plates, RefLine};
use crate::levels::Holes;
use crate::sheets::{Say, Table};
use crate::units::{Length, number};

/// The tables of a list of holes; empty ones are left out.
pub fn tables(drops: &Drops, say: &Say) -> Vec<Table> {
    let all: Vec<&Hole> = drops.holes.iter().collect();
    let mut tables = vec![holes(drops, &all, ("holes", "Holes".to_owned(), true), say)];
    tables.extend(others(drops, say));
    tables.retain(|t| !t.rows.is_empty());
    tables
}

/// What is not a hole: lines, limits, and what is not known.
pub(super) fn others(drops: &Drops, say: &Say) -> Vec<Table> {
    let mut all = vec![lines(drops, say), limits(drops, say), unknown(drops)];
    all.retain(|t| !t.rows.is_empty());
    all
}

fn heads(words: &[&str]) -> Vec<String> {
    words.iter().map(|w| (*w).to_owned()).collect()
}

/// Some holes, with their floor where a table holds those of several.
pub(super) fn holes(
    drops: &Drops,
    some: &[&Hole],
    (name, title, floors): (&'static str, String, bool),
    say: &Say,
) -> Table {
    let line = |i: usize| drops.lines.get(i).map_or("", |l: &RefLine| l.name.as_str());
    let from = [
        say.in_unit(&format!("East of {}", line(0))),
        say.in_unit(&format!("North of {}", line(1))),
    ];
    let mut head = heads(&["Tag", "Passes", "Pipe"]);
    if floors {
        head.insert(0, "Floor".to_owned());
    }
    let diameter = |head: &str| match (say.data(), say.print.units) {
        (false, _) => head.to_owned(),
        (true, crate::units::UnitSystem::Feet) => format!("{head} (in)"),
        (true, crate::units::UnitSystem::Metric) => format!("{head} (mm)"),
    };
    head.extend([diameter("Outside"), diameter("Hole")]);
    head.extend(from);
    head.extend(heads(&["Through", "May it be bored"]));
    let row = |h: &&Hole| {
        let at = drops.from_lines(h);
        let mut row = vec![
            h.tag.clone(),
            h.what.clone(),
            say.size(h.size),
            outside(h.outside, say),
            short(h.bored, say),
            say.length(at.map(|a| a.0)),
            say.length(at.map(|a| a.1)),
            through(&h.member, say),
            bored(h, drops, say),
        ];
        if floors {
            row.insert(0, drops.called(h.level).to_owned());
        }
        row
    };
    Table {
        name,
        title,
        head,
        rows: some.iter().map(row).collect(),
        ..Table::default()
    }
}

/// A diameter: inches to a thousandth, or millimetres, in data.
fn short(length: Option<Length>, say: &Say) -> String {
    let print = |l: Length| match (say.data(), say.print.units) {
        (false, _) => say.print.short(l),
        (true, crate::units::UnitSystem::Feet) => number(l.inches(), 3, true),
        (true, crate::units::UnitSystem::Metric) => number(l.mm(), 1, true),
    };
    length.map_or_else(|| say.nothing(), print)
}

/// An outside diameter, to the thousandth of an inch that tables of pipe give.
fn outside(length: Option<Length>, say: &Say) -> String {
    match (say.print.units, length) {
        (crate::units::UnitSystem::Feet, Some(l)) if !say.data() => {
            format!("{}″", number(l.inches(), 3, true))
        }
        _ => short(length, say),
    }
}

fn through(member: &Member, say: &Say) -> String {
    let plates = |p: &Option<Plates>| match p {
        Some(p) => {
            let which = match (p.top, p.sole) {
                (true, true) => "top and sole plate",
                (true, false) => "top plate",
                _ => "sole plate",
            };
            format!(", {which} of the {} wall", p.wall)
        }
        None => String::new(),
    };
    match member {
        Member::Slab => "slab".to_owned(),
        Member::Deck {
            joists,
            sawn,
            plates: p,
        } => match sawn {
            Some(name) => format!("deck on {name} joists{}", plates(p)),
            None => format!("deck on {} joists{}", say.print.short(*joists), plates(p)),
        },
        Member::Floor { plates: p } => format!("floor{}", plates(p)),
        Member::Roof { plates: p } => format!("roof{}", plates(p)),
    }
}

/// Whether a hole may be bored where it stands, or what is missing to say so.
fn bored(hole: &Hole, drops: &Drops, say: &Say) -> String {
    let mut words: Vec<String> = Vec::new();
    words.push(match (&hole.member, &hole.meets) {
        (Member::Slab, _) => "sleeved, or cast in".to_owned(),
        (Member::Deck { .. }, Some(meets)) => met(meets, say),
        (Member::Deck { .. }, _) => "yes, between joists".to_owned(),
        (Member::Floor { .. }, _) => "what the floor is made of is not stated".to_owned(),
        (Member::Roof { .. }, _) => "yes, between rafters".to_owned(),
    });
    if let (Some(plates), Some(hole)) = (hole.member.plates(), hole.bored) {
        words.extend(tied(plates, hole, drops, say));
    }
    if let Err(missing) = &hole.at {
        words.push(format!("place not known: {missing}"));
    }
    words.join("; ")
}

fn met(meets: &Meets, say: &Say) -> String {
    let print = |l: Length| say.print.short(say.print.rounded_up(l));
    match meets {
        Meets::Clear { joist, by } => {
            let down = -say.print.rounded_up(-*by);
            format!("yes, {} clear of joist {joist}", say.print.short(down))
        }
        Meets::Joist {
            joist,
            least,
            other,
            fits,
            ..
        } => {
            let fits = match fits {
                true => "",
                false => ", and no bay is wide enough",
            };
            format!(
                "no, it meets joist {joist}: move it {} {}, or {} {}{fits}",
                print(least.0),
                least.1.word(),
                print(other.0),
                other.1.word()
            )
        }
        Meets::WidthNotKnown { joist, from_middle } => format!(
            "{} from the middle of joist {joist}, whose width is not stated",
            say.print.short(*from_middle)
        ),
    }
}

/// What is to be done to the plates, if anything.
fn tied(plates: &Plates, hole: Length, drops: &Drops, say: &Say) -> Option<String> {
    if hole >= plates.width {
        let hole = say.print.short(hole);
        return Some(format!("{hole} cuts the {} plates through", plates.wall));
    }
    let rule = drops.limits.iter().find_map(|l| match l {
        Limit::Wall { plates, .. } => plates.as_ref(),
        _ => None,
    });
    // What the book says nothing of stands in the notes.
    let part = &rule.filter(|_| plates.top)?.part;
    let most = plates.width * part.value;
    (hole > most && !hole.same(most)).then(|| {
        let cite = part.cite();
        format!("in an outside or bearing wall tie the top plate ({cite})")
    })
}

fn lines(drops: &Drops, say: &Say) -> Table {
    let row = |l: &RefLine| {
        let way = match l.axis {
            Axis::East => "north and south, measured east",
            Axis::North => "east and west, measured north",
        };
        vec![
            l.name.clone(),
            l.is.clone(),
            way.to_owned(),
            say.length(Some(l.at)),
        ]
    };
    Table {
        name: "lines",
        title: "Lines to measure from".to_owned(),
        head: vec![
            "Tag".to_owned(),
            "It is".to_owned(),
            "Runs".to_owned(),
            say.in_unit("From plan zero"),
        ],
        rows: drops.lines.iter().map(row).collect(),
        ..Table::default()
    }
}

fn limits(drops: &Drops, say: &Say) -> Table {
    let mut rows: Vec<Vec<String>> = Vec::new();
    for limit in &drops.limits {
        match limit {
            Limit::Sawn(h) => rows.push(sawn(h, say)),
            Limit::SawnUnsaid(name) => rows.push(vec![
                format!("{name} joists"),
                "the code book says nothing of holes in joists".to_owned(),
                say.nothing(),
                say.nothing(),
            ]),
            Limit::Maker(depth) => rows.push(vec![
                format!("{} joists", say.print.short(*depth)),
                "no sawn size: only the maker says what may be bored".to_owned(),
                say.nothing(),
                say.nothing(),
            ]),
            Limit::Wall {
                wall,
                depth,
                studs,
                plates,
            } => {
                let down = |l: Length| say.print.short(-say.print.rounded_up(-l));
                rows.push(match studs {
                    Some(s) => vec![
                        format!("{wall} studs"),
                        format!(
                            "outside or bearing wall {} ({} doubled), other wall {}; {} of wood to the face",
                            down(*depth * s.bearing.value),
                            down(*depth * s.doubled.value),
                            down(*depth * s.partition.value),
                            say.print.short(s.edge.value)
                        ),
                        s.bearing.cite().to_owned(),
                        s.bearing.provenance.words().to_owned(),
                    ],
                    None => vec![
                        format!("{wall} studs"),
                        "the code book says nothing of holes in studs".to_owned(),
                        say.nothing(),
                        say.nothing(),
                    ],
                });
                if let Some(p) = plates {
                    rows.push(vec![
                        format!("{wall} top plate"),
                        format!(
                            "a hole over {} takes a steel tie, {} gage, {} wide, across the opening",
                            down(*depth * p.part.value),
                            p.tie_gage.value,
                            say.print.short(p.tie_width.value)
                        ),
                        p.part.cite().to_owned(),
                        p.part.provenance.words().to_owned(),
                    ]);
                }
            }
        }
    }
    Table {
        name: "limits",
        title: "What may be bored across members".to_owned(),
        head: heads(&["Member", "Largest hole", "Section", "Read"]),
        rows,
        ..Table::default()
    }
}

fn sawn(h: &Holes, say: &Say) -> Vec<String> {
    let down = |l: Length| say.print.short(-say.print.rounded_up(-l));
    let largest = h.largest().max(Length::ZERO);
    vec![
        format!("{} joists", h.joists),
        format!(
            "across them {}, with {} of wood over and under it; never down through one",
            down(largest),
            say.print.short(h.edge)
        ),
        h.most.cite().to_owned(),
        h.most.provenance.words().to_owned(),
    ]
}

fn unknown(drops: &Drops) -> Table {
    let row = |u: &super::Unknown| vec![u.pipe.clone(), u.why.clone()];
    Table {
        name: "not-located",
        title: "Pipes that may pass a floor".to_owned(),
        head: heads(&["Pipe", "What is missing"]),
        rows: drops.unknown.iter().map(row).collect(),
        ..Table::default()
    }
}

/// What who lays the holes out must know.
pub fn notes(drops: &Drops, say: &Say) -> Vec<String> {
    let mut notes = vec![
        "Caution: before anything is bored, look below and above for what else stands there: \
         joists, beams, ducts, wires. Bore a pilot hole, hang a flag through it, and see from both \
         sides that it is right."
            .to_owned(),
    ];
    for (line, way) in drops.lines.iter().zip(["east", "north"]) {
        notes.push(format!(
            "{} is {}. Holes are measured {way} of it to their middles, below nought to the other \
             side{}.",
            line.name,
            line.is,
            match line.stated {
                true => "",
                false => "; the job states no line of this kind (`lines`)",
            }
        ));
    }
    let clearance = say.print.short(drops.clearance.0);
    let whence = match drops.clearance.1 {
        Some(source) => source.to_owned(),
        None => "as the job states".to_owned(),
    };
    notes.push(format!(
        "A hole is the true outside of its pipe and {clearance} ({whence}), rounded up to a bit. The \
         flange of a water closet and the waste of a tub may take more: their makers say."
    ));
    if drops.holes.iter().any(|h| h.bored.is_none()) {
        notes.push(
            "Where no hole is given, the catalogue has no outside of that pipe: measure it."
                .to_owned(),
        );
    }
    let placed = drops.holes.iter().filter(|h| h.at.is_ok()).count();
    notes.push(format!(
        "{} holes, of which {placed} have a place. What has none is listed with what is missing, and \
         is not drawn.",
        drops.holes.len()
    ));
    notes.push(
        "A proposed vent stands straight over the fitting that it rises from. A floor is taken to \
         reach over the whole plan."
            .to_owned(),
    );
    let wood = drops
        .holes
        .iter()
        .any(|h| h.joists.is_none() && matches!(h.member, Member::Deck { .. }));
    if wood {
        notes.push(
            "Where a floor does not say where its joists stand (`joists_run`, `spacing`, \
             `first_joist`), nobody has looked whether a hole meets one."
                .to_owned(),
        );
    }
    let no_rule = |l: &Limit| matches!(l, Limit::Wall { plates: None, .. });
    if drops.limits.iter().any(no_rule) {
        notes.push("The code book says nothing of holes in studs and plates.".to_owned());
    }
    let drawn = drops.holes.iter().any(|h| h.joists.is_some());
    if drawn {
        notes.push(
            "Dashed lines are the middles of joists, numbered from the first; a circle is a hole to \
             scale, or larger where that could not be seen."
                .to_owned(),
        );
    }
    notes.push(
        "Each hole through a floor or plate is closed round its pipe as the building code asks."
            .to_owned(),
    );
    notes.push(
        "Caution: worked out by a computer program from what its author stated. It advises; the \
         licensed plumber and the authority having jurisdiction decide."
            .to_owned(),
    );
    notes
}

/// Holes of some levels.
pub(super) fn at(drops: &Drops, level: Level) -> Vec<&Hole> {
    drops.holes.iter().filter(|h| h.level == level).collect()
}
