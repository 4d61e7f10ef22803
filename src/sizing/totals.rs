//! Load totals at each stack's base and each exit, for the tables of the sheet.

use super::groups::{Groups, LAUNDRY};
use super::loads::{rows, traps_above};
use super::model::{LoadTotal, PieceSize};
use super::waste::Basis;
use crate::codebook::Book;
use crate::network::{JointIx, PieceIx, RunIx, RunKind, Table};
use crate::units::Load;
/// Totals: stacks in the order of the network, then exits in the order of the job.
pub fn totals(basis: &Basis<'_>, sizes: &Table<PieceIx, PieceSize>) -> Vec<LoadTotal> {
    let net = basis.net;
    let mut totals = Vec::new();
    for (i, run) in net.runs.iter().enumerate() {
        let base = run.pieces.first().copied();
        if run.kind != RunKind::Stack {
            continue;
        }
        let Some((from, to)) = base.and_then(|b| net.graph.edge_endpoints(b)) else {
            continue;
        };
        let load = base.and_then(|b| sizes.get(&b)).map(|s| s.load);
        let mut total = total(basis, run.id.clone(), from, load.unwrap_or_default());
        total.joint = to;
        total.intervals = basis.intervals.get(&RunIx(i)).map(|n| n.count);
        totals.push(total);
    }
    for (i, exit) in net.exits.iter().enumerate() {
        let load = net
            .upstream(*exit)
            .iter()
            .filter_map(|p| sizes.get(p))
            .map(|s| s.load)
            .sum();
        let name = basis
            .job
            .exits
            .get(i)
            .map_or_else(|| "exit".to_owned(), |e| e.name.clone());
        totals.push(total(basis, name, *exit, load));
    }
    totals
}

fn total(basis: &Basis<'_>, name: String, joint: JointIx, load: Load) -> LoadTotal {
    let traps = traps_above(basis.net, joint);
    LoadTotal {
        name,
        joint,
        load,
        rows: rows(basis.job, basis.net, basis.groups, basis.traps, &traps),
        intervals: None,
    }
}

/// Which loads were used, in words.
pub fn load_method(book: &Book, groups: &Groups) -> String {
    if groups.list.is_empty() {
        return match (book.has_groups(), groups.offered) {
            _ if book.by_flow() => {
                "Discharge units of single appliances; each pipe for the flow that is to be \
                 expected of them, L/s."
                    .to_owned()
            }
            (true, 1..) => "Single fixture loads: no group load of the book is lower.".to_owned(),
            (true, 0) => "Single fixture loads.".to_owned(),
            (false, _) => "Single fixture loads: the book has none of groups.".to_owned(),
        };
    }
    let mut used: Vec<&str> = groups.list.iter().map(|g| g.name).collect();
    used.sort_unstable();
    used.dedup();
    let unused = match used.contains(&LAUNDRY) {
        true => "Multiple-bath rows",
        false => "Laundry groups and multiple-bath rows",
    };
    let named: Vec<String> = used.iter().map(|n| format!("{n}s")).collect();
    let mut named = named.join(", ");
    if let Some(first) = named.get(..1).map(str::to_uppercase) {
        named.replace_range(..1, &first);
    }
    format!(
        "{named} where a drain takes the whole group and the book's figure is lower than its \
         fixtures' own loads; single fixture loads elsewhere, never both for one fixture. \
         {unused} not used."
    )
}
