//! The work of a sheet, part by part: what lies below ground first, then what stands above it.

use super::set_with::set_with;
use super::steps::{self, Last};
use super::{CrewPart, Datum, SetOut, Shown, measured_from, set_out, vents_set_out};
use crate::captions::{Trade, part_of};
use crate::drops::{Hole, Level, Of};
use crate::job::{FloorIx, Lies};
use crate::levels::{Stub, below, carried_by, stub};
use crate::network::{JointKind, PieceIx, RunKind};
use crate::sizing::traps::kind_of;
use crate::solve::Work;
use crate::takeoff::Phase;
use crate::typical::Typical;
use crate::units::{Length, Printer};

/// What is on a sheet, and when it is worked on.
pub struct Ground<'a> {
    /// What it is for.
    pub trade: Trade,
    /// What stands on it. What rises above the floor may be measured from another place.
    pub shown: Shown<'a>,
    /// What follows it.
    pub last: Last,
    /// What of the building stands for more than itself.
    pub typical: Option<&'a Typical>,
}

/// The work of a sheet in its order. What rises above the floor from drains below ground is roughed in
/// later, and measured from the finished floor.
pub fn parts(work: &Work<'_>, ground: &Ground<'_>) -> Vec<CrewPart> {
    let Ground {
        trade,
        shown,
        last,
        typical,
    } = *ground;
    let Shown { datum, pieces, .. } = shown;
    // A benchmark outside serves whoever digs; what stands above the floor is measured from the floor.
    let indoors = |pieces: &[PieceIx]| match datum.is_benchmark {
        true => Datum::of_floor(work.job, floor(work, pieces)),
        false => datum.clone(),
    };
    let past = |mut rows: Vec<SetOut>| {
        for row in &mut rows {
            let range = typical.zip(row.pipe).and_then(|(t, p)| t.past.get(&p));
            if let Some(range) = range {
                row.past = Some(range.named(work.job));
                row.length = None;
            }
        }
        rows
    };
    if trade == Trade::Vents {
        let floor = indoors(pieces);
        let rows = vents_set_out(work, &shown.from(&floor, pieces));
        let datum = measured_from(&rows, &floor).unwrap_or(floor);
        return vec![CrewPart {
            first: Vec::new(),
            set_out: past(vents_set_out(work, &shown.from(&datum, pieces))),
            datum,
            steps: steps::vents(work, pieces, last),
        }];
    }
    // What is cut has its upper end on another sheet, and with it what is set there.
    let with = |pieces: &[PieceIx]| {
        let own = pieces.iter().filter(|p| !shown.cut.contains(p));
        set_with(work, &own.copied().collect::<Vec<_>>())
    };
    let (below, above): (Vec<PieceIx>, Vec<PieceIx>) =
        (pieces.iter()).partition(|p| Phase::of(work, **p) == Phase::Underground);
    let mut parts = Vec::new();
    if !below.is_empty() {
        parts.push(CrewPart {
            datum: datum.clone(),
            first: steps::trench(work, &below),
            set_out: past(set_out(work, &shown.from(datum, &below))),
            steps: steps::underground(
                work,
                &below,
                (&with(&below), &through(work, &shown, &below, &above)),
                last,
            ),
        });
    }
    if !above.is_empty() {
        let datum = match below.is_empty() {
            true => hung_over(work, &above)
                .map_or_else(|| indoors(&above), |f| Datum::of_floor(work.job, f)),
            false => Datum::of_floor(work.job, floor(work, &above)),
        };
        let set_out = past(set_out(work, &shown.from(&datum, &above)));
        // A stack that only leaves the sheet is set out on the next.
        if below.is_empty() || !set_out.is_empty() {
            parts.push(CrewPart {
                first: Vec::new(),
                set_out,
                datum,
                steps: steps::drains(work, &above, &with(&above), last),
            });
        }
    }
    parts
}

