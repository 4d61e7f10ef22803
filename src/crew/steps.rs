//! The steps of a sheet, in the order of the work: from the lowest pipe up.

use std::collections::{BTreeMap, BTreeSet};

use super::Step;
use crate::captions::Trade;
use crate::levels::bores::{Part, part};
use crate::network::{JointIx, JointKind, PieceIx, Run, RunIx, RunKind, System};
use crate::solve::Work;
use crate::units::{Length, Printer};

/// The steps of what is drawn on a sheet beside what is set out; what is done once for all of a floor
/// stands on the `last` of its sheets.
pub fn steps(work: &Work<'_>, trade: Trade, pieces: &[PieceIx], last: bool) -> Vec<Step> {
    let writer = Writer {
        work,
        print: Printer {
            units: work.job.units,
        },
        joints: joints(work, pieces),
    };
    let built = super::set_out::built(work.job);
    let open = |words: String| Step { words, done: false };
    let mut all: Vec<Step> = match trade {
        Trade::Drains => writer.drains_done(pieces).into_iter().map(open).collect(),
        Trade::Vents => {
            let runs = writer.runs(pieces).into_iter();
            let step = |(run, own): (RunIx, Vec<PieceIx>)| Step {
                done: built.contains(work.net.runs[run.0].id.as_str()),
                words: writer.run(run, &own),
            };
            let mut all: Vec<Step> = runs.map(step).collect();
            all.extend(writer.vents_done().into_iter().map(open));
            all
        }
    };
    if last {
        let done = match trade {
            Trade::Drains => [
                "check the levels again",
                "plug, fill, test: test sheet",
                "inspection before it is covered",
            ],
            Trade::Vents => [
                "strap, shield plates",
                "plug, fill, test: test sheet",
                "inspection before walls close",
            ],
        };
        all.extend(done.map(|words| open(words.to_owned())));
    }
    all
}

/// The joints of some pipes.
fn joints(work: &Work<'_>, pieces: &[PieceIx]) -> BTreeSet<JointIx> {
    let ends = pieces
        .iter()
        .filter_map(|p| work.net.graph.edge_endpoints(*p));
    ends.flat_map(|(a, b)| [a, b]).collect()
}

struct Writer<'a> {
    work: &'a Work<'a>,
    print: Printer,
    joints: BTreeSet<JointIx>,
}

impl Writer<'_> {
    /// The runs of vents that a step each takes, with their pipes on the sheet, from the lowest up.
    fn runs(&self, pieces: &[PieceIx]) -> Vec<(RunIx, Vec<PieceIx>)> {
        let net = self.work.net;
        let mut own: BTreeMap<RunIx, Vec<PieceIx>> = BTreeMap::new();
        for &piece in pieces {
            let p = &net.graph[piece];
            if p.system == System::Vent {
                own.entry(p.run).or_default().push(piece);
            }
        }
        let mut runs: Vec<(RunIx, Vec<PieceIx>)> = own.into_iter().collect();
        for (run, own) in &mut runs {
            let order = &net.runs[run.0].pieces;
            own.sort_by_key(|p| order.iter().position(|o| o == p));
        }
        runs.sort_by_key(|(run, _)| (rank(net.runs[run.0].kind), *run));
        runs
    }

    /// What is done for a run: its sizes, how long it is, what it drops.
    fn run(&self, ix: RunIx, pieces: &[PieceIx]) -> String {
        let run = &self.work.net.runs[ix.0];
        let mut words = vec![format!("{} {}", verb(run), run.id)];
        let mut sizes: Vec<String> = Vec::new();
        for p in pieces {
            let size = self.work.solution.sizing.pieces.get(p);
            let size = size.map(|s| self.print.size(s.size));
            sizes.extend(size.filter(|s| sizes.last() != Some(s)));
        }
        words.extend((!sizes.is_empty()).then(|| sizes.join(", ")));
        let length: Option<Length> = pieces.iter().map(|p| self.work.length(*p)).sum();
        words.extend(length.map(|l| self.print.length(l)));
        words.join(" · ")
    }

    /// Primers, bed or supports, and what comes before the work is covered.
    fn drains_done(&self, pieces: &[PieceIx]) -> Vec<String> {
        let Work { net, job, .. } = *self.work;
        let mut all = Vec::new();
        for trap in &net.traps {
            let here = trap.joint.is_some_and(|j| self.joints.contains(&j));
            let by = trap.primed_by.and_then(|f| job.fixtures.get(f));
            let own = job.fixtures.get(trap.fixture);
            if let (true, Some(by), Some(own)) = (here, by, own) {
                all.push(format!("primer line to {} from {}", own.name, by.name));
            }
        }
        let below = pieces.iter().any(|p| part(net, *p) == Part::Below);
        all.push(match below {
            true => "bed the whole length, hubs dug out".to_owned(),
            false => "hang and strap".to_owned(),
        });
        all
    }

    /// Terminals, and what comes before the walls are closed.
    fn vents_done(&self) -> Vec<String> {
        let net = self.work.net;
        let ends = self
            .joints
            .iter()
            .filter(|j| matches!(net.graph[**j].kind, JointKind::Terminal(_)));
        let mut all = Vec::new();
        match ends.count() {
            0 => {}
            1 => all.push("through the roof once, flashed".to_owned()),
            n => all.push(format!("through the roof {n} times, flashed")),
        }
        all.push("vents drain back: no sags".to_owned());
        all
    }
}

/// The order in which vents are run.
fn rank(kind: RunKind) -> u8 {
    match kind {
        RunKind::FixtureVent | RunKind::IslandVent => 0,
        RunKind::Header => 1,
        RunKind::Riser => 2,
        _ => 3,
    }
}

fn verb(run: &Run) -> &'static str {
    match run.kind {
        RunKind::StackVent | RunKind::VentStack | RunKind::Riser => "rise",
        _ => "vent",
    }
}
