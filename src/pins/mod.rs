//! Pins: what a job wants drawn in one of the ways that it leaves free. `[pins]` names things and
//! pipes as the drawing names them, so they are looked up once the network is complete.
//!
//! An order is settled in the network's draft ([`order`]), sides, headings and lengths by the
//! placement ([`Pins`]); what cannot be kept is told by the rule `pin-not-kept` ([`against`]) and,
//! where only the drawing shows it, after that ([`drawn`]).

mod against;
mod drawn;
mod order;

use std::collections::BTreeMap;

use crate::diagnostics::{Diagnostic, Severity};
use crate::job::{Job, PaperSide, UNKNOWN_NAME, nearest};
use crate::network::{Network, PieceIx, RunIx, RunKind, System};
use crate::units::{Heading, Length};

pub use against::against;
pub use drawn::drawn;
pub use order::order;

/// A way that is pinned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PinnedWay {
    /// Along this heading, walking upstream.
    Heading(Heading),
    /// To this side of the paper.
    Side(PaperSide),
}

/// What is pinned, for the placement.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pins {
    /// Ways, by pipe and leg.
    pub ways: BTreeMap<(PieceIx, usize), PinnedWay>,
    /// Least lengths on paper in mm, by the id of a pipe.
    pub lengths: BTreeMap<String, f64>,
}

impl Pins {
    /// The pins of a job that can be kept as far as its network tells.
    pub fn of(job: &Job, net: &Network) -> Pins {
        let mut pins = Pins::default();
        if job.pins.is_empty() {
            return pins;
        }
        let names = Names::of(net);
        for pin in &job.pins {
            let Some(place) = names.get(&pin.on.value) else {
                continue;
            };
            let way = match (&pin.heading, &pin.side) {
                (Some(h), _) => Some(PinnedWay::Heading(h.value)),
                (None, Some(s)) => Some(PinnedWay::Side(s.value)),
                (None, None) => None,
            };
            if let Some((way, leg)) = way.zip(place.level_leg(net)) {
                pins.ways.insert(leg, way);
            }
            if let (Some(length), Some(piece)) = (&pin.length, place.pipe(net)) {
                let id = net.graph[piece].id.clone();
                pins.lengths.insert(id, length.value.mm());
            }
        }
        pins
    }

    /// The heading that is pinned for a leg.
    pub fn heading(&self, piece: PieceIx, leg: usize) -> Option<Heading> {
        match self.ways.get(&(piece, leg)) {
            Some(PinnedWay::Heading(h)) => Some(*h),
            _ => None,
        }
    }

    /// The side that is pinned for a leg.
    pub fn side(&self, piece: PieceIx, leg: usize) -> Option<PaperSide> {
        match self.ways.get(&(piece, leg)) {
            Some(PinnedWay::Side(side)) => Some(*side),
            _ => None,
        }
    }
}

/// What a pin names.
#[derive(Clone, Debug)]
struct Place {
    run: RunIx,
    /// Where it is one pipe and not the whole run.
    piece: Option<PieceIx>,
    /// The arm of the fixture, where it names one.
    arm: Option<PieceIx>,
}

impl Place {
    fn of(run: RunIx) -> Place {
        Place {
            run,
            piece: None,
            arm: None,
        }
    }

    fn pieces<'n>(&self, net: &'n Network) -> Vec<PieceIx> {
        let run: &'n [PieceIx] = net.runs.get(self.run.0).map_or(&[], |r| &r.pieces);
        self.piece.map_or_else(|| run.to_vec(), |p| vec![p])
    }

    /// The pipe, if it is only one.
    fn pipe(&self, net: &Network) -> Option<PieceIx> {
        match self.pieces(net).as_slice() {
            [one] => Some(*one),
            _ => None,
        }
    }

    /// The first leg that does not stand upright.
    fn level_leg(&self, net: &Network) -> Option<(PieceIx, usize)> {
        let mut all = self.pieces(net);
        all.extend(self.arm);
        all.into_iter().find_map(|p| {
            let legs = &net.graph.edge_weight(p)?.legs;
            let level = legs
                .iter()
                .position(|l| l.heading.is_none_or(|h| !h.is_vertical()))?;
            Some((p, level))
        })
    }

    fn is_vent(&self, net: &Network) -> bool {
        let mut all = self.pieces(net).into_iter();
        all.any(|p| {
            let piece = net.graph.edge_weight(p);
            piece.is_some_and(|p| p.system == System::Vent)
        })
    }
}

