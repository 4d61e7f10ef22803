//! Each building drain has one vent to the open air of at least half its required size.

use super::model::{PieceSize, Working};
use super::vent_rules::Least;
use super::vented::{Vented, vent_above};
use crate::codebook::Book;
use crate::network::{JointIx, JointKind, Network, PieceIx, RunKind, Table};
use crate::units::{PipeSize, Printer, UnitSystem};

/// Floors for the pieces of the vent that serves each exit's building drain.
///
/// The vent chosen is the stack vent of the largest stack, else the vent of the largest drain; of
/// equals the first by name. It must reach the open air: an air admittance valve does not.
pub fn floors(
    net: &Network,
    book: &Book,
    pieces: &Table<PieceIx, PieceSize>,
    ordered: &[PieceIx],
    bases: &Table<PieceIx, Vented>,
) -> Table<PieceIx, Least> {
    let mut floors = Table::new();
    let mut ranked: Vec<_> = ordered
        .iter()
        .filter_map(|p| Some((rank(bases.get(p)?), *p)))
        .collect();
    // The highest first, of equals the first by name, whatever the order of the job's lines.
    let id = |p: PieceIx| net.graph.edge_weight(p).map(|p| p.id.as_str());
    ranked.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| id(a.1).cmp(&id(b.1))));
    for exit in &net.exits {
        let drain = net
            .upstream(*exit)
            .iter()
            .filter_map(|p| pieces.get(p)?.code_size)
            .max();
        let Some(drain) = drain else { continue };
        let way = ranked
            .iter()
            .filter(|(_, p)| exit_of(net, *p) == Some(*exit))
            .find_map(|(_, p)| way_out(net, *p));
        let Some(way) = way else { continue };
        let least = least(book, drain);
        for piece in way {
            floors.insert(piece, least.clone());
        }
    }
    floors
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
    let mut at = net.from(piece)?;
    for _ in 0..net.graph.edge_count() {
        if net.exits.contains(&at) {
            return Some(at);
        }
        at = net.to(net.downstream(at)?)?;
    }
    None
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
