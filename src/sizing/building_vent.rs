//! Each building drain has one vent to the open air of at least half its required size; or, where
//! the book says so, all vents outdoors together have the cross section of the largest.

use std::collections::BTreeMap;

use super::model::{PieceSize, Working};
use super::vent_rules::Least;
use super::vented::{Vented, vent_above};
use super::ways::runs_down;
use crate::codebook::Book;
use crate::network::{JointIx, JointKind, Network, PieceIx, RunKind, Table};
use crate::units::{Fall, PipeSize, Printer, UnitSystem};

/// Floors for the pieces of the vent that serves each exit's building drain.
///
/// The vent chosen is the stack vent of the largest stack, else the vent of the largest drain; of
/// equals the first by name. It must reach the open air: an air admittance valve does not.
pub fn floors(
    net: &Network,
    book: &Book,
    (ordered, bases): (&[PieceIx], &Table<PieceIx, Vented>),
    drains: &BTreeMap<JointIx, PipeSize>,
) -> Table<PieceIx, Least> {
    let mut floors = Table::new();
    if book.vent_rule().building_vent.together {
        return floors;
    }
    let ranked = ranked(net, ordered, bases);
    for exit in &net.exits {
        let Some(&drain) = drains.get(exit) else {
            continue;
        };
        let way = ranked
            .iter()
            .filter(|p| exit_of(net, **p) == Some(*exit))
            .find_map(|p| way_out(net, *p));
        let Some(way) = way else { continue };
        let least = least(book, drain);
        for piece in way {
            floors.insert(piece, least.clone());
        }
    }
    floors
}

/// A floor for the last piece of one vent, where the book adds up the cross sections of all vents
/// that lead outdoors and they have too little yet: as much more as the vent of the highest rank
/// must have. None: they have enough, or the book has no such rule.
pub fn together(
    net: &Network,
    book: &Book,
    pieces: &Table<PieceIx, PieceSize>,
    (ordered, bases): (&[PieceIx], &Table<PieceIx, Vented>),
    drains: &BTreeMap<JointIx, PipeSize>,
) -> Option<Table<PieceIx, Least>> {
    let rule = &book.vent_rule().building_vent;
    if !rule.together {
        return None;
    }
    let drain = drains.values().copied().max()?;
    // Cross sections of round pipes are as the squares of their sizes.
    let square = |s: PipeSize| s.inches() * s.inches();
    let asked = square(drain) * rule.part.value;
    let has: f64 = outdoors(net, pieces).map(|(_, s)| square(s)).sum();
    if has + 1e-9 >= asked {
        return None;
    }
    let way = ranked(net, ordered, bases)
        .into_iter()
        .find_map(|p| way_out(net, p))?;
    let own = way.last().and_then(|p| pieces.get(p))?.size;
    let size = PipeSize::all().find(|s| has - square(own) + square(*s) + 1e-9 >= asked)?;
    let print = Printer {
        units: UnitSystem::Feet,
    };
    let least = Least {
        size: Some(size),
        working: Working {
            section: rule.section.clone(),
            ..Working::default()
        },
        steps: vec![format!(
            "the cross sections of all vents outdoors add up to that of the required {} building \
             drain: this one {} ({})",
            print.size(drain),
            print.size(size),
            rule.section
        )],
        unknown: None,
    };
    // The code counts them where they go through the roof.
    let mut floors = Table::new();
    floors.insert(*way.last()?, least);
    Some(floors)
}

/// The pieces that end in the open air, with their sizes.
pub fn outdoors<'a>(
    net: &'a Network,
    pieces: &'a Table<PieceIx, PieceSize>,
) -> impl Iterator<Item = (PieceIx, PipeSize)> + 'a {
    net.graph.edge_indices().filter_map(|p| {
        let end = net.graph.node_weight(net.to(p)?)?.kind;
        let open = matches!(end, JointKind::Terminal(_));
        Some((p, pieces.get(&p).filter(|_| open)?.size))
    })
}

/// The size that the code requires of a building drain as it is laid: where a smaller one would carry its
/// load only at a steeper fall, that is none.
///
/// # Arguments
/// - `own`: what was found of its pipe at the exit.
/// - `fall`: the fall that it is laid at, if known.
pub fn required(book: &Book, own: &PieceSize, fall: Option<Fall>) -> Option<PipeSize> {
    let code = own.code_size?;
    let carries = |s: &PipeSize| {
        let most = fall.map(|fall| book.building_drain(*s, fall));
        most.is_some_and(|m| m.is_ok_and(|m| m.value.covers(own.demand)))
    };
    let sizes = PipeSize::all().filter(|s| *s >= code && *s <= own.size);
    Some(sizes.into_iter().find(carries).unwrap_or(code))
}

/// The feet of vents, the highest rank first.
fn ranked(net: &Network, ordered: &[PieceIx], bases: &Table<PieceIx, Vented>) -> Vec<PieceIx> {
    let mut ranked: Vec<_> = ordered
        .iter()
        .filter_map(|p| Some((rank(bases.get(p)?), *p)))
        .collect();
    // The highest first, of equals the first by name, whatever the order of the job's lines.
    let id = |p: PieceIx| net.graph.edge_weight(p).map(|p| p.id.as_str());
    ranked.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| id(a.1).cmp(&id(b.1))));
    ranked.into_iter().map(|r| r.1).collect()
}

fn rank(base: &Vented) -> (Option<PipeSize>, Option<PipeSize>, u64) {
    // Loads are small numbers of half units; the rank only sorts them.
    (
        base.stack,
        base.drain,
        (base.carried.load().dfu() * 16.0) as u64,
    )
}

fn least(book: &Book, drain: PipeSize) -> Least {
    let rule = &book.vent_rule().building_vent;
    let print = Printer {
        units: UnitSystem::Feet,
    };
    let size = PipeSize::all()
        .find(|s| s.inches() + 1e-9 >= drain.inches() * rule.part.value)
        .unwrap_or(drain)
        .max(book.vent_rule().least.value);
    Least {
        size: Some(size),
        working: Working {
            section: rule.section.clone(),
            ..Working::default()
        },
        steps: vec![format!(
            "the building drain's vent: half of its required {}: {} ({})",
            print.size(drain),
            print.size(size),
            rule.section
        )],
        unknown: None,
    }
}

/// The exit that the foot of a vent drains to.
fn exit_of(net: &Network, piece: PieceIx) -> Option<JointIx> {
    let foot = net.from(piece)?;
    let below = runs_down(net, foot).map(|(_, j)| j);
    std::iter::once(foot)
        .chain(below)
        .find(|j| net.exits.contains(j))
}

/// The pieces from the foot of a vent to its terminal in the open air; none if it ends elsewhere.
fn way_out(net: &Network, piece: PieceIx) -> Option<Vec<PieceIx>> {
    let mut way = vec![piece];
    for _ in 0..net.graph.edge_count() {
        let last = *way.last()?;
        let run = net.graph.edge_weight(last)?.run;
        if net.runs.get(run.0)?.kind == RunKind::IslandVent {
            return None;
        }
        let joint = net.to(last)?;
        if matches!(net.graph.node_weight(joint)?.kind, JointKind::Terminal(_)) {
            return Some(way);
        }
        way.push(vent_above(net, joint)?);
    }
    None
}
