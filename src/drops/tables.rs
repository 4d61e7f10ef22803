//! The holes as tables.

use std::collections::BTreeSet;

use super::members::{bores, limits, may_cross};
use super::{Axis, Drops, Hole, Level, Limit, Meets, Member, Plates, RefLine};
use crate::sheets::{Form, Say, Table};
use crate::units::{Length, Printer, number};

/// The tables of a list of holes; empty ones are left out.
pub fn tables(drops: &Drops, say: &Say) -> Vec<Table> {
    let all: Vec<&Hole> = drops.holes.iter().collect();
    let mut tables = vec![holes(
        drops,
        &all,
        ("holes", "Holes".to_owned(), true),
        (false, say),
    )];
    tables.extend(others(drops, say));
    tables.retain(|t| !t.rows.is_empty());
    tables
}

/// What is not a hole: lines, limits, and what is not known.
pub(super) fn others(drops: &Drops, say: &Say) -> Vec<Table> {
    let mut all = vec![
        lines(drops, say),
        bores(drops, say),
        may_cross(drops),
        limits(drops, say),
        unknown(drops),
    ];
    all.retain(|t| !t.rows.is_empty());
    all
}

pub(super) fn heads(words: &[&str]) -> Vec<String> {
    words.iter().map(|w| (*w).to_owned()).collect()
}