/// What can be pinned, by name and id.
struct Names<'n> {
    all: BTreeMap<&'n str, Place>,
}

impl<'n> Names<'n> {
    fn of(net: &'n Network) -> Names<'n> {
        let mut all = BTreeMap::new();
        for ix in net.graph.edge_indices() {
            let piece = &net.graph[ix];
            let place = Place {
                piece: Some(ix),
                ..Place::of(piece.run)
            };
            all.insert(piece.id.as_str(), place);
        }
        for (i, run) in net.runs.iter().enumerate() {
            if !run.pieces.is_empty() {
                all.insert(run.id.as_str(), Place::of(RunIx(i)));
            }
        }
        // A fixture goes by its drain, whatever of that is upright; its joint has its name.
        for trap in &net.traps {
            let (Some(joint), Some(arm)) = (trap.joint, trap.arm) else {
                continue;
            };
            let (Some(joint), Some(piece)) =
                (net.graph.node_weight(joint), net.graph.edge_weight(arm))
            else {
                continue;
            };
            // By its own drop, if it has one; else by its arm.
            let drop = trap.vent_fitting.and_then(|j| net.downstream(j));
            let drop = drop.and_then(|p| net.graph.edge_weight(p)).map(|p| p.run);
            let own = drop.filter(|r| {
                let run = net.runs.get(r.0);
                run.is_some_and(|r| {
                    let owner =
                        r.id.split_once('.')
                            .map_or(r.id.as_str(), |(owner, _)| owner);
                    r.kind == RunKind::FixtureDrain && owner == joint.id
                })
            });
            let place = all.entry(joint.id.as_str());
            place.or_insert(Place::of(own.unwrap_or(piece.run))).arm = Some(arm);
        }
        Names { all }
    }

    fn get(&self, name: &str) -> Option<&Place> {
        self.all.get(name)
    }
}

/// Pins that name nothing: errors, as any name that is not defined.
pub fn unknown(job: &Job, net: &Network) -> Vec<Diagnostic> {
    /// No more names than this are looked for among all that a large building has.
    const SUGGESTED: usize = 50;
    if job.pins.is_empty() {
        return Vec::new();
    }
    let names = Names::of(net);
    let mut found = Vec::new();
    for pin in &job.pins {
        for said in [Some(&pin.on), pin.after.as_ref()].into_iter().flatten() {
            if names.get(&said.value).is_some() {
                continue;
            }
            let near = (found.len() < SUGGESTED)
                .then(|| nearest(&said.value, names.all.keys().copied()))
                .flatten();
            let help = match near {
                Some(near) => format!("did you mean `{near}`?"),
                None => "expected the name of a drain, a stack or a fixture, or of a pipe as the \
                         pipe schedule has it"
                    .to_owned(),
            };
            found.push(Diagnostic {
                at: pin.name.clone(),
                span: Some(said.span.clone()),
                help: Some(help),
                ..Diagnostic::plain(
                    UNKNOWN_NAME.code,
                    UNKNOWN_NAME.name,
                    Severity::Error,
                    format!("nothing on the drawing is called `{}`", said.value),
                )
            });
        }
    }
    found
}

/// A length on paper as a message says it.
fn paper(length: Length) -> String {
    format!("{:.0} mm", length.mm())
}
