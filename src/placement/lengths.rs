//! On what lengths a drawing stands, and those of an earlier one that its parts take again.

use std::collections::BTreeMap;

use kurbo::Vec2;

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
    /// Where its origin stood on the sheet.
    pub origin: Vec2,
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
            origin: Vec2::new(sheet.origin[0], sheet.origin[1]),
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
            if part.hidden.is_some_and(|first| first <= RunIx(i)) {
                continue;
            }
            let Some(own) = sheet.runs.get(&run.id) else {
                continue;
            };
            let Some(begin) = begins(own, part, RunIx(i)) else {
                continue;
            };
            // Heights are told above the origin, which a part that begins at a cut has elsewhere.
            let root = run.pieces.first().and_then(|p| part.net.to(*p));
            if root.is_some() && part.roots.first() == root.as_ref() {
                held.lower(space(own.at).z + begin.z);
            }
            for &piece in &run.pieces {
                let places = own.pipes.get(&part.net.graph[piece].id);
                for (leg, end) in places.into_iter().flatten().skip(1).enumerate() {
                    held.ends.insert((piece, leg), space(*end) - begin);
                }
            }
        }
        Some(held)
    }

    /// Counts heights from so much higher up.
    fn lower(&mut self, by: f64) {
        self.roof -= by;
        self.low -= by;
        for heights in self.floors.values_mut() {
            *heights = heights.map(|z| z - by);
        }
    }

    /// The same without the lengths of its drains.
    pub fn heights_alone(&self) -> Held {
        Held {
            ends: BTreeMap::new(),
            ..self.clone()
        }
    }

    /// The same with its floors or its drains, or both, so many times as far apart.
    pub fn times(&self, by: f64, (floors, drains): (bool, bool)) -> Held {
        let mut held = self.clone();
        held.scale *= by;
        if floors {
            held.roof *= by;
            held.low *= by;
            for heights in held.floors.values_mut() {
                *heights = heights.map(|z| z * by);
            }
        }
        if drains {
            for end in held.ends.values_mut() {
                *end = *end * by;
            }
        }
        held
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

fn space([x, y, z]: [f64; 3]) -> Space {
    Space::new(x, y, z)
}

/// Where a run of a part begins, from where it began.
fn begins(run: &EarlierRun, part: &Part, own: RunIx) -> Option<Space> {
    let first = part.net.runs[own.0].pieces.first();
    let cut = first.filter(|p| {
        let to = part.net.to(**p);
        to.is_some_and(|j| part.net.graph[j].kind == JointKind::Cut)
    });
    match cut {
        Some(cut) => {
            let was = run.pipes.get(&part.net.graph[*cut].id)?;
            was.first().copied().map(space)
        }
        None => run.cut.is_none().then(Space::default),
    }
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
            run.is_some_and(|run| begins(run, part, RunIx(*i)).is_some())
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
