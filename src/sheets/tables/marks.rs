//! The match marks: where the drawing goes on from sheet to sheet, and what is there.

use std::collections::{BTreeMap, BTreeSet};

use crate::at_once;
use crate::captions::MatchMark;
use crate::levels::Station;
use crate::network::{JointIx, JointKind, PieceIx, System};

use super::{Inputs, Say, Table};

/// The column of the sheet with the downstream side; that of the upstream side comes next.
pub(super) const SIDES: usize = 3;

/// Match marks, each with its pipe, where that is cut, its two sheets, and what lies upstream of
/// it.
pub(super) fn marks(set: &Inputs<'_>, say: &Say) -> Table {
    let cuts: BTreeSet<PieceIx> = set.marks.iter().map(|m| m.piece).collect();
    let mut stations: Stations<'_> = BTreeMap::new();
    for s in set
        .solution
        .levels
        .stations
        .iter()
        .filter(|_| !cuts.is_empty())
    {
        stations.entry(s.joint).or_insert(s);
    }
    let row = |m: &MatchMark| {
        vec![
            m.name.clone(),
            set.net.graph[m.piece].id.clone(),
            cut_at(set, say, &stations, m.piece),
            m.down.clone(),
            m.up.clone(),
            upstream(set, m.piece, &cuts),
        ]
    };
    // One that goes on as another does says so itself.
    let own = |m: &&MatchMark| m.like.is_none();
    let rows = at_once::many(set.marks.len(), |i| set.marks.get(i).filter(own).map(row));
    let head = [
        "Mark",
        "Pipe",
        "Cut upstream of",
        "Downstream on",
        "Upstream on",
        "Lies upstream",
    ];
    Table {
        name: "match-marks",
        title: "Match marks".into(),
        head: super::heads(&head),
        rows: rows.into_iter().flatten().collect(),
        ..Table::default()
    }
}

/// The first station of each joint that has one.
type Stations<'a> = BTreeMap<JointIx, &'a Station>;

/// Where a pipe is cut: the place at its lower end, with its invert, and the floor over that.
fn cut_at(set: &Inputs<'_>, say: &Say, stations: &Stations<'_>, piece: PieceIx) -> String {
    let net = set.net;
    let Some(joint) = net.to(piece) else {
        return String::new();
    };
    let station = stations.get(&joint);
    let mut words = match station {
        Some(s) => format!("{}, on {}", s.place, s.run),
        None => net.graph[joint].id.clone(),
    };
    let invert = station.and_then(|s| s.invert);
    if let Some(invert) = invert {
        words += &format!(", IE {}", say.level(Some(invert)));
        let over = set.job.floors.iter().filter(|f| f.level > invert);
        let next = over.min_by(|a, b| a.level.total_cmp(&b.level));
        if let Some(floor) = next {
            words += &format!(", below {} floor", floor.name);
        }
    }
    words
}

/// The stacks upstream of a cut, as far as the next cuts, and how many fixtures there are.
fn upstream(set: &Inputs<'_>, piece: PieceIx, cuts: &BTreeSet<PieceIx>) -> String {
    let net = set.net;
    if net.graph[piece].system == System::Vent {
        return "vent".to_owned();
    }
    let mut stacks: Vec<&str> = Vec::new();
    let mut fixtures = 0;
    let mut waiting = vec![piece];
    while let Some(p) = waiting.pop() {
        let run = &net.runs[net.graph[p].run.0];
        if net.is_stack(net.graph[p].run) && !stacks.contains(&run.id.as_str()) {
            stacks.push(&run.id);
        }
        let Some(joint) = net.from(p) else { continue };
        if matches!(net.graph[joint].kind, JointKind::Trap(_)) {
            fixtures += 1;
        }
        let on = net.upstream(joint).into_iter().rev();
        waiting.extend(on.filter(|q| !cuts.contains(q)));
    }
    let count = match fixtures {
        1 => "1 fixture".to_owned(),
        n => format!("{n} fixtures"),
    };
    if stacks.is_empty() {
        return count;
    }
    format!("{}: {count}", stacks.join(", "))
}
