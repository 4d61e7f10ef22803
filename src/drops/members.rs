//! What is bored through members, and what may be, as tables.

use super::tables::{heads, short};
use super::{Axis, Bore, Drops, Level, Limit, Verdict};
use crate::codebook::Provenance;
use crate::levels::Holes;
use crate::sheets::{Say, Table};
use crate::typical::together;
use crate::units::Length;

/// Drains through the sides of joists, which are bored before they can be laid.
pub(super) fn bores(drops: &Drops, say: &Say) -> Table {
    let row = |b: &Bore| {
        let middle = b.middle.map(|(low, high)| {
            let (low, high) = (say.print.short(low), say.print.short(high));
            match low == high {
                true => low,
                false => format!("{low} to {high}"),
            }
        });
        let wood = b.wood.map(|(under, over)| {
            let down = |l: Length| say.print.short(-say.print.rounded_up(-l));
            format!("{} / {}", down(under), down(over))
        });
        let may = match b.verdict {
            Verdict::Yes => "yes, see the limits".to_owned(),
            Verdict::TooLarge(most) => {
                let most = say.print.short(-say.print.rounded_up(-most));
                format!("no, {most} at the most")
            }
            Verdict::TooNear(least) => {
                format!("no, {} of wood is the least", say.print.short(least))
            }
            Verdict::Maker => "only the maker says".to_owned(),
            Verdict::Unsaid => "no rule in the code book, ask".to_owned(),
        };
        vec![
            b.pipe.clone(),
            drops.called(Level::Floor(b.floor)).to_owned(),
            say.size(b.size),
            short(b.bored, say),
            middle.unwrap_or_else(|| say.nothing()),
            wood.unwrap_or_else(|| say.nothing()),
            crossed(drops, b, say),
            may,
        ]
    };
    Table {
        name: "bores",
        title: "Bores across joists".to_owned(),
        head: heads(&[
            "Pipe",
            "Joists of",
            "Size",
            "Hole",
            "Middle over underside",
            "Wood under / over",
            "Where",
            "May it be bored",
        ]),
        rows: drops.bores.iter().map(row).collect(),
        ..Table::default()
    }
}

/// Which joists a drain crosses, and where along them.
fn crossed(drops: &Drops, bore: &Bore, say: &Say) -> String {
    let numbers: Vec<String> = bore.joists.iter().map(usize::to_string).collect();
    let joists = match bore.joists.len() {
        0 => None,
        1 => Some(format!("joist {}", numbers[0])),
        _ => Some(format!(
            "joists {}",
            together(numbers.iter().map(String::as_str))
        )),
    };
    let (line, axis) = match bore.run_east {
        true => (drops.lines.first(), Axis::East),
        false => (drops.lines.get(1), Axis::North),
    };
    let (way, other) = match axis {
        Axis::East => ("east", "west"),
        Axis::North => ("north", "south"),
    };
    let along = bore.along.zip(line).map(|((low, high), line)| {
        let side = |l: Length| if l < Length::ZERO { other } else { way };
        let (low, high) = (low - line.at, high - line.at);
        let [near, far] = [low, high].map(|l| say.print.length(l.abs()));
        let (one, two) = (side(low), side(high));
        match (low.same(high), one == two) {
            (true, _) => format!("{near} {one} of {}", line.name),
            (false, true) => format!("{near} to {far} {one} of {}", line.name),
            (false, false) => format!("{near} {one} to {far} {two} of {}", line.name),
        }
    });
    let words: Vec<String> = joists.into_iter().chain(along).collect();
    match words.is_empty() {
        true => say.nothing(),
        false => words.join(", "),
    }
}

/// Drains of which it is not known whether they cross joists.
pub(super) fn may_cross(drops: &Drops) -> Table {
    Table {
        name: "may-cross",
        title: "Drains that may cross joists".to_owned(),
        head: heads(&["Pipe", "What is missing"]),
        rows: drops
            .may_cross
            .iter()
            .map(|u| vec![u.pipe.clone(), u.why.clone()])
            .collect(),
        ..Table::default()
    }
}

/// What may be bored across joists, studs and plates.
pub(super) fn limits(drops: &Drops, say: &Say) -> Table {
    let mut rows: Vec<Vec<String>> = Vec::new();
    for limit in &drops.limits {
        match limit {
            Limit::Sawn(h) => rows.push(sawn(h, say)),
            Limit::SawnUnsaid(name) => rows.push(unsaid(
                format!("{name} joists"),
                "the code book has no rule for holes in joists: ask the authority",
                say,
            )),
            Limit::Maker(depth) => rows.push(unsaid(
                format!("{} joists", say.print.short(*depth)),
                "no sawn size: only the maker says what may be bored",
                say,
            )),
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
                    None => unsaid(
                        format!("{wall} studs"),
                        "the code book has no rule for holes in studs: ask the authority",
                        say,
                    ),
                });
                rows.push(match plates {
                    Some(p) => vec![
                        format!("{wall} top plate"),
                        format!(
                            "a hole over {} takes a steel tie, {} gage, {} wide, across the opening",
                            down(*depth * p.part.value),
                            p.tie_gage.value,
                            say.print.short(p.tie_width.value)
                        ),
                        p.part.cite().to_owned(),
                        p.part.provenance.words().to_owned(),
                    ],
                    None => unsaid(
                        format!("{wall} plates"),
                        "the code book has no rule for holes in plates: ask the authority",
                        say,
                    ),
                });
            }
        }
    }
    let mut head = heads(&["Member", "Largest hole", "Section", "Read"]);
    let mut foot = Vec::new();
    if !say.data() {
        // How the book's figures were read is one line of the foot, not a column.
        let unread = [
            Provenance::SeenSecondHand,
            Provenance::Derived,
            Provenance::Memory,
        ];
        let second_hand = rows
            .iter()
            .any(|r| unread.iter().any(|p| p.words() == r[3]));
        if second_hand {
            foot.push(
                "Not all sections were read at the source: see them before you bore.".to_owned(),
            );
        }
        let sections = rows.iter().any(|r| r[2] != say.nothing());
        let keep = if sections { 3 } else { 2 };
        head.truncate(keep);
        for row in &mut rows {
            row.truncate(keep);
        }
    }
    Table {
        name: "limits",
        title: "What may be bored across members".to_owned(),
        head,
        rows,
        foot,
        ..Table::default()
    }
}

fn unsaid(member: String, words: &str, say: &Say) -> Vec<String> {
    vec![member, words.to_owned(), say.nothing(), say.nothing()]
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
