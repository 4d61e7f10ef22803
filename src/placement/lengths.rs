//! On what lengths a drawing stands, and those of an earlier one that its parts take again.

use std::collections::BTreeMap;

use super::heights::Heights;
use super::part::Part;
use crate::earlier::{Earlier, EarlierRun, EarlierSheet};
use crate::job::{FloorIx, Job};
use crate::network::{JointKind, PieceIx, RunIx};
use crate::projection::{Space, Way};

/// The scale and the heights that a drawing stands on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lengths {
    /// Millimetres of paper per millimetre of building; 0 for the least drawing.
    pub scale: f64,
    /// The heights of its floors.
    pub heights: Heights,
}

/// What an earlier drawing of a part had: least lengths for the new one.
#[derive(Clone, Debug, Default)]
pub struct Held {
    /// Millimetres of paper per millimetre of building.
    pub scale: f64,
    floors: BTreeMap<FloorIx, [f64; 3]>,
    roof: f64,
    low: f64,
    /// The upstream end of each leg, from where its run begins.
    ends: BTreeMap<(PieceIx, usize), Space>,
}

/// Stations are read a little short, so that none is rounded up past where it was, mm.
const SHORT: f64 = 0.01;
/// A pipe that lies this far out of its old line has no old length, mm.
const OUT_OF_LINE: f64 = 0.1;

impl Held {
    /// What an earlier drawing had of a part: that of its sheets which shows most of it.
    pub fn of(earlier: &Earlier, part: &Part, job: &Job) -> Option<Held> {
        let sheet = most_of(earlier, part)?;
        let named = |f: FloorIx| job.floors.get(part.floor(f).0).map(|f| f.name.as_str());
        let mut held = Held {
            scale: sheet.scale,
            roof: sheet.roof,
            low: sheet.low,
            ..Held::default()
        };
        for &f in &part.floors {
            let own = named(f).and_then(|name| sheet.floors.get(name));
            held.floors.extend(own.map(|h| (f, *h)));
        }
        // Where a floor is new, those above it go up by what it asks for.
        if held.floors.len() < part.floors.len() {
            held.roof = 0.0;
        }
        for (i, run) in part.net.runs.iter().enumerate() {
            if part.hidden == Some(RunIx(i)) {
                continue;
            }
            let Some(own) = sheet
                .runs
                .get(&run.id)
                .filter(|r| begins(r, part, RunIx(i)))
            else {
                continue;
            };
            for &piece in &run.pieces {
                let ends = own.pipes.get(&part.net.graph[piece].id);
                for (leg, [x, y, z]) in ends.into_iter().flatten().enumerate() {
                    held.ends.insert((piece, leg), Space::new(*x, *y, *z));
                }
            }
        }
        Some(held)
    }

    /// The same without the lengths of its drains.
    pub fn heights_alone(&self) -> Held {
        Held {
            ends: BTreeMap::new(),
            ..self.clone()
        }
    }

    /// Raises heights to those that were.
    pub fn raise(&self, heights: &mut Heights) {
        heights.hold(&self.floors, self.roof, self.low);
    }

    /// How far up a trunk a leg ended: of a trunk that begins where its run does (none), or at the
    /// end of another leg.
    pub fn station(
        &self,
        begins: Option<(PieceIx, usize)>,
        leg: (PieceIx, usize),
        way: Way,
    ) -> Option<f64> {
        let end = *self.ends.get(&leg)?;
        let begin = match begins {
            Some(leg) => *self.ends.get(&leg)?,
            None => Space::default(),
        };
        let (d, u) = (end - begin, way.unit());
        let dot = |a: Space, b: Space| a.x * b.x + a.y * b.y + a.z * b.z;
        let station = dot(d, u) / dot(u, u);
        let aside = (d - u * station).length();
        (station > SHORT && aside <= OUT_OF_LINE).then_some(station - SHORT)
    }
}

/// Whether a run of a part begins as it did.
fn begins(run: &EarlierRun, part: &Part, own: RunIx) -> bool {
    let first = part.net.runs[own.0].pieces.first();
    let cut = first.filter(|p| {
        let to = part.net.to(**p);
        to.is_some_and(|j| part.net.graph[j].kind == JointKind::Cut)
    });
    run.cut.as_deref() == cut.map(|p| part.net.graph[*p].id.as_str())
}

/// The sheet that shows most runs of a part.
fn most_of<'a>(earlier: &'a Earlier, part: &Part) -> Option<&'a EarlierSheet> {
    if let [only] = earlier.sheets.as_slice() {
        return Some(only);
    }
    let shows = |s: &&EarlierSheet| {
        let runs = part.net.runs.iter().enumerate();
        let same = |(i, r): &(usize, &crate::network::Run)| {
            let run = s.runs.get(&r.id);
            run.is_some_and(|run| begins(run, part, RunIx(*i)))
        };
        runs.filter(same).count()
    };
    // The first of those that show as many.
    let mut best: Option<(usize, &EarlierSheet)> = None;
    for sheet in &earlier.sheets {
        let n = shows(&sheet);
        if n > best.map_or(0, |b| b.0) {
            best = Some((n, sheet));
        }
    }
    best.map(|b| b.1)
}
