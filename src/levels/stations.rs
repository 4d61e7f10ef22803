//! The level table, from the exit up.

use std::collections::{BTreeSet, VecDeque};

use super::Drains;
use super::falls::is_vertical;
use super::model::Station;
use super::why::{Reasons, why};
use crate::job::Job;
use crate::network::{JointIx, JointKind, Network, Openings, PieceIx, Run, RunIx, RunKind, System};
use crate::sizing::Sizing;
use crate::units::{Length, Printer};

/// What the rows are made from.
struct Look<'a> {
    job: &'a Job,
    net: &'a Network,
    sizing: &'a Sizing,
    openings: &'a Openings<'a>,
}

/// Rows of the level table: each drain in turn from its downstream end up, a drain before what
/// joins it. Fixture drains and arms have no rows.
pub fn stations(
    job: &Job,
    net: &Network,
    sizing: &Sizing,
    drains: &Drains,
    ordered: &[PieceIx],
) -> Vec<Station> {
    let levels = &drains.pieces;
    let look = Look {
        job,
        net,
        sizing,
        openings: &Openings::of(net),
    };
    let mut rows = Vec::new();
    let reasons = why(net, levels, ordered);
    let mut todo: VecDeque<RunIx> = VecDeque::new();
    let mut seen: BTreeSet<RunIx> = BTreeSet::new();
    for (i, exit) in net.exits.iter().enumerate() {
        let name = job.exits.get(i).map_or("exit", |e| e.name.as_str());
        for piece in net.upstream(*exit) {
            let Some(run) = net.graph.edge_weight(piece).map(|p| p.run) else {
                continue;
            };
            let invert = levels.get(&piece).and_then(|l| l.invert_down);
            let id = net.runs.get(run.0).map(|r| r.id.clone());
            rows.push(Station {
                joint: *exit,
                piece,
                place: name.to_owned(),
                run: id.unwrap_or_default(),
                station: Some(Length::ZERO),
                invert,
                room: drains.rooms.get(&piece).and_then(|r| r.down),
                missing: invert
                    .is_none()
                    .then(|| "the exit's invert is not stated".to_owned()),
            });
            if seen.insert(run) {
                todo.push_back(run);
            }
        }
    }
    // Runs that no exit reaches (into a basin) come after, so that none is left out.
    let mut rest = (0..net.runs.len()).map(RunIx);
    loop {
        while let Some(run) = todo.pop_front() {
            of_run(&look, (drains, &reasons), run, &mut rows);
            for next in joining(net, run) {
                if seen.insert(next) {
                    todo.push_back(next);
                }
            }
        }
        // What was seen stays seen, so the search goes on where it stopped.
        match rest.find(|r| !seen.contains(r) && is_waste(net, *r)) {
            Some(run) => {
                seen.insert(run);
                todo.push_back(run);
            }
            None => break,
        }
    }
    rows
}

fn is_waste(net: &Network, run: RunIx) -> bool {
    net.runs.get(run.0).is_some_and(|r| {
        matches!(
            r.kind,
            RunKind::BuildingDrain | RunKind::BuildingBranch | RunKind::Branch | RunKind::Stack
        )
    })
}

fn joining(net: &Network, run: RunIx) -> Vec<RunIx> {
    let mut found = Vec::new();
    for piece in net.runs.get(run.0).map_or(&[][..], |r| &r.pieces) {
        let Some(joint) = net.from(*piece) else {
            continue;
        };
        for above in net.upstream(joint) {
            if let Some(p) = net.graph.edge_weight(above)
                && p.run != run
            {
                found.push(p.run);
            }
        }
    }
    found
}

fn of_run(
    look: &Look<'_>,
    (drains, reasons): (&Drains, &Reasons),
    ix: RunIx,
    rows: &mut Vec<Station>,
) {
    let levels = &drains.pieces;
    let net = look.net;
    let Some(run) = net.runs.get(ix.0).filter(|_| is_waste(net, ix)) else {
        return;
    };
    let stack = run.kind == RunKind::Stack;
    if let Some(first) = run.pieces.first()
        && let Some(joint) = net.to(*first)
        && !net.exits.contains(&joint)
        && !stack
    {
        let under = net
            .downstream(joint)
            .and_then(|p| net.graph.edge_weight(p))
            .and_then(|p| net.runs.get(p.run.0))
            .map(|r| r.id.as_str());
        let invert = levels.get(first).and_then(|l| l.invert_down);
        rows.push(Station {
            joint,
            piece: *first,
            place: match under {
                Some(under) => format!("{} at {under}", run.id),
                None => format!("lower end of {}", run.id),
            },
            run: run.id.clone(),
            station: Some(Length::ZERO),
            missing: reasons
                .get(first)
                .and_then(|r| r.0)
                .and_then(|w| w.words(net)),
            invert,
            room: drains.rooms.get(first).and_then(|r| r.down),
        });
    }
    let mut station = Some(Length::ZERO);
    for piece in &run.pieces {
        let (Some(joint), Some(level)) = (net.from(*piece), levels.get(piece)) else {
            continue;
        };
        station = station.zip(level.length).map(|(a, b)| a + b);
        let Some(place) = place(look, ix, *piece, joint) else {
            continue;
        };
        rows.push(Station {
            joint,
            piece: *piece,
            place,
            run: run.id.clone(),
            station,
            invert: level.invert_up,
            room: drains.rooms.get(piece).and_then(|r| r.up),
            missing: reasons
                .get(piece)
                .and_then(|r| r.1)
                .and_then(|w| w.words(net)),
        });
    }
}

