//! How the drains pass the footings that the job states: under, over, through, or into them.

use super::bores::Bores;
use super::falls::leg_is_vertical;
use super::legs::developed;
use super::model::{FootingAt, FootingPass, NotKnown, Outside, Passes, PieceLevels};
use super::walk::rise;
use crate::job::{Footing, Job, Target};
use crate::network::{Network, PieceIx, RunKind, Table};
use crate::sizing::Sizing;
use crate::units::Length;

/// One for each exit with a footing and for each stated footing, in the order of the job.
pub fn footings(
    job: &Job,
    net: &Network,
    sizing: &Sizing,
    levels: &Table<PieceIx, PieceLevels>,
) -> Vec<FootingPass> {
    let bores = Bores::new(job, net);
    let outside = |(piece, invert): (PieceIx, Length)| {
        let size = sizing.pieces.get(&piece)?.size;
        bores.around(piece, size, invert)
    };
    let pass = |at, top, bottom, found: Result<(PieceIx, Length), NotKnown>| {
        let pipe = found.and_then(|f| outside(f).ok_or(NotKnown::Outside));
        FootingPass {
            at,
            piece: found.ok().map(|f| f.0),
            top,
            bottom,
            pipe: pipe.ok(),
            passes: match pipe {
                Ok(pipe) => passes(top, bottom, pipe),
                Err(why) => Passes::Unknown(why),
            },
        }
    };
    let stated = job.exits.iter().enumerate();
    let exits = stated
        .filter(|(_, e)| e.footing_top.is_some() || e.footing_bottom.is_some())
        .map(|(i, e)| {
            let found = at_exit(net, levels, i);
            pass(FootingAt::Exit(i), e.footing_top, e.footing_bottom, found)
        });
    let others = job.footings.iter().enumerate().map(|(i, f)| {
        let found = at_station(net, levels, f);
        pass(FootingAt::Footing(i), f.top, f.bottom, found)
    });
    exits.chain(others).collect()
}

/// How a pipe passes a footing. Touching is clear: by nothing.
pub fn passes(top: Option<Length>, bottom: Option<Length>, pipe: Outside) -> Passes {
    let Outside { low, high } = pipe;
    if let Some(bottom) = bottom.filter(|b| high <= *b || high.same(*b)) {
        return Passes::Under {
            clear: (bottom - high).max(Length::ZERO),
        };
    }
    if let Some(top) = top.filter(|t| low >= *t || low.same(*t)) {
        return Passes::Over {
            clear: (low - top).max(Length::ZERO),
        };
    }
    match (top, bottom) {
        (_, Some(bottom)) if low < bottom => Passes::CutsBottom {
            above_bottom: high - bottom,
        },
        (Some(top), _) if high > top => Passes::CutsTop {
            below_top: top - low,
        },
        (Some(top), Some(bottom)) => Passes::Through {
            above_bottom: low - bottom,
            below_top: top - high,
        },
        (None, None) => Passes::Unknown(NotKnown::Levels),
        _ => Passes::Unknown(NotKnown::OtherSide),
    }
}

/// The drain that comes to an exit, and its invert there.
fn at_exit(
    net: &Network,
    levels: &Table<PieceIx, PieceLevels>,
    exit: usize,
) -> Result<(PieceIx, Length), NotKnown> {
    let joint = net.exits.get(exit).ok_or(NotKnown::Invert)?;
    let inside = |p: &PieceIx| {
        let run = net.graph.edge_weight(*p).map(|p| p.run.0);
        let run = run.and_then(|r| net.runs.get(r));
        run.is_some_and(|r| r.kind != RunKind::Sewer)
    };
    let piece = net.upstream(*joint).into_iter().find(inside);
    let piece = piece.ok_or(NotKnown::Invert)?;
    let invert = levels.get(&piece).and_then(|l| l.invert_down);
    Ok((piece, invert.ok_or(NotKnown::Invert)?))
}

