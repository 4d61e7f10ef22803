//! How far the invert of a pipe lies above that of the pipe it joins.

use super::bores::Bores;
use crate::job::{Job, Join, Wye};
use crate::network::{Network, PieceIx};
use crate::sizing::Sizing;
use crate::units::{Heading, Length};

/// Step of the invert at a wye, a junction or a reducer.
///
/// With `D` the bore of the drain that is joined and `d` that of the pipe that joins it:
///
/// - centres matched (a flat wye, a concentric reducer): `(D − d) / 2`;
/// - crowns matched: `D − d`;
/// - inverts matched: `0`;
/// - a wye rolled 45°: its axis leaves the drain's axis at 45° to the level, and where it leaves
///   the drain's bore, at a distance of `D / 2` from the axis, it has risen by `D / 2 × √½`; that
///   much is added to centres matched. The fitting's own laying length adds to it and is not
///   counted, so this is the least;
/// - a wye on its back: the branch comes in from above, so its level part lies no lower than the
///   drain's crown: `D`. Where the branch's own upright leg is stated, that leg gives the height
///   and centres are matched at its foot.
///
/// Never below nothing: a bore that is larger than the one it flows into (pipe of another material,
/// or a size that shrinks, which is a finding) is laid on its invert, or water would stand in it.
///
/// All in one length unit. Geometry; no code or standard is its source.
pub fn step(join: Join, wye: Wye, upright_leg: bool, drain: Length, branch: Length) -> Length {
    let centres = (drain - branch) / 2.0;
    if upright_leg {
        return centres.max(Length::ZERO);
    }
    let step = match wye {
        Wye::Rolled => centres + drain * (std::f64::consts::FRAC_1_SQRT_2 / 2.0),
        Wye::OnBack => drain,
        Wye::Flat => match join {
            Join::Centre => centres,
            Join::Crown => drain - branch,
            Join::Invert => Length::ZERO,
        },
    };
    step.max(Length::ZERO)
}

/// The step of a piece's invert over that of the piece that it flows into; none where either has no
/// size.
pub fn joined(
    job: &Job,
    net: &Network,
    sizing: &Sizing,
    bores: &Bores<'_>,
    piece: PieceIx,
    below: PieceIx,
) -> Option<Length> {
    let (p, under) = (net.graph.edge_weight(piece)?, net.graph.edge_weight(below)?);
    let bore_of = |ix: PieceIx| sizing.pieces.get(&ix).map(|s| bores.of(ix, s.size));
    let wye = match under.run == p.run {
        true => Wye::Flat,
        false => net.runs.get(p.run.0)?.wye,
    };
    let upright_leg = p
        .legs
        .first()
        .is_some_and(|l| l.heading == Some(Heading::Up));
    let (drain, branch) = (bore_of(below)?, bore_of(piece)?);
    Some(step(job.practice.join, wye, upright_leg, drain, branch))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn centres_of_a_3_on_a_4() {
        // Bores 4.026 and 3.068 in: half their difference is 0.479 in.
        let (main, branch) = (Length::from_inches(4.026), Length::from_inches(3.068));
        let at = |join, wye| step(join, wye, false, main, branch).inches();
        assert!((at(Join::Centre, Wye::Flat) - 0.479).abs() < 1e-9);
        assert!((at(Join::Crown, Wye::Flat) - 0.958).abs() < 1e-9);
        assert!(at(Join::Invert, Wye::Flat).abs() < 1e-9);
        // 0.479 + 2.013 × 0.70711
        assert!((at(Join::Centre, Wye::Rolled) - 1.902_405).abs() < 1e-5);
        assert!((at(Join::Centre, Wye::OnBack) - 4.026).abs() < 1e-9);
    }
}
