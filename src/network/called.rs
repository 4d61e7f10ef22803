//! What a run or a piece is called in words, where its id would mean nothing on site.

use super::model::{Network, PieceIx, Run, RunKind};

/// A run in words: what it is, and whose.
pub fn run_called(net: &Network, run: &Run) -> String {
    let id = run.id.as_str();
    let Some((owner, part)) = id.split_once('.') else {
        return match run.kind {
            RunKind::BuildingDrain => building_drain(net, id),
            RunKind::BuildingBranch | RunKind::Branch => format!("branch {id}"),
            RunKind::Sewer => "sewer".to_owned(),
            RunKind::Stack => format!("stack {id}"),
            RunKind::FixtureDrain => format!("drain of {id}"),
            RunKind::Arm => format!("arm of {id}"),
            RunKind::StackVent => format!("stack vent of {id}"),
            RunKind::VentStack => format!("vent stack {id}"),
            RunKind::IslandVent => format!("island vent {id}"),
            RunKind::Discharge => format!("pumped discharge {id}"),
            RunKind::Riser => format!("vent riser {id}"),
            RunKind::FixtureVent | RunKind::Header => format!("vent {id}"),
        };
    };
    let whose = match owner {
        "exit" => "the building drain",
        owner => owner,
    };
    let last = part.rsplit('.').next().unwrap_or(part);
    match run.kind {
        RunKind::BuildingDrain => building_drain(net, id),
        RunKind::BuildingBranch | RunKind::Branch => branch(last),
        RunKind::Sewer => "sewer".to_owned(),
        RunKind::Stack => format!("stack {id}"),
        RunKind::FixtureDrain => format!("drain of {owner}"),
        RunKind::Arm => format!("arm of {owner}"),
        RunKind::StackVent => format!("stack vent of {whose}"),
        RunKind::VentStack => format!("vent stack of {whose}"),
        RunKind::IslandVent => format!("island vent of {whose}"),
        RunKind::Discharge => format!("pumped discharge of {whose}"),
        RunKind::FixtureVent | RunKind::Header | RunKind::Riser => {
            let way = part
                .strip_prefix("riser")
                .map(|w| w.trim_start_matches('-'));
            match way {
                Some("") => format!("riser of {whose}'s vents"),
                Some(way) => format!("{way} riser of {whose}'s vents"),
                None if part.split('.').any(|p| p == "relief") => format!("relief vent of {whose}"),
                None => format!("vent of {whose}"),
            }
        }
    }
}

/// The one building drain needs no name.
fn building_drain(net: &Network, id: &str) -> String {
    let own = |r: &&Run| r.kind == RunKind::BuildingDrain;
    match net.runs.iter().filter(own).count() {
        0 | 1 => "building drain".to_owned(),
        _ => format!("building drain {id}"),
    }
}

/// A proposed branch goes by its fixture, whose name has a capital, or by what it serves.
fn branch(last: &str) -> String {
    match last.chars().any(|c| c.is_ascii_uppercase()) {
        true => format!("branch of {last}"),
        false => format!("{} branch", last.replace('-', " ")),
    }
}

/// A piece in words: its run, and how far up.
pub fn piece_called(net: &Network, piece: PieceIx) -> String {
    let Some(p) = net.graph.edge_weight(piece) else {
        return String::new();
    };
    let Some(run) = net.runs.get(p.run.0) else {
        return p.id.clone();
    };
    let called = run_called(net, run);
    let short = matches!(
        run.kind,
        RunKind::Arm | RunKind::FixtureDrain | RunKind::Sewer
    );
    let up = p.id.strip_prefix(&run.id).and_then(|x| x.strip_prefix('.'));
    match up {
        _ if short => called,
        None => called,
        Some("end") => format!("{called} up to its end"),
        Some(up) if up.contains('.') => match net.runs.iter().find(|r| r.id == up) {
            Some(enters) => format!("{called} up to the {}", run_called(net, enters)),
            None => format!("{called} up to {up}"),
        },
        Some(up) => format!("{called} up to {up}"),
    }
}

/// What nobody states of the way of a piece: its length, which way it runs, or both.
pub fn way_missing(net: &Network, piece: PieceIx) -> String {
    let called = piece_called(net, piece);
    let legs = || {
        net.graph
            .edge_weight(piece)
            .into_iter()
            .flat_map(|p| &p.legs)
    };
    let length = legs().any(|l| l.length.is_none() && !l.heading.is_some_and(|h| h.is_vertical()));
    let way = legs().any(|l| l.heading.is_none());
    match (length, way) {
        (true, false) => format!("the length of the {called} is not stated"),
        (false, true) => format!("which way the {called} runs is not stated"),
        _ => format!("length and way of the {called} are not stated"),
    }
}
