//! Stage 6 of 12. In: network, sizes, levels. Out: [`Fittings`], keyed by joint. Promises: the
//! named fitting at each joint, the bends between, reducers, cleanout sizes.

mod at;
mod drains;
pub mod model;
mod pick;
mod vents;

pub use model::*;

use std::collections::BTreeSet;

use crate::codebook::Book;
use crate::job::Job;
use crate::network::{JointIx, Network, Openings};
use crate::sizing::Sizing;

/// Names the fitting at every joint that has one and every bend within a pipe, and sizes the
/// cleanouts.
pub fn fittings(job: &Job, net: &Network, book: &Book, sizing: &Sizing) -> Fittings {
    let place = at::Place {
        job,
        net,
        book,
        sizing,
        openings: Openings::of(net),
    };
    let mut table = Fittings::default();
    // Joints whose fitting holds a cleanout: the first that stands there.
    let mut held: BTreeSet<JointIx> = BTreeSet::new();
    for joint in net.graph.node_indices() {
        let fitting = drains::fitting(&place, joint).or_else(|| vents::fitting(&place, joint));
        if let Some(mut fitting) = fitting {
            if fitting.does == Does::Opens {
                held.insert(joint);
            }
            fitting.name = book.fitting_called(&fitting.name);
            fitting.turn = fitting.turn.map(|t| book.fitting_called(&t));
            table.joints.insert(joint, fitting);
        }
    }
    for piece in net.graph.edge_indices() {
        let bends = drains::bends(&place, piece).or_else(|| vents::bends(&place, piece));
        let bends = bends.unwrap_or_default();
        if !bends.is_empty() {
            let called = bends.iter().map(|b| book.fitting_called(b));
            table.bends.insert(piece, called.collect());
        }
    }
    for (i, cleanout) in net.cleanouts.iter().enumerate() {
        if let Some(size) = place.cleanout(cleanout) {
            table.cleanouts.insert(i, size);
        }
        if held.remove(&cleanout.joint) {
            continue;
        }
        if let Some(mut fitting) = drains::beside(&place, cleanout) {
            fitting.name = book.fitting_called(&fitting.name);
            table.beside.insert(i, fitting);
        }
    }
    table
}