/// Some holes, with their floor where a table holds those of several. On a sheet a column that says
/// the same in every row stands once below, and one that says nothing is left out; a narrow table
/// there has no outsides of pipes, which only explain the holes.
pub(super) fn holes(
    drops: &Drops,
    some: &[&Hole],
    (name, title, floors): (&'static str, String, bool),
    (narrow, say): (bool, &Say),
) -> Table {
    let line = |i: usize| drops.lines.get(i);
    let name_of = |l: Option<&RefLine>| l.map_or("", |l| l.name.as_str()).to_owned();
    let diameter = |head: &str| match (say.data(), say.print.units) {
        (false, _) => head.to_owned(),
        (true, crate::units::UnitSystem::Feet) => format!("{head} (in)"),
        (true, crate::units::UnitSystem::Metric) => format!("{head} (mm)"),
    };
    let mut head = vec!["Floor".to_owned()];
    head.extend(heads(&["Tag", "Passes", "Pipe"]));
    head.extend([diameter("Outside"), diameter("Hole")]);
    head.extend([
        say.in_unit(&format!("East of {}", name_of(line(0)))),
        say.in_unit(&format!("North of {}", name_of(line(1)))),
    ]);
    head.extend(heads(&["Through", "May it be bored"]));
    let short_words = say.form == Form::Sheet;
    // On the sheet of one floor what all go through stands once below.
    let whole = |h: &&Hole| through(&h.member, say);
    let alone = |h: &&&Hole| !matches!(h.member, Member::TopPlate { .. });
    let same = some
        .iter()
        .find(alone)
        .map(|h| member_alone(&h.member, say));
    let same = same.filter(|first| {
        let others = some.iter().filter(alone);
        short_words
            && !floors
            && others
                .map(|h| member_alone(&h.member, say))
                .all(|m| m == *first)
    });
    let row = |h: &&Hole| {
        let at = drops.from_lines(h);
        vec![
            drops.called(h.level).to_owned(),
            h.tag.clone(),
            h.what.clone(),
            say.size(h.size),
            outside(h.outside, say),
            short(h.bored, say),
            off(at.map(|a| a.0), Axis::East, say),
            off(at.map(|a| a.1), Axis::North, say),
            whole(h),
            match same.as_ref().and_then(|_| plates_of(&h.member)) {
                Some(plates) => format!("{plates}: {}", bored(h, drops, say)),
                None => bored(h, drops, say),
            },
        ]
    };
    let mut rows: Vec<Vec<String>> = some.iter().map(row).collect();
    let mut foot = Vec::new();
    let mut drop: Vec<usize> = Vec::new();
    if !floors {
        drop.push(0);
    }
    if short_words && !rows.is_empty() {
        let nothing = say.nothing();
        let empty = |i: &usize| rows.iter().all(|r| r[*i] == nothing);
        drop.extend([4, 5].iter().filter(|i| empty(i) || **i == 4 && narrow));
        if let Some(same) = &same {
            let plates = some.iter().any(|h| !alone(&h));
            foot.push(match plates {
                true => format!("All go through: {same}; of a plate below alone the row says so."),
                false => format!("All go through: {same}."),
            });
            drop.push(8);
        }
        let first = rows[0][9].clone();
        if rows.len() > 1 && !floors && rows.iter().all(|r| r[9] == first) {
            foot.push(format!("May they be bored: {first}."));
            drop.push(9);
        }
        let any = |member: fn(&Member) -> bool| {
            let open = |h: &&&Hole| h.joists.is_none() && member(&h.member);
            some.iter().any(|h| open(&h))
        };
        if any(|m| matches!(m, Member::Deck { .. })) {
            foot.push("Look first: where joists stand is not stated.".to_owned());
        }
        if any(|m| matches!(m, Member::Roof { .. })) {
            foot.push("Look first: where rafters stand is not stated.".to_owned());
        }
        if any(|m| matches!(m, Member::Floor { .. })) {
            foot.push("Look first: what the floor is made of is not stated.".to_owned());
        }
    }
    if short_words && !floors && !drop.contains(&9) {
        foot.extend(lettered(&mut rows));
    }
    drop.sort_unstable();
    let mut table = Table {
        name,
        title,
        head,
        rows,
        foot,
        ..Table::default()
    };
    for at in drop.into_iter().rev() {
        table.drop_column(at);
    }
    table
}

/// What is long in the last column stands below, by a letter: the column is narrow beside a plan. Where
/// much is long it stays in its rows, which can go on on another sheet as a foot cannot.
fn lettered(rows: &mut [Vec<String>]) -> Vec<String> {
    /// What is longer takes more than two lines there.
    const LONG: usize = 48;
    /// So much stands below a table.
    const MOST: usize = 8;
    let is_long = |c: &&String| c.chars().count() > LONG;
    let long: BTreeSet<&String> = rows
        .iter()
        .filter_map(|r| r.last())
        .filter(is_long)
        .collect();
    if long.len() > MOST {
        return Vec::new();
    }
    let mut below: Vec<String> = Vec::new();
    let last = rows.iter_mut().filter_map(|r| r.last_mut());
    for cell in last.filter(|c| c.chars().count() > LONG) {
        let at = below.iter().position(|w| w == cell).unwrap_or(below.len());
        if at == below.len() {
            below.push(std::mem::take(cell));
        }
        *cell = format!("see {}", letter(at));
    }
    let letters = below.into_iter().enumerate();
    letters
        .map(|(i, words)| format!("{}: {words}.", letter(i)))
        .collect()
}

fn letter(at: usize) -> char {
    let letter = u8::try_from(at).ok().and_then(|i| b'A'.checked_add(i));
    letter.map_or('?', char::from)
}

/// How far from a line: in data with its sign, else with the way where it is the other one.
pub(super) fn off(distance: Option<Length>, axis: Axis, say: &Say) -> String {
    match distance {
        Some(d) if !say.data() => off_in(d, axis, say.print),
        d => say.length(d),
    }
}

/// The same of a distance that is known.
pub(super) fn off_in(distance: Length, axis: Axis, print: Printer) -> String {
    let other = match axis {
        Axis::East => "W",
        Axis::North => "S",
    };
    match distance < Length::ZERO && !distance.same(Length::ZERO) {
        true => format!("{} {other}", print.length(-distance)),
        false => print.length(distance),
    }
}

/// A diameter: inches to a thousandth, or millimetres, in data.
pub(super) fn short(length: Option<Length>, say: &Say) -> String {
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
    match (member, plates_of(member)) {
        (Member::TopPlate { .. }, Some(plates)) => plates,
        (_, Some(plates)) => format!("{}, {plates}", member_alone(member, say)),
        (_, None) => member_alone(member, say),
    }
}

/// The plates that a hole goes through.
fn plates_of(member: &Member) -> Option<String> {
    let plates = member.plates()?;
    let which = match (plates.top, plates.sole) {
        (true, true) => "top and sole plate",
        (true, false) => "top plate",
        _ => "sole plate",
    };
    let below = match member {
        Member::TopPlate { .. } => ", nothing else",
        _ => "",
    };
    Some(format!("{which} of the {} wall{below}", plates.wall))
}

/// What a hole goes through, without plates.
fn member_alone(member: &Member, say: &Say) -> String {
    match member {
        Member::Slab { thick } => format!("{} slab", say.print.short(*thick)),
        Member::TopPlate { .. } => "no floor".to_owned(),
        Member::Deck {
            deck, joists, sawn, ..
        } => {
            let deck = deck.map(|t| format!("{} ", say.print.short(t)));
            let deck = deck.unwrap_or_default();
            let joists = match sawn {
                Some(name) => (*name).to_owned(),
                None => say.print.short(*joists),
            };
            format!("{deck}deck on {joists} joists")
        }
        Member::Floor { thick, .. } => {
            let thick = thick.map(|t| format!(", {} thick", say.print.short(t)));
            format!("floor{}", thick.unwrap_or_default())
        }
        Member::Roof { .. } => "roof".to_owned(),
    }
}

/// Whether a hole may be bored where it stands, or what is missing to say so. Where nobody has
/// stated what stands there nobody has looked: that is no yes.
fn bored(hole: &Hole, drops: &Drops, say: &Say) -> String {
    let mut words: Vec<String> = Vec::new();
    words.extend(match (&hole.member, &hole.meets) {
        (Member::Slab { .. }, _) => Some("sleeve so wide inside, or cast in".to_owned()),
        (Member::TopPlate { .. }, _) => Some("the plate alone, from below".to_owned()),
        (Member::Deck { .. }, Some(meets)) => Some(met(meets, say)),
        // What keeps it from being known is said below.
        (Member::Deck { .. }, None) if hole.joists.is_some() && hole.at.is_err() => None,
        (Member::Deck { .. }, None) if hole.joists.is_some() => {
            Some("outside of the pipe not known: measure it, look first".to_owned())
        }
        // The foot of a sheet's table says why.
        (Member::Deck { .. } | Member::Floor { .. } | Member::Roof { .. }, _)
            if say.form == Form::Sheet =>
        {
            Some("look first".to_owned())
        }
        (Member::Deck { .. }, None) => Some("joists not stated: look first".to_owned()),
        (Member::Floor { .. }, _) => {
            Some("what it is made of is not stated: look first".to_owned())
        }
        (Member::Roof { .. }, _) => Some("rafters not stated: look first".to_owned()),
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
    let Some(rule) = rule else {
        return Some("plate: no rule in the code book, ask".to_owned());
    };
    if !plates.top {
        return None;
    }
    let most = plates.width * rule.part.value;
    (hole > most && !hole.same(most)).then(|| {
        let cite = rule.part.cite();
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

/// Holes of some levels.
pub(super) fn at(drops: &Drops, level: Level) -> Vec<&Hole> {
    drops.holes.iter().filter(|h| h.level == level).collect()
}
