//! The match marks: where the drawing goes on from sheet to sheet, and what is there.

use std::collections::BTreeSet;

use crate::network::{JointKind, PieceIx};

use super::{Inputs, Say, Table};

/// Every match mark with its pipe, its two sheets, and what lies upstream of it.
pub fn marks(set: &Inputs<'_>, _say: &Say) -> Table {
    let cuts: BTreeSet<PieceIx> = set.marks.iter().map(|m| m.piece).collect();
    let rows = set.marks.iter().map(|m| {
        vec![
            m.name.clone(),
            set.net.graph[m.piece].id.clone(),
            m.down.clone(),
            m.up.clone(),
            upstream(set, m.piece, &cuts),
        ]
    });
    Table {
        name: "match-marks",
        title: "Match marks".into(),
        head: super::heads(&["Mark", "Pipe", "From sheet", "On to sheet", "Upstream"]),
        rows: rows.collect(),
        ..Table::default()
    }
}

/// The stacks upstream of a cut, as far as the next cuts, and how many fixtures there are.
fn upstream(set: &Inputs<'_>, piece: PieceIx, cuts: &BTreeSet<PieceIx>) -> String {
    let net = set.net;
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