/// What a joint is called in the table; none if it has no row.
fn place(look: &Look<'_>, run: RunIx, piece: PieceIx, joint: JointIx) -> Option<String> {
    let net = look.net;
    let id = net.runs.get(run.0).map(|r| r.id.as_str())?;
    let kind = net.graph.node_weight(joint)?.kind;
    let stack = net.runs.get(run.0)?.kind == RunKind::Stack;
    let openings = look.openings;
    let cleanouts: Vec<&str> = (openings.cleanouts(joint).map(|c| c.id.as_str()))
        .chain(openings.valves(joint).map(|v| v.id.as_str()))
        .collect();
    let above: Vec<PieceIx> = net
        .upstream(joint)
        .into_iter()
        .filter(|p| net.graph.edge_weight(*p).is_some_and(|p| p.run != run))
        .collect();
    let name = |p: &PieceIx| {
        net.graph
            .edge_weight(*p)
            .and_then(|p| net.runs.get(p.run.0))
            .map(|r| owner(r).to_owned())
    };
    let names: Vec<String> = above.iter().filter_map(name).collect();
    let named = match kind {
        JointKind::StackBase => format!("base of {}", names.join(", ")),
        JointKind::Junction if !names.is_empty() => format!("junction of {}", names.join(", ")),
        JointKind::Junction if vent_foot(net, joint).is_some() => {
            format!("foot of {}", vent_foot(net, joint)?)
        }
        JointKind::OffsetFoot(_) => format!("foot of the offset of {id}"),
        JointKind::OffsetHead => format!("head of the offset of {id}"),
        JointKind::Change => change(look, run, piece, joint)?,
        JointKind::End | JointKind::InLine if !cleanouts.is_empty() => {
            let above = goes_on(net, run, joint);
            let sizes = above.and_then(|above| sizes(look, piece, above));
            let names = cleanouts.join(", ");
            sizes.map_or(names.clone(), |sizes| format!("{sizes}, {names}"))
        }
        JointKind::End => format!("end of {id}"),
        JointKind::VentFitting | JointKind::Trap(_) if !stack => format!("end of {id}"),
        _ => return None,
    };
    let also = matches!(kind, JointKind::StackBase | JointKind::Junction) && !cleanouts.is_empty();
    Some(if also {
        format!("{named}, {}", cleanouts.join(", "))
    } else {
        named
    })
}

/// What enters, as the job calls it: a fixture's drop or arm goes by its fixture.
fn owner(run: &Run) -> &str {
    match run.kind {
        RunKind::Arm | RunKind::FixtureDrain => {
            run.id.rsplit_once('.').map_or(run.id.as_str(), |(o, _)| o)
        }
        _ => &run.id,
    }
}

/// What a change within a run is called: of size, of fall, or where it starts or ends to rise.
fn change(look: &Look<'_>, run: RunIx, piece: PieceIx, joint: JointIx) -> Option<String> {
    let net = look.net;
    let above = goes_on(net, run, joint)?;
    let rise = match (is_vertical(net, piece), is_vertical(net, above)) {
        (false, true) => Some("foot of the rise"),
        (true, false) => Some("head of the rise"),
        _ => None,
    };
    Some(match (rise, sizes(look, piece, above)) {
        (Some(rise), Some(sizes)) => format!("{rise}, {sizes}"),
        (Some(rise), None) => rise.to_owned(),
        (None, Some(sizes)) => sizes,
        (None, None) => "change of fall".to_owned(),
    })
}

/// The piece of the same run that comes to a joint from upstream.
fn goes_on(net: &Network, run: RunIx, joint: JointIx) -> Option<PieceIx> {
    net.upstream(joint)
        .into_iter()
        .find(|p| net.graph.edge_weight(*p).is_some_and(|p| p.run == run))
}

/// The sizes below and above a joint, where they differ.
fn sizes(look: &Look<'_>, lower: PieceIx, upper: PieceIx) -> Option<String> {
    let print = Printer {
        units: look.job.units,
    };
    let size = |p: PieceIx| look.sizing.pieces.get(&p).map(|s| s.size);
    let (lower, upper) = (size(lower)?, size(upper)?);
    (lower != upper).then(|| format!("{} to {}", print.size(lower), print.size(upper)))
}

/// The vent that rises straight from a drain at a joint.
fn vent_foot(net: &Network, joint: JointIx) -> Option<&str> {
    let mut edges = net.graph.edges(joint);
    let vent = edges.find(|e| e.weight().system == System::Vent)?;
    let run = net.runs.get(vent.weight().run.0)?;
    Some(owner(run))
}
