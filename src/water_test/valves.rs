//! Valves that shut against the filling.

use super::filling::Pipe;
use crate::network::PieceIx;
use crate::solve::Work;

/// The backwater valves that stand in what is filled, by name. A part is filled from below, or from
/// a standpipe that a valve may stand before: its flap shuts the rest off, so that nothing of it is
/// tested.
pub(super) fn valves(work: &Work<'_>, pipes: &[&Pipe]) -> Vec<String> {
    let net = work.net;
    let filled = |p: PieceIx| pipes.iter().any(|pipe| pipe.piece == p);
    let stands = net.valves.iter().filter(|v| {
        let here = net.downstream(v.joint).into_iter();
        here.chain(net.upstream(v.joint)).any(filled)
    });
    stands.map(|v| v.id.clone()).collect()
}