/// What goes on up from some pipes below ground, by the names of its runs and fixtures, with the length
/// of its stub where that is known: drains, the vents that rise from them, and all else that comes up
/// through the slab.
fn through(
    work: &Work<'_>,
    shown: &Shown<'_>,
    below: &[PieceIx],
    above: &[PieceIx],
) -> Vec<String> {
    let whole = Work {
        net: shown.whole,
        ..*work
    };
    let net = whole.net;
    let from = |p: &PieceIx| carried_by(net, *p).is_some_and(|d| below.contains(&d));
    let mut names: Vec<(String, Option<Length>)> = Vec::new();
    let mut add = |name: String, stub: Option<Length>| {
        if names.iter().all(|n| n.0 != name) {
            names.push((name, stub));
        }
    };
    let joints = below.iter().filter_map(|p| net.from(*p));
    let vents: Vec<PieceIx> = joints.flat_map(|j| net.vents_from(j)).collect();
    for piece in above.iter().filter(|p| from(p)).chain(&vents) {
        let run = net.graph.edge_weight(*piece).map(|p| p.run.0);
        let Some(run) = run.and_then(|r| net.runs.get(r)) else {
            continue;
        };
        let of_vent = vents.contains(piece);
        let name = part_of(net, *piece).filter(|_| !of_vent);
        let name = name.unwrap_or(&run.id).to_owned();
        add(name, stub(&whole, *piece).map(Stub::whole));
    }
    // What is cut has its upper end, and what comes up there, on another sheet.
    let ends_here = |p: &PieceIx| below.contains(p) && !shown.cut.contains(p);
    let of = |p: PieceIx| ends_here(&p) || carried_by(net, p).is_some_and(|d| ends_here(&d));
    for hole in shown.framing.through_slabs(of) {
        add(hole.tag.clone(), riser(&whole, hole));
    }
    let print = Printer {
        units: work.job.units,
    };
    let words = names.into_iter().map(|(name, stub)| match stub {
        Some(stub) => format!("{name} {}", print.length(stub)),
        None => name,
    });
    words.collect()
}

/// How far a closet's riser or a cleanout's goes up to the finished floor, from the middle of its drain; what
/// stands over a trap begins where its maker has the trap's inlet.
fn riser(work: &Work<'_>, hole: &Hole) -> Option<Length> {
    let Work { job, net, .. } = *work;
    let Level::Floor(floor) = hole.level else {
        return None;
    };
    match hole.of {
        Of::Outlet(trap) => {
            let fixture = job.fixtures.get(net.traps.get(trap.0)?.fixture)?;
            kind_of(fixture).filter(|k| k.closet)?;
        }
        Of::Cleanout => {}
        Of::Pipe => return None,
    }
    below(work, hole.piece, job.floors.get(floor.0)?.level)
}

/// The floor that a crew stands on who hangs a building drain: the highest below the lowest of its
/// inverts. None where some pipes have no building drain, or no floor lies below it.
pub fn hung_over(work: &Work<'_>, pieces: &[PieceIx]) -> Option<FloorIx> {
    let drains = pieces.iter().filter(|p| {
        let run = work.net.graph.edge_weight(**p).map(|p| p.run.0);
        let run = run.and_then(|r| work.net.runs.get(r));
        run.is_some_and(|r| matches!(r.kind, RunKind::BuildingDrain | RunKind::BuildingBranch))
    });
    // Nobody stands on a floor below a crawl space.
    let crawls = |p: &&PieceIx| {
        let legs = work.net.graph.edge_weight(**p).map_or(&[][..], |p| &p.legs);
        legs.iter().any(|l| l.lies == Some(Lies::CrawlSpace))
    };
    if drains.clone().any(|p| crawls(&p)) {
        return None;
    }
    let inverts = drains.filter_map(|p| work.solution.levels.pieces.get(p)?.invert_down);
    let lowest = inverts.reduce(Length::min)?;
    let floors = work.job.floors.iter().enumerate();
    let below = floors.filter(|(_, f)| f.level < lowest);
    let highest = below.reduce(|a, b| if b.1.level > a.1.level { b } else { a });
    highest.map(|(i, _)| FloorIx(i))
}

/// The floor that some pipes serve: the lowest of their fixtures.
fn floor(work: &Work<'_>, pieces: &[PieceIx]) -> FloorIx {
    let job = work.job;
    let level = |f: &FloorIx| job.floors.get(f.0).map_or(f64::INFINITY, |f| f.level.mm());
    let traps = pieces.iter().filter_map(|p| {
        let from = work.net.from(*p)?;
        match work.net.graph[from].kind {
            JointKind::Trap(t) => job.fixtures.get(work.net.traps.get(t.0)?.fixture)?.floor,
            _ => None,
        }
    });
    let all = (0..job.floors.len()).map(FloorIx);
    let least = |a: FloorIx, b: FloorIx| if level(&b) < level(&a) { b } else { a };
    traps
        .reduce(least)
        .or_else(|| all.reduce(least))
        .unwrap_or(FloorIx(0))
}
