//! Why an invert is not known.

use super::model::PieceLevels;
use crate::network::{Network, PieceIx, RunIx, Table};

/// What is missing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Why {
    /// The exit's invert is not stated.
    Exit,
    /// A piece has no length.
    Length(PieceIx),
    /// A branch does not state its invert at its stack.
    AtStack(RunIx),
    /// A piece has no level of its own to start from.
    Level(PieceIx),
}

/// By piece: why its lower and why its upper invert is not known; none: it is.
pub type Reasons = Table<PieceIx, (Option<Why>, Option<Why>)>;

impl Why {
    /// In words.
    pub fn words(self, net: &Network) -> Option<String> {
        let id = |p: PieceIx| net.graph.edge_weight(p).map(|p| p.id.as_str());
        Some(match self {
            Why::Exit => "the exit's invert is not stated".to_owned(),
            Why::Length(p) => format!("the length of {} is not known", id(p)?),
            Why::AtStack(r) => format!(
                "the invert of {} at its stack is not stated",
                net.runs.get(r.0)?.id
            ),
            Why::Level(p) => format!("the level of {} is not known", id(p)?),
        })
    }
}

/// Finds the reasons from the exits up: each piece takes over that of what it joins.
pub fn why(net: &Network, levels: &Table<PieceIx, PieceLevels>, ordered: &[PieceIx]) -> Reasons {
    let mut reasons = Reasons::new();
    for &piece in ordered.iter().rev() {
        let (Some(level), Some(to)) = (levels.get(&piece), net.to(piece)) else {
            continue;
        };
        let down = match level.invert_down {
            Some(_) => None,
            None if net.exits.contains(&to) => Some(Why::Exit),
            None => Some(joined(net, &reasons, piece, to)),
        };
        let up = match level.invert_up {
            Some(_) => None,
            None if level.length.is_none() => Some(Why::Length(piece)),
            None => down.or(Some(Why::Level(piece))),
        };
        reasons.insert(piece, (down, up));
    }
    reasons
}

fn joined(net: &Network, reasons: &Reasons, piece: PieceIx, to: crate::network::JointIx) -> Why {
    let run = net.graph.edge_weight(piece).map(|p| p.run);
    let Some(below) = net.downstream(to) else {
        return Why::Level(piece);
    };
    let under = net.graph.edge_weight(below).map(|p| p.run);
    match (run, under) {
        (Some(run), Some(under)) if run != under && net.is_stack(under) => Why::AtStack(run),
        _ => reasons
            .get(&below)
            .and_then(|r| r.1)
            .unwrap_or(Why::Level(piece)),
    }
}