/// The drain at a footing's station, and its invert there.
fn at_station(
    net: &Network,
    levels: &Table<PieceIx, PieceLevels>,
    footing: &Footing,
) -> Result<(PieceIx, Length), NotKnown> {
    let station = footing.station.as_ref().ok_or(NotKnown::Station)?.value;
    let run = match footing.on.value {
        Target::Drain(d) => net.draft.drains.get(d).and_then(|r| net.runs.get(*r)),
        _ => None,
    };
    let near = Length::from_mm(1.0);
    let mut upright = false;
    // Developed length up the run, where a leg begins.
    let mut from = Length::ZERO;
    for piece in run.map_or(&[][..], |r| &r.pieces) {
        let (Some(p), Some(level)) = (net.graph.edge_weight(*piece), levels.get(piece)) else {
            break;
        };
        let mut invert = level.invert_down;
        for leg in &p.legs {
            let (Some(length), Some(along)) = (leg.length, developed(leg)) else {
                return Err(NotKnown::Invert);
            };
            if station + near < from {
                return Err(match upright {
                    true => NotKnown::Upright,
                    false => NotKnown::Invert,
                });
            }
            if station < from + along + near {
                match leg_is_vertical(leg) {
                    // What stands next to it may lie level.
                    true => upright = true,
                    false => {
                        let so_far = (station - from).max(Length::ZERO).min(length);
                        let here = invert.zip(rise(leg, so_far, level.fall));
                        let here = here.map(|(i, r)| i + r);
                        return Ok((*piece, here.ok_or(NotKnown::Invert)?));
                    }
                }
            }
            invert = invert
                .zip(rise(leg, length, level.fall))
                .map(|(i, r)| i + r);
            from += along;
        }
    }
    Err(match upright {
        true => NotKnown::Upright,
        false => NotKnown::Invert,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A 4 in pipe, 4 1/2 in outside, past a footing with its top at 0 and its bottom at -8 in.
    #[test]
    fn each_way_past_a_footing() {
        let inches = Length::from_inches;
        let at = |low: f64| {
            let pipe = Outside {
                low: inches(low),
                high: inches(low + 4.5),
            };
            passes(Some(inches(0.0)), Some(inches(-8.0)), pipe)
        };
        let is = |found: Passes, wanted: [f64; 2]| match found {
            Passes::Under { clear } | Passes::Over { clear } => clear.same(inches(wanted[0])),
            Passes::CutsBottom { above_bottom } => above_bottom.same(inches(wanted[0])),
            Passes::CutsTop { below_top } => below_top.same(inches(wanted[0])),
            Passes::Through {
                above_bottom,
                below_top,
            } => above_bottom.same(inches(wanted[0])) && below_top.same(inches(wanted[1])),
            Passes::Unknown(_) => false,
        };
        for (low, name, wanted) in [
            (-13.0, "under", [0.5, 0.0]),
            (-12.5, "under", [0.0, 0.0]),
            (-12.0, "cuts its bottom", [0.5, 0.0]),
            (-7.5, "through", [0.5, 3.0]),
            (-4.5, "through", [3.5, 0.0]),
            (-4.0, "cuts its top", [4.0, 0.0]),
            (0.0, "over", [0.0, 0.0]),
            (1.5, "over", [1.5, 0.0]),
        ] {
            let found = at(low);
            assert!(
                found.word() == name && is(found, wanted),
                "{low}: {found:?}"
            );
        }
    }

    #[test]
    fn a_side_that_nobody_states_is_not_guessed() {
        let inches = Length::from_inches;
        let pipe = Outside {
            low: inches(-6.0),
            high: inches(-1.5),
        };
        let other = Passes::Unknown(NotKnown::OtherSide);
        assert_eq!(passes(Some(Length::ZERO), None, pipe), other);
        assert_eq!(passes(None, Some(inches(-8.0)), pipe), other);
        let none = Passes::Unknown(NotKnown::Levels);
        assert_eq!(passes(None, None, pipe), none);
    }
}
