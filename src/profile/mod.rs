//! The levels profile: each building drain as a long section, from the exit up, and beyond it the
//! sewer where that is stated.
//!
//! In: a job worked through. Out: [`Profile`]s, plain data, and their drawings. Promises: every
//! figure is one of the level table; what is not known is not drawn, and it is said what is missing;
//! a point of the drawing stands where its distance and its level are, at two scales that it says.

mod course;
mod draw;
mod model;
mod over;
mod places;
mod tables;
mod unfit;
mod words;

pub use draw::{Scales, drawings};
pub use model::{Footing, Ground, Over, Pipe, Place, Point, Profile};
pub use tables::{notes, tables};

use crate::levels::{Bores, FootingAt};
use crate::network::{PieceIx, RunKind, run_called};
use crate::solve::Work;
use crate::units::Length;

/// The long section of each building drain, in the order of the exits.
pub fn profiles(work: &Work<'_>) -> Vec<Profile> {
    let net = work.net;
    let mut all = Vec::new();
    for (i, exit) in net.exits.iter().enumerate() {
        for first in net.upstream(*exit) {
            let run = net.graph.edge_weight(first).map(|p| p.run);
            let run = run.and_then(|r| net.runs.get(r.0));
            if let Some(run) = run.filter(|r| r.kind == RunKind::BuildingDrain) {
                all.push(profile(work, i, &run.id, &run.pieces));
            }
        }
    }
    all
}

fn profile(work: &Work<'_>, exit: usize, run: &str, pieces: &[PieceIx]) -> Profile {
    let (job, net) = (work.job, work.net);
    let bores = Bores::new(job, net);
    let stated = job.exits.get(exit);
    let sewer = net.exits.get(exit).and_then(|e| net.downstream(*e));
    let (beyond, unknown) = course::beyond(work, &bores, sewer);
    let (pipes, missing) = course::up(work, &bores, pieces);
    let footings = work.solution.levels.footings.iter();
    let footings = footings.filter_map(|f| {
        let (name, distance) = match f.at {
            FootingAt::Exit(e) => ("footing".to_owned(), (e == exit).then_some(Length::ZERO)?),
            FootingAt::Footing(n) => {
                let footing = job.footings.get(n)?;
                let of = f.piece.filter(|p| pieces.contains(p))?;
                let station = footing.station.as_ref()?.value;
                (
                    footing.name.clone(),
                    course::at_station(work, pieces, of, station)?,
                )
            }
        };
        Some(Footing {
            name,
            distance,
            top: f.top,
            bottom: f.bottom,
            passes: f.passes.word(),
        })
    });
    let over = over::over(work, pieces);
    let grounds = over::grounds(work, stated, pieces, beyond.first());
    let rim = stated
        .and_then(|e| e.sewer.as_ref())
        .and_then(|s| s.manhole_rim);
    let own = net.runs.iter().find(|r| r.id == run);
    let called = own.map_or_else(|| run.to_owned(), |r| run_called(net, r));
    let unfit = unfit::unfit(work, &called);
    let places = places::places(work, &bores, (exit, run), &beyond, &pipes, &over, &grounds);
    Profile {
        exit: stated.map_or("exit", |e| e.name.as_str()).to_owned(),
        run: run.to_owned(),
        places,
        pipes: beyond.into_iter().chain(pipes).collect(),
        over,
        grounds,
        footings: footings.collect(),
        missing,
        beyond: unknown,
        rim,
        called,
        unfit,
        survey: job.zero.as_ref().and_then(|z| z.survey),
        benchmark: (job.zero.as_ref()).and_then(|z| z.benchmark.as_ref().and(z.level)),
    }
}
